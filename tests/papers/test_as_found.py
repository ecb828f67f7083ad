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
