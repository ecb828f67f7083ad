"""Values as they are told: in the reader's own unit or in the system asked for, doubts to four figures."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from halfthou_specdb.units import Unit

from ..bench.speak import convert
from . import dump_records as records


def told_value(value: Decimal | None, own: Unit | None, told: Unit | None) -> dict[str, Any] | None:
    """A value in the unit it is told in."""
    if value is None or own is None or told is None:
        return None
    if told is own:
        return {"value": records.number(value), "unit": own.token}
    return {"value": records.number(convert(Fraction(value), own, told)), "unit": told.token}  # type: ignore[arg-type]


def four_figures(u: float) -> Decimal:
    """Four figures: more would claim to know an uncertainty better than anyone can."""
    return records.number(Decimal(f"{u:.4g}"))


def told_u(u: float | None, scale: float, told: Unit | None) -> dict[str, Any] | None:
    """A standard uncertainty."""
    return None if u is None or told is None else {"value": four_figures(u * scale), "unit": told.token}
