"""A slip of the pencil: ten times off, or millimetres written as inches. Suspected and said, never corrected silently."""

from __future__ import annotations

from fractions import Fraction

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.resolve import Resolved
from halfthou_specdb.rules import Open

from .speak import say

FAR = 4
"""A reading this many times past the serviceable bound is looked at twice."""
SLIPS = ((Fraction(1, 10), "a point one place out"), (Fraction(10), "a point one place out"), (Fraction(1000), "inches written for thousandths"),
         (Fraction(1, 1000), "thousandths written for inches"), (Fraction(10, 254), "millimetres written for inches"),
         (Fraction(254, 10), "inches written for millimetres"))  # fmt: skip


def suspected_slip(resolved: Resolved, reading: Quantity) -> str:
    """Why a reading looks like a slip, or the empty string. Only readings far outside, which a slip would bring into the fit."""
    back, fit, what = resolved.serviceable, resolved.fit, resolved.characteristic
    if back is None or fit is None or not what.non_negative or not what.scales_with or (resolved.limit and resolved.limit.kind != "limit"):
        return ""
    value = reading.to(fit.unit)
    far_over = not isinstance(back.high, Open) and value > FAR * back.high
    far_under = not isinstance(fit.low, Open) and 0 < FAR * value < fit.low
    if not (far_over or far_under) or isinstance(fit.low, Open) or isinstance(fit.high, Open):
        return ""
    for factor, name in SLIPS:
        if fit.low <= value * factor <= fit.high and (factor < 1) == far_over:
            return (f"{reading} looks like {name}: {say(value * factor, fit.unit)} would be a new fit. "
                    "Look again; send it with \"confirmed\": true if it stands")  # fmt: skip
    return ""
