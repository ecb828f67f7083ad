"""How a judged reading stood, for comparing it with a later one: its value with the side of dead centre it was on, and how that is told.

A reading told from a dead centre carries its side: 0.8 in after and 0.8 in before are 1.6 in apart. One gap read on one side and later as
the whole is compared as the bench judged both.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.records import Characteristic
from halfthou_specdb.units import UNITS, Unit

from ..item import Item
from ..observed import observe
from ..readings import Reading, ReadingProblem
from ..verdict import Bench
from .figures import System, reading, to_doubt

OTHER = {"before": "after", "after": "before"}
MOST_PLACES = 6
"""Decimals past which a figure was worked out and not read: it is told to its doubt."""


@dataclass(frozen=True, slots=True)
class Stood:
    """``value`` and ``u`` [``unit``] as judged, the side of dead centre in the sign. ``rim``: the same along the rim, as it was read."""

    value: Fraction
    unit: Unit
    u: float
    rim: Fraction | None = None
    rim_unit: Unit | None = None
    rim_u: float = 0.0


def stood(bench: Bench, item: Item, read: Reading | None) -> Stood | None:
    """Where a reading stood; None where it has no figure or no doubt, or where its side of dead centre matters and was not said."""
    if item.value is None or item.unit is None or not item.u:
        return None
    what = bench.table.characteristics.get(item.characteristic)
    plain = Stood(Fraction(item.value), item.unit, item.u)
    if read is None or what is None or not (what.sign or read.basis):
        return plain
    if what.sign and not read.relative and item.value > 0 and any(m.kind == "safety" for m in bench.table.limits_of.get(what.id, ())):
        return None  # nobody said on which side: under a safety limit none is guessed
    once = replace(read, values=(Quantity(item.value, item.unit, Fraction(item.value)),), span=None, go=None)
    try:
        seen = observe(once, what, bench.engine)
    except ReadingProblem:
        return None
    on_rim = seen.value.unit.dimension != item.unit.dimension
    u = item.u * float(item.unit.factor) * (seen.u_scale if on_rim else 1.0) * seen.times
    unit = UNITS["deg"] if on_rim else seen.value.unit
    found = Stood(seen.value.to(unit), unit, u / float(unit.factor))
    if not on_rim or read.along == "rim-chord":
        return found
    along = abs(plain.value) if found.value > 0 else -abs(plain.value)
    return replace(found, rim=along, rim_unit=item.unit, rim_u=item.u)


def apart(one: Stood, two: Stood) -> tuple[Fraction, float, float, Unit]:
    """The later less the earlier, both doubts (u), and the unit: that of the rim where both were read along it, the later one's elsewhere."""
    if one.rim is not None and two.rim is not None and one.rim_unit and two.rim_unit:
        scale = one.rim_unit.factor / two.rim_unit.factor
        return two.rim - one.rim * scale, one.rim_u * float(scale), two.rim_u, two.rim_unit
    scale = one.unit.factor / two.unit.factor
    before = (one.value * one.unit.factor + one.unit.offset - two.unit.offset) / two.unit.factor
    return two.value - before, one.u * float(scale), two.u, two.unit


def told_side(what: Characteristic | None, item: Item, at: Stood | None, system: System) -> str:
    """A figure in words, with its side of dead centre where it has one."""
    assert item.value is not None
    assert item.unit is not None
    value = Quantity(item.value, item.unit, Fraction(item.value))
    if what is None or not what.sign or at is None:
        return _told(value, item.u, system)
    if not at.value:
        return "on dead centre"
    side = what.sign if at.value > 0 else OTHER[what.sign]
    return f"{_told(Quantity(abs(value.value), value.unit, abs(value.exact)), item.u, system)} {side} dead centre"


def _told(value: Quantity, u: float | None, system: System) -> str:
    places = -int(value.value.as_tuple().exponent)
    if u and places > MOST_PLACES and value.unit.dimension != "temperature":
        return str(to_doubt(value.exact, 2 * u, value.unit, system))
    return str(reading(value, system))


def told_move(what: Characteristic | None, moved: Fraction, doubt: float, unit: Unit, system: System) -> str:
    """A difference to the figures of its doubt: ``-26 thou``; from a dead centre ``1.6 in earlier``."""
    told = str(to_doubt(abs(moved), doubt, unit, system))
    if what is None or not what.sign:
        return f"{'+' if moved > 0 else '-' if moved < 0 else ''}{told}"
    if not moved:
        return told
    return f"{told} {'later' if (moved > 0) == (what.sign == 'after') else 'earlier'}"


def difference(moved: Fraction, unit: Unit) -> Quantity:
    """The difference, exact; from a dead centre it counts the way the characteristic does."""
    return Quantity(decimal_of(moved), unit, moved)
