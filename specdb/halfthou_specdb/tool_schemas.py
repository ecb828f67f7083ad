"""Schemas of tools: those of the table, and those of an owner."""

from __future__ import annotations

from marshmallow import fields, validate

from .records import GRADES
from .schema_fields import ID, OWN_GRADES, Base, Number, RangeSchema, ValueSchema, one_of, text


class PartSchema(Base):
    """One standard uncertainty of an instrument."""

    name = text()
    kind = one_of("constant", "percent", "counts", "percent-of-span")
    value = Number(required=True)
    unit = text(False)
    span = Number()
    random = fields.Boolean(truthy={True}, falsy={False})
    step = fields.Boolean(truthy={True}, falsy={False})
    grade = one_of(*OWN_GRADES)


class VariantSchema(Base):
    """One make-up of an instrument."""

    id = text(validate=ID)
    name = text()
    reads = fields.Nested(RangeSchema)
    sizes = fields.Nested(RangeSchema)
    resolution = fields.Nested(ValueSchema)
    parts = fields.List(fields.Nested(PartSchema), required=True)
    shared_error = text(False)
    note = text(False)
    work = text(False)
    locator = text(False)


class InstrumentSchema(Base):
    """An instrument."""

    id = text(validate=ID)
    name = text()
    measures = text()
    cannot_see = text(False)
    one_size = fields.Boolean(truthy={True}, falsy={False})
    blind_to = fields.List(one_of("oval"))
    cost_class = fields.Integer(required=True, strict=True, validate=validate.Range(1, 5))
    default_variant = text()
    variant = fields.List(fields.Nested(VariantSchema), required=True, validate=validate.Length(min=1))


class OwnPartSchema(PartSchema):
    """A part of an owner's tool; without a grade it is the owner's."""

    grade = one_of(*GRADES, required=False)


class OwnVariantSchema(VariantSchema):
    """One make-up of an owner's tool."""

    parts = fields.List(fields.Nested(OwnPartSchema), required=True, validate=validate.Length(max=20))


class OwnInstrumentSchema(InstrumentSchema):
    """A tool of an owner's overlay."""

    cost_class = fields.Integer(strict=True, validate=validate.Range(1, 5))
    variant = fields.List(fields.Nested(OwnVariantSchema), required=True, validate=validate.Length(min=1, max=20))
