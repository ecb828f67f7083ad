"""The part of the client for what is the owner's own: guesses to start from, figures of their own book, editions compared."""

from __future__ import annotations

import os
from pathlib import Path
from urllib.parse import quote

from .asking import file_text
from .errors import UnexpectedAnswer, UsageError
from .models import EditionChange, Guesses, OverlayCheck, OverlayInUse
from .models import fields as f
from .quantities import QuantityLike, quantity_text
from .table_reader import TableReader

TOML = "application/toml"


class OwnFigures(TableReader):
    """Guesses, overlays and editions."""

    def typical(
        self, power: QuantityLike, *, engine_class: str | None = None, stroke: QuantityLike | None = None, units: str | None = None
    ) -> Guesses:
        """Usual sizes of an engine of this power, such as ``'5 hp'``: guesses to start from. No verdict ever reads them.

        Raises:
            Refused: no usual sizes are on file near this power.
        """
        told = quantity_text(stroke) if stroke is not None else None
        return Guesses.from_json(
            self.get("/v1/typical-dimensions", power=quantity_text(power), engine_class=engine_class, stroke=told, units=units)
        )

    def overlay_template(self, engine: str) -> str:
        """The text of an overlay to start from, bound to an engine; it changes nothing until it is filled in.

        Raises:
            UsageError: no engine is named.
            Refused: a name that cannot stand in the file.
        """
        if not engine.strip():
            raise UsageError("name the engine: the id you send with its readings")
        answer = self._exchange.get("/v1/overlays/template", [("engine", engine)], accept=TOML).data
        if not isinstance(answer, bytes):
            raise UnexpectedAnswer("the template of an overlay should be TOML")
        return answer.decode("utf-8", "replace")

    def check_overlay(self, overlay: str | os.PathLike[str]) -> OverlayCheck:
        """Every fault of an overlay, or what it would change. ``overlay``: a path, or the text itself (more than one line).

        Raises:
            SheetError: no such file, or too large.
        """
        text = overlay if isinstance(overlay, str) and "\n" in overlay.strip() else file_text(Path(overlay))
        return OverlayCheck.from_json(self._exchange.post("/v1/overlays/check", text.encode(), TOML, pure=True).data)

    @property
    def overlay(self) -> OverlayInUse | None:
        """The owner's overlay that this service answers with, or None."""
        current = next((item for item in self.editions() if item.current), None)
        raw = f.part(current.raw, "overlay") if current else {}
        if not raw:
            return None
        return OverlayInUse(f.text(raw, "engine"), f.text(raw, "title"), f.text(raw, "digest"), f.count(raw, "figures"), f.count(raw, "tools"))

    def compare_editions(self, old: str, new: str = "current") -> tuple[EditionChange, ...]:
        """What changed in the table from one edition to another; ``current`` is the one that answers now.

        Raises:
            NotFound: no such edition; the names are those of :meth:`editions`.
        """
        return self._all(f"/v1/editions/{quote(old, safe='')}/diff/{quote(new, safe='')}", EditionChange.from_json)
