"""JSON in and out with exact numbers: decimals kept, duplicate keys, NaN and deep nesting refused."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import simplejson

from halfthou_specdb.errors import QuantityError
from halfthou_specdb.quantity import checked_decimal

MAX_DEPTH = 20
MAX_NUMBER = 48
"""Longest text of a number that is turned into a decimal; a longer one is refused where it stands."""

_STRING = re.compile(rb'"(?:[^"\\]++|\\.)*+(?:"|\\?\Z)', re.DOTALL)
_NOT_BRACKETS = bytes(set(range(256)) - set(b"[]{}"))
_SURROGATE = re.compile(rb"\\u[dD][89a-fA-F]")


class NotJson(ValueError):
    """The body is not JSON that can be kept exactly. ``code`` is the slug of its problem."""

    def __init__(self, detail: str, code: str = "bad-json") -> None:
        super().__init__(detail)
        self.code = code


@dataclass(frozen=True, slots=True)
class LongNumber:
    """Stands where the body holds a number too long to keep."""

    digits: int


def _number(text: str) -> Decimal | LongNumber:
    if len(text) > MAX_NUMBER:
        return LongNumber(len(text))
    try:
        return Decimal(text)
    except ArithmeticError:  # an exponent beyond what a decimal can hold
        return LongNumber(len(text))


def _refuse(word: str) -> Any:
    raise NotJson(f"{word} is not a JSON number")


def _unique(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for key, _ in pairs:
            if key in seen:
                raise NotJson(f"the key {key[:40]!r} stands twice in one object", "duplicate-key")
            seen.add(key)
    return found


def depth(body: bytes) -> int:
    """How deep arrays and objects are nested, read off the brackets outside strings, in one pass."""
    deepest = level = 0
    for bracket in _STRING.sub(b"", body).translate(None, _NOT_BRACKETS):
        if bracket in b"[{":
            level += 1
            deepest = max(deepest, level)
        else:
            level -= 1
    return deepest


def parse(body: bytes) -> Any:
    """Decode a body; every number, whole or not, becomes a :class:`~decimal.Decimal` (or a :class:`LongNumber`).

    Raises:
        NotJson: empty, not UTF-8, not JSON, NaN or infinity, a key twice, nested deeper than 20, half a character.
    """
    if not body.strip():
        raise NotJson("the body is empty; JSON is wanted")
    if depth(body) > MAX_DEPTH:
        raise NotJson(f"nested deeper than {MAX_DEPTH}", "too-deep")
    try:
        text = body.decode("utf-8-sig")
        value = simplejson.loads(
            text, parse_float=_number, parse_int=_number, parse_constant=_refuse, object_pairs_hook=_unique, allow_nan=True
        )
    except NotJson:
        raise
    except UnicodeDecodeError as error:
        raise NotJson(f"the body is not UTF-8 (byte {error.start})") from None
    except RecursionError:
        raise NotJson(f"nested deeper than {MAX_DEPTH}", "too-deep") from None
    except simplejson.JSONDecodeError as error:
        raise NotJson(f"not JSON: {error.msg.rstrip('.')[:80]}, at line {error.lineno}, column {error.colno}") from None
    if _SURROGATE.search(body) and any(_halved(text) for text in _texts(value)):
        raise NotJson("a \\u escape gives half a character")
    return value


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, item in value.items():
            yield key
            yield from _texts(item)
    elif isinstance(value, list):
        for item in value:
            yield from _texts(item)


def _halved(text: str) -> bool:
    return any("\ud800" <= c <= "\udfff" for c in text)


def strict_decimal(value: Any) -> Decimal:
    """A number of the body as a bounded decimal; text and booleans are no numbers.

    Raises:
        QuantityError: not a number, over 20 digits, an exponent beyond +-12.
    """
    if isinstance(value, LongNumber):
        raise QuantityError(f"a number may have at most 20 digits; this is {value.digits} characters long", "number-too-long")
    if not isinstance(value, Decimal):
        raise QuantityError("a JSON number is wanted", "not-a-number")
    return checked_decimal(value)


def dumps(value: Any, *, indent: int | None = None) -> str:
    """Encode; decimals keep their digits.

    Raises:
        ValueError: NaN or infinity.
        TypeError: a value that JSON has no form for.
    """
    separators = (",", ":") if indent is None else (",", ": ")
    text = simplejson.dumps(value, use_decimal=True, allow_nan=False, ensure_ascii=False, indent=indent, separators=separators)
    return str(text)
