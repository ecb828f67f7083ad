"""Marshmallow schemas: the shape of each raw record, before it becomes a frozen one. Unknown keys are refused."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields, validate, validates_schema

from .records import BASES, GRADES, MEANINGS, SOURCED, STAGES

ID = validate.Regexp(r"^[a-z0-9]+(-[a-z0-9]+)*$", error="an id is lower-case words joined by hyphens")
OWN_GRADES = tuple(g for g in GRADES if g != "owner")


class Number(fields.Field):  # type: ignore[type-arg]
    """A TOML number: int or Decimal, never a string or a boolean."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Decimal:
        if isinstance(value, bool) or not isinstance(value, (int, Decimal)):
            raise ValidationError("a number is wanted")
        return Decimal(value)


class Text(fields.String):
    """A string with something in it."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("validate", validate.Length(min=1))
        super().__init__(**kwargs)


def _text(required: bool = True, **kwargs: Any) -> fields.String:
    return Text(required=True, **kwargs) if required else fields.String(**kwargs)


def _strings(required: bool = False) -> fields.List[Any]:
    return fields.List(Text(), required=required)


def _one_of(*words: str, required: bool = True) -> fields.String:
    return fields.String(required=required, validate=validate.OneOf(words))


class Base(Schema):
    """Unknown keys are refused in every record."""

    class Meta:
        """Marshmallow options."""

        unknown = RAISE


class Graded(Base):
    """A grade, and a work with locator exactly where the grade claims a source."""

    grade = _one_of(*OWN_GRADES)
    work = _text(False)
    locator = _text(False)

    @validates_schema
    def _cites(self, data: dict[str, Any], **_: Any) -> None:
        cited = bool(data.get("work")) and bool(data.get("locator"))
        if data["grade"] in SOURCED and not cited:
            raise ValidationError(f"grade {data['grade']} needs work and locator", "grade")
        if data["grade"] not in SOURCED and data.get("work"):
            raise ValidationError(f"grade {data['grade']} carries no work", "work")


class WorkSchema(Base):
    """A publication."""

    id = _text()
    title = _text()
    citation = _text()
    year = fields.Raw()


class ValueSchema(Base):
    """A number with its unit."""

    value = Number(required=True)
    unit = _text()


class ClassSchema(Base):
    """An engine class or a kin."""

    id = _text(validate=ID)
    kind = _one_of("class", "kin")
    name = _text()
    description = _text()
    implies = _strings()
    nearest_kin = _strings()
    max_rated_speed = fields.Nested(ValueSchema)
    min_rated_speed = fields.Nested(ValueSchema)


class DimensionSchema(Base):
    """A nominal size."""

    id = _text(validate=ID)
    name = _text()
    unit = _text()


class FeatureSchema(Base):
    """What an engine has."""

    id = _text(validate=ID)
    group = fields.String(required=True)
    says = _text()


class FactSchema(Base):
    """A condition worked out from dimensions."""

    id = _text(validate=ID)
    says = _text()


class RangeSchema(Base):
    """From and to, both included."""

    of = _text(False)
    from_ = Number(required=True, data_key="from")
    to = Number(required=True)
    unit = _text()

    @validates_schema
    def _rises(self, data: dict[str, Any], **_: Any) -> None:
        if data["from_"] > data["to"]:
            raise ValidationError("a range must rise", "to")


class PartSchema(Base):
    """One standard uncertainty of an instrument."""

    name = _text()
    kind = _one_of("constant", "percent", "counts", "percent-of-span")
    value = Number(required=True)
    unit = _text(False)
    span = Number()
    random = fields.Boolean(truthy={True}, falsy={False})
    step = fields.Boolean(truthy={True}, falsy={False})
    grade = _one_of(*OWN_GRADES)


class VariantSchema(Base):
    """One make-up of an instrument."""

    id = _text(validate=ID)
    name = _text()
    reads = fields.Nested(RangeSchema)
    sizes = fields.Nested(RangeSchema)
    resolution = fields.Nested(ValueSchema)
    parts = fields.List(fields.Nested(PartSchema), required=True)
    shared_error = _text(False)
    note = _text(False)
    work = _text(False)
    locator = _text(False)


class InstrumentSchema(Base):
    """An instrument."""

    id = _text(validate=ID)
    name = _text()
    measures = _text()
    cannot_see = _text(False)
    one_size = fields.Boolean(truthy={True}, falsy={False})
    blind_to = fields.List(_one_of("oval"))
    cost_class = fields.Integer(required=True, strict=True, validate=validate.Range(1, 5))
    default_variant = _text()
    variant = fields.List(fields.Nested(VariantSchema), required=True, validate=validate.Length(min=1))


class CautionSchema(Graded):
    """A hazard and its caution."""

    id = _text()
    hazard = _text()
    when = _text()
    says = _text()


class WordSchema(Base):
    """One allowed word of a finding."""

    word = _text()
    aliases = _strings()
    meaning = _text()
    verdict = _one_of("within_fit", "usable", "undecided", "beyond_limit", "stop")
    veto = _one_of("stops-engine", "stops-part", "none")
    remedy = _text(False)


class SideSchema(Base):
    """What one side of a characteristic means."""

    meaning = _one_of(*MEANINGS)
    says = _text()


class CharacteristicSchema(Base):
    """A measurable or observable thing."""

    id = _text(validate=ID)
    name = _text()
    component = _text(validate=ID)
    synonyms = _strings()
    definition = _text()
    how_to_measure = _text()
    instruments = _strings()
    usual_instrument = _text(False)
    scales_with = _strings()
    value_kind = _one_of("quantity", "count", "range", "finding")
    unit = _text(False)
    basis = _one_of(*BASES)
    non_negative = fields.Boolean(truthy={True}, falsy={False})
    datum = _one_of("", "inner-dead-centre", "outer-dead-centre", required=False)
    sign = _one_of("", "before", "after", required=False)
    shaft = _one_of("", "crank", "magneto", required=False)
    wave = _one_of("", "average", "rms", "peak", required=False)
    low_side = fields.Nested(SideSchema, required=True)
    high_side = fields.Nested(SideSchema, required=True)
    consequence = _text()
    remedies = fields.Dict(keys=_one_of("low", "high"), values=Text())
    mistakes = _strings()
    stage = _one_of(*STAGES)
    start_critical = fields.Boolean(required=True, truthy={True}, falsy={False})
    applies_if = _strings()
    instances = _strings()
    cautions = _strings()
    grade = _one_of(*OWN_GRADES)
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

    id = _text()
    characteristics = fields.List(Text(), required=True, validate=validate.Length(min=1))
    kin = _text()
    written_for = _text()
    says = _text()
    kind = _one_of("fit", "wear", "typical")
    basis = _one_of(*BASES)
    unit = _text(False)
    low = fields.Raw(required=True)
    high = fields.Raw(required=True)
    when = _strings()
    sizes = fields.Nested(RangeSchema)
    note = _text(False)
    second_reading = _one_of("", "confirmed", "context", "not-found", "different", "unread", required=False)
    scan_doubt = fields.Boolean(truthy={True}, falsy={False})
    parents = _strings()


class DerivationSchema(Base):
    """How one end follows from evidence."""

    op = _one_of("equals", "envelope", "arithmetic", "judgement")
    of = _strings()
    between = _strings()
    how = _one_of("", "sum", "difference", "product", required=False)
    times = Number()
    plus = Number()
    pick = _one_of("", "tightest", required=False)
    outside = _text(False)

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

    id = _text(validate=ID)
    kind = _one_of("limit", "guide", "safety")
    characteristic = _text()
    classes = fields.List(Text(), required=True, validate=validate.Length(min=1))
    use = _one_of("work", "demonstrate", "show", "any")
    when = _strings()
    sizes = fields.Nested(RangeSchema)
    unit = _text()
    basis = _one_of(*BASES)
    fit = fields.Nested(EndsSchema, required=True)
    wear = fields.Nested(EndsSchema)
    derivation = fields.Dict(keys=_one_of("fit_low", "fit_high", "wear_low", "wear_high"), values=fields.Nested(DerivationSchema))
    reasoning = _text()
    differs = _strings()
    cautions = _strings()


class OverlaySchema(Base):
    """Head of an owner's overlay."""

    engine = _text()
    title = _text()


class OwnLimitSchema(Base):
    """One figure of an owner's overlay: a limit without class, kind or derivation."""

    id = _text(validate=ID)
    characteristic = _text()
    use = _one_of("work", "demonstrate", "show", required=False)
    sizes = fields.Nested(RangeSchema)
    unit = _text()
    fit = fields.Nested(EndsSchema, required=True)
    wear = fields.Nested(EndsSchema)
    reasoning = _text(False)


class OwnPartSchema(PartSchema):
    """A part of an owner's tool; without a grade it is the owner's."""

    grade = _one_of(*GRADES, required=False)


class OwnVariantSchema(VariantSchema):
    """One make-up of an owner's tool."""

    parts = fields.List(fields.Nested(OwnPartSchema), required=True, validate=validate.Length(max=20))


class OwnInstrumentSchema(InstrumentSchema):
    """A tool of an owner's overlay."""

    cost_class = fields.Integer(strict=True, validate=validate.Range(1, 5))
    variant = fields.List(fields.Nested(OwnVariantSchema), required=True, validate=validate.Length(min=1, max=20))


class AbsenceSchema(Base):
    """An honest absence."""

    characteristic = _text()
    classes = fields.List(Text(), required=True, validate=validate.Length(min=1))
    reason = _text()
    instead = _text()


class MaterialSchema(Graded):
    """A material."""

    id = _text(validate=ID)
    name = _text()
    expansion = fields.Raw()
    modulus = fields.Raw()
    density = fields.Raw()
    note = _text(False)


class TypicalSchema(Base):
    """A usual size by horsepower."""

    id = _text(validate=ID)
    hp_from = Number(required=True)
    hp_to = Number(required=True)
    engine_class = _text(data_key="class")
    dimension = _text()
    low = Number(required=True)
    high = Number(required=True)
    unit = _text()
    grade = _one_of(*OWN_GRADES)
    note = _text(False)


class SurveySchema(Base):
    """A feature read at stations and on axes."""

    id = _text(validate=ID)
    name = _text()
    inside = fields.Boolean(required=True, truthy={True}, falsy={False})
    diameter = _text(False)
    out_of_round = _text(False)
    taper = _text(False)
    wear = _text(False)
    new = _text()
    stations = _strings(True)
    axes = _strings(True)
    taper_between = _one_of("ends", "all", required=False)
    unworn = _strings()
    joint = _text(False)
    across_joint = fields.List(fields.List(fields.String(), validate=validate.Length(equal=2)))


class SeveralSchema(Base):
    """One characteristic of several things of a kind, or at several places of one thing."""

    id = _text(validate=ID)
    name = _text()
    reads = _text()
    each = _one_of("instance", "station")
    judged = _one_of("smallest", "largest", "both")
    difference = _text(False)


class PairSchema(Base):
    """A bore and the shaft in it."""

    clearance = _text()
    bore = _text()
    shaft = _text()
    judged = _one_of("smallest", "largest", "both")


SCHEMAS: dict[str, Schema] = {
    "work": WorkSchema(), "class": ClassSchema(), "dimension": DimensionSchema(), "feature": FeatureSchema(), "fact": FactSchema(),
    "instrument": InstrumentSchema(), "caution": CautionSchema(), "characteristic": CharacteristicSchema(),
    "evidence": EvidenceSchema(), "limit": LimitSchema(), "absence": AbsenceSchema(), "material": MaterialSchema(),
    "typical": TypicalSchema(), "survey": SurveySchema(), "several": SeveralSchema(), "pair": PairSchema(),
}  # fmt: skip
"""Schema of each record kind, by the name of its TOML table."""
