"""Quantities for request bodies: a decimal number with its digits kept, and a unit word that the service checks.

Only the number is read here, by a small strict grammar: ``0.0038``, ``.0038``, ``2-1/4``, ``2 1/4``, ``5/16``; a unit
word follows it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation, localcontext
from fractions import Fraction
from typing import Any, TypeAlias

from .errors import QuantityError, UnexpectedAnswer

MAX_DIGITS = 20
MAX_EXPONENT = 12
MAX_TEXT = 120

QuantityLike: TypeAlias = "Quantity | str | tuple[Any, str] | Mapping[str, Any] | Any"
"""Text such as ``'3.8 thou'``, a :class:`Quantity`, ``(value, unit)``, ``{"value", "unit"}`` or a pint quantity."""

_FRACTION = re.compile(
    r"(?P<sign>[+\-\u2212]?)\s*(?:(?P<whole>[0-9]{1,20})(?:\s*-\s*|\s+))?(?P<num>[0-9]{1,20})\s*[/\u2044]\s*(?P<den>[0-9]{1,20})(?![0-9.])",
    re.ASCII,
)
_DECIMAL = re.compile(
    r"[+\-\u2212]?(?:[0-9]{1,40}(?:\.[0-9]{0,40})?|\.[0-9]{1,40})(?:[eE][+\-]?[0-9]{1,6}(?![0-9A-Za-z]))?", re.ASCII
)
_COMMA = re.compile(r"[+\-\u2212]?\s*[0-9]*,[0-9]", re.ASCII)
_UNIT = re.compile(r"(?:1/)?[^\W\d_]|[\"'%\u00b0\u2103\u2109\u2032\u2033\u03bc\u00b5]")
_WORDS = {
    '"': "in",
    "\u2033": "in",
    "''": "in",
    "'": "ft",
    "\u2032": "ft",
    "deg F": "degF",
    "deg C": "degC",
    "\u00b0 F": "degF",
    "\u00b0 C": "degC",
    "sq in": "in2",
    "cu in": "in3",
    "US gal": "USgal",
    "lbf ft": "lbf.ft",
    "ft lb": "lbf.ft",
    "thousandths of an inch": "thou",
}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit token, digits kept as written. Equal means the same number and the same unit."""

    value: Decimal
    unit: str

    def to_json(self) -> dict[str, Any]:
        """``{"value": number, "unit": token}``."""
        return {"value": self.value, "unit": self.unit}

    def pint(self, registry: Any = None) -> Any:
        """This as a pint quantity, in ``registry`` or in pint's application registry.

        Raises:
            NotInstalled: pint is not installed.
            QuantityError: pint has no unit that equals this one.
        """
        from .pint_units import to_pint

        return to_pint(self.value, self.unit, registry)

    def __str__(self) -> str:
        return f"{plain(self.value)} {self.unit}"


def plain(value: Decimal) -> str:
    """Digits without an exponent: ``0.0038``, never ``3.8E-3``."""
    return f"{value:f}"


def decimal_of(value: Fraction, digits: int = MAX_DIGITS) -> Decimal:
    """A fraction as a decimal of at most ``digits`` significant digits, exact where it can be."""
    with localcontext() as context:
        context.prec = digits
        number = Decimal(value.numerator) / Decimal(value.denominator)
        number = number.normalize()
    return (
        number.quantize(Decimal(1)) if number == number.to_integral_value() and number.adjusted() < digits else number
    )


def quantity(given: QuantityLike) -> Quantity:
    """A quantity from text, a pair, a mapping, a pint quantity or a quantity.

    Raises:
        QuantityError: no number, no unit, a decimal comma, a number that is not finite or too long.
    """
    if isinstance(given, Quantity):
        return Quantity(checked(given.value), unit_word(given.unit))
    if isinstance(given, str):
        return parse(given)
    if isinstance(given, Mapping):
        if set(given) != {"value", "unit"}:
            raise QuantityError(f'a quantity is {{"value": number, "unit": token}}; this has {sorted(map(str, given))}')
        return Quantity(checked(given["value"]), unit_word(given["unit"]))
    if isinstance(given, (tuple, list)):
        if len(given) != 2:
            raise QuantityError(f"a pair is (value, unit), such as (3.8, 'thou'); this has {len(given)} parts")
        return Quantity(checked(given[0]), unit_word(given[1]))
    if hasattr(given, "_REGISTRY") and hasattr(given, "magnitude"):
        from .pint_units import token_of

        return Quantity(checked(given.magnitude), token_of(given))
    if isinstance(given, (int, float, Decimal, Fraction)):
        raise QuantityError(f"{given!r} has no unit; say which: '{given} in', '{given} thou', '{given} mm'", "no-unit")
    raise QuantityError(f"{type(given).__name__} is not a quantity; write it like '3.8 thou' or (3.8, 'thou')")


def quantity_text(given: Any) -> str:
    """The text form for query strings and CSV; text goes through as it is, for the service to read.

    Raises:
        QuantityError: not text and not a quantity.
    """
    return f"{given}" if isinstance(given, str) else str(quantity(given))


def checked(value: Any) -> Decimal:
    """A finite decimal of at most 20 digits with an exponent within +-12. A float counts as the digits it prints.

    Raises:
        QuantityError: anything else.
    """
    if isinstance(value, bool) or value is None:
        raise QuantityError(f"a number is wanted, not {value!r}", "not-a-number")
    if isinstance(value, str):
        raise QuantityError(
            f"a number is wanted in a pair, not the text {value[:40]!r}; write '{value[:20]} unit' as one text",
            "not-a-number",
        )
    if isinstance(value, Fraction):
        value = decimal_of(value)
    if not isinstance(value, Decimal):
        try:
            value = Decimal(str(value))
        except (InvalidOperation, ValueError):
            raise QuantityError(f"a number is wanted, not {type(value).__name__}", "not-a-number") from None
    return _bounded(value)


def _bounded(value: Decimal) -> Decimal:
    if not value.is_finite():
        raise QuantityError("not a finite number", "not-a-number")
    _, digits, exponent = value.as_tuple()
    if len(digits) > MAX_DIGITS:
        raise QuantityError(f"a number may have at most {MAX_DIGITS} digits; this has {len(digits)}", "number-too-long")
    if (value and abs(value.adjusted()) > MAX_EXPONENT) or abs(int(exponent)) > MAX_EXPONENT + MAX_DIGITS:
        raise QuantityError(f"the number lies beyond ten to the +-{MAX_EXPONENT}", "number-out-of-range")
    return value


def unit_word(word: Any) -> str:
    """A unit word, tidied of quote marks and of blanks; whether it is a unit the service says.

    Raises:
        QuantityError: empty, too long or not a word.
    """
    if not isinstance(word, str) or not word.strip():
        raise QuantityError("the unit is missing; say which: in, thou, mm ...", "no-unit")
    tidy: str = word.strip()
    if len(tidy) > 40:
        raise QuantityError(f"{tidy[:30]!r}... is too long to be a unit", "unknown-unit")
    tidy = re.sub(r"\s*/\s*", "/", tidy)
    return _WORDS.get(tidy, tidy)


def parse(text: str) -> Quantity:
    """Read ``3.8 thou``, ``.0038"``, ``2-1/4 in``, ``2 1/4"``, ``96.5 um``.

    Raises:
        QuantityError: no number, no unit, a decimal comma, a zero under the line, more than one number.
    """
    shown = text if len(text) <= 40 else text[:37] + "..."
    if len(text) > MAX_TEXT:
        raise QuantityError(f"{shown!r} is too long to be a quantity", "number-too-long")
    body = text.strip()
    if _COMMA.match(body):
        raise QuantityError(_comma_mend(body, shown), "decimal-comma")
    match = _FRACTION.match(body) or _DECIMAL.match(body)
    if match is None:
        raise QuantityError(
            f"{shown!r} does not start with a number; write it like '3.8 thou' or '2-1/4 in'", "not-a-number"
        )
    number = _fraction(match, shown) if match.re is _FRACTION else _bounded(Decimal(match[0].replace("\u2212", "-")))
    rest = body[match.end() :].strip()
    if not rest:
        head = body[:24]
        raise QuantityError(f"{shown!r} has no unit; say which: '{head} in', '{head} thou', '{head} mm'", "no-unit")
    if not _UNIT.match(rest):
        raise QuantityError(f"{shown!r} is not one number and one unit; write it like '3.8 thou' or '2-1/4 in'")
    return Quantity(number, unit_word(rest))


def _comma_mend(body: str, shown: str) -> str:
    pointed = body.replace(",", ".", 1)[:40]
    if re.match(r"[+\-\u2212]?[1-9][0-9]{0,2}(,[0-9]{3})+(?![0-9,])", body):
        return f"{shown!r} has a comma that may mean two things; write {body.replace(',', '')[:40]!r} or {pointed!r}"
    return f"{shown!r} has a decimal comma; write it with a point: {pointed!r}"


def _fraction(match: re.Match[str], shown: str) -> Decimal:
    if int(match["den"]) == 0:
        raise QuantityError(f"{shown!r} has a zero under the line", "not-a-number")
    exact = Fraction(int(match["num"]), int(match["den"])) + int(match["whole"] or 0)
    return _bounded(decimal_of(-exact if match["sign"] in {"-", "\u2212"} else exact))


def quantity_in_answer(raw: Any) -> Quantity | None:
    """A quantity of an answer; None where the answer holds something else there.

    Raises:
        UnexpectedAnswer: the number is absurdly large or small.
    """
    if not isinstance(raw, Mapping) or not isinstance(raw.get("unit"), str):
        return None
    value = raw.get("value")
    if isinstance(value, bool) or not isinstance(value, (int, Decimal)):
        return None
    number = Decimal(value)
    if abs(number.adjusted()) > 60:
        raise UnexpectedAnswer("the answer holds a number beyond ten to the +-60")
    return Quantity(number, raw["unit"])
