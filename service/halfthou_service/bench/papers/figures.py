"""Figures on paper: one system of units a sheet, thousandths as spoken, bounds rounded toward the strict side."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from typing import Any, Literal

from halfthou_specdb.quantity import Quantity, decimal_of, parse_quantity
from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import Open, Value
from halfthou_specdb.units import UNITS, Unit

from ..speak import FIGURES, convert, figures_to_part, rounded, say_doubt, spoken_unit, unit_for

System = Literal["inch", "metric"]
NONE_KNOWN = "none known"
KEPT = Fraction(3, 4)
"""How much of a zone must be left when its limits are rounded into it."""
HALF_INCH = Fraction(1, 2)
SIZE_STEP = {"in": Decimal("0.0001"), "mm": Decimal("0.001")}
FINE_STEP = {"in": Decimal("0.00001"), "mm": Decimal("0.0001")}
FINELY = 3
"""Decimals from which a size in inches was read with a micrometer and is told to four places."""
OWN_PLACES = (5, 6)
"""Decimals of an inch that somebody read or halved: told as they are, since a tenth would round 1.86905 into 1.8690."""
ROUNDINGS = {"low": ROUND_CEILING, "high": ROUND_FLOOR, "": ROUND_HALF_EVEN}
_PLACED = re.compile(r"\{([^{}]+)\}")


@dataclass(frozen=True, slots=True)
class Told:
    """A figure as it is printed: the number large, its unit small. ``number`` is never empty."""

    number: str
    unit: str = ""

    def __str__(self) -> str:
        joint = "" if self.unit in ("°", "%") or not self.unit else " "
        return f"{self.number}{joint}{self.unit}"


NOTHING = Told(NONE_KNOWN)


def span(low: Value, high: Value, unit: Unit, system: System, beside: Iterable[Value] = ()) -> Told:
    """Two sides as one figure: ``1.82 to 3.21 thou``, ``up to 0.5 thou``, ``at least 30 thou``, ``none known``.

    ``beside``: other bounds printed in the same row, so that all of a row are told in one unit and to the same figures.
    """
    scaled = _scaled((low, high, *beside), unit, system)
    if scaled is None:
        return NOTHING
    (first, second, *_), shown, figures = scaled
    if isinstance(first, Open):
        return NOTHING if isinstance(second, Open) else Told(f"up to {_digits(second, 'high', figures)}", shown)
    if isinstance(second, Open):
        return Told(f"at least {_digits(first, 'low', figures)}", shown)
    if first == second:
        return Told(_digits(first, "", figures), shown)
    return Told(f"{_digits(first, 'low', figures)} to {_digits(second, 'high', figures)}", shown)


def edges(low: Value, high: Value, unit: Unit, system: System, beside: Iterable[Value] = ()) -> Told:
    """Where to stop: ``over 7.25 thou``, ``under 1.82, over 7.25 thou``, ``none known``."""
    scaled = _scaled((low, high, *beside), unit, system)
    if scaled is None:
        return NOTHING
    (first, second, *_), shown, figures = scaled
    parts = [] if isinstance(first, Open) else [f"under {_digits(first, 'low', figures)}"]
    parts += [] if isinstance(second, Open) else [f"over {_digits(second, 'high', figures)}"]
    return Told(", ".join(parts), shown) if parts else NOTHING


def unit_shown(unit: Unit, system: System, usual: Fraction | None = None) -> str:
    """The unit a person writes beside a reading; thousandths for what is usually under half an inch."""
    wanted = unit_for(unit, system)
    small = wanted.token == "in" and usual is not None and abs(usual) < HALF_INCH
    return (UNITS["thou"] if small else wanted).symbol or wanted.token


def _scaled(values: tuple[Value, ...], unit: Unit, system: System) -> tuple[list[Value], str, int] | None:
    wanted = unit_for(unit, system)
    found = [convert(v, unit, wanted) for v in values]
    numbers = [v for v in found if not isinstance(v, Open)]
    if not numbers:
        return None
    figures = max(FIGURES, figures_to_part(numbers))
    if wanted.token == "in" and max(map(abs, numbers)) < HALF_INCH:
        return [v if isinstance(v, Open) else v * 1000 for v in found], UNITS["thou"].symbol, figures
    return found, wanted.symbol, figures


def _digits(value: Fraction, side: str, figures: int) -> str:
    return f"{rounded(value, side, figures):f}"


def size(value: Fraction, unit: Unit, system: System, side: str = "") -> Told:
    """A diameter or other size: inches to a tenth of a thou, millimetres to a micrometre; a limit is rounded into its zone."""
    wanted = unit_for(UNITS["in"] if unit.token in ("thou", "uin") else unit, system)
    found = convert(value, unit, wanted)
    assert not isinstance(found, Open)
    if wanted.token not in SIZE_STEP:
        return Told(_digits(found, side, 4), wanted.symbol)
    step = SIZE_STEP[wanted.token]
    exact = decimal_of(found, 20)
    return Told(f"{exact.quantize(step, ROUNDINGS[side]):f}", wanted.symbol)


def sizes(low: Fraction, high: Fraction, unit: Unit, system: System) -> Told:
    """Both limits of a size: ``1.7995 to 1.8000 in``."""
    return ordered_sizes(low, high, unit, system)[0]


def ordered_sizes(low: Fraction, high: Fraction, unit: Unit, system: System) -> tuple[Told, Fraction, Fraction]:
    """Both limits as printed, and the very same two numbers [``unit``]: what is ordered is what stands on the paper.

    Rounded into the zone, to a tenth of a thou or a micrometre; one place finer where that would cut much of the zone away.
    """
    wanted = unit_for(UNITS["in"] if unit.token in ("thou", "uin") else unit, system)
    first, second = convert(low, unit, wanted), convert(high, unit, wanted)
    assert not isinstance(first, Open)
    assert not isinstance(second, Open)
    for steps in (SIZE_STEP, FINE_STEP):
        step = steps.get(wanted.token, Decimal("0.0001"))
        a, b = (decimal_of(v, 20).quantize(step, ROUNDINGS[side]) for v, side in ((first, "low"), (second, "high")))
        if (b > a and Fraction(b - a) >= (second - first) * KEPT) or first == second:
            break
    ends = [convert(Fraction(v), wanted, unit) for v in (a, b)]
    assert not isinstance(ends[0], Open)
    assert not isinstance(ends[1], Open)
    return Told(f"{a:f} to {b:f}", wanted.symbol), ends[0], ends[1]


def reading(quantity: Quantity, system: System) -> Told:
    """A reading with its own digits where it was taken in this system: they say how finely it was read."""
    wanted = unit_for(quantity.unit, system)
    fine = quantity.unit.dimension == "length" and abs(quantity.canonical) >= HALF_INCH * UNITS["in"].factor
    if wanted is quantity.unit:
        places = -int(quantity.value.as_tuple().exponent)
        if fine and wanted.token == "in" and places >= FINELY and not OWN_PLACES[0] <= places <= OWN_PLACES[1]:
            return size(quantity.exact, quantity.unit, system)
        number, shown = spoken_unit(quantity.exact, quantity.unit)
        return Told(f"{decimal_of(number, 12):f}", shown.symbol)
    if fine:
        return size(quantity.exact, quantity.unit, system)
    value = convert(quantity.exact, quantity.unit, wanted)
    assert not isinstance(value, Open)
    number, shown = spoken_unit(value, wanted)
    return Told(f"{rounded(number, '', 4):f}", shown.symbol)


def figure_beside(quantity: Quantity, ends: Iterable[Quantity], system: System) -> Told:
    """A reading with as many digits as keep it on its side of each bound: 1.86905 in over an end of 1.8690 in is never told as 1.8690."""
    told = reading(quantity, system)
    bounds = [end for end in ends if end.unit.dimension == quantity.unit.dimension]
    shown = UNITS["thou"] if told.unit == UNITS["thou"].symbol else unit_for(quantity.unit, system)
    exact = decimal_of((quantity.canonical - shown.offset) / shown.factor, 20)
    for places in range(4, 11):
        said = Fraction(told.number) * shown.factor + shown.offset
        if all(_side(said, end) == _side(quantity.canonical, end) for end in bounds):
            break
        told = Told(f"{exact.quantize(Decimal(1).scaleb(-places)):f}", shown.symbol)
    return told


def _side(canonical: Fraction, end: Quantity) -> int:
    return (canonical > end.canonical) - (canonical < end.canonical)


def sizes_or_span(low: Value, high: Value, unit: Unit, system: System) -> Told:
    """What was ordered: both limits of a size to a tenth of a thou, anything else as a span."""
    if isinstance(low, Open) or isinstance(high, Open) or unit.dimension != "length" or high * unit.factor < HALF_INCH * UNITS["in"].factor:
        return span(low, high, unit, system)
    return ordered_sizes(low, high, unit, system)[0]


def doubt(u: float | None, unit: Unit | None, system: System) -> str:
    """An expanded uncertainty (2 u) in words: ``0.3 thou``; ``none known`` where there is none."""
    if not u or unit is None:
        return NONE_KNOWN
    wanted = unit_for(unit, system)
    return say_doubt(2.0 * u * float(unit.factor / wanted.factor), wanted)


def to_doubt(value: Fraction, expanded: float, unit: Unit, system: System) -> Told:
    """A difference or a worked-out figure to the places of its doubt, which has two figures: 23.4330708661 +/- 1.5 thou is 23.4 thou."""
    wanted = unit_for(unit, system)
    scale = unit.factor / wanted.factor
    number, shown = spoken_unit(value * scale, wanted)
    around = expanded * float(unit.factor / shown.factor)
    exact = decimal_of(number, 20)
    if around > 0:
        place = Decimal(1).scaleb(math.floor(math.log10(around)) - 1)
        exact = exact.quantize(place) if place < 1 else (exact / place).quantize(Decimal(1)) * place
    return Told(f"{exact.normalize():f}" if exact else "0", shown.symbol)


def placed(text: str, system: System) -> str:
    """A text with its figures, written ``{0.0005 in}``, told in the units of the sheet.

    >>> placed("within {0.0005 in}", "inch")
    'within 0.5 thou'
    """

    def told(match: re.Match[str]) -> str:
        quantity = parse_quantity(match[1])
        wanted = unit_for(quantity.unit, system)
        value = convert(quantity.exact, quantity.unit, wanted)
        assert not isinstance(value, Open)
        number, shown = spoken_unit(value, wanted)
        return str(Told(f"{rounded(number, '', 4 if wanted is quantity.unit else 3):f}", shown.symbol))

    return _PLACED.sub(told, text)


# -- plain values for JSON -----------------------------------------------------------------------------------------


def quantity_dict(value: Fraction, unit: Unit, system: System) -> dict[str, Any]:
    """``{"value", "unit"}`` in the units of the sheet."""
    wanted = unit_for(unit, system)
    found = convert(value, unit, wanted)
    assert not isinstance(found, Open)
    return {"value": decimal_of(found, 12), "unit": wanted.token}


def bound_dict(value: Value, unit: Unit, system: System) -> dict[str, Any] | str:
    """A quantity, or the word for an open side."""
    return value.value if isinstance(value, Open) else quantity_dict(value, unit, system)


def interval_dict(interval: Interval | None, system: System) -> Mapping[str, Any] | None:
    """Two bounds, or nothing."""
    if interval is None:
        return None
    return {"low": bound_dict(interval.low, interval.unit, system), "high": bound_dict(interval.high, interval.unit, system)}
