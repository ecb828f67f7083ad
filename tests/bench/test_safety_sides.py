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
