"""Which tool and which make-up of it: the one named, or the usual one, or the next suitable one where the usual one does not reach."""

from __future__ import annotations

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Characteristic
from halfthou_specdb.table import Table
from halfthou_specdb.tool_records import Instrument, Variant
from halfthou_specdb.units import Unit

from .readings import ReadingProblem

TEMPERATURES = frozenset({"temperature", "temperature_difference"})


def measures(instrument: Instrument, unit: Unit) -> bool:
    """Whether an instrument reads this kind of quantity."""
    return instrument.measures == unit.dimension or {instrument.measures, unit.dimension} <= TEMPERATURES


def pick_variant(instrument: Instrument, wanted: str, value: Quantity, size: Quantity | None) -> Variant:
    """The variant named, else the default where it covers the reading and the size, else the first that does.

    Raises:
        ReadingProblem: no such variant; the reading lies outside what the instrument can read.
    """
    if wanted:
        found = [v for v in instrument.variants if v.id == wanted]
        if not found:
            names = tuple(v.id for v in instrument.variants)
            raise ReadingProblem("unknown-instrument", f"{instrument.id} has no variant {wanted!r}; it has {', '.join(names)}",
                                 "/instrument", names)  # fmt: skip
        candidates = found
    else:
        candidates = sorted(instrument.variants, key=lambda v: v.id != instrument.default_variant)
    reads = [v for v in candidates if covers(v.reads, value)] if any(v.reads for v in candidates) else list(candidates)
    if not reads:
        spans = "; ".join(f"{v.name} reads {v.reads[0]} to {v.reads[1]}" for v in candidates if v.reads)
        raise ReadingProblem("outside-instrument-range", f"{value} is outside what the {instrument.name} can read ({spans}); name the tool that "
                             "read it, or state its standard_uncertainty", "/instrument")  # fmt: skip
    sized = [v for v in reads if size is None or covers(v.sizes, size)]
    return (sized or reads)[0]


def covers(span: tuple[Quantity, Quantity] | None, value: Quantity) -> bool:
    """Whether a range holds a value; no range, and a range of another kind of quantity, holds all."""
    if span is None or span[0].unit.dimension != value.unit.dimension:
        return True
    low, high = span
    unit = value.unit
    if low.unit is high.unit is unit and not unit.offset:
        return low.exact <= abs(value.exact) <= high.exact
    return low.canonical <= abs(value.canonical) <= high.canonical


def usual_tool(table: Table, what: Characteristic, value: Quantity, size: Quantity | None) -> tuple[str, str]:
    """The tool taken where none is named, and what to say where it is not the usual one or is used outside its range.

    The usual one where it reaches the reading and the size of the part, else the first suitable one that does. A pair of gauges that only
    goes or does not go gave no such value, so it is never taken instead.
    """
    usual = table.instruments.get(what.usual_instrument)
    if usual is None or not measures(usual, value.unit) or _reaches(usual, value, size):
        return what.usual_instrument, ""
    for name in what.instruments:
        tool = table.instruments.get(name)
        if tool is not None and tool is not usual and measures(tool, value.unit) and not _pair(tool) and _reaches(tool, value, size):
            return name, f"; the usual {usual.name} does not reach {'this size' if _reaches(usual, value, None) else 'this reading'}"
    return what.usual_instrument, "; this size lies outside its range"


def _reaches(tool: Instrument, value: Quantity, size: Quantity | None) -> bool:
    return any(covers(v.reads, value) and (size is None or covers(v.sizes, size)) for v in tool.variants)


def _pair(tool: Instrument) -> bool:
    return any("interval" in part.name for variant in tool.variants for part in variant.parts)
