"""Standard look-ups: numbers typed from the sources; steps, neighbours, refusals."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from halfthou_specdb.errors import DimensionError, QuantityError, UnknownId
from halfthou_specdb.quantity import parse_quantity
from halfthou_specdb.standards import TABLES, Answer, NotPublished, OutsideTable
from halfthou_specdb.standards.keys import chord_height
from halfthou_specdb.standards.load import table as rows_of


def ask(table: str, **given: Any) -> Answer:
    """Lengths are told by a unit, everything else goes as it is."""
    kinds = {parameter.name: parameter.kind for parameter in TABLES[table].parameters}
    read: dict[str, Callable[[str], Any]] = {"length": parse_quantity, "number": Decimal}
    return TABLES[table].find(**{name: read.get(kinds[name], str)(value) for name, value in given.items()})


# table, question, column, value, unit; source and locator; grade
PRINTED = [
    ("sieve-cloth", {"sieve": "No. 80"}, "opening", "180", "um", "table of sieve openings No. 12 to 635", "published"),
    ("sieve-cloth", {"sieve": "80"}, "wire", "0.125", "mm", "program tables after ISO 3310-1", "quoted"),
    ("sieve-cloth", {"mesh": "4"}, "opening", "4750", "um", "ASTM E11-01, table 1", "published"),
    ("sieve-cloth", {"sieve": "200"}, "opening", "75", "um", "program tables after ASTM E11-17", "quoted"),
    ("sieve-cloth", {"sieve": "200"}, "older_opening", "74", "um", "glossary of older values", "published"),
    ("sieve-cloth", {"mesh": "40"}, "opening", "425", "um", "table of sieve openings", "published"),
    ("keys", {"shaft": "1-7/16 in"}, "width", "0.375", "in", "Shop Reference 2000, table 1", "published"),
    ("keys", {"shaft": "1-7/16 in"}, "s_square", "1.225", "in", "Machinery's Handbook 31, table 2, p. 2552", "published"),
    ("keys", {"shaft": "0.5 in"}, "t_parallel_square", "0.56", "in", "Machinery's Handbook 31, table 2, p. 2552", "published"),
    ("keys", {"shaft": "3 in"}, "s_square", "2.5774", "in", "by the formula D - Y - H/2: 3 - 0.04763 - 0.375", "derived"),
    ("woodruff-keys", {"key": "608"}, "height_high", "0.438", "in", "Machinery's Handbook 31, table 8, p. 2557", "published"),
    ("key-fits", {"width": "3/8 in", "shape": "square", "fit_class": "1"}, "side_loosest", "0.004", "in", "table of class 1 fits", "published"),
    ("key-fits", {"width": "3/8 in", "shape": "square", "fit_class": "2"}, "side_tightest", "-0.001", "in", "recalled", "from-memory"),
    ("gear-backlash", {"pitch": "8", "centres": "7 in"}, "backlash_low", "0.01", "in", "AGMA table, 6 to 9.99, over 5 to 10 in", "published"),
    ("bevel-gear-backlash", {"pitch": "9"}, "quality_7_13_high", "0.005", "in", "AGMA table, 8 to 10", "published"),
    ("threads", {"size": "1/2", "series": "UNC"}, "tensile_area", "0.1419", "in2", "table of UNC dimensions", "published"),
    ("threads", {"size": "7/16", "series": "UNC"}, "tensile_area", "0.1063", "in2", "table of UNC dimensions, and the formula", "published"),
    ("bolt-strength", {"strength": "grade 5"}, "proof", "85000", "psi", "tables of SAE J429", "published"),
    (
        "tightening",
        {"size": "1/2", "tpi": "13", "strength": "2", "surface": "dry"},
        "torque",
        "49",
        "lbf.ft",
        "table of SAE J429, K 0.20",
        "published",
    ),
    (
        "tightening",
        {"size": "1/2", "tpi": "13", "strength": "2", "surface": "oiled"},
        "torque",
        "37",
        "lbf.ft",
        "table of SAE J429, K 0.15",
        "published",
    ),
    (
        "tightening",
        {"size": "1/4", "tpi": "20", "strength": "5", "surface": "dry"},
        "torque",
        "101",
        "lbf.in",
        "table of SAE J429, K 0.20",
        "published",
    ),
    ("tightening", {"size": "1/2", "strength": "1"}, "torque", "29.3", "lbf.ft", "from a remembered proof strength", "from-memory"),
    (
        "shim-stock",
        {"kind": "flange shims, one engine class", "thickness": "0.008 in"},
        "thickness",
        "0.008",
        "in",
        "TM 5-6115-400-35, table 1",
        "published",
    ),
    ("shim-stock", {"kind": "brass or steel roll", "thickness": "0.002 in"}, "thickness", "0.002", "in", "recalled", "from-memory"),
    ("oversizes", {"what": "rod-bearing insert"}, "amount", "0.01", "in", "TM 5-3805-254-14&P-2, p. 133", "published"),
    ("materials", {"material": "steel 1020"}, "low", "11.7", "um/m/K", "Callister, table B.6", "published"),
    ("roughness", {"process": "honing"}, "ra_high_inch", "32", "uin", "table of ranges by process", "published"),
    ("tolerance-grades", {"size": "25 mm"}, "it7", "21", "um", "Machine Drawing 2006, table 15.1, p. 213", "published"),
]


@pytest.mark.parametrize(("table", "question", "column", "value", "unit", "source", "grade"), PRINTED)
def test_numbers_are_those_of_the_source(table: str, question: dict[str, str], column: str, value: str, unit: str, source: str, grade: str) -> None:
    cell = next(row.cells[column] for row in ask(table, **question).rows if column in row.cells)
    assert (cell.value, cell.unit, cell.grade) == (Decimal(value), unit, grade), source
    assert bool(cell.works) == (grade != "from-memory")


@pytest.mark.parametrize("table", TABLES)
def test_every_row_has_only_columns_that_are_described(table: str) -> None:
    described = {column.name for column in TABLES[table].columns}
    answer = TABLES[table].find()
    assert answer.rows
    used = {name for row in answer.rows for name in (*row.words, *row.cells)}
    depths = {"s_square", "s_rectangular", "t_parallel_square", "t_parallel_rectangular", "t_taper_square", "t_taper_rectangular"}
    assert used <= described
    assert described - used <= (depths if table == "keys" else set())
    for row in answer.rows:
        assert all(cell.grade for cell in row.cells.values())


# -- cloth ---------------------------------------------------------------------------------------------------------


def test_a_sieve_number_is_not_a_count() -> None:
    row = ask("sieve-cloth", mesh="80").rows[0]
    assert row.words["cloth"] == "No. 80"
    assert row.cells["mesh"].value == Decimal("83.2787")
    assert row.cells["mesh"].exact == pytest.approx(Fraction(25400, 305), rel=1e-5)
    assert row.cells["open_area"].grade == "derived"


def test_mesh_finds_the_sieve_of_that_number_and_the_cloth_of_that_count() -> None:
    assert [row.words["cloth"] for row in ask("sieve-cloth", mesh="40").rows] == ["No. 40", "40 mesh"]
    cloth = ask("sieve-cloth", mesh="40").rows[1]
    assert (cloth.cells["opening"].value, cloth.cells["open_area"].value) == (381, 36)  # 1/40 - 0.010 in = 0.015 in


def test_between_two_the_neighbours_are_told() -> None:
    assert [row.words["cloth"] for row in ask("sieve-cloth", mesh="90").rows] == ["No. 80", "100 mesh"]
    openings = [row.cells["opening"].value for row in ask("sieve-cloth", opening="170 um").rows]
    assert openings == [150, 180]
    assert [row.cells["opening"].value for row in ask("sieve-cloth", opening="0.18 mm").rows] == [180]


def test_older_openings_are_named_as_such_only_where_they_differ() -> None:
    answer = ask("sieve-cloth", sieve="100")
    assert answer.rows[0].cells["older_opening"].value == 149
    assert any("older_opening" in note for note in answer.notes)
    assert "older_opening" not in ask("sieve-cloth", sieve="60").rows[0].cells


@pytest.mark.parametrize("question", [{"mesh": "3"}, {"mesh": "1000"}, {"opening": "1 in"}, {"opening": "5 um"}])
def test_cloth_that_is_not_on_the_list_is_refused(question: dict[str, str]) -> None:
    with pytest.raises(OutsideTable, match="on file"):
        ask("sieve-cloth", **question)
    with pytest.raises(UnknownId):
        ask("sieve-cloth", sieve="81")


# -- keys ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("shaft", "width"), [("9/16 in", "0.125"), ("0.5626 in", "0.1875"), ("7/8 in", "0.1875"), ("22.226 mm", "0.25"), ("6-1/2 in", "1.5")]
)
def test_a_key_step_runs_over_its_first_shaft_up_to_and_including_its_second(shaft: str, width: str) -> None:
    assert ask("keys", shaft=shaft).rows[0].cells["width"].value == Decimal(width)


def test_the_formula_meets_every_printed_depth_within_half_a_thou() -> None:
    for row in rows_of("key-depths"):
        shaft = row.cells["shaft_in"].exact
        key = ask("keys", shaft=f"{row.cells['shaft_in'].value} in").rows[0].cells
        middle = shaft - chord_height(shaft, key["width"].exact)
        for end in ("square", "rectangular"):
            half = key[f"height_{end}"].exact / 2
            for name, value in (
                ("s", middle - half),
                ("t_parallel", middle + half + Fraction("0.005")),
                ("t_taper", middle + half - Fraction("0.02")),
            ):
                assert abs(row.cells[f"{name}_{end}_in"].exact - value) <= Fraction("0.00051"), (shaft, name, end)


@pytest.mark.parametrize("shaft", ["0.3125 in", "6.51 in", "0 in"])
def test_a_shaft_without_a_key_is_refused(shaft: str) -> None:
    with pytest.raises(OutsideTable, match=r"over 0\.3125, up to and including 6\.5 in"):
        ask("keys", shaft=shaft)


def test_class_2_says_that_it_is_from_memory() -> None:
    answer = ask("key-fits", width="1/2 in", fit_class="2")
    assert any("from memory" in note for note in answer.notes)
    assert {cell.grade for row in answer.rows for cell in row.cells.values()} == {"from-memory"}
    assert not any("from memory" in note for note in ask("key-fits", width="1/2 in", fit_class="1").notes)


# -- gears ---------------------------------------------------------------------------------------------------------


def test_a_module_is_a_pitch() -> None:
    assert ask("gear-backlash", module="3.175 mm", centres="7 in").rows == ask("gear-backlash", pitch="8", centres="7 in").rows


def test_the_average_by_pitch_alone_is_from_memory() -> None:
    rows = [row for row in ask("gear-backlash", pitch="8").rows if row.words["kind"] == "average"]
    assert [row.cells["backlash_low"].grade for row in rows] == ["from-memory"]


@pytest.mark.parametrize(("pitch", "low"), [("1.99", "0.05"), ("1.995", "0.05"), ("2", "0.04"), ("3.495", "0.04"), ("3.5", "0.035")])
def test_no_pitch_falls_between_two_ranges(pitch: str, low: str) -> None:
    rows = [row for row in ask("gear-backlash", pitch=pitch, centres="45 in").rows if row.words["kind"] == "range"]
    assert [row.cells["backlash_low"].value for row in rows] == [Decimal(low)]


def test_a_bevel_pitch_at_an_edge_gets_both_rows_and_is_told_so() -> None:
    answer = ask("bevel-gear-backlash", pitch="8")
    assert len(answer.rows) == 2
    assert any("both are told" in note for note in answer.notes)


@pytest.mark.parametrize(
    ("question", "error"),
    [
        ({"pitch": "0.4"}, OutsideTable),
        ({"pitch": "100"}, OutsideTable),
        ({"pitch": "8", "centres": "2 in"}, OutsideTable),
        ({"pitch": "0"}, QuantityError),
        ({"module": "-3 mm"}, QuantityError),
        ({"pitch": "8", "module": "3 mm"}, QuantityError),
        ({"module": "3 V"}, DimensionError),
    ],
)
def test_gears_outside_the_table_are_refused(question: dict[str, str], error: type[Exception]) -> None:
    with pytest.raises(error):
        ask("gear-backlash", **question)


# -- fasteners -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("into", ["grey-iron", "other"])
@pytest.mark.parametrize("size", ["1/2", ""])
def test_threads_in_old_grey_iron_get_no_figure(into: str, size: str) -> None:
    with pytest.raises(NotPublished, match="so none is given") as refusal:
        ask("tightening", into=into, **({"size": size} if size else {}))
    assert "by hand" in refusal.value.instead
    assert not any(letter.isdigit() for letter in str(refusal.value))


def test_a_steel_nut_is_assumed_and_said_to_be() -> None:
    assert any("assumed" in note for note in ask("tightening", size="1/2").notes)
    assert not any("assumed" in note for note in ask("tightening", size="1/2", into="steel").notes)


def test_torque_is_nut_factor_times_diameter_times_clamp() -> None:
    sizes = {row.words["size"]: row.cells["diameter"].exact for row in ask("threads").rows}
    for row in ask("tightening", into="steel").rows:
        torque = row.cells["torque"]
        inch_pounds = torque.exact * (12 if torque.unit == "lbf.ft" else 1)
        worked = row.cells["nut_factor"].exact * sizes[row.words["size"]] * row.cells["clamp_load"].exact
        assert abs(inch_pounds - worked) <= max(worked * Fraction("0.02"), 12), row.words


def test_an_oiled_thread_never_takes_more_torque_than_a_dry_one() -> None:
    for size in ("1/4", "3/8", "1/2", "3/4", "1"):
        for strength in ("2", "5", "8"):
            rows = ask("tightening", size=size, strength=strength, into="steel").rows
            for dry in (row for row in rows if row.words["surface"] == "dry"):
                oiled = next(
                    r for r in rows if r.words["surface"] == "oiled" and r.cells["threads_per_inch"].value == dry.cells["threads_per_inch"].value
                )
                assert oiled.cells["torque"].value < dry.cells["torque"].value


def test_an_old_bolt_gets_a_ceiling_that_says_it_is_from_memory() -> None:
    answer = ask("tightening", size="1/2", strength="1")
    assert {cell.grade for row in answer.rows for cell in row.cells.values()} == {"from-memory"}
    assert any("never a target" in note for note in answer.notes)


@pytest.mark.parametrize("written", ["1/2", "1/2 in", '1/2"', " 1/2 "])
def test_the_usual_ways_of_writing_a_thread_are_read(written: str) -> None:
    assert {row.words["size"] for row in ask("threads", size=written).rows} == {"1/2"}
    assert {row.words["size"] for row in ask("threads", size="1-1/8").rows} == {"1 1/8"}
    assert {row.words["size"] for row in ask("threads", size="10").rows} == {"#10"}


def test_unknown_fasteners_are_refused_with_near_matches() -> None:
    with pytest.raises(UnknownId) as refusal:
        ask("threads", size="15/16")
    assert "9/16" in refusal.value.near
    with pytest.raises(UnknownId):
        ask("tightening", strength="12")
    with pytest.raises(OutsideTable, match="threads per inch on file here: 13, 20; not 12"):
        ask("threads", size="1/2", tpi="12")
    with pytest.raises(OutsideTable, match="strength 2 is on file for other sizes"):
        ask("tightening", size="1 1/2", strength="2")


# -- stock ---------------------------------------------------------------------------------------------------------


def test_shims_next_to_a_thickness_are_told() -> None:
    rows = ask("shim-stock", kind="precut stainless shims", thickness="0.012 in").rows
    assert [row.cells["thickness"].value for row in rows] == [Decimal("0.01"), Decimal("0.015")]
    assert [row.cells["thickness"].value for row in ask("shim-stock", kind="precut stainless shims", thickness="0.254 mm").rows] == [
        Decimal("0.01")
    ]


def test_materials_are_told_work_by_work() -> None:
    rows = ask("materials", family="grey iron", quantity="expansion").rows
    assert [(row.cells["low"].value, row.cells["high"].value) for row in rows] == [
        (Decimal("11.4"), Decimal("11.4")),
        (Decimal("10.8"), Decimal("10.8")),
        (Decimal("10.8"), Decimal("10.8")),
        (Decimal("9.9"), Decimal(12)),
    ]
    assert len({row.cells["low"].works for row in rows}) == 4


@pytest.mark.parametrize(
    ("table", "question", "near"),
    [
        ("roughness", {"process": "hone"}, "honing"),
        ("shim-stock", {"kind": "bras or steel rol"}, "brass or steel roll"),
        ("materials", {"family": "gray iron"}, "grey iron"),
    ],
)
def test_an_unknown_word_is_refused_with_near_matches(table: str, question: dict[str, str], near: str) -> None:
    with pytest.raises(UnknownId) as refusal:
        ask(table, **question)
    assert near in refusal.value.near
