"""POST /v1/verdicts: readings in, verdicts out."""

from __future__ import annotations

from decimal import Decimal

import pytest

ROD = "rod-bearing-running-clearance"


def q(value, unit):
    return {"value": Decimal(str(value)), "unit": unit}


def test_the_example_of_the_contract(send):
    status, answer = send(
        [
            {"id": "r1", "characteristic": ROD, "value": q("3.8", "thou"), "instrument": "plastic-gauge-strip", "state": "as_found",
             "place": {"instance": "rod", "station": "middle", "axis": "in-line"}, "temperature": q(68, "degF")},
            {"id": "r2", "characteristic": "flywheel-hub-crack", "finding": "hairline from keyway"},
            {"id": "r3", "characteristic": "own-check", "value": q("5.1", "V"), "standard_uncertainty": q("0.05", "V"),
             "limit": {"fit": {"low": q(5, "V"), "high": q(8, "V")}}},
        ],
        confidence=Decimal("0.95"), decision_rule="guarded", judged_by="adopted", stage="assembly", units="inch",
    )  # fmt: skip
    assert status == 200
    assert [item["id"] for item in answer["items"]] == ["r1", "r2", "r3"]
    rod, crack, own = answer["items"]
    assert rod["verdict"] == "usable"
    assert rod["value"] == q("3.8", "thou")
    assert rod["limit_id"] in answer["limits"]
    assert answer["limits"][rod["limit_id"]]["fit"]["high"]["unit"] == "in"
    assert 0 < rod["p_fit"] < 1
    assert rod["place"] == {"instance": "rod", "station": "middle", "axis": "in-line"}
    parts = [line["standard_uncertainty"]["value"] for line in rod["budget"]]
    assert sum(float(p) ** 2 for p in parts) ** 0.5 == pytest.approx(float(rod["standard_uncertainty"]["value"]), rel=1e-3)
    assert (crack["verdict"], crack["veto"]) == ("stop", "stops-engine")
    assert crack["p_fit"] is None
    assert (own["verdict"], own["limit_id"], own["component"]) == ("within_fit", None, None)
    assert answer["overall"]["stops"] == 1
    assert answer["overall"]["counts"] == {"stop": 1, "usable": 1, "within_fit": 1}
    assert answer["missing"]
    assert answer["missing"][0]["start_critical"]
    assert answer["cautions"][0]["says"]
    assert (answer["decision_rule"], answer["confidence"]) == ("guarded", Decimal("0.95"))


def test_digits_are_kept(send, rod):
    rod["value"]["value"] = Decimal("3.80000000000000001")
    _, answer = send([rod])
    assert str(answer["items"][0]["value"]["value"]) == "3.80000000000000001"


def test_whole_numbers_are_numbers(send, rod):
    rod["value"]["value"] = 4
    status, answer = send([rod])
    assert status == 200
    assert answer["items"][0]["value"] == q(4, "thou")


def test_ids_are_given_by_position_where_left_out(send, rod):
    del rod["id"]
    _, answer = send([rod, dict(rod)])
    assert [item["id"] for item in answer["items"]] == ["r1", "r2"]


@pytest.mark.parametrize(("units", "unit"), [("metric", "mm"), ("inch", "thou"), (None, "thou")])
def test_the_answer_is_in_the_readers_unit_or_the_one_asked_for(send, rod, units, unit):
    _, answer = send([rod], **({"units": units} if units else {}))
    item = answer["items"][0]
    assert item["value"]["unit"] == item["standard_uncertainty"]["unit"] == unit
    if units == "metric":
        assert item["value"]["value"] == Decimal("0.09652")
        assert answer["limits"][item["limit_id"]]["fit"]["low"]["unit"] == "mm"


def test_each_kind_of_value_is_taken(send):
    readings = [
        {"characteristic": ROD, "values": [q("3.0", "thou"), q("3.1", "thou"), q("3.2", "thou"), q("0.0031", "in")]},
        {"characteristic": ROD, "low": q("2.9", "thou"), "high": q("3.4", "thou")},
        {"characteristic": ROD, "goes": q("3", "thou"), "does_not_go": q("4", "thou"), "instrument": "feeler-gauge"},
        {"characteristic": "flywheel-hub-crack", "finding": "none found"},
        {"characteristic": ROD, "value": q("3", "thou"), "expanded_uncertainty": q("0.4", "thou"), "coverage_factor": 2},
        {"characteristic": ROD, "value": q("3", "thou"), "standard_uncertainty": q("0.2", "thou"), "degrees_of_freedom": 5},
    ]
    status, answer = send(readings)
    assert status == 200
    assert all("problem" not in item for item in answer["items"])
    stated, student = answer["items"][4:]
    assert stated["standard_uncertainty"] == student["standard_uncertainty"] == q("0.2", "thou")
    assert stated["degrees_of_freedom"] is None
    assert student["degrees_of_freedom"] == 5
    assert student["p_fit"] < stated["p_fit"]


def test_each_source_is_told_when_asked(send, rod):
    _, plain = send([rod])
    _, answer = send([rod], judged_by="each-source")
    assert "by_source" not in plain["items"][0]
    assert len(answer["items"][0]["by_source"]) > 1
    assert all(source["text"] for source in answer["items"][0]["by_source"])


def test_a_doubt_names_what_would_settle_it(send, limit):
    _, told = limit(size="2-1/4 in")
    line = told["wear"]["high"]["value"]
    _, answer = send([{"characteristic": ROD, "value": q(line, "in"), "instrument": "plastic-gauge-strip"}])
    item = answer["items"][0]
    assert item["verdict"] == "undecided"
    assert item["settles"]["how"] in ("instrument", "repeats", "hands", "neither")


def test_contradictions_are_found(send):
    place = {"instance": "rod", "station": "middle", "axis": "in-line"}
    one = {"characteristic": ROD, "standard_uncertainty": q("0.1", "thou"), "place": place}
    _, answer = send([one | {"id": "a", "value": q("3", "thou")}, one | {"id": "b", "value": q("5", "thou")}])
    assert answer["contradictions"][0]["ids"] == ["a", "b"]
    assert answer["contradictions"][0]["text"]


@pytest.mark.parametrize(
    ("reading", "code"),
    [
        ({"characteristic": ROD, "value": q(38, "thou")}, "suspected-slip"),
        ({"characteristic": "main-bearing-running-clearance", "value": q(3, "thou")}, "missing-dimension"),
    ],
)
def test_honest_reasons_are_answers_and_never_refusals(send, reading, code):
    status, answer = send([reading])
    assert status == 200
    item = answer["items"][0]
    assert (item["verdict"], item["problem"]["code"]) == ("not_judged", code)
    assert item["problem"]["type"] == f"/problems/{code}"


def test_a_slip_that_stands_is_judged(send):
    _, answer = send([{"characteristic": ROD, "value": q(38, "thou"), "confirmed": True, "standard_uncertainty": q(1, "thou")}])
    assert answer["items"][0]["verdict"] == "beyond_limit"


def test_a_size_outside_every_range_is_not_judged(send, engine):
    engine["dimensions"]["crankpin"] = q(40, "in")
    status, answer = send([{"characteristic": ROD, "value": q(3, "thou")}])
    assert (status, answer["items"][0]["problem"]["code"]) == (200, "outside-size-range")


def test_no_limit_is_not_judged_and_says_so(send, table):
    from halfthou_specdb.facts import Engine
    from halfthou_specdb.resolve import resolve

    engine = Engine(table.engine_class("slow-open-crank"))
    for group in table.absences_of.values():
        what = table.characteristics[group[0].characteristic]
        if what.value_kind == "finding" or table.limits_of.get(what.id) or resolve(table, what, engine).absence is None:
            continue
        reading = {"characteristic": what.id, "value": q(1, what.unit), "standard_uncertainty": q("0.1", what.unit)}
        status, answer = send([reading])
        assert status == 200
        if answer["items"][0]["verdict"] == "not_judged":
            assert "not judged" in answer["items"][0]["text"]
            return
    pytest.fail("no characteristic without a limit was found")


def test_a_negative_angle_is_the_other_side_but_never_beside_a_word(send, table):
    timed = [c for c in table.characteristics.values() if c.sign and c.value_kind != "finding"]
    assert timed
    other = {"before": "after", "after": "before"}
    what = next(c for c in timed if c.id == "exhaust-valve-opening")
    one = {"characteristic": what.id, "standard_uncertainty": q(1, "deg")}
    _, answer = send([one | {"value": q(5, "deg"), "relative": other[what.sign]}, one | {"value": q(-5, "deg")},
                      one | {"value": q(-5, "deg"), "relative": other[what.sign]}])  # fmt: skip
    first, second, third = answer["items"]
    assert first["verdict"] == second["verdict"] != "not_judged"
    assert third["problem"]["code"] == "wrong-kind"


def test_the_same_sheet_gives_the_same_answer(send, rod):
    assert send([rod]) == send([rod])


def test_the_answer_is_not_kept(client, engine, rod):
    import simplejson

    answer = client.post("/v1/verdicts", data=simplejson.dumps({"engine": engine, "readings": [rod]}), content_type="application/json")
    assert answer.headers["Cache-Control"] == "no-store"
    assert "ETag" not in answer.headers
