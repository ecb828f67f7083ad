"""JSON quantities and numbers, read strictly: ``{"value": 3.8, "unit": "thou"}``, JSON numbers only, a unit every time."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from halfthou_specdb.errors import QuantityError
from halfthou_specdb.quantity import TOO_COLD, Quantity, checked_decimal
from halfthou_specdb.units import UNITS, Unit, unit_named, units_of

from .faults import Fault, FaultError, Near, kind_of, of_quantity, shown, token
from .jsonio import strict_decimal

KEYS = frozenset({"value", "unit"})
LONGEST_UNIT = 40
_NAMES = frozenset(name.lower() for unit in UNITS.values() for name in (unit.token, *unit.aliases))
"""Every spelling of every unit in small letters: a word that is not here is on no list, and is not searched for at length."""
_BLANKED = frozenset({"deg f", "deg c", "° f", "° c", "sq in", "cu in", "us gal", "lbf ft", "ft lb", "thousandths of an inch"})


def known_unit(word: str) -> bool:
    """Whether a word could be a unit, without a search for near matches; no word at all could be one too."""
    small = word.strip().lower()
    return not small or small in _NAMES or small in _BLANKED


def read_unit(raw: Any, near: Near) -> Unit:
    """The unit of a token or alias.

    Raises:
        FaultError: not a word, or not a unit.
    """
    if not isinstance(raw, str) or not raw.strip():
        raise FaultError(Fault("no-unit", f"the unit is a word such as in, thou or mm, not {kind_of(raw)}"))
    word = raw.strip()
    if word.lower() not in _NAMES:
        tokens = near.of(word[:LONGEST_UNIT], UNITS, 0.5)
        hint = f"; near it: {', '.join(tokens)}" if tokens else ""
        raise FaultError(Fault("unknown-unit", f"no unit is called {shown(word)}{hint}; the list is at /v1/units", near=tokens))
    try:
        return unit_named(word)
    except QuantityError as error:
        raise FaultError(of_quantity(error)) from None


def read_number(raw: Any) -> Decimal:
    """A bounded decimal.

    Raises:
        FaultError: anything but a JSON number within bounds.
    """
    try:
        if type(raw) is Decimal:
            return checked_decimal(raw)
        return strict_decimal(raw)
    except QuantityError as error:
        detail = f"{error}, not {kind_of(raw)}" if error.code == "not-a-number" and not isinstance(raw, Decimal) else str(error)
        raise FaultError(Fault(error.code, detail)) from None


def read_quantity(raw: Any, near: Near, wanted: str = "") -> Quantity:
    """A quantity of a body, or one that was read before.

    Args:
        wanted: dimension it must have, or the empty string for any.

    Raises:
        FaultError: no unit, an unknown or wrong unit, not a number, a temperature below absolute zero, an unknown field; the pointer
            is relative to ``raw``.
    """
    if isinstance(raw, Quantity):
        found = raw
    else:
        if not isinstance(raw, dict):
            raise FaultError(_not_an_object(raw))
        if raw.keys() != KEYS:
            raise FaultError(_wrong_keys(raw, near))
        number = _under("/value", read_number, raw["value"])
        unit = _under("/unit", read_unit, raw["unit"], near)
        found = Quantity(number, unit, Fraction(number))
    if wanted and found.unit.dimension != wanted:
        raise FaultError(wrong_dimension(found.unit, wanted, "" if isinstance(raw, Quantity) else "/unit"))
    if found.too_cold:
        raise FaultError(Fault("impossible", f"{found} is {TOO_COLD}", "" if isinstance(raw, Quantity) else "/value"))
    return found


def wrong_dimension(unit: Unit, wanted: str, pointer: str = "", parameter: str = "") -> Fault:
    """The fault of a unit of another kind."""
    tokens = units_of(wanted)
    detail = f"{a(wanted)} is wanted ({', '.join(tokens[:6])}); {unit.token} is {a(unit.dimension)}"
    return Fault("wrong-dimension", detail, pointer, parameter, allowed=tokens[:20])


def a(dimension: str) -> str:
    """``a length``, ``an angle``."""
    word = dimension.replace("_", " ")
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"


def _under(pointer: str, read: Any, *args: Any) -> Any:
    try:
        return read(*args)
    except FaultError as error:
        raise FaultError(error.fault.under(pointer)) from None


def _not_an_object(raw: Any) -> Fault:
    mend = '{"value": 3.8, "unit": "thou"}'
    if isinstance(raw, Decimal):
        return Fault("no-unit", f"a bare number has no unit; write it like {mend}")
    return Fault("bad-quantity", f"a quantity is written like {mend}, not as {kind_of(raw)}")


def _wrong_keys(raw: dict[str, Any], near: Near) -> Fault:
    if "unit" not in raw and "value" in raw:
        return Fault("no-unit", 'the unit is missing; say which: "in", "thou", "mm" ...', "/unit")
    extra = [key for key in raw if key not in KEYS]
    if extra:
        return near.unknown("unknown-field", "field of a quantity", extra[0], sorted(KEYS), token(extra[0]))
    return Fault("missing-field", "the value is missing", "/value")
