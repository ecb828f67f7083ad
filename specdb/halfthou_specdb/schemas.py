"""Marshmallow schemas: the shape of each raw record, before it becomes a frozen one. Unknown keys are refused."""

from __future__ import annotations

from typing import Any

from marshmallow import Schema, ValidationError, fields, validate, validates_schema

from .records import BASES, MEANINGS, STAGES
from .schema_fields import ID, OWN_GRADES, Base, Graded, Number, RangeSchema, Text, ValueSchema, one_of, strings, text
from .tool_schemas import InstrumentSchema


class WorkSchema(Base):
    """A publication."""

    id = text()
    title = text()
    citation = text()
    year = fields.Raw()


class ClassSchema(Base):
    """An engine class or a kin."""

    id = text(validate=ID)
    kind = one_of("class", "kin")
    name = text()
    description = text()
    implies = strings()
    nearest_kin = strings()
    max_rated_speed = fields.Nested(ValueSchema)
    min_rated_speed = fields.Nested(ValueSchema)


class DimensionSchema(Base):
    """A nominal size."""

    id = text(validate=ID)
    name = text()
    unit = text()


class FeatureSchema(Base):
    """What an engine has."""

    id = text(validate=ID)
    group = fields.String(required=True)
    says = text()


class FactSchema(Base):
    """A condition worked out from dimensions."""

    id = text(validate=ID)
    says = text()


class CautionSchema(Graded):
    """A hazard and its caution."""

    id = text()
    hazard = text()
    when = text()
    says = text()


class WordSchema(Base):
    """One allowed word of a finding."""

    word = text()
    aliases = strings()
    meaning = text()
    verdict = one_of("within_fit", "usable", "undecided", "beyond_limit", "stop")
    veto = one_of("stops-engine", "stops-part", "none")
    remedy = text(False)


class SideSchema(Base):
    """What one side of a characteristic means."""

    meaning = one_of(*MEANINGS)
    says = text()


class CharacteristicSchema(Base):
    """A measurable or observable thing."""

    id = text(validate=ID)
    name = text()
    component = text(validate=ID)
    synonyms = strings()
    definition = text()
    how_to_measure = text()
    instruments = strings()
    usual_instrument = text(False)
    scales_with = strings()
    value_kind = one_of("quantity", "count", "range", "finding")
    unit = text(False)
    basis = one_of(*BASES)
    non_negative = fields.Boolean(truthy={True}, falsy={False})
    datum = one_of("", "inner-dead-centre", "outer-dead-centre", required=False)
    sign = one_of("", "before", "after", required=False)
    shaft = one_of("", "crank", "magneto", required=False)
    wave = one_of("", "average", "rms", "peak", required=False)
    low_side = fields.Nested(SideSchema, required=True)
    high_side = fields.Nested(SideSchema, required=True)
    consequence = text()
    remedies = fields.Dict(keys=one_of("low", "high"), values=Text())
    mistakes = strings()
    stage = one_of(*STAGES)
    start_critical = fields.Boolean(required=True, truthy={True}, falsy={False})
    applies_if = strings()
    instances = strings()
    cautions = strings()
    grade = one_of(*OWN_GRADES)
    words = fields.List(fields.Nested(WordSchema))

    @validates_schema
    def _whole(self, data: dict[str, Any], **_: Any) -> None:
        finding = data["value_kind"] == "finding"
        if finding != bool(data.get("words")):
            raise ValidationError("a finding has words, and nothing else has", "words")
        if not finding and not (data.get("unit") and data.get("usual_instrument")):
            raise ValidationError("a quantity needs unit and usual_instrument", "unit")


class EvidenceSchema(Graded):
    """One statement by one work."""

    id = text()
    characteristics = fields.List(Text(), required=True, validate=validate.Length(min=1))
    kin = text()
    written_for = text()
    says = text()
    kind = one_of("fit", "wear", "typical")
    basis = one_of(*BASES)
    unit = text(False)
    low = fields.Raw(required=True)
    high = fields.Raw(required=True)
    when = strings()
    sizes = fields.Nested(RangeSchema)
    note = text(False)
    second_reading = one_of("", "confirmed", "context", "not-found", "different", "unread", required=False)
    scan_doubt = fields.Boolean(truthy={True}, falsy={False})
    parents = strings()


class DerivationSchema(Base):
    """How one end follows from evidence."""

    op = one_of("equals", "envelope", "arithmetic", "judgement")
    of = strings()
    between = strings()
    how = one_of("", "sum", "difference", "product", required=False)
    times = Number()
    plus = Number()
    pick = one_of("", "tightest", required=False)
    outside = text(False)

    @validates_schema
    def _parents(self, data: dict[str, Any], **_: Any) -> None:
        key = "between" if data["op"] == "judgement" else "of"
        if not data.get(key) or set(data) & ({"of", "between"} - {key}):
            raise ValidationError(f"op {data['op']} names its parents in {key!r}", key)


class EndsSchema(Base):
    """The two sides of an interval."""

    low = fields.Raw(required=True)
    high = fields.Raw(required=True)


class LimitSchema(Base):
    """An adopted limit, guide or safety limit."""

    id = text(validate=ID)
    kind = one_of("limit", "guide", "safety")
    characteristic = text()
    classes = fields.List(Text(), required=True, validate=validate.Length(min=1))
    use = one_of("work", "demonstrate", "show", "any")
    when = strings()
    sizes = fields.Nested(RangeSchema)
    unit = text()
    basis = one_of(*BASES)
    fit = fields.Nested(EndsSchema, required=True)
    wear = fields.Nested(EndsSchema)
    derivation = fields.Dict(keys=one_of("fit_low", "fit_high", "wear_low", "wear_high"), values=fields.Nested(DerivationSchema))
    reasoning = text()
    differs = strings()
    cautions = strings()


class OverlaySchema(Base):
    """Head of an owner's overlay."""

    engine = text()
    title = text()


class OwnLimitSchema(Base):
    """One figure of an owner's overlay: a limit without class, kind or derivation."""

    id = text(validate=ID)
    characteristic = text()
    use = one_of("work", "demonstrate", "show", required=False)
    sizes = fields.Nested(RangeSchema)
    unit = text()
    fit = fields.Nested(EndsSchema, required=True)
    wear = fields.Nested(EndsSchema)
    reasoning = text(False)


class AbsenceSchema(Base):
    """An honest absence."""

    characteristic = text()
    classes = fields.List(Text(), required=True, validate=validate.Length(min=1))
    reason = text()
    instead = text()


class MaterialSchema(Graded):
    """A material."""

    id = text(validate=ID)
    name = text()
    expansion = fields.Raw()
    modulus = fields.Raw()
    density = fields.Raw()
    note = text(False)


class TypicalSchema(Base):
    """A usual size by horsepower."""

    id = text(validate=ID)
    hp_from = Number(required=True)
    hp_to = Number(required=True)
    engine_class = text(data_key="class")
    dimension = text()
    low = Number(required=True)
    high = Number(required=True)
    unit = text()
    grade = one_of(*OWN_GRADES)
    note = text(False)


class SurveySchema(Base):
    """A feature read at stations and on axes."""

    id = text(validate=ID)
    name = text()
    inside = fields.Boolean(required=True, truthy={True}, falsy={False})
    diameter = text(False)
    out_of_round = text(False)
    taper = text(False)
    wear = text(False)
    new = text()
    stations = strings(True)
    axes = strings(True)
    taper_between = one_of("ends", "all", required=False)
    unworn = strings()
    joint = text(False)
    across_joint = fields.List(fields.List(fields.String(), validate=validate.Length(equal=2)))


class SeveralSchema(Base):
    """One characteristic of several things of a kind, or at several places of one thing."""

    id = text(validate=ID)
    name = text()
    reads = text()
    each = one_of("instance", "station")
    judged = one_of("smallest", "largest", "both")
    difference = text(False)


class PairSchema(Base):
    """A bore and the shaft in it."""

    clearance = text()
    bore = text()
    shaft = text()
    judged = one_of("smallest", "largest", "both")


SCHEMAS: dict[str, Schema] = {
    "work": WorkSchema(), "class": ClassSchema(), "dimension": DimensionSchema(), "feature": FeatureSchema(), "fact": FactSchema(),
    "instrument": InstrumentSchema(), "caution": CautionSchema(), "characteristic": CharacteristicSchema(),
    "evidence": EvidenceSchema(), "limit": LimitSchema(), "absence": AbsenceSchema(), "material": MaterialSchema(),
    "typical": TypicalSchema(), "survey": SurveySchema(), "several": SeveralSchema(), "pair": PairSchema(),
}  # fmt: skip
"""Schema of each record kind, by the name of its TOML table."""
