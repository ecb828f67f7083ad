"""A slip of the pencil: ten times off, or millimetres written as inches. Suspected and said, never corrected silently.

Wear takes a part past its bound, and may take it to twice that bound and more. A point one place out is suspected so near only where the
figure with its point put back is one that a shop tool shows: 26 thou may have been 2.6, and 6.6 thou was never 0.66, since nobody reads to
a hundredth of a thousandth. A diameter is held against the size the engine is stated to have.
"""

from __future__ import annotations

from fractions import Fraction

from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Characteristic
from halfthou_specdb.resolve import Resolved
from halfthou_specdb.rules import Open
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS

from .speak import say

FAR, NEAR = 4, 2
"""A reading this many times past the serviceable bound is looked at twice; from the nearer one on where a tool could have shown the tenth of it."""
FINEST = {"inch": ("in", 10_000), "metric": ("mm", 1_000)}
"""What shop tools read to, by system: a tenth of a thousandth of an inch, a thousandth of a millimetre (common practice)."""
TENTH = Fraction(1, 10)
SLIPS = ((Fraction(1, 10), "a point one place out"), (Fraction(10), "a point one place out"), (Fraction(1000), "inches written for thousandths"),
         (Fraction(1, 1000), "thousandths written for inches"), (Fraction(10, 254), "millimetres written for inches"),
         (Fraction(254, 10), "inches written for millimetres"))  # fmt: skip


def suspected_slip(resolved: Resolved, reading: Quantity) -> str:
    """Why a reading looks like a slip, or the empty string. Only readings far outside, which a slip would bring into the fit."""
    back, fit, what = resolved.serviceable, resolved.fit, resolved.characteristic
    if back is None or fit is None or not what.non_negative or not what.scales_with or (resolved.limit and resolved.limit.kind != "limit"):
        return ""
    value = reading.to(fit.unit)
    far_over = not isinstance(back.high, Open) and value > NEAR * back.high
    far_under = not isinstance(fit.low, Open) and 0 < FAR * value < fit.low
    if not (far_over or far_under) or isinstance(fit.low, Open) or isinstance(fit.high, Open):
        return ""
    very_far = far_under or (not isinstance(back.high, Open) and value > FAR * back.high)
    for factor, name in SLIPS:
        if fit.low <= value * factor <= fit.high and (factor < 1) == far_over and (very_far or (factor == TENTH and _shown(reading))):
            return (f"{reading} looks like {name}: {say(value * factor, fit.unit)} would be a new fit. "
                    "Look again; send it with \"confirmed\": true if it stands")  # fmt: skip
    return ""


def _shown(reading: Quantity) -> bool:
    """Whether a shop tool could have shown a tenth of this."""
    unit, parts = FINEST.get(reading.unit.system, ("", 0))
    return bool(unit) and reading.unit.dimension == "length" and (reading.to(UNITS[unit]) * TENTH * parts).denominator == 1


ODD = 1.5
"""No part is worn or out of round by half its size: a reading so far from the others, or from the stated size, is a slip."""
SIZE_SLIPS = (
    (10.0, "a point one place out"), (25.4, "inches and millimetres mixed up"), (1000.0, "thousandths and inches mixed up"),
    (2.0, "a radius for a diameter"),
)  # fmt: skip
LIKE = 0.2


def off_stated(table: Table, what: Characteristic, engine: Engine, reading: Quantity) -> str:
    """Why a diameter cannot be that of the part the engine is stated to have, or the empty string."""
    stated = engine.dimensions.get(stated_size(table, what.id))
    if stated is None or stated.unit.dimension != reading.unit.dimension or not stated.canonical > 0 or not reading.canonical > 0:
        return ""
    ratio = float(reading.canonical / stated.canonical)
    if 1.0 / ODD <= ratio <= ODD:
        return ""
    return (f"{reading} is far from the {stated} that the engine states: {size_slip(ratio)}. "
            "Look again; send it with \"confirmed\": true if it stands")  # fmt: skip


def stated_size(table: Table, characteristic: str) -> str:
    """The dimension of the engine that a diameter is the size of; empty for what is no diameter of a part."""
    kept = table.kept("stated sizes")
    if "by diameter" not in kept:
        kept["by diameter"] = {kind.diameter: kind.new for kind in table.surveys.values() if kind.diameter and kind.new and not kind.each}
    found: dict[str, str] = kept["by diameter"]
    return found.get(characteristic, "")


def size_slip(ratio: float) -> str:
    """What slip makes a size so many times another."""
    times = max(ratio, 1.0 / ratio)
    return next((f"it looks like {name}" for factor, name in SIZE_SLIPS if abs(times / factor - 1.0) < LIKE), "no wear makes that")
