"""A stop that can be read stands although another field of its reading is wrong; what cannot be read of a crack is settled first."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
import simplejson

D = Decimal
CRACK = {"id": "c", "characteristic": "flywheel-hub-crack", "finding": "crack at spoke"}
SPARK = {"id": "c", "characteristic": "igniter-timing-start", "value": {"value": D(10), "unit": "deg"}, "relative": "before"}
OTHER = {"id": "o", "characteristic": "crankshaft-end-float", "value": {"value": D(8), "unit": "thou"}}
BESIDE: list[tuple[dict[str, Any], str, str]] = [
    ({"instrument": "zzz"}, "unknown-instrument", "/readings/0/instrument"), ({"note": "x" * 5000}, "bad-field", "/readings/0/note"),
    ({"state": "later"}, "bad-field", "/readings/0/state"), ({"place": 5}, "bad-field", "/readings/0/place"),
    ({"colour": "grey"}, "unknown-field", "/readings/0/colour"), ({"standard_uncertainty": "wide"}, "", "/readings/0/standard_uncertainty"),
    ({"expanded_uncertainty": {"value": D(1), "unit": "deg"}}, "missing-field", "/readings/0/coverage_factor"),
    ({"instrument_temperature": {"value": D(70), "unit": "degF"}}, "missing-field", "/readings/0/temperature"),
]  # fmt: skip


@pytest.mark.parametrize("stop", [CRACK, SPARK], ids=["crack", "spark"])
@pytest.mark.parametrize(("wrong", "code", "pointer"), BESIDE)
def test_a_fault_beside_it_hides_no_stop(send, stop, wrong, code, pointer):
    status, body = send([stop | wrong, OTHER], stage="first-start", remedies=True)
    assert status == 200
    item = body["items"][0]
    assert (item["id"], item["verdict"], item["veto"]) == ("c", "stop", "stops-engine")
    assert item["text"].startswith("STOP. ")
    assert "Not all of it could be read" in item["text"]
    assert item["problem"]["code"].startswith(code)
    assert item["problem"]["pointer"].startswith(pointer)
    assert item["remedies"]
    assert body["overall"]["stops"] == 1
    assert [(s["item"], s["stops_engine"]) for s in body["readiness"]["stops"]] == [("c", True)]


def test_alone_on_its_sheet_it_is_a_stop_too(send):
    assert send([CRACK | {"instrument": "zzz"}])[1]["items"][0]["verdict"] == "stop"


@pytest.mark.parametrize(("reading", "why"), [
    (CRACK | {"finding": "none found", "note": "x" * 5000}, "no crack"),
    (SPARK | {"relative": "after", "note": "x" * 5000}, "inside the rule"),
    (SPARK | {"relative": "sideways"}, "which side is not known"),
    ({k: v for k, v in SPARK.items() if k != "relative"} | {"relativ": "after"}, "the field that tells the side is misspelt"),
    (SPARK | {"value": {"value": D(10), "unit": "degs"}}, "the unit is not known"),
    (SPARK | {"low": {"value": D(1), "unit": "deg"}, "high": {"value": D(2), "unit": "deg"}}, "two values"),
    ({"id": "c", "characteristic": "rod-bearing-running-clearance", "value": {"value": D(900), "unit": "thou"}, "note": "x" * 5000}, "no rule"),
])  # fmt: skip
def test_what_does_not_stop_stays_unread(send, reading, why):
    status, body = send([reading, OTHER])
    assert (status, body["items"][0]["verdict"]) == (200, "not_judged"), why


def test_as_csv(client):
    """A comma in a note without quotes gives a cell too many: the word still stands in its column, a number may have slid."""
    def post(rows: str) -> dict[str, Any]:
        answer = client.post("/v1/verdicts?engine_class=slow-open-crank", data=rows, content_type="text/csv")
        assert answer.status_code == 200
        return answer.get_json()

    rows = ("characteristic,finding,value,unit,relative,note\nflywheel-hub-crack,crack at spoke,,,,seen, by two\n"
            "igniter-timing-start,,10,deg,before,seen, by two\ncrankshaft-end-float,,8,thou,,\n")  # fmt: skip
    assert [(i["verdict"], (i.get("problem") or {}).get("line")) for i in post(rows)["items"][:2]] == [("stop", 2), ("not_judged", 3)]
    rows = "characteristic,value,unit,relative,confirmed\nigniter-timing-start,10,deg,before,perhaps\n"
    assert post(rows)["items"][0]["verdict"] == "stop"


def test_papers_know_of_it(client, engine):
    body = {"engine": engine, "readings": [CRACK | {"instrument": "zzz"}, OTHER]}

    def post(path: str) -> tuple[int, Any]:
        answer = client.post(path, data=simplejson.dumps(body, use_decimal=True), content_type="application/json")
        return answer.status_code, answer.get_json()

    status, paper = post("/v1/readiness")
    assert (status, [s["item"] for s in paper["stops"]], paper["doubts"]) == (200, ["c"], [])
    status, refused = post("/v1/work-orders")
    assert (status, [e["pointer"] for e in refused["errors"]]) == (422, ["/readings/0/instrument"])


@pytest.mark.parametrize("crack", [{"finding": 5}, {"value": {"value": D(0), "unit": "thou"}}, {"finding": "none found", "note": 5}, {}])
def test_no_work_goes_into_a_wheel_whose_crack_finding_could_not_be_read(send, engine, crack):
    """It may say crack, and nobody can tell: what would be done to the wheel waits."""
    engine["dimensions"]["flywheel"] = {"value": D(29), "unit": "in"}
    runout = {"id": "r", "characteristic": "flywheel-lateral-runout", "value": {"value": D(90), "unit": "thou"}, "place": {"instance": "gear side"}}
    number = {"id": "c", "characteristic": "flywheel-hub-crack", "place": {"instance": "gear side"}} | crack
    status, body = send([number, runout], remedies=True)
    assert status == 200
    assert body["items"][0]["verdict"] == "not_judged"
    assert [r["id"] for r in body["items"][1]["remedies"]] == ["crack-first"]
    assert "Settle the crack first" in body["items"][1]["remedies"][0]["title"]
