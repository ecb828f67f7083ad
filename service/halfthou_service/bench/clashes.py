"""What a contradiction is, and how two numbers are held against each other."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS, Unit

from .basis import basis_of
from .item import Item
from .readings import Reading, ReadingProblem
from .speak import say_doubt

EN_LIMIT = 1.0
INCH = UNITS["in"]
SLIPS = {
    2.0: "one looks like the gap on one side only, the other like the whole; ",
    10.0: "one has its point a place out; ",
    25.4: "one looks like inches, the other like millimetres; ",
    1000.0: "one looks like thousandths, the other like inches; ",
}
"""Ratio of two readings of one thing -> the slip of the pencil that makes it."""
LIKE = 0.04
EACH_WITH_EACH = 20
"""So many readings of one place are held each against each; more are held each against the one furthest from it."""


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Readings that their own doubts cannot reconcile, by id, and what to look for."""

    ids: tuple[str, ...]
    text: str


@dataclass(frozen=True, slots=True)
class Seen:
    """One reading as a number: value and standard uncertainty in the canonical unit, in the convention of the limit."""

    item: Item
    reading: Reading
    value: float
    u: float
    unit: Unit

    @property
    def told(self) -> str:
        """``0.0049 in by telescoping gauge``."""
        tool = f" by {self.item.instrument.partition('/')[0].replace('-', ' ')}" if self.item.instrument else ""
        basis = f" ({self.reading.basis})" if self.reading.basis else ""
        return f"{self.item.value:f} {self.unit.token}{basis}{tool}"


def seen_of(table: Table, item: Item, reading: Reading) -> Seen | None:
    """A judged reading as a number; None where there is none, or only a range."""
    if not item.u or item.value is None or item.unit is None or reading.span is not None:
        return None
    times = 1.0
    if reading.basis:
        try:
            times = float(basis_of(reading, table.characteristics.get(reading.characteristic)).times)
        except ReadingProblem:
            return None
    factor = float(item.unit.factor)
    return Seen(item, reading, (float(item.value) * factor + float(item.unit.offset)) * times, item.u * factor * times, item.unit)


def apart(a: float, u_a: float, b: float, u_b: float) -> bool:
    """Whether two numbers differ by more than their doubts allow."""
    return abs(a - b) > 2.0 * EN_LIMIT * math.hypot(u_a, u_b)


def clashing(group: Sequence[Seen]) -> Iterator[tuple[Seen, Seen]]:
    """Readings of one thing that differ by more than their doubts: every pair of a few; of many each with the one that it is furthest from.

    However many there are, none that clashes with another is left out, and the work grows with n log n, not with its square.
    """
    if len(group) <= EACH_WITH_EACH:
        yield from (pair for pair in combinations(group, 2) if apart(pair[0].value, pair[0].u, pair[1].value, pair[1].u))
        return
    told: set[frozenset[int]] = set()
    for i, j in enumerate(_furthest(group)):
        a, b = group[min(i, j)], group[max(i, j)]
        if apart(a.value, a.u, b.value, b.u) and frozenset((i, j)) not in told:
            told.add(frozenset((i, j)))
            yield a, b


def _furthest(group: Sequence[Seen]) -> list[int]:
    """Of each reading, the index of the one with the largest (a - b)^2 - 4 u_b^2.

    As a function of a that is a^2 and the highest of the lines b^2 - 4 u_b^2 - 2 b a, one for each b: their upper envelope, walked once.
    """
    middle = math.fsum(s.value for s in group) / len(group)
    scale = max(max(abs(s.value - middle) for s in group), max(s.u for s in group))
    at = [(s.value - middle) / scale for s in group]
    height = [x * x - 4.0 * (s.u / scale) ** 2 for x, s in zip(at, group, strict=True)]
    envelope: list[int] = []
    for k in sorted(range(len(group)), key=lambda k: (-at[k], height[k])):
        if envelope and at[envelope[-1]] == at[k]:
            envelope.pop()
        while len(envelope) > 1 and _under(envelope[-2], envelope[-1], k, at, height):
            envelope.pop()
        envelope.append(k)
    found = [0] * len(group)
    best = 0
    for i in sorted(range(len(group)), key=at.__getitem__):
        while best + 1 < len(envelope) and _line(envelope[best + 1], at[i], at, height) >= _line(envelope[best], at[i], at, height):
            best += 1
        found[i] = envelope[best]
    return found


def _line(k: int, x: float, at: Sequence[float], height: Sequence[float]) -> float:
    return height[k] - 2.0 * at[k] * x


def _under(first: int, middle: int, last: int, at: Sequence[float], height: Sequence[float]) -> bool:
    """Whether the middle of three lines of rising slope lies nowhere above the two others."""
    return (height[last] - height[first]) * (at[first] - at[middle]) >= (height[middle] - height[first]) * (at[first] - at[last])


def slip_between(a: float, b: float) -> str:
    """The slip of the pencil that would make one of the other, or the empty string."""
    small, large = sorted((abs(a), abs(b)))
    if not small:
        return ""
    return next((says for ratio, says in SLIPS.items() if abs(large / small / ratio - 1.0) < LIKE), "")


def inches(value: float) -> str:
    """A length in the canonical unit, in thousandths or inches."""
    return say_doubt(value / float(INCH.factor), INCH) if value > 0 else "nothing"


def told_length(value: float) -> str:
    """A length in the canonical unit, in thousandths to a tenth."""
    return f"{value / float(INCH.factor) * 1000.0:.1f} thou"


def signed(value: float) -> str:
    """A change in the canonical unit, in thousandths with its sign."""
    return f"{value / float(INCH.factor) * 1000.0:+.1f} thou"
