"""Schemas of what the service is sent: the engine, a reading, a sheet."""

from __future__ import annotations

from typing import Any

from marshmallow import fields, validate

from halfthou_specdb.records import STAGES, USES

from .fields import Flag, Number, QuantityField, QuantitySchema, Sizes, Strict, Text, Word

DECISION_RULES = ("guarded", "simple", "guarded_rejection")
JUDGED_BY = ("adopted", "each-source")
UNITS = ("inch", "metric")
STATES = ("as_found", "as_made")
DEAD_CENTRE = ("before", "after")
RIM = ("rim-arc", "rim-chord")
OPEN = ("unbounded", "none_on_file")


class EngineSchema(Strict):
    """The engine the readings belong to."""

    id = Text(80, metadata={"description": "your own name for it"})
    engine_class = Text(80, required=True, metadata={"description": "an id of /v1/engine-classes"})
    use = Word(USES, metadata={"default": "work"})
    features = fields.List(
        Text(80), validate=validate.Length(max=60), metadata={"description": "ids of /v1/features; not:<feature> for one it lacks"}
    )
    dimensions = Sizes(metadata={"description": "nominal sizes by id of /v1/dimensions"})


class PlaceSchema(Strict):
    """Where a reading was taken."""

    instance = Text(80)
    station = Text(80)
    axis = Text(80)


class BoundField(fields.Raw):
    """A quantity, ``unbounded`` or ``none_on_file``."""

    def __init__(self, **kwargs: Any) -> None:
        one_of = [{"$ref": "#/components/schemas/Quantity"}, {"type": "string", "enum": list(OPEN)}]
        super().__init__(metadata={"oneOf": one_of}, **kwargs)


class EndsSchema(Strict):
    """Two ends; one left out is none_on_file."""

    low = BoundField()
    high = BoundField()


class OwnLimitSchema(Strict):
    """The caller's own limit for one reading."""

    fit = fields.Nested(EndsSchema)
    wear = fields.Nested(EndsSchema)


class ReadingSchema(Strict):
    """One reading. Exactly one of value, values, low and high, goes and does_not_go, finding."""

    id = Text(80, metadata={"description": "your own name for it; r1, r2 ... by position where left out"})
    characteristic = Text(80, required=True, metadata={"description": "an id of /v1/characteristics, or your own with a limit"})
    value = QuantityField()
    values = fields.List(QuantityField(), validate=validate.Length(min=1, max=200), metadata={"description": "repeats in one place"})
    low = QuantityField(metadata={"description": "lowest met, with high"})
    high = QuantityField(metadata={"description": "highest met, with low"})
    goes = QuantityField(metadata={"description": "largest gauge that goes"})
    does_not_go = QuantityField(metadata={"description": "smallest gauge that does not go"})
    finding = Text(200, metadata={"description": "one of the words of the characteristic"})
    instrument = Text(120, metadata={"description": "an id of /v1/instruments, or id/variant"})
    place = fields.Nested(PlaceSchema)
    state = Word(STATES, metadata={"default": "as_found"})
    standard_uncertainty = QuantityField(metadata={"description": "one standard uncertainty; replaces the instrument's"})
    expanded_uncertainty = QuantityField(metadata={"description": "with coverage_factor, instead of standard_uncertainty"})
    coverage_factor = Number(metadata={"exclusiveMinimum": 0})
    degrees_of_freedom = Number(metadata={"minimum": 1, "maximum": 1_000_000})
    relative = Word(DEAD_CENTRE, metadata={"description": "before or after the dead centre"})
    along = Word(RIM, metadata={"description": "how an angle was read as a length on the flywheel rim"})
    temperature = QuantityField()
    limit = fields.Nested(OwnLimitSchema)
    confirmed = Flag(metadata={"description": "the reading stands although it looks like a slip"})
    note = Text(2000)


class SheetSchema(Strict):
    """An engine with its readings."""

    engine = fields.Nested(EngineSchema, required=True)
    confidence = Number(metadata={"default": 0.95, "exclusiveMinimum": 0.5, "exclusiveMaximum": 1})
    decision_rule = Word(DECISION_RULES, metadata={"default": "guarded"})
    judged_by = Word(JUDGED_BY, metadata={"default": "adopted"})
    stage = Word(STAGES, metadata={"description": "tells what else should have been looked at by then"})
    units = Word(UNITS, metadata={"description": "units of the answer; your own where left out"})
    readings = fields.List(fields.Nested(ReadingSchema), required=True, validate=validate.Length(min=1))


ENVELOPE = SheetSchema(exclude=("readings",))
"""The sheet without its readings, which are read one by one."""
READING_FIELDS = tuple(ReadingSchema().fields)
PLACE_FIELDS = tuple(PlaceSchema().fields)

__all__ = [
    "DEAD_CENTRE", "DECISION_RULES", "ENVELOPE", "JUDGED_BY", "OPEN", "PLACE_FIELDS", "READING_FIELDS", "RIM", "STATES", "UNITS",
    "EngineSchema", "QuantitySchema", "ReadingSchema", "SheetSchema",
]  # fmt: skip
