"""What was observed, as one exact value of the right kind: repeats averaged, go/no-go halved, rim inches turned to degrees."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction

from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import TOO_COLD, Quantity, decimal_of
from halfthou_specdb.records import Characteristic
from halfthou_specdb.units import TURN_PER_RAD, UNITS, Unit, units_of

from .basis import basis_of
from .readings import Reading, ReadingProblem
from .speak import say_reading, say_value
from .uncertainty import Budget, Line

HALF_TURN_PI = 1 / (2 * TURN_PER_RAD)
"""pi, to the forty digits of the radian."""


HALF_TURN = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Observed:
    """``value`` is judged; ``budget_value`` is what the tool itself showed; ``u_scale`` turns a length on the rim into turns
    (canonical over canonical) and is 1 elsewhere; ``shown`` is how the reader wrote it; ``said`` is how it is told. ``times``: 2 where
    the gap on one side was read and the whole is judged."""

    value: Quantity
    budget_value: Quantity
    shown: Quantity
    said: str
    u_scale: float = 1.0
    assumed: tuple[str, ...] = ()
    half_interval: float | None = None
    derived: Quantity | None = None
    times: float = 1.0

    @property
    def derived_per_unit(self) -> float:
        """From the unit read on the rim to degrees; 1 where the tool's own unit is kept."""
        if self.derived is None:
            return 1.0
        return self.u_scale * float(self.budget_value.unit.factor / self.derived.unit.factor)

    def widened(self, found: Budget) -> Budget:
        """For go/no-go: the tool's step gives way to the interval between the two gauges, whoever stated the rest of the doubt."""
        if self.half_interval is None:
            return found
        kept = tuple(line for line in found.lines if "step" not in line.name and "interval" not in line.name)
        scale = 1.0 if found.unit.dimension == self.budget_value.unit.dimension else self.derived_per_unit
        between = Line("between the gauge that goes and the one that does not", abs(scale) * self.half_interval / math.sqrt(3.0), "owner", False)
        u = math.sqrt(math.fsum(line.u**2 for line in (*kept, between)))
        return replace(found, u=u, lines=(*kept, between))


def observe(reading: Reading, what: Characteristic | None, engine: Engine, system: str = "") -> Observed:
    """The one exact value of a reading. ``system``: of the units it is told in; the reader's own where empty.

    Raises:
        ReadingProblem: the wrong kind of unit, a negative clearance, a go/no-go pair upside down, an arc without its flywheel.
    """
    half = None
    if reading.go is not None:
        given, half, said = _between(reading.go, what, system)
    elif len(reading.values) > 1:
        given = _mean(reading.values)
        said = f"{say_value(given.exact, given.unit, system)} (mean of {len(reading.values)})"
    elif reading.values:
        given = reading.values[0]
        said = say_reading(given, system)
    else:
        raise ReadingProblem("no-value", "a reading needs a value, a range, a go/no-go pair or a finding", "/value")
    if what is None:
        basis_of(reading, what)
        return Observed(given, given, given, said, half_interval=half)
    wanted = UNITS[what.unit].dimension
    if given.too_cold:
        raise ReadingProblem("impossible", f"{given} is {TOO_COLD}", "/value")
    value, scale, derived = given, 1.0, None
    assumed: tuple[str, ...] = ()
    if wanted == "angle" and given.unit.dimension == "length":
        value, scale, assumed = _from_rim(given, reading, engine)
        derived = Quantity(decimal_of(value.to(UNITS["deg"])), UNITS["deg"], value.to(UNITS["deg"]))
        said = f"{said} on the rim ({say_value(value.to(UNITS['deg']), UNITS['deg'])})"
    elif given.unit.dimension != wanted:
        raise ReadingProblem("wrong-dimension", f"{what.id} is {_a(wanted)}; {given.unit.token} is {_a(given.unit.dimension)} "
                             f"({_mend(given.unit, wanted)}use {', '.join(units_of(wanted)[:5])})", "/value/unit")  # fmt: skip
    if reading.relative:
        if not what.sign:
            raise ReadingProblem("wrong-kind", f"{what.id} is not told from a dead centre", "/relative")
        if value.exact < 0 and len(reading.values) == 1:
            raise ReadingProblem("wrong-kind", f"a minus sign and {reading.relative!r} say it twice: give one of them", "/relative")
        said += f" {reading.relative} dead centre"
        if reading.relative != what.sign:
            value = Quantity(-value.value, value.unit, -value.exact)
    elif what.sign and value.exact:
        side = what.sign if value.exact > 0 else ("after" if what.sign == "before" else "before")
        assumed = (*assumed, f"not said whether before or after dead centre: taken as {side} it")
    if what.sign and wanted == "angle" and abs(value.canonical) > HALF_TURN:
        raise ReadingProblem("impossible", f"{what.name.lower()} is told within half a turn of its dead centre, before or after", "/value")
    if what.non_negative and value.exact < 0:
        raise ReadingProblem("negative", f"{what.name.lower()} cannot be negative; an interference is another thing", "/value")
    if not reading.basis:
        return Observed(value, given, given, said, scale, assumed, half, derived)
    basis = basis_of(reading, what)
    if basis.times != 1:
        value = Quantity(decimal_of(value.exact * basis.times), value.unit, value.exact * basis.times)
        read, judged = ("on one side", "in all") if basis.times > 1 else ("in all", "a side")
        said += f" {read}, {say_value(value.exact, value.unit, system)} {judged}"
    assumed = (*assumed, basis.said) if basis.said else assumed
    return Observed(value, given, given, said, scale, assumed, half, derived, float(basis.times))


def unsigned(reading: Reading) -> bool:
    """Whether a reading from a dead centre has neither a word nor a sign for its side; at the dead centre itself there is none to tell."""
    values = reading.values or reading.span or tuple(v for v in reading.go or () if v is not None)
    return not reading.relative and any(v.exact > 0 for v in values)


def _a(dimension: str) -> str:
    word = dimension.replace("_", " ")
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"


PULLS = {"lb": "lbf", "oz": "ozf", "kg": "kgf", "g": "gf"}
"""A mass as people say it of a pull, and the unit of that pull."""


def _mend(given: Unit, wanted: str) -> str:
    """What to write instead, where a pull was told as a mass."""
    pull = PULLS.get(given.token, "")
    return f"a pull in {given.token} is written {pull}; " if wanted == "force" and pull in UNITS else ""


def _mean(values: tuple[Quantity, ...]) -> Quantity:
    unit = values[0].unit
    exact = sum((v.to(unit) for v in values), Fraction(0)) / len(values)
    return Quantity(decimal_of(exact), unit, exact)


def _between(go: tuple[Quantity | None, Quantity | None], what: Characteristic | None, system: str = "") -> tuple[Quantity, float, str]:
    goes, stops = go
    if stops is None:
        raise ReadingProblem("half-interval", "say also the smallest gauge that does not go (does_not_go)", "/does_not_go")
    unit = stops.unit
    low = Fraction(0) if goes is None else goes.to(unit)
    if goes is None and (what is None or not what.non_negative):
        raise ReadingProblem("half-interval", "say also the largest gauge that goes (goes)", "/goes")
    if low >= stops.exact:
        raise ReadingProblem("upside-down", "the gauge that goes must be smaller than the one that does not", "/goes")
    middle = (low + stops.exact) / 2
    limit = say_reading(stops, system)
    said = f"{say_reading(goes, system)} goes, {limit} does not" if goes else f"{limit} does not go"
    return Quantity(decimal_of(middle), unit, middle), float(stops.exact - low) / 2.0, said


def _from_rim(given: Quantity, reading: Reading, engine: Engine) -> tuple[Quantity, float, tuple[str, ...]]:
    wheel = engine.dimensions.get("flywheel")
    if wheel is None or wheel.canonical <= 0:
        said = "a length on the rim needs the flywheel's diameter (engine dimensions: flywheel)"
        raise ReadingProblem("missing-dimension", said, "/value", ("flywheel",))
    diameter, turn = wheel.canonical, UNITS["turn"]
    if reading.along == "rim-chord":
        share = float(given.canonical / diameter)
        if abs(share) > 1:
            raise ReadingProblem("impossible", "a chord cannot be longer than the flywheel's diameter", "/value")
        turns = Fraction(math.asin(share) / math.pi)
        slope = 1.0 / math.sqrt(max(1.0 - share * share, 1e-6))
        assumed = "a chord across the rim was turned to degrees by the flywheel's diameter"
    else:
        turns, slope = given.canonical / diameter / HALF_TURN_PI, 1.0
        assumed = "the length round the rim was turned to degrees by the flywheel's diameter"
    return Quantity(decimal_of(turns), turn, turns), slope * float(1 / diameter / HALF_TURN_PI), (assumed,)

