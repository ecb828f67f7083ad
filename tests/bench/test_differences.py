"""What two readings of one sheet make together, and readings of one place held against each other however many there are."""

from __future__ import annotations

import math
import time
from fractions import Fraction
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.bench.made import limit, q, read
from tests.bench.several_shop import several, shop
from tests.bench.survey_shop import figure, survey

from halfthou_service.bench.clashes import EACH_WITH_EACH, apart, clashing
from halfthou_service.bench.item import Item
from halfthou_service.bench.readings import Place, Rules
from halfthou_service.bench.sheet import SheetAnswer, judge_sheet
from halfthou_service.bench.surveys.survey import work_out

LEFT, RIGHT = Place("left"), Place("right")


def mains(left: str, right: str, u: str = "0.1 thou", **more: Any) -> SheetAnswer:
    both = [read("main", left, u=u, id="a", place=LEFT), read("main", right, u=u, id="b", place=RIGHT)]
    return judge_sheet(shop(**more), both)


def the_difference(answer: SheetAnswer) -> Item:
    return next(i for i in answer.items if i.characteristic == "apart")


# -- two mains ---------------------------------------------------------------------------------------------------


def test_both_mains_read_alone_give_their_difference_with_its_doubt() -> None:
    """2.8 and 3.1 thou, 0.1 each: 0.3 apart, good to 0.1 sqrt 2; a limit of 1 thou."""
    item = the_difference(mains("2.8 thou", "3.1 thou"))
    assert (item.id, item.value, item.verdict) == ("apart", Fraction("0.3"), "within_fit")
    assert item.u == pytest.approx(0.1 * math.sqrt(2))
    assert "0.3 thou (right less left)" in item.text
    assert "worked out from a and b" in item.assumed[0]


def test_its_chance_is_that_of_two_readings_drawn_apart() -> None:
    """Against brute force: 2.3 and 3.1 with 0.15 and 0.25 thou of their own."""
    both = [read("main", "2.3 thou", u="0.15 thou", id="a", place=LEFT), read("main", "3.1 thou", u="0.25 thou", id="b", place=RIGHT)]
    found = the_difference(judge_sheet(shop(), both))
    draws = np.random.default_rng(51).standard_normal((2, 400_000))
    seen = float(np.mean(np.abs((3.1 + 0.25 * draws[1]) - (2.3 + 0.15 * draws[0])) <= 1.0))
    assert found.p_fit == pytest.approx(seen, abs=4 * math.sqrt(seen * (1 - seen) / 400_000))


@pytest.mark.parametrize(("left", "right"), [("2.1 thou", "3.9 thou"), ("0.0021 in", "3.9 thou"), ("0.05334 mm", "0.0039 in")])
def test_units_may_differ_and_decide_alike(left: str, right: str) -> None:
    item = the_difference(mains(left, right))
    assert (item.verdict, item.as_new) == ("outside_fit", "no")
    assert q(f"{item.value} {item.unit.token if item.unit else ''}").canonical == pytest.approx(1.8 * 25.4e-6, rel=1e-12)


@pytest.mark.parametrize(("readings", "told"), [
    ([("a", "left", "as_found"), ("b", "right", "as_found")], ["apart"]),
    ([("a", "left", "as_made"), ("b", "right", "as_made")], ["apart.as_made"]),
    ([("a", "left", "as_found"), ("b", "right", "as_made")], []),
    ([("a", "left", "as_found")], []),
    ([("a", "left", "as_found"), ("b", "left", "as_found")], []),
    ([("a", "left", "as_found"), ("b", "right", "as_found"), ("c", "right", "as_found")], []),
    ([("a", "", "as_found"), ("b", "right", "as_found")], []),
    ([("apart", "left", "as_found"), ("b", "right", "as_found")], ["apart.derived"]),
])  # fmt: skip
def test_only_where_each_was_read_once_in_one_state(readings: list[tuple[str, str, Any]], told: list[str]) -> None:
    sheet = [read("main", "3 thou", u="0.1 thou", id=name, place=Place(where), state=state) for name, where, state in readings]
    assert [i.id for i in judge_sheet(shop(), sheet).items if i.characteristic == "apart"] == told


NAMES = ["apart", "apart.derived", "apart.derived-2", "apart.as_made", "apart.as_made.derived", "x"]


@settings(max_examples=60, deadline=None)
@given(
    ids=st.lists(st.sampled_from(NAMES), min_size=4, max_size=4, unique=True), survey_id=st.sampled_from(NAMES),
    taken=st.sets(st.sampled_from(NAMES)),
)  # fmt: skip
def test_no_two_items_bear_one_name(ids: list[str], survey_id: str, taken: set[str]) -> None:
    """Whatever the readings, the survey and what could not be read are called: remedies and papers know an item by its name."""
    places: list[tuple[Place, Any]] = [(LEFT, "as_found"), (RIGHT, "as_found"), (LEFT, "as_made"), (RIGHT, "as_made")]
    sheet = [read("main", "3 thou", u="0.1 thou", id=name, place=where, state=state) for name, (where, state) in zip(ids, places, strict=True)]
    other = several("gaps", {"ring 1": "14 thou", "ring 2": "22 thou"}, u="0.5 thou", id=survey_id)
    found = judge_sheet(shop(), sheet, [other], taken)
    worked = [i.id for i in found.items if i.characteristic == "apart"]
    assert len(worked) == 2
    assert len({i.id for i in found.items}) == len(found.items)
    assert not {*worked} & {*ids, *taken, survey_id}


def test_what_was_read_or_surveyed_is_not_worked_out_again() -> None:
    both = [read("main", "2.8 thou", id="a", place=LEFT), read("main", "3.1 thou", id="b", place=RIGHT)]
    assert [i.id for i in judge_sheet(shop(), [*both, read("apart", "0.3 thou", id="d")]).items] == ["a", "b", "d"]
    surveyed = several("mains", {"left": "2.8 thou", "right": "3.1 thou"})
    assert [i.id for i in judge_sheet(shop(), both, [surveyed]).items if i.characteristic == "apart"] == ["s.spread"]


def test_the_gap_on_one_side_counts_double() -> None:
    sides = [read("main", "1.4 thou", u="0.05 thou", id="a", place=LEFT, basis="radial"), read("main", "3.1 thou", u="0.1 thou", id="b", place=RIGHT)]
    item = the_difference(judge_sheet(shop(), sides))
    assert (item.value, item.u) == (Fraction("0.3"), pytest.approx(0.1 * math.sqrt(2)))


def test_two_tools_are_said_and_repeats_help_only_what_they_can() -> None:
    both = [read("main", "2.8 thou", id="a", place=LEFT, instrument="mike"), read("main", "3.1 thou", id="b", place=RIGHT, instrument="swing")]
    item = the_difference(judge_sheet(shop(), both))
    assert any("different tools" in said for said in item.assumed)
    assert {line.name for line in item.lines if not line.random} == {"left: what its repeats share", "right: what its repeats share"}
    assert math.sqrt(sum(line.u**2 for line in item.lines)) == pytest.approx(item.u)


def test_it_counts_as_looked_at() -> None:
    rules = Rules(stage="assembly")
    assert "apart" in {m.characteristic.id for m in judge_sheet(shop(rules=rules), []).missing}
    assert "apart" not in {m.characteristic.id for m in mains("2.8 thou", "3.1 thou", rules=rules).missing}


# -- a split bearing ---------------------------------------------------------------------------------------------

SPLIT = {("inner", "up"): "2.0041 in", ("inner", "level"): "2.0049 in", ("middle", "up"): "2.0040 in", ("middle", "level"): "2.0052 in"}


@pytest.mark.parametrize(("cells", "value", "where"), [
    (SPLIT, "0.0012", "middle, level less up"),
    ({("", "up"): "2.0052 in", ("", "level"): "2.0040 in"}, "-0.0012", "level less up"),
    ({**SPLIT, ("middle", "loaded line"): "2.0044 in", ("middle", "across load"): "2.0050 in"}, "0.0006", "middle, across load less loaded line"),
    ({("inner", "up"): "2.0041 in", ("inner", "level"): "2.0049 in", ("outer", "up"): "2.0040 in"}, None, ""),
    ({("middle", "up"): "2.0041 in"}, None, ""),
])  # fmt: skip
def test_a_split_bearing_is_told_across_the_load_less_on_it(cells: dict[tuple[str, str], str], value: str | None, where: str) -> None:
    """Signed, at mid length, as its definition says: wider at the joint is positive."""
    found = work_out(shop().table, survey("split", cells, u="0.1 thou", shared="0.5 thou"))
    told = [f for f in found.figures if f.name == "signed-out-of-round"]
    assert [(f.value, f.where) for f in told] == ([(Fraction(value), where)] if value else [])
    for f in told:
        assert f.u == pytest.approx(0.0001 * math.sqrt(2))
        assert f.at_most(float(f.value)) == pytest.approx(0.5, rel=1e-9)


def test_it_is_judged_where_a_limit_is_on_file_and_says_what_was_taken_for_granted() -> None:
    pinched = {("middle", "up"): "2.0052 in", ("middle", "level"): "2.0040 in"}
    own = limit("joint", (0, 2), ("none_on_file", 4), unit="thou")
    items = {name: judge_sheet(shop(*parts), [], [survey("split", pinched, u="0.1 thou", id="b")]).items[0] for name, parts in
             (("none", ()), ("own", (own,)))}  # fmt: skip
    assert items["none"].verdict == "not_judged"
    assert (items["own"].verdict, items["own"].side) == ("beyond_limit", "low")
    assert any("joint of the cap" in said for said in items["own"].assumed)
    named = {("middle", "loaded line"): "2.0040 in", ("middle", "across load"): "2.0050 in"}
    item = judge_sheet(shop(own), [], [survey("split", named, u="0.1 thou", id="b")]).items[0]
    assert item.verdict == "within_fit"
    assert not any("joint of the cap" in said for said in item.assumed)
    assert figure(work_out(shop().table, survey("split", pinched, u="0.1 thou")), "out-of-round").characteristic == ""


# -- many readings of one place ----------------------------------------------------------------------------------


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(st.integers(-30, 30), st.sampled_from([0.1, 0.5, 1.0, 3.0, 6.0])), min_size=2, max_size=70))
def test_every_reading_that_clashes_is_named_however_many_there_are(many: list[tuple[int, float]]) -> None:
    group = cast(Any, [SimpleNamespace(value=float(v), u=u, id=k) for k, (v, u) in enumerate(many)])
    told = {(a.id, b.id) for a, b in clashing(group)}
    pairs = {(a.id, b.id) for k, a in enumerate(group) for b in group[k + 1 :] if apart(a.value, a.u, b.value, b.u)}
    assert told <= pairs
    assert {k for pair in told for k in pair} == {k for pair in pairs for k in pair}
    if len(many) <= EACH_WITH_EACH:
        assert told == pairs


def test_a_slip_among_the_last_of_many_readings_is_told() -> None:
    sheet = [read("gap", f"{14 + 0.001 * (k % 3)} thou", u="0.2 thou", id=f"r{k}", place=Place("ring 1")) for k in range(60)]
    sheet.append(read("gap", "16 thou", u="0.2 thou", id="odd", place=Place("ring 1")))
    found = judge_sheet(shop(), sheet).contradictions
    assert {name for c in found for name in c.ids} == {*(f"r{k}" for k in range(60)), "odd"}
    assert all("odd" in c.ids for c in found)


def test_thousands_of_readings_of_one_place_are_soon_held_against_each_other() -> None:
    rng = np.random.default_rng(52)
    values, doubts = rng.normal(0, 1, 5000), rng.uniform(0.05, 0.2, 5000)
    group = cast(Any, [SimpleNamespace(value=float(v), u=float(u), id=k) for k, (v, u) in enumerate(zip(values, doubts, strict=True))])
    began = time.perf_counter()
    assert len(list(clashing(group))) <= len(group)
    assert time.perf_counter() - began < 2.0
