"""What the schemas of raw records are made of: strict fields, grades that cite, ranges that rise."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields, validate, validates_schema

from .records import GRADES, SOURCED

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


def text(required: bool = True, **kwargs: Any) -> fields.String:
    """A string; with something in it where it must be there."""
    return Text(required=True, **kwargs) if required else fields.String(**kwargs)


def strings(required: bool = False) -> fields.List[Any]:
    """A list of strings with something in them."""
    return fields.List(Text(), required=required)


def one_of(*words: str, required: bool = True) -> fields.String:
    """One of a few words."""
    return fields.String(required=required, validate=validate.OneOf(words))


class Base(Schema):
    """Unknown keys are refused in every record."""

    class Meta:
        """Marshmallow options."""

        unknown = RAISE


class Graded(Base):
    """A grade, and a work with locator exactly where the grade claims a source."""

    grade = one_of(*OWN_GRADES)
    work = text(False)
    locator = text(False)

    @validates_schema
    def _cites(self, data: dict[str, Any], **_: Any) -> None:
        cited = bool(data.get("work")) and bool(data.get("locator"))
        if data["grade"] in SOURCED and not cited:
            raise ValidationError(f"grade {data['grade']} needs work and locator", "grade")
        if data["grade"] not in SOURCED and data.get("work"):
            raise ValidationError(f"grade {data['grade']} carries no work", "work")


class ValueSchema(Base):
    """A number with its unit."""

    value = Number(required=True)
    unit = text()


class RangeSchema(Base):
    """From and to, both included."""

    of = text(False)
    from_ = Number(required=True, data_key="from")
    to = Number(required=True)
    unit = text()

    @validates_schema
    def _rises(self, data: dict[str, Any], **_: Any) -> None:
        if data["from_"] > data["to"]:
            raise ValidationError("a range must rise", "to")
