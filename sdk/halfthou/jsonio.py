"""JSON with exact numbers: decimals in, decimals out, no NaN, no infinity."""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any


class NotJson(ValueError):
    """The text is not JSON, or not JSON that can be kept exactly."""


def _refuse(word: str) -> Any:
    raise NotJson(f"{word} is not a JSON number")


def _unique(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out = dict(pairs)
    if len(out) != len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise NotJson(f"the key {twice[:40]!r} stands twice in one object")
    return out


def loads(body: bytes | str) -> Any:
    """Decode JSON; every number with a point or an exponent becomes a :class:`~decimal.Decimal` with its digits kept.

    Raises:
        NotJson: not JSON, NaN or infinity, a key written twice, not UTF-8, nested too deeply, a number too long.
    """
    try:
        text = body if isinstance(body, str) else body.decode("utf-8-sig")
        return json.loads(text, parse_float=Decimal, parse_constant=_refuse, object_pairs_hook=_unique)
    except NotJson:
        raise
    except RecursionError:
        raise NotJson("it is nested too deeply") from None
    except (ValueError, ArithmeticError) as error:
        raise NotJson(str(error)) from None


def _plainer(value: Any) -> Any:
    to_json = getattr(value, "to_json", None)
    if callable(to_json):
        return to_json()
    if isinstance(value, Mapping):
        return dict(value)
    if isinstance(value, (set, frozenset)):
        return sorted(value)
    if isinstance(value, Fraction):
        from .quantities import decimal_of

        return decimal_of(value)
    raise TypeError(f"{type(value).__name__} cannot be written as JSON")


def dumps(value: Any, *, indent: int | None = None) -> str:
    """Encode as JSON; decimals keep their digits, quantities become ``{"value": ..., "unit": ...}``.

    Raises:
        TypeError: a value that JSON has no form for.
        ValueError: NaN or infinity.
    """
    import simplejson

    if indent is None:
        return str(
            simplejson.dumps(
                value, use_decimal=True, allow_nan=False, ensure_ascii=False, default=_plainer, separators=(",", ":")
            )
        )
    return str(
        simplejson.dumps(value, use_decimal=True, allow_nan=False, ensure_ascii=False, default=_plainer, indent=indent)
    )
