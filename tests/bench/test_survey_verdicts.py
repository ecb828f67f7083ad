"""Verdicts on figures of surveys: their own distribution, every decision rule, ties, units, what would settle a doubt, contradictions."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from tests.bench.made import FREE, NONE, bench, characteristic, evidence, limit, q, read
from tests.bench.made import dec as d
from tests.bench.survey_shop import KINDS, grid, judged, limits, shop, survey, up_to

from halfthou_service.bench.extremes import range_at_most
from halfthou_service.bench.readings import Place, Rules
from halfthou_service.bench.sheet import judge_sheet
from halfthou_service.bench.surveys.verdict import judge_surveys

PLAY = limits(play=(d("2"), d("3"), NONE, d("5")))
OVAL = limits(oval=up_to(d("0.5"), d("2")))


def play(bore: str, shaft: str, u: str = "0.1 thou", rules: Rules | None = None, parts: tuple[str, ...] = PLAY, **more: Any) -> Any:
    pair = (survey("hole", {("top", "A"): bore}, u=u, id="b", **more), survey("shaft", {("top", "A"): shaft}, u=u, id="s", **more))
    found = judged(parts, *pair, rules=rules)
    return found["b.smallest-clearance"], found["b.largest-clearance"]


# -- by the figure's own distribution ----------------------------------------------------------------------------


def test_out_of_round_is_judged_by_the_distribution_of_a_range() -> None:
    sizes = grid([[2.0004, 2.0, 2.0002, 2.0001]])
    item = judged(OVAL, survey("shaft", sizes, u="0.1 thou"))["s.out-of-round"]
    assert item.p_fit == pytest.approx(range_at_most([0.4, 0.0, 0.2, 0.1], 0.1, 0.5), abs=1e-6)
    assert item.p_serviceable == pytest.approx(range_at_most([0.4, 0.0, 0.2, 0.1], 0.1, 2.0), abs=1e-5)
    assert (item.verdict, item.as_new) == ("usable", "cannot_tell")


@pytest.mark.parametrize(("worst", "verdict", "side"), [
    (0.1, "within_fit", ""), (0.5, "usable", "high"), (1.6, "usable", "high"), (2.05, "undecided", "high"), (2.6, "beyond_limit", "high"),
])  # fmt: skip
def test_the_verdict_table_holds_for_figures(worst: float, verdict: str, side: str) -> None:
    item = judged(OVAL, survey("shaft", grid([[2.0 + worst / 1000, 2.0]]), u="0.1 thou"))["s.out-of-round"]
    assert (item.verdict, item.side) == (verdict, side)
    assert "2 readings" in item.text


def test_taper_and_wear_are_judged_too_and_named_after_the_survey() -> None:
    parts = limits(bore_cone=up_to(1, 3), bore_loss=up_to(1, 3), bore_oval=up_to(1, 3))
    found = judged(parts, survey("hole", grid([[2.005, 2.004], [2.002, 2.002], [2.0, 2.0]]), u="0.1 thou", id="cyl", instance="front"))
    assert {name: item.verdict for name, item in found.items()} == {
        "cyl.out-of-round": "usable", "cyl.taper": "beyond_limit", "cyl.wear": "beyond_limit"}  # fmt: skip
    assert found["cyl.taper"].at == Place("front", "top less bottom")
    assert found["cyl.taper"].characteristic == "bore-cone"


def test_a_figure_without_a_limit_says_so() -> None:
    item = judged((), survey("shaft", grid([[2.001, 2.0]]), u="0.1 thou"))["s.out-of-round"]
    assert item.verdict == "not_judged"
    assert item.problem is None
    assert item.value == d("0.001")


# -- exactness ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("bore", "shaft"), [("1.5030 in", "1.5000 in"), ("38.1762 mm", "38.1000 mm"), ("38.1762 mm", "1.5000 in")])
def test_15030_less_15000_meets_00030(bore: str, shaft: str) -> None:
    """Limits are inclusive: an exact tie passes under the simple rule, in any unit."""
    simple = Rules(decision_rule="simple")
    for item in play(bore, shaft, rules=simple):
        assert (item.verdict, item.as_new) == ("within_fit", "yes")
    assert float(item.value) == pytest.approx(0.003 if "in" in bore else 0.0762, abs=1e-15)
    over, _ = play("1.50300001 in", "1.5000 in", rules=simple)
    assert over.verdict == "usable"


@pytest.mark.parametrize("kind", ["out-of-round", "taper", "wear"])
def test_exact_ties_of_shape_pass_under_the_simple_rule(kind: str) -> None:
    """0.0003 + 0.0001 and 0.1 + 0.2 in tenths: sums a binary float gets wrong."""
    parts = limits(bore_oval=up_to(d("0.3"), 3), bore_cone=up_to(d("0.3"), 3), bore_loss=up_to(d("0.3"), 3))
    rows = {"out-of-round": [["1.0003 in", "1.0000 in"], ["1.0000 in", "1.0000 in"]], "taper": [["1.0003 in"], ["1.0000 in"]],
            "wear": [["1.0003 in"], ["1.0000 in"]]}  # fmt: skip
    stations = ("top", "bottom")
    cells = {(s, a): v for s, row in zip(stations, rows[kind], strict=True) for a, v in zip("AB", row, strict=False)}
    item = judged(parts, survey("hole", cells, u="0.2 thou", id="b"), rules=Rules(decision_rule="simple"))[f"b.{kind}"]
    assert item.verdict == "within_fit"


@pytest.mark.parametrize("rule", ["guarded", "simple", "guarded_rejection"])
def test_inch_and_mm_decide_alike(rule: str) -> None:
    parts = (*OVAL, *PLAY, *limits(cone=up_to(1, 3), bore_oval=up_to(1, 3)))
    rules = Rules(decision_rule=rule)  # type: ignore[arg-type]
    for step in range(40):
        row = [d("2.0000") + d("0.0001") * ((7 * step + 3 * k) % 25) for k in range(3)]
        told = []
        for factor, unit in ((d(1), "in"), (d("25.4"), "mm"), (d(1000), "thou")):
            shaft = survey("shaft", {("top", "ABC"[k]): f"{v * factor:f} {unit}" for k, v in enumerate(row)}, u=f"{d('0.0002') * factor:f} {unit}")
            hole = survey("hole", {("top", "A"): f"{d('2.0045') * factor:f} {unit}"}, u=f"{d('0.0002') * factor:f} {unit}")
            told.append([(i.id, i.verdict, i.side, i.as_new) for i in judged(parts, hole, shaft, rules=rules).values()])
        assert told[0] == told[1] == told[2]


# -- rules -------------------------------------------------------------------------------------------------------


def test_the_n_to_1_rule_asks_for_a_tool_fine_enough() -> None:
    """Limits 1 thou apart (and 3 to the wear bound): 4 x 4 u = 1 at u = 0.0625 thou for each pair of readings."""
    rules = Rules(decision_rule="simple_n_to_1")
    fine = play("1.5025 in", "1.5000 in", u="0.0441 thou", rules=rules)[0]
    assert fine.verdict == "within_fit"
    coarse = play("1.5025 in", "1.5000 in", u="0.0443 thou", rules=rules)[0]
    assert coarse.verdict == "undecided"
    assert "cannot tell by the 4:1 rule" in coarse.text
    assert play("1.5025 in", "1.5000 in", u="0.0443 thou", rules=Rules(decision_rule="simple_n_to_1", ratio=3.0))[0].verdict == "within_fit"


def test_a_range_has_the_width_from_zero_under_the_n_to_1_rule() -> None:
    rules = Rules(decision_rule="simple_n_to_1")
    for u, verdict in (("0.022 thou", "within_fit"), ("0.0222 thou", "undecided")):  # 0.5 / 16 / sqrt 2 = 0.0221
        assert judged(OVAL, survey("shaft", grid([[2.0002, 2.0]]), u=u), rules=rules)["s.out-of-round"].verdict == verdict


def test_another_confidence_and_guarded_rejection() -> None:
    near = survey("shaft", grid([[2.00185, 2.0]]), u="0.1 thou")
    assert judged(OVAL, near)["s.out-of-round"].verdict == "undecided"
    assert judged(OVAL, near, rules=Rules(confidence=0.8))["s.out-of-round"].verdict == "usable"
    past = survey("shaft", grid([[2.00215, 2.0]]), u="0.1 thou")
    assert judged(OVAL, past, rules=Rules(decision_rule="guarded_rejection"))["s.out-of-round"].verdict == "usable"


def test_each_works_verdict_is_told_for_a_figure() -> None:
    told = evidence("strict", "oval", "wear", "none_on_file", 1, unit="thou", basis="plain")
    item = judged((*OVAL, told), survey("shaft", grid([[2.0015, 2.0]]), u="0.1 thou"), rules=Rules(judged_by="each-source"))["s.out-of-round"]
    assert [(s.verdict, s.evidence) for s in item.by_source] == [("beyond_limit", ("strict",))]


def test_just_made_must_be_to_the_order() -> None:
    item = judged(OVAL, survey("shaft", grid([[2.0015, 2.0]]), u="0.1 thou", state="as_made"))["s.out-of-round"]
    assert (item.verdict, item.state) == ("usable", "as_made")
    assert "not to the order" in item.text


def test_the_smallest_of_many_readings_is_no_proof_of_being_small_enough() -> None:
    """A round, straight bore 0.2 thou too loose on its shaft, 9 readings scattered by 0.2: the least alone reads well inside the bound."""
    rows = [[2.0052 + e / 10000 for e in row] for row in ((3, -4, 1), (0, 2, -2), (-1, 4, -3))]
    pair = survey("hole", grid(rows), u="0.2 thou", id="b"), survey("shaft", {("top", "A"): 2.0}, u="0.01 thou", id="s")
    found = judged(PLAY, *pair)["b.smallest-clearance"]
    assert found.value == d("0.0048")
    assert found.verdict == "undecided"
    assert found.p_serviceable is not None
    assert found.p_serviceable < 0.5


# -- what would settle it ----------------------------------------------------------------------------------------


def test_repeats_settle_what_they_can() -> None:
    item = judged(OVAL, survey("shaft", grid([[2.0018, 2.0]]), instrument="mike"))["s.out-of-round"]
    assert item.settles is not None
    assert (item.settles.how, item.settles.repeats) == ("repeats", 4)
    assert "4 readings" in item.text


def test_a_finer_tool_settles_what_repeats_cannot() -> None:
    item = judged(OVAL, survey("shaft", grid([[2.0018, 2.0]]), u="0.2 thou"))["s.out-of-round"]
    assert item.settles is not None
    assert item.settles.how in ("instrument", "neither")
    swing = judged(limits(oval=up_to(d("0.5"), d("2"))), survey("shaft", grid([[2.0015, 2.0]]), u="0.4 thou"))["s.out-of-round"]
    assert swing.settles is not None
    assert (swing.settles.how, swing.settles.instrument) == ("instrument", "mike/one")


def test_nothing_settles_a_tie() -> None:
    item = judged(OVAL, survey("shaft", grid([[2.002, 2.0]]), instrument="mike"))["s.out-of-round"]
    assert item.settles is not None
    assert item.settles.how == "neither"


# -- pairs -------------------------------------------------------------------------------------------------------


def test_a_bore_is_paired_with_the_shaft_of_its_state_or_the_last() -> None:
    shafts = [survey("shaft", {("top", "A"): size}, u="0.1 thou", id=name, state=state)
              for name, size, state in (("old", "1.4960 in", "as_found"), ("new", "1.5000 in", "as_made"))]  # fmt: skip
    for state, play_is in (("as_found", "0.007"), ("as_made", "0.003")):
        hole = survey("hole", {("top", "A"): "1.5030 in"}, u="0.1 thou", id="b", state=state)
        item = judged(PLAY, hole, *shafts)["b.smallest-clearance"]
        assert (item.value, item.state) == (d(play_is), state)
    only = judged(PLAY, survey("hole", {("top", "A"): "1.5030 in"}, u="0.1 thou", id="b"), shafts[1])["b.smallest-clearance"]
    assert only.state == "as_made"


def test_many_surveys_of_one_thing_pair_once() -> None:
    holes = [survey("hole", {("top", "A"): "1.5030 in"}, u="0.1 thou", id=f"b{i}") for i in range(20)]
    shafts = [survey("shaft", {("top", "A"): "1.5000 in"}, u="0.1 thou", id=f"s{i}") for i in range(20)]
    assert sum(len(j.clearances) for j in judge_surveys(shop(*PLAY), (*holes, *shafts))) == 20


def test_two_mains_are_not_mixed_up() -> None:
    two = characteristic("play", "too-tight", "worn", usual_instrument="swing", component="main-bearing", basis="diametral",
                         instances=["left", "right"])  # fmt: skip
    parts = tuple(two if '"play"' in part and part.startswith("[[characteristic]]") else part for part in KINDS)
    surveys = [survey(kind, {("top", "A"): size}, u="0.1 thou", id=f"{kind}-{side}", instance=side)
               for side, sizes in (("left", ("1.5030 in", "1.5000 in")), ("right", ("1.5060 in", "1.5010 in")))
               for kind, size in zip(("hole", "shaft"), sizes, strict=True)]  # fmt: skip
    found = {i.id: i.value for i in judge_sheet(bench(*parts, *PLAY), [], surveys).items if "clearance" in i.id}
    assert found["hole-left.smallest-clearance"] == d("0.003")
    assert found["hole-right.smallest-clearance"] == d("0.005")


# -- the sheet ---------------------------------------------------------------------------------------------------


def test_a_survey_that_cannot_be_worked_out_hides_nothing() -> None:
    good = survey("shaft", grid([[2.0001, 2.0]]), u="0.1 thou", id="good")
    bad = survey("hole", {("a", ""): 2.0, ("b", ""): 20.0, ("c", ""): 2.0}, id="bad")
    answer = judge_sheet(shop(*OVAL), [], [bad, good])
    first = answer.items[0]
    assert (first.id, first.verdict, first.problem.code if first.problem else "") == ("bad", "not_judged", "suspected-slip")
    assert [i.verdict for i in answer.items if i.id == "good.out-of-round"] == ["within_fit"]
    assert answer.surveys[0].problem is not None
    assert "Survey of the hole: not judged." in answer.items[0].text


def test_what_was_surveyed_is_not_missing() -> None:
    rules = Rules(stage="assembly")
    before = {m.characteristic.id for m in judge_sheet(shop(*OVAL, rules=rules), []).missing}
    assert {"shaft-size", "oval"} <= before
    after = judge_sheet(shop(*OVAL, rules=rules), [], [survey("shaft", grid([[2.0001, 2.0]]), u="0.1 thou")]).missing
    assert not {"shaft-size", "oval"} & {m.characteristic.id for m in after}


def test_figures_count_in_the_bound_on_a_wrong_pass() -> None:
    near = survey("shaft", grid([[2.00183, 2.0]]), u="0.1 thou")
    answer = judge_sheet(shop(*limits(oval=(FREE, d("0.5"), NONE, d("2.1")))), [], [near])
    item = next(i for i in answer.items if i.id == "s.out-of-round")
    assert item.verdict == "usable"
    assert answer.overall.wrong_pass_bound == pytest.approx(1 - (item.p_serviceable or 0), abs=2e-6)


# -- contradictions ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("direct", "told", "hint"), [
    ("3.1 thou", False, ""), ("3.3 thou", False, ""), ("4 thou", True, ""), ("1.5 thou", True, "on one side only"),
    ("30 thou", True, "point a place out"),
])  # fmt: skip
def test_a_clearance_read_directly_against_bore_less_shaft(direct: str, told: bool, hint: str) -> None:
    pair = survey("hole", {("top", "A"): "1.5030 in"}, u="0.1 thou", id="b"), survey("shaft", {("top", "A"): "1.5000 in"}, u="0.1 thou", id="s")
    reading = read("play", direct, u="0.1 thou", id="r", confirmed=True)
    found = judge_sheet(shop(*PLAY), [reading], pair).contradictions
    assert bool(found) is told
    if found:
        assert found[0].ids == ("r", "b", "s")
        assert hint in found[0].text
        assert "bore less shaft gives 3 thou to 3 thou" in found[0].text


def test_a_clearance_told_for_one_side_does_not_contradict_the_whole() -> None:
    pair = survey("hole", {("top", "A"): "1.5030 in"}, u="0.1 thou", id="b"), survey("shaft", {("top", "A"): "1.5000 in"}, u="0.1 thou", id="s")
    reading = read("play", "1.5 thou", u="0.05 thou", id="r", basis="radial")
    answer = judge_sheet(shop(*PLAY), [reading], pair)
    assert answer.contradictions == ()
    assert (answer.items[0].verdict, answer.items[0].as_new) == ("usable", "cannot_tell")


@pytest.mark.parametrize(("direct", "station", "told"), [
    ("1 thou", "", False), ("0.4 thou", "", True), ("1 thou", "top", False), ("0.3 thou", "middle", False), ("1 thou", "middle", True),
    ("9 thou", "nowhere", False),
])  # fmt: skip
def test_out_of_round_written_down_against_its_survey(direct: str, station: str, told: bool) -> None:
    sizes = grid([[2.001, 2.0], [2.0003, 2.0]])
    reading = read("oval", direct, u="0.1 thou", id="r", place=Place("pin", station))
    found = judge_sheet(shop(*OVAL), [reading], [survey("shaft", sizes, u="0.1 thou", id="s", instance="pin")]).contradictions
    assert bool(found) is told


def test_two_surveys_of_one_part_that_do_not_agree() -> None:
    def both(**more: str) -> list[Any]:
        return [survey("shaft", grid([[size, size]]), u="0.1 thou", id=name, **more) for name, size in (("one", 2.0), ("two", 2.001))]

    found = judge_sheet(shop(*OVAL), [], both()).contradictions
    assert [c.ids for c in found] == [("one", "two")]
    assert "+1.0 thou" in found[0].text
    assert judge_sheet(shop(*OVAL), [], both(shared="0.5 thou")).contradictions == ()


def test_a_guide_and_a_safety_limit_are_judged_by_the_figures_own_doubt() -> None:
    guide = limit("oval", (FREE, 1), kind="guide", unit="thou")
    assert judged((guide,), survey("shaft", grid([[2.0005, 2.0]]), u="0.1 thou"))["s.out-of-round"].verdict == "typical"
    rule = limit("oval", (FREE, 1), (NONE, 2), kind="safety", unit="thou")
    near = judged((rule,), survey("shaft", grid([[2.00195, 2.0]]), u="0.1 thou"))["s.out-of-round"]
    assert near.verdict == "stop"
    assert near.p_serviceable is None


def test_the_unit_of_the_limit_makes_no_difference() -> None:
    metric = limit("oval", (FREE, d("0.0127")), (NONE, d("0.0508")), unit="mm")
    sizes = survey("shaft", grid([[2.0018, 2.0004]]), u="0.1 thou")
    a, b = judged(OVAL, sizes)["s.out-of-round"], judged((metric,), sizes)["s.out-of-round"]
    assert (a.verdict, a.p_fit, a.p_serviceable) == (b.verdict, pytest.approx(b.p_fit, abs=2e-6), pytest.approx(b.p_serviceable, abs=2e-6))
    assert Fraction(str(a.value)) == Fraction("0.0014")
    assert q("0.1 thou").to(a.unit) == Fraction("0.0001")
