"""The owner's own tools: ``[[instrument]]`` records of an overlay, of the same shape as ours, for one engine's readings.

One with the id of ours takes its place; one with an id of its own is added. Parts without a grade are the owner's.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from marshmallow import ValidationError

from . import reading
from .errors import SpecdbError
from .load import flat_messages
from .table import Table
from .tool_records import Instrument, UncertaintyPart, Variant
from .tool_schemas import OwnInstrumentSchema
from .units import UNITS

MOST_TOOLS = 100
FINDING = "finding"
DIMENSIONS = frozenset(unit.dimension for unit in UNITS.values())
TEMPERATURES = frozenset({"temperature", "temperature_difference"})


def tool(row: dict[str, Any]) -> Instrument:
    """The instrument of one record.

    Raises:
        SpecdbError: no default variant of that name, a part without its unit, an unknown unit.
    """
    variants = [{**v, "parts": [{"grade": "owner", **p} for p in v["parts"]]} for v in row["variant"]]
    return reading.instrument({"cost_class": 1, **row, "variant": variants})


def tool_faults(table: Table, row: dict[str, Any]) -> Iterator[str]:
    """Everything that is wrong with one record, in words."""
    try:
        OwnInstrumentSchema().load(row)
    except ValidationError as error:
        for where, what in flat_messages(error.messages):
            yield f"{where}: {what}"
        return
    try:
        made = tool(row)
    except (SpecdbError, KeyError, TypeError, ValueError, ArithmeticError) as error:
        yield str(error) if isinstance(error, SpecdbError) else "a record of another shape than those in instruments.toml"
        return
    if made.measures not in DIMENSIONS | {FINDING}:
        yield f"measures: {made.measures!r} is no kind of quantity (length, angle, pressure, voltage ...)"
        return
    for variant in made.variants:
        yield from _variant(table, made, variant)


def _variant(table: Table, made: Instrument, variant: Variant) -> Iterator[str]:
    if variant.work and variant.work not in table.works:
        yield f"{variant.id}: no work is called {variant.work!r}; leave work out for a figure of your own"
    if made.measures != FINDING and not variant.parts:
        yield f"{variant.id}: every tool has some doubt; give at least one part"
    for part in variant.parts:
        if part.value < 0:
            yield f"{variant.id}: the part {part.name!r} is below zero"
        unit = _unit_of(part)
        if unit is not None and unit != made.measures and not {unit, made.measures} <= TEMPERATURES:
            yield f"{variant.id}: the part {part.name!r} is {unit}, the tool measures {made.measures}"
    if variant.parts and not any(part.value > 0 for part in variant.parts):
        yield f"{variant.id}: every tool has some doubt; all parts together come to nothing"


def _unit_of(part: UncertaintyPart) -> str | None:
    if part.kind == "percent-of-span" and part.span is not None:
        return part.span.unit.dimension
    return part.unit.dimension if part.unit is not None else None
