"""Schemas of the owner's side of a work order: what is decided about a part, who writes, and what came back."""

from __future__ import annotations

from typing import Any

from marshmallow import fields, validate

from .facts import Measure, Whole
from .fields import Flag, Number, QuantityField, Strict, Text, Word

METHODS = ("sleeve", "bore")
MOST_NOTES = 12
MOST_WISHES = 60


def _length(says: str) -> Measure:
    return Measure("length", metadata={"description": says})


class WishSchema(Strict):
    """What the owner decides about one part; all of it may be left out."""

    send = Flag(metadata={"description": "put it on the order, or keep it off"})
    low = _length("the finished size, low end, with high; instead of the one worked out")
    high = _length("the finished size, high end, with low")
    mate = _length("measured size of the part it must match")
    mark = Text(120, metadata={"description": "how the part is marked"})
    quantity = Whole(1, 200)
    fillet = _length("fillet radius found")
    method = Word(METHODS, metadata={"description": "for a cylinder: back to the nominal bore, or to the piston in hand"})
    notes = fields.List(Text(300), validate=validate.Length(max=MOST_NOTES))


class LetterheadSchema(Strict):
    """Who writes to whom, and when; what is left out is filled in by hand."""

    date = Text(60)
    owner = Text(120)
    ring = Text(60, metadata={"description": "where you can be rung"})
    machinist = Text(120)


class WishesField(fields.Dict):
    """Decisions by part id."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(keys=fields.String(), values=fields.Nested(WishSchema), validate=validate.Length(max=MOST_WISHES), **kwargs)


class EndField(fields.Raw):
    """A quantity; a word or null where nothing was ordered on that side."""

    def __init__(self, **kwargs: Any) -> None:
        one_of = [{"$ref": "#/components/schemas/Quantity"}, {"type": "string", "enum": ["unbounded", "none_on_file"]}, {"type": "null"}]
        super().__init__(metadata={"oneOf": one_of}, allow_none=True, **kwargs)


class OrderedSchema(Strict):
    """What was ordered at a place."""

    low = EndField()
    high = EndField()
    told = fields.String(allow_none=True, metadata={"description": "as the order told it; not read"})


class FigureSchema(Strict):
    """One party's figure: a value with its doubt or its tool; or words, which are no figure."""

    value = QuantityField()
    standard_uncertainty = QuantityField()
    expanded_uncertainty = QuantityField(metadata={"description": "with coverage_factor, instead of standard_uncertainty"})
    coverage_factor = Number(metadata={"exclusiveMinimum": 0})
    instrument = Text(120)
    words = Text(120)


class BackLineSchema(Strict):
    """One place of a report."""

    part = Text(80, allow_none=True)
    what = Text(160, required=True)
    station = Text(80, allow_none=True)
    axis = Text(80, allow_none=True)
    unit = Text(20, allow_none=True, metadata={"description": "of its figures, where they are no lengths: V"})
    ordered = fields.Nested(OrderedSchema, allow_none=True)
    reported = fields.Nested(FigureSchema, allow_none=True, metadata={"description": "the machinist's"})
    measured = fields.Nested(FigureSchema, allow_none=True, metadata={"description": "yours"})


__all__ = ["BackLineSchema", "LetterheadSchema", "WishSchema", "WishesField"]
