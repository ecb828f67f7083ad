"""Schemas of ``POST /v1/calculations/{id}``: the envelope for reading, and one JSON Schema for each calculation."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from marshmallow import fields

from halfthou_specdb.units import UNITS, units_of

from ...calculations import CALCULATIONS
from ...calculations.frame import Calculation, Input, uncertainty_dimension
from .fields import Strict, Word

UNITS_OF_ANSWER = ("inch", "metric")
Schema = dict[str, Any]


class CalculationSchema(Strict):
    """Inputs of one calculation by name, with their standard uncertainties."""

    inputs = fields.Raw(required=True)
    standard_uncertainties = fields.Raw()
    units = Word(UNITS_OF_ANSWER)


def schema_name(what: Calculation) -> str:
    """``JournalFilmRequest``: what the schema of a calculation is called in the OpenAPI document."""
    return f"{what.id.title().replace('-', '')}Request"


def quantity_name(dimension: str) -> str:
    """``QuantityOfLength``: what the schema of a quantity of one kind is called."""
    return f"QuantityOf{dimension.title().replace('_', '')}"


def request_schema(what: Calculation) -> Schema:
    """The JSON Schema of a request to one calculation."""
    needed = [item.name for item in what.inputs if item.required and item.default is None]
    doubtful = {i.name: _ref(quantity_name(uncertainty_dimension(i))) for i in what.inputs if not i.many and i.dimension not in ("choice", "flag")}
    return {
        "type": "object", "additionalProperties": False, "required": ["inputs"], "description": what.title,
        "properties": {
            "inputs": {"type": "object", "additionalProperties": False, "required": needed,
                       "properties": {item.name: _input(item) for item in what.inputs}},
            "standard_uncertainties": {"type": "object", "additionalProperties": False, "properties": doubtful,
                                       "description": "one standard uncertainty (k = 1) by name of the input; carried through to the outputs"},
            "units": {"type": "string", "enum": list(UNITS_OF_ANSWER),
                      "description": "units of the answer; without it metric where the inputs are, otherwise inch"},
        },
    }  # fmt: skip


def quantity_schemas() -> dict[str, Schema]:
    """A schema for a quantity of every kind that a calculation takes."""
    kinds = {kind for what in CALCULATIONS.values() for item in what.inputs if item.dimension not in ("choice", "flag")
             for kind in (item.dimension, uncertainty_dimension(item))}  # fmt: skip
    return {quantity_name(kind): _quantity(kind) for kind in sorted(kinds)}


@lru_cache(maxsize=64)
def _quantity(dimension: str) -> Schema:
    tokens = units_of(dimension)
    symbols = ", ".join(UNITS[token].symbol or token for token in tokens)
    return {"type": "object", "additionalProperties": False, "required": ["value", "unit"],
            "description": f"{dimension.replace('_', ' ')}: {symbols}",
            "properties": {"value": {"type": "number"}, "unit": {"type": "string", "enum": list(tokens)}}}  # fmt: skip


def _ref(name: str) -> Schema:
    return {"$ref": f"#/components/schemas/{name}"}


def _input(item: Input) -> Schema:
    if item.dimension == "flag":
        return {"type": "boolean", "description": item.says}
    if item.dimension == "choice":
        found: Schema = {"type": "string", "enum": list(item.choices), "description": item.says}
        return found | ({"default": item.default} if item.default is not None else {})
    one = _ref(quantity_name(item.dimension))
    if item.many:
        return {"type": "array", "items": one, "minItems": 1, "maxItems": item.many, "description": item.says}
    return {"allOf": [one], "description": f"{item.says}, usually in {item.unit}"}
