"""The owner's overlay: a TOML file with figures from the owner's own book, bound to one engine.

It has the shape of our limits, is read by the same loader, and its figures are graded ``owner``. They outrank ours for that engine; on a
characteristic with a safety limit they count only where they are tighter. Its digest enters the edition of every answer.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from marshmallow import ValidationError

from . import reading
from .errors import RecordError, SpecdbError
from .load import flat_messages, header_lines
from .records import Limit
from .schemas import OverlaySchema, OwnLimitSchema
from .table import Table, encode

MOST_BYTES = 500_000

TEMPLATE = """\
# Your own figures for one engine. They outrank the table for that engine; a safety limit may only be made tighter.
# Leave out what your book does not give. A side is a number, "unbounded" (nothing bad on that side) or "none_on_file".

[overlay]
engine = "{engine}"              # the engine id you send with your readings
title = "My own book"

[[limit]]
id = "my-rod-clearance"
characteristic = "rod-bearing-running-clearance"
unit = "in"
fit = {{ low = 0.0020, high = 0.0035 }}
wear = {{ low = "none_on_file", high = 0.006 }}
reasoning = "Page 12 of my instruction book."
"""


@dataclass(frozen=True, slots=True)
class Overlay:
    """An owner's figures for one engine, and the digest that enters the edition."""

    engine: str
    title: str
    limits: tuple[Limit, ...]
    digest: str

    def limits_for(self, engine_id: str) -> tuple[Limit, ...]:
        """The figures, if they are bound to this engine; otherwise none."""
        return self.limits if engine_id and engine_id == self.engine else ()


def edition_with(table: Table, overlay: Overlay | None) -> str:
    """The edition as answers name it: the table's, and the overlay's digest beside it."""
    return table.edition if overlay is None else f"{table.edition}.own-{overlay.digest}"


def read_overlay(table: Table, path: Path) -> Overlay:
    """Read and check an overlay file.

    Raises:
        RecordError: the first fault, with file, line, id and reason.
        SpecdbError: the file cannot be read.
    """
    try:
        if path.stat().st_size > MOST_BYTES:
            raise SpecdbError(f"{path.name} is too large for an overlay ({MOST_BYTES} bytes at most)")
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise SpecdbError(f"{path.name} cannot be read: {getattr(error, 'strerror', None) or 'not UTF-8 text'}") from error
    for item in overlay_faults(table, text, path.name):
        raise item
    raw = tomllib.loads(text, parse_float=Decimal)
    limits = tuple(_limit(table, row) for row in raw.get("limit", []))
    digest = hashlib.sha256(encode(raw).encode()).hexdigest()[:8]
    return Overlay(raw["overlay"]["engine"], raw["overlay"]["title"], limits, digest)


def overlay_faults(table: Table, text: str, name: str) -> Iterator[RecordError]:
    """Every fault of an overlay's text."""
    try:
        raw = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        yield RecordError(name, 1, "(file)", f"not TOML: {error}")
        return
    extra = set(raw) - {"overlay", "limit"}
    if extra:
        yield RecordError(name, 1, "(file)", f"only [overlay] and [[limit]] stand in an overlay, not {', '.join(sorted(extra))}")
    head = raw.get("overlay", {})
    for fault in _schema_faults(OverlaySchema(), head):
        yield RecordError(name, 1, "overlay", fault)
    lines = header_lines(text, "limit")
    seen: set[str] = set()
    rows = raw.get("limit", [])
    for index, row in enumerate(rows if isinstance(rows, list) else []):
        line = lines[index] if index < len(lines) else 1
        record_id = str(row.get("id", f"limit {index + 1}"))
        reasons = list(_schema_faults(OwnLimitSchema(), row)) or list(_fault(table, row))
        if record_id in seen:
            reasons.append("the id stands already above")
        seen.add(record_id)
        for reason in reasons:
            yield RecordError(name, line, record_id, reason)


def _schema_faults(schema: OverlaySchema | OwnLimitSchema, raw: Any) -> Iterator[str]:
    try:
        schema.load(raw)
    except ValidationError as error:
        for where, what in flat_messages(error.messages):
            yield f"{where}: {what}"


def _fault(table: Table, row: dict[str, Any]) -> Iterator[str]:
    try:
        what = table.characteristic(row["characteristic"])
        limit = _limit(table, row)
    except SpecdbError as error:
        yield str(error)
        return
    if what.value_kind == "finding":
        yield f"{what.id} is told in words and takes no figures"
    elif limit.unit.dimension != (wanted := _dimension(what.unit)):
        yield f"{limit.unit.token} is {limit.unit.dimension}, but {what.id} is {wanted}"


def _dimension(unit: str) -> str:
    from .units import UNITS

    return UNITS[unit].dimension


def _limit(table: Table, row: dict[str, Any]) -> Limit:
    what = table.characteristic(row["characteristic"])
    kind = "limit"
    for adopted in table.limits_of.get(what.id, ()):
        kind = "safety" if adopted.kind == "safety" else kind
    whole = {"kind": kind, "classes": ["any"], "use": "any" if kind == "safety" else row.get("use", "work"), "basis": what.basis,
             "reasoning": "your own figure", **row}  # fmt: skip
    return reading.limit(whole, table.scale(what.id), table.dimension_units, owner=True)
