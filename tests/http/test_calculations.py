"""Calculations over HTTP: described, worked out with doubt carried through, refused by the name of the input, never a failure."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import simplejson
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.calculations.a_support import GOOD, read

from halfthou_service import calculations as package
from halfthou_service.calculations import CALCULATIONS
from halfthou_service.calculations.frame import Calculation, Input, from_si
from halfthou_service.http.openapi import document
from halfthou_service.http.problem_kinds import CALCULATION_CODES
from halfthou_service.http.problems import KINDS
from halfthou_service.http.schemas.calculations import schema_name
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.units import units_of

EVERY = [pytest.param(c, id=c.id) for c in CALCULATIONS.values()]
SPEC = document()
TANK_AIR = {"tank": "small-soldered-tank", "pressure_start": {"value": 3, "unit": "psi"}}


def q(value: Any, unit: str) -> dict[str, Any]:
    return {"value": value, "unit": unit}


def body_of(value: Any) -> Any:
    """An input of the calculations' own tests as JSON."""
    if isinstance(value, Quantity):
        return q(value.value, value.unit.token)
    return [body_of(each) for each in value] if isinstance(value, list) else value


def good(calculation: str) -> dict[str, Any]:
    items = {item.name: item for item in CALCULATIONS[calculation].inputs}
    return {name: body_of(read(items[name], text)) for name, text in GOOD[calculation].items()}


@pytest.fixture
def ask(client) -> Callable[..., tuple[int, Any]]:
    """POST inputs to a calculation: (status, decoded answer)."""

    def post(calculation: str, inputs: Any, **more: Any) -> tuple[int, Any]:
        text = simplejson.dumps({"inputs": inputs} | more, use_decimal=True)
        answer = client.post(f"/v1/calculations/{calculation}", data=text, content_type="application/json")
        return answer.status_code, simplejson.loads(answer.text, use_decimal=True)

    return post


def told(answer: Any) -> dict[str, Any]:
    return {output["name"]: output for output in answer["outputs"]}


def check(name: str, value: Any) -> None:
    plain = simplejson.loads(simplejson.dumps(value, use_decimal=True))
    jsonschema.Draft202012Validator({"components": SPEC["components"], "$ref": f"#/components/schemas/{name}"}).validate(plain)


# -- described ---------------------------------------------------------------------------------------------------


def test_the_list_holds_every_calculation(client):
    items = client.get("/v1/calculations").json["items"]
    assert [item["id"] for item in items] == list(CALCULATIONS)
    assert all(item["path"] == f"/v1/calculations/{item['id']}" and item["says"].endswith(".") for item in items)


@pytest.mark.parametrize("what", EVERY)
def test_each_is_described_whole(client, what: Calculation):
    body = simplejson.loads(client.get(f"/v1/calculations/{what.id}").text, use_decimal=True)
    check("Calculation", body)
    assert [item["name"] for item in body["inputs"]] == [item.name for item in what.inputs]
    for told_input, item in zip(body["inputs"], what.inputs, strict=True):
        assert set(told_input["units"]) == (set() if item.dimension in ("choice", "flag") else set(units_of(item.dimension)))
        assert bool(told_input["choices"]) == (item.dimension == "choice")
        assert told_input["required"] == (item.required and item.default is None)
    assert body["docs"] == what.docs
    assert body["assumptions"]
    assert body["references"]
    named = set(re.findall(r"C[0-9]{3}", " ".join(what.cautions)))
    assert {caution["id"] for caution in body["cautions"]} == named
    assert body["schema"].rpartition("/")[2] in SPEC["components"]["schemas"]


@pytest.mark.parametrize("what", EVERY)
def test_each_has_a_schema_of_its_own_that_refuses_what_it_does_not_know(what: Calculation):
    schema = SPEC["components"]["schemas"][schema_name(what)]
    inputs = schema["properties"]["inputs"]
    assert schema["additionalProperties"] is inputs["additionalProperties"] is False
    assert set(inputs["properties"]) == {item.name for item in what.inputs}
    assert {"$ref": f"#/components/schemas/{schema_name(what)}"} in SPEC["paths"]["/v1/calculations/{calculation_id}"]["post"]["requestBody"][
        "content"]["application/json"]["schema"]["anyOf"]  # fmt: skip


def test_an_unknown_calculation_is_not_found_with_near_matches(client):
    for answer in (client.get("/v1/calculations/journal-flim"), client.post("/v1/calculations/journal-flim", json={"inputs": {}})):
        assert answer.status_code == 404
        assert answer.json["near"] == ["journal-film"]


# -- worked out --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("calculation", GOOD)
def test_good_inputs_are_answered_and_hold_against_both_schemas(ask, calculation: str):
    inputs = good(calculation)
    check(schema_name(CALCULATIONS[calculation]), {"inputs": inputs})
    status, answer = ask(calculation, inputs)
    assert status == 200, answer
    check("CalculationAnswer", answer)
    assert [output["name"] for output in answer["outputs"]] == [output.name for output in CALCULATIONS[calculation].outputs]
    assert any(output["value"] is not None for output in answer["outputs"])
    for part, declared in (("assumptions", "assumptions"), ("references", "references"), ("warnings", "cautions")):
        assert answer[part] == list(getattr(CALCULATIONS[calculation], declared))


def test_units_follow_the_inputs_unless_asked_for(ask):
    inch = {"stroke": q(6, "in"), "speed": q(450, "rpm")}
    metric = {"stroke": q(150, "mm"), "speed": q(450, "rpm")}
    for inputs, more, unit, value in ((inch, {}, "ft/min", Decimal(450)), (metric, {}, "m/s", Decimal("2.25")),
                                      (inch, {"units": "metric"}, "m/s", Decimal("2.286")),
                                      (metric | {"speed": q(450, "rpm")}, {"units": "inch"}, "ft/min", Decimal("442.9133858"))):  # fmt: skip
        found = told(ask("piston-speed", inputs, **more)[1])["mean_piston_speed"]
        assert (found["value"], found["unit"]) == (value, unit)


@pytest.mark.parametrize("unit", units_of("length"))
def test_any_listed_unit_of_the_right_kind_is_taken(ask, unit: str):
    stroke = Decimal("0.15") / Decimal(str(float(Quantity.of(1, unit).canonical)))
    status, answer = ask("piston-speed", {"stroke": q(round(stroke, 8), unit), "speed": q(7.5, "rev/s")}, units="metric")
    assert status == 200
    assert abs(told(answer)["mean_piston_speed"]["value"] - Decimal("2.25")) < Decimal("0.000001")


def test_doubt_is_carried_through(ask):
    inputs = {"stroke": q(6, "in"), "speed": q(450, "rpm")}
    _, answer = ask("piston-speed", inputs, standard_uncertainties={"speed": q(4.5, "rpm"), "stroke": q(Decimal("0.06"), "in")})
    u = told(answer)["mean_piston_speed"]["standard_uncertainty"]
    assert u == q(Decimal("6.364"), "ft/min")  # 1 % and 1 % of 450, at right angles
    assert told(ask("piston-speed", inputs)[1])["mean_piston_speed"]["standard_uncertainty"] is None


def test_doubt_of_a_temperature_is_a_difference(ask):
    inputs = good("bearing-heat-balance") | {"air_temperature": q(70, "degF")}
    status, answer = ask("bearing-heat-balance", inputs, standard_uncertainties={"air_temperature": q(5, "delta_degF")})
    assert status == 200
    assert told(answer)["film_temperature"]["unit"] == "degF"
    assert told(answer)["film_temperature"]["standard_uncertainty"]["unit"] == "delta_degF"
    status, answer = ask("bearing-heat-balance", inputs, standard_uncertainties={"air_temperature": q(5, "degF")})
    assert (status, answer["errors"][0]["pointer"]) == (422, "/standard_uncertainties/air_temperature/unit")
    assert "delta_degF" in answer["errors"][0]["allowed"]


def test_what_is_taken_and_what_limits_it_is_said(ask):
    _, answer = ask("journal-film", good("journal-film"))
    assert "feed not given: taken as drip" in answer["assumed"]
    assert "starved-feed" in {flag["code"] for flag in answer["flags"]}
    assert "upper bound" in simplejson.dumps(answer["flags"])


@pytest.mark.parametrize(("calculation", "inputs", "cautions"), [
    ("flat-belt", {"driver_diameter": q(16, "in"), "driver_speed": q(450, "rpm"), "driven_diameter": q(8, "in")}, {"C047", "C060", "C027", "C053"}),
    ("flywheel-rim", GOOD["flywheel-rim"], {"C053", "C027", "C051", "C028"}),
    ("flywheel-energy", GOOD["flywheel-energy"], {"C025"}),
    ("tank-leak-down", {"tank": "small-soldered-tank", "liquid_height": q(8, "in")}, {"C001", "C002", "C003", "C005", "C007", "C008", "C010"}),
    ("compression-pressure", {"compression_ratio": q(4, "ratio")}, {"C048", "C049", "C063"}),
])  # fmt: skip
def test_answers_that_can_hurt_carry_their_cautions_in_full(ask, calculation: str, inputs: dict[str, Any], cautions: set[str]):
    status, answer = ask(calculation, good(calculation) if isinstance(next(iter(inputs.values())), str) and calculation in GOOD else inputs)
    assert status == 200, answer
    assert cautions <= {caution["id"] for caution in answer["cautions"]}
    assert all(caution["says"] and caution["hazard"] for caution in answer["cautions"])


def test_every_caution_that_is_named_is_on_file(table):
    for what in CALCULATIONS.values():
        assert set(re.findall(r"C[0-9]{3}", " ".join((*what.cautions, what.docs)))) <= set(table.cautions), what.id


# -- refused -----------------------------------------------------------------------------------------------------

FILM = {"journal_diameter": q(2, "in"), "bearing_length": q(3, "in"), "diametral_clearance": q(3, "thou"), "speed": q(450, "rpm"),
        "load": q(600, "lbf"), "viscosity": q(60, "mPa.s")}  # fmt: skip
SHIM = {"pack_now": q(0.03, "in"), "clearance_now": q(7, "thou"), "least_clearance": q(2, "thou"), "most_clearance": q(4, "thou"),
        "stock": [q(2, "thou"), q(5, "thou")]}  # fmt: skip
REFUSED = [
    ("journal-film", FILM | {"load": q(600, "psi")}, "wrong-dimension", "/inputs/load/unit"),
    ("journal-film", FILM | {"load": 600}, "no-unit", "/inputs/load"),
    ("journal-film", FILM | {"load": {"value": 600}}, "no-unit", "/inputs/load/unit"),
    ("journal-film", FILM | {"load": "600 lbf"}, "bad-quantity", "/inputs/load"),
    ("journal-film", FILM | {"load": q("600", "lbf")}, "not-a-number", "/inputs/load/value"),
    ("journal-film", FILM | {"load": q(600, "lbff")}, "unknown-unit", "/inputs/load/unit"),
    ("journal-film", FILM | {"load": q(0, "lbf")}, "out-of-range", "/inputs/load"),
    ("journal-film", FILM | {"load": q(-600, "lbf")}, "out-of-range", "/inputs/load"),
    ("journal-film", {k: v for k, v in FILM.items() if k != "load"}, "missing-input", "/inputs/load"),
    ("journal-film", FILM | {"laod": q(600, "lbf")}, "unknown-input", "/inputs/laod"),
    ("journal-film", FILM | {"feed": "dripp"}, "wrong-kind", "/inputs/feed"),
    ("journal-film", FILM | {"feed": True}, "wrong-kind", "/inputs/feed"),
    ("journal-film", FILM | {"feed": q(1, "in")}, "wrong-kind", "/inputs/feed"),
    ("journal-film", FILM | {"journal_roughness": q(16, "uin")}, "missing-input", "/inputs/bearing_roughness"),
    ("shim-pack", SHIM | {"stock": q(2, "thou")}, "wrong-kind", "/inputs/stock"),
    ("shim-pack", SHIM | {"stock": []}, "out-of-range", "/inputs/stock"),
    ("shim-pack", SHIM | {"stock": [q(2, "thou")] * 16}, "out-of-range", "/inputs/stock"),
    ("shim-pack", SHIM | {"stock": [q(2, "thou"), q(2, "V")]}, "wrong-dimension", "/inputs/stock/1/unit"),
    ("piston-speed", {"stroke": q(6, "in"), "speed": q(450, "rpm"), "mean_piston_speed": q(450, "ft/min")}, "too-many-inputs",
     "/inputs/mean_piston_speed"),
    ("piston-position", {"stroke": q(6, "in"), "rod_length": q(2, "in"), "crank_angle": q(30, "deg")}, "impossible", "/inputs/rod_length"),
    ("flywheel-rim", {"diameter": q(24, "in"), "speed": q(450, "rpm"), "construction": "cracked"}, "refused", "/inputs/construction"),
    ("tank-leak-down", TANK_AIR, "unsafe", "/inputs/pressure_start"),
    ("piston-speed", [], "bad-field", "/inputs"),
    ("piston-speed", None, "bad-field", "/inputs"),
]  # fmt: skip


@pytest.mark.parametrize(("calculation", "inputs", "code", "pointer"), REFUSED, ids=lambda v: v if isinstance(v, str) else "")
def test_a_wrong_input_is_refused_by_name(ask, calculation: str, inputs: Any, code: str, pointer: str):
    status, answer = ask(calculation, inputs)
    assert (status, answer["type"]) == (422, f"/problems/{code}"), answer
    assert [(error["code"], error["pointer"]) for error in answer["errors"]] == [(code, pointer)]


def test_a_wrong_kind_of_unit_is_told_with_those_allowed(ask):
    _, answer = ask("journal-film", FILM | {"load": q(600, "psi")})
    assert answer["errors"][0]["allowed"] == list(units_of("force"))
    _, answer = ask("journal-film", FILM | {"feed": "dripp"})
    assert answer["errors"][0]["near"] == ["drip"]


def test_all_faults_are_told_at_once(ask):
    status, answer = ask("journal-film", {"load": 600, "speed": q(450, "V"), "bearing_length": q(400, "in"), "feeed": "drip"}, unitss="inch",
                         standard_uncertainties={"load": q(1, "V"), "viscosity": q(-1, "cP"), "feed": q(1, "in")})  # fmt: skip
    assert status == 422
    assert {error["pointer"] for error in answer["errors"]} == {
        "/inputs/load", "/inputs/speed/unit", "/inputs/bearing_length", "/inputs/feeed", "/unitss", "/inputs/journal_diameter",
        "/inputs/diametral_clearance", "/inputs/viscosity", "/standard_uncertainties/load/unit", "/standard_uncertainties/viscosity",
        "/standard_uncertainties/feed",
    }  # fmt: skip


def test_an_uncertainty_where_none_can_be_carried_is_refused_by_name(ask):
    inputs = {"stroke": q(6, "in"), "rod_length": q(14, "in"), "travel": q(0, "in")}
    status, answer = ask("piston-position", inputs, standard_uncertainties={"travel": q(1, "thou")})
    assert (status, answer["errors"][0]["pointer"]) == (422, "/standard_uncertainties/travel")


def test_no_air_for_a_small_soldered_tank_says_what_to_do_instead(ask):
    _, answer = ask("tank-leak-down", TANK_AIR)
    assert "Fill it with water" in answer["detail"]
    assert not re.search(r"\d(\.\d+)? psi", answer["detail"])


@pytest.mark.parametrize(("body", "content_type", "status", "slug"), [
    ("{", "application/json", 400, "bad-json"), ("[]", "application/json", 422, "bad-field"), ("", "application/json", 400, "bad-json"),
    ('{"inputs": {"stroke": 1, "stroke": 2}}', "application/json", 400, "duplicate-key"), ("{}", "text/plain", 415, "unsupported-media-type"),
    ('{"inputs": {"stroke": {"value": NaN, "unit": "in"}}}', "application/json", 400, "bad-json"), ("{}", "application/json", 422, "missing-field"),
    ('{"inputs": {}, "units": "imperial"}', "application/json", 422, "several-faults"),
    ('{"inputs": {"stroke": {"value": 1e400, "unit": "in"}, "speed": {"value": 1, "unit": "rpm"}}}', "application/json", 422, "number-out-of-range"),
])  # fmt: skip
def test_a_body_that_is_none_is_refused(client, body: str, content_type: str, status: int, slug: str):
    answer = client.post("/v1/calculations/piston-speed", data=body, content_type=content_type)
    assert (answer.status_code, answer.json["type"]) == (status, f"/problems/{slug}")


def test_parameters_are_refused(client):
    assert client.post("/v1/calculations/piston-speed?units=inch", json={"inputs": {}}).json["type"] == "/problems/unknown-parameter"
    assert client.get("/v1/calculations/piston-speed?units=inch").json["type"] == "/problems/unknown-parameter"


def test_every_code_of_a_calculation_is_a_kind_of_problem():
    sources = "\n".join(path.read_text(encoding="utf-8") for path in Path(package.__path__[0]).glob("*.py"))
    raised = set(re.findall(r'(?:Calculation|Uncertainty)Error\((?:[^()]|\([^()]*\))*"([a-z]+(?:-[a-z]+)+|[a-z]+)"\)', sources))
    assert {"impossible", "unsafe", "refused", "missing-input"} <= raised
    assert raised <= set(CALCULATION_CODES)
    assert set(CALCULATION_CODES.values()) <= set(KINDS)


# -- whatever is sent --------------------------------------------------------------------------------------------


def values(item: Input) -> st.SearchStrategy[Any]:
    """Values of an input: within its range, at its ends, and far off."""
    if item.dimension == "flag":
        return st.booleans()
    if item.dimension == "choice":
        return st.sampled_from(item.choices)
    low = from_si(item.low, item.unit) if item.low is not None else -1e3
    high = from_si(item.high, item.unit) if item.high is not None else 1e6
    span = high - low
    inside = [v for v in (low + span * 1e-6, low + span * 1e-4, low + span / 3, 0.0, 1.0, high * 0.999999) if low < v < high]
    number = st.one_of(st.sampled_from(inside), st.floats(low + span * 1e-9, low + span * 1e-3), st.floats(low + span * 1e-9, high))
    one = number.map(lambda v: q(float(f"{v:.12g}") if 1e-12 < abs(v) < 1e12 else 0, item.unit))
    return st.lists(one, min_size=1, max_size=4) if item.many else one


@st.composite
def requests(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    what = draw(st.sampled_from(list(CALCULATIONS.values())))
    inputs = {i.name: draw(values(i)) for i in what.inputs if (i.required and i.default is None) or draw(st.integers(0, 2)) == 0}
    doubts = {n: q(1e-6, v["unit"] if v["unit"] not in ("degF", "degC") else "delta_degC") for n, v in inputs.items() if isinstance(v, dict)}
    doubts = {n: u for n, u in doubts.items() if draw(st.integers(0, 3)) == 0}
    return what.id, {"inputs": inputs, "standard_uncertainties": doubts, "units": draw(st.sampled_from(["inch", "metric"]))}


@given(requests())
@settings(max_examples=400, deadline=None, database=None, derandomize=True, suppress_health_check=list(HealthCheck))
def test_any_inputs_in_range_are_answered_or_refused_by_name(app, request_):
    calculation, body = request_
    answer = app.test_client().post(f"/v1/calculations/{calculation}", json=body)
    assert answer.status_code in (200, 422), answer.text
    if answer.status_code == 200:
        check("CalculationAnswer", answer.json)
    else:
        assert all(error["pointer"].startswith(("/inputs", "/standard_uncertainties")) for error in answer.json["errors"]), answer.text
