"""Before and after: what changed, and whether the change is more than both doubts."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
import simplejson
from tests.papers.papers_of_demo import before_after
from tests.papers.sheets import bench, judged, reading

from halfthou_service.bench.papers.comparison import Comparison, Row, by_state, compare, to_dict
from halfthou_service.bench.papers.figures import to_doubt
from halfthou_service.bench.sheet import judge_sheet
from halfthou_service.bench.surveys.survey import Survey
from halfthou_service.pages import comparison_markdown, comparison_page
from halfthou_specdb.quantity import Quantity, parse_quantity
from halfthou_specdb.units import UNITS


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
    stop, _, rest = before_after().text.partition(". ")
    assert stop.startswith("STOP: ")
    assert "(gear side, keyway corner), not read again" in stop
    assert rest.startswith(f"{sum(r.change in ('changed', 'words_changed') for r in rows.values())} changed")


def timed(what: str, value: str, unit: str, side: str) -> dict[str, Any]:
    """A reading told from a dead centre, good to 1 deg or 0.1 in on the rim."""
    doubt = {"value": "1" if unit == "deg" else "0.1", "unit": unit}
    found = {"id": "t", "characteristic": what, "value": {"value": value, "unit": unit}, "relative": side, "expanded_uncertainty": doubt}
    return found if unit == "deg" else {**found, "along": "rim-arc"}


# By hand: what is after dead centre counts against what is before it, so the two add where the side changed.
@pytest.mark.parametrize(
    ("what", "first", "then", "change", "by", "difference"),
    [
        ("igniter-timing-start", ("0.8", "in", "after"), ("0.8", "in", "before"), "changed", "1.6 in earlier", ("-1.6", "in")),
        ("igniter-timing-start", ("2", "in", "before"), ("1", "in", "after"), "changed", "3 in later", ("3", "in")),
        ("igniter-timing", ("2", "in", "before"), ("1", "in", "after"), "changed", "3 in later", ("-3", "in")),
        ("exhaust-valve-closing", ("5", "deg", "before"), ("5", "deg", "after"), "changed", "10° later", ("10", "deg")),
        ("exhaust-valve-closing", ("5", "deg", "after"), ("5", "deg", "after"), "same", "0°", ("0", "deg")),
    ],
)  # fmt: skip
def test_the_side_of_dead_centre_is_part_of_the_figure(what: str, first: Any, then: Any, change: str, by: str, difference: Any) -> None:
    row = only(both([timed(what, *first)], [timed(what, *then)]))
    assert (row.change, row.by, row.difference) == (change, by, Quantity.of(*difference))
    assert f"first {first[0]}" in row.text
    assert f"{first[2]} dead centre, then {then[0]}" in row.text
    assert " before, " not in row.text


def test_degrees_and_inches_on_the_rim_are_compared_as_angles() -> None:
    """Wheel of the demonstration: its diameter D; s inches of arc are 360 s / (pi D) degrees."""
    wheel = float(bench().engine.dimensions["flywheel"].to(UNITS["in"]))
    row = only(both([timed("igniter-timing", "2", "in", "before")], [timed("igniter-timing", "0", "deg", "")]))
    assert row.difference is not None
    assert row.difference.unit.token == "deg"
    assert float(row.difference.exact) == pytest.approx(-360 * 2 / (math.pi * wheel), rel=1e-9)
    assert row.after is not None
    assert row.after.told == "on dead centre"


def test_a_place_that_stops_says_so_in_its_row_and_on_top() -> None:
    found = both([timed("igniter-timing-start", "0.8", "in", "after")], [timed("igniter-timing-start", "0.8", "in", "before")])
    row = only(found)
    assert row.after is not None
    assert row.after.verdict == "stop"
    assert row.better == "worse"
    assert row.text.startswith("STOP. ")
    assert found.text.startswith(f"STOP: {row.name[0].lower()}{row.name[1:]}. 1 changed")
    assert "STOP" in comparison_markdown(found)
    assert ">STOP</span>" in comparison_page(found)


def test_a_gap_read_on_one_side_and_then_as_the_whole_is_one_gap() -> None:
    side = {"id": "r", "characteristic": "rod-bearing-running-clearance", "value": {"value": "2", "unit": "thou"}, "basis": "radial",
            "place": {"instance": "rod"}, "expanded_uncertainty": {"value": "0.2", "unit": "thou"}}  # fmt: skip
    whole = {**side, "value": {"value": "4", "unit": "thou"}, "basis": ""}
    assert only(both([side], [whole])).difference == Quantity.of("0", "thou")


@pytest.mark.parametrize(("value", "expanded", "told"), [
    ("-23.4330708661", 1.41, "23.4 thou"), ("1.43070866142", 0.2, "1.43 thou"), ("26", 1.5, "26 thou"), ("1234.5", 130.0, "1230 thou"),
])  # fmt: skip
def test_a_difference_is_told_to_the_two_figures_of_its_doubt(value: str, expanded: float, told: str) -> None:
    assert str(to_doubt(abs(Fraction(value)), expanded, UNITS["thou"], "inch")) == told


def test_two_equal_sheets_say_that_nothing_changed() -> None:
    assert both([gap("0.036")], [gap("0.036")]).text == "Nothing changed by more than the tools can tell; 1 the same."


def test_plain_values() -> None:
    found = simplejson.loads(simplejson.dumps(to_dict(both([gap("0.036")], [gap("0.010")])), use_decimal=True), use_decimal=True)
    assert found["rows"][0]["difference"] == {"value": Decimal("-0.026"), "unit": "in"}
    assert found["counts"] == {"changed": 1}


def test_a_stop_among_the_readings_of_a_place_stands() -> None:
    crack = {"id": "c", "characteristic": "flywheel-hub-crack", "finding": "hairline from keyway", "place": {"instance": "gear side"}}
    sound = {**crack, "id": "s", "finding": "none found"}
    at, first, before = judged([reading(sound)])
    _, second, after = judged([reading(crack), reading({**sound, "id": "t"})])
    found = compare(at, (first, before), (second, after))
    assert "STOP" in found.text
    assert [r.after.verdict for r in found.rows if r.after] == ["stop"]


def test_one_sheet_parts_its_surveys_by_state_too() -> None:
    """A bore surveyed as found and, 20 thou larger, as made: what follows from both is compared."""
    def bore(name: str, more: str, state: str) -> Survey:
        sizes = {("top", "thrust"): f"5.26{more} in", ("below", "thrust"): f"5.25{more} in"}
        return Survey(name, "cylinder-bore", {k: (parse_quantity(v),) for k, v in sizes.items()}, instrument="dial-bore-gauge", state=state)

    at = bench()
    answer = judge_sheet(at, [], [bore("f", "10", "as_found"), bore("m", "30", "as_made")])
    found = compare(at, *by_state(answer, []))
    assert found.rows
    assert all(r.before and r.after for r in found.rows)
