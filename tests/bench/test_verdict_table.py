"""The verdict table: every row, every decision rule, both states, every meaning of a side, every kind of wear bound."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pytest
from tests.bench.made import FREE, NONE, characteristic, inline, judge, limit, read
from tests.bench.made import dec as d

from halfthou_service.bench.readings import Rules

GUARDED, SIMPLE, REJECTION = Rules(), Rules(decision_rule="simple"), Rules(decision_rule="guarded_rejection")


@dataclass(frozen=True)
class Case:
    """fit 2.0 to 4.0 thou unless said, u 0.1 thou."""

    says: str
    y: str
    verdict: str
    side: str = ""
    as_new: str = ""
    low: str = "too-tight"
    high: str = "worn"
    fit: tuple[Any, Any] = (d("2"), d("4"))
    wear: tuple[Any, Any] = (NONE, d("6"))
    u: str = "0.1"

    def __str__(self) -> str:
        return self.says


T2, T4, T6 = d("2"), d("4"), d("6")
CASES = [
    Case("in the middle of the fit", "3", "within_fit", as_new="yes"),
    Case("shown inside the fit at its loose end", "3.83", "within_fit", as_new="yes"),
    Case("reads inside the fit but not shown to be", "3.9", "usable", "high", "cannot_tell"),
    Case("on the fit bound: cannot tell new, well inside the wear bound", "4", "usable", "high", "cannot_tell"),
    Case("shown looser than new, short of the wear bound", "5", "usable", "high", "no"),
    Case("reads inside the wear bound but not shown to be", "5.9", "undecided", "high", "no"),
    Case("on the wear bound", "6", "undecided", "high", "no"),
    Case("reads past the wear bound but not shown to be", "6.1", "undecided", "high", "no"),
    Case("shown past the wear bound", "6.2", "beyond_limit", "high", "no"),
    Case("tight, and reads inside", "2.1", "undecided", "low", "cannot_tell"),
    Case("tight, and reads past", "1.9", "undecided", "low", "cannot_tell"),
    Case("shown too tight: no wear bound is needed to refuse it", "1.8", "beyond_limit", "low", "no"),
    Case("low side worn, nothing on file: how far is too far nobody says", "1.8", "outside_fit", "low", "no", low="worn"),
    Case("low side poor, nothing on file", "1.8", "outside_fit", "low", "no", low="poor"),
    Case("low side stop, nothing on file", "1.8", "beyond_limit", "low", "no", low="stop"),
    Case("low side harmless: nothing bad there", "1.0", "usable", "low", "no", low="harmless"),
    Case("low side harmless, near the fit", "1.95", "usable", "low", "cannot_tell", low="harmless"),
    Case("low side with a wear number, between the two", "1.5", "usable", "low", "no", low="worn", wear=(d("1"), T6)),
    Case("low side with a wear number, past it", "0.8", "beyond_limit", "low", "no", low="worn", wear=(d("1"), T6)),
    Case("low side poor with a wear number, past it", "0.8", "beyond_limit", "low", "no", low="poor", wear=(d("1"), T6)),
    Case("high side worn, nothing on file, past it", "4.2", "outside_fit", "high", "no", wear=(NONE, NONE)),
    Case("high side worn, nothing on file, near it", "4.05", "undecided", "high", "cannot_tell", wear=(NONE, NONE)),
    Case("high side stop, nothing on file, past it", "4.2", "beyond_limit", "high", "no", high="stop", wear=(NONE, NONE)),
    Case("high side poor, nothing on file, past it", "4.2", "outside_fit", "high", "no", high="poor", wear=(NONE, NONE)),
    Case("high side harmless, nothing on file, far past it", "40", "usable", "high", "no", high="harmless", wear=(NONE, NONE)),
    Case("wear stated unbounded, far past the fit", "40", "usable", "high", "no", wear=(NONE, FREE)),
    Case("wear stated unbounded on the tight side", "0.5", "usable", "low", "no", wear=(FREE, T6)),
    Case("fit open below, one-sided", "0.5", "within_fit", as_new="yes", low="harmless", fit=(FREE, T4)),
    Case("no fit on file at all, short of the wear bound", "3", "usable", "", "cannot_tell", low="harmless", fit=(NONE, NONE)),
    Case("no fit on file at all, past the wear bound", "6.5", "beyond_limit", "high", "cannot_tell", low="harmless", fit=(NONE, NONE)),
    Case("tool too coarse for the fit, centred", "3", "undecided", "high", "cannot_tell", u="2", wear=(NONE, NONE)),
    Case("tool too coarse for the fit, but far out", "8", "outside_fit", "high", "no", u="2", wear=(NONE, NONE)),
    Case("one figure for a fit cannot be met by any tool", "3", "usable", "high", "cannot_tell", fit=(d("3"), d("3")), wear=(d("1"), T6)),
]  # fmt: skip


def _parts(case: Case) -> tuple[str, str]:
    return characteristic("gap", case.low, case.high), limit("gap", case.fit, case.wear, unit="thou")


@pytest.mark.parametrize("case", CASES, ids=str)
def test_guarded(case: Case) -> None:
    item = judge(read("gap", f"{case.y} thou", u=f"{case.u} thou"), *_parts(case))
    assert (item.verdict, item.side, item.as_new) == (case.verdict, case.side, case.as_new), item.text
    assert item.problem is None
    assert item.limit_id == "gap-limit"


@pytest.mark.parametrize(("y", "guarded", "simple", "rejection"), [
    ("3", "within_fit", "within_fit", "within_fit"), ("3.9", "usable", "within_fit", "within_fit"), ("4", "usable", "within_fit", "within_fit"),
    ("4.01", "usable", "usable", "within_fit"), ("4.2", "usable", "usable", "usable"), ("5.9", "undecided", "usable", "usable"),
    ("6", "undecided", "usable", "usable"), ("6.01", "undecided", "beyond_limit", "usable"), ("6.2", "beyond_limit", "beyond_limit", "beyond_limit"),
    ("2", "undecided", "within_fit", "within_fit"), ("1.99", "undecided", "beyond_limit", "within_fit"),
    ("1.8", "beyond_limit", "beyond_limit", "beyond_limit"),
])  # fmt: skip
def test_each_decision_rule(y: str, guarded: str, simple: str, rejection: str) -> None:
    parts = _parts(Case("", y, ""))
    told = [judge(read("gap", f"{y} thou", u="0.1 thou"), *parts, rules=rules).verdict for rules in (GUARDED, SIMPLE, REJECTION)]
    assert told == [guarded, simple, rejection]


@pytest.mark.parametrize("y", ["2", "4"])
def test_an_exact_tie_passes_under_simple(y: str) -> None:
    item = judge(read("gap", f"{y} thou", u="0.1 thou"), *_parts(Case("", y, "")), rules=SIMPLE)
    assert (item.verdict, item.p_fit) == ("within_fit", pytest.approx(0.5, rel=1e-6))
    past = judge(read("gap", f"{d(y) + (d('1e-15') if y == '4' else d('-1e-15'))} thou", u="0.1 thou"), *_parts(Case("", y, "")), rules=SIMPLE)
    assert past.verdict != "within_fit"


def test_a_higher_confidence_asks_for_more_both_ways() -> None:
    parts = _parts(Case("", "", ""))
    assert judge(read("gap", "3.8 thou", u="0.1 thou"), *parts).verdict == "within_fit"
    assert judge(read("gap", "3.8 thou", u="0.1 thou"), *parts, rules=Rules(confidence=0.99)).verdict == "usable"
    assert judge(read("gap", "6.2 thou", u="0.1 thou"), *parts, rules=Rules(confidence=0.99)).verdict == "undecided"


@pytest.mark.parametrize(("y", "found", "made"), [
    ("3", "put it back. As good as a new fit", "to the order, as good as a new fit"), ("5", "put it back", "not to the order"),
    ("4", "put it back", "not shown to be to the order"), ("6.2", "do not put it back", "do not put it back"),
])  # fmt: skip
def test_as_made_must_be_a_new_fit(y: str, found: str, made: str) -> None:
    parts = _parts(Case("", y, ""))
    texts = {state: judge(read("gap", f"{y} thou", u="0.1 thou", state=state), *parts).text for state in ("as_found", "as_made")}
    assert found in texts["as_found"]
    assert made in texts["as_made"]


def test_a_generous_wear_limit_says_nothing_of_the_tight_side() -> None:
    parts = _parts(Case("", "", "", wear=(NONE, d("100"))))
    for y in ("1.9", "1.5", "0.4", "0.001"):
        assert judge(read("gap", f"{y} thou", u="0.01 thou"), *parts).verdict == "beyond_limit"


# -- guides ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("y", "verdict"), [("3", "typical"), ("4.1", "typical"), ("9", "unusual"), ("0.1", "unusual")])
def test_a_guide_fails_nothing(y: str, verdict: str) -> None:
    parts = (characteristic("gap", "stop", "stop"), limit("gap", (T2, T4), kind="guide", unit="thou"))
    for rules in (GUARDED, REJECTION):
        item = judge(read("gap", f"{y} thou", u="0.1 thou"), *parts, rules=rules)
        assert (item.verdict, item.wrong_pass, item.veto) == (verdict, 0.0, "")
    assert "guide" in item.text.lower()


def test_a_guide_without_a_range_is_noted() -> None:
    item = judge(read("gap", "3 thou"), characteristic(), limit("gap", (NONE, NONE), kind="guide", unit="thou"))
    assert (item.verdict, item.text) == ("typical", "Gap 3 thou by micrometer: noted. No usual range is on file.")


# -- safety ------------------------------------------------------------------------------------------------------

SPEED = (characteristic("rim-speed", "harmless", "stop", unit="ft/min", usual_instrument="share-meter"),
         limit("rim-speed", (NONE, 4500), (NONE, 5000), kind="safety", unit="ft/min", cautions=["C900"]))  # fmt: skip
RAIL = (characteristic("rail", "stop", "stop"), limit("rail", (15, 20), (15, 20), kind="safety", cautions=["C900"]))


@pytest.mark.parametrize(("y", "verdict"), [
    ("4000", "within_fit"), ("4450", "usable"), ("4800", "usable"), ("4950", "stop"), ("5000", "stop"), ("5200", "stop"),
])  # fmt: skip
def test_doubt_counts_against_a_safety_limit(y: str, verdict: str) -> None:
    item = judge(read("rim-speed", f"{y} ft/min", u="50 ft/min"), *SPEED)
    assert (item.verdict, item.p_fit, item.p_serviceable) == (verdict, None, None)
    assert item.veto == ("stops-engine" if verdict == "stop" else "")
    assert item.cautions == ("C900",)
    assert item.text.startswith("STOP." if verdict == "stop" else "Rule for rim speed")
    assert ("within the tool's doubt" in item.text) is (y in ("4950", "5000"))
    assert ("that breaks the rule" in item.text) is (y == "5200")


SOFTENERS: dict[str, dict[str, Any]] = {
    "simple rule": {"rules": SIMPLE}, "guarded rejection": {"rules": REJECTION}, "low confidence": {"rules": Rules(confidence=0.51)},
    "show use": {"use": "show"}, "another class": {"engine_class": "slow-enclosed-crank"},
}  # fmt: skip


@pytest.mark.parametrize("way", SOFTENERS)
def test_nothing_softens_a_safety_limit(way: str) -> None:
    for y in ("4950", "5000", "5200"):
        assert judge(read("rim-speed", f"{y} ft/min", u="50 ft/min"), *SPEED, **SOFTENERS[way]).verdict == "stop"


@pytest.mark.parametrize("own", [
    inline("ft/min", fit=(NONE, "9000"), wear=(NONE, "9000")), inline("ft/min", fit=(NONE, "9000")), inline("m/s", wear=(NONE, "50")),
    inline("ft/min", fit=("1", NONE), wear=(NONE, FREE)), inline("ft/min", fit=(NONE, "4000"), wear=(NONE, FREE)), inline("ft/min", fit=("1", NONE)),
])  # fmt: skip
def test_a_looser_figure_of_ones_own_does_not_soften_it(own: Any) -> None:
    for rules in (GUARDED, SIMPLE, REJECTION):
        item = judge(read("rim-speed", "5200 ft/min", u="50 ft/min", limit=own), *SPEED, rules=rules)
        assert item.verdict == "stop", item.text


@pytest.mark.parametrize("own", [inline("ft/min", wear=(NONE, "3000")), inline("ft/min", fit=(NONE, "3000")), inline("m/s", wear=(NONE, "15.24"))])
def test_a_tighter_figure_of_ones_own_does_tighten_it(own: Any) -> None:
    for rules in (GUARDED, SIMPLE, REJECTION):
        for y in ("2950", "3050", "4000"):  # in doubt, past, and well within the table's rule
            item = judge(read("rim-speed", f"{y} ft/min", u="50 ft/min", limit=own), *SPEED, rules=rules)
            assert (item.verdict, item.p_serviceable) == ("stop", None), item.text
            assert "your own figure" in item.text
        fine = judge(read("rim-speed", "2000 ft/min", u="50 ft/min", limit=own), *SPEED, rules=rules)
        assert (fine.verdict, fine.veto) == ("within_fit", "")


@pytest.mark.parametrize(("y", "verdict"), [("10", "stop"), ("14.9", "stop"), ("17", "within_fit"), ("21", "stop")])
def test_a_rule_with_two_sides_names_both(y: str, verdict: str) -> None:
    item = judge(read("rail", f"{y} in", u="0.2 in"), *RAIL)
    assert item.verdict == verdict
    assert "never under 15 in" in item.text
    assert "nor over 20 in" in item.text


def test_a_quantity_that_cannot_be_negative_is_cut_off_at_zero_under_a_safety_limit() -> None:
    """A reading of nothing by a coarse tool: untruncated 95.2 %, cut off at zero 90.4 %; doubt counts against it."""
    assert judge(read("rim-speed", "0 ft/min", u="3000 ft/min"), *SPEED).verdict == "stop"


def test_a_coarse_tool_never_makes_a_distance_pass() -> None:
    parts = (characteristic("distance", "stop", "harmless"), limit("distance", (d("2"), FREE), (d("2"), FREE), kind="safety"))
    for u in ("0.5", "5", "50", "5000"):
        assert judge(read("distance", "2.1 in", u=f"{u} in"), *parts).verdict == "stop"
