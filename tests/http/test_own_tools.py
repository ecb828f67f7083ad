"""The owner's own tools over HTTP: used for readings and surveys of that engine alone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from halfthou_service.http import Settings, create_app

OWN = """\
[overlay]
engine = "H"
title = "My own book"

[[instrument]]
id = "{id}"
name = "my strip"
measures = "length"
default_variant = "one"
[[instrument.variant]]
id = "one"
name = "one"
parts = [{{ name = "all of it", kind = "constant", value = 0.01, unit = "thou", random = true }}]
"""
ROD = {"characteristic": "rod-bearing-running-clearance", "value": {"value": 2.8, "unit": "thou"}}
PIN = {"feature": "crankpin", "unit": "in", "readings": [{"station": s, "axis": a, "value": 2.2500} for s in ("inner", "outer") for a in "ab"]}


def asked(tmp_path: Path, tool: str, engine: str, **body: Any) -> tuple[int, Any]:
    path = tmp_path / "own.toml"
    path.write_text(OWN.format(id=tool))
    client = create_app(Settings(overlay=str(path))).test_client()
    whole = {"engine": {"id": engine, "engine_class": "slow-open-crank", "dimensions": {"crankpin": {"value": 2.25, "unit": "in"}}}} | body
    answer = client.post("/v1/verdicts", json=whole)
    return answer.status_code, answer.json


@pytest.mark.parametrize("tool", ["my-strip", "plastic-gauge-strip"])
def test_a_reading_by_ones_own_tool(tmp_path: Path, tool: str) -> None:
    status, body = asked(tmp_path, tool, "H", readings=[{**ROD, "instrument": tool}])
    assert status == 200
    item = body["items"][0]
    assert (item["instrument"], item["standard_uncertainty"]) == (f"{tool}/one", {"value": 0.01, "unit": "thou"})
    assert item["budget"] == [{"name": "all of it", "standard_uncertainty": {"value": 0.01, "unit": "thou"}, "grade": "owner", "random": True}]
    assert "by my strip" in item["text"]
    assert ".own-" in body["edition"]


def test_it_counts_for_its_own_engine_alone(tmp_path: Path) -> None:
    status, body = asked(tmp_path, "my-strip", "other", readings=[{**ROD, "instrument": "my-strip"}])
    assert (status, body["errors"][0]["code"]) == (422, "unknown-instrument")
    status, body = asked(tmp_path, "plastic-gauge-strip", "other", readings=[{**ROD, "instrument": "plastic-gauge-strip"}])
    assert status == 200
    assert body["items"][0]["standard_uncertainty"]["value"] > 0.1


def test_a_survey_by_ones_own_tool(tmp_path: Path) -> None:
    status, body = asked(tmp_path, "my-mike", "H", surveys=[{**PIN, "instrument": "my-mike"}])
    assert status == 200
    assert body["surveys"][0]["u_random"] == {"value": 0.00001, "unit": "in"}
