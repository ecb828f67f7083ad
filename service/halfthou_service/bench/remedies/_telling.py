"""Figures in shop words, and round figures to aim at."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import Open
from halfthou_specdb.units import UNITS, Unit

from ..speak import say
from .model import Amount

SIZE = Fraction(1, 4) * UNITS["in"].factor
"""Lengths from here on are sizes and told to a tenth of a thousandth; below it they are clearances."""

NOTHING = Fraction(1, 20) * UNITS["thou"].factor
"""Lengths below it no shop can read, a twentieth of a thousandth."""
ONE_SIDED = "with all the wear on one side, "
"""Begins the name of an amount that holds where the wear is all on one side; the rest is the name of the amount where it is even."""


def told(value: Fraction, unit: Unit) -> str:
    """A figure with its unit in shop words."""
    if unit.dimension == "length" and abs(value) * unit.factor >= SIZE:
        if unit.token == "thou":
            value, unit = value / 1000, UNITS["in"]
        return say(value, unit, "", 5 if unit.system == "inch" else 6)
    if unit.dimension == "length" and 0 < abs(value) * unit.factor < NOTHING:
        return "next to nothing"
    return say(value, unit)


def action(title: str, amounts: Iterable[Amount]) -> str:
    """What to do and by how much, on one line."""
    listed = tuple(amounts)
    names = {name for name, _, _ in listed}
    aside = {name.removeprefix(ONE_SIDED): told(value, unit) for name, value, unit in listed
             if name.startswith(ONE_SIDED) and name.removeprefix(ONE_SIDED) in names}  # fmt: skip
    figures = ", ".join(f"{name} {told(value, unit)}{f' if worn evenly, {aside[name]} if all on one side' if name in aside else ''}"
                        for name, value, unit in listed if name.removeprefix(ONE_SIDED) not in aside or name in aside)  # fmt: skip
    return f"{title}: {figures}" if figures else title


def wanted_words(wanted: Interval) -> str:
    """What the finished figure must be, as a clause."""
    low, high, unit = wanted.low, wanted.high, wanted.unit
    if isinstance(low, Open):
        return "" if isinstance(high, Open) else f"; at most {told(high, unit)}"
    return f"; at least {told(low, unit)}" if isinstance(high, Open) else f"; wanted {told(low, unit)} to {told(high, unit)}"


@lru_cache(maxsize=4096)
def practical(value: Fraction, low: Fraction, high: Fraction) -> Fraction:
    """The round figure nearest to ``value`` between two bounds, to about an eighth of their distance.

    >>> practical(Fraction("2.777"), Fraction("2.43"), Fraction("3.12"))
    Fraction(14, 5)
    """
    width = (high - low) / 4
    if width <= 0:
        return value
    step = Fraction(1)
    while step > width:
        step /= 10
    while step * 10 <= width:
        step *= 10
    if step * 5 <= width:
        step *= 5
    near = round(value / step) * step
    return near if low <= near <= high else value
