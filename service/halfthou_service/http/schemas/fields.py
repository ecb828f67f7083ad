"""Marshmallow fields of our own: strict numbers, quantities, flags and words. Faults carry a code, a place and near matches."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields

from halfthou_specdb.quantity import Quantity

from ..faults import Fault, FaultError, Near, kind_of, shown, token
from ..quantities import read_number, read_quantity

UNKNOWN = "Unknown field."
MISSING = "Missing data for required field."


class Strict(Schema):
    """Unknown fields are refused."""

    class Meta:
        unknown = RAISE


class Number(fields.Field[Decimal]):
    """A JSON number as a bounded decimal: never text, never true or false."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Decimal:
        try:
            return read_number(value)
        except FaultError as error:
            raise ValidationError([error.fault]) from None


class QuantitySchema(Strict):
    """A number with its unit."""

    value = Number(required=True, metadata={"description": "a JSON number of at most 20 digits"})
    unit = fields.String(required=True, metadata={"description": "a token or alias of /v1/units", "maxLength": 40})


class QuantityField(fields.Nested):
    """A quantity, read by the one reader that all bodies share."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(QuantitySchema, **kwargs)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, partial: Any = None, **kwargs: Any) -> Quantity:
        try:
            return read_quantity(value, Near())
        except FaultError as error:
            raise ValidationError([error.fault]) from None


class Sizes(fields.Dict):
    """Quantities by name."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(keys=fields.String(), values=QuantityField(), **kwargs)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> dict[str, Quantity]:
        if not isinstance(value, dict):
            raise _bad(f"an object is wanted, not {kind_of(value)}")
        found: dict[str, Quantity] = {}
        faults: list[Fault] = []
        near = Near()
        for name, raw in value.items():
            try:
                found[name] = read_quantity(raw, near)
            except FaultError as error:
                faults.append(error.fault.under(token(name)))
        if faults:
            raise ValidationError(faults)
        return found


class Text(fields.Field[str]):
    """Text with something in it, of bounded length."""

    def __init__(self, most: int = 80, **kwargs: Any) -> None:
        self.most = most
        metadata = {"minLength": 1, "maxLength": most} | kwargs.pop("metadata", {})
        super().__init__(metadata=metadata, **kwargs)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise _bad(f"text is wanted, not {kind_of(value)}")
        if not value.strip() or len(value) > self.most:
            raise _bad(f"text of 1 to {self.most} characters is wanted")
        return value


class Word(fields.Field[str]):
    """One of a few words."""

    def __init__(self, words: Sequence[str], **kwargs: Any) -> None:
        self.words = tuple(words)
        metadata = {"enum": list(words)} | kwargs.pop("metadata", {})
        super().__init__(metadata=metadata, **kwargs)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        if not isinstance(value, str) or value not in self.words:
            near = Near().of(value, self.words) if isinstance(value, str) else ()
            said = shown(value) if isinstance(value, str) else kind_of(value)
            raise ValidationError([Fault("bad-field", f"{said} is given; it may be {', '.join(self.words)}", near=near,
                                         allowed=self.words)])  # fmt: skip
        return value


class Flag(fields.Field[bool]):
    """True or false, nothing else."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> bool:
        if not isinstance(value, bool):
            raise _bad(f"true or false is wanted, not {kind_of(value)}")
        return value


def _bad(detail: str) -> ValidationError:
    return ValidationError([Fault("bad-field", detail)])


def _within(field: Any, schema: Any) -> Any:
    """The schema of what stands inside a field; that of the field itself where it has none."""
    if isinstance(field, fields.List):
        field = field.inner
    return field.schema if isinstance(field, fields.Nested) else field if isinstance(field, fields.Dict) and field.value_field else schema


def faults_of(messages: Any, schema: Any, near: Near, pointer: str = "") -> Iterator[Fault]:
    """Marshmallow's messages as faults with JSON pointers."""
    if isinstance(messages, dict):
        for key, value in messages.items():
            inner = schema.fields.get(str(key)) if isinstance(schema, Schema) else None
            if value == [UNKNOWN]:
                yield near.unknown("unknown-field", "field", str(key), sorted(schema.fields), pointer + token(str(key)))
            elif isinstance(schema, fields.Dict) and isinstance(value, dict):  # marshmallow tells key and value of an entry apart
                for part in value.values():
                    yield from faults_of(part, _within(schema.value_field, schema), near, pointer + token(str(key)))
            else:
                nested = _within(inner, schema)
                where = pointer if key == "_schema" else pointer + token(str(key))
                yield from faults_of(value, nested, near, where)
        return
    for message in messages if isinstance(messages, list) else [messages]:
        if isinstance(message, Fault):
            yield message.under(pointer)
        elif message == MISSING:
            yield Fault("missing-field", f"{pointer.rpartition('/')[2]} is missing", pointer)
        else:
            yield Fault("bad-field", str(message), pointer)
