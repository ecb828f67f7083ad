"""Before and after: what changed, and whether the change is more than both doubts."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
import simplejson
from tests.papers.papers_of_demo import before_after
from tests.papers.sheets import bench, reading

from halfthou_service.bench.papers.comparison import Comparison, Row, compare, to_dict
from halfthou_service.bench.sheet import judge_sheet
from halfthou_specdb.quantity import Quantity


def both(before: list[dict[str, Any]], after: list[dict[str, Any]]) -> Comparison:
    at = bench()
    one, two = [reading(r) for r in before], [reading(r) for r in after]
    return compare(at, (judge_sheet(at, one), one), (judge_sheet(at, two), two))


def gap(value: str, u: str = "0.001", read_id: str = "x", **more: Any) -> dict[str, Any]:
    """End float [in] with an expanded uncertainty [in]."""
    return {"id": read_id, "characteristic": "crankshaft-end-float", "value": {"value": value, "unit": "in"},
            "expanded_uncertainty": {"value": u, "unit": "in"}, "coverage_factor": 2, **more}  # fmt: skip


def only(found: Comparison) -> Row:
    assert len(found.rows) == 1
    return found.rows[0]


@pytest.mark.parametrize(
    ("after", "change"),
    [
        ("0.036", "same"), ("0.0354", "same"), ("0.0374", "same"),  # root-sum-square of 1 and 1 thou: 1.41
        ("0.0345", "changed"), ("0.0375", "changed"), ("0.010", "changed"),
    ],
)  # fmt: skip
def test_a_change_is_real_past_both_doubts_together(after: str, change: str) -> None:
    assert only(both([gap("0.036")], [gap(after)])).change == change


def test_a_real_change_says_by_how_much_and_whether_for_the_better() -> None:
    row = only(both([gap("0.036")], [gap("0.010")]))
    assert (row.by, row.by_doubt, row.better) == ("-26 thou", "1.5 thou", "better")  # 1.41 rounded up
    assert row.difference == Quantity.of("-0.026", "in")
    assert "36 thou before, 10 thou after; changed (-26 thou, give or take 1.5 thou); better." in row.text


def test_the_same_figure_is_never_better_whatever_its_verdict() -> None:
    row = only(both([gap("0.0302", "0.002")], [gap("0.0299", "0.002")]))
    assert (row.change, row.better) == ("same", "")


def test_units_may_differ() -> None:
    mm = {"id": "y", "characteristic": "crankshaft-end-float", "value": {"value": "0.9144", "unit": "mm"},
          "expanded_uncertainty": {"value": "0.02", "unit": "mm"}, "coverage_factor": 2}  # fmt: skip
    assert only(both([gap("0.036")], [mm])).change == "same"


def test_words_are_compared_as_words() -> None:
    before = {"id": "x", "characteristic": "turnover-freedom", "finding": "tight in one place"}
    row = only(both([before], [{**before, "finding": "turns free"}]))
    assert (row.change, row.better) == ("words_changed", "better")
    assert only(both([before], [before])).change == "words_same"


def test_what_was_read_on_one_sheet_only_is_said() -> None:
    assert only(both([gap("0.036")], [])).change == "only_before"
    row = only(both([], [gap("0.010")]))
    assert (row.change, row.text) == ("only_after", "Crankshaft end float: 10 thou; not read before.")


def test_places_are_kept_apart() -> None:
    left = gap("0.036", place={"instance": "left"})
    right = gap("0.010", place={"instance": "right"})
    assert sorted(r.change for r in both([left], [right]).rows) == ["only_after", "only_before"]


def test_a_place_named_less_exactly_is_the_only_one_it_can_be() -> None:
    exact = gap("0.036", place={"instance": "shaft", "station": "gear end"})
    loose = gap("0.010", place={"instance": "shaft"})
    assert only(both([exact], [loose])).change == "changed"
    two = [exact, gap("0.035", read_id="z", place={"instance": "shaft", "station": "far end"})]
    assert len(both(two, [loose]).rows) == 3


def test_rows_come_in_the_order_of_stripping() -> None:
    names = [r.assembly for r in before_after().rows]
    assert names.index("Crankshaft") > names.index("Connecting rod")


def test_the_demonstration_shows_its_shaft_straightened_and_its_corner_cut() -> None:
    rows = {(r.characteristic, r.place): r for r in before_after().rows}
    runout = rows["crankshaft-runout", "gear-side flywheel seat"]
    assert (runout.change, runout.better) == ("changed", "better")
    corner = rows["journal-fillet-radius", "crankpin"]
    assert corner.change == "changed"
    assert before_after().text.startswith(f"{sum(r.change in ('changed', 'words_changed') for r in rows.values())} changed")


def test_two_equal_sheets_say_that_nothing_changed() -> None:
    assert both([gap("0.036")], [gap("0.036")]).text == "Nothing changed by more than the tools can tell; 1 the same."


def test_plain_values() -> None:
    found = simplejson.loads(simplejson.dumps(to_dict(both([gap("0.036")], [gap("0.010")])), use_decimal=True), use_decimal=True)
    assert found["rows"][0]["difference"] == {"value": Decimal("-0.026"), "unit": "in"}
    assert found["counts"] == {"changed": 1}
