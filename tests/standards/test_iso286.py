"""ISO 286: numbers typed from the sources, with where and how well they were read."""

from __future__ import annotations

import timeit
from fractions import Fraction

import pytest

from halfthou_specdb.errors import DimensionError
from halfthou_specdb.quantity import Quantity, parse_quantity
from halfthou_specdb.standards import OutsideTable, UnknownDesignation, fit, iso286
from halfthou_specdb.standards.designation import candidates

F = Fraction

# designation, size, which part, lower and upper deviation [um], source and locator, grade of the source
PRINTED = [
    # the four cells that the corrigendum mends: ISO 286-2:1988/Cor 1:2006, pp. 8, 9, 17, 26 (published)
    ("A13/h12", "320 mm", "hole", None, 2090, "ISO 286-2:1988/Cor 1:2006, A13 over 315 to 355", "published"),
    ("E8/h7", "100 mm", "hole", None, 126, "ISO 286-2:1988/Cor 1:2006, E8 over 80 to 120", "published"),
    ("R10/h9", "25 mm", "hole", None, -28, "ISO 286-2:1988/Cor 1:2006, R10 over 18 to 30", "published"),
    ("H9/f9", "300 mm", "shaft", -186, None, "ISO 286-2:1988/Cor 1:2006, f9 over 250 to 315", "published"),
    # delta and the footnote
    ("P7/h6", "25 mm", "hole", -35, -14, "Machine Drawing 2006, table 15.3, p. 221, worked P7 over 18 to 30: delta 8, ES -14", "published"),
    ("M6/h5", "300 mm", "hole", -41, -9, "Machine Drawing 2006, table 15.3, p. 219, footnote: M6 over 250 to 315, ES -9", "published"),
    ("K6/h5", "8 mm", "hole", -7, 2, "Machinery's Handbook 31, table 6a, pp. 768-769: K -1, delta 3, IT6 9", "published"),
    ("E7/h6", "350 mm", "hole", 125, 182, "Machine Drawing 2006, tables 15.1 and 15.3, pp. 213, 219: EI 125, IT7 57", "published"),
    ("U7/h6", "240 mm", "hole", -313, -267, "Machine Drawing 2006, table 15.3, p. 221: U -284, delta 17; table 15.1: IT7 46", "published"),
    ("ZC8/h7", "70 mm", "hole", -526, -480, "Machine Drawing 2006, table 15.2, p. 216: zc 480; mirrored; IT8 46, no delta above IT7", "published"),
    ("N9/h8", "50 mm", "hole", -62, 0, "Machinery's Handbook 31, table 6a, pp. 768-769: N above IT8 is 0; IT9 62", "published"),
    ("JS7/h6", "2 mm", "hole", -5, 5, "Machine Drawing 2006, table 15.1, p. 213: IT7 10, half to each side", "published"),
    # shafts
    ("H7/f6", "150 mm", "shaft", -68, -43, "Machinery's Handbook 31, table 6a, pp. 768-769: F +43, mirrored; IT6 25", "published"),
    ("H9/f8", "5 mm", "shaft", -28, -10, "Machine Drawing 2006, table 15.2, p. 214: f -10; table 15.1: IT8 18", "published"),
    ("H8/x7", "400 mm", "shaft", 660, 717, "two public program tables and IT7 + 1.6 D", "quoted"),
    ("H7/u6", "210 mm", "shaft", 258, 287, "three public program tables and IT7 + D = 46 + 212", "quoted"),
    ("H7/k6", "25 mm", "shaft", 2, 15, "four public program tables: k 2; IT6 13", "quoted"),
    (
        "H9/k8",
        "25 mm",
        "shaft",
        0,
        33,
        "Machine Drawing 2006, table 15.2, pp. 214-215: k beyond grades 4 to 7 is 0; table 15.1: IT8 33",
        "published",
    ),
    ("H7/t6", "550 mm", "shaft", 400, 444, "table 5 of a technical reference, 2020, p. 279: t 400 over 500 to 560; IT6 44", "published"),
    ("H7/d6", "3150 mm", "shaft", -655, -520, "table 5 of a technical reference, 2020, p. 279: d -520; IT6 135", "published"),
    # the usual pair
    ("H7/g6", "25 mm", "hole", 0, 21, "Machine Drawing 2006, table 15.1, p. 213: IT7 over 18 to 30 is 21", "published"),
    ("H7/g6", "25 mm", "shaft", -20, -7, "Machinery's Handbook 31, table 6a: G +7 over 18 to 30, mirrored; IT6 13", "published"),
]


@pytest.mark.parametrize(("designation", "size", "which", "lower", "upper", "source", "grade"), PRINTED)
def test_deviations_are_those_of_the_source(
    designation: str, size: str, which: str, lower: int | None, upper: int | None, source: str, grade: str
) -> None:
    found = fit(designation, parse_quantity(size))
    part = getattr(found, which)
    assert lower is None or part.lower == lower, source
    assert upper is None or part.upper == upper, source
    assert part.used[0].cell.grade == grade, source


def test_where_each_number_comes_from_is_told() -> None:
    hole = fit("P7/h6", parse_quantity("25 mm")).hole
    assert [used.what for used in hole.used] == ["deviation of P", "delta of IT7", "IT7"]
    assert [used.cell.value for used in hole.used] == [-22, 8, 21]
    assert all(used.cell.grade == "published" and used.cell.works for used in hole.used)
    assert fit("K6/h5", parse_quantity("8 mm")).grade == "quoted"  # its delta was read in program code only
    assert fit("T7/h6", parse_quantity("600 mm")).hole.grade == "derived"  # above 500 mm the shaft is mirrored


@pytest.mark.parametrize(
    ("size", "it7"),
    [("3 mm", 10), ("3.0001 mm", 12), ("18 mm", 18), ("18.0001 mm", 21), ("30 mm", 21), ("30.0001 mm", 25), ("500 mm", 63), ("500.0001 mm", 70)],
)
def test_a_step_runs_over_its_first_size_up_to_and_including_its_second(size: str, it7: int) -> None:
    assert iso286.tolerance("7", parse_quantity(size).to(iso286.MM)).value == it7


@pytest.mark.parametrize(
    ("size", "c"), [("40 mm", -120), ("40.001 mm", -130), ("50 mm", -130), ("65 mm", -140), ("65.001 mm", -150), ("450 mm", -440)]
)
def test_fine_steps_count_for_deviations(size: str, c: int) -> None:
    assert fit("H11/c11", parse_quantity(size)).shaft.upper == c


@pytest.mark.parametrize(("metric", "inch"), [("25.4 mm", "1 in"), ("57.15 mm", "2-1/4 in"), ("3.175 mm", "1/8 in"), ("30 mm", "30000 um")])
def test_a_size_and_its_twin_in_another_unit_have_one_fit(metric: str, inch: str) -> None:
    one, other = fit("H7/g6", parse_quantity(metric)), fit("H7/g6", parse_quantity(inch))
    assert (one.hole, one.shaft, one.over, one.upto) == (other.hole, other.shaft, other.over, other.upto)
    assert one.limits(one.hole) == other.limits(other.hole)


def test_limits_are_exact() -> None:
    found = fit("H7/g6", parse_quantity("2-1/4 in"))
    assert found.limits(found.hole) == (F("57.15"), F("57.18"))
    assert found.limits(found.shaft) == (F("57.121"), F("57.14"))
    assert (found.tightest, found.loosest) == (10, 59)


@pytest.mark.parametrize(
    ("designation", "size", "kind"),
    [("H7/h6", "25 mm", "clearance"), ("H7/k6", "25 mm", "transition"), ("H7/p6", "3 mm", "transition"), ("H7/p6", "25 mm", "interference"),
     ("H7/u6", "50 mm", "interference"), ("H6/p5", "5 mm", "interference")],
)  # fmt: skip
def test_the_kind_of_fit_is_by_arithmetic(designation: str, size: str, kind: str) -> None:
    assert fit(designation, parse_quantity(size)).kind == kind


@pytest.mark.parametrize(
    ("designation", "size", "message"),
    [
        ("H7/g6", "3150.001 mm", "up to and including 3150 mm; 3150 mm lies outside"),
        ("H7/g6", "0 mm", "over 0"),
        ("H7/g6", "-1 mm", "over 0"),
        ("H7/t6", "20 mm", "t6 is given over 24, up to 3150 mm; the step over 18, up to 24 mm lies outside"),
        ("H8/v7", "14 mm", "v7 is given over 14, up to 500 mm"),
        ("V7/h6", "800 mm", "V7 is given over 14, up to 500 mm"),
        ("H7/ef6", "12 mm", "ef6 is given over 0, up to 10 mm"),
        ("J9/h8", "20 mm", "J is given for grades 6, 7, 8, not 9"),
        ("H8/j9", "20 mm", "j is given for grades 5, 6, 7, 8, not 9"),
        ("H8/j8", "20 mm", "j8 is given over 0, up to 3 mm"),
        ("K10/h9", "5 mm", "K10 is given over 0, up to 3 mm"),
        ("P2/h2", "12 mm", "delta is on file for IT3 to IT8"),
        ("H01/h0", "600 mm", "IT01 is given up to 500 mm"),
        ("H14/h14", "1 mm", "IT14 to IT18 are given over 1 mm"),
        ("A9/h9", "1 mm", "A is given over 1 mm"),
        ("N9/h9", "1 mm", "N9 is given over 1 mm"),
        ("H7/m5", "600 mm", "m above 500 mm is given for grades 6 to 16, not 5"),
    ],
)
def test_what_lies_outside_is_refused_by_name(designation: str, size: str, message: str) -> None:
    with pytest.raises(OutsideTable) as refusal:
        fit(designation, parse_quantity(size))
    assert message.split("; 3150 mm")[0] in str(refusal.value)


@pytest.mark.parametrize(
    ("designation", "near"),
    [
        ("H7/q6", "H7/r6"),
        ("h7/g6", "H7/g6"),
        ("g6/H7", "H7/g6"),
        ("H7/G6", "H7/g6"),
        ("H7g6", "H7/g6"),
        ("RC10", "RC9"),
        ("LT0", "LT6"),
        ("H7/g19", "H7/g6"),
    ],
)
def test_an_unknown_fit_is_refused_with_near_matches(designation: str, near: str) -> None:
    with pytest.raises(UnknownDesignation) as refusal:
        fit(designation, parse_quantity("25 mm"))
    assert near in refusal.value.near


@pytest.mark.parametrize("designation", ["", " ", "H7/", "/g6", "7/6", "H7/g6; drop", "H7/g6" * 9, "H７/g6", "H7/g6\n/h7", "RC", "RC-"])
def test_nonsense_is_refused_and_not_guessed_at(designation: str) -> None:
    with pytest.raises(UnknownDesignation):
        fit(designation, parse_quantity("25 mm"))


@pytest.mark.parametrize("written", ["H7/g6", " H7/g6 ", "H7 g6", "H7-g6", "H 7 / g 6"])
def test_the_usual_ways_of_writing_a_fit_are_read(written: str) -> None:
    assert fit(written, parse_quantity("25 mm")).designation == "H7/g6"


def test_volts_are_no_size() -> None:
    with pytest.raises(DimensionError):
        fit("H7/g6", parse_quantity("25 V"))


def test_no_zone_is_upside_down_and_every_zone_is_as_wide_as_its_grade() -> None:
    for row_end in (3, 10, 24, 30, 65, 120, 180, 250, 315, 400, 500, 630, 1000, 3150):
        size = Quantity.of(row_end, "mm")
        for name in candidates():
            if "/" not in name:
                continue
            try:
                found = fit(name, size)
            except OutsideTable:
                continue
            for part in (found.hole, found.shaft):
                grade = part.zone.lstrip("ABCDEFGHJKMNPRSTUVXYZabcdefghjkmnprstuvxyz")
                assert part.upper - part.lower == iso286.tolerance(grade, F(row_end)).exact > 0, (name, row_end)


def test_a_fit_takes_less_than_50_microseconds() -> None:
    size = parse_quantity("2-1/4 in")
    fit("H7/g6", size)
    assert min(timeit.repeat(lambda: fit("H7/g6", size), number=1000, repeat=7)) / 1000 < 50e-6
