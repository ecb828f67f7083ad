"""Surveys over HTTP: read strictly, faults where they stand, answered beside the readings; further fields of a reading; the N:1 rule."""

from __future__ import annotations

import time
from decimal import Decimal
from typing import Any

import pytest
import simplejson

D = Decimal
SIZES = [("top", "thrust", "5.2621"), ("top", "pin", "5.2574"), ("middle", "thrust", "5.2598"), ("middle", "pin", "5.2570"),
         ("below", "thrust", "5.2516"), ("below", "pin", "5.2511")]  # fmt: skip


def inch(value: str) -> dict[str, Any]:
    return {"value": D(value), "unit": "in"}


def places(sizes: Any = SIZES, bare: bool = False) -> list[dict[str, Any]]:
    return [{"station": s, "axis": a, "value": D(v) if bare else inch(v)} for s, a, v in sizes]


@pytest.fixture
def engine() -> dict[str, Any]:
    sizes = {"bore": "5.25", "stroke": "7.5", "crankpin": "2.25", "main-journal": "2"}
    return {"engine_class": "slow-open-crank", "dimensions": {name: inch(v) for name, v in sizes.items()}}


@pytest.fixture
def bore() -> dict[str, Any]:
    return {"id": "bore", "feature": "cylinder-bore", "instrument": "dial-bore-gauge", "readings": places()}


@pytest.fixture
def ask(client, engine):
    def post(**body: Any) -> tuple[int, Any]:
        text = simplejson.dumps({"engine": engine} | body, use_decimal=True)
        answer = client.post("/v1/verdicts", data=text, content_type="application/json")
        return answer.status_code, simplejson.loads(answer.text, use_decimal=True)

    return post


def test_a_survey_is_answered_with_figures_notes_and_items(ask, bore):
    status, body = ask(surveys=[bore])
    assert status == 200
    (survey,) = body["surveys"]
    assert (survey["id"], survey["feature"], survey["instance"]) == ("bore", "cylinder-bore", None)
    told = {f["name"]: f for f in survey["figures"]}
    assert told["largest"] == {"name": "largest", "characteristic": "cylinder-bore-diameter", "value": inch("5.2621"),
                               "standard_uncertainty": told["largest"]["standard_uncertainty"], "where": "top, thrust"}  # fmt: skip
    assert told["out-of-round"]["value"] == inch("0.0047")
    assert told["taper"]["value"] == inch("0.0084")
    assert told["wear"]["value"] == inch("0.011")
    assert survey["u_random"]["unit"] == survey["u_shared"]["unit"] == "in"
    assert survey["items"] == [i["id"] for i in body["items"]] == ["bore.out-of-round", "bore.taper", "bore.wear"]
    assert any("45 degrees" in note for note in survey["notes"])
    for item in body["items"]:
        assert item["verdict"] == "beyond_limit"
        assert item["limit_id"] in body["limits"]
        assert item["budget"]
    assert body["items"][0]["place"] == {"instance": None, "station": "top", "axis": None}
    assert body["overall"]["counts"] == {"beyond_limit": 3}


def test_items_of_surveys_stand_behind_those_of_the_readings(ask, bore, rod):
    _, body = ask(readings=[rod], surveys=[bore, {**bore, "id": "again", "state": "as_made"}])
    assert [i["id"] for i in body["items"]][:2] == ["good", "bore.out-of-round"]
    assert body["items"][-1]["id"] == "again.wear"


def test_bare_numbers_take_the_unit_of_the_survey_and_quantities_their_own(ask, bore):
    _, plain = ask(surveys=[bore])
    mixed = places(bare=True)
    mixed[0]["value"] = {"value": D("5262.1"), "unit": "thou"}
    _, told = ask(surveys=[{**bore, "unit": "in", "readings": mixed}])
    assert [(i["verdict"], i["p_fit"]) for i in told["items"]] == [(i["verdict"], i["p_fit"]) for i in plain["items"]]


def test_the_answer_may_be_asked_for_in_the_other_units(ask, bore):
    _, body = ask(surveys=[bore], units="metric")
    told = {f["name"]: f["value"] for f in body["surveys"][0]["figures"]}
    assert told["out-of-round"] == {"value": D("0.11938"), "unit": "mm"}
    assert body["surveys"][0]["u_random"]["unit"] == "mm"


def test_repeats_and_a_size_when_new(ask):
    pin = {"feature": "main-journal", "instance": "left main", "unit": "in", "instrument": "outside-micrometer", "same_tool": True,
           "new": inch("2.0001"), "new_uncertainty": inch("0.0001"),
           "readings": [{"station": s, "values": [D("1.9981"), D("1.9982"), D("1.9980"), D("1.9981")]} for s in ("inner", "outer")]}  # fmt: skip
    status, body = ask(surveys=[pin])
    assert status == 200
    assert body["surveys"][0]["id"] == "s1"
    wear = next(f for f in body["surveys"][0]["figures"] if f["name"] == "wear")
    assert wear["value"] == inch("0.002")


def test_clearance_of_a_bore_and_its_shaft(ask):
    rod_bore = {"id": "b", "feature": "rod-bearing-bore", "instance": "rod", "standard_uncertainty": inch("0.0001"),
                "readings": [{"value": inch("2.2530")}]}  # fmt: skip
    pin = {"id": "p", "feature": "crankpin", "expanded_uncertainty": inch("0.0002"), "coverage_factor": D(2),
           "readings": [{"value": inch("2.2500")}]}  # fmt: skip
    _, body = ask(surveys=[rod_bore, pin])
    told = {f["name"]: f["value"] for f in body["surveys"][0]["figures"]}
    assert told["smallest-clearance"] == told["largest-clearance"] == inch("0.003")
    assert [(i["id"], i["characteristic"]) for i in body["items"]] == [
        ("b.smallest-clearance", "rod-bearing-running-clearance"), ("b.largest-clearance", "rod-bearing-running-clearance")]  # fmt: skip
    assert {i["verdict"] for i in body["items"]} == {"within_fit"}


# -- faults ------------------------------------------------------------------------------------------------------

FAULTS: list[tuple[dict[str, Any], str, str]] = [
    ({"feature": "cylinder-bor"}, "unknown-survey", "/feature"), ({"feature": 3}, "bad-field", "/feature"),
    ({"colour": "red"}, "unknown-field", "/colour"),
    ({"readings": []}, "bad-field", "/readings"), ({"readings": {}}, "bad-field", "/readings"), ({"readings": [3]}, "bad-field", "/readings/0"),
    ({"readings": [{"station": "top"}]}, "no-value", "/readings/0"),
    ({"readings": [{"value": inch("5"), "values": [inch("5")]}]}, "several-values", "/readings/0"),
    ({"readings": [{"values": []}]}, "bad-field", "/readings/0/values"),
    ({"readings": [{"value": inch("5")}, {"axis": "x", "value": D(5)}]}, "no-unit", "/readings/1/value"),
    ({"readings": [{"value": {"value": D(5), "unit": "inn"}}]}, "unknown-unit", "/readings/0/value/unit"),
    ({"readings": [{"value": {"value": D(5), "unit": "V"}}]}, "wrong-dimension", "/readings/0/value/unit"),
    ({"readings": [{"values": [inch("5"), "5 in"]}]}, "bad-quantity", "/readings/0/values/1"),
    ({"readings": [{"station": "top", "place": "x", "value": inch("5")}]}, "unknown-field", "/readings/0/place"),
    ({"readings": [{"station": "", "value": inch("5")}]}, "bad-field", "/readings/0/station"),
    ({"readings": [{"station": "a", "value": inch("5")}, {"station": "a", "value": inch("5")}]}, "bad-field", "/readings/1"),
    ({"unit": "V"}, "wrong-dimension", "/unit"), ({"unit": 3}, "no-unit", "/unit"), ({"instrument": "spoon"}, "unknown-instrument", "/instrument"),
    ({"instrument": "spring-scale"}, "wrong-instrument", "/instrument"), ({"state": "found"}, "bad-field", "/state"),
    ({"same_tool": 1}, "bad-field", "/same_tool"), ({"new": D(5)}, "no-unit", "/new"),
    ({"new": {"value": D(5), "unit": "V"}}, "wrong-dimension", "/new/unit"),
    ({"new_uncertainty": inch("0.001")}, "missing-field", "/new"), ({"shared_uncertainty": inch("0.001")}, "missing-field", "/standard_uncertainty"),
    ({"standard_uncertainty": inch("0")}, "zero-uncertainty", "/standard_uncertainty"),
    ({"expanded_uncertainty": inch("0.001")}, "missing-field", "/coverage_factor"), ({"coverage_factor": D(2)}, "bad-field", "/coverage_factor"),
    ({"temperature": inch("3")}, "wrong-dimension", "/temperature/unit"), ({"material": "steel-1020"}, "missing-field", "/temperature"),
    ({"temperature": {"value": D(70), "unit": "degF"}, "material": "cheese"}, "unknown-material", "/material"),
    ({"instance": ""}, "bad-field", "/instance"), ({"note": 5}, "bad-field", "/note"), ({"id": None}, "bad-field", "/id"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "code", "pointer"), FAULTS, ids=lambda v: v if isinstance(v, str) else None)
def test_a_fault_of_a_survey_alone_refuses_the_sheet_and_beside_others_only_that_survey(ask, bore, rod, change, code, pointer):
    bad = {**bore, **change}
    status, refused = ask(surveys=[bad])
    assert status == 422, refused
    assert (code, f"/surveys/0{pointer}") in {(e["code"], e["pointer"]) for e in refused["errors"]}
    status, body = ask(readings=[rod], surveys=[{**bore, "id": "fine"}, bad])
    assert status == 200, body
    assert [s.get("problem") is None for s in body["surveys"]] == [True, False]
    problem = body["surveys"][1]["problem"]
    assert problem["pointer"].startswith("/surveys/1/")
    assert body["items"][0]["verdict"] != "not_judged"
    last = body["items"][-1]
    assert (last["verdict"], last["problem"], body["surveys"][1]["items"]) == ("not_judged", problem, [last["id"]])
    assert body["overall"]["counts"]["not_judged"] == 1


@pytest.mark.parametrize(("sizes", "pointer"), [
    ([*SIZES[:-1], ("below", "pin", "52.511")], "/readings/5/value"), ([(s, a, f"{D(v) * 10:f}") for s, a, v in SIZES], "/readings"),
])  # fmt: skip
def test_a_suspected_slip_is_said_and_refuses_nothing(ask, bore, sizes, pointer):
    status, body = ask(surveys=[{**bore, "readings": places(sizes)}])
    assert status == 200
    problem = body["surveys"][0]["problem"]
    assert (problem["code"], problem["pointer"]) == ("suspected-slip", f"/surveys/0{pointer}")
    assert "a point one place out" in body["items"][0]["text"]


def test_missing_fields_are_all_told(ask):
    status, refused = ask(surveys=[{}])
    assert status == 422
    assert {e["pointer"] for e in refused["errors"]} == {"/surveys/0/feature", "/surveys/0/readings"}


def test_several_faults_of_one_survey_are_all_told(ask, bore):
    readings = [*places(SIZES[:2]), {"value": 3}, {"values": "x"}]
    _, refused = ask(surveys=[{**bore, "state": "odd", "readings": readings}])
    assert {e["pointer"] for e in refused["errors"]} == {"/surveys/0/state", "/surveys/0/readings/2/value", "/surveys/0/readings/3/values"}


@pytest.mark.parametrize(("body", "code", "pointer"), [
    ({"surveys": {}}, "bad-field", "/surveys"), ({"surveys": []}, "no-readings", "/readings"), ({}, "missing-field", "/readings"),
    ({"readings": [], "surveys": []}, "no-readings", "/readings"), ({"readings": 3, "surveys": []}, "bad-field", "/readings"),
])  # fmt: skip
def test_a_sheet_with_nothing_to_judge(ask, body, code, pointer):
    status, refused = ask(**body)
    assert status == 422
    assert [(e["code"], e["pointer"]) for e in refused["errors"]] == [(code, pointer)]


@pytest.mark.parametrize(("ids", "survey_ids", "pointer"), [
    (["a"], ["b", "b"], "/surveys/1/id"), (["b"], ["b"], "/readings/0/id"), (["b.wear"], ["b"], "/readings/0/id"),
    (["a", "b.x"], ["b"], "/readings/1/id"),
])  # fmt: skip
def test_ids_can_be_told_apart(ask, bore, rod, ids, survey_ids, pointer):
    status, refused = ask(readings=[{**rod, "id": i} for i in ids], surveys=[{**bore, "id": i} for i in survey_ids])
    assert status == 422
    assert (refused["type"], refused["errors"][0]["pointer"]) == ("/problems/duplicate-id", pointer)
    assert ask(readings=[{**rod, "id": "b-wear"}], surveys=[{**bore, "id": "b"}])[0] == 200


def test_a_thing_that_is_no_survey(ask, bore):
    for odd in (3, None, "x", []):
        status, body = ask(surveys=[odd, bore])
        assert status == 200
        assert (body["surveys"][0]["id"], body["surveys"][0]["problem"]["pointer"]) == ("s1", "/surveys/0")


# -- bounds ------------------------------------------------------------------------------------------------------


def test_places_of_surveys_count_as_readings(ask, bore):
    many = [{**bore, "id": f"s{i}", "readings": places([(f"{k}", "x", "5.25") for k in range(100)])} for i in range(51)]
    status, refused = ask(surveys=many)
    assert (status, refused["type"]) == (413, "/problems/too-many-items")
    status, refused = ask(surveys=[{**bore, "id": f"s{i}", "readings": places(SIZES[:1])} for i in range(201)])
    assert (status, refused["errors"][0]["pointer"]) == (422, "/surveys")
    status, refused = ask(surveys=[{**bore, "readings": places([(f"{k}", "x", "5.25") for k in range(101)])}])
    assert (status, refused["errors"][0]["pointer"]) == (422, "/surveys/0/readings")


def test_the_largest_sheet_of_surveys_does_not_keep_the_service_busy(ask, bore):
    """Hundred axes at one station, no two alike, scatter from repeats, every bore with its shaft: the dearest there is."""
    def one(name: str, feature: str, size: str) -> dict[str, Any]:
        values = [{"axis": f"{k}", "values": [D(size) + D("0.0001") * ((k + j) % 7) + D("0.0000001") * k * k for j in range(4)]}
                  for k in range(100)]  # fmt: skip
        return {"id": name, "feature": feature, "unit": "in", "readings": values}

    sheet = [one(f"{feature}{i}", feature, size) for i in range(25) for feature, size in (("rod-bearing-bore", "2.2530"), ("crankpin", "2.2500"))]
    began = time.perf_counter()
    status, body = ask(surveys=sheet)
    assert status == 200
    assert len(body["surveys"]) == 50
    assert time.perf_counter() - began < 20


# -- further fields of a reading ---------------------------------------------------------------------------------

MAIN = "main-bearing-running-clearance"


def main(**more: Any) -> dict[str, Any]:
    return {"id": "m", "characteristic": MAIN, "value": {"value": D("3"), "unit": "thou"}, "instrument": "plastic-gauge-strip/fine"} | more


def thou(value: str) -> dict[str, Any]:
    return {"value": D(value), "unit": "thou"}


def test_own_lines_replace_or_join_the_tools(ask):
    _, plain = ask(readings=[main()])
    lines = {line["name"]: line["standard_uncertainty"]["value"] for line in plain["items"][0]["budget"]}
    own: list[dict[str, Any]] = [{"name": next(iter(lines)), "standard_uncertainty": thou("0.01")},
                                 {"name": "my bench", "standard_uncertainty": thou("0.2"), "random": True}]  # fmt: skip
    _, body = ask(readings=[main(budget=own)])
    told = {line["name"]: line for line in body["items"][0]["budget"]}
    assert list(told) == [*lines, "my bench"]
    assert told["my bench"] == {"name": "my bench", "standard_uncertainty": {"value": D("0.2"), "unit": "thou"}, "grade": "owner", "random": True}
    assert told[own[0]["name"]]["standard_uncertainty"]["value"] == D("0.01")
    whole = sum(float(line["standard_uncertainty"]["value"]) ** 2 for line in told.values()) ** 0.5
    assert float(body["items"][0]["standard_uncertainty"]["value"]) == pytest.approx(whole, rel=1e-3)


def test_pooled_scatter_counts_with_its_degrees_of_freedom(ask):
    _, body = ask(readings=[main(pooled_scatter={**thou("0.6"), "degrees_of_freedom": D(7)})])
    item = body["items"][0]
    assert "pooled scatter" in {line["name"] for line in item["budget"]}
    assert 7 < item["degrees_of_freedom"] < 30
    _, small = ask(readings=[main(pooled_scatter={**thou("0.01"), "degrees_of_freedom": D(7)})])
    assert small["items"][0]["degrees_of_freedom"] is None


def test_one_side_and_the_whole(ask):
    _, body = ask(readings=[main(id="one", value=thou("1.5"), basis="radial"), main(id="whole", standard_uncertainty=thou("0.3"))])
    one = body["items"][0]
    assert one["value"] == thou("1.5")
    assert "1.5 thou on one side, 3 thou in all" in one["text"]


FIELD_FAULTS: list[tuple[dict[str, Any], str, str]] = [
    ({"budget": {}}, "bad-field", "/budget"), ({"budget": []}, "bad-field", "/budget"), ({"budget": [3]}, "bad-field", "/budget/0"),
    ({"budget": [{"name": "x"}]}, "missing-field", "/budget/0/standard_uncertainty"),
    ({"budget": [{"standard_uncertainty": thou("1")}]}, "missing-field", "/budget/0/name"),
    ({"budget": [{"name": "x", "standard_uncertainty": D(1)}]}, "no-unit", "/budget/0/standard_uncertainty"),
    ({"budget": [{"name": "x", "standard_uncertainty": thou("-1")}]}, "zero-uncertainty", "/budget/0/standard_uncertainty"),
    ({"budget": [{"name": "x", "standard_uncertainty": {"value": D(1), "unit": "V"}}]}, "wrong-dimension", "/budget/0/standard_uncertainty"),
    ({"budget": [{"name": "x", "standard_uncertainty": thou("1"), "random": D(1)}]}, "bad-field", "/budget/0/random"),
    ({"budget": [{"name": "x", "standard_uncertainty": thou("1"), "u": D(1)}]}, "unknown-field", "/budget/0/u"),
    ({"budget": [{"name": "x", "standard_uncertainty": thou("1")}] * 2}, "bad-field", "/budget/1/name"),
    ({"pooled_scatter": thou("1")}, "missing-field", "/pooled_scatter/degrees_of_freedom"),
    ({"pooled_scatter": {**thou("0"), "degrees_of_freedom": D(3)}}, "not-positive", "/pooled_scatter/value"),
    ({"pooled_scatter": {**thou("1"), "degrees_of_freedom": D(0)}}, "bad-field", "/pooled_scatter/degrees_of_freedom"),
    ({"pooled_scatter": {"value": D(1), "unit": "V", "degrees_of_freedom": D(3)}}, "wrong-dimension", "/pooled_scatter"),
    ({"pooled_scatter": {**thou("1"), "degrees_of_freedom": D(3)}, "standard_uncertainty": thou("1")}, "bad-field", "/pooled_scatter"),
    ({"basis": "sideways"}, "bad-field", "/basis"), ({"material": "steel-1020"}, "missing-field", "/temperature"),
    ({"instrument_temperature": {"value": D(70), "unit": "degF"}}, "missing-field", "/temperature"),
    ({"characteristic": "rod-shim-pack", "instrument": "outside-micrometer", "basis": "radial"}, "wrong-basis", "/basis"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "code", "pointer"), FIELD_FAULTS, ids=lambda v: v if isinstance(v, str) else None)
def test_a_fault_of_a_field_stands_where_it_is(ask, rod, change, code, pointer):
    status, body = ask(readings=[rod, main(**change)])
    assert status == 200
    problem = body["items"][1]["problem"]
    assert (problem["code"], problem["pointer"]) == (code, f"/readings/1{pointer}")


# -- the N:1 rule ------------------------------------------------------------------------------------------------


def test_the_rule_and_its_ratio_are_named(ask):
    _, body = ask(readings=[main()], decision_rule="simple_n_to_1", ratio=D(3))
    assert (body["decision_rule"], body["ratio"]) == ("simple_n_to_1", 3)
    assert "cannot tell by the 3:1 rule" in body["items"][0]["text"]
    _, usual = ask(readings=[main()], decision_rule="simple_n_to_1")
    assert usual["ratio"] == 4
    assert "ratio" not in ask(readings=[main()])[1]


@pytest.mark.parametrize("more", [{"ratio": D(3)}, {"decision_rule": "simple", "ratio": D(3)}, {"decision_rule": "simple_n_to_1", "ratio": D("0.5")},
                                  {"decision_rule": "simple_n_to_1", "ratio": D(101)}])  # fmt: skip
def test_a_ratio_that_means_nothing_is_refused(ask, more):
    status, refused = ask(readings=[main()], **more)
    assert status == 422
    assert [(e["code"], e["pointer"]) for e in refused["errors"]] == [("bad-field", "/ratio")]


# -- CSV ---------------------------------------------------------------------------------------------------------


def csv(client, text: str, **query: str) -> Any:
    query = {"engine_class": "slow-open-crank", "dimension.main-journal": "2 in"} | query
    answer = client.post("/v1/verdicts", query_string=query, data=text, content_type="text/csv")
    return answer.status_code, simplejson.loads(answer.text, use_decimal=True)


def test_a_row_holds_whatever_fits_a_row(client):
    head = ("characteristic,repeats,unit,basis,pooled_scatter,pooled_degrees_of_freedom,temperature,instrument_temperature,material,"
            "expanded_uncertainty,coverage_factor,fit_low,fit_high,wear_high")  # fmt: skip
    rows = [f"{MAIN},1.5|1.6|1.4,thou,radial,2,7,,,,,,,,", "own,5.2512,in,,,,104 degF,68 degF,grey-cast-iron,0.0002,2,unbounded,5.2505,5.2505"]
    status, body = csv(client, "\n".join([head, *rows]))
    assert status == 200, body
    assert "on one side" in body["items"][0]["text"]
    assert any("pooled scatter" in line["name"] for line in body["items"][0]["budget"])
    assert body["items"][1]["verdict"] == "within_fit"


@pytest.mark.parametrize(("head", "row", "code", "column"), [
    ("value,coverage_factor,expanded_uncertainty", "3 thou,two,1 thou", "not-a-number", "coverage_factor"),
    ("value,expanded_uncertainty", "3 thou,1 thou", "missing-field", "coverage_factor"),
    ("repeats", "3 thou|x", "not-a-number", "repeats"), ("value,wear_high,fit_low", "3 thou,6 thuo,1 thou", "unknown-unit", "wear_high"),
    ("value,wear_high", "3 thou,1 V", "wrong-dimension", ""),
    ("value,pooled_scatter", "3 thou,1 thou", "missing-field", "pooled_degrees_of_freedom"),
    ("value,pooled_degrees_of_freedom", "3 thou,4", "missing-field", "pooled_scatter"),
    ("value,material", "3 thou,brass", "missing-field", "temperature"), ("value,basis", "3 thou,odd", "bad-field", "basis"),
])  # fmt: skip
def test_faults_of_the_new_columns_carry_line_and_column(client, head, row, code, column):
    status, body = csv(client, f"characteristic,{head}\n{MAIN},{row}\n")
    assert status == 422
    found = body["errors"][0]
    assert (found["code"], found["line"], found.get("column", "")) == (code, 2, column), found


def test_the_ratio_stands_in_the_query(client):
    text = f"characteristic,value\n{MAIN},3 thou\n"
    assert csv(client, text, decision_rule="simple_n_to_1", ratio="2.5")[1]["ratio"] == D("2.5")
    for odd in ("x", "0.1", "3"):
        status, body = csv(client, text, ratio=odd)
        assert status in (400, 422)
        assert body["errors"][0]["parameter"] == "ratio"
