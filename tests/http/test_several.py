"""Several things of one kind over HTTP, as JSON and as CSV; surveys of every kind in a CSV sheet, their faults by line and column."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
import simplejson

D = Decimal
QUERY = "?engine_class=slow-open-crank&dimension.bore=5.25 in&dimension.crankpin=2.25 in&dimension.main-journal=2 in"
HEAD = "characteristic,survey,feature,instance,station,axis,value,repeats,unit,instrument,state,new,same_tool,temperature,note\n"


def thou(value: str) -> dict[str, Any]:
    return {"value": D(value), "unit": "thou"}


@pytest.fixture
def ask(client):
    sizes = {"bore": "5.25", "crankpin": "2.25", "main-journal": "2"}
    engine = {"engine_class": "slow-open-crank", "dimensions": {name: {"value": D(v), "unit": "in"} for name, v in sizes.items()}}

    def post(**body: Any) -> tuple[int, Any]:
        text = simplejson.dumps({"engine": engine} | body, use_decimal=True)
        answer = client.post("/v1/verdicts", data=text, content_type="application/json")
        return answer.status_code, simplejson.loads(answer.text, use_decimal=True)

    return post


@pytest.fixture
def sheet(client):
    def post(rows: str, head: str = HEAD, more: str = "") -> tuple[int, Any]:
        answer = client.post(f"/v1/verdicts{QUERY}{more}", data=head + rows, content_type="text/csv")
        return answer.status_code, simplejson.loads(answer.text, use_decimal=True)

    return post


def rings(**more: Any) -> dict[str, Any]:
    """New 15.75 to 31.5 thou on a 5-1/4 in bore (0.003 and 0.006 in per inch), worn at 63."""
    return {"id": "rings", "feature": "ring-end-gaps", "instrument": "feeler-gauge", "unit": "thou",
            "readings": [{"instance": f"ring {k}", "value": D(v)} for k, v in ((1, "22"), (2, "28"), (3, "71"))]} | more  # fmt: skip


# -- JSON --------------------------------------------------------------------------------------------------------


def test_several_rings_are_told_and_judged(ask):
    status, body = ask(surveys=[rings()])
    assert status == 200
    (survey,) = body["surveys"]
    told = {f["name"]: f for f in survey["figures"]}
    assert set(told) == {"smallest", "largest", "mean", "spread"}
    assert (told["largest"]["value"], told["largest"]["where"], told["largest"]["characteristic"]) == (thou("71"), "ring 3", "ring-end-gap")
    assert (told["spread"]["value"], told["spread"]["where"], told["spread"]["characteristic"]) == (thou("49"), "ring 3 less ring 1", None)
    assert all(f["standard_uncertainty"]["value"] > 0 for f in told.values())
    assert [(i["id"], i["verdict"], i["place"]["instance"]) for i in body["items"]] == [
        ("rings.smallest", "within_fit", "ring 1"), ("rings.largest", "beyond_limit", "ring 3")]  # fmt: skip
    assert survey["items"] == ["rings.smallest", "rings.largest"]


def test_the_unit_of_the_answer_changes_no_verdict(ask):
    verdicts = [[(i["id"], i["verdict"], i["p_fit"]) for i in ask(surveys=[rings()], units=units)[1]["items"]] for units in ("inch", "metric")]
    assert verdicts[0] == verdicts[1]
    mm = rings(unit="mm", readings=[{"instance": f"ring {k}", "value": D(v)} for k, v in ((1, "0.5588"), (2, "0.7112"), (3, "1.8034"))])
    assert [(i["id"], i["verdict"]) for i in ask(surveys=[mm])[1]["items"]] == [(i, v) for i, v, _ in verdicts[0]]


def test_a_gap_read_at_the_worn_top_says_so(ask):
    places = [{**place, "station": "top of travel"} for place in rings()["readings"]]
    _, body = ask(surveys=[rings(readings=places)])
    assert all(any("the bore as much as of the ring" in said for said in i["assumed"]) for i in body["items"])


def test_forces_and_places_of_one_thing(ask):
    tension = {"id": "t", "feature": "ring-tensions", "unit": "lbf", "readings": [{"instance": f"ring {k}", "value": D(k)} for k in (3, 4)]}
    margin = {"id": "m", "feature": "valve-margins", "instance": "exhaust", "unit": "in",
              "readings": [{"station": "front", "value": D("0.05")}, {"station": "back", "value": D("0.010")}]}  # fmt: skip
    status, body = ask(surveys=[tension, margin])
    assert status == 200
    assert [(i["id"], i["verdict"]) for i in body["items"]] == [("t.smallest", "not_judged"), ("m.smallest", "beyond_limit")]
    assert body["items"][1]["place"] == {"instance": "exhaust", "station": "back", "axis": None}


def test_the_difference_of_the_mains_from_a_survey_and_from_two_readings(ask):
    """A limit of 1 thou and nothing known of worn (a generator manual, carried over); 0.1 and 2.4 apart."""
    def mains(right: str) -> dict[str, Any]:
        return {"id": "m", "feature": "main-bearing-clearances", "unit": "thou", "standard_uncertainty": thou("0.1"),
                "shared_uncertainty": thou("0.4"), "readings": [
                    {"instance": "left main", "value": D("3.0")}, {"instance": "right main", "value": D(right)}]}  # fmt: skip

    assert [ask(surveys=[mains(v)])[1]["items"][-1]["verdict"] for v in ("3.1", "5.4")] == ["within_fit", "outside_fit"]
    alone = [{"id": name, "characteristic": "main-bearing-running-clearance", "value": thou(v), "standard_uncertainty": thou("0.1"),
              "place": {"instance": f"{name} main"}} for name, v in (("left", "3.0"), ("right", "5.4"))]  # fmt: skip
    _, body = ask(readings=alone)
    assert [(i["id"], i["verdict"]) for i in body["items"]][2:] == [("main-bearing-clearance-difference", "outside_fit")]
    assert body["items"][2]["limit_id"] in body["limits"]
    assert body["overall"]["counts"] == {"within_fit": 1, "usable": 1, "outside_fit": 1}


FAULTS: list[tuple[dict[str, Any], str, str]] = [
    ({"readings": [{"instance": "ring 1", "value": D(22)}]}, "no-value", "/readings"),
    ({"readings": [{"instance": "ring 1", "value": D(22)}, {"value": D(22)}]}, "missing-field", "/readings/1/instance"),
    ({"readings": [{"instance": "ring 1", "value": D(22)}, {"instance": "exhaust", "value": D(22)}]}, "wrong-place", "/readings/1/instance"),
    ({"readings": [{"instance": "ring 1", "value": D(22)}, {"instance": "ring 1", "value": D(22)}]}, "bad-field", "/readings/1"),
    ({"readings": [{"instance": "ring 1", "value": D(22)}, {"instance": "RING 1", "value": D(22)}]}, "wrong-place", "/readings/1/instance"),
    ({"readings": [{"instance": "ring 1", "axis": "x", "value": D(22)}]}, "bad-field", "/readings/0/axis"),
    ({"unit": "lbf"}, "wrong-dimension", "/unit"), ({"instance": "ring 1"}, "wrong-place", "/instance"),
    ({"new": thou("20")}, "wrong-place", "/new"), ({"same_tool": True}, "wrong-place", "/same_tool"),
    ({"confirmed": "yes"}, "bad-field", "/confirmed"),
    ({"feature": "crankpin"}, "bad-field", "/readings/0/instance"), ({"feature": "valve-margins"}, "bad-field", "/readings/0/instance"),
    ({"feature": "crankpin", "confirmed": True}, "bad-field", "/confirmed"), ({"feature": "ring-tensions"}, "wrong-dimension", "/unit"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "code", "pointer"), FAULTS, ids=lambda v: v if isinstance(v, str) else None)
def test_a_fault_is_told_where_it_stands_and_hides_nothing_else(ask, change, code, pointer):
    status, refused = ask(surveys=[rings(**change)])
    assert status == 422, refused
    assert (code, f"/surveys/0{pointer}") in {(e["code"], e["pointer"]) for e in refused["errors"]}
    status, body = ask(surveys=[rings(id="good"), rings(**change)])
    assert status == 200
    assert [s.get("problem") is None for s in body["surveys"]] == [True, False]


# -- CSV ---------------------------------------------------------------------------------------------------------

ROWS = (
    ",rings,ring-end-gaps,ring 1,,,22,,thou,feeler-gauge,,,,,\nring-end-gap,,,ring 4,,,24,,thou,feeler-gauge,,,,,alone\n"
    ",rings,,ring 2,,,0.028 in,,,,,,,,\n,pin,crankpin,,inner,in line of throw,2.2491,,in,outside-micrometer,as_found,2.2505 in,yes,68 degF,\n"
    ",rings,,ring 3,,,,71|71.2|70.8,thou,,,,,,\n,pin,,,inner,across throw,2.2496,,in,,,2250.5 thou,yes,,\n"
)


def test_rows_of_one_survey_are_gathered_and_judged_as_in_json(sheet, ask):
    status, by_csv = sheet(ROWS)
    assert status == 200
    ring_places = [{"instance": "ring 1", "value": thou("22")}, {"instance": "ring 2", "value": {"value": D("0.028"), "unit": "in"}},
                   {"instance": "ring 3", "values": [thou(v) for v in ("71", "71.2", "70.8")]}]  # fmt: skip
    pin = {"id": "pin", "feature": "crankpin", "instrument": "outside-micrometer", "state": "as_found", "new": {"value": D("2.2505"), "unit": "in"},
           "same_tool": True, "temperature": {"value": D(68), "unit": "degF"}, "readings": [
               {"station": "inner", "axis": axis, "value": {"value": D(v), "unit": "in"}} for axis, v in (("in line of throw", "2.2491"),
                                                                                                       ("across throw", "2.2496"))]}  # fmt: skip
    alone = {"characteristic": "ring-end-gap", "place": {"instance": "ring 4"}, "value": thou("24"), "instrument": "feeler-gauge"}
    told = {"id": "rings", "feature": "ring-end-gaps", "instrument": "feeler-gauge", "readings": ring_places}
    _, by_json = ask(readings=[alone], surveys=[told, pin])
    assert by_csv == by_json
    assert [i["id"] for i in by_csv["items"]] == ["r1", "rings.smallest", "rings.largest", "pin.out-of-round"]


def test_a_sheet_of_surveys_alone_needs_no_characteristic(sheet):
    status, body = sheet("rings,ring-end-gaps,ring 1,22\nrings,,ring 2,24\n", "survey,feature,instance,value (thou)\n")
    assert status == 200
    assert [s["id"] for s in body["surveys"]] == ["rings"]


GOOD = ",rings,ring-end-gaps,ring 1,,,22,,thou,feeler-gauge,,,,,\n"
BAD_ROWS: list[tuple[str, str, int, str]] = [
    (",rings,,ring 2,,,2 4,,thou,,,,,,\n", "bad-quantity", 3, "value"), (",rings,,ring 2,,,24,,thuo,,,,,,\n", "unknown-unit", 3, "value"),
    (",rings,,ring 2,,,24,,,,,,,,\n", "no-unit", 3, "value"), (",rings,,ring 2,,,,22|x,thou,,,,,,\n", "not-a-number", 3, "repeats"),
    (",rings,,ring 2,,,,,thou,,,,,,\n", "no-value", 3, ""), (",rings,,,,,24,,thou,,,,,,\n", "missing-field", 3, "instance"),
    (",rings,,inlet,,,24,,thou,,,,,,\n", "wrong-place", 3, "instance"), (",rings,,ring 1,,,24,,thou,,,,,,\n", "bad-field", 3, ""),
    (",rings,,ring 2,,x,24,,thou,,,,,,\n", "bad-field", 3, "axis"),
    (",rings,crankpin,ring 2,,,24,,thou,,,,,,\n", "bad-csv", 3, "feature"),
    (",rings,,ring 2,,,24,,thou,steel-rule,,,,,\n", "bad-csv", 3, "instrument"),
    (",rings,,ring 2,,,24,,thou,,worn,,,,\n", "bad-field", 3, "state"),
    ("ring-end-gap,rings,,ring 2,,,24,,thou,,,,,,\n", "bad-csv", 3, "characteristic"),
    (",rings,,ring 2,,,24,,thou,,,,,warm,\n", "not-a-number", 3, "temperature"),
    (",rings,,ring 2,,,24,,thou,,,20 thou,,,\n", "wrong-place", 3, "new"),
    (",rings,,ring 2,,,24,,thou,,,,perhaps,,\n", "bad-field", 3, "same_tool"),
    (",rings,,ring 2,below,,24,,thou,,,,,,\n", "wrong-place", 3, "station"),
    (",rings,,ring 2,,,24,,thou,,,,,,,one too many\n", "bad-csv", 3, ""), ("", "no-value", 2, "survey"),
]  # fmt: skip


@pytest.mark.parametrize(("row", "code", "line", "column"), BAD_ROWS, ids=lambda v: v[:40] if isinstance(v, str) else None)
def test_a_bad_row_is_named_by_line_and_column_and_hides_nothing(sheet, row, code, line, column):
    status, refused = sheet(GOOD + row)
    assert status in (400, 422), refused
    assert (code, line, column) in {(e["code"], e["line"], e.get("column", "")) for e in refused["errors"]}, refused
    status, body = sheet(GOOD + row + ",pin,crankpin,,,,2.25,,in,,,,,,\n")
    assert status == 200, body
    told = {s["id"]: s.get("problem") for s in body["surveys"]}
    assert told["pin"] is None
    assert (told["rings"]["line"], told["rings"].get("column", "")) == (line, column)


def test_a_row_that_names_no_survey_has_nothing_of_one(sheet):
    status, refused = sheet("ring-end-gap,,ring-end-gaps,ring 1,,,22,,thou,,,,,,\n")
    assert status == 400
    assert (refused["errors"][0]["code"], refused["errors"][0]["line"], refused["errors"][0]["column"]) == ("bad-csv", 2, "feature")


def test_a_feature_that_is_none_is_the_one_fault(sheet):
    status, refused = sheet(",rings,ring-end-gap,ring 1,,,22,,thou,,,,,,\n,rings,,ring 2,,,24,,thou,,,,,,\n")
    assert status == 422
    assert [(e["code"], e["line"], e["column"]) for e in refused["errors"]] == [("unknown-survey", 2, "feature")]
    assert "ring-end-gaps" in refused["errors"][0]["near"]


def test_an_id_may_not_be_that_of_a_survey(sheet):
    status, refused = sheet(",rings,ring-end-gaps,ring 1,,22 thou\n,rings,,ring 2,,24 thou\nring-end-gap,,,ring 3,rings,24 thou\n",
                            "characteristic,survey,feature,instance,id,value\n")  # fmt: skip
    assert (status, refused["errors"][0]["line"], refused["errors"][0]["column"]) == (422, 4, "id")
    numbered = ",rings,ring-end-gaps,ring 1,r1,22 thou\n,rings,,ring 2,r2,24 thou\n"
    status, refused = sheet(numbered, "characteristic,survey,feature,instance,id,value\n")
    assert {(e["code"], e["line"], e["column"]) for e in refused["errors"]} == {("bad-csv", 2, "id"), ("bad-csv", 3, "id")}


def test_a_survey_may_not_be_called_as_what_follows_from_another(ask, sheet):
    """An item of the survey rings is called rings.spread; a second survey of that name that failed would stand under it too."""
    status, refused = ask(surveys=[rings(), rings(id="rings.spread"), rings(id="rings.2")])
    assert (status, [(e["code"], e["pointer"]) for e in refused["errors"]]) == (422, [("duplicate-id", "/surveys/1/id")])
    rows = "".join(f",{name},ring-end-gaps,ring {k},,24 thou\n" for name in ("rings", "rings.largest") for k in (1, 2))
    status, refused = sheet(rows, "characteristic,survey,feature,instance,id,value\n")
    assert (status, [(e["code"], e["line"], e["column"]) for e in refused["errors"]]) == (422, [("duplicate-id", 4, "survey")])


def test_each_item_has_its_own_name_and_its_own_remedies(ask):
    """The difference of the mains, 9 less 3 thou, is past 1 thou: its remedies are its own, whatever the readings are called."""
    name = "main-bearing-clearance-difference"
    mains = [{"id": id, "characteristic": "main-bearing-running-clearance", "value": thou(v), "place": {"instance": where}}
             for id, v, where in ((name, "3", "left main"), (f"{name}.derived", "9", "right main"))]  # fmt: skip
    status, body = ask(readings=[*mains, {"id": f"{name}.derived-2", "characteristic": "nothing-of-the-kind"}], remedies=True)
    assert status == 200
    ids = [i["id"] for i in body["items"]]
    assert len(set(ids)) == len(ids)
    (apart,) = [i for i in body["items"] if i["characteristic"] == name]
    _, plain = ask(readings=[one | {"id": f"plain-{n}"} for n, one in enumerate(mains)], remedies=True)
    assert [r["title"] for r in apart["remedies"]] == [r["title"] for i in plain["items"] if i["characteristic"] == name for r in i["remedies"]]


@pytest.mark.parametrize(("feature", "a", "b", "more"), [
    ("ring-end-gaps", {"instance": "ring 1"}, {"instance": "ring 2"}, {"standard_uncertainty": thou("1e-12")}),
    ("timing-gear-meshes", {"instance": "mesh 1"}, {"instance": "mesh 2"}, {"standard_uncertainty": thou("1e-12")}),
    ("valve-margins", {"station": "a"}, {"station": "b"}, {"instance": "exhaust", "instrument": "outside-micrometer"}),
])  # fmt: skip
def test_readings_absurdly_far_apart_are_answered(ask, feature, a, b, more):
    far = [a | {"value": {"value": D("1e12"), "unit": "in"}}, b | {"value": thou("40")}]
    status, body = ask(surveys=[{"id": "s", "feature": feature, "readings": far} | more])
    assert (status, body["items"][0]["id"].partition(".")[0]) == (200, "s")


def test_more_places_than_a_survey_takes_are_refused(sheet):
    rows = "".join(f",rings,ring-end-gaps,ring {k},,,22,,thou,,,,,,\n" for k in range(1, 102))
    status, refused = sheet(rows)
    assert status == 422
    assert any("1 to 100 places" in e["detail"] and e["line"] == 2 for e in refused["errors"])
