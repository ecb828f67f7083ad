"""``GET /v1/typical-dimensions``: guesses that say they are guesses, and that no verdict takes in place of a measured size."""

from __future__ import annotations

import pytest

PATH = "/v1/typical-dimensions"
ROD = "rod-bearing-running-clearance"


def ask(client, **query: str):
    return client.get(PATH, query_string=query)


def test_every_item_and_the_answer_itself_say_that_they_guess(client):
    answer = ask(client, power="5 hp", engine_class="slow-open-crank").json
    assert answer["guess"] is True
    assert answer["text"].startswith("A guess to start from")
    assert answer["items"]
    for item in answer["items"]:
        assert item["guess"] is True
        assert item["grade"] in ("from-memory", "common-practice")
        assert set(item) >= {"dimension", "low", "high", "unit", "note", "for_power", "one_engine"}


def test_the_recalled_crankpin_of_five_horses(client):
    (pin,) = [i for i in ask(client, power="5 hp").json["items"] if i["dimension"] == "crankpin"]
    assert (pin["low"], pin["high"]) == ({"value": 1.5, "unit": "in"}, {"value": 2.125, "unit": "in"})


def test_metric_is_told_exactly(client):
    (pin,) = [i for i in ask(client, power="5 hp", units="metric").json["items"] if i["dimension"] == "crankpin"]
    assert (pin["low"], pin["unit"]) == ({"value": 38.1, "unit": "mm"}, "mm")  # 1.5 x 25.4


def test_a_stroke_out_of_the_usual_is_doubted(client):
    assert "trust these guesses less" in ask(client, power="5 hp", stroke="20 in").json["text"]


def test_a_class_without_guesses_answers_that_it_has_none(client):
    answer = ask(client, power="5 hp", engine_class="medium-enclosed-crank")
    assert (answer.status_code, answer.json["items"]) == (200, [])
    assert "No usual sizes are on file" in answer.json["text"]


@pytest.mark.parametrize(
    ("query", "status", "slug"),
    [
        ({}, 400, "missing-parameter"), ({"power": "50 hp"}, 422, "outside-size-range"), ({"power": "5"}, 422, "no-unit"),
        ({"power": "5 in"}, 422, "wrong-dimension"), ({"power": "-5 hp"}, 422, "not-positive"),
        ({"power": "5 hp", "stroke": "3 V"}, 422, "wrong-dimension"), ({"power": "5 hp", "engine_class": "slow-open"}, 404, "unknown-engine-class"),
        ({"power": "5 hp", "units": "cubits"}, 400, "bad-parameter"), ({"power": "5 hp", "bore": "3 in"}, 400, "unknown-parameter"),
        ({"power": "5 hp", "engine_class": "marine-diesel"}, 404, "unknown-engine-class"),
    ],
)  # fmt: skip
def test_what_cannot_be_answered_is_refused(client, query, status, slug):
    answer = ask(client, **query)
    assert (answer.status_code, answer.json["type"]) == (status, f"/problems/{slug}")


def test_a_verdict_never_takes_a_guess_for_a_size(client):
    """Power and stroke known, crankpin not: the reading is not judged, and the answer asks for the crankpin."""
    engine = {"engine_class": "slow-open-crank", "dimensions": {"rated-power": {"value": 5, "unit": "hp"}, "stroke": {"value": 8, "unit": "in"}}}
    reading = {"characteristic": ROD, "value": {"value": 4, "unit": "thou"}}
    good = {"characteristic": "spark-plug-gap", "value": {"value": 25, "unit": "thou"}}
    items = client.post("/v1/verdicts", json={"engine": engine, "readings": [reading, good]}).json["items"]
    assert (items[0]["verdict"], items[0]["problem"]["code"]) == ("not_judged", "missing-dimension")
    query = {"characteristic": ROD, "engine_class": "slow-open-crank", "dimension.rated-power": "5 hp", "dimension.stroke": "8 in"}
    assert client.get("/v1/limits", query_string=query).json["type"] == "/problems/missing-dimension"
