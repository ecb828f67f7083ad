"""Numbers as a machinist says them: thousandths for small inches, the reader's own unit, and rounding that never flatters."""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal, localcontext
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.rules import Open, Value
from halfthou_specdb.units import UNITS, Unit

SMALL_INCH = Fraction(1, 4)
FIGURES = 3
FINEST = {"in": Decimal("0.0001"), "mm": Decimal("0.001")}
"""How finely a size of ten and more is told where it was read in the other system."""
ROUNDINGS = {"low": ROUND_CEILING, "high": ROUND_FLOOR, "": ROUND_HALF_EVEN}
INCH_OF = {"length": "in", "mass": "lb", "force": "lbf", "pressure": "psi", "temperature": "degF", "volume": "USgal", "torque": "lbf.ft",
           "power": "hp", "speed": "ft/min", "stiffness": "lbf/in", "temperature_difference": "delta_degF",
           "ratio": "in/ft"}  # fmt: skip
METRIC_OF = {"length": "mm", "mass": "kg", "force": "N", "pressure": "kPa", "temperature": "degC", "volume": "L", "torque": "N.m",
             "power": "kW", "speed": "m/s", "stiffness": "N/mm", "temperature_difference": "delta_degC",
             "ratio": "mm/m"}  # fmt: skip


def unit_for(own: Unit, system: str) -> Unit:
    """The unit an answer is told in: the reader's own, or the usual one of the system that was asked for."""
    if system not in ("inch", "metric") or own.system in (system, "both"):
        return own
    return UNITS[(INCH_OF if system == "inch" else METRIC_OF).get(own.dimension, own.token)]


def convert(value: Value, given: Unit, wanted: Unit) -> Value:
    """A bound in another unit, exactly; open sides stay open."""
    if isinstance(value, Open) or given is wanted:
        return value
    return (value * given.factor + given.offset - wanted.offset) / wanted.factor


def spoken_unit(value: Fraction, unit: Unit) -> tuple[Fraction, Unit]:
    """Small inches become thousandths."""
    if unit.token == "in" and abs(value) < SMALL_INCH:
        return value * 1000, UNITS["thou"]
    return value, unit


def rounded(value: Fraction, side: str = "", figures: int = FIGURES) -> Decimal:
    """A bound to three figures, rounded toward the strict side, so that a fail never looks like a pass."""
    if value == 0:
        return Decimal(0)
    with localcontext() as context:
        context.prec, context.rounding = 30, ROUNDINGS[side]
        exact = Decimal(value.numerator) / Decimal(value.denominator)
        context.prec = max(figures, exact.adjusted() + 1)
        out = +exact
        return Decimal(0) if not out else out.normalize()


def say(value: Fraction, unit: Unit, side: str = "", figures: int = FIGURES) -> str:
    """A bound in words: ``6.4 thou``, ``0.097 mm``, ``45°``."""
    return _say(value.numerator, value.denominator, unit.token, side, figures)


@lru_cache(maxsize=4096)
def _say(numerator: int, denominator: int, token: str, side: str, figures: int) -> str:
    number, spoken = spoken_unit(Fraction(numerator, denominator), UNITS[token])
    return _joined(rounded(number, side, figures), spoken)


def figures_to_part(bounds: Sequence[Fraction]) -> int:
    """How many figures tell several bounds apart with one to spare: 5.2500 and 5.2505 need five, never under three."""
    ordered = sorted(set(bounds))
    gaps = [b - a for a, b in pairwise(ordered)]
    top = max((abs(b) for b in ordered), default=Fraction(0))
    if not gaps or not top:
        return FIGURES
    return max(FIGURES, math.floor(math.log10(top)) - math.floor(math.log10(min(gaps))) + 1)


def say_reading(quantity: Quantity, system: str = "") -> str:
    """A reading in words, with all its own digits; told in another system, with as many as it took to read it."""
    wanted = unit_for(quantity.unit, system)
    if wanted is not quantity.unit:
        return say_value(quantity.exact, quantity.unit, system)
    number, spoken = spoken_unit(quantity.exact, quantity.unit)
    return _joined(decimal_of(number, 12), spoken)


def say_value(value: Fraction, unit: Unit, system: str = "") -> str:
    """A worked-out reading in words: to five figures, an angle to three, a size in another system to a micrometre or a tenth of a thou."""
    wanted = unit_for(unit, system)
    if wanted is not unit:
        told = convert(value, unit, wanted)
        assert not isinstance(told, Open)
        if wanted.token in FINEST and abs(told) >= 10:
            return _joined(decimal_of(told, 20).quantize(FINEST[wanted.token]), wanted)
        value, unit = told, wanted
    number, spoken = spoken_unit(value, unit)
    return _joined(rounded(number, "", 3 if unit.dimension == "angle" else 5), spoken)


def _joined(number: Decimal, unit: Unit) -> str:
    text = f"{number:f}"
    if not unit.symbol:
        return text
    return f"{text}{unit.symbol}" if unit.symbol in {"°", "%"} else f"{text} {unit.symbol}"


def say_doubt(u: float, unit: Unit) -> str:
    """An uncertainty in words, to two figures, rounded up."""
    number, spoken = spoken_unit(Fraction(u), unit)
    with localcontext() as context:
        context.prec, context.rounding = 2, ROUND_CEILING
        return _joined((+Decimal(f"{float(number):.12g}")).normalize(), spoken)  # 0.2000000001 is 0.2, not 0.21
