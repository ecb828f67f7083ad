"""Evidence of hands beside a gauge: who it speaks of, for what, and that it never moves a number."""

from __future__ import annotations

from typing import Any

import pytest
from tests.bench.made import FREE, NONE, bench, characteristic, finding, limit, read
from tests.bench.made import dec as d

from halfthou_service.bench.readings import Place
from halfthou_service.bench.sheet import judge_sheet

GAUGE = """
[[instrument]]
id = "telescoping-gauge-outside-micrometer"
name = "swing gauge"
measures = "length"
cost_class = 1
default_variant = "one"
[[instrument.variant]]
id = "one"
name = "one"
parts = [{ name = "tilt", kind = "constant", value = 0.6, unit = "thou", grade = "from-memory", random = true }]

[[instrument]]
id = "scale"
name = "scale"
measures = "force"
cost_class = 1
default_variant = "one"
[[instrument.variant]]
id = "one"
name = "one"
parts = [{ name = "scale", kind = "constant", value = 0.1, unit = "lbf", grade = "from-memory" }]

[[instrument]]
id = "blue"
name = "blue"
measures = "ratio"
cost_class = 1
default_variant = "one"
[[instrument.variant]]
id = "one"
name = "one"
parts = [{ name = "share", kind = "constant", value = 2, unit = "percent", grade = "from-memory" }]
"""
PARTS = (
    GAUGE,
    characteristic("play", component="main-bearing"), limit("play", (d("2"), d("4")), (NONE, d("6")), unit="thou"),
    characteristic("rod-play", component="connecting-rod"), limit("rod-play", (d("2"), d("4")), (NONE, d("6")), unit="thou"),
    characteristic("ring-gap", component="piston-ring"), limit("ring-gap", (d("2"), d("4")), (NONE, d("6")), unit="thou"),
    finding("turnover-freedom", {"free": "within_fit", "tight in one place": "undecided", "stuck": "beyond_limit"}, component="whole-engine"),
    finding("ring-freedom", {"free": "within_fit", "stuck": "beyond_limit"}, component="piston-ring"),
    characteristic("bearing-drag", "harmless", "too-tight", unit="lbf", usual_instrument="scale", component="main-bearing"),
    limit("bearing-drag", (2, 8), kind="guide", unit="lbf"),
    characteristic("main-bearing-contact", "poor", "harmless", unit="percent", usual_instrument="blue", component="main-bearing"),
    limit("main-bearing-contact", (85, FREE), (50, FREE), unit="percent"),
)  # fmt: skip


def told(*others: Any, y: str = "1.9 thou", name: str = "play", **more: Any) -> tuple[str, ...]:
    answer = judge_sheet(bench(*PARTS), [read(name, y, u="0.2 thou", id="r", **more), *others])
    return answer.items[0].assumed


def hand(name: str, word: str, **more: Any) -> Any:
    return read(name, finding=word, id=name, **more)


@pytest.mark.parametrize(("word", "says"), [("free", "against"), ("tight in one place", "for"), ("stuck", "for")])
def test_a_shaft_turned_by_hand_speaks_for_or_against_too_tight(word: str, says: str) -> None:
    assert told(hand("turnover-freedom", word)) == (f"turnover freedom ({word}) speaks {says} its being too tight",)


def test_drag_and_blue_count_as_evidence() -> None:
    drag, heavy, light = (read("bearing-drag", f"{pull} lbf", id="drag") for pull in (5, 12, 1))
    assert told(drag) == ("bearing drag (5 lbf) speaks against its being too tight",)
    assert told(heavy) == ("bearing drag (12 lbf) speaks for its being too tight",)
    assert told(light) == ()
    assert told(read("main-bearing-contact", "90 percent", id="blue")) == ("main bearing contact (90 percent) speaks against its being too tight",)
    assert told(read("main-bearing-contact", "20 percent", id="blue")) == ("main bearing contact (20 percent) speaks for its being too tight",)


def test_it_speaks_only_where_there_is_doubt_on_that_side() -> None:
    free = hand("turnover-freedom", "free")
    for y in ("3 thou", "5 thou", "6.1 thou", "8 thou", "1 thou"):
        assert told(free, y=y) == ()


def test_it_speaks_of_its_own_part() -> None:
    assert told(hand("ring-freedom", "free")) == ()
    assert told(hand("ring-freedom", "free"), name="ring-gap") == ("ring freedom (free) speaks against its being too tight",)
    assert told(hand("turnover-freedom", "free"), name="ring-gap") == ()
    assert len(told(hand("turnover-freedom", "free"), name="rod-play")) == 1


def test_the_left_bearing_says_nothing_of_the_right() -> None:
    left, right = Place("left main"), Place("Right main")
    drag = read("bearing-drag", "5 lbf", id="drag", place=left)
    assert told(drag, place=right) == ()
    assert len(told(drag, place=Place("Left Main"))) == len(told(drag)) == 1


def test_a_test_from_before_the_work_says_nothing_of_the_work() -> None:
    assert told(hand("turnover-freedom", "free"), state="as_made") == ()
    assert len(told(hand("turnover-freedom", "free", state="as_made"), state="as_made")) == 1


def test_it_moves_no_number() -> None:
    alone = judge_sheet(bench(*PARTS), [read("play", "1.9 thou", u="0.2 thou", id="r")]).items[0]
    beside = judge_sheet(bench(*PARTS), [read("play", "1.9 thou", u="0.2 thou", id="r"), hand("turnover-freedom", "stuck")]).items[0]
    for name in ("verdict", "side", "p_fit", "p_serviceable", "u", "text", "settles"):
        assert getattr(alone, name) == getattr(beside, name)


def test_a_tool_that_can_never_prove_the_fit_says_so() -> None:
    item = judge_sheet(bench(*PARTS), [read("play", "3 thou", instrument="telescoping-gauge-outside-micrometer", id="r")]).items[0]
    assert any("can never prove a new fit here" in line for line in item.assumed)
    fine = judge_sheet(bench(*PARTS), [read("play", "3 thou", u="0.6 thou", id="r")]).items[0]
    assert not any("can never prove" in line for line in fine.assumed)
