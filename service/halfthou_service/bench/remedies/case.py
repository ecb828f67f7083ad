"""One judged reading as the families see it: exact figures in the reader's unit, the interval to land in, mates measured elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import lru_cache

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Characteristic, Grade
from halfthou_specdb.resolve import Interval, Resolved
from halfthou_specdb.rules import NONE_ON_FILE, Open, Value
from halfthou_specdb.units import UNITS, Unit

from ..item import Item
from ..observed import HALF_TURN_PI, observe, unsigned
from ..readings import Place, Reading, ReadingProblem
from ..speak import convert, unit_for
from ..verdict import Bench
from ._known import Known
from ._telling import action, practical, told, wanted_words
from .facts import RemedyFacts
from .model import Amount, CostClass, Reach, Remedy

INCH, MM, THOU = UNITS["in"], UNITS["mm"], UNITS["thou"]


@dataclass(frozen=True, slots=True)
class Family:
    """Remedies of one kind, for the characteristics they mend."""

    id: str
    characteristics: frozenset[str]
    propose: Callable[[Case], Iterable[Remedy]]


@dataclass(slots=True)
class Case:
    """``value``, ``low`` and ``high`` are exact, in ``unit``; ``low`` and ``high`` are where a remedy must land (the fit, failing
    that the wear bound). ``side`` is where the reading lies, empty inside or for a finding."""

    bench: Bench
    item: Item
    reading: Reading | None
    what: Characteristic
    resolved: Resolved | None
    facts: RemedyFacts
    known: Known
    unit: Unit
    value: Fraction | None = None
    low: Value = NONE_ON_FILE
    high: Value = NONE_ON_FILE
    wear_high: Value = NONE_ON_FILE
    side: str = ""
    instance: str = ""
    state: str = "as_found"
    optional: bool = False
    as_written: bool = True
    """Whether the words of the table go beside what the families propose; not where they would speak against it."""

    _limits: dict[str, Interval | None] = field(default_factory=dict)

    # -- where to land -----------------------------------------------------------------------------------------

    @property
    def both(self) -> tuple[Fraction, Fraction] | None:
        """The interval, where both sides have a number."""
        if isinstance(self.low, Open) or isinstance(self.high, Open):
            return None
        return self.low, self.high

    @property
    def loose(self) -> tuple[Fraction, Fraction] | None:
        """The loose half of the interval: the one away from the side that seizes; the middle half where neither side does."""
        return None if self.both is None else _loose_half(*self.both, self.what.low_side.meaning, self.what.high_side.meaning)

    @property
    def aim(self) -> Fraction | None:
        """A round figure near the middle of the loose half; half of the upper bound where smaller is better; past a lone bound by some room."""
        half = self.loose
        if half is not None:
            return practical((half[0] + half[1]) / 2, *half)
        if not isinstance(self.high, Open):
            return self.high / 2 if self.what.non_negative else self.high - self.room(self.high)
        return None if isinstance(self.low, Open) else self._over(self.low)

    @property
    def least(self) -> Fraction | None:
        """The lower bound itself, for what must be so much at least."""
        return self.aim if isinstance(self.low, Open) else self.low

    def room(self, bound: Fraction) -> Fraction:
        """How far inside a lone bound is aimed, so that the finished figure need not be read to be on it: a tenth, or the tool's doubt twice."""
        return max(abs(bound) / 10, 2 * self.doubt)

    def _over(self, bound: Fraction) -> Fraction:
        """Inside a lone lower bound; things that are counted land on it, and a share never past the half of what is left."""
        if self.unit.dimension == "count":
            return bound
        room = self.room(bound)
        whole = self.unit.factor ** -1 if self.unit.dimension == "ratio" else None
        return bound + (min(room, (whole - bound) / 2) if whole is not None and bound < whole else room)

    def lands(self, value: Fraction) -> bool:
        """Whether a figure lies where it should, limits included."""
        below = not isinstance(self.low, Open) and value < self.low
        return not below and (isinstance(self.high, Open) or value <= self.high)

    def tolerance(self, predicted: Fraction | None = None) -> Interval:
        """The loose half; the whole interval where a side is open or the prediction misses the loose half."""
        half = self.loose
        if half is None or (predicted is not None and not half[0] <= predicted <= half[1]):
            return Interval(self.low, self.high, self.unit)
        return Interval(half[0], half[1], self.unit)

    # -- what else is known ------------------------------------------------------------------------------------

    def limit(self, characteristic: str) -> Interval | None:
        """The fit of another characteristic of this engine, in this unit; None where none is on file."""
        if characteristic not in self._limits:
            self._limits[characteristic] = self._limit(characteristic)
        return self._limits[characteristic]

    def _limit(self, characteristic: str) -> Interval | None:
        what = self.bench.table.characteristics.get(characteristic)
        if what is None:
            return None
        try:
            fit = self.bench.limit_for(what).fit
        except ReadingProblem:
            return None
        if fit is None or fit.unit.dimension != self.unit.dimension:
            return None
        return Interval(convert(fit.low, fit.unit, self.unit), convert(fit.high, fit.unit, self.unit), self.unit)

    def dimension(self, name: str) -> Fraction | None:
        """A nominal size of the engine in this unit."""
        return self.told(self.bench.engine.dimensions.get(name))

    def told(self, given: Quantity | None) -> Fraction | None:
        """A fact in this unit; None where it is not given or of another kind."""
        return given.to(self.unit) if given is not None and given.unit.dimension == self.unit.dimension else None

    def measured(self, characteristic: str, anywhere: bool = False) -> list[Fraction]:
        """What is known of another characteristic at this place, in this unit: of this reading's state where there is any.

        Of many the smallest and the largest few.
        """
        return self.known.sizes(characteristic, self.unit, None if anywhere else self.instance, self.state)

    def across(self) -> list[Fraction]:
        """The same as this reading, read another way across the same place in the same state; of many the smallest and the largest few."""
        axis = self.reading.place.axis if self.reading is not None else ""
        return self.known.across(self.what.id, self.unit, self.instance, self.state, axis)

    @property
    def place(self) -> Place:
        """Where it was read, or where a survey met it."""
        return self.item.at if self.reading is None else self.reading.place

    def has(self, feature: str) -> bool | None:
        """Whether the engine has a feature; None where it is not known."""
        from halfthou_specdb.facts import truth

        return truth(feature, self.bench.engine, self.what, self.bench.table.features)

    def stands(self, characteristic: str, *verdicts: str) -> bool:
        """Whether the sheet holds such a verdict at this place."""
        return any(self.known.first(characteristic, verdict, self.instance) for verdict in verdicts)

    @property
    def doubt(self) -> Fraction:
        """The reading's standard uncertainty in this unit; a length on the rim turned to an angle by the flywheel's diameter."""
        u, own = self.item.u, self.item.unit
        if u is None or own is None:
            return Fraction(0)
        exact = Fraction(u) * own.factor
        if own.dimension == self.unit.dimension:
            return exact / self.unit.factor
        wheel = self.bench.engine.dimensions.get("flywheel")
        if own.dimension == "length" and self.unit.dimension == "angle" and wheel is not None and wheel.canonical > 0:
            return exact / wheel.canonical / HALF_TURN_PI / self.unit.factor
        return Fraction(0)

    @property
    def step(self) -> Fraction:
        """One thou, or two hundredths of a millimetre, in this unit."""
        return (THOU.factor if self.unit.system == "inch" else MM.factor / 50) / self.unit.factor

    # -- telling -----------------------------------------------------------------------------------------------

    def say(self, value: Fraction, unit: Unit | None = None) -> str:
        """A figure as the shop says it: sizes to a tenth of a thousandth, small things to three figures."""
        return told(value, unit or self.unit)

    def remedy(self, id: str, title: str, cost: CostClass, *, reversible: bool = False, amount: Iterable[Amount] = (),
               predicted: Fraction | None = None, tolerance: Interval | None = None, tools: tuple[str, ...] = (),
               steps: tuple[str, ...] = (), risk: str = "", cautions: tuple[str, ...] = (), after: tuple[str, ...] | None = None,
               asks: tuple[str, ...] = (), grade: Grade = "derived", reaches: Reach | None = None, note: str = "") -> Remedy:  # fmt: skip
        """A remedy with its line of text. ``predicted`` is in this unit; ``after`` defaults to the reading itself."""
        amounts = tuple(amount)
        wanted = tolerance if predicted is None or tolerance is not None else self.tolerance(predicted)
        parts = [action(title, amounts)]
        if predicted is not None and wanted is not None:
            parts.append(f"It should then read about {self.say(predicted)}{wanted_words(wanted)}")
        if note:
            parts.append(note)
        text = ". ".join(p.rstrip(".") for p in parts) + "."
        if self.optional:
            text = f"Only if you want a new fit: {text[:1].lower()}{text[1:]}"
        known = self.bench.table.cautions
        return Remedy(
            id, title, cost, reversible, text, amounts, wanted, None if predicted is None else (predicted, self.unit), tools, steps, risk,
            tuple(dict.fromkeys(c for c in (*cautions, *self.what.cautions) if c in known)), (self.what.id,) if after is None else after,
            asks, grade, self.optional, reaches or ("fit" if predicted is not None and self.lands(predicted) else "not_known"),
        )  # fmt: skip

    def nothing(self, why: str, then: str = "") -> Remedy:
        """The honest answer where nothing on the list will do."""
        return self.remedy("nothing-on-the-list", "Nothing on this list will do", "part", reaches="none", after=(),
                           note=f"{why.rstrip('.')}. {then}".strip())  # fmt: skip


@lru_cache(maxsize=4096)
def _loose_half(low: Fraction, high: Fraction, low_means: str, high_means: str) -> tuple[Fraction, Fraction]:
    middle = (low + high) / 2
    if low_means == "too-tight":
        return middle, high
    if high_means == "too-tight":
        return low, middle
    return low + (high - low) / 4, high - (high - low) / 4


def case_of(bench: Bench, item: Item, reading: Reading | None, facts: RemedyFacts, known: Known) -> Case | None:
    """The case of an item; None for a thing the table does not know."""
    what = bench.table.characteristics.get(item.characteristic)
    if what is None:
        return None
    place = reading.place.instance if reading is not None else item.place.partition(",")[0]
    state = reading.state if reading is not None else "as_found"
    if what.value_kind == "finding":
        unit = MM if bench.rules.units == "metric" else INCH
        return Case(bench, item, reading, what, None, facts, known, unit, instance=place, state=state)
    resolved, fit, wear = _intervals(bench, what, reading)
    unit = _unit(bench, item, what, fit)
    case = Case(bench, item, reading, what, resolved, facts, known, unit, instance=place, state=state)
    case.value = _value(bench, item, what, reading, unit)
    if fit is not None and wear is not None:
        ends = [(f if not isinstance(f, Open) else w, w, i) for f, w, i in ((fit.low, wear.low, fit.unit), (fit.high, wear.high, fit.unit))]
        (low, _, fit_unit), (high, wear_high, _) = ends
        case.low, case.high = convert(low, fit_unit, unit), convert(high, fit_unit, unit)
        case.wear_high = convert(wear_high, fit_unit, unit)
    case.side = _side(case)
    if not case.side and case.value is not None and item.verdict == "stop" and what.sign and reading is not None and unsigned(reading):
        case.value = -case.value  # nobody said the side of dead centre, and the worse was judged
        case.side = _side(case)
    return case


def _side(case: Case) -> str:
    if case.value is None:
        return ""
    if not isinstance(case.low, Open) and case.value < case.low:
        return "low"
    return "high" if not isinstance(case.high, Open) and case.value > case.high else ""


def _intervals(bench: Bench, what: Characteristic, reading: Reading | None) -> tuple[Resolved | None, Interval | None, Interval | None]:
    try:
        resolved: Resolved | None = bench.limit_for(what)
    except ReadingProblem:
        resolved = None
    safety = resolved is not None and resolved.limit is not None and resolved.limit.kind == "safety"
    if reading is not None and reading.limit is not None and not safety:
        fit, wear = reading.limit.fit, reading.limit.wear
        return resolved, fit, Interval(convert(wear.low, wear.unit, fit.unit), convert(wear.high, wear.unit, fit.unit), fit.unit)
    return (None, None, None) if resolved is None else (resolved, resolved.fit, resolved.wear)


def _unit(bench: Bench, item: Item, what: Characteristic, fit: Interval | None) -> Unit:
    wanted = fit.unit if fit is not None else UNITS[what.unit]
    if item.unit is None or item.unit.dimension != wanted.dimension:
        return unit_for(wanted, bench.rules.units)
    return unit_for(item.unit, bench.rules.units)


def _value(bench: Bench, item: Item, what: Characteristic, reading: Reading | None, unit: Unit) -> Fraction | None:
    """The judged value, exact; of a range the end that was judged, and of repeats under a safety limit the worst."""
    if reading is not None and item.value is not None and item.unit is not None and (
        reading.span is not None or (reading.values[1:] and any(limit.kind == "safety" for limit in bench.table.limits_of.get(what.id, ())))
    ):
        reading = replace(reading, values=(Quantity(item.value, item.unit, Fraction(item.value)),), span=None)
    if reading is not None:
        try:
            value = observe(reading, what, bench.engine).value
            return value.to(unit) if value.unit.dimension == unit.dimension else None
        except ReadingProblem:
            return None
    if item.value is None or item.unit is None or item.unit.dimension != unit.dimension:
        return None
    found = convert(Fraction(item.value), item.unit, unit)
    return None if isinstance(found, Open) else found
