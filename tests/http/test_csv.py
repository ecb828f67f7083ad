"""POST /v1/verdicts with a CSV body: cells as people type them, engine and rules in the query."""

from __future__ import annotations

from decimal import Decimal

import pytest
import simplejson

ROD = "rod-bearing-running-clearance"
QUERY = '?engine_class=slow-open-crank&dimension.crankpin=2 1/4"'


@pytest.fixture
def sheet(raw, client):
    """Post CSV text: (status, answer)."""

    def post(text: str, more: str = "", query: str = QUERY):
        answer = client.post(f"/v1/verdicts{query}{more}", data=text, content_type="text/csv; charset=utf-8")

        return answer.status_code, simplejson.loads(answer.text, use_decimal=True)

    return post


def test_a_sheet_is_judged_as_the_same_sheet_in_json(sheet, send):
    text = f"id,characteristic,value,instrument,instance,state\na,{ROD},3.8 thou,plastic-gauge-strip,rod,as_found\nb,flywheel-hub-crack,,,,\n"
    text = text.replace("b,flywheel-hub-crack,,,,", f'b,{ROD},"0.0031 in",,,')
    _, by_csv = sheet(text)
    engine = {"engine_class": "slow-open-crank", "dimensions": {"crankpin": {"value": Decimal("2.25"), "unit": "in"}}}
    _, by_json = send(
        [
            {"id": "a", "characteristic": ROD, "value": {"value": Decimal("3.8"), "unit": "thou"}, "instrument": "plastic-gauge-strip",
             "place": {"instance": "rod"}, "state": "as_found"},
            {"id": "b", "characteristic": ROD, "value": {"value": Decimal("0.0031"), "unit": "in"}},
        ],
        engine=engine,
    )  # fmt: skip
    assert by_csv == by_json


@pytest.mark.parametrize(
    "text",
    [
        f"characteristic,value\n{ROD},3.8 thou\n",
        f"characteristic,value\r\n{ROD},.0038\"\r\n",
        f"characteristic,value (thou)\n{ROD},3.8\n",
        f"Characteristic , Value ( thou )\n {ROD} , 3.8 \n",
        f"characteristic,value,unit\n{ROD},3.8,thou\n",
        f"characteristic,value (in),unit\n{ROD},3.8,thou\n",
        f"characteristic,value,unit\n{ROD},3.8 thou,in\n",
        f'\ufeff"characteristic","value"\n\n,,\n"{ROD}","3.8 thou"\n\n\n',
        f"characteristic;value\n{ROD};3.8 thou\n",
        f"characteristic\tvalue\n{ROD}\t3.8 thou\n",
        f"characteristic,value,,\n{ROD},3.8 thou,,\n",
    ],
)  # fmt: skip
def test_cells_are_read_as_people_type_them(sheet, text):
    status, answer = sheet(text)
    assert status == 200
    assert [item["verdict"] for item in answer["items"]] == ["usable"]


def test_rules_come_from_the_query(sheet):
    status, answer = sheet(
        f"characteristic,value\n{ROD},3.8 thou\n", "&units=metric&confidence=0.9&decision_rule=simple&stage=assembly&engine=H&judged_by=each-source"
    )
    assert status == 200
    assert (answer["decision_rule"], answer["confidence"], answer["engine"]["id"]) == ("simple", Decimal("0.9"), "H")
    assert answer["items"][0]["value"]["unit"] == "mm"
    assert answer["items"][0]["by_source"]
    assert answer["missing"]


def test_every_column_is_taken(sheet):
    head = "id,characteristic,low,high,unit,instrument,instance,station,axis,state,temperature (degF),note\n"
    status, answer = sheet(head + f"a,{ROD},2.9,3.4,thou,plastic-gauge-strip,rod,middle,in-line,as_found,68,dry\n")
    assert status == 200
    assert "problem" not in answer["items"][0]
    head = "characteristic,goes,does_not_go,unit,standard_uncertainty,confirmed\n"
    status, answer = sheet(head + f"{ROD},3,4,thou,0.2,yes\n")
    assert status == 200
    # 0.2 stated, and half a thou either way between the gauges: hypot(0.2, 0.5 / sqrt 3)
    assert answer["items"][0]["standard_uncertainty"] == {"value": Decimal("0.3512"), "unit": "thou"}


def test_words_stand_in_the_finding_column(sheet):
    status, answer = sheet("characteristic,finding\nflywheel-hub-crack,hairline from keyway\n")
    assert (status, answer["items"][0]["verdict"]) == (200, "stop")


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        ('"0,0038 in"', "decimal-comma"), ("3.8", "no-unit"), ("3.8 thuo", "unknown-unit"), ("3.8 V", "wrong-dimension"),
        ("nan", "not-a-number"), ("1e9999 in", "number-out-of-range"), ("9**9**8 inch", "bad-quantity"), ("1/0 in", "not-a-number"),
        ("9" * 30 + " in", "number-too-long"), ("-3 thou", "negative"), ("", "no-value"), ("=1+1", "not-a-number"),
    ],
)  # fmt: skip
def test_a_bad_cell_is_named_by_line_and_column_and_hides_nothing(sheet, cell, code):
    status, answer = sheet(f"characteristic,value\n\n{ROD},3.8 thou\n{ROD},{cell}\n")
    assert status == 200
    good, bad = answer["items"]
    assert good["verdict"] == "usable"
    assert (bad["problem"]["code"], bad["problem"]["line"]) == (code, 4)
    status, answer = sheet(f"characteristic,value\n{ROD},{cell}\n")
    assert (status, answer["type"], answer["errors"][0]["line"]) == (422, f"/problems/{code}", 2)


def test_a_cell_over_two_lines_does_not_shift_the_count(sheet):
    _, answer = sheet(f'characteristic,value,note\n{ROD},3.8 thou,"two\nlines"\n{ROD},3.8,\n')
    assert answer["items"][1]["problem"]["line"] == 4
    assert answer["items"][1]["problem"]["column"] == "value"


@pytest.mark.parametrize(
    ("text", "status", "code"),
    [
        ("", 422, "no-readings"), ("\n\n", 422, "no-readings"), ("characteristic,value\n", 422, "no-readings"),
        ("value\n3 in\n", 400, "bad-csv"), ("characteristic,valeu\nx,3 in\n", 400, "bad-csv"),
        ("characteristic,value,value\nx,1 in,2 in\n", 400, "bad-csv"), ("characteristic,note (in)\nx,y\n", 400, "bad-csv"),
        ("characteristic,value (thuo)\nx,3\n", 422, "unknown-unit"), ('characteristic,value\n"x,3 in\n', 400, "bad-csv"),
        ("characteristic,value\n\x00,3\n", 400, "bad-csv"), ("characteristic\n" + "x" * 200_000 + "\n", 400, "bad-csv"),
        (f"id,characteristic,value\na,{ROD},3 thou\na,{ROD},3 thou\n", 422, "duplicate-id"),
        ("characteristic\n" + "x\n" * 5_001, 413, "too-many-items"),
    ],
)  # fmt: skip
def test_what_is_not_a_sheet_is_refused(sheet, text, status, code):
    got, answer = sheet(text)
    assert (got, answer["type"]) == (status, f"/problems/{code}")


def test_an_unknown_column_offers_near_matches(sheet):
    _, answer = sheet("characteristic,valeu\nx,3 in\n")
    assert "value" in answer["near"]
    assert answer["errors"][0]["column"] == "valeu"


def test_too_many_cells_are_told(sheet):
    _, answer = sheet(f"characteristic,value\n{ROD},3.8 thou\n{ROD},3.8 thou,see page, two\n")
    assert answer["items"][1]["problem"]["code"] == "bad-csv"
    assert "quotes" in answer["items"][1]["problem"]["detail"]


@pytest.mark.parametrize(
    ("head", "line", "column", "mend"),
    [
        ("characteristic,value (thou),note", f"{ROD},3,8", "value", "3.8"),
        ("characteristic,value (thou),note", f"{ROD},3,8,tight", "value", "3.8"),
        ("characteristic,value (thou),note", f"{ROD},3,8,", "value", "3.8"),
        ("characteristic,value (thou),instance,note", f"{ROD},3,8,,", "value", "3.8"),
        ("characteristic,value (thou),instance", f"{ROD},3,8", "value", "3.8"),
        ("characteristic,value,unit", f"{ROD},3,8,thou", "value", "3.8"),
        ("characteristic,value,unit", f"{ROD},3,8 thou", "value", "3.8 thou"),
        ("characteristic,value", f"{ROD},0,0038 in", "value", "0.0038 in"),
        ("characteristic,instrument,value (thou),note", f"{ROD},plastic-gauge-strip,3,8", "value", "3.8"),
        ("characteristic,low (thou),high (thou),note", f"{ROD},2,9,3,4", "low", "2.9"),
        ("characteristic,value (rpm),note", "running-speed,1,200", "value", "'1200' if it parts thousands"),
    ],
)  # fmt: skip
def test_a_decimal_comma_that_shifts_the_cells_is_refused_with_its_mend(sheet, head, line, column, mend):
    _, answer = sheet(f"{head}\n{ROD},{'' if ',instrument' in head else '3 thou'}\n{line}\n")
    told = answer["items"][1] if "items" in answer else answer["errors"][-1]
    problem = told.get("problem", told)
    assert (problem["code"], problem["line"], problem["column"]) == ("decimal-comma", 3, column)
    assert mend in problem["detail"]


@pytest.mark.parametrize(
    "text",
    [
        f"characteristic,value (thou),note\n{ROD},3.8,8\n",
        f"characteristic,value,note\n{ROD},4 thou,8\n",
        f"characteristic,value (thou),note\n{ROD},4,8 turns of the wheel\n",
        f"characteristic,value (thou),note\n{ROD},4,page 8\n",
        f"characteristic,value (thou),note,\n{ROD},4,,\n",
        f"characteristic,value (thou),standard_uncertainty (thou)\n{ROD},4,1\n",
        f"characteristic;value (thou);note\n{ROD};4;8\n",
        "characteristic,value (thou),instance\nring-end-gap,30,2\n",
    ],
)  # fmt: skip
def test_whole_figures_beside_others_are_no_comma(sheet, text):
    status, answer = sheet(text, "&dimension.bore=5 in")
    assert status == 200
    assert "problem" not in answer["items"][0]


def test_a_body_that_is_not_utf8_is_refused(raw):
    status, answer = raw(b"characteristic,value\n\xe9,3\n", "text/csv", query_string={"engine_class": "slow-open-crank"})
    assert (status, answer["type"]) == (400, "/problems/bad-csv")


@pytest.mark.parametrize(
    ("query", "status", "code"),
    [
        ("", 400, "missing-parameter"), ("?engine_class=x", 422, "unknown-engine-class"),
        ("?engine_class=slow-open-crank&confidence=2", 422, "bad-field"),
        ("?engine_class=slow-open-crank&confidence=abc", 422, "not-a-number"),
        ("?engine_class=slow-open-crank&confidence=nan", 422, "not-a-number"),
        ("?engine_class=slow-open-crank&stge=assembly", 400, "unknown-parameter"),
        ("?engine_class=slow-open-crank&dimension.crankpin=2", 422, "no-unit"),
    ],
)  # fmt: skip
def test_a_fault_of_the_query_refuses_the_sheet(sheet, query, status, code):
    got, answer = sheet(f"characteristic,value\n{ROD},3.8 thou\n", query=query)
    assert (got, answer["type"]) == (status, f"/problems/{code}")


def sheet_of(text, engine, **more):
    return {"engine": engine, "csv": text} | more


def test_a_json_sheet_may_hold_its_readings_as_csv(client, engine, raw):
    """One reader reads both: the items are those of the CSV body, word for word."""
    text = "id,characteristic,value (thou),instance\nx,rod-bearing-running-clearance,9.2,rod\n"
    inside = raw(simplejson.dumps(sheet_of(text, engine, remedies=True), use_decimal=True))[1]
    query = "engine_class=slow-open-crank&dimension.crankpin=2.25%20in&features=drip-oiled&engine=H&remedies=true"
    alone = simplejson.loads(client.post(f"/v1/verdicts?{query}", data=text, content_type="text/csv").text, use_decimal=True)
    assert inside["items"] == alone["items"]
    assert inside["items"][0]["remedies"]


@pytest.mark.parametrize(
    ("text", "more", "where"),
    [
        ("characteristic,valeu\nx,1\n", {}, [("/csv", 1, "valeu")]), ("characteristic,value\n", {}, [("/csv", 1, None)]),
        ("characteristic,value,unit\nrod-bearing-running-clearance,3.8,V\n", {}, [("/readings/0/value/unit", 2, "unit")]),
        ("characteristic,value\nx,\"3 in\n", {}, [("/csv", 2, None)]), (3, {}, [("/csv", None, None)]),
        ("characteristic,value\nx,3\n", {"readings": []}, [("/csv", None, None)]),
        ("id,characteristic,finding\na,flywheel-hub-crack,none found\na,flywheel-hub-crack,none found\n", {}, [("/readings/1/id", 3, "id")]),
    ],
)  # fmt: skip
def test_faults_of_csv_in_a_json_sheet_tell_line_and_column(raw, engine, text, more, where):
    status, answer = raw(simplejson.dumps(sheet_of(text, engine, **more), use_decimal=True))
    assert status == (400 if answer["type"] == "/problems/bad-csv" else 422)
    assert [(e.get("pointer"), e.get("line"), e.get("column")) for e in answer["errors"]] == where


@pytest.mark.parametrize(("cell", "said"), [("'-", "'-'"), ("'=none found", "'=none found'"), ("' -x", "'-x'")])
def test_the_apostrophe_that_guards_a_cell_from_a_spreadsheet_is_no_part_of_it(sheet, cell, said):
    _, answer = sheet(f"characteristic,finding\nflywheel-hub-crack,{cell}\n")
    assert answer["errors"][0]["detail"].startswith(f"{said} is not one of the words")


def test_a_guarded_number_is_read_and_an_apostrophe_of_ones_own_is_kept(sheet):
    _, answer = sheet("id,characteristic,value,note\n'-r1,crankshaft-end-float,'+6 thou,'tis mine\n")
    assert (answer["items"][0]["id"], answer["items"][0]["value"]) == ("-r1", {"value": Decimal(6), "unit": "thou"})
