"""Usual sizes in place of sizes nobody has measured yet: a guess by horsepower, marked as one, and never used for a verdict."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.records import ENDS, Characteristic, Limit, Typical
from halfthou_specdb.rules import needs
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS

SIXTEENTH = Fraction(1, 16)
HP = UNITS["hp"]


@dataclass(frozen=True, slots=True)
class Guess:
    """A size taken for want of a measured one: the middle of what engines of this power usually have."""

    dimension: str
    name: str
    taken: Quantity
    low: Quantity
    high: Quantity
    grade: str
    note: str


def guessed(table: Table, engine: Engine, horsepower: Quantity | None = None) -> tuple[Engine, tuple[Guess, ...]]:
    """The engine with guesses for the sizes it does not state, and the guesses.

    Args:
        horsepower: rated power; the engine's own ``rated-power`` where left out. Without either nothing is guessed.
    """
    power = horsepower or engine.dimensions.get("rated-power")
    if power is None:
        return engine, ()
    found = []
    for dimension in table.dimensions.values():
        band = None if dimension.id in engine.dimensions else _band(table, engine, dimension.id, power.to(HP))
        if band is not None:
            unit = UNITS[band.unit]
            taken = _middle(band)
            found.append(Guess(dimension.id, dimension.name, Quantity(decimal_of(taken, 6), unit, taken), Quantity.of(band.low, unit),
                               Quantity.of(band.high, unit), band.grade, band.note))  # fmt: skip
    return replace(engine, dimensions={**engine.dimensions, **{g.dimension: g.taken for g in found}}), tuple(found)


def _band(table: Table, engine: Engine, dimension: str, power: Fraction) -> Typical | None:
    """The narrowest band of power that holds this engine; recalled ranges before single engines met."""
    fits = [t for t in table.typical.values() if t.dimension == dimension and t.engine_class == engine.engine_class.id
            and Fraction(t.hp_from) <= power <= Fraction(t.hp_to)]  # fmt: skip
    return min(fits, key=lambda t: (t.low == t.high, t.hp_to - t.hp_from, t.id), default=None)


def _middle(band: Typical) -> Fraction:
    middle = Fraction(band.low + band.high) / 2
    return round(middle / SIXTEENTH) * SIXTEENTH if band.unit == "in" else Fraction(Decimal(f"{float(middle):.3g}"))


def rests_on(limit: Limit, what: Characteristic) -> frozenset[str]:
    """The dimensions that a limit, or the choice of it, rests on."""
    found = {name for end in ENDS for name in needs(limit.bound(end))}
    if limit.sizes is not None:
        found.add(limit.sizes.of)
    for condition in limit.when:
        plain = condition.removeprefix("not ")
        if plain == "bearing-longer-than-bore":
            found.update(what.scales_with[:2])
        elif plain.startswith("speed-"):
            found.add("rated-speed")
    return frozenset(found)
