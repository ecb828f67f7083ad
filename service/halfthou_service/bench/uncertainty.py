"""Standard uncertainty of one reading: the caller's own, or the instrument's parts at that reading.

Parts are combined by the law of propagation for independent errors (JCGM 100:2008, 5.1.2) and effective degrees of freedom by the
Welch-Satterthwaite formula (JCGM 100:2008, G.4.1). Repeats add a Type A part only from four on: fewer know their own scatter too badly.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Characteristic, UncertaintyPart, Variant
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS, Unit

from .readings import OwnLine, Reading, ReadingProblem
from .speak import say_doubt
from .steps import STEP, Floor, step_of, variants
from .tools import TEMPERATURES, measures, pick_variant, usual_tool

ENOUGH_REPEATS = 4
MOST_APART = 4.0
"""Two readings of one thing lie further apart than this many standard uncertainties less than once in two hundred times."""
STATED = "stated with the reading"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the budget: name, standard uncertainty [reading's unit], grade, whether repeats average it out."""

    name: str
    u: float
    grade: str
    random: bool


@dataclass(frozen=True, slots=True)
class Budget:
    """Standard uncertainty u [``unit``], its degrees of freedom, its lines, and what was assumed."""

    unit: Unit
    u: float
    dof: float
    lines: tuple[Line, ...]
    instrument: str
    assumed: tuple[str, ...]
    repeats: int = 1
    """Readings that were averaged into this u."""


def _part(part: UncertaintyPart, resolution: Quantity | None, unit: Unit) -> tuple[float, float]:
    """(constant, share of the reading) of one part, in ``unit``."""
    value = float(part.value)
    if part.kind == "percent":
        return 0.0, value / 100.0
    if part.kind == "counts":
        assert resolution is not None
        return value * float(resolution.exact) * _scale(resolution.unit, unit) / math.sqrt(3.0), 0.0
    if part.kind == "percent-of-span":
        assert part.span is not None
        return value / 100.0 * float(part.span.exact) * _scale(part.span.unit, unit) / math.sqrt(3.0), 0.0
    assert part.unit is not None
    return value * _scale(part.unit, unit), 0.0


def _scale(given: Unit, wanted: Unit) -> float:
    return 1.0 if given is wanted else factor_ratio(given.token, wanted.token)


@lru_cache(maxsize=4096)
def factor_ratio(given: str, wanted: str) -> float:
    """From one unit token to another, as a float; offsets left out (for differences and uncertainties)."""
    return float(UNITS[given].factor / UNITS[wanted].factor)


@dataclass(frozen=True, slots=True)
class _Prepared:
    """The parts of a variant in one unit: (constant, share of the reading) of each, and the sums of their squares."""

    variant: Variant
    pairs: tuple[tuple[float, float], ...]
    constant: float
    share: float


_PREPARED: dict[tuple[int, str], _Prepared] = {}
"""By identity of the variant, which each entry keeps alive: hashing a record of exact fractions costs more than the sum."""


def _prepared(variant: Variant, unit: Unit) -> _Prepared:
    key = (id(variant), unit.token)
    found = _PREPARED.get(key)
    if found is None:
        if len(_PREPARED) > 4096:
            _PREPARED.clear()
        pairs = tuple(_part(p, variant.resolution, unit) for p in variant.parts)
        found = _PREPARED[key] = _Prepared(variant, pairs, sum(c * c for c, _ in pairs), sum(s * s for _, s in pairs))
    return found


def variant_u(variant: Variant, reading: float, unit: Unit) -> float:
    """Standard uncertainty of one reading with a variant [``unit``]."""
    found = _prepared(variant, unit)
    return math.sqrt(found.constant + found.share * reading * reading)


def lines_of(variant: Variant, reading: float, unit: Unit) -> tuple[Line, ...]:
    """The budget line by line."""
    pairs = zip(variant.parts, _prepared(variant, unit).pairs, strict=True)
    return tuple(Line(part.name, constant or share * abs(reading), part.grade, part.random) for part, (constant, share) in pairs)


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
        stated = with_lines(_scattered(reading, _callers(reading, unit), unit), reading.own_lines)
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
    if derived is not None and not measures(instrument, unit) and measures(instrument, derived.unit):
        value, unit = derived, derived.unit
    if not measures(instrument, unit):
        raise ReadingProblem("wrong-instrument", f"a {instrument.name} measures {instrument.measures.replace('_', ' ')}, "
                             f"and this reading is in {unit.token}", "/instrument")  # fmt: skip
    variant = pick_variant(instrument, wanted, value, size)
    lines = lines_of(variant, float(value.exact), unit)
    u = variant_u(variant, float(value.exact), unit)
    if not u > 0:
        raise ReadingProblem("zero-uncertainty", f"the doubt of a {instrument.name} is a share of the reading, so at zero nothing is known of it; "
                             "state standard_uncertainty", "/standard_uncertainty")  # fmt: skip
    if not reading.instrument:
        assumed = (f"no instrument named: taken as {instrument.name} ({variant.name}), good to about +/-{say_doubt(2 * u, unit)}{instead}",)
    elif not wanted and len(instrument.variants) > 1:
        assumed = (f"{instrument.name} taken as: {variant.name}",)
    scale = derived_per_unit if derived is not None and unit is derived.unit else 1.0
    found = _with_repeats(reading, Budget(unit, u, math.inf, lines, f"{instrument.id}/{variant.id}", assumed), unit, scale)
    whole = with_lines(_with_pooled(reading, found, unit), reading.own_lines)
    return _not_below_the_tool(table, what, replace(reading, instrument=found.instrument), whole, value, None, 1.0) if reading.own_lines else whole


def _near(name: str, table: Table) -> tuple[str, ...]:
    from difflib import get_close_matches

    return tuple(get_close_matches(name[:60], list(table.instruments), n=3, cutoff=0.5))


def _callers(reading: Reading, unit: Unit) -> Budget:
    given = reading.standard_uncertainty
    assert given is not None
    if given.unit.dimension != unit.dimension and not {given.unit.dimension, unit.dimension} <= TEMPERATURES:
        raise ReadingProblem("wrong-dimension", f"the uncertainty is in {given.unit.token}, the reading in {unit.token}", "/standard_uncertainty")
    u = float(given.exact) * _scale(given.unit, unit)
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
    said = (f"a doubt of +/-{say_doubt(2 * found.u, found.unit)} is less than a {floor.tool} leaves, {floor.why} "
            f"(+/-{say_doubt(2 * least, found.unit)})")  # fmt: skip
    if not guarded:
        return replace(found, assumed=(*found.assumed, f"{said}: taken as you state it; look whether it is right"))
    whole = summed(found, (*found.lines, Line(STEP, least, "derived", False)))
    return replace(whole, assumed=(*found.assumed, f"{said}: that was added, since doubt counts against a safety limit"))


def _least_part(table: Table, what: Characteristic | None, instrument: str, value: Quantity) -> Floor | None:
    parts = [Floor(tool, f"for the {line.name} alone", line.u) for tool, variant in variants(table, what, instrument, value.unit)
             for line in lines_of(variant, float(value.exact), value.unit) if line.u > 0]  # fmt: skip
    return min(parts, key=lambda floor: floor.u, default=None)


def with_lines(base: Budget, own: tuple[OwnLine, ...]) -> Budget:
    """The budget with the caller's own lines: each replaces the line of its name, or is added.

    Raises:
        ReadingProblem: a line in the wrong kind of unit, or not above zero.
    """
    if not own:
        return base
    lines = {line.name: line for line in base.lines}
    for index, line in enumerate(own):
        pointer = f"/budget/{index}/standard_uncertainty"
        if line.u.unit.dimension != base.unit.dimension and not {line.u.unit.dimension, base.unit.dimension} <= TEMPERATURES:
            raise ReadingProblem("wrong-dimension", f"the line {line.name!r} is in {line.u.unit.token}, the reading in {base.unit.token}", pointer)
        if line.u.exact < 0:
            raise ReadingProblem("zero-uncertainty", "an uncertainty cannot be negative", pointer)
        lines[line.name] = Line(line.name, float(line.u.exact) * _scale(line.u.unit, base.unit), "owner", line.random)
    return summed(base, tuple(lines.values()))


def summed(base: Budget, lines: tuple[Line, ...]) -> Budget:
    """The budget of these lines, root-sum-square; degrees of freedom by Welch-Satterthwaite from the part that had them.

    Raises:
        ReadingProblem: nothing is left of the doubt.
    """
    u = math.sqrt(math.fsum(line.u**2 for line in lines))
    if not u > 0:
        raise ReadingProblem("zero-uncertainty", "an uncertainty must be above zero; every tool has some", "/budget")
    dof = base.dof if math.isinf(base.dof) else base.dof * (u / base.u) ** 4
    return replace(base, u=u, dof=dof, lines=lines)


def _with_pooled(reading: Reading, base: Budget, unit: Unit) -> Budget:
    """Scatter pooled from earlier surveys counts where it is larger than what the tool's own random parts make."""
    if reading.pooled is None:
        return base
    given = reading.pooled.scatter
    if given.unit.dimension != unit.dimension:
        raise ReadingProblem("wrong-dimension", f"the pooled scatter is in {given.unit.token}, the reading in {unit.token}", "/pooled_scatter")
    n = max(len(reading.values), 1)
    pooled = float(given.exact) * _scale(given.unit, unit) / math.sqrt(n)
    own = math.sqrt(math.fsum(line.u**2 for line in base.lines if line.random))
    if pooled <= own:
        return base
    shared = tuple(line for line in base.lines if not line.random)
    lines = (*shared, Line(f"pooled scatter, mean of {n}" if n > 1 else "pooled scatter", pooled, "owner", True))
    u = math.sqrt(math.fsum(line.u**2 for line in lines))
    return replace(base, u=u, dof=reading.pooled.degrees_of_freedom * (u / pooled) ** 4, lines=lines)


def _scattered(reading: Reading, base: Budget, unit: Unit) -> Budget:
    """A stated doubt beside repeats that scatter by more than it explains: their scatter is added, never hidden."""
    values = [float(v.to(unit)) for v in reading.values]
    return _disagreeing(base, values) if len(values) > 1 else base


def _disagreeing(base: Budget, values: list[float]) -> Budget:
    """Repeats further apart than the doubt explains: half of what lies between the furthest counts as doubt too."""
    apart = max(values) - min(values)
    if apart <= MOST_APART * base.u:
        return base
    line = Line(f"{len(values)} repeats that disagree", apart / 2.0, "owner", False)
    note = "the repeats lie further apart than the tool explains: look for the reason before you trust their mean"
    return replace(base, u=math.hypot(base.u, line.u), lines=(*base.lines, line), assumed=(*base.assumed, note))


def _with_repeats(reading: Reading, base: Budget, unit: Unit, scale: float) -> Budget:
    n = len(reading.values)
    if n < 2:
        return base
    own_unit = unit if scale == 1.0 else reading.values[0].unit
    values = [float(v.to(own_unit)) * scale for v in reading.values]
    if n < ENOUGH_REPEATS:
        note = f"{n} repeats are too few to know their scatter: averaged, and the tool's own uncertainty kept"
        return _disagreeing(replace(base, assumed=(*base.assumed, note)), values)
    mean = math.fsum(values) / n
    scatter = math.sqrt(math.fsum((v - mean) ** 2 for v in values) / (n - 1) / n)
    shared = tuple(line for line in base.lines if not line.random)
    averaged = tuple(replace(line, name=f"{line.name}, mean of {n}", u=line.u / math.sqrt(n)) for line in base.lines if line.random)
    own = math.sqrt(math.fsum(line.u**2 for line in averaged))
    if scatter > own:  # the scatter seen holds the tool's own: the larger of the two counts, never both
        averaged = (Line(f"scatter of {n} repeats", scatter, "owner", True),)
    u = math.sqrt(math.fsum(line.u**2 for line in (*shared, *averaged)))
    dof = (n - 1) * (u / scatter) ** 4 if scatter > own else math.inf
    return replace(base, u=u, dof=dof, lines=(*shared, *averaged), repeats=n)

