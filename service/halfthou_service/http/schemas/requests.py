"""Schemas of what the service is sent: the engine, a reading, a sheet."""

from __future__ import annotations

from typing import Any

from marshmallow import fields, validate

from halfthou_specdb.records import STAGES, USES

from ...calculations.journal_film import CALCULATION as FILM
from .facts import FactsSchema
from .fields import Flag, Number, QuantityField, QuantitySchema, Sizes, Strict, Text, Word
from .orders import BackLineSchema, LetterheadSchema, WishesField

DECISION_RULES = ("guarded", "simple", "guarded_rejection", "simple_n_to_1")
JUDGED_BY = ("adopted", "each-source")
UNITS = ("inch", "metric")
STATES = ("as_found", "as_made")
DEAD_CENTRE = ("before", "after")
RIM = ("rim-arc", "rim-chord")
OPEN = ("unbounded", "none_on_file")
MOST_BACK = 2000
MOST_CSV = 2 * 2**20
BASES = ("radial", "diametral", "total-indicator", "difference-of-diameters")
FEEDS = next(item.choices for item in FILM.inputs if item.name == "feed")


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


class BareOrQuantity(fields.Raw):
    """A quantity, or a bare number in the unit of its survey."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(metadata={"oneOf": [{"$ref": "#/components/schemas/Quantity"}, {"type": "number"}]}, **kwargs)


class EndsSchema(Strict):
    """Two ends; one left out is none_on_file."""

    low = BoundField()
    high = BoundField()


class OwnLimitSchema(Strict):
    """The caller's own limit for one reading."""

    fit = fields.Nested(EndsSchema)
    wear = fields.Nested(EndsSchema)


def _quantity(says: str) -> dict[str, Any]:
    return {"allOf": [{"$ref": "#/components/schemas/Quantity"}], "description": says}


SECOND_OPINION: dict[str, Any] = {
    "type": "object", "additionalProperties": False,
    "description": "what is known of a bearing for its oil film; the rest is worked out from the engine or taken, and said",
    "properties": {
        "load": _quantity("steady load on the bearing"), "firing_pressure": _quantity("highest pressure in the cylinder, where no load is stated"),
        "viscosity": _quantity("of the oil in the film"), "feed": {"type": "string", "enum": list(FEEDS)},
        "journal_roughness": _quantity("Ra; with bearing_roughness the film is set beside the finish"), "bearing_roughness": _quantity("Ra"),
    },
}  # fmt: skip
"""By hand, because a marshmallow schema has no room for a field called load; :mod:`halfthou_service.http.parse_opinion` reads it."""


class SecondOpinionField(fields.Raw):
    """True, or what is known of the bearing."""

    def __init__(self, **kwargs: Any) -> None:
        one_of = [{"type": "boolean"}, {"$ref": "#/components/schemas/SecondOpinionAsked"}]
        super().__init__(metadata={"oneOf": one_of, "description": "bearing clearances only: the oil film beside the rule of thumb"}, **kwargs)


class OwnBudgetLineSchema(Strict):
    """One line of the uncertainty as the caller knows it: it replaces the line of that name, or is added."""

    name = Text(120, required=True)
    standard_uncertainty = QuantityField(required=True)
    random = Flag(metadata={"description": "whether repeats average it out", "default": False})


class PooledScatterSchema(QuantitySchema):
    """Scatter of single readings known from earlier surveys with the same tool."""

    degrees_of_freedom = Number(required=True, metadata={"minimum": 1, "maximum": 1_000_000})


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
    temperature = QuantityField(metadata={"description": "of the part; sizes are brought to 20 degC"})
    limit = fields.Nested(OwnLimitSchema)
    confirmed = Flag(metadata={"description": "the reading stands although it looks like a slip"})
    note = Text(2000)
    second_opinion = SecondOpinionField()
    instrument_temperature = QuantityField(metadata={"description": "of the tool, where it was not as warm as the part"})
    material = Text(80, metadata={"description": "an id of /v1/materials, with temperature"})
    budget = fields.List(fields.Nested(OwnBudgetLineSchema), validate=validate.Length(min=1, max=20),
                         metadata={"description": "your own lines of the uncertainty"})  # fmt: skip
    pooled_scatter = fields.Nested(PooledScatterSchema)
    basis = Word(BASES, metadata={"description": "how it is told where that is not as the limit does"})


class SurveyPlaceSchema(Strict):
    """One place of a survey: a reading, or repeats."""

    instance = Text(80, metadata={"description": "which of several things, such as ring 2"})
    station = Text(80, metadata={"description": "along the part"})
    axis = Text(80, metadata={"description": "across it"})
    value = BareOrQuantity()
    values = fields.List(BareOrQuantity(), validate=validate.Length(min=1, max=50), metadata={"description": "repeats in this place"})


class SurveySchema(Strict):
    """Several diameters of one feature, or one reading of each of several things of a kind."""

    id = Text(80, metadata={"description": "your own name for it; s1, s2 ... by position where left out"})
    feature = Text(80, required=True, metadata={"description": "crankpin, main-journal, cylinder-bore ...; ring-end-gaps, timing-gear-meshes ..."})
    instance = Text(80, metadata={"description": "which one, such as left main"})
    instrument = Text(120, metadata={"description": "an id of /v1/instruments, or id/variant"})
    unit = Text(40, metadata={"description": "of readings written as bare numbers"})
    readings = fields.List(fields.Nested(SurveyPlaceSchema), required=True, validate=validate.Length(min=1, max=100))
    standard_uncertainty = QuantityField(metadata={"description": "of one reading; replaces the instrument's"})
    expanded_uncertainty = QuantityField(metadata={"description": "with coverage_factor, instead of standard_uncertainty"})
    coverage_factor = Number(metadata={"exclusiveMinimum": 0})
    shared_uncertainty = QuantityField(metadata={"description": "beside standard_uncertainty: what all readings have in common"})
    new = QuantityField(metadata={"description": "the size when new, or where nothing ever ran"})
    new_uncertainty = QuantityField(metadata={"description": "standard uncertainty of new"})
    same_tool = Flag(metadata={"description": "one tool read this, new and the mate; its own error then cancels", "default": False})
    state = Word(STATES, metadata={"default": "as_found"})
    temperature = QuantityField(metadata={"description": "of the part; sizes are brought to 20 degC"})
    instrument_temperature = QuantityField(metadata={"description": "of the tool, where it was not as warm as the part"})
    material = Text(80, metadata={"description": "an id of /v1/materials, with temperature"})
    confirmed = Flag(metadata={"description": "readings of several things stand although one looks like a slip", "default": False})
    note = Text(2000)


class SheetSchema(Strict):
    """An engine with its readings, its surveys, or both; one sheet serves every address, and each takes what it needs of it."""

    engine = fields.Nested(EngineSchema, required=True)
    confidence = Number(metadata={"default": 0.95, "exclusiveMinimum": 0.5, "exclusiveMaximum": 1})
    decision_rule = Word(DECISION_RULES, metadata={"default": "guarded"})
    judged_by = Word(JUDGED_BY, metadata={"default": "adopted"})
    stage = Word(STAGES, metadata={"description": "tells what else should have been looked at by then"})
    units = Word(UNITS, metadata={"description": "units of the answer; your own where left out"})
    ratio = Number(metadata={"description": "N of the rule simple_n_to_1", "default": 4, "minimum": 1, "maximum": 100})
    readings = fields.List(fields.Nested(ReadingSchema))
    surveys = fields.List(fields.Nested(SurveySchema))
    csv = fields.String(metadata={"description": "readings and surveys as the text of a CSV sheet, in their place", "maxLength": MOST_CSV})
    remedies = Flag(metadata={"description": "what to do about each reading, in numbers, with its verdict", "default": False})
    facts = fields.Nested(FactsSchema)
    wishes = WishesField(metadata={"description": "your decisions for a work order, by part id"})
    letterhead = fields.Nested(LetterheadSchema)


class PaperSchema(Strict):
    """An engine, for a paper that needs no readings."""

    engine = fields.Nested(EngineSchema, required=True)
    units = Word(UNITS, metadata={"default": "inch"})


class LimitsSheetSchema(PaperSchema):
    """An engine; usual sizes stand in for those it does not state, and are marked."""

    guess = Flag(metadata={"default": True})


class PartsBackSchema(Strict):
    """The report of finished sizes."""

    engine_id = Text(80, metadata={"description": "your own name for the engine; its own tools are then known"})
    units = Word(UNITS, metadata={"default": "inch"})
    confidence = Number(metadata={"default": 0.95, "exclusiveMinimum": 0.5, "exclusiveMaximum": 1})
    decision_rule = Word(DECISION_RULES, metadata={"default": "guarded"})
    ratio = Number(metadata={"description": "N of the rule simple_n_to_1", "default": 4, "minimum": 1, "maximum": 100})
    lines = fields.List(fields.Nested(BackLineSchema), required=True, validate=validate.Length(min=1, max=MOST_BACK))


ENVELOPE = SheetSchema(exclude=("readings", "surveys", "csv"))
"""The sheet without its readings and surveys, which are read one by one."""
READING_FIELDS = tuple(ReadingSchema().fields)
SURVEY_FIELDS = tuple(SurveySchema().fields)
SURVEY_PLACE_FIELDS = tuple(SurveyPlaceSchema().fields)
BUDGET_FIELDS = tuple(OwnBudgetLineSchema().fields)
POOLED_FIELDS = tuple(PooledScatterSchema().fields)
PLACE_FIELDS = tuple(PlaceSchema().fields)

__all__ = [
    "BASES", "BUDGET_FIELDS", "DEAD_CENTRE", "DECISION_RULES", "ENVELOPE", "JUDGED_BY", "OPEN", "PLACE_FIELDS", "POOLED_FIELDS", "READING_FIELDS",
    "RIM", "STATES", "SURVEY_FIELDS", "SURVEY_PLACE_FIELDS", "UNITS", "EngineSchema", "LimitsSheetSchema", "PaperSchema", "PartsBackSchema",
    "QuantitySchema", "ReadingSchema", "SheetSchema", "SurveySchema",
]  # fmt: skip
