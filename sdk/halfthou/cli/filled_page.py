"""What came of a filled as-found form, as plain text, and the command that takes it on."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import TYPE_CHECKING

from .show import clean, heading, listed, section, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from ..models.sheets import FilledSheet

ENGINE = "ENGINE.json"
"""Stands for a file that the reader has to name."""


def filled_page(filled: FilledSheet, steps: Sequence[str] = ()) -> list[str]:
    """What was read from a filled form, which boxes are empty, and ``steps``: what comes next."""
    count = len(filled.readings)
    lines = heading(f"As found: {count} reading{'' if count == 1 else 's'} written down")
    if filled.packs:
        lines += section("Shim packs, leaves added up")
        lines += listed((f"  {pack.instance or pack.characteristic}", str(pack.value)) for pack in filled.packs)
    told = [(f"  {name}", words) for name, words in filled.marks.items() if words]
    if told:
        lines += section("Marks and positions", "kept by this form alone; a sheet has no place for them") + listed(told)
    if filled.not_fitted:
        lines += section(f"Not fitted ({len(filled.not_fitted)})", "each counts as not looked at") + _named(filled.not_fitted)
    if filled.empty:
        lines += section(f"Left empty ({len(filled.empty)})", "what is not written down now cannot be found out later") + _named(filled.empty)
    return [*lines, *(section("Next") if steps else []), *(clean(f"  {step}") for step in steps)]


def _named(names: Iterable[str]) -> list[str]:
    return wrapped("; ".join(name.replace("-", " ") for name in names), "  ")


def next_steps(form: Path, out: Path | None, written_as: str, engine_file: Path | None, with_engine: bool) -> list[str]:
    """The commands that come after reading ``form``: make a sheet of it, then judge the sheet."""
    engine = f" --engine {shlex.quote(str(engine_file)) if engine_file is not None else ENGINE}"
    if out is not None and written_as in ("csv", "json"):
        carried = written_as == "json" and with_engine
        return [f"halfthou sheet {shlex.quote(str(out))}{'' if carried else engine}"]
    sheet = form.with_suffix(".sheet.json").name
    return [f"halfthou as-found --read {shlex.quote(str(form))}{engine} --out {shlex.quote(sheet)}", f"halfthou sheet {shlex.quote(sheet)}"]


__all__ = ["filled_page", "next_steps"]
