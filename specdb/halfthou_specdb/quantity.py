"""Quantities: a decimal number with its digits kept, and a unit of the closed list.

Text is read by a small closed grammar (``0.0038 in``, ``.0038"``, ``3.8 thou``, ``2-1/4 in``, ``2 1/4"``, ``96.5 um``) and never
reaches any expression parser. Conversions and comparisons are exact rationals.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation, localcontext
from fractions import Fraction

from .errors import DimensionError, QuantityError
from .units import Unit, unit_named, units_of

MAX_DIGITS = 20
MAX_EXPONENT = 12

_NUMBER = re.compile(
    r"""(?P<sign>[+\-\u2212]?)\s*
    (?:(?P<whole>[0-9]{1,20})(?:\s*-\s*|\s+))?(?P<num>[0-9]{1,20})\s*[/\u2044]\s*(?P<den>[0-9]{1,20})
    |(?P<decimal>[+\-\u2212]?(?:[0-9]{1,40}(?:\.[0-9]{0,40})?|\.[0-9]{1,40})(?:[eE][+\-]?[0-9]{1,6})?)""",
    re.VERBOSE | re.ASCII,
)
_DECIMAL = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,9})?", re.ASCII)
_COMMA = re.compile(r"^\s*[+-]?[0-9]*,[0-9]")
_PER = re.compile(r"\s1\s?/\s?[A-Za-z]", re.ASCII)
"""A unit that begins with a figure (``1/K``, ``1/degF``, ``1/mm``); a blank parts it from the number."""
MAX_TEXT = 120
TOO_COLD = "below absolute zero (-273.15 degC, -459.67 degF), so no temperature; look at the sign and the unit"


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit. ``value`` keeps the digits as given; a shop fraction is kept exactly in ``exact``."""

    value: Decimal
    unit: Unit
    exact: Fraction

    @classmethod
    def of(cls, value: Decimal | int | str, unit: str | Unit) -> Quantity:
        """A quantity from a decimal and a unit token.

        Raises:
            QuantityError: not a finite number, over 20 digits, or an exponent beyond +-12.
            UnitError: unknown unit.
        """
        number = checked_decimal(value)
        return cls(number, unit if isinstance(unit, Unit) else unit_named(unit), Fraction(number))

    @property
    def canonical(self) -> Fraction:
        """The value in the canonical unit of its dimension."""
        value = self.exact * self.unit.factor
        return value + self.unit.offset if self.unit.offset else value

    def to(self, unit: Unit) -> Fraction:
        """The exact value in another unit of the same dimension.

        Raises:
            DimensionError: the unit is of another kind.
        """
        if unit is self.unit:
            return self.exact
        if unit.dimension != self.unit.dimension:
            raise DimensionError(
                f"{self.unit.token} is {_a(self.unit.dimension)}, but {_a(unit.dimension)} is wanted "
                f"({', '.join(units_of(unit.dimension)[:6])})"
            )
        return (self.canonical - unit.offset) / unit.factor

    @property
    def too_cold(self) -> bool:
        """A temperature below absolute zero, which no thing can have."""
        return self.unit.dimension == "temperature" and self.canonical < 0

    def __str__(self) -> str:
        return f"{plain(self.value)} {self.unit.token}"


def _a(dimension: str) -> str:
    word = dimension.replace("_", " ")
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"


def plain(value: Decimal) -> str:
    """Digits without an exponent: ``0.0038``, never ``3.8E-3``."""
    return f"{value:f}"


def checked_decimal(value: Decimal | int | str) -> Decimal:
    """A finite decimal of at most 20 digits with an exponent within +-12.

    Raises:
        QuantityError: anything else; the message says which bound was broken.
    """
    if isinstance(value, bool):
        raise QuantityError("a number is wanted, not true or false", "not-a-number")
    if isinstance(value, int):
        if abs(value) >= 10 ** (MAX_DIGITS + MAX_EXPONENT):
            raise QuantityError("the number is too large", "number-too-long")
        value = Decimal(value)
    elif isinstance(value, str):
        if not _DECIMAL.fullmatch(value):
            raise QuantityError("not a number", "not-a-number")
        if len(value) > MAX_DIGITS + 20:
            raise QuantityError(f"a number may have at most {MAX_DIGITS} digits", "number-too-long")
        try:
            value = Decimal(value)
        except InvalidOperation:
            raise QuantityError("not a number", "not-a-number") from None
    if not value.is_finite():
        raise QuantityError("not a finite number", "not-a-number")
    _, digits, exponent = value.as_tuple()
    if len(digits) > MAX_DIGITS:
        raise QuantityError(f"a number may have at most {MAX_DIGITS} digits; this has {len(digits)}", "number-too-long")
    if (value and abs(value.adjusted()) > MAX_EXPONENT) or abs(int(exponent)) > MAX_EXPONENT + MAX_DIGITS:
        raise QuantityError(f"the number lies beyond ten to the +-{MAX_EXPONENT}", "number-out-of-range")
    return value


def parse_quantity(text: str, default_unit: str | None = None) -> Quantity:
    """Read ``3.8 thou``, ``.0038"``, ``2-1/4 in``, ``2 1/4"`` or ``96.5 um``.

    ``default_unit`` is used only where a column heading already named the unit.

    Raises:
        QuantityError: no number, a comma decimal, a zero denominator, too many digits.
        UnitError: no unit, or one that is not on the list.
    """
    shown = text if len(text) <= 40 else text[:37] + "..."
    if len(text) > MAX_TEXT:
        raise QuantityError(f"{shown!r} is too long to be a quantity", "number-too-long")
    if _COMMA.match(text):
        raise QuantityError(f"{shown!r} has a decimal comma; {_mend(text.strip()[:40])}", "decimal-comma")
    body = text.strip().replace("\u2013", "-").replace("''", '"')
    match = _NUMBER.match(body)
    if match is None:
        raise QuantityError(f"{shown!r} does not start with a number; write it like '3.8 thou' or '2-1/4 in'", "not-a-number")
    rest = body[match.end() :].strip()
    if rest[:1] in {"*", "^", "/", "+", "(", ",", "."} or (rest[:1].isdigit() and not _PER.match(body, match.end())):
        raise QuantityError(f"{shown!r} is not one number and one unit; write it like '3.8 thou' or '2-1/4 in'", "bad-quantity")
    if not rest and default_unit is None:
        raise QuantityError(f"{shown!r} has no unit; say which: '{body[:24]} in', '{body[:24]} thou', '{body[:24]} mm'", "no-unit")
    unit = unit_named(_tidy_unit(rest)) if rest else unit_named(default_unit or "")
    if match["decimal"] is not None:
        number = checked_decimal(match["decimal"].replace("\u2212", "-"))
        return Quantity(number, unit, Fraction(number))
    if int(match["den"]) == 0:
        raise QuantityError(f"{shown!r} has a zero under the line", "not-a-number")
    exact = Fraction(int(match["num"]), int(match["den"])) + int(match["whole"] or 0)
    if match["sign"] in {"-", "\u2212"}:
        exact = -exact
    with localcontext() as context:
        context.prec = MAX_DIGITS
        value = (Decimal(exact.numerator) / Decimal(exact.denominator)).normalize()
    return Quantity(checked_decimal(value), unit, exact)


def _mend(text: str) -> str:
    """How a number with a comma should have been written; both readings where it could be either."""
    point = f"write it with a point: {text.replace(',', '.', 1)!r}"
    thousands = re.match(r"[+-]?[1-9][0-9]{0,2}(,[0-9]{3})+(?![0-9])", text)
    return f"{point}, or {text.replace(',', '')!r} if it parts thousands" if thousands else point


def _tidy_unit(text: str) -> str:
    """Forgive the blanks people write inside a unit: ``deg F``, ``sq in``, ``r / min``."""
    squeezed = text.replace(" / ", "/")
    if " " not in squeezed:
        return squeezed
    return {"deg F": "degF", "deg C": "degC", "° F": "degF", "° C": "degC", "sq in": "in2", "cu in": "in3", "US gal": "USgal",
            "lbf ft": "lbf.ft", "ft lb": "lbf.ft", "thousandths of an inch": "thou"}.get(squeezed, squeezed)  # fmt: skip


def decimal_of(value: Fraction, digits: int = 12) -> Decimal:
    """A fraction as a decimal of ``digits`` significant digits, exact where it can be."""
    with localcontext() as context:
        context.prec = digits
        number = (Decimal(value.numerator) / Decimal(value.denominator)).normalize()
    return number if number else Decimal(0)
