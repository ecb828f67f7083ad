"""What a contradiction is, and how two numbers are held against each other."""

from __future__ import annotations

import math
from dataclasses import dataclass

from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS, Unit

from .basis import basis_of
from .readings import Reading, ReadingProblem
from .speak import say_doubt
from .tools import TEMPERATURES
from .verdict import Item

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


def alike(a: Unit, b: Unit) -> bool:
    """Whether two units are of one kind."""
    return a.dimension == b.dimension or {a.dimension, b.dimension} <= TEMPERATURES


def slip_between(a: float, b: float) -> str:
    """The slip of the pencil that would make one of the other, or the empty string."""
    small, large = sorted((abs(a), abs(b)))
    if not small:
        return ""
    return next((says for ratio, says in SLIPS.items() if abs(large / small / ratio - 1.0) < LIKE), "")


def inches(value: float) -> str:
    """A length in the canonical unit, in thousandths or inches."""
    return say_doubt(value / float(INCH.factor), INCH) if value > 0 else "nothing"


def signed(value: float) -> str:
    """A change in the canonical unit, in thousandths with its sign."""
    return f"{value / float(INCH.factor) * 1000.0:+.1f} thou"
