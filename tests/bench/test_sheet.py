"""A whole sheet: counts, the bound on a wrong pass, contradictions, what nobody looked at, and that nothing hides anything."""

from __future__ import annotations

from typing import Any

import pytest
from tests.bench.made import FREE, NONE, bench, characteristic, finding, limit, read
from tests.bench.made import dec as d

from halfthou_service.bench.decide import VERDICTS
from halfthou_service.bench.readings import Place, Rules
from halfthou_service.bench.sheet import judge_sheet

FIT, WEAR = (d("2"), d("4")), (NONE, d("6"))
CRACK = finding("crack", {"none found": "within_fit", "hairline": "stop"}, stage="as-found", start_critical=True, component="flywheel",
                cautions=["C900"])  # fmt: skip
PARTS = (
    characteristic(), limit("gap", FIT, WEAR, unit="thou"), CRACK,
    characteristic("volts", "poor", "poor", unit="V", usual_instrument="rule", component="ignition", applies_if=["fuel-pump"]),
    limit("volts", (5, 8), kind="guide", unit="V"),
    characteristic("main-gap", instances=["left main", "right main"], stage="assembly", start_critical=True, component="main-bearing"),
    limit("main-gap", FIT, WEAR, unit="thou"),
    characteristic("splash-depth", applies_if=["splash"], start_critical=True),
    characteristic("drip-rate", applies_if=["drip-oiled"], start_critical=True, stage="running"),
    characteristic("paint", stage="machine-shop"),
)  # fmt: skip
ROD, LEFT = Place(instance="rod"), Place(instance="left main")


def thou(name: str, y: str, characteristic_id: str = "gap", u: str = "0.1 thou", **more: Any) -> Any:
    return read(characteristic_id, f"{y} thou", u=u, id=name, **more)


SHEET = [
    thou("bad", "7"), read("nothing", "3 thou", id="unknown"), thou("good", "3"), read("crack", finding="hairline", id="wheel"),
    thou("fine", "5"), thou("close", "5.95"), read("volts", "6 V", u="0.1 V", id="spark"), read("volts", "1 V", u="0.1 V", id="weak"),
    read("gap", id="empty"), read("crack", finding="dunno", id="word"),
]  # fmt: skip


def test_every_item_is_told_in_the_order_sent_whatever_the_others_are() -> None:
    answer = judge_sheet(bench(*PARTS), SHEET)
    assert [(i.id, i.verdict) for i in answer.items] == [
        ("bad", "beyond_limit"), ("unknown", "not_judged"), ("good", "within_fit"), ("wheel", "stop"), ("fine", "usable"), ("close", "undecided"),
        ("spark", "typical"), ("weak", "unusual"), ("empty", "not_judged"), ("word", "stop"),
    ]  # fmt: skip
    for item, reading in zip(answer.items, SHEET, strict=True):
        assert bench(*PARTS).judge(reading) == item


def test_counts_of_the_whole_and_of_each_component() -> None:
    overall = judge_sheet(bench(*PARTS), SHEET).overall
    assert overall.counts == {"stop": 2, "beyond_limit": 1, "undecided": 1, "not_judged": 2, "unusual": 1, "usable": 1, "typical": 1, "within_fit": 1}
    assert list(overall.counts) == [v for v in VERDICTS if v in overall.counts]
    assert sum(overall.counts.values()) == len(SHEET)
    assert overall.by_component["ignition"] == {"typical": 1, "unusual": 1}
    assert overall.by_component["your own"] == {"not_judged": 1}
    assert overall.stops == 2
    parts = overall.text.rstrip(".").split("; ")
    assert parts[:3] == ["2 things stop it", "2 of 10 may go back", "1 may not"]
    assert parts[3:7] == ["1 cannot be told with the tool used", "2 not judged", "1 usual", "1 out of the usual"]


def test_an_empty_sheet_judges_nothing_and_says_what_was_not_looked_at() -> None:
    overall = judge_sheet(bench(*PARTS), []).overall
    assert (overall.counts, overall.wrong_pass_bound) == ({}, 0.0)
    assert overall.text.startswith("Nothing was judged; ")


def test_a_stop_is_told_beside_what_may_go_back_in_the_same_assembly() -> None:
    second = finding("arm", {"none found": "within_fit", "cracked": "stop"}, component="flywheel")
    third = finding("hub", {"none found": "within_fit", "cracked": "stop"}, component="flywheel")
    sheet = [read("crack", finding="none found", id="good"), read("hub", finding="cracked", id="hub"), read("arm", finding="cracked", id="arm")]
    told = {tuple(i.text for i in judge_sheet(bench(*PARTS, second, third), order).items if i.id == "good") for order in (sheet, sheet[::-1])}
    assert len(told) == 1
    assert told.pop()[0].endswith("But a stop stands against this assembly: arm.")
    assert judge_sheet(bench(*PARTS, second), [thou("rod", "3"), sheet[2]]).items[0].text.endswith("new fit (2 to 4 thou).")


# -- the bound on at least one wrong pass ------------------------------------------------------------------------


def test_the_bound_is_the_sum_of_what_each_pass_leaves_open() -> None:
    """Boole: at most the sum of (1 - p), whatever hangs together; not a product."""
    sheet = [thou("a", "3.8"), thou("b", "5.8"), thou("c", "5.82"), thou("d", "7"), read("crack", finding="none found", id="e")]
    answer = judge_sheet(bench(*PARTS), sheet)
    assert [i.verdict for i in answer.items] == ["within_fit", "usable", "usable", "beyond_limit", "within_fit"]
    chances = [i.p_serviceable for i in answer.items[:3]]
    assert answer.overall.wrong_pass_bound == pytest.approx(sum(1 - p for p in chances if p is not None), rel=1e-3, abs=3e-6)
    assert "the chance that at least one of those going back should not is at most 6 in 100" in answer.overall.text


def test_the_bound_stops_at_one_and_counts_no_guide_and_no_refusal() -> None:
    sheet = [thou(f"r{i}", "5.83") for i in range(40)]
    assert judge_sheet(bench(*PARTS), sheet).overall.wrong_pass_bound == 1.0
    others = [thou("x", "7"), read("volts", "6 V", u="1 V", id="v"), thou("y", "5.95"), read("crack", finding="none found", id="c")]
    assert judge_sheet(bench(*PARTS), others).overall.wrong_pass_bound == 0.0


# -- contradictions ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("second", "u", "told"), [("3.28", "0.1", 0), ("3.29", "0.1", 1), ("3.5", "0.3", 0), ("0.08382 mm", "0.1", 1)])
def test_two_readings_of_one_thing_that_do_not_agree(second: str, u: str, told: int) -> None:
    """En = |a - b| / (2 sqrt(ua^2 + ub^2)) = 1 at 0.2828 thou apart."""
    value = second if " " in second else f"{second} thou"
    sheet = [thou("a", "3", place=ROD), read("gap", value, u=f"{u} thou", id="b", place=ROD)]
    found = judge_sheet(bench(*PARTS), sheet).contradictions
    assert len(found) == told
    if found:
        assert found[0].ids == ("a", "b")
        assert "find the fault, do not average" in found[0].text


def test_only_the_same_place_can_contradict() -> None:
    other = Place(instance="rod", station="middle")
    for places in ((ROD, other), (ROD, Place(instance="left"))):
        sheet = [thou(name, y, place=place) for name, y, place in zip("ab", ("3", "5"), places, strict=True)]
        assert judge_sheet(bench(*PARTS), sheet).contradictions == ()


def test_one_thing_without_a_place_contradicts_itself_and_one_of_several_does_not() -> None:
    """A gap there is one of, read twice; a main bearing, of which there are two, may be either."""
    for name, told in (("gap", 1), ("main-gap", 0)):
        sheet = [thou(i, y, name) for i, y in zip("ab", ("3", "5"), strict=True)]
        assert len(judge_sheet(bench(*PARTS), sheet).contradictions) == told


def test_warmth_in_two_scales_does_not_contradict_itself() -> None:
    parts = (characteristic("water", "poor", "poor", unit="degC", usual_instrument="thermometer", non_negative=False),
             limit("water", (10, 95), kind="guide", unit="degC"))  # fmt: skip
    for other, told in (("68 degF", 0), ("90 degF", 1)):
        sheet = [read("water", "20 degC", id="a", place=ROD), read("water", other, id="b", place=ROD)]
        assert len(judge_sheet(bench(*parts), sheet).contradictions) == told


# -- missing -----------------------------------------------------------------------------------------------------


def names(answer: Any) -> list[str]:
    return [f"{m.characteristic.id}{f'/{m.instance}' if m.instance else ''}{'?' if m.only_if else ''}" for m in answer.missing]


def test_what_nobody_looked_at_start_critical_first() -> None:
    answer = judge_sheet(bench(*PARTS, rules=Rules(stage="assembly")), [])
    assert names(answer) == ["crack", "main-gap", "drip-rate", "paint", "gap", "volts?"]
    assert answer.overall.not_looked_at == 3
    assert "3 things that matter for starting nobody looked at" in answer.overall.text
    assert answer.missing[-1].text == "Volts if your engine has fuel-pump: measure it"


def test_no_stage_asks_for_no_list_but_still_counts() -> None:
    answer = judge_sheet(bench(*PARTS), [thou("a", "3")])
    assert (answer.missing, answer.overall.not_looked_at) == ((), 3)


def test_an_engine_without_it_is_not_asked_for_it() -> None:
    engine: dict[str, Any] = {"features": frozenset({"splash"}), "absent": frozenset({"fuel-pump"})}
    found = names(judge_sheet(bench(*PARTS, rules=Rules(stage="assembly"), **engine), []))
    assert set(found) == {"splash-depth", "crack", "main-gap", "paint", "gap"}


def test_one_main_read_leaves_the_other_missing() -> None:
    rules = Rules(stage="assembly")
    one = judge_sheet(bench(*PARTS, rules=rules), [thou("a", "3", "main-gap", place=LEFT)])
    assert "main-gap/right main" in names(one)
    both = [thou("a", "3", "main-gap", place=LEFT), thou("b", "3", "main-gap", place=Place(instance="Right Main"))]
    assert not [n for n in names(judge_sheet(bench(*PARTS, rules=rules), both)) if n.startswith("main-gap")]


@pytest.mark.parametrize("place", ["", "drive end"])
def test_one_look_before_a_start_covers_one_part_though_it_does_not_say_which(place: str) -> None:
    rules = Rules(stage="assembly")
    given = [thou("a", "3", "main-gap", place=Place(instance=place)), thou("b", "3", "main-gap", place=Place(instance=place))]
    one = judge_sheet(bench(*PARTS, rules=rules), given[:1])
    assert [n for n in names(one) if n.startswith("main-gap")] == ["main-gap/left main or right main"]
    two = judge_sheet(bench(*PARTS, rules=rules), given)
    assert not [n for n in names(two) if n.startswith("main-gap")]


def test_cautions_come_once_and_only_those_on_file() -> None:
    sheet = [read("crack", finding="hairline", id="a"), read("crack", finding="hairline", id="b"), thou("c", "3")]
    assert judge_sheet(bench(*PARTS), sheet).cautions == ("C900",)


def test_a_free_side_is_no_danger_to_the_bound() -> None:
    parts = (characteristic("runout", "harmless", "worn"), limit("runout", (FREE, d("2")), (NONE, d("4")), unit="thou"))
    item = bench(*parts).judge(read("runout", "0.5 thou", u="0.1 thou"))
    assert (item.verdict, item.wrong_pass) == ("within_fit", pytest.approx(0.0, abs=1e-9))
