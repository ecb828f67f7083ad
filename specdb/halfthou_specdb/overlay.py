"""The owner's overlay: a TOML file with figures from the owner's own book, bound to one engine.

It has the shape of our limits, is read by the same loader, and its figures are graded ``owner``. They outrank ours for that engine; on a
characteristic with a safety limit they count only where they are tighter. Its digest enters the edition of every answer. The text may
come from anybody, so every number in it is bounded before anything is worked out.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from marshmallow import ValidationError

from . import reading
from .errors import MissingDimension, OutsideRange, QuantityError, RecordError, SpecdbError
from .load import flat_messages, header_lines
from .own_tools import MOST_TOOLS, tool, tool_faults
from .quantity import checked_decimal
from .records import ENDS, Limit
from .resolve import ties
from .rules import Open
from .schemas import OverlaySchema, OwnLimitSchema
from .standing import trial_sizes, upside_down, worked_out
from .table import Table, encode
from .tool_records import Instrument
from .units import UNITS

MOST_BYTES = 500_000
MOST_LIMITS = 500
MOST_ID = 80
_ESCAPES = str.maketrans({"\\": "\\\\", '"': '\\"'})

TEMPLATE = """\
# Your own figures for one engine. They outrank the table for that engine; a safety limit may only be made tighter.
# Leave out what your book does not give. A side is a number, "unbounded" (nothing bad on that side) or "none_on_file".
# Nothing counts until you take the # away from a figure and put your own book's number in its place.

[overlay]
engine = "{engine}"              # the engine id you send with your readings
title = "My own book"

# [[limit]]
# id = "my-rod-clearance"        # your own name for the figure
# characteristic = "rod-bearing-running-clearance"      # find one: halfthou search "how loose is the rod"
# unit = "in"
# fit = {{ low = 0.0, high = 0.0 }}                       # a new or rebuilt part
# wear = {{ low = "none_on_file", high = 0.0 }}           # where a worn part is no longer put back
# reasoning = "Page and title of my own book."

# A tool of your own, or one of ours as you know it better. Parts are standard uncertainties (half of a 95 % figure).
# [[instrument]]
# id = "my-micrometer"             # the id of one of ours takes its place
# name = "my 1-2 in micrometer"
# measures = "length"
# default_variant = "checked"
# [[instrument.variant]]
# id = "checked"
# name = "checked on its rod"
# parts = [
#   {{ name = "limit of error", kind = "constant", value = 0.0, unit = "thou" }},
#   {{ name = "feel", kind = "constant", value = 0.0, unit = "thou", random = true }},
# ]
"""


@dataclass(frozen=True, slots=True)
class Overlay:
    """An owner's figures and tools for one engine, and the digest that enters the edition."""

    engine: str
    title: str
    limits: tuple[Limit, ...]
    digest: str
    instruments: tuple[Instrument, ...] = ()

    def limits_for(self, engine_id: str) -> tuple[Limit, ...]:
        """The figures, if they are bound to this engine; otherwise none."""
        return self.limits if engine_id and engine_id == self.engine else ()

    def table_for(self, table: Table, engine_id: str) -> Table:
        """The table with the owner's tools, if they are bound to this engine; otherwise the table as it is."""
        return table.with_instruments(self.instruments) if engine_id and engine_id == self.engine else table


def template(engine: str) -> str:
    """An overlay to start from, for one engine: it changes nothing until its figures are filled in.

    Raises:
        SpecdbError: not a name that can stand in the file.
    """
    if not engine.strip() or len(engine) > MOST_ID or not engine.isprintable():
        raise SpecdbError(f"an engine's id is 1 to {MOST_ID} characters that can be printed")
    return TEMPLATE.format(engine=engine.translate(_ESCAPES))


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
    return overlay_of(table, text, path.name)


def overlay_of(table: Table, text: str, name: str) -> Overlay:
    """The overlay of a text; ``name`` stands for the file in a refusal.

    Raises:
        RecordError: the first fault.
    """
    for fault in overlay_faults(table, text, name):
        raise fault
    raw = tomllib.loads(text, parse_float=Decimal)
    limits = tuple(_limit(table, row) for row in raw.get("limit", []))
    digest = hashlib.sha256(encode(raw).encode()).hexdigest()[:8]
    return Overlay(raw["overlay"]["engine"], raw["overlay"]["title"], limits, digest, tuple(map(tool, raw.get("instrument", []))))


def overlay_faults(table: Table, text: str, name: str) -> Iterator[RecordError]:
    """Every fault of an overlay's text, found as they are asked for."""
    try:
        raw = tomllib.loads(text, parse_float=Decimal)
    except (ValueError, RecursionError) as error:
        yield RecordError(name, 1, "(file)", f"not TOML: {error}" if isinstance(error, tomllib.TOMLDecodeError) else "not TOML that can be read")
        return
    extra = set(raw) - {"overlay", "limit", "instrument"}
    if extra:
        only = "only [overlay], [[limit]] and [[instrument]] stand in an overlay"
        yield RecordError(name, 1, "(file)", f"{only}, not {', '.join(sorted(extra))[:200]}")
    for fault in _schema_faults(OverlaySchema(), raw.get("overlay", {})):
        yield RecordError(name, 1, "overlay", fault)
    sound: list[Limit] = []
    yield from _records(text, name, raw.get("limit", []), "limit", MOST_LIMITS, lambda row: _limit_faults(table, row, sound))
    yield from _records(text, name, raw.get("instrument", []), "instrument", MOST_TOOLS, lambda row: _tool_faults(table, row))


def _records(
    text: str, name: str, rows: Any, kind: str, most: int, faults: Callable[[dict[str, Any]], Iterator[str]]
) -> Iterator[RecordError]:
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        yield RecordError(name, 1, kind, f"write each {'figure' if kind == 'limit' else kind} under a heading of its own, [[{kind}]]")
        return
    if len(rows) > most:
        yield RecordError(name, 1, kind, f"an overlay holds at most {most} {'figures' if kind == 'limit' else 'tools'}; this one holds {len(rows)}")
        return
    lines = header_lines(text, kind)
    seen: set[str] = set()
    for index, row in enumerate(rows):
        line = lines[index] if index < len(lines) else 1
        record_id = str(row.get("id", f"{kind} {index + 1}"))
        reasons = list(faults(row))
        if record_id in seen:
            reasons.append("the id stands already above")
        seen.add(record_id)
        for reason in reasons:
            yield RecordError(name, line, record_id[:MOST_ID], reason)


def _limit_faults(table: Table, row: dict[str, Any], sound: list[Limit]) -> Iterator[str]:
    """What is wrong with one figure; ``sound`` are those above it, and it joins them where nothing is."""
    faults = list(_schema_faults(OwnLimitSchema(), row)) or list(_numbers(row)) or list(_fault(table, row))
    if not faults:
        limit = _limit(table, row)
        faults = [f"says the same thing twice, beside {other.id}: neither is for a narrower size or a use of its own, so nobody knows which holds; "
                  "keep one, or give them sizes or a use that differ" for other in sound if ties(limit, other)][:1]  # fmt: skip
        sound.append(limit)
    yield from faults


def _tool_faults(table: Table, row: dict[str, Any]) -> Iterator[str]:
    yield from list(_numbers(row)) or list(tool_faults(table, row))


def _schema_faults(schema: OverlaySchema | OwnLimitSchema, raw: Any) -> Iterator[str]:
    try:
        schema.load(raw)
    except ValidationError as error:
        for where, what in flat_messages(error.messages):
            yield f"{where}: {what}"


def _numbers(raw: Any, where: str = "") -> Iterator[str]:
    """Numbers that are not finite, or too long to work with."""
    for key, value in raw.items() if isinstance(raw, dict) else enumerate(raw, 1) if isinstance(raw, list) else ():
        place = f"{where}.{key}" if where else str(key)
        if isinstance(value, (dict, list)):
            yield from _numbers(value, place)
        elif isinstance(value, (int, Decimal)) and not isinstance(value, bool):
            try:
                checked_decimal(value)
            except QuantityError as error:
                yield f"{place}: {error}"


def _fault(table: Table, row: dict[str, Any]) -> Iterator[str]:
    if row["id"] in table.limits:
        yield "the table has a limit of that id; give yours a name of its own"
        return
    try:
        what = table.characteristic(row["characteristic"])
        limit = _limit(table, row)
    except (SpecdbError, KeyError, TypeError, ValueError, ArithmeticError) as error:
        yield str(error) if isinstance(error, SpecdbError) else "a rule of another shape than those in the guide to the data files"
        return
    if what.value_kind == "finding":
        yield f"{what.id} is told in words and takes no figures"
    elif all(isinstance(limit.bound(end), Open) for end in ENDS):
        yield "no side has a number, so it says nothing; give fit or wear a low or a high end, or leave the figure out"
    elif limit.unit.dimension != (wanted := UNITS[what.unit].dimension):
        yield f"{limit.unit.token} is {limit.unit.dimension}, but {what.id} is {wanted}"
    elif limit.sizes and (of := limit.sizes.of) not in table.dimensions:
        yield f"sizes.of: no engine dimension is called {of!r}"
    elif limit.sizes and limit.sizes.low.unit.dimension != (kind := UNITS[table.dimension_units[limit.sizes.of]].dimension):
        yield f"sizes.unit: {limit.sizes.low.unit.token} is {limit.sizes.low.unit.dimension}, but {limit.sizes.of} is {kind}"
    else:
        yield from _ends(table, limit)


def _ends(table: Table, limit: Limit) -> Iterator[str]:
    """What goes wrong when the figure is worked out: an interval upside down, a rule that leads nowhere or round in a circle."""
    for sizes in trial_sizes(table, limit):
        try:
            wrong = upside_down(worked_out(table, limit, sizes))
        except (MissingDimension, OutsideRange):
            continue
        except RecursionError:
            wrong = "a rule that leads back to itself"
        except (SpecdbError, KeyError, ArithmeticError) as error:
            wrong = str(error) if isinstance(error, SpecdbError) else "a rule that cannot be worked out"
        if wrong:
            yield wrong
            return


def _limit(table: Table, row: dict[str, Any]) -> Limit:
    what = table.characteristic(row["characteristic"])
    adopted = table.limits_of.get(what.id, ())
    kind = "safety" if any(m.kind == "safety" for m in adopted) else "limit"
    cautions = list(dict.fromkeys(c for m in adopted for c in m.cautions))
    whole = {"kind": kind, "classes": ["any"], "use": "any" if kind == "safety" else row.get("use", "work"), "basis": what.basis,
             "reasoning": "your own figure", "cautions": cautions, **row}  # fmt: skip
    return reading.limit(whole, table.scale(what.id), table.dimension_units, owner=True)
