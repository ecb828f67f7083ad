"""``second_opinion`` of a reading over HTTP: asked by true or by what is known, answered beside the verdict, refused by name."""

from __future__ import annotations

from typing import Any

import jsonschema
import pytest

from halfthou_service.http.openapi import document

SPEC = document()
ROD = "rod-bearing-running-clearance"


def q(value: Any, unit: str) -> dict[str, Any]:
    return {"value": value, "unit": unit}


@pytest.fixture
def ask(client):
    """One reading with ``second_opinion``: (status, decoded answer)."""

    def post(asked: Any, characteristic: str = ROD, **more: Any) -> tuple[int, Any]:
        sizes = {"crankpin": q(2.25, "in"), "crankpin-length": q(2.5, "in"), "bore": q(5, "in"), "rated-speed": q(450, "rpm")}
        reading = {"characteristic": characteristic, "value": q(6, "thou"), "standard_uncertainty": q(0.1, "thou"), "second_opinion": asked}
        body = {"engine": {"engine_class": "slow-open-crank", "dimensions": sizes}, "readings": [reading]} | more
        answer = client.post("/v1/verdicts", json=body)
        return answer.status_code, answer.json

    return post


@pytest.mark.parametrize(("asked", "opinion"), [
    (True, "cannot_tell"), ({}, "cannot_tell"), ({"load": q(300, "lbf")}, "supports"), ({"load": q(6000, "lbf"), "feed": "flooded"}, "warns"),
    ({"firing_pressure": q(2, "MPa"), "viscosity": q(60, "cP"), "journal_roughness": q(0.4, "um"), "bearing_roughness": q(0.8, "um")}, "cannot_tell"),
])  # fmt: skip
def test_it_stands_beside_the_verdict(ask, asked: Any, opinion: str):
    status, answer = ask(asked)
    assert status == 200
    item = answer["items"][0]
    assert item["verdict"] == "usable"
    found = item["second_opinion"]
    assert found["opinion"] == opinion
    assert len(found["limits"]) == 2
    jsonschema.Draft202012Validator({"components": SPEC["components"], "$ref": "#/components/schemas/SecondOpinion"}).validate(found)
    for film in found["films"]:
        assert film["load"]["unit"] == "lbf"
        assert film["film"]["unit"] == found["least_film"]["unit"] == "thou"


def test_it_is_told_in_the_units_asked_for(ask):
    _, answer = ask({"load": q(300, "lbf")}, units="metric")
    film = answer["items"][0]["second_opinion"]["films"][0]
    assert (film["load"], film["film"]["unit"]) == (q(1334.5, "N"), "um")


def test_it_is_absent_where_not_asked_for(ask):
    assert "second_opinion" not in ask(False)[1]["items"][0]


@pytest.mark.parametrize(("asked", "code", "pointer"), [
    ("yes", "bad-field", ""), (None, "bad-field", ""), ({"laod": q(1, "lbf")}, "unknown-field", "/laod"),
    ({"load": q(1, "psi")}, "wrong-dimension", "/load/unit"), ({"load": q(0, "lbf")}, "not-positive", "/load/value"),
    ({"load": 300}, "no-unit", "/load"),
    ({"feed": "dripp"}, "bad-field", "/feed"), ({"feed": 1}, "bad-field", "/feed"),
])  # fmt: skip
def test_a_wrong_one_is_refused_by_name(ask, asked: Any, code: str, pointer: str):
    status, answer = ask(asked)
    assert (status, answer["type"]) == (422, f"/problems/{code}")
    assert [error["pointer"] for error in answer["errors"]] == [f"/readings/0/second_opinion{pointer}"]


def test_it_is_for_bearing_clearances_only(ask):
    status, answer = ask(True, "rod-side-clearance")
    assert status == 422
    assert (answer["errors"][0]["pointer"], answer["errors"][0]["allowed"]) == (
        "/readings/0/second_opinion", [ROD, "main-bearing-running-clearance"])  # fmt: skip
