"""What is said: every template is used, none leaks a brace, and nothing that protects people carries a percentage or a green light."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from tests.bench.made import FREE, NONE, Reading, characteristic, finding, inline, judge, limit, q, read
from tests.bench.made import dec as d

from halfthou_service.bench import texts
from halfthou_service.bench.item import Item
from halfthou_service.bench.readings import Rules
from halfthou_service.bench.sheet import judge_sheet
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.records import Characteristic
from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import Open
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS

GAP = (characteristic(), limit("gap", (d("2"), d("4")), (NONE, d("6")), unit="thou"))
UNWORN = (characteristic(), limit("gap", (d("2"), d("4")), unit="thou"))
NO_FIT = (characteristic(low="harmless"), limit("gap", (NONE, NONE), (NONE, d("6")), unit="thou"))
GUIDE = (characteristic(), limit("gap", (d("2"), d("4")), kind="guide", unit="thou"))
BLANK = (characteristic(), limit("gap", (NONE, NONE), kind="guide", unit="thou"))
SAFETY = (characteristic("gap", "harmless", "stop"), limit("gap", (NONE, d("4")), (NONE, d("6")), kind="safety", unit="thou"))
WORDS = (finding("hub", {"sound": "within_fit", "rubbed": "usable", "unsettled": "undecided", "loose": "beyond_limit", "cracked": "stop"}),)

SAYS: list[tuple[str, tuple[str, ...], dict[str, Any], str]] = [
    ("within_fit", GAP, {"y": "3"}, "Gap 3 thou: put it back. As good as a new fit (2 to 4 thou)."),
    ("within_fit.as_made", GAP, {"y": "3", "state": "as_made"}, "Gap 3 thou: to the order, as good as a new fit (2 to 4 thou)."),
    ("within_fit.past", GAP, {"y": "4.1", "rules": Rules(decision_rule="guarded_rejection")},
     "Gap 4.1 thou: put it back. It reads over 4 thou, where a new fit ends, by less than can be proved."),
    ("within_fit.past.as_made", GAP, {"y": "1.9", "state": "as_made", "rules": Rules(decision_rule="guarded_rejection")},
     "Gap 1.9 thou: to the order (2 to 4 thou): it reads under 2 thou by less than can be proved."),
    ("usable.no", GAP, {"y": "5"}, "Gap 5 thou: put it back. Looser than a new fit (4 thou), short of worn out (6 thou, our judgement)."),
    ("usable.cannot_tell", GAP, {"y": "4.1"},
     "Gap 4.1 thou: put it back. Looser than a fresh fit perhaps (4 thou), well short of worn out (6 thou, our judgement)."),
    ("usable.cannot_tell.inside", GAP, {"y": "3.9"},
     "Gap 3.9 thou: put it back. Reads inside a new fit (up to 4 thou), too near to prove; well short of worn out (6 thou, our judgement)."),
    ("usable.no_fit", NO_FIT, {"y": "3"}, "Gap 3 thou: put it back. No figure for a new fit is on file"),
    ("usable.as_made", GAP, {"y": "5", "state": "as_made"},
     "Gap 5 thou: not to the order. It would run, but new work should be a new fit (2 to 4 thou)."),
    ("usable.as_made.cannot_tell", GAP, {"y": "3.9", "state": "as_made"}, "Gap 3.9 thou: not shown to be to the order."),
    ("beyond_limit.wear", GAP, {"y": "7"}, "Gap 7 thou: do not put it back. Over the limit of 6 thou (our judgement): the high side of gap is worn."),
    ("beyond_limit.fit", GAP, {"y": "1"},
     "Gap 1 thou: do not put it back. Tighter than a new fit may be (2 thou, our judgement): the low side of gap is too-tight."),
    ("outside_fit", UNWORN, {"y": "7"}, "Gap 7 thou: not a new fit: over 4 thou (our judgement). How far is too far nobody says"),
    ("undecided", GAP, {"y": "6.1"},
     "Gap 6.1 thou: cannot tell. It reads over 6 thou by less than the tool can prove: about 16 in 100 that it may go back."),
    ("undecided.tool", UNWORN, {"y": "3", "u": "2 thou"},
     "Gap 3 thou: this tool cannot tell. The limits (2 to 4 thou) are closer together than its doubt of about +/-4 thou."),
    ("undecided.ratio", GAP, {"y": "3", "u": "0.2 thou", "rules": Rules(decision_rule="simple_n_to_1")},
     "Gap 3 thou: cannot tell by the 4:1 rule. The limits would have to lie 4 times the width of the tool's doubt (+/-0.4 thou) apart, and do not."),
    ("typical", GUIDE, {"y": "3"}, "Gap 3 thou: usual (2 to 4 thou). A guide"),
    ("typical.near", GUIDE, {"y": "4.1"}, "Gap 4.1 thou: about usual: it reads over 4 thou, where the usual range ends"),
    ("typical.no_range", BLANK, {"y": "3"}, "Gap 3 thou: noted. No usual range is on file."),
    ("unusual", GUIDE, {"y": "7"}, "Gap 7 thou: over the usual (2 to 4 thou). A guide, not a limit"),
    ("stop", SAFETY, {"y": "7"}, "STOP. Rule for gap: never over 6 thou (our judgement). Gap 7 thou: that breaks the rule; do not run it."),
    ("safe_side", SAFETY, {"y": "3"}, "Rule for gap: never over 6 thou (our judgement). Gap 3 thou: within the rule as read. The rule stays."),
    ("safe_side.warn", SAFETY, {"y": "5"},
     "Rule for gap: never over 6 thou (our judgement). Gap 5 thou: within the rule, but over 4 thou, where care starts. The rule stays."),
    ("not_judged", GAP, {"y": "-1"}, "Gap -1 thou: not judged. Gap cannot be negative; an interference is another thing."),
    ("finding.within_fit", WORDS, {"finding": "sound"}, "Hub, sound: good. It means sound."),
    ("finding.usable", WORDS, {"finding": "rubbed"}, "Hub, rubbed: it may stay so, but mind it. It means rubbed. Mend the rubbed."),
    ("finding.undecided", WORDS, {"finding": "unsettled"}, "Hub, unsettled: cannot tell yet. It means unsettled. Mend the unsettled."),
    ("finding.beyond_limit", WORDS, {"finding": "loose"}, "Hub, loose: do not put it back. It means loose. Mend the loose."),
    ("finding.stop", WORDS, {"finding": "cracked"}, "STOP. Hub, cracked: it means cracked. Mend the cracked."),
]  # fmt: skip


class Watched(dict[str, str]):
    """Templates that remember which were used."""

    used: set[str]

    def __getitem__(self, key: str) -> str:
        self.used.add(key)
        return super().__getitem__(key)


def said(parts: tuple[str, ...], how: dict[str, Any]) -> str:
    more = {k: v for k, v in how.items() if k not in ("y", "u", "rules")}
    reading = read("hub", **more) if "finding" in how else read("gap", f"{how['y']} thou", u=how.get("u", "0.1 thou"), **more)
    return judge(reading, *parts, rules=how.get("rules")).text


@pytest.mark.parametrize(("key", "parts", "how", "start"), SAYS, ids=[s[0] for s in SAYS])
def test_what_is_said(monkeypatch: pytest.MonkeyPatch, key: str, parts: tuple[str, ...], how: dict[str, Any], start: str) -> None:
    watched = Watched(texts.TEMPLATES)
    watched.used = set()
    monkeypatch.setattr(texts, "TEMPLATES", watched)
    text = said(parts, how)
    assert watched.used == {key}
    assert text.startswith(start), text


def test_every_template_can_be_reached() -> None:
    assert {s[0] for s in SAYS} == set(texts.TEMPLATES)


@pytest.mark.parametrize(("y", "u", "words"), [
    # Between a new fit of up to 4 and worn out at 6 thou, 5 is the middle: what is nearer to new is well short of worn out.
    ("4.9", "0.1 thou", "(4 thou), well short of worn out (6 thou"), ("5", "0.1 thou", "(4 thou), short of worn out (6 thou"),
    ("5.1", "0.1 thou", "(4 thou), short of worn out (6 thou"),
    # The line of DESIGN 5, of a reading that is outside the fit by less than the tool can prove.
    ("4.05", "0.1 thou", "put it back. Looser than a fresh fit perhaps (4 thou), well short of worn out (6 thou, our judgement)."),
])  # fmt: skip
def test_how_far_short_of_worn_out(y: str, u: str, words: str) -> None:
    assert words in judge(read("gap", f"{y} thou", u=u), *GAP).text


@pytest.mark.parametrize(("parts", "y", "words"), [
    ((characteristic(), limit("gap", (d("2"), d("4")), (FREE, FREE), unit="thou")), "9", "nothing bad is on file that way"),
    ((characteristic("gap", "too-tight", "harmless"), limit("gap", (d("2"), d("4")), unit="thou")), "9", "Looser than a new fit (4 thou)."),
    ((characteristic("gap", "worn", "worn"), limit("gap", (d("2"), d("4")), (d("1"), NONE), unit="thou")), "1.5",
     "Less than a new fit (2 thou), short of"),
    ((characteristic("gap", "worn", "worn"), limit("gap", (d("2"), d("4")), (NONE, d("6")), unit="thou")), "5", "More than a new fit (4 thou)"),
])  # fmt: skip
def test_which_way_and_how_far(parts: tuple[str, ...], y: str, words: str) -> None:
    assert words in judge(read("gap", f"{y} thou", u="0.1 thou"), *parts).text


@pytest.mark.parametrize(("y", "words"), [
    ("1.9", "It reads under 2 thou by less than the tool can prove"), ("2.1", "It reads over 2 thou by less than the tool can prove"),
    ("2", "It reads right on 2 thou, which the tool can prove neither way: about 50 in 100 that it may go back."),
    ("1", "Tighter than a new fit may be (2 thou"),
    ("4", "Reads right on the edge of a new fit (up to 4 thou), too near to prove; well short of worn out"),
])  # fmt: skip
def test_under_and_over_are_said_of_the_line_in_question(y: str, words: str) -> None:
    assert words in judge(read("gap", f"{y} thou", u="0.1 thou"), *GAP).text


@pytest.mark.parametrize(("y", "words"), [
    ("1", "Under the limit of 2 thou (our judgement)"), ("1.9", "It reads under 2 thou by less"),
    ("3", "Less than a new fit (4 thou), short of worn out (2 thou"),
])  # fmt: skip
def test_a_limit_with_a_low_side_only_is_told_as_one(y: str, words: str) -> None:
    thin = (characteristic("gap", "worn", "harmless"), limit("gap", (d("4"), FREE), (d("2"), FREE), unit="thou"))
    assert words in judge(read("gap", f"{y} thou", u="0.1 thou"), *thin).text


def test_a_safety_rule_on_the_low_side_speaks_of_under() -> None:
    rail = (characteristic("gap", "stop", "harmless"), limit("gap", (d("6"), FREE), (d("4"), FREE), kind="safety", unit="thou"))
    assert "never under 4 thou (our judgement). Gap 3 thou: that breaks the rule;" in judge(read("gap", "3 thou", u="0.1 thou"), *rail).text
    assert "within the rule, but under 6 thou, where care starts" in judge(read("gap", "5 thou", u="0.1 thou"), *rail).text


def test_an_angle_from_dead_centre_is_past_or_short_never_over() -> None:
    spark = (characteristic("spark", "worn", "worn", unit="deg", non_negative=False, usual_instrument="degree-wheel", datum="inner-dead-centre",
                            sign="before"), limit("spark", (d("5"), d("15")), kind="guide", unit="deg"))  # fmt: skip
    assert "past the usual (5° to 15°)" in judge(read("spark", "30 deg", u="0.1 deg", relative="before"), *spark).text
    assert "short of the usual (5° to 15°)" in judge(read("spark", "10 deg", u="0.1 deg", relative="after"), *spark).text


STANDING = [
    (characteristic("speed", "worn", "worn", unit="rpm", stage="running", usual_instrument="tachometer"), "rpm"),
    (characteristic("hold", "worn", "worn", unit="V", usual_instrument="multimeter"), "V"),
    (characteristic("set", "poor", "worn", unit="thou"), "thou"),
]


@pytest.mark.parametrize(("y", "more", "words"), [
    ("3", {}, "leave it as it is. As wanted (2 to 4"), ("3", {"state": "as_made"}, "to the order, as wanted (2 to 4"),
    ("5", {}, "leave it as it is. More than is wanted (4"), ("5", {}, "short of the limit (6"), ("7", {}, "do not leave it so. Over the limit of 6"),
    ("5", {"state": "as_made"}, "not to the order. It would run, but new work should be as wanted (2 to 4"), ("6.05", {}, "that it may stay."),
    ("1", {}, "not as wanted: under 2"),
])  # fmt: skip
@pytest.mark.parametrize(("made", "unit"), STANDING, ids=["running", "another kind of unit", "set"])
def test_what_is_set_or_runs_is_not_put_back(made: str, unit: str, y: str, more: dict[str, Any], words: str) -> None:
    name = next(line.partition('"')[2].rstrip('"') for line in made.splitlines() if line.startswith("id ="))
    text = judge(read(name, f"{y} {unit}", u=f"0.1 {unit}", **more), made, limit(name, (d("2"), d("4")), (NONE, d("6")), unit=unit)).text
    assert words in text
    assert "put it back" not in text
    assert "new fit" not in text


def test_limits_too_narrow_for_every_tool_are_not_blamed_on_the_reading() -> None:
    text = judge(read("gap", "3 thou", u="2 thou"), characteristic(), limit("gap", (d("2.99"), d("3.01")), unit="thou")).text
    assert text.endswith("Nothing on the list is fine enough.")


@pytest.mark.parametrize(("y", "words"), [
    ("472.5", "It reads right on 472.5 rpm"), ("472.4", "It reads under 472.5 rpm by"), ("400", "As wanted (up to 472 rpm)"),
])  # fmt: skip
def test_a_line_is_told_with_the_figures_that_tell_it_from_the_reading(y: str, words: str) -> None:
    run = (characteristic("speed", "harmless", "worn", unit="rpm", stage="running"), limit("speed", (NONE, d("472.5")), unit="rpm"))
    assert words in judge(read("speed", f"{y} rpm", u="0.5 rpm"), *run).text


def test_a_count_that_is_the_limit_is_right_at_it() -> None:
    shims = (characteristic("shims", "harmless", "worn", unit="count", value_kind="count"), limit("shims", (NONE, 0), (NONE, 1), unit="count"))
    assert judge(read("shims", "1 count", u="0.1 count"), *shims).text.endswith("More than is wanted (0), right at the limit (1, our judgement).")


@pytest.mark.parametrize(("p", "text"), [
    (0.0, "less than 1 in 100"), (0.004, "less than 1 in 100"), (0.3, "about 30 in 100"), (0.99, "about 99 in 100"), (0.9901, "more than 99 in 100"),
    (1.0, "more than 99 in 100"),
])  # fmt: skip
def test_no_chance_is_told_as_certain(p: float, text: str) -> None:
    assert texts.odds(p) == text


def test_nor_given_as_certain_in_figures() -> None:
    for y in ("3", "60", "0.01"):
        item = judge(read("gap", f"{y} thou", u="0.001 thou"), *GAP)
        for p in (item.p_fit, item.p_serviceable):
            assert p is not None
            assert 0 < p < 1


def test_the_readers_own_unit_is_kept_and_the_other_given_on_request() -> None:
    mm = judge(read("gap", "0.08 mm", u="0.002 mm"), *GAP)
    assert "(0.0508 to 0.101 mm)" in mm.text
    inch = judge(read("gap", "0.08 mm", u="0.002 mm"), *GAP, rules=Rules(units="inch"))
    assert "Gap 3.1496 thou: put it back. As good as a new fit (2 to 4 thou)." in inch.text  # 0.08 / 0.0254
    metric = judge(read("gap", "3 thou", u="0.1 thou"), *GAP, rules=Rules(units="metric"))
    assert "Gap 0.0762 mm: put it back. As good as a new fit (0.0508 to 0.101 mm)." in metric.text  # 3 x 0.0254


# -- over the whole table ----------------------------------------------------------------------------------------

SIZES = {
    "bore": "5 in", "stroke": "8 in", "crankpin": "2.25 in", "crankpin-length": "2.5 in", "main-journal": "2 in", "main-bearing-length": "4 in",
    "wrist-pin": "1.25 in", "intake-valve-stem": "0.5 in", "exhaust-valve-stem": "0.5 in", "intake-valve-seat": "1.75 in",
    "piston-length": "6 in", "exhaust-valve-seat": "1.75 in", "cam-shaft": "1 in", "ring-width": "0.25 in", "flywheel": "36 in",
    "flywheel-bore": "2 in", "rated-speed": "450 rpm", "flywheel-face": "3 in", "rated-power": "6 hp", "rod-centre-distance": "20 in",
    "pulley": "12 in", "hopper-water": "5 USgal",
}  # fmt: skip
CLASSES = ("slow-open-crank", "slow-enclosed-crank", "medium-enclosed-crank")


def tried(fit: Interval | None, wear: Interval | None, what: Characteristic) -> list[Quantity]:
    """Readings below, on, inside and above every number of a limit."""
    if fit is None or wear is None:
        return [Quantity.of(1, what.unit)]
    numbers = sorted({v for v in (fit.low, fit.high, wear.low, wear.high) if not isinstance(v, Open)}) or [fit.unit.factor * 0 + 1]
    spread = (numbers[-1] - numbers[0]) or abs(numbers[0]) or 1
    values = [numbers[0] - spread, numbers[0] * 3 / 4, *numbers, (numbers[0] + numbers[-1]) / 2, numbers[-1] * 11 / 10, numbers[-1] + 3 * spread]
    return [Quantity(decimal_of(v), fit.unit, v) for v in values if v >= 0 or not what.non_negative]


def everything(table: Table, engine_class: str) -> Iterator[tuple[Characteristic, Item]]:
    rules = Rules(judged_by="each-source")
    shop = Bench(table, Engine(table.classes[engine_class], dimensions={k: q(v) for k, v in SIZES.items()}), rules)
    for what in table.characteristics.values():
        if what.value_kind == "finding":
            for word in what.words:
                yield what, shop.judge(Reading("r", what.id, finding=word.word))
            continue
        resolved = shop.limit_for(what)
        for value in tried(resolved.fit, resolved.wear, what):
            yield what, shop.judge(Reading("r", what.id, values=(value,), confirmed=True))
            small = Quantity.of("0.001", value.unit)
            yield what, shop.judge(Reading("r", what.id, values=(value,), standard_uncertainty=small, confirmed=True, state="as_made"))


@pytest.fixture(scope="module", params=CLASSES)
def told(request: pytest.FixtureRequest, shop_table: Table) -> list[tuple[Characteristic, Item]]:
    return list(everything(shop_table, request.param))


def test_nothing_is_left_unfilled(told: list[tuple[Characteristic, Item]]) -> None:
    for _, item in told:
        lines = [item.text, *item.assumed, *(s.text for s in item.by_source)]
        for line in lines:
            assert "{" not in line, line
            assert "}" not in line, line
            assert "no figure" not in line, line
            assert "Fraction" not in line, line
            assert "  " not in line, line
            assert ".." not in line, line
        assert item.text.endswith((".", "?", ")"))


def test_nothing_that_protects_people_carries_a_percentage(shop_table: Table, told: list[tuple[Characteristic, Item]]) -> None:
    safety = {m.characteristic for m in shop_table.limits.values() if m.kind == "safety"}
    seen = 0
    for what, item in told:
        if item.verdict != "stop" and what.value_kind != "finding" and what.id not in safety:
            continue
        seen += 1
        text = item.text
        if what.unit in ("percent", "ppm"):  # the thing itself is a share: its own unit is no chance
            text = text.replace(UNITS[what.unit].symbol, "")
        assert "%" not in text, text
        assert "in 100" not in text, text
        if what.id in safety:
            assert (item.p_fit, item.p_serviceable) == (None, None)
            assert "put it back" not in text
            assert item.verdict == "stop" or "The rule stays." in text or item.verdict == "not_judged", text
    assert seen > 100


def test_never_safe_never_ready(told: list[tuple[Characteristic, Item]]) -> None:
    for _, item in told:
        for line in (item.text, *item.assumed):
            assert not re.search(r"\bsafe(ly)?\b|ready to (start|run)", line, re.IGNORECASE), line


def test_a_stop_comes_first(told: list[tuple[Characteristic, Item]]) -> None:
    for _, item in told:
        assert item.text.startswith("STOP. ") is (item.verdict == "stop"), item.text
        assert bool(item.veto) is (item.verdict == "stop")


def test_every_verdict_of_the_table_occurs(told: list[tuple[Characteristic, Item]]) -> None:
    seen = {item.verdict for _, item in told}
    assert seen >= {"within_fit", "usable", "beyond_limit", "outside_fit", "undecided", "typical", "unusual", "stop"}


def test_the_sheet_says_neither(shop_table: Table) -> None:
    shop = Bench(shop_table, Engine(shop_table.classes["slow-open-crank"]), Rules(stage="running"))
    answer = judge_sheet(shop, [read("own", "5 V", u="0.1 V", limit=inline("V", fit=("4", "8")))])
    for line in (answer.overall.text, *(m.text for m in answer.missing)):
        assert "{" not in line
        assert "ready to start" not in line.lower()
    assert not re.search(r"\bsafe(ly)?\b", answer.overall.text, re.IGNORECASE)


@pytest.mark.parametrize(("rule", "y", "words", "never"), [
    ("guarded_rejection", "6.1", "Looser than a new fit (4 thou); it reads over worn out (6 thou, our judgement) by less than can be proved.",
     "short of"),
    ("guarded_rejection", "5.9", "short of worn out (6 thou", "over worn out"),
    ("guarded_rejection", "1.9", "It reads under 2 thou, where a new fit ends, by less than can be proved.", "As good as"),
    ("guarded_rejection", "2", "As good as a new fit", "can be proved"),
    ("simple", "6", "right at the limit (6 thou", "short of"), ("simple", "6.001", "do not put it back", "short of"),
    ("simple", "4", "As good as a new fit (2 to 4 thou)", "Looser"), ("simple", "4.001", "Looser than a new fit (4 thou)", "As good"),
    ("simple", "1.999", "do not put it back", "As good"),
])  # fmt: skip
def test_no_rule_says_that_a_reading_lies_where_it_does_not(rule: Any, y: str, words: str, never: str) -> None:
    """Fit 2 to 4, worn out at 6 thou, u 0.1: 6.1 and 1.9 lie one u past their line, too little to reject at 95 %."""
    text = judge(read("gap", f"{y} thou", u="0.1 thou"), *GAP, rules=Rules(decision_rule=rule)).text
    assert words in text
    assert never not in text
