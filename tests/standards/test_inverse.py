"""Fits that give a wanted clearance."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from halfthou_specdb.errors import DimensionError, QuantityError
from halfthou_specdb.quantity import Quantity, parse_quantity
from halfthou_specdb.standards import OutsideTable, fit, fits_giving


def ask(low: str, high: str, size: str, **more: object) -> list[str]:
    found = fits_giving(parse_quantity(low), parse_quantity(high), parse_quantity(size), **more)  # type: ignore[arg-type]
    return [each.fit.designation for each in found]


def test_a_fit_is_found_again_by_its_own_clearance() -> None:
    assert ask("7 um", "41 um", "25 mm")[0] == "H7/g6"
    assert ask("2.5 thou", "5.5 thou", "2-1/4 in")[0] == "RC5"
    assert ask("2.5 thou", "5.5 thou", "57.15 mm", system="ansi-b4.1")[0] == "RC5"


def test_the_widest_comes_first_and_every_one_lies_within() -> None:
    found = fits_giving(parse_quantity("2 thou"), parse_quantity("5.5 thou"), parse_quantity("2-1/4 in"))
    ratio = {each.fit.designation: each.fit.unit.factor for each in found}
    widths = [(each.fit.loosest - each.fit.tightest) * ratio[each.fit.designation] for each in found]
    assert widths == sorted(widths, reverse=True)
    thou = parse_quantity("1 thou").canonical
    assert all(each.within and each.overhang == 0 for each in found)
    assert all(2 * thou <= each.fit.tightest * each.fit.unit.factor and each.fit.loosest * each.fit.unit.factor <= 5.5 * thou for each in found)


def test_interference_is_below_zero() -> None:
    found = fits_giving(parse_quantity("-3 thou"), parse_quantity("-0.5 thou"), parse_quantity("1 in"))
    assert found
    assert {each.fit.kind for each in found} == {"interference"}


def test_what_rests_on_memory_comes_last() -> None:
    found = fits_giving(parse_quantity("5 thou"), parse_quantity("18 thou"), parse_quantity("2-1/4 in"), "ansi-b4.1")
    remembered = [bool(each.fit.from_memory) for each in found]
    assert True in remembered
    assert remembered == sorted(remembered)


def test_where_nothing_lies_within_the_nearest_are_told_as_such() -> None:
    found = fits_giving(parse_quantity("1 um"), parse_quantity("2 um"), parse_quantity("25 mm"))
    assert 0 < len(found) <= 5
    assert not any(each.within for each in found)
    overhangs = [each.overhang for each in found]
    assert overhangs == sorted(overhangs)
    assert overhangs[0] > 0


def test_a_single_figure_is_a_range_of_no_width() -> None:
    found = fits_giving(parse_quantity("20 um"), parse_quantity("20 um"), parse_quantity("25 mm"))
    assert found
    assert all(each.share == 0 and not each.within for each in found)


def test_one_system_may_be_asked_alone() -> None:
    assert all("/" in name for name in ask("0 um", "60 um", "25 mm", system="iso-286"))
    assert all("/" not in name for name in ask("0 um", "60 um", "25 mm", system="ansi-b4.1"))


@pytest.mark.parametrize(
    ("low", "high", "size", "error"),
    [
        ("5 um", "2 um", "25 mm", QuantityError),
        ("5 V", "6 V", "25 mm", DimensionError),
        ("1 um", "9 um", "4000 mm", OutsideTable),
        ("1 um", "9 um", "0 mm", OutsideTable),
    ],
)
def test_a_wrong_question_is_refused(low: str, high: str, size: str, error: type[Exception]) -> None:
    with pytest.raises(error):
        ask(low, high, size)
    with pytest.raises(OutsideTable):
        ask("1 um", "9 um", "300 mm", system="ansi-b4.1")


@settings(max_examples=25, deadline=None)
@given(st.integers(-60, 120), st.integers(1, 150), st.integers(1, 500))
def test_within_means_within(low: int, width: int, size: int) -> None:
    ends = Quantity.of(low, "um"), Quantity.of(low + width, "um")
    for each in fits_giving(*ends, Quantity.of(size, "mm")):
        again = fit(each.fit.designation, Quantity.of(size, "mm"))
        assert (again.tightest, again.loosest) == (each.fit.tightest, each.fit.loosest)
        ratio = each.fit.unit.factor * 10**6
        assert each.within == (low <= again.tightest * ratio and again.loosest * ratio <= low + width)
        assert 0 <= each.share <= 1
        assert (each.overhang == Fraction(0)) == each.within
