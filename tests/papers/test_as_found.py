"""The as-found sheet: what is lost with the first turn, and its way back as CSV."""

from __future__ import annotations

import csv
import io
from decimal import Decimal
from typing import Any

import pytest
import simplejson
from tests.papers.papers_of_demo import as_found
from tests.papers.sheets import bench, reading, table

from halfthou_service.bench.papers import as_found_csv
from halfthou_service.bench.papers.as_found_csv import Filled
from halfthou_service.bench.papers.as_found_sheet import MARKS, PACKS, READ_FIRST, to_dict
from halfthou_service.bench.papers.assemblies import STRIP_ORDER
from halfthou_service.bench.papers.csv_rows import CsvProblem
from halfthou_service.bench.sheet import judge_sheet
from halfthou_service.pages import as_found_csv_text
from halfthou_specdb.quantity import Quantity, parse_quantity


def filled(**boxes: str) -> Filled:
    """The blank sheet with some boxes written in: ``characteristic__instance__station`` or ``mark__id``."""
    rows = list(csv.DictReader(io.StringIO(as_found_csv_text(as_found()))))
    for row in rows:
        key = "__".join(x for x in (row["characteristic"], row["instance"], row["station"]) if x).replace(" ", "_").replace("-", "_")
        key = f"mark__{row['id'].removeprefix('mark-').replace('-', '_')}" if row["characteristic"] == "mark" else key
        given = boxes.get(key)
        if given is not None:
            row["finding" if not row["unit"] and row["characteristic"] != "mark" else "value"] = given
    out = io.StringIO()
    writer = csv.DictWriter(out, rows[0].keys())
    writer.writeheader()
    writer.writerows(rows)
    return as_found_csv.read(out.getvalue())


def test_it_asks_for_leaves_on_every_side_of_every_cap() -> None:
    packs = {(p.characteristic, p.instance) for s in as_found().sections for p in s.packs}
    assert packs == {(w, place) for w in PACKS for place in table().characteristics[w].instances}
    assert len(packs) == 6


def test_marks_and_positions_stand_under_assemblies_that_exist() -> None:
    assert set(MARKS) <= {a.id for a in STRIP_ORDER}
    ids = [m.id for marks in MARKS.values() for m in marks]
    assert len(ids) == len(set(ids))
    shown = {m.id for s in as_found().sections for m in s.marks}
    assert set(ids) == shown


def test_it_knows_only_what_the_table_knows() -> None:
    assert set(READ_FIRST) | set(PACKS) <= set(table().characteristics)


def test_every_finding_as_found_has_its_words_to_tick() -> None:
    found = {f.characteristic: f.words for s in as_found().sections for f in s.findings}
    assert "hairline from keyway" in found["flywheel-hub-crack"]
    assert all(len(words) >= 2 for words in found.values())


def test_an_empty_sheet_comes_back_empty_and_names_its_boxes() -> None:
    back = filled()
    assert back.readings == ()
    assert back.packs == {}
    assert "crankshaft-end-float" in back.empty
    assert "mark-gear-marks" in back.empty


def test_leaves_are_added_up_to_a_pack_of_their_side() -> None:
    back = filled(rod_shim_pack__left_side__leaf_1="62", rod_shim_pack__left_side__leaf_2="5", rod_shim_pack__right_side__leaf_1="0.062 in")
    assert back.packs["rod-shim-pack", "left side"] == Quantity.of(67, "thou")
    assert back.packs["rod-shim-pack", "right side"].canonical == parse_quantity("62 thou").canonical
    row = dict(zip(as_found_csv.COLUMNS, back.readings[0], strict=True))
    assert (row["value"], row["unit"], row["instance"], row["note"]) == ("67", "thou", "left side", "2 leaves: 62 thou, 5 thou")


def test_findings_sizes_and_marks_go_their_own_ways() -> None:
    back = filled(turnover_freedom="turns free", crankshaft_end_float="36", mark__gear_marks="found", mark__needle_turns="1-1/4")
    rows = {r[1]: dict(zip(as_found_csv.COLUMNS, r, strict=True)) for r in back.readings}
    assert rows["turnover-freedom"]["finding"] == "turns free"
    assert rows["turnover-freedom"]["note"] == ""
    float_row = rows["crankshaft-end-float"]
    assert (float_row["value"], float_row["unit"], float_row["state"]) == ("36", "thou", "as_found")
    assert back.marks["gear-marks"] == "found"
    assert back.marks["needle-turns"] == "1-1/4"


def test_what_came_back_can_be_judged() -> None:
    back = filled(turnover_freedom="binds", crankshaft_end_float="36", rod_shim_pack__left_side__leaf_1="62")
    found = []
    for row in back.readings:
        cells = dict(zip(as_found_csv.COLUMNS, row, strict=True))
        raw: dict[str, Any] = {"id": cells["id"], "characteristic": cells["characteristic"], "place": {"instance": cells["instance"]}}
        raw |= {"finding": cells["finding"]} if cells["finding"] else {"value": {"value": Decimal(cells["value"]), "unit": cells["unit"]}}
        found.append(reading(raw))
    verdicts = {i.characteristic: i.verdict for i in judge_sheet(bench(), found).items}
    assert verdicts == {"turnover-freedom": "stop", "crankshaft-end-float": "beyond_limit", "rod-shim-pack": "typical"}


def test_columns_are_those_the_service_reads() -> None:
    from halfthou_service.http.csv_readings import COLUMNS

    assert set(as_found_csv.COLUMNS) <= set(COLUMNS)


def test_units_of_the_blank_sheet_are_units_of_the_table() -> None:
    from halfthou_specdb.units import unit_named

    for system in ("inch", "metric"):
        for row in as_found_csv.rows(as_found(system))[1:]:
            unit = row[as_found_csv.COLUMNS.index("unit")]
            if unit:
                unit_named(unit)


@pytest.mark.parametrize(("text", "says"), [("", "no column called characteristic"), ("id,value\nx,3\n", "no column called characteristic")])
def test_another_table_is_refused(text: str, says: str) -> None:
    with pytest.raises(CsvProblem, match=says):
        as_found_csv.read(text)


def test_a_leaf_that_is_no_thickness_is_refused_by_line() -> None:
    with pytest.raises(CsvProblem, match="line 2, value"):
        as_found_csv.read("characteristic,value,unit,instance,station\nrod-shim-pack,thick,thou,left side,leaf 1\n")


def test_plain_values() -> None:
    found = simplejson.loads(simplejson.dumps(to_dict(as_found()), use_decimal=True))
    rod = next(s for s in found["sections"] if s["assembly"] == "rod")
    assert [p["side"] for p in rod["shims"]] == ["left side", "right side"]
    assert rod["shims"][0]["leaves"] == [None] * 5


# -- angles, tools, and what is not fitted ---------------------------------------------------------------------------

HEAD = "id,characteristic,value,unit,finding,relative,along,note\n"
SPARK = "igniter-timing-start"


def spark(value: str, relative: str, along: str = "rim-arc", unit: str = "in") -> str:
    return f"{HEAD}f1,{SPARK},{value},{unit},,{relative},{along},\n"


@pytest.mark.parametrize("relative", ["before or after", "", "beside", "before after"])
@pytest.mark.parametrize("sided", [(), {SPARK}])
def test_an_angle_without_its_side_of_the_dead_centre_is_refused_by_line(relative: str, sided: Any) -> None:
    with pytest.raises(CsvProblem, match="line 2, relative: say before or after the dead centre"):
        as_found_csv.read(spark("0.3", relative), sided)


@pytest.mark.parametrize(("said", "kept"), [("before", "before"), ("After", "after"), ("B", "before"), ("a", "after")])
def test_an_angle_with_its_side_comes_back_with_it(said: str, kept: str) -> None:
    (row,) = as_found_csv.read(spark("0.3", said)).readings
    assert dict(zip(as_found_csv.COLUMNS, row, strict=True))["relative"] == kept


def test_degrees_need_their_side_too_and_none_is_needed_on_the_dead_centre_or_in_an_empty_box() -> None:
    with pytest.raises(CsvProblem, match="line 2, relative"):
        as_found_csv.read(spark("12", "", along="", unit="deg"), {SPARK})
    assert as_found_csv.read(spark("0", "before or after"), {SPARK}).readings[0][as_found_csv.COLUMNS.index("relative")] == ""
    assert as_found_csv.read(spark("", "before or after"), {SPARK}).empty == (SPARK,)


@pytest.mark.parametrize(("system", "unit", "told"), [("inch", "in", "inches on the rim"), ("metric", "mm", "mm on the rim")])
def test_every_angle_is_asked_as_a_length_on_the_rim_with_its_side(system: Any, unit: str, told: str) -> None:
    sheet = as_found(system)
    angles = [r for s in sheet.sections for r in s.readings if table().characteristics[r.characteristic].sign]
    assert {r.unit for r in angles} == {told}
    assert {r.characteristic for r in angles} >= {"igniter-timing", SPARK, "exhaust-valve-opening", "exhaust-valve-closing"}
    rows = [dict(zip(as_found_csv.COLUMNS, row, strict=True)) for row in as_found_csv.rows(sheet)[1:]]
    asked = [row for row in rows if row["characteristic"] in {r.characteristic for r in angles}]
    assert {(row["unit"], row["relative"], row["along"]) for row in asked} == {(unit, "before or after", "rim-arc")}
    boxes = {m.id: m.box for s in sheet.sections for m in s.marks}
    assert (boxes["spark-rim-mark"], boxes["exhaust-events"]) == (told, told)


def test_the_form_names_the_usual_tool_of_each_size_and_says_where_to_write() -> None:
    rows = [dict(zip(as_found_csv.COLUMNS, row, strict=True)) for row in as_found_csv.rows(as_found())[1:]]
    sizes = [row for row in rows if row["unit"]]
    usual = {row["characteristic"]: table().characteristics[row["characteristic"]].usual_instrument for row in sizes}
    # Two tools are named for the mains, since the usual one can prove no new fit there: which was used is for the reader to write.
    assert {row["characteristic"]: row["instrument"] for row in sizes} == usual | {"main-bearing-running-clearance": ""}
    assert all("write it under value" in row["note"] for row in rows if row["characteristic"] == "mark")
    assert all(row["note"].startswith("under finding, one of: ") for row in rows if row["state"] and not row["unit"])
    assert "not fitted" in rows[0]["note"]


def test_a_filled_size_and_a_pack_bring_their_tool_along() -> None:
    back = filled(crankshaft_end_float="36", rod_shim_pack__left_side__leaf_1="62")
    tools = {row[1]: row[as_found_csv.COLUMNS.index("instrument")] for row in back.readings}
    assert tools == {what: table().characteristics[what].usual_instrument for what in ("crankshaft-end-float", "rod-shim-pack")}
    assert all(tools.values())


def test_what_is_not_fitted_is_told_beside_and_a_dash_leaves_a_box_empty() -> None:
    back = as_found_csv.read(f"{HEAD}f1,turnover-freedom,,,Not fitted,,,\nf2,crankshaft-end-float,not fitted,thou,,,,\n"
                             "f3,flywheel-hub-crack,,,'-,,,\nf4,valve-lash-exhaust,-,thou,,,,\n")  # fmt: skip
    assert back.readings == ()
    assert back.not_fitted == ("turnover-freedom", "crankshaft-end-float")
    assert back.empty == ("flywheel-hub-crack", "valve-lash-exhaust")


def test_a_word_under_value_is_sent_to_its_column() -> None:
    form = as_found_csv_text(as_found()).replace(",turnover-freedom,,", ",turnover-freedom,turns free,")
    with pytest.raises(CsvProblem, match="value: this is told in words: write one of them under finding"):
        as_found_csv.read(form)
