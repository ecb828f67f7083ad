"""The spark at starting, told from a dead centre without saying on which side: the worse side counts."""

from __future__ import annotations

from typing import Any

import pytest
from tests.papers.sheets import bench

from halfthou_service.bench.readings import Reading
from halfthou_service.bench.sheet import judge_one
from halfthou_specdb.quantity import parse_quantity as q

START = "igniter-timing-start"
SAID: list[dict[str, Any]] = [
    {"values": (q("5 deg"),)}, {"values": (q("0.8 in"),), "along": "rim-arc"}, {"values": (q("5 deg"), q("4 deg"))},
    {"go": (q("3 deg"), q("4 deg"))}, {"span": (q("3 deg"), q("4 deg"))},
]  # fmt: skip


@pytest.mark.parametrize("said", SAID)
def test_a_start_spark_whose_side_nobody_said_is_taken_as_early(said: dict[str, Any]) -> None:
    """A spark before dead centre throws the crank back at whoever holds it (common practice), so doubt about the side counts as early."""
    found = judge_one(bench(), Reading("r", START, **said))
    assert found.verdict == "stop"
    assert "say before or after" in found.text
    late = judge_one(bench(), Reading("r", START, relative="after", **said))
    assert late.verdict == "within_fit"
    assert "say before or after" not in late.text


def test_at_dead_centre_there_is_no_side_to_tell() -> None:
    assert "say before or after" not in judge_one(bench(), Reading("r", START, (q("0 deg"),))).text


def test_a_sign_is_a_side() -> None:
    found = judge_one(bench(), Reading("r", START, (q("-5 deg"),)))
    assert found.verdict == "stop"
    assert "say before or after" not in found.text


PAST: list[tuple[str, str, dict[str, Any]]] = [
    ("carbon-monoxide-level", "5000 ppm", {}), ("carbon-monoxide-level", "5000 ppm", {"instrument": "co-meter"}),
    ("flywheel-rim-speed", "90000 ft/min", {"instrument": "surface-speed-wheel"}),
    ("flywheel-rim-speed", "6000 ft/min", {"instrument": "feeler-gauge"}), ("barrier-distance", "0.1 m", {"instrument": "co-meter"}),
    ("refuel-distance", "0.1 m", {"instrument": "feeler-gauge"}),
    (START, "10 deg", {"relative": "before", "instrument": "feeler-gauge"}), (START, "10 deg", {"relative": "before", "instrument": "no-such-tool"}),
    (START, "10 deg", {"relative": "before", "standard_uncertainty": q("1 V")}), (START, "10 deg", {"relative": "before", "basis": "radial"}),
    (START, "1.5 in", {"relative": "before", "along": "rim-arc", "instrument": "co-meter"}),
    (START, "9 deg", {"relative": "before", "standard_uncertainty": q("0 deg")}),
]  # fmt: skip
"""Far past the rule as the table holds it: 35 ppm of carbon monoxide, 5,000 ft/min of rim, some metres of distance, dead centre at starting."""


@pytest.mark.parametrize(("name", "value", "more"), PAST)
def test_past_a_safety_limit_is_a_stop_whatever_it_was_read_with(name: str, value: str, more: dict[str, Any]) -> None:
    """The rule is broken although the tool does not reach so far or does not measure this; what was wrong with it is told."""
    found = judge_one(bench(), Reading("r", name, (q(value),), **more))
    assert (found.verdict, found.veto, found.problem) == ("stop", "stops-engine", None)
    assert "Besides: " in found.text
    assert any("judged by the doubt of a" in said for said in found.assumed)
    assert found.u


@pytest.mark.parametrize(("name", "value", "more", "code"), [
    (START, "40 deg", {"relative": "after", "instrument": "feeler-gauge"}, "wrong-instrument"),
    ("flywheel-rim-speed", "1000 ft/min", {"instrument": "feeler-gauge"}, "wrong-instrument"),
    (START, "10 V", {"relative": "before", "instrument": "feeler-gauge"}, "wrong-dimension"),
    ("flywheel-rim-speed", "-6000 ft/min", {}, "negative"),
])  # fmt: skip
def test_inside_a_safety_limit_a_wrong_tool_proves_nothing(name: str, value: str, more: dict[str, Any], code: str) -> None:
    found = judge_one(bench(), Reading("r", name, (q(value),), **more))
    assert (found.verdict, found.problem.code if found.problem else "") == ("not_judged", code)


def test_one_repeat_past_the_limit_stops_although_another_cannot_be_judged() -> None:
    """5,000 ppm is beyond what the meter reads; 10 ppm is not."""
    found = judge_one(bench(), Reading("r", "carbon-monoxide-level", (q("10 ppm"), q("5000 ppm"))))
    assert (found.verdict, found.value) == ("stop", 5000)
