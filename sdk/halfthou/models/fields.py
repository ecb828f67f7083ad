"""Reading fields out of a decoded answer: tolerant of more, strict about what a record cannot do without."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from ..errors import UnexpectedAnswer
from ..quantities import Quantity, quantity_in_answer

Raw = Mapping[str, Any]


def an_object(value: Any, what: str) -> Raw:
    """The value as an object.

    Raises:
        UnexpectedAnswer: it is something else.
    """
    if not isinstance(value, Mapping):
        raise UnexpectedAnswer(f"{what} should be an object, but the answer holds {type(value).__name__}")
    return value


def needed(raw: Raw, key: str, what: str) -> str:
    """A text field that must be there.

    Raises:
        UnexpectedAnswer: it is missing or not text.
    """
    value = raw.get(key)
    if not isinstance(value, str):
        raise UnexpectedAnswer(f"{what} has no {key!r}")
    return value


def text(raw: Raw, key: str) -> str:
    """A text field, or the empty string."""
    value = raw.get(key)
    return value if isinstance(value, str) else ""


def texts(raw: Raw, key: str) -> tuple[str, ...]:
    """A list of texts; an object in it counts by its ``text``, ``says``, ``detail`` or ``id``."""
    value = raw.get(key)
    if isinstance(value, str):
        return (value,)
    return tuple(_told(item) for item in value) if isinstance(value, list) else ()


def _told(item: Any) -> str:
    if isinstance(item, Mapping):
        return next(
            (str(item[key]) for key in ("text", "says", "detail", "id") if isinstance(item.get(key), str)),
            str(dict(item)),
        )
    return str(item)


def number(raw: Raw, key: str) -> float | None:
    """A number as a float, or None."""
    value = raw.get(key)
    return float(value) if isinstance(value, (int, Decimal)) and not isinstance(value, bool) else None


def a_quantity(raw: Raw, key: str, what: str) -> Quantity:
    """A quantity that must be there.

    Raises:
        UnexpectedAnswer: it is missing, or is none.
    """
    found = quantity_in_answer(raw.get(key))
    if found is None:
        raise UnexpectedAnswer(f"{what} has no quantity {key!r}")
    return found


def count(raw: Raw, key: str) -> int:
    """A whole number, or 0."""
    value = raw.get(key)
    return value if isinstance(value, int) and not isinstance(value, bool) else 0


def flag(raw: Raw, key: str) -> bool:
    """True only where the field is true."""
    return raw.get(key) is True


def part(raw: Raw, key: str) -> Raw:
    """An object field, or an empty object."""
    value = raw.get(key)
    return value if isinstance(value, Mapping) else {}


def parts(raw: Raw, key: str) -> tuple[Raw, ...]:
    """A list of objects; anything else in it is left out."""
    value = raw.get(key)
    return tuple(item for item in value if isinstance(item, Mapping)) if isinstance(value, list) else ()


def words(raw: Raw, key: str) -> dict[str, str]:
    """An object of texts."""
    return {str(name): value for name, value in part(raw, key).items() if isinstance(value, str)}
