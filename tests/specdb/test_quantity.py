"""The small grammar of quantities: what is read, what is refused and with which stable word."""

from __future__ import annotations

import time
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfthou_specdb.errors import QuantityError, UnitError
from halfthou_specdb.quantity import Quantity, checked_decimal, decimal_of, parse_quantity, plain
from halfthou_specdb.units import UNITS

READ = [
    # text, digits shown, unit, exact value
    ("0.0038 in", "0.0038", "in", "0.0038"),
    ('.0038"', "0.0038", "in", "0.0038"),
    ("0.0038in", "0.0038", "in", "0.0038"),
    ("0.00380 in", "0.00380", "in", "0.0038"),
    ("3.8 thou", "3.8", "thou", "3.8"),
    ("3.8 thousandths", "3.8", "thou", "3.8"),
    ('3.8"', "3.8", "in", "3.8"),
    ("3.8 ″", "3.8", "in", "3.8"),
    ("2-1/4 in", "2.25", "in", "9/4"),
    ("2 - 1/4 in", "2.25", "in", "9/4"),
    ('2 1/4"', "2.25", "in", "9/4"),
    ("1/64 in", "0.015625", "in", "1/64"),
    ("1⁄64 in", "0.015625", "in", "1/64"),
    ("-1/4 in", "-0.25", "in", "-1/4"),
    ("-2-1/4 in", "-2.25", "in", "-9/4"),
    ("−0.5 mm", "-0.5", "mm", "-1/2"),
    ("+3 mm", "3", "mm", "3"),
    ("1/3 in", "0.33333333333333333333", "in", "1/3"),
    ("96.5 um", "96.5", "um", "96.5"),
    ("96.5 µm", "96.5", "um", "96.5"),
    ("96.5 μm", "96.5", "um", "96.5"),
    ("1e3 mm", "1000", "mm", "1000"),
    ("3.8E-3 in", "0.0038", "in", "0.0038"),
    ("0 in", "0", "in", "0"),
    ("  68 deg F ", "68", "degF", "68"),
    ("68 °F", "68", "degF", "68"),
    ("450 rev/min", "450", "rpm", "450"),
    ("10 Nm", "10", "N.m", "10"),
    ("10 nm", "10", "nm", "10"),
    ("1.5 MΩ", "1.5", "Mohm", "1.5"),
    ("1.5 mΩ", "1.5", "mohm", "1.5"),
    ("0.0000059 1/degF", "0.0000059", "1/degF", "0.0000059"),
    ("11e-6 1/K", "0.000011", "1/K", "0.000011"),
    ("3 1 / mm", "3", "1/mm", "3"),
    ("2-1/4 1/mm", "2.25", "1/mm", "9/4"),
    ("1/4 1/in", "0.25", "tpi", "1/4"),
    ("5 1/min", "5", "drops/min", "5"),
    ("12345678901.234567890 nm", "12345678901.234567890", "nm", "12345678901.23456789"),
]


@pytest.mark.parametrize(("text", "digits", "unit", "exact"), READ)
def test_text_is_read(text: str, digits: str, unit: str, exact: str) -> None:
    quantity = parse_quantity(text)
    assert plain(quantity.value) == digits
    assert quantity.unit is UNITS[unit]
    assert quantity.exact == Fraction(exact)
    assert str(quantity) == f"{digits} {unit}"


REFUSED = [
    ("0,0038 in", "decimal-comma"),
    ("-0,5 in", "decimal-comma"),
    ("1,5", "decimal-comma"),
    ("5,000 ft/min", "decimal-comma"),
    ("nan", "not-a-number"),
    ("nan in", "not-a-number"),
    ("NaN in", "not-a-number"),
    ("inf in", "not-a-number"),
    ("-Infinity mm", "not-a-number"),
    ("sNaN in", "not-a-number"),
    ("", "not-a-number"),
    ("   ", "not-a-number"),
    ("in", "not-a-number"),
    ("--3 in", "not-a-number"),
    ("(3) in", "not-a-number"),
    ("1/0 in", "not-a-number"),
    ("٣.٨ in", "not-a-number"),
    ("３ in", "not-a-number"),
    ("३ in", "not-a-number"),
    ("3.8٣ in", "bad-quantity"),
    ("3² in", "bad-quantity"),
    ("1e9999 in", "number-out-of-range"),
    ("1e10000000 in", "bad-quantity"),
    ("1e13 mm", "number-out-of-range"),
    ("1e-13 mm", "number-out-of-range"),
    ("99999999999999999999/1 in", "number-out-of-range"),
    ("1/99999999999999999999 in", "number-out-of-range"),
    ("9**9**8 inch", "bad-quantity"),
    ("9^9 inch", "bad-quantity"),
    ("3*in", "bad-quantity"),
    ("3+4 in", "bad-quantity"),
    ("1 000 in", "bad-quantity"),
    ("0.5.5 in", "bad-quantity"),
    ("1/2/3 in", "bad-quantity"),
    ("1/-4 in", "bad-quantity"),
    ("3 1/bananas", "unknown-unit"),
    ("0.51/K", "bad-quantity"),
    ("3 2/K", "bad-quantity"),
    ("3 11/K", "bad-quantity"),
    ("1" * 21 + " in", "number-too-long"),
    ("1" * 60 + " in", "bad-quantity"),
    ("1" * 5000 + " in", "number-too-long"),
    ("0." + "0" * 5000 + "1 in", "number-too-long"),
    ("3.8", "no-unit"),
    ("2-1/4", "no-unit"),
    ("3.8 bananas", "unknown-unit"),
    ("3.8 in in", "unknown-unit"),
    ("0x10 in", "unknown-unit"),
    ("1_000 in", "unknown-unit"),
    ("3 in; drop table", "unknown-unit"),
    ("10 NM", "unknown-unit"),
]


@pytest.mark.parametrize(("text", "code"), REFUSED, ids=lambda v: v[:24])
def test_text_is_refused_with_a_stable_word(text: str, code: str) -> None:
    started = time.perf_counter()
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text)
    assert time.perf_counter() - started < 0.5
    assert caught.value.code == code
    assert len(str(caught.value)) < 250


def test_a_decimal_comma_is_answered_with_the_mend() -> None:
    with pytest.raises(QuantityError, match=r"'0\.0038 in'"):
        parse_quantity("0,0038 in")


def test_an_unknown_unit_is_answered_with_near_matches() -> None:
    with pytest.raises(UnitError, match="thou") as caught:
        parse_quantity("3.8 tho")
    assert caught.value.near[0] == "thou"


def test_no_unit_is_answered_with_units_to_choose_from() -> None:
    with pytest.raises(QuantityError, match=r"'3\.8 thou'"):
        parse_quantity("3.8")


def test_a_column_heading_gives_the_unit_only_where_the_cell_names_none() -> None:
    assert str(parse_quantity("3.8", "thou")) == "3.8 thou"
    assert str(parse_quantity("0.0038 in", "thou")) == "0.0038 in"
    assert parse_quantity("1/64", "in").exact == Fraction(1, 64)


@pytest.mark.parametrize("value", [True, False, Decimal("NaN"), Decimal("Infinity"), "nan", "x", "", 10**40, "1" * 21, "1e13"])
def test_a_number_out_of_bounds_is_refused(value: Decimal | int | str) -> None:
    with pytest.raises(QuantityError):
        checked_decimal(value)


def test_digits_are_kept_as_given() -> None:
    assert str(Quantity.of("0.00380", "in")) == "0.00380 in"
    assert plain(Decimal("3.8E-3")) == "0.0038"


@given(st.fractions(min_value=-1000, max_value=1000, max_denominator=128))
def test_a_shop_fraction_is_kept_exactly(value: Fraction) -> None:
    sign, size = ("-" if value < 0 else ""), abs(value)
    whole, rest = divmod(size.numerator, size.denominator)
    for text in (f"{sign}{size.numerator}/{size.denominator} in", f"{sign}{whole}-{rest}/{size.denominator} in"):
        assert parse_quantity(text).exact == value


@given(st.decimals(min_value=-(10**9), max_value=10**9, places=8), st.sampled_from(list(UNITS)))
def test_what_is_written_out_is_read_back(value: Decimal, token: str) -> None:
    quantity = Quantity.of(value, token)
    again = parse_quantity(str(quantity))
    assert (again.value, again.unit, again.exact) == (quantity.value, quantity.unit, quantity.exact)
    assert plain(again.value) == plain(quantity.value)


@given(st.text(max_size=140))
def test_any_text_is_a_quantity_or_a_quantity_error(text: str) -> None:
    code = ""
    try:
        assert parse_quantity(text).value.is_finite()
    except QuantityError as error:
        code = error.code
    assert code in {"", "decimal-comma", "not-a-number", "bad-quantity", "no-unit", "unknown-unit", "number-too-long", "number-out-of-range"}


@given(st.fractions(max_denominator=10**6))
def test_decimal_of_a_fraction_is_right_to_its_digits(value: Fraction) -> None:
    shown = Fraction(decimal_of(value))
    assert abs(shown - value) <= abs(value) * Fraction(1, 10**11)
