"""The demonstration sheet: one invented engine, judged over HTTP against a table worked out by hand beforehand."""

from __future__ import annotations

import copy
import json
import re
import tomllib
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from halfthou_service.http import create_app

HERE = Path(__file__).parent
SHEET: dict[str, Any] = json.loads(files("halfthou_service.demo").joinpath("sheet.json").read_text("utf-8"))
READINGS: dict[str, dict[str, Any]] = {r["id"]: r for r in SHEET["readings"]}
EXPECTED: dict[str, dict[str, Any]] = {
    r["id"]: r for r in tomllib.loads((HERE / "expected.toml").read_text("utf-8"))["reading"]
}  # fmt: skip
FIGURES: dict[str, dict[str, Any]] = {f["id"]: f for f in tomllib.loads((HERE / "expected.toml").read_text("utf-8"))["figure"]}
NOT_CARRIED: dict[str, Any] = tomllib.loads((HERE / "not-carried.toml").read_text("utf-8"))

KEYS = frozenset(
    "id characteristic value low high finding instrument place state expanded_uncertainty coverage_factor relative along "
    "temperature limit note".split()
)
TOLERANCE = 0.0015
"""Chances are typed to four figures, with a u rounded as the sheet states it."""


@pytest.fixture(scope="module")
def client() -> Any:
    return create_app().test_client()


def judged(client: Any, sheet: dict[str, Any]) -> dict[str, Any]:
    response = client.post("/v1/verdicts", json=sheet)
    assert response.status_code == 200, response.get_data(as_text=True)[:2000]
    answer: dict[str, Any] = json.loads(response.get_data(as_text=True))
    return answer


@pytest.fixture(scope="module")
def answer(client: Any) -> dict[str, Any]:
    return judged(client, SHEET)


@pytest.fixture(scope="module")
def items(answer: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {item["id"]: item for item in answer["items"]}


def clashes(answer: dict[str, Any]) -> set[frozenset[str]]:
    """Which readings are set against which."""
    return {frozenset(c["ids"]) for c in answer["contradictions"]}


def only(client: Any, *ids: str, **changes: Any) -> dict[str, dict[str, Any]]:
    """Some readings of the sheet by themselves, the last one changed."""
    readings = [copy.deepcopy(READINGS[i]) for i in ids]
    readings[-1].update(changes)
    return {item["id"]: item for item in judged(client, {**SHEET, "readings": readings, "surveys": []})["items"]}


# -- the sheet and the table beside it ---------------------------------------------------------------------------


def test_the_sheet_says_that_it_is_invented() -> None:
    assert SHEET["engine"]["id"] == "invented-demo-engine"
    assert all(r["note"].startswith("Invented.") for r in SHEET["readings"])


def test_the_sheet_keeps_to_the_contract() -> None:
    assert set(SHEET) == {"engine", "stage", "units", "readings", "surveys"}
    assert len(READINGS) == len(SHEET["readings"])
    for reading in SHEET["readings"]:
        assert set(reading) <= KEYS, reading["id"]
        assert ("expanded_uncertainty" in reading) == ("coverage_factor" in reading), reading["id"]
        assert (reading["id"][0] == "m") == (reading.get("state") == "as_made"), reading["id"]


def test_no_row_of_the_notes_was_dropped_silently() -> None:
    told = {(i[0], int(i[1:3])) for i in READINGS}
    told |= {(entry["row"][0], int(entry["row"][1:3])) for entry in NOT_CARRIED["left_out"] if "row" in entry}
    assert told == {(section, n) for section, rows in NOT_CARRIED["rows"].items() for n in range(1, rows + 1)}
    for entry in NOT_CARRIED["left_out"]:
        assert entry["what"].strip()
        assert entry["reason"].strip()
        assert entry.get("part_of", "a01") in READINGS


def test_every_reading_has_an_expectation_with_its_reason() -> None:
    assert list(EXPECTED) == list(READINGS)
    assert all(e["reason"].strip() and e.get("revised", "x").strip() for e in EXPECTED.values())


# -- every verdict -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("reading_id", list(EXPECTED))
def test_a_reading_comes_out_as_worked_out(items: dict[str, dict[str, Any]], reading_id: str) -> None:
    item, expected = items[reading_id], EXPECTED[reading_id]
    assert item["verdict"] == expected["verdict"], (item["text"], expected["reason"])
    if "side" in expected:
        assert item["side"] == expected["side"], (item["text"], expected["reason"])
    for name in ("p_fit", "p_serviceable"):
        if name in expected:
            assert item[name] == pytest.approx(expected[name], abs=TOLERANCE), (name, item["text"], expected["reason"])


@pytest.mark.parametrize("figure_id", list(FIGURES))
def test_a_figure_of_a_survey_comes_out_as_worked_out(items: dict[str, dict[str, Any]], figure_id: str) -> None:
    item, expected = items[figure_id], FIGURES[figure_id]
    assert item["verdict"] == expected["verdict"], (item["text"], expected["reason"])
    assert item["side"] == expected.get("side", item["side"])
    assert item["value"] == {"value": pytest.approx(expected["value"], abs=2e-7), "unit": "in"}
    assert item["standard_uncertainty"]["value"] == pytest.approx(expected["u"], rel=1e-3)
    for name in ("p_fit", "p_serviceable"):
        if name in expected:
            assert item[name] == pytest.approx(expected[name], abs=TOLERANCE), (name, item["text"], expected["reason"])


def test_every_figure_with_a_limit_is_expected(answer: dict[str, Any]) -> None:
    assert [i["id"] for i in answer["items"][len(READINGS) :]] == list(FIGURES)
    assert [name for survey in answer["surveys"] for name in survey["items"]] == list(FIGURES)


def test_a_survey_says_what_it_cannot_see(answer: dict[str, Any]) -> None:
    pin, _, right, bore = answer["surveys"]
    assert any("45 degrees" in note for note in pin["notes"])
    assert any("three lobes" in note for note in pin["notes"])
    assert not any("no out-of-round can be shown" in note for note in pin["notes"])
    assert any("where nothing ran (below)" in note for note in bore["notes"])
    assert right["u_random"] == {"value": pytest.approx(0.00015), "unit": "in"}


def test_what_was_written_down_agrees_with_the_surveys(answer: dict[str, Any]) -> None:
    assert not [pair for pair in clashes(answer) if pair & {"s1", "s2", "s3", "s4"}]


def test_the_counts_are_those_of_the_items(answer: dict[str, Any]) -> None:
    verdicts = [e["verdict"] for e in (*EXPECTED.values(), *FIGURES.values())]
    assert answer["overall"]["counts"] == {v: verdicts.count(v) for v in set(verdicts)}


def test_things_nobody_measured_are_missed(answer: dict[str, Any]) -> None:
    missing = json.dumps(answer["missing"])
    for name in ("babbitt-bond", "head-face-flatness", "exhaust-valve-spring-force", "rod-centre-distance", "jacket-open-area"):
        assert f'"{name}"' in missing


# -- planted traps -----------------------------------------------------------------------------------------------


def test_a_strip_laid_dry_contradicts_the_oiled_one_and_the_gauge(answer: dict[str, Any]) -> None:
    assert {frozenset({"a32", "a33"}), frozenset({"a31", "a33"})} <= clashes(answer)
    assert frozenset({"a31", "a32"}) not in clashes(answer)
    text = next(c["text"] for c in answer["contradictions"] if set(c["ids"]) == {"a32", "a33"})
    assert "0.0052 in" in text
    assert "0.003 in" in text


def test_a_coarse_second_method_contradicts_nothing(answer: dict[str, Any]) -> None:
    assert frozenset({"a47", "a53"}) not in clashes(answer)


def test_a_part_as_found_and_as_made_is_no_contradiction(answer: dict[str, Any]) -> None:
    assert not [pair for pair in clashes(answer) if {i[0] for i in pair} == {"a", "m"}]


def test_a_ring_gap_in_the_worn_top_says_ring_or_bore(items: dict[str, dict[str, Any]]) -> None:
    wrong, right = items["a60"], items["a61"]
    assert (wrong["verdict"], right["verdict"]) == ("beyond_limit", "usable")
    assert "top of travel" in wrong["text"]
    assert "bore" in wrong["text"]
    assert any("below ring travel" in line and "bore is worn" in line for line in wrong["assumed"])
    assert not any("below ring travel" in line for line in right["assumed"])


def test_a_fillet_cut_sharp_is_refused_although_no_figure_is_on_file(items: dict[str, dict[str, Any]]) -> None:
    assert items["a30"]["verdict"] == "not_judged"
    assert items["m02"]["verdict"] == "beyond_limit"
    assert "breaks" in items["m02"]["text"]


def test_a_bore_under_the_order_inside_the_gauge_error_is_no_fail(items: dict[str, dict[str, Any]]) -> None:
    assert items["m04b"]["verdict"] == "undecided"
    assert items["m04b"]["side"] == "low"
    assert "cannot tell" in items["m04b"]["text"]


def test_the_order_is_told_with_its_digits(items: dict[str, dict[str, Any]]) -> None:
    assert "5.2505" in items["m04b"]["text"]
    assert "1.7995" in items["m01"]["text"]


def test_an_oval_pin_is_loose_in_line_and_perhaps_tight_across(items: dict[str, dict[str, Any]]) -> None:
    assert items["a38"]["verdict"] == "usable"
    assert (items["a39"]["verdict"], items["a39"]["side"]) == ("undecided", "low")
    assert "across the rod" in items["a39"]["text"]
    assert items["a26"]["verdict"] == "beyond_limit"


def test_wear_past_its_bound_is_never_a_new_fit_for_want_of_a_new_figure(items: dict[str, dict[str, Any]]) -> None:
    assert {items[i]["verdict"] for i in ("a56", "a64", "a77")} == {"beyond_limit"}


def test_a_cracked_hub_stops_the_engine_whatever_else_is_good(client: Any, answer: dict[str, Any]) -> None:
    assert answer["overall"]["counts"]["stop"] == 6
    assert "stop" in answer["overall"]["text"].lower()
    good = [i for i, e in EXPECTED.items() if e["verdict"] == "within_fit"]
    alone = judged(client, {**SHEET, "readings": [READINGS[i] for i in (*good, "a04")], "surveys": [], "decision_rule": "simple"})
    assert alone["overall"]["counts"] == {"within_fit": len(good), "stop": 1}
    assert "stop" in alone["overall"]["text"].lower()


@pytest.mark.parametrize("word", ["hairline from keyway", "line not settled", "crack at spoke", "welded or brazed repair"])
def test_every_word_for_a_crack_is_a_veto(client: Any, word: str) -> None:
    assert only(client, "a04", finding=word)["a04"]["verdict"] == "stop"


@pytest.mark.parametrize("reading_id", [i for i, e in EXPECTED.items() if e["verdict"] == "stop"])
def test_a_stop_says_the_rule_first_and_no_chances(items: dict[str, dict[str, Any]], reading_id: str) -> None:
    item = items[reading_id]
    assert item["text"].startswith("STOP.")
    assert not re.search(r"%|in 100|chance", item["text"])
    assert item.get("p_fit") is None
    assert item.get("p_serviceable") is None


@pytest.mark.parametrize(
    ("relative", "inches", "verdict"),
    [
        ("before", 0.3, "stop"),  # 1.19 deg early
        ("after", 0.0, "stop"),  # on dead centre: half a chance of early
        ("after", 0.2, "stop"),  # 0.79 deg late, 1.1 u: could be early
        ("after", 1.0, "within_fit"),  # 3.95 deg late, 5.6 u
    ],
)
def test_a_spark_at_start_that_may_be_early_counts_as_early(client: Any, relative: str, inches: float, verdict: str) -> None:
    item = only(client, "a88", relative=relative, value={"value": inches, "unit": "in"})["a88"]
    assert item["verdict"] == verdict
    lenient = judged(client, {**SHEET, "decision_rule": "simple", "confidence": 0.6, "surveys": [],
                              "readings": [{**READINGS["a88"], "relative": relative, "value": {"value": inches, "unit": "in"}}]})  # fmt: skip
    assert lenient["items"][0]["verdict"] == verdict


def test_a_tool_that_was_not_named_is_assumed_aloud(items: dict[str, dict[str, Any]]) -> None:
    for reading_id in ("m05", "m06", "m08", "b01", "b02", "b03", "b08", "b10", "b11", "b12"):
        assert any("no instrument named" in line for line in items[reading_id]["assumed"]), reading_id


def test_inches_round_the_rim_are_said_to_have_been_turned_to_degrees(items: dict[str, dict[str, Any]]) -> None:
    for reading_id in ("a71", "a72", "a87", "a88", "b04", "b05", "b06"):
        assert any("flywheel" in line for line in items[reading_id]["assumed"]), reading_id
