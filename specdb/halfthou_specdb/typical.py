"""Starting guesses by power: what size a part usually is, for a person who knows only horsepower and stroke.

Every one is a guess. Nothing that decides a limit or a verdict reads this module: a guess may tell a person what to expect under the
micrometer, never what a reading means.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from .errors import DimensionError, OutsideRange
from .quantity import Quantity, plain
from .records import Typical
from .table import Table
from .units import UNITS

HP = UNITS["hp"]
STROKE = "stroke"
WARNING = "A guess to start from, not a measurement and not a limit: measure the part before you judge it by anything."
Band = tuple[Decimal, Decimal]


@dataclass(frozen=True, slots=True)
class Guess:
    """One usual size. ``one_engine``: met on one engine, so a single point; otherwise a range for engines of this power."""

    record: Typical
    low: Quantity
    high: Quantity
    one_engine: bool

    @property
    def band(self) -> Band:
        """From and to, in horsepower."""
        return self.record.hp_from, self.record.hp_to


@dataclass(frozen=True, slots=True)
class Guesses:
    """What is usual for a power, and what a person must know before using any of it."""

    power: Quantity
    engine_class: str
    stroke: Quantity | None
    items: tuple[Guess, ...]
    remarks: tuple[str, ...]


def guesses(table: Table, power: Quantity, engine_class: str = "", stroke: Quantity | None = None) -> Guesses:
    """The usual sizes of an engine of this power; of one class, or of every class on file.

    A power between two bands gets both; a stroke then keeps only the band it is usual in, where it is usual in just one. A power outside
    every band gets nothing, since nothing is extrapolated. A class with nothing on file gets an empty answer whose remark says so.

    Raises:
        DimensionError: the power is no power, or the stroke no length.
        OutsideRange: no band is near this power; the message names the span.
    """
    for given, wanted, name in ((power, HP.dimension, "power"), (stroke, "length", STROKE)):
        if given is not None and given.unit.dimension != wanted:
            raise DimensionError(f"the {name} is {given}, which is {given.unit.dimension}; a {wanted} is wanted")
    records = [t for t in table.typical.values() if engine_class in ("", t.engine_class)]
    if not records:
        return Guesses(power, engine_class, stroke, (), (_nothing(table, engine_class),))
    exact = power.to(HP)
    bands = _near(exact, sorted({(t.hp_from, t.hp_to) for t in records if not _over_many(t, records)}))
    if not bands:
        first, last = min(t.hp_from for t in records), max(t.hp_to for t in records)
        raise OutsideRange(f"power {power} lies outside every band on file ({first} to {last} hp); nothing is extrapolated")
    remarks: list[str] = []
    if stroke is not None:
        bands, said = _by_stroke(records, bands, stroke)
        remarks.append(said)
    if len(bands) > 1:
        remarks.append(f"{power} lies between two bands; the guesses of both are told.")
    found = [t for t in records if (t.hp_from, t.hp_to) in bands or (_over_many(t, records) and t.hp_from <= exact <= t.hp_to)]
    order = list(table.dimensions)
    found.sort(key=lambda t: (order.index(t.dimension), t.low == t.high, t.hp_from))
    return Guesses(power, engine_class, stroke, tuple(map(_guess, found)), tuple(remarks))


def _guess(record: Typical) -> Guess:
    low, high = (Quantity.of(value, record.unit) for value in (record.low, record.high))
    return Guess(record, low, high, record.low == record.high and "one engine" in record.note)


def _nothing(table: Table, engine_class: str) -> str:
    others = ", ".join(dict.fromkeys(t.engine_class for t in table.typical.values()))
    return f"No usual sizes are on file for {engine_class}; there are some for {others}. Measure, or ask an owner of one like it."


def _over_many(record: Typical, records: list[Typical]) -> bool:
    """True where a record's span holds whole bands of others: a remark over many powers, not a band of its own."""
    return any(record.hp_from <= t.hp_from and t.hp_to <= record.hp_to and (t.hp_from, t.hp_to) != (record.hp_from, record.hp_to)
               for t in records)  # fmt: skip


def _near(power: Fraction, bands: list[Band]) -> list[Band]:
    """The band that holds the power, or its two neighbours where it lies between them."""
    holding = [b for b in bands if b[0] <= power <= b[1]]
    if holding:
        return holding
    below, above = [b for b in bands if b[1] < power], [b for b in bands if b[0] > power]
    return [below[-1], above[0]] if below and above else []


def _by_stroke(records: list[Typical], bands: list[Band], stroke: Quantity) -> tuple[list[Band], str]:
    usual = [t for t in records if t.dimension == STROKE and t.low != t.high and (t.hp_from, t.hp_to) in bands]
    held = [t for t in usual if t.low <= stroke.to(UNITS[t.unit]) <= t.high]
    if not held:
        return bands, f"A stroke of {stroke} is not usual for this power ({_spans(usual)}); trust these guesses less."
    kept = [(t.hp_from, t.hp_to) for t in held]
    return kept, f"A stroke of {stroke} is usual for this power ({_spans(held)})."


def _spans(strokes: list[Typical]) -> str:
    return "; ".join(f"{t.hp_from} to {t.hp_to} hp: {plain(t.low)} to {plain(t.high)} {t.unit}" for t in strokes)
