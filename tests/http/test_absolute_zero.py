"""No thing is colder than absolute zero (0 K, -273.15 degC, -459.67 degF: the SI's own definition), wherever a temperature is taken."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from halfthou_service.bench.readings import Reading, Rules
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import Quantity

COLDER = [("-300", "degC"), ("-273.151", "degC"), ("-459.68", "degF"), ("-0.001", "K")]
COLDEST = [("-273.15", "degC"), ("-459.67", "degF"), ("0", "K")]
ROD = "rod-bearing-running-clearance"


def of(value: str, unit: str) -> dict[str, Any]:
    return {"value": Decimal(value), "unit": unit}


@pytest.mark.parametrize(("value", "unit"), COLDER)
def test_a_reading_below_it_is_refused_wherever_it_holds_a_temperature(send, rod, value, unit):
    cold = of(value, unit)
    water = {"id": "water", "characteristic": "water-temperature", "value": cold}
    part = {**rod, "id": "part", "temperature": cold}
    tool = {**rod, "id": "tool", "temperature": of("68", "degF"), "instrument_temperature": cold}
    own = {"id": "own", "characteristic": "own-check", "value": of("20", "degC"), "standard_uncertainty": of("1", "degC"),
           "limit": {"fit": {"low": cold}}}  # fmt: skip
    status, answer = send([rod, water, part, tool, own])
    assert status == 200
    good, *bad = answer["items"]
    assert good["verdict"] == "usable"
    pointers = ("value", "temperature", "instrument_temperature", "limit/fit/low")
    assert [(i["problem"]["code"], i["problem"]["pointer"]) for i in bad] == [
        ("impossible", f"/readings/{n}/{pointer}/value") for n, pointer in enumerate(pointers, 1)
    ]
    assert "below absolute zero (-273.15 degC, -459.67 degF)" in bad[0]["text"]


@pytest.mark.parametrize(("value", "unit"), COLDEST)
def test_the_coldest_there_is_is_still_a_temperature(send, rod, value, unit):
    _, answer = send([{**rod, "temperature": of(value, unit)}])
    assert "problem" not in answer["items"][0]


@pytest.mark.parametrize(("value", "unit"), COLDER)
def test_a_survey_below_it_is_refused(send, rod, value, unit):
    sizes = [{"station": s, "value": of(v, "in")} for s, v in (("top", "5.2621"), ("below", "5.2511"))]
    survey = {"id": "bore", "feature": "cylinder-bore", "instrument": "dial-bore-gauge", "readings": sizes, "temperature": of(value, unit)}
    _, answer = send([rod], surveys=[survey])
    problem = answer["surveys"][0]["problem"]
    assert (problem["code"], problem["pointer"]) == ("impossible", "/surveys/0/temperature/value")


def test_a_cell_below_it_is_refused_with_its_column(client):
    text = f"characteristic,value,temperature (degF)\n{ROD},3.8 thou,68\n{ROD},3.8 thou,-500\n"
    answer = client.post('/v1/verdicts?engine_class=slow-open-crank&dimension.crankpin=2 1/4"', data=text, content_type="text/csv")
    problem = answer.json["items"][1]["problem"]
    assert (problem["code"], problem["line"], problem["column"]) == ("impossible", 3, "temperature")


@pytest.mark.parametrize(("value", "unit"), COLDER)
def test_no_calculation_takes_one(client, value, unit):
    inputs = {"outer_temperature": {"value": float(value), "unit": unit}}
    answer = client.post("/v1/calculations/thermal-clearance", json={"inputs": inputs})
    assert answer.status_code == 422
    (fault,) = [e for e in answer.json["errors"] if e["pointer"].startswith("/inputs/outer_temperature")]
    assert fault["code"] == "impossible"


def test_nor_does_the_bench_without_a_service(table):
    shop = Bench(table, Engine(table.classes["slow-open-crank"], dimensions={"bore": Quantity.of(5, "in")}), Rules())
    water = shop.judge(Reading("r", "water-temperature", (Quantity.of(-300, "degC"),)))
    assert water.problem is not None
    assert (water.problem.code, water.problem.pointer) == ("impossible", "/value")
    bore = Reading("r", "cylinder-bore-wear", (Quantity.of("0.5", "in"),), temperature=Quantity.of(-300, "degC"), confirmed=True)
    assert (found := shop.judge(bore).problem) is not None
    assert (found.code, found.pointer) == ("impossible", "/temperature")
