"""A remedy as plain values for JSON."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import Open, Value
from halfthou_specdb.units import Unit

from ..bench.remedies import Remedy
from ..bench.speak import convert, unit_for
from . import dump_records as records


def remedy(found: Remedy, system: str) -> dict[str, Any]:
    """One thing to do, with its amounts in the reader's own unit or in the system asked for."""
    return {
        "id": found.id, "title": found.title, "cost_class": found.cost_class, "reversible": found.reversible, "text": found.text,
        "amount": [{"name": name, "value": _quantity(value, unit, system)} for name, value, unit in found.amount],
        "tolerance": None if found.tolerance is None else _interval(found.tolerance, system),
        "predicted": None if found.predicted is None else _quantity(*found.predicted, system),
        "tools": list(found.tools), "steps": list(found.steps), "risk": found.risk or None, "cautions": list(found.cautions),
        "measure_after": list(found.measure_after), "asks": list(found.asks), "grade": found.grade, "optional": found.optional,
        "reaches": found.reaches,
    }  # fmt: skip


def _quantity(value: Fraction, unit: Unit, system: str) -> dict[str, Any]:
    told = unit_for(unit, system)
    return {"value": records.number(convert(value, unit, told)), "unit": told.token}  # type: ignore[arg-type]


def _interval(found: Interval, system: str) -> dict[str, Any]:
    def end(value: Value) -> Any:
        return value.value if isinstance(value, Open) else _quantity(value, found.unit, system)

    return {"low": end(found.low), "high": end(found.high)}
