"""ANSI B4.1: every row closes; numbers typed from the sources; steps; what is from memory says so."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from halfthou_specdb.quantity import Quantity, parse_quantity
from halfthou_specdb.standards import OutsideTable, fit
from halfthou_specdb.standards.b41 import classes
from halfthou_specdb.standards.cells import Row
from halfthou_specdb.standards.designation import CLASSES
from halfthou_specdb.standards.load import table

ROWS = table("b41-fits")
F = Fraction


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.words['class']} over {row.cells['over_in'].value}")
def test_every_row_closes(row: Row) -> None:
    value = {name: cell.value for name, cell in row.cells.items()}
    assert value["tightest_thou"] == 0 - value["shaft_high_thou"]
    assert value["loosest_thou"] == value["hole_high_thou"] - value["shaft_low_thou"]
    found = fit(row.words["class"], Quantity.of(value["upto_in"], "in"))
    assert (found.tightest, found.loosest) == (F(value["tightest_thou"]), F(value["loosest_thou"]))


def test_every_class_is_there_up_to_7_09_in() -> None:
    assert len(ROWS) == 331
    for name in CLASSES:
        rows = [row for row in ROWS if row.words["class"] == name]
        assert rows[-1].cells["upto_in"].value == Decimal("7.09")
        assert [row.cells["over_in"].value for row in rows[1:]] == [row.cells["upto_in"].value for row in rows[:-1]]
        assert classes()[name].words["use"]


# class, size, hole high, shaft high, shaft low, tightest, loosest [thou]; source and locator, grade
PRINTED = [
    ("RC1", "1/8 in", "0.2", "-0.15", "-0.3", "0.15", "0.5", "Machinery's Handbook 31, table 8a, pp. 718-719", "published"),
    ("RC3", "0.2 in", "0.5", "-0.4", "-0.7", "0.4", "1.2", "Machinery's Handbook 31, table 8a, pp. 718-719", "published"),
    ("RC5", "2-1/4 in", "1.8", "-2.5", "-3.7", "2.5", "5.5", "Machinery's Handbook 31, tables 8a and 8b, pp. 718-721", "published"),
    ("LC8", "0.1 in", "1.6", "-1", "-2", "1", "3.6", "table of LC6-LC11 after ANSI B4.1-1967; hole less shaft", "published"),
    ("LC8", "1.5 in", "4", "-3", "-5.5", "3", "9.5", "table of LC6-LC11; hole less shaft", "derived"),
    ("LC2", "1 in", "0.8", "0", "-0.5", "0", "1.3", "hole as RC3, shaft as wide as f6 of RC3", "derived"),
    ("LT1", "1 in", "0.8", "0.25", "-0.25", "-0.25", "1.05", "Machinery's Handbook 31, table 10, pp. 726-727", "published"),
    ("LN2", "1 in", "0.8", "1.3", "0.8", "-1.3", "0", "Machinery's Handbook 31, table 12, p. 660", "published"),
    ("FN2", "1 in", "0.8", "1.9", "1.4", "-1.9", "-0.6", "Machinery's Handbook 27, table 11, p. 663", "published"),
    ("FN2", "3.5 in", "1.4", "3.7", "2.8", "-3.7", "-1.4", "Machinery's Handbook 27, table 11, p. 663: lower limit by closure", "derived"),
    ("FN4", "4 in", "1.4", "6.9", "6", "-6.9", "-4.6", "recalled; the row 3.94 to 4.73 in was not readable", "from-memory"),
    ("RC8", "2-1/4 in", "4.5", "-6", "-9", "6", "13.5", "shaft: Machinery's Handbook 31, table 8b; hole recalled", "from-memory"),
]


@pytest.mark.parametrize(("name", "size", "hole", "high", "low", "tightest", "loosest", "source", "grade"), PRINTED)
def test_limits_are_those_of_the_source(
    name: str, size: str, hole: str, high: str, low: str, tightest: str, loosest: str, source: str, grade: str
) -> None:
    found = fit(name, parse_quantity(size))
    assert (found.hole.lower, found.hole.upper) == (0, F(hole)), source
    assert (found.shaft.lower, found.shaft.upper) == (F(low), F(high)), source
    assert (found.tightest, found.loosest) == (F(tightest), F(loosest)), source
    assert found.grade == grade, source


def test_a_cell_from_memory_says_so_and_its_neighbours_do_not() -> None:
    found = fit("RC8", parse_quantity("2-1/4 in"))
    assert found.from_memory == ("upper limit of the hole", "loosest")
    assert found.shaft.grade == "published"
    assert all(bool(used.cell.works) == (used.cell.grade != "from-memory") for used in found.used)
    assert fit("LC10", parse_quantity("2 in")).grade == "from-memory"
    assert fit("RC5", parse_quantity("2-1/4 in")).from_memory == ()


@pytest.mark.parametrize(
    ("size", "loosest"), [("1.97 in", "4.6"), ("1.9701 in", "5.5"), ("3.15 in", "5.5"), ("3.1501 in", "6.6"), ("7.09 in", "7.6")]
)
def test_a_step_runs_over_its_first_size_up_to_and_including_its_second(size: str, loosest: str) -> None:
    assert fit("RC5", parse_quantity(size)).loosest == F(loosest)


@pytest.mark.parametrize(("inch", "metric"), [("2-1/4 in", "57.15 mm"), ("1.97 in", "50.038 mm"), ("0.12 in", "3.048 mm"), ("1 in", "25400 um")])
def test_a_size_and_its_twin_in_another_unit_have_one_fit(inch: str, metric: str) -> None:
    one, other = fit("RC5", parse_quantity(inch)), fit("rc 5", parse_quantity(metric))
    assert (one.hole, one.shaft) == (other.hole, other.shaft)
    assert one.limits(one.shaft) == other.limits(other.shaft)


@pytest.mark.parametrize(
    ("name", "size", "message"),
    [
        ("RC5", "7.0901 in", "RC5 is on file for sizes over 0, up to and including 7.09 in"),
        ("RC5", "0 in", "over 0"),
        ("FN3", "0.95 in", "FN3 is on file for sizes over 0.95"),
        ("LT3", "0.24 in", "LT3 is on file for sizes over 0.24"),
        ("RC5", "200 mm", "lies outside"),
    ],
)
def test_what_lies_outside_is_refused_by_name(name: str, size: str, message: str) -> None:
    with pytest.raises(OutsideTable, match=message):
        fit(name, parse_quantity(size))


def test_looser_classes_are_looser_and_larger_sizes_no_tighter() -> None:
    for size in ("0.5 in", "1 in", "2 in", "4 in", "7 in"):
        loosest = [fit(f"RC{n}", parse_quantity(size)).loosest for n in range(1, 10)]
        assert loosest == sorted(loosest)
    for name in CLASSES[:9]:
        ends = [row.cells["loosest_thou"].value for row in ROWS if row.words["class"] == name]
        assert ends == sorted(ends)
