"""Numbers with units, as people write them."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from halfthou import NotInstalled, Quantity, QuantityError
from halfthou.jsonio import NotJson, dumps, loads
from halfthou.pint_units import PINT_NAMES
from halfthou.quantities import quantity, quantity_text

GOOD: list[tuple[Any, str, str]] = [
    ("3.8 thou", "3.8", "thou"),
    ("3.80 thou", "3.80", "thou"),
    ("3.8 thousandths", "3.8", "thousandths"),
    ("0.0038 in", "0.0038", "in"),
    ('.0038"', ".0038", "in"),
    ("2-1/4 in", "2.25", "in"),
    ('2 1/4"', "2.25", "in"),
    ("2 - 1/4 inch", "2.25", "inch"),
    ("5/16 in", "0.3125", "in"),
    ("-1-1/2 deg", "-1.5", "deg"),
    ("\u22124 deg", "-4", "deg"),
    ("1/3 in", "0.33333333333333333333", "in"),
    ("96.5 um", "96.5", "um"),
    ("96.5\u00b5m", "96.5", "\u00b5m"),
    ("68 deg F", "68", "degF"),
    ("430rpm", "430", "rpm"),
    ("1e3 rpm", "1E+3", "rpm"),
    ("5 1/min", "5", "1/min"),
    ("12 lb / in", "12", "lb/in"),
    ((3.8, "thou"), "3.8", "thou"),
    ((38, "um"), "38", "um"),
    ((Decimal("0.0380"), "in"), "0.0380", "in"),
    ((Fraction(9, 4), "in"), "2.25", "in"),
    ({"value": 3.8, "unit": "thou"}, "3.8", "thou"),
    (Quantity(Decimal("3.8"), "thou"), "3.8", "thou"),
]
BAD: list[tuple[Any, str]] = [
    ("3.8", "no-unit"), (3.8, "no-unit"), ((3.8, ""), "no-unit"), ("2-1/4", "no-unit"),
    ("0,0035 in", "decimal-comma"), ("1,000 rpm", "decimal-comma"), ("3,5 thou", "decimal-comma"),
    ("thou", "not-a-number"), ("", "not-a-number"), ("nan in", "not-a-number"), ("inf in", "not-a-number"), ("1/0 in", "not-a-number"),
    ((float("nan"), "in"), "not-a-number"), ((float("inf"), "in"), "not-a-number"), ((True, "in"), "not-a-number"),
    ((None, "in"), "not-a-number"), (("3.8", "in"), "not-a-number"), (({}, "in"), "not-a-number"),
    ("9**9**8 inch", "bad-quantity"), ("3 1 in", "bad-quantity"), ("0.003-0.004 in", "bad-quantity"), ("1/2/3 in", "bad-quantity"),
    ("3.8 in" + " " * 200, "number-too-long"), ("0.123456789012345678901 in", "number-too-long"), ((1e15, "in"), "number-out-of-range"),
    ("1e99999 in", "number-out-of-range"), ((1, 2, 3), "bad-quantity"), ({"value": 1}, "bad-quantity"), (object(), "bad-quantity"),
    ("\u0663 in", "not-a-number"), ((1, "x" * 50), "unknown-unit"),
]  # fmt: skip


@pytest.mark.parametrize(("given", "value", "unit"), GOOD, ids=lambda v: str(v)[:20])
def test_quantities_keep_their_digits(given: Any, value: str, unit: str) -> None:
    made = quantity(given)
    assert (made.value, made.unit) == (Decimal(value), unit)
    assert made.value.as_tuple() == Decimal(value).as_tuple()


@pytest.mark.parametrize(("given", "code"), BAD, ids=lambda v: str(v)[:20])
def test_what_is_not_a_quantity_is_refused_with_a_code(given: Any, code: str) -> None:
    with pytest.raises(QuantityError) as caught:
        quantity(given)
    assert caught.value.code == code


def test_a_decimal_comma_comes_with_its_mend() -> None:
    with pytest.raises(QuantityError, match=r"'0\.0035 in'"):
        quantity("0,0035 in")


def test_a_comma_that_may_part_thousands_is_not_guessed() -> None:
    with pytest.raises(QuantityError, match=r"'1000 rpm' or '1\.000 rpm'"):
        quantity("1,000 rpm")


def test_text_for_the_service_goes_through_untouched() -> None:
    assert quantity_text("2-1/4 in") == "2-1/4 in"
    assert quantity_text((2.25, "in")) == "2.25 in"
    assert str(Quantity(Decimal("1E-7"), "in")) == "0.0000001 in"


def test_json_keeps_digits_both_ways() -> None:
    text = '{"value":0.00380,"unit":"in"}'
    assert dumps(loads(text)) == text
    assert dumps(Quantity(Decimal("0.10"), "in")) == '{"value":0.10,"unit":"in"}'


@pytest.mark.parametrize("text", ["NaN", "[Infinity]", '{"a":1,"a":2}', "{", "[" * 100_000, b"\xff", "1" * 5000])
def test_json_that_cannot_be_kept_is_refused(text: Any) -> None:
    with pytest.raises(NotJson):
        loads(text)


def test_nan_is_never_sent() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        dumps({"confidence": float("nan")})


def test_pint_both_ways_on_request() -> None:
    pint = pytest.importorskip("pint")
    registry = pint.UnitRegistry()
    inch = Quantity(Decimal("3.8"), "thou").pint(registry).to("inch")
    assert inch.magnitude == pytest.approx(0.0038, rel=1e-12)
    assert quantity(registry.Quantity(0.0038, "inch")) == Quantity(Decimal("0.0038"), "in")
    assert quantity(registry.Quantity(12, "psi")).unit == "psi"
    assert quantity(registry.Quantity(430, "rpm")).unit == "rpm"
    assert Quantity(Decimal(68), "degF").pint().to("degC").magnitude == pytest.approx(20, rel=1e-12)
    exact = Quantity(Decimal("3.8"), "thou").pint(pint.UnitRegistry(non_int_type=Decimal))
    assert exact.magnitude == Decimal("3.8")


def test_pint_units_that_the_service_does_not_have_are_refused() -> None:
    pint = pytest.importorskip("pint")
    with pytest.raises(QuantityError, match="convert it first"):
        quantity(pint.UnitRegistry().Quantity(1, "furlong"))
    with pytest.raises(QuantityError, match="pint has no unit"):
        Quantity(Decimal(1), "inH2O").pint()


def test_without_pint_it_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "pint", None)
    with pytest.raises(NotInstalled, match="pip install pint"):
        Quantity(Decimal(1), "in").pint()


def test_the_pint_names_are_those_of_the_table() -> None:
    units = pytest.importorskip("halfthou_specdb.units")
    assert {token: unit.pint for token, unit in units.UNITS.items() if unit.pint} == PINT_NAMES
