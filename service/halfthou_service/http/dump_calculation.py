"""Calculations and their answers as plain values for JSON."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from halfthou_specdb.units import UNITS, units_of

from ..calculations.frame import Answer, Calculation, Input, Output, Told, from_si, uncertainty_dimension
from . import dump_records as records
from .dump_limit import cautions
from .schemas.calculations import schema_name
from .state import Shop

CAUTION = re.compile(r"\bC[0-9]{3}\b")
DIFFERENCE = {"degF": "delta_degF", "degC": "delta_degC", "K": "delta_degC"}
"""Unit of a difference beside the unit of a temperature."""
FIGURES = 10


def caution_ids(sentences: Iterable[str]) -> tuple[str, ...]:
    """The cautions named in sentences, such as ``(C047)``, each once."""
    return tuple(dict.fromkeys(found for text in sentences for found in CAUTION.findall(text)))


def in_short(what: Calculation) -> dict[str, Any]:
    """What a list tells of a calculation."""
    return {
        "id": what.id, "title": what.title, "says": what.docs.partition("\n")[0], "path": f"/v1/calculations/{what.id}",
        "inputs": [item.name for item in what.inputs], "outputs": [item.name for item in what.outputs],
    }  # fmt: skip


def in_full(shop: Shop, what: Calculation) -> dict[str, Any]:
    """Everything about a calculation."""
    return in_short(what) | {
        "inputs": [_input(item) for item in what.inputs], "outputs": [_output(item) for item in what.outputs],
        "assumptions": list(what.assumptions), "references": list(what.references), "warnings": list(what.cautions),
        "cautions": cautions(shop, caution_ids(what.cautions)), "docs": what.docs, "schema": f"/openapi.json#/components/schemas/{schema_name(what)}",
        "edition": shop.edition,
    }  # fmt: skip


def answer(shop: Shop, found: Answer) -> dict[str, Any]:
    """What a calculation answers."""
    what = found.calculation
    told = zip(what.outputs, found.outputs, strict=True)
    return {
        "id": what.id, "title": what.title, "edition": shop.edition, "outputs": [_told(declared, output) for declared, output in told],
        "flags": [{"code": flag.code, "says": flag.says} for flag in found.flags], "assumed": list(found.assumed),
        "assumptions": list(what.assumptions), "references": list(what.references), "warnings": list(what.cautions),
        "cautions": cautions(shop, caution_ids([*what.cautions, *(flag.says for flag in found.flags)])),
    }  # fmt: skip


def _figure(value: float, figures: int = FIGURES) -> Decimal:
    found = records.number(Decimal(f"{value:.{figures}g}"))
    return found if found else Decimal(0)


def _quantity(value: float | None, unit: str) -> dict[str, Any] | None:
    return None if value is None else {"value": _figure(from_si(value, unit)), "unit": unit}


def _input(item: Input) -> dict[str, Any]:
    body: dict[str, Any] = {
        "name": item.name, "kind": item.dimension, "says": item.says, "required": item.required and item.default is None,
        "unit": None, "units": [], "low": None, "low_included": not item.open_low, "high": None, "choices": list(item.choices),
        "most": item.many or 1, "default": item.default, "uncertainty_units": [],
    }  # fmt: skip
    if item.dimension in ("choice", "flag"):
        return body
    return body | {
        "unit": item.unit, "units": list(units_of(item.dimension)), "low": _quantity(item.low, item.unit), "high": _quantity(item.high, item.unit),
        "default": None if item.default is None else _quantity(float(item.default), item.unit),
        "uncertainty_units": [] if item.many else list(units_of(uncertainty_dimension(item))),
    }  # fmt: skip


def _output(item: Output) -> dict[str, Any]:
    words = item.dimension in ("text", "flag")
    return {"name": item.name, "kind": item.dimension, "says": item.says, "inch": None if words else item.inch,
            "metric": None if words else item.metric}  # fmt: skip


def _told(declared: Output, output: Told) -> dict[str, Any]:
    """One output: words under ``text``, a number under ``value``; null where these inputs do not lead to it."""
    body: dict[str, Any] = {"name": output.name, "says": output.says, "kind": declared.dimension, "value": None, "text": None,
                            "unit": output.unit or None, "standard_uncertainty": None}  # fmt: skip
    if isinstance(output.value, str):
        body["text"] = output.value
    elif output.value is not None:
        body["value"] = output.value if isinstance(output.value, bool) else _figure(output.value)
    if output.standard_uncertainty is not None:
        unit = DIFFERENCE.get(output.unit, output.unit)
        scale = float(UNITS[output.unit].factor / UNITS[unit].factor)
        body["standard_uncertainty"] = {"value": _figure(output.standard_uncertainty * scale, 4), "unit": unit}
    return body
