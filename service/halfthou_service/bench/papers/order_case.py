"""What a sheet holds about the parts that go out: sizes as found and as made, bad verdicts, limits, and the owner's own decisions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.resolve import Interval, Resolved
from halfthou_specdb.rules import Open
from halfthou_specdb.units import UNITS, Unit

from ..item import Item
from ..readings import Place, Reading, ReadingProblem
from ..sheet import SheetAnswer
from ..verdict import Bench
from .assemblies import whose_word
from .figures import System

INCH = UNITS["in"]
SENDS_OUT = frozenset({"beyond_limit", "outside_fit", "stop", "unusual"})
"""Verdicts that send a part out. A doubt does not: it is settled at home first."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What the owner decides about one part; all of it may be left out.

    ``low`` and ``high``: the finished size, instead of the one worked out. ``mate``: the measured size of the part it must match.
    ``method``: for a cylinder, ``sleeve`` (back to the nominal bore) or ``bore`` (to the piston in hand, ``mate``).
    """

    send: bool | None = None
    low: Quantity | None = None
    high: Quantity | None = None
    mate: Quantity | None = None
    mark: str = ""
    quantity: int | None = None
    fillet: Quantity | None = None
    method: str = ""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Size:
    """One reading of a part: where, what, with which tool, and how well known (u standard, in the unit of the value)."""

    reading_id: str
    characteristic: str
    name: str
    place: Place
    value: Quantity
    u: float | None
    tool: str
    temperature: Quantity | None

    @property
    def exact(self) -> Fraction:
        """The value in inches; only lengths are sizes."""
        return self.value.to(INCH)


@dataclass(slots=True)
class OrderCase:
    """The sheet seen from the machinist's door."""

    bench: Bench
    answer: SheetAnswer
    readings: Sequence[Reading]
    system: System
    wishes: Mapping[str, Wish] = field(default_factory=dict)
    told: tuple[Item, ...] = ()
    """Findings that no reading of the sheet tells."""
    _states: dict[str, str] = field(init=False)

    def __post_init__(self) -> None:
        self._states = {item.id: item.state for judged in self.answer.surveys for item in judged.items}
        self._states |= {reading.id: reading.state for reading in self.readings}

    def wish(self, part: str) -> Wish:
        """The owner's decisions about a part."""
        return self.wishes.get(part, Wish())

    def bad(self, characteristics: Iterable[str], instances: Sequence[str] = ()) -> tuple[Item, ...]:
        """Items as found that send the part out."""
        wanted = frozenset(characteristics)
        return tuple(
            item for item in self.answer.items
            if item.characteristic in wanted and item.verdict in SENDS_OUT and self._states.get(item.id, "as_found") == "as_found"
            and (not instances or item.place.partition(",")[0] in instances)
        )  # fmt: skip

    def stopped(self, characteristics: Iterable[str]) -> tuple[Item, ...]:
        """Findings with a veto, whoever told them: as found, as made, or beside the sheet."""
        wanted = frozenset(characteristics)
        return tuple(i for i in (*self.answer.items, *self.told) if i.characteristic in wanted and i.verdict == "stop")

    def sizes(self, characteristic: str, state: str = "as_found") -> tuple[Size, ...]:
        """Lengths read or surveyed of a characteristic, in the order of the sheet; thrown-out and unread ones left out.

        One that looks like a slip stands beside others, so that their difference asks for another look; alone it is no size.
        """
        found, slips = [], 0
        for item, reading in zip(self.answer.items, self.readings, strict=False):
            slip = item.problem is not None and item.problem.code == "suspected-slip"
            if (item.problem is not None and not slip) or item.value is None or item.unit is None:
                continue
            if reading.characteristic == characteristic and reading.state == state:
                slips += slip
                tool = self._tool(item, reading)
                value = reading.values[0] if len(reading.values) == 1 else Quantity.of(item.value, item.unit)
                found.append(Size(reading.id, characteristic, item.name, reading.place, value, item.u or self._u(reading, value), tool,
                                  reading.temperature))  # fmt: skip
        # A size that stands among the readings and in a survey of the same place is one size, told once.
        surveyed = [s for s in self._surveyed(characteristic, state) if not any(_same(s, size) for size in found)]
        return (*found, *surveyed) if surveyed or slips < len(found) else ()

    def _tool(self, item: Item, reading: Reading) -> str:
        tool = self.bench.table.instruments.get((reading.instrument or item.instrument).partition("/")[0])
        return tool.name if tool else "tool not named"

    def _u(self, reading: Reading, value: Quantity) -> float | None:
        """The doubt a reading states of itself, where no verdict worked one out."""
        given = reading.standard_uncertainty
        if given is None or given.unit.dimension != value.unit.dimension:
            return None
        return float(given.exact * given.unit.factor / value.unit.factor)

    def _surveyed(self, characteristic: str, state: str) -> list[Size]:
        found = []
        what = self.bench.table.characteristics.get(characteristic)
        for judged in self.answer.surveys:
            answer = judged.answer
            if answer is None or judged.survey.state != state or characteristic not in (answer.kind.diameter, answer.kind.id):
                continue
            tool = self.bench.table.instruments.get(answer.budget.instrument.partition("/")[0])
            u = (answer.u_random**2 + answer.u_shared**2) ** 0.5
            for spot, size in answer.sizes.items():
                value = Quantity(decimal_of(size), answer.unit, size)
                found.append(Size(
                    judged.survey.id, characteristic, what.name if what else answer.kind.name, answer.place(spot), value, u,
                    tool.name if tool else "tool not named", judged.survey.temperature,
                ))  # fmt: skip
        return found

    def limit(self, characteristic: str) -> Resolved | None:
        """The resolved limit, or None where none is on file at this size."""
        what = self.bench.table.characteristics.get(characteristic)
        if what is None:
            return None
        try:
            found = self.bench.limit_for(what)
        except ReadingProblem:
            return None
        return found if found.limit is not None else None

    def fit(self, characteristic: str) -> tuple[Fraction, Fraction, str] | None:
        """Both ends of a new fit in inches, and whose they are; None unless both are on file."""
        found = self.limit(characteristic)
        if found is None or found.fit is None or found.fit.unit.dimension != "length":
            return None
        low, high = inches(found.fit)
        if isinstance(low, Open) or isinstance(high, Open):
            return None
        return low, high, whose(found, ("fit_low", "fit_high"))

    def mate(self, part: str) -> Fraction | None:
        """The measured size of the mating part as the owner states it, in inches."""
        found = self.wish(part).mate
        return None if found is None else found.to(INCH)

    def nominal(self, dimension: str) -> Fraction | None:
        """A nominal size of the engine in inches."""
        found = self.bench.engine.dimensions.get(dimension)
        return None if found is None else found.to(INCH)


def _line(axis: str) -> frozenset[str]:
    """The words that name a line across a part: "in line of throw" and "line of the throw" are one."""
    return frozenset(axis.lower().replace("-", " ").split()) - {"in", "the", "of"}


def _same(one: Size, two: Size) -> bool:
    """Whether two sizes are one, read once: the same place, and no further apart than bringing one to 20 degC moves it."""
    if (one.place.instance, one.place.station) != (two.place.instance, two.place.station) or one.value.unit.dimension != two.value.unit.dimension:
        return False
    if _line(one.place.axis) != _line(two.place.axis):
        return False
    return abs(float(one.value.to(two.value.unit) - two.value.exact)) <= 0.25 * (two.u or 0.0)


def inches(interval: Interval) -> tuple[Fraction | Open, Fraction | Open]:
    """An interval of lengths in inches; open sides stay open."""
    scale = interval.unit.factor / INCH.factor
    low, high = interval.low, interval.high
    return low if isinstance(low, Open) else low * scale, high if isinstance(high, Open) else high * scale


def whose(resolved: Resolved, ends: Iterable[str]) -> str:
    """Whose the ends are, in the words of the grade column."""
    words = [whose_word(s.grade, s.standing) for e in ends if (s := resolved.standings.get(e)) is not None]
    return " / ".join(dict.fromkeys(words))


def of_unit(value: Fraction, unit: Unit = INCH) -> Quantity:
    """An exact fraction as a quantity."""
    return Quantity(decimal_of(value, 20), unit, value)
