"""Standard uncertainty of one reading: the caller's own, or the instrument's parts at that reading.

How its lines are combined stands in ``lines``, what repeats do to it in ``repeats``, and a difference that takes two readings in ``between``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Characteristic
from halfthou_specdb.table import Table
from halfthou_specdb.tool_records import Instrument, UncertaintyPart, Variant
from halfthou_specdb.units import Unit

from .between import OVAL, blind, of_two, oval_of, takes_two
from .lines import Budget, Line, factor_ratio, mean_of, own_lines, scale_of, summed, whole, with_lines
from .readings import Reading, ReadingProblem
from .repeats import ENOUGH_REPEATS, MOST_APART, scattered, with_pooled, with_repeats
from .speak import say_doubt
from .steps import STEP, Floor, step_of, variants
from .tools import TEMPERATURES, measures, pick_variant, usual_tool
from .wording import with_article

STATED = "stated with the reading"


def _part(part: UncertaintyPart, resolution: Quantity | None, unit: Unit) -> tuple[float, float]:
    """(constant, share of the reading) of one part, in ``unit``."""
    value = float(part.value)
    if part.kind == "percent":
        return 0.0, value / 100.0
    if part.kind == "counts":
        assert resolution is not None
        return value * float(resolution.exact) * scale_of(resolution.unit, unit) / math.sqrt(3.0), 0.0
    if part.kind == "percent-of-span":
        assert part.span is not None
        return value / 100.0 * float(part.span.exact) * scale_of(part.span.unit, unit) / math.sqrt(3.0), 0.0
    assert part.unit is not None
    return value * scale_of(part.unit, unit), 0.0


@dataclass(frozen=True, slots=True)
class _Prepared:
    """The parts of a variant in one unit: (constant, share of the reading) of each, and the sums of their squares."""

    variant: Variant
    pairs: tuple[tuple[float, float], ...]
    constant: float
    share: float
    step: float


_PREPARED: dict[tuple[int, str], _Prepared] = {}
"""By identity of the variant, which each entry keeps alive: hashing a record of exact fractions costs more than the sum."""


def _prepared(variant: Variant, unit: Unit) -> _Prepared:
    key = (id(variant), unit.token)
    found = _PREPARED.get(key)
    if found is None:
        if len(_PREPARED) > 4096:
            _PREPARED.clear()
        pairs = tuple(_part(p, variant.resolution, unit) for p in variant.parts)
        step = math.hypot(*(c for part, (c, _) in zip(variant.parts, pairs, strict=True) if part.step and part.random))
        found = _PREPARED[key] = _Prepared(variant, pairs, sum(c * c for c, _ in pairs), sum(s * s for _, s in pairs), step)
    return found


def variant_u(variant: Variant, reading: float, unit: Unit) -> float:
    """Standard uncertainty of one reading with a variant [``unit``]."""
    found = _prepared(variant, unit)
    return math.sqrt(found.constant + found.share * reading * reading)


def lines_of(variant: Variant, reading: float, unit: Unit) -> tuple[Line, ...]:
    """The budget line by line."""
    pairs = zip(variant.parts, _prepared(variant, unit).pairs, strict=True)
    return tuple(Line(part.name, constant or share * abs(reading), part.grade, part.random, part.step) for part, (constant, share) in pairs)


def doubt_with(table: Table, what: Characteristic | None, instrument: Instrument, variant: Variant, value: float, unit: Unit,
               reading: Reading) -> float:  # fmt: skip
    """Standard uncertainty of one reading with a tool, or of a difference that takes two of them [``unit``]."""
    if what is None or not takes_two(table, what, instrument):
        return variant_u(variant, value, unit)
    return whole(of_two(lines_of(variant, value, unit), what, variant, reading)[0])


def budget(
    table: Table, what: Characteristic | None, reading: Reading, value: Quantity, size: Quantity | None, derived: Quantity | None = None,
    derived_per_unit: float = 1.0,
) -> Budget:
    """The uncertainty of a reading; never zero.

    Args:
        value: what the tool showed.
        derived: the same as the characteristic's own kind of quantity (degrees for inches on the rim), for a tool that reads that;
            ``derived_per_unit`` turns one into the other.

    Raises:
        ReadingProblem: unknown instrument, the wrong kind of instrument, or an uncertainty in the wrong kind of unit.
    """
    unit = value.unit
    if reading.standard_uncertainty is not None:
        named = table.instruments.get(reading.instrument.partition("/")[0])
        if named is not None and what is not None and OVAL in named.blind_to and what.id in oval_of(table):
            raise ReadingProblem("wrong-instrument", blind(table, what, named), "/instrument")
        stated = with_lines(scattered(reading, _callers(reading, unit), unit), own_lines(reading.own_lines, unit))
        return _not_below_the_tool(table, what, reading, stated, value, derived, derived_per_unit)
    assumed: tuple[str, ...] = ()
    name, instead = reading.instrument, ""
    if not name:
        if what is None or not what.usual_instrument:
            raise ReadingProblem("no-uncertainty", "no instrument and no standard_uncertainty is given, and none is usual for this", "/instrument")
        name, instead = usual_tool(table, what, value, size)
    instrument_id, _, wanted = name.partition("/")
    instrument = table.instruments.get(instrument_id)
    if instrument is None:
        near = _near(instrument_id, table)
        hint = f"; did you mean {', '.join(near)}?" if near else ""
        raise ReadingProblem("unknown-instrument", f"no instrument is called {instrument_id[:60]!r}{hint}", "/instrument", near)
    if what is not None and OVAL in instrument.blind_to and what.id in oval_of(table):
        raise ReadingProblem("wrong-instrument", blind(table, what, instrument), "/instrument")
    if derived is not None and not measures(instrument, unit) and measures(instrument, derived.unit):
        value, unit = derived, derived.unit
    if not measures(instrument, unit):
        raise ReadingProblem("wrong-instrument", f"{with_article(instrument.name)} measures {instrument.measures.replace('_', ' ')}, "
                             f"and this reading is in {unit.token}", "/instrument")  # fmt: skip
    variant = pick_variant(instrument, wanted, value, size)
    lines, u = lines_of(variant, float(value.exact), unit), variant_u(variant, float(value.exact), unit)
    step, joined = _prepared(variant, unit).step, {}
    if reading.own_lines:
        own = own_lines(reading.own_lines, unit)
        joined = {name: line for name, line in own.items() if all(line.name != name for line in lines)}
        lines = tuple(replace(own[line.name], step=line.step) if line.name in own else line for line in lines)
        u, step = whole(lines), whole(tuple(line for line in lines if line.step and line.random))
    if not u > 0 and not joined:
        raise ReadingProblem("zero-uncertainty", f"the doubt of {with_article(instrument.name)} is a share of the reading, so at zero nothing is "
                             "known of it; state standard_uncertainty", "/standard_uncertainty")  # fmt: skip
    if not reading.instrument:
        assumed = (f"no instrument named: taken as {instrument.name} ({variant.name}), good to about +/-{say_doubt(2 * u, unit)}{instead}",)
    elif not wanted and len(instrument.variants) > 1:
        assumed = (f"{instrument.name} taken as: {variant.name}",)
    if joined:
        names = ", ".join(line.name for line in lines)
        assumed += (f"added to the tool's own lines ({names}), none of which has that name: {', '.join(joined)}",)
    if what is not None and reading.go is None and takes_two(table, what, instrument):
        lines, said = of_two(lines, what, variant, reading)
        u, step, assumed = whole(lines), whole(tuple(line for line in lines if line.step and line.random)), (*assumed, said)
    scale = derived_per_unit if derived is not None and unit is derived.unit else 1.0
    found = with_repeats(reading, Budget(unit, u, math.inf, lines, f"{instrument.id}/{variant.id}", assumed, step=step), unit, scale)
    found = with_lines(with_pooled(reading, found, unit), joined)
    return _not_below_the_tool(table, what, replace(reading, instrument=found.instrument), found, value, None, 1.0) if reading.own_lines else found


def _near(name: str, table: Table) -> tuple[str, ...]:
    from difflib import get_close_matches

    return tuple(get_close_matches(name[:60], list(table.instruments), n=3, cutoff=0.5))


def _callers(reading: Reading, unit: Unit) -> Budget:
    given = reading.standard_uncertainty
    assert given is not None
    if given.unit.dimension != unit.dimension and not {given.unit.dimension, unit.dimension} <= TEMPERATURES:
        raise ReadingProblem("wrong-dimension", f"the uncertainty is in {given.unit.token}, the reading in {unit.token}", "/standard_uncertainty")
    u = float(given.exact) * scale_of(given.unit, unit)
    if not u > 0:
        raise ReadingProblem("zero-uncertainty", "an uncertainty must be above zero; every tool has some", "/standard_uncertainty")
    dof = math.inf if reading.degrees_of_freedom is None else reading.degrees_of_freedom
    return Budget(unit, u, dof, (Line(STATED, u, "owner", False),), reading.instrument, ())


def _not_below_the_tool(
    table: Table, what: Characteristic | None, reading: Reading, found: Budget, value: Quantity, derived: Quantity | None, derived_per_unit: float
) -> Budget:
    """A doubt of the caller's own that is smaller than the tool leaves: said, and under a safety limit what the tool leaves is added."""
    if reading.go is not None:  # the interval between the two gauges takes the place of the step
        return found
    guarded = what is not None and any(m.kind == "safety" for m in table.limits_of.get(what.id, ()))
    told = [(value, 1.0)] if derived is None else [(value, 1.0), (derived, abs(derived_per_unit))]
    for shown, scale in told:
        floor = step_of(table, what, reading.instrument, shown.unit) or (_least_part(table, what, reading.instrument, shown) if guarded else None)
        if floor is not None and found.u < floor.u / scale * (1.0 - 1e-9):
            break
    else:
        return found
    least = floor.u / scale
    said = (f"a doubt of +/-{say_doubt(2 * found.u, found.unit)} is less than {with_article(floor.tool)} leaves, {floor.why} "
            f"(+/-{say_doubt(2 * least, found.unit)})")  # fmt: skip
    if not guarded:
        return replace(found, assumed=(*found.assumed, f"{said}: taken as you state it; look whether it is right"))
    more = summed(found, (*found.lines, Line(STEP, least, "derived", False)))
    return replace(more, assumed=(*found.assumed, f"{said}: that was added, since doubt counts against a safety limit"))


def _least_part(table: Table, what: Characteristic | None, instrument: str, value: Quantity) -> Floor | None:
    parts = [Floor(tool, f"for the {line.name} alone", line.u) for tool, variant in variants(table, what, instrument, value.unit)
             for line in lines_of(variant, float(value.exact), value.unit) if line.u > 0]  # fmt: skip
    return min(parts, key=lambda floor: floor.u, default=None)


__all__ = ["ENOUGH_REPEATS", "MOST_APART", "STATED", "Budget", "Line", "budget", "doubt_with", "factor_ratio", "lines_of", "mean_of", "summed",
           "variant_u", "whole"]  # fmt: skip
