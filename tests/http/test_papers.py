"""Papers over HTTP: forms, sheets, what is told beside them, and what is refused. What a paper says is tested in tests/papers."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from decimal import Decimal
from importlib.resources import files
from typing import Any

import jsonschema
import pytest
import simplejson

from halfthou_service.http.openapi import document
from halfthou_service.pages import CONTENT_POLICY

DEMO: dict[str, Any] = simplejson.loads(files("halfthou_service.demo").joinpath("sheet.json").read_text("utf-8"), use_decimal=True)
ENGINE = {"engine": DEMO["engine"]}
SPEC = document()
BODIES: dict[str, Any] = {
    "/v1/readiness": DEMO, "/v1/limits-sheets": ENGINE, "/v1/as-found-sheets": ENGINE, "/v1/work-orders": DEMO,
    "/v1/comparisons": {"sheet": DEMO},
    "/v1/parts-back": {"lines": [{"what": "Crankpin", "reported": {"value": {"value": Decimal("1.8"), "unit": "in"}}}]},
}  # fmt: skip
FORMS = {"json": "application/json", "html": "text/html", "markdown": "text/markdown", "csv": "text/csv"}


def quantity(value: str, unit: str = "in") -> dict[str, Any]:
    return {"value": Decimal(value), "unit": unit}


@pytest.fixture
def post(client) -> Callable[..., Any]:
    """Post JSON (a mapping) or CSV (text) to an address: the answer."""

    def send(path: str, body: Any, **more: Any) -> Any:
        text, kind = (body, "text/csv") if isinstance(body, str) else (simplejson.dumps(body, use_decimal=True), "application/json")
        return client.post(path, data=text, content_type=kind, **more)

    return send


def told(answer: Any) -> Any:
    assert answer.status_code == 200, answer.text[:500]
    return simplejson.loads(answer.text, use_decimal=True)


def refused(answer: Any, status: int = 422) -> dict[str, Any]:
    """Faults of a refusal by pointer or parameter: their codes."""
    assert answer.status_code == status, answer.text[:500]
    errors = simplejson.loads(answer.text)["errors"]
    return {e.get("pointer") or e.get("parameter") or f"{e.get('line')}:{e.get('column')}": e["code"] for e in errors}


# -- forms -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", BODIES)
def test_every_paper_comes_in_every_form_by_format_and_by_accept(post, path):
    for form, media_type in FORMS.items():
        by_word = post(f"{path}?format={form}", BODIES[path], headers={"Accept": "application/xml"})
        by_accept = post(path, BODIES[path], headers={"Accept": media_type})
        for answer in (by_word, by_accept):
            assert answer.status_code == 200, answer.text[:300]
            assert answer.mimetype == media_type
            assert answer.headers["Cache-Control"] == "no-store"
            assert answer.headers["Vary"] == "Accept"
        assert by_word.data == by_accept.data
        if form == "html":
            assert by_word.headers["Content-Security-Policy"] == CONTENT_POLICY


@pytest.mark.parametrize("path", BODIES)
def test_json_without_a_wish_and_nothing_for_a_form_nobody_makes(client, post, path):
    assert told(post(path, BODIES[path]))["paper"] in path
    assert post(path, BODIES[path], headers={"Accept": "image/png"}).status_code == 406
    assert refused(post(f"{path}?format=pdf", BODIES[path]), 400) == {"format": "bad-parameter"}
    assert refused(post(f"{path}?colour=red", BODIES[path]), 400) == {"colour": "unknown-parameter"}
    assert client.post(path, data="{}", content_type="text/plain").status_code == 415


@pytest.mark.parametrize("path", BODIES)
def test_live_papers_hold_against_their_schemas(post, path):
    schema = SPEC["paths"][path]["post"]["responses"]["200"]["content"]["application/json"]["schema"]
    jsonschema.Draft202012Validator({"components": SPEC["components"], **schema}).validate(told(post(path, BODIES[path])))


@pytest.mark.parametrize("path", [p for p in BODIES if p != "/v1/parts-back"])
def test_a_page_is_told_in_one_system(post, path):
    inner = {"sheet": DEMO} if path == "/v1/comparisons" else BODIES[path]
    for units in ("inch", "metric"):
        assert told(post(path, inner | {"units": units}))["units"] == units


FOREIGN = {"inch": r"\d (mm|mm/m|kg|N|kPa|°C|L)\b", "metric": r"\d (in|thou|in/ft|lbf?|psi|°F)(?! from the head)\b"}
OF_RECORDS = r"Weigh it or reckon high: a 10 hp engine has gone to 2525 lb|less than the tool can|(about|are) \d+ in 100" \
             r"|0\.001-0\.007 in \(0\.025-0\.175 mm\)"  # fmt: skip
"""What stands in records and phrases whatever the units: a caution, chances, and the name of a tool."""


def other_units(sheet: dict[str, Any], metric: bool) -> dict[str, Any]:
    """The sheet with every length in the other system's units; 25.4 mm are one inch."""
    if not metric:
        return sheet
    lengths = {"in": Decimal("25.4"), "thou": Decimal("0.0254")}

    def turned(q: Any) -> Any:
        known = isinstance(q, dict) and q.get("unit") in lengths
        return {"value": Decimal(q["value"]) * lengths[q["unit"]], "unit": "mm"} if known else q

    return sheet | {"readings": [{k: turned(v) for k, v in r.items()} for r in sheet["readings"]]}


@pytest.mark.parametrize("path", ["/v1/readiness", "/v1/work-orders", "/v1/comparisons"])
@pytest.mark.parametrize("units", ["inch", "metric"])
def test_a_paper_is_told_in_its_own_units_whatever_the_readings_were_taken_in(post, path, units):
    sheet = other_units(DEMO, metric=units == "inch") | {"units": units}
    body = {"sheet": sheet, "units": units} if path == "/v1/comparisons" else sheet
    for form in ("markdown", "html"):
        text = post(f"{path}?format={form}", body).text.partition("</style>")[2] or post(f"{path}?format={form}", body).text
        assert re.findall(FOREIGN[units], re.sub(OF_RECORDS, "", re.sub(r"<[^>]+>", " ", text))) == []


# -- remedies in verdicts --------------------------------------------------------------------------------------------


def test_remedies_stand_in_items_only_when_asked_for(send, rod):
    loose = rod | {"value": quantity("9.2", "thou")}
    _, plain = send([loose])
    assert "remedies" not in plain["items"][0]
    _, asked = send([loose, {"characteristic": "nope"}], remedies=True)
    assert asked["items"][0]["remedies"]
    assert asked["items"][1]["remedies"] == []
    schema = {"$ref": "#/components/schemas/Remedy", "components": SPEC["components"]}
    for item in asked["items"]:
        for remedy in item["remedies"]:
            jsonschema.Draft202012Validator(schema).validate(remedy)


def test_leaves_told_beside_the_reading_become_the_amount(send, rod):
    """A metal leaf taken from both sides brings the cap down by its thickness (trade.md A, common practice), so the sum of what
    is taken is the fall of the clearance."""
    sides = {side: [quantity(leaf, "thou") for leaf in ("3", "2", "2", "1")] for side in ("left", "right")}
    _, answer = send([rod | {"value": quantity("9.2", "thou")}], remedies=True, facts={"shims": [{"bearing": "rod", **sides}]})
    first = answer["items"][0]["remedies"][0]
    taken = next(a["value"]["value"] for a in first["amount"] if "side" in a["name"])
    assert first["reversible"]
    assert first["predicted"]["value"] == Decimal("9.2") - taken
    assert taken in {Decimal(n) for n in range(1, 9)}


def test_shims_of_the_mains_say_nothing_of_the_rod(send, rod):
    sides = {side: [quantity("3", "thou"), quantity("2", "thou")] for side in ("left", "right")}
    reading = [rod | {"value": quantity("9.2", "thou")}]
    _, bare = send(reading, remedies=True)
    _, mains = send(reading, remedies=True, facts={"shims": [{"bearing": "main", **sides}]})
    _, rods = send(reading, remedies=True, facts={"shims": [{"bearing": "rod", **sides}]})
    assert mains["items"][0]["remedies"] == bare["items"][0]["remedies"] != rods["items"][0]["remedies"]


def test_remedies_are_told_in_the_system_asked_for(send, rod):
    """In millimetres an amount is a practical one in millimetres (hundredths), so it is not the inch amount converted."""
    reading = [rod | {"value": quantity("9.2", "thou")}]
    for units, unit in (("inch", "thou"), ("metric", "mm")):
        _, answer = send(reading, remedies=True, units=units)
        item = answer["items"][0]
        told_here = [r for r in item["remedies"] if r["predicted"]]
        assert told_here
        for remedy in told_here:
            ends = [remedy["tolerance"][side] for side in ("low", "high")]
            assert {q["unit"] for q in (remedy["predicted"], *ends)} == {unit}
            assert ends[0]["value"] <= remedy["predicted"]["value"] <= ends[1]["value"]


def test_a_csv_sheet_asks_for_remedies_in_its_query(post):
    sheet = "characteristic,value (thou)\nrod-bearing-running-clearance,9.2\n"
    query = "engine_class=slow-open-crank&dimension.crankpin=2.25%20in"
    assert told(post(f"/v1/verdicts?{query}&remedies=true", sheet))["items"][0]["remedies"]
    assert "remedies" not in told(post(f"/v1/verdicts?{query}", sheet))["items"][0]
    assert refused(post(f"/v1/verdicts?{query}&remedies=yes", sheet), 400) == {"remedies": "bad-parameter"}


def test_a_stage_before_the_start_adds_readiness_in_short(send, rod):
    crack = {"id": "c", "characteristic": "flywheel-hub-crack", "finding": "hairline from keyway"}
    _, none = send([crack], stage="machine-shop")
    assert "readiness" not in none
    for stage in ("assembly", "first-start"):
        _, answer = send([crack, rod, {"id": "x", "characteristic": "nope"}], stage=stage)
        found = answer["readiness"]
        assert (found["stage"], [a["item"] for a in found["stops"]], [a["item"] for a in found["doubts"]]) == (stage, ["c"], ["x"])
        assert found["stops"][0]["stops_engine"] is True
        assert found["not_looked_at"] == len(answer["missing"])
        assert not re.search(r"\bsafe\b|\bready\b", found["text"].lower())


BAD_FACTS: list[tuple[dict[str, Any], dict[str, str]]] = [
    ({"colour": 1}, {"/facts/colour": "unknown-field"}),
    ({"shims": [{"left": []}]}, {"/facts/shims/0/bearing": "missing-field"}),
    ({"shims": [{"bearing": "cap"}]}, {"/facts/shims/0/bearing": "bad-field"}),
    ({"shims": [{"bearing": "rod", "left": [quantity("3", "V")]}]}, {"/facts/shims/0/left/0/unit": "wrong-dimension"}),
    ({"shims": [{"bearing": "rod", "left": [quantity("-3", "thou")]}]}, {"/facts/shims/0/left/0/value": "not-positive"}),
    ({"shim_stock": [3]}, {"/facts/shim_stock/0": "no-unit"}),
    ({"shim_stock": [quantity("1", "thou")] * 16}, {"/facts/shim_stock": "bad-field"}),
    ({"most_leaves": 7}, {"/facts/most_leaves": "bad-field"}),
    ({"most_leaves": Decimal("2.5")}, {"/facts/most_leaves": "bad-field"}),
    ({"most_leaves": "3"}, {"/facts/most_leaves": "not-a-number"}),
    ({"cylinder": {"piston": quantity("0")}}, {"/facts/cylinder/piston/value": "not-positive"}),
    ({"cylinder": {"pistons": 1}}, {"/facts/cylinder/pistons": "unknown-field"}),
    ({"cylinder": []}, {"/facts/cylinder": "bad-field"}),
    ({"gear": {"pressure_angle": quantity("20")}}, {"/facts/gear/pressure_angle/unit": "wrong-dimension"}),
    ({"magneto": {"oscillating": "yes"}}, {"/facts/magneto/oscillating": "bad-field"}),
    ({"measured": [{"characteristic": "nope", "value": quantity("1")}]}, {"/facts/measured/0/characteristic": "unknown-characteristic"}),
    ({"measured": [{"characteristic": "crankpin-diameter", "value": quantity("1", "V")}]}, {"/facts/measured/0/value/unit": "wrong-dimension"}),
    ({"measured": [{"characteristic": "flywheel-hub-crack", "value": quantity("1")}]}, {"/facts/measured/0/value": "wrong-kind"}),
    ({"measured": [{"characteristic": "crankpin-diameter", "value": quantity("-1")}]}, {"/facts/measured/0/value/value": "negative"}),
    ({"found": [{"characteristic": "flywheel-hub-crack", "word": "cracked a bit"}]}, {"/facts/found/0/word": "unknown-finding"}),
    ({"found": [{"characteristic": "nope", "word": "none"}]}, {"/facts/found/0/characteristic": "unknown-characteristic"}),
]


@pytest.mark.parametrize(("facts", "faults"), BAD_FACTS)
def test_facts_are_read_as_strictly_as_readings(post, engine, rod, facts, faults):
    for path in ("/v1/verdicts", "/v1/readiness", "/v1/work-orders"):
        assert refused(post(path, {"engine": engine, "readings": [rod], "facts": facts})) == faults


def test_every_part_of_the_facts_is_taken(post, engine, rod):
    length, lengths = quantity("0.01"), [quantity("0.01")]
    facts = {
        "measured": [{"characteristic": "crankpin-diameter", "value": quantity("2.249"), "instance": "rod", "station": "middle", "axis": "in line",
                      "state": "as_made"}],
        "found": [{"characteristic": "connecting-rod-crack", "word": "none", "instance": "rod"}],
        "shims": [{"bearing": "main", "instance": "left main", "pack_left": length, "pack_right": length, "paper": False}],
        "shim_stock": lengths, "most_leaves": 6, "washers": lengths,
        "cylinder": {"piston_oversizes": lengths, "ring_oversizes": lengths, "piston": quantity("5.24"), "wall": quantity("0.3"),
                     "least_wall": quantity("0.25"), "honing_allowance": length, "axis_offset": length, "score_depth": length, "tried": length},
        "journal": {"undersizes": lengths, "axis_offset": length, "score_depth": length, "tried": length, "least": quantity("2.2")},
        "ring": {"widths": [quantity("0.25")], "temperature": quantity("350", "degF"), "bore_temperature": quantity("212", "degF")},
        "bush": {"outside": quantity("1.5"), "boss_outside": quantity("3"), "interference": quantity("0.003"), "modulus": quantity("100", "GPa"),
                 "boss_modulus": quantity("100", "GPa"), "pin": quantity("1.25")},
        "valve": {"seat_angle": quantity("45", "deg"), "pit_depth": length, "sunk_below_other": length, "screw_threads": quantity("20", "tpi")},
        "gear": {"pressure_angle": quantity("20", "deg"), "centres_adjust": True, "cam_gear_teeth": 48},
        "spring": {"wanted": quantity("4", "lbf"), "rate": quantity("10", "lbf/in")},
        "circuit": {"supply": quantity("6", "V"), "resistance": quantity("1", "ohm"), "source_resistance": quantity("0", "ohm"),
                    "wanted_current": quantity("5", "A")},
        "magneto": {"before_voltage": quantity("2", "V"), "before_speed": quantity("300", "rpm"), "speed": quantity("900", "rpm"),
                    "oscillating": False},
        "strainer": {"wire": length, "screen_area": quantity("1", "in2"), "pipe_bore": quantity("0.25")},
        "coating": {"volume_solids": quantity("0.5", "ratio"), "thinner": quantity("0.25", "ratio")},
    }  # fmt: skip
    schema = SPEC["components"]["schemas"]
    assert set(facts) == set(schema["Facts"]["properties"])
    for name, part in facts.items():
        if isinstance(part, dict) and name in schema["Facts"]["properties"]:
            inner = schema["Facts"]["properties"][name]["$ref"].rpartition("/")[2]
            assert set(part) == set(schema[inner]["properties"]), name
    assert post("/v1/verdicts", {"engine": engine, "readings": [rod], "facts": facts, "remedies": True}).status_code == 200
    whole = DEMO | {"facts": facts, "remedies": True}
    for path in ("/v1/verdicts", "/v1/readiness", "/v1/work-orders"):
        assert post(path, whole).status_code == 200


# -- readiness -------------------------------------------------------------------------------------------------------


def test_readiness_of_another_stage_is_refused(post, engine, rod):
    body = {"engine": engine, "readings": [rod]}
    assert refused(post("/v1/readiness", body | {"stage": "running"})) == {"/stage": "bad-field"}
    sheet = "characteristic,value (thou)\nrod-bearing-running-clearance,3.8\n"
    query = "engine_class=slow-open-crank&dimension.crankpin=2.25%20in"
    assert refused(post(f"/v1/readiness?{query}&stage=running", sheet)) == {"stage": "bad-field"}
    found = told(post(f"/v1/readiness?{query}&stage=assembly&format=json", sheet))
    assert (found["stage"], found["first_start"]) == ("assembly", None)


def test_a_reading_that_cannot_be_read_is_a_doubt_and_no_silence(post, engine, rod):
    bad = {"id": "b", "characteristic": "crankshaft-end-float", "value": {"value": "three", "unit": "thou"}}
    found = told(post("/v1/readiness", {"engine": engine, "readings": [rod, bad]}))
    assert [d["item"] for d in found["doubts"]] == ["b"]
    assert "could not be read" in found["doubts"][0]["text"]
    assert post("/v1/readiness", {"engine": engine, "readings": [bad]}).status_code == 422


def test_readiness_uses_what_is_told_beside_the_readings(post, engine, rod):
    sides = {side: [quantity("3", "thou"), quantity("2", "thou")] for side in ("left", "right")}
    body = {"engine": engine, "readings": [rod | {"value": quantity("9.2", "thou")}]}
    bare = told(post("/v1/readiness", body))["stops"][0]["clear"]
    assert told(post("/v1/readiness", body | {"facts": {"shims": [{"bearing": "rod", **sides}]}}))["stops"][0]["clear"] != bare


# -- sheets for an engine --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", ["/v1/limits-sheets", "/v1/as-found-sheets"])
def test_a_paper_of_an_engine_needs_an_engine_and_nothing_else(post, path):
    assert refused(post(path, {})) == {"/engine": "missing-field"}
    assert refused(post(path, {"engine": {"engine_class": "nope"}})) == {"/engine/engine_class": "unknown-engine-class"}
    assert refused(post(path, ENGINE | {"readings": []})) == {"/readings": "unknown-field"}
    assert refused(post(path, {"engine": {"engine_class": "slow-open-crank", "dimensions": {"bore": quantity("5", "V")}}})) == {
        "/engine/dimensions/bore/unit": "wrong-dimension"}  # fmt: skip
    assert post(path, "a,b\n").status_code == 415
    assert post(path, []).status_code == 422


def test_a_limits_sheet_guesses_only_where_it_may(post):
    bare = {"engine": {"engine_class": "slow-open-crank", "dimensions": {"rated-power": quantity("5", "hp")}}}
    assert told(post("/v1/limits-sheets", bare))["guesses"]
    assert told(post("/v1/limits-sheets", bare | {"guess": False}))["guesses"] == []


def filled_form(post, **cells: tuple[str, str]) -> str:
    """The blank form with some boxes filled: characteristic -> column, text."""
    rows = list(csv.reader(io.StringIO(post("/v1/as-found-sheets?format=csv", ENGINE).text)))
    for row in rows[1:]:
        column, text = cells.get(row[1].replace("-", "_"), ("", ""))
        if column:
            row[rows[0].index(column)] = text
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    return out.getvalue()


def test_a_filled_form_goes_on_to_be_judged_with_its_leaves(post):
    form = filled_form(post, rod_shim_pack=("value", "3"), crankshaft_end_float=("value", "36"), turnover_freedom=("finding", "stuck"))
    found = told(post("/v1/as-found-sheets/filled", form))
    assert found["facts"] == {"shims": [{"bearing": "rod", "left": [quantity("3", "thou")] * 5, "right": [quantity("3", "thou")] * 5}]}
    assert {p["value"]["value"] for p in found["packs"]} == {15}
    sheet = ENGINE | {"readings": found["readings"], "facts": found["facts"], "remedies": True}
    by_json = told(post("/v1/verdicts", sheet))
    verdicts = {i["characteristic"]: i["verdict"] for i in by_json["items"]}
    assert verdicts == {"crankshaft-end-float": "beyond_limit", "rod-shim-pack": "typical", "turnover-freedom": "stop",
                        "rod-shim-side-difference": "within_fit"}  # fmt: skip
    again = post("/v1/as-found-sheets/filled?format=csv", form)
    query = "&".join(f"dimension.{n}={q['value']}%20{q['unit']}" for n, q in DEMO["engine"]["dimensions"].items() if "/" not in q["unit"])
    by_csv = told(post(f"/v1/verdicts?engine_class=slow-open-crank&{query}", again.text))
    assert {i["characteristic"]: i["verdict"] for i in by_csv["items"]} == verdicts


@pytest.mark.parametrize(
    ("form", "where"),
    [
        ("characteristic,value,unit\nrod-shim-pack,thick,thou\n", "2:value"), ("characteristic,colour\nx,y\n", "1:colour"),
        ("value\n3\n", "1:characteristic"),
        ("characteristic,value,unit,instance,station\nrod-shim-pack,3,V,left side,leaf 1\n", "2:value"),
        ("characteristic,value,unit,instance,station\nrod-shim-pack,-3,thou,left side,leaf 1\n", "2:value"),
        ("characteristic,value,unit,instance,station\nrod-shim-pack,0,thou,left side,leaf 1\n", "2:value"),
        ("characteristic,value,unit,instance,station\nrod-shim-pack,3,in,left side,leaf 1\n", "2:value"),
        ("characteristic,value,unit,instance,station\nrod-shim-pack,3,thou,top side,leaf 1\n", "2:instance"),
        ("characteristic,value,unit,instance,station\ncrankpin-diameter,3,thou,left side,leaf 1\n", "2:characteristic"),
        ("characteristic,value,unit,instance,station\nrod-shim-pack,3,thou,left side,leaf 1\nrod-shim-pack,4,thou,left side,leaf 1\n", "3:station"),
        ("\ncharacteristic,value,unit\n\ncrankshaft-end-float,,\ncrankshaft-end-float,3.8.1,thou\n", "5:value"),
        ("characteristic,value\ncrankshaft-end-float,3,8\n", "2:None"), ("characteristic,value,value\nx,3,4\n", "1:value"),
    ],
)  # fmt: skip
def test_a_form_that_cannot_be_read_says_where(post, form, where):
    assert list(refused(post("/v1/as-found-sheets/filled", form), 400)) == [where]


def test_marks_on_the_form_come_back(post):
    form = "id,characteristic,value,finding\nmark-plate,mark,No. 7 cast in the hopper,\nmark-photographs,mark,,\n"
    found = told(post("/v1/as-found-sheets/filled", form))
    assert found["marks"]["plate"] == "No. 7 cast in the hopper"
    assert found["empty"] == ["mark-photographs"]


# -- work orders and parts back --------------------------------------------------------------------------------------


def test_the_machinists_copy_is_of_one_part_and_keeps_the_owners_page_at_home(post):
    whole = told(post("/v1/work-orders", DEMO))
    ids = [p["id"] for p in whole["parts"]]
    assert "crankshaft" in ids
    assert whole["withheld"]
    copy = told(post("/v1/work-orders?part=crankshaft", DEMO))
    assert [p["id"] for p in copy["parts"]] == ["crankshaft"]
    assert {"decide_first", "proposals"} & set(copy["parts"][0]) == set()
    assert copy["withheld"] == []
    assert {line["part"] for line in copy["report"]} == {"crankshaft"}
    rows = list(csv.DictReader(io.StringIO(post("/v1/work-orders?part=crankshaft&format=csv", DEMO).text)))
    assert {row["part"] for row in rows} == {"crankshaft"}
    assert len(rows) == len(copy["report"])
    page = post("/v1/work-orders?part=crankshaft&format=html", DEMO).text
    assert "Crankshaft" in page
    assert "Decide first" not in page


def test_a_copy_of_a_part_that_waits_for_the_owner_is_flagged(post):
    """The question stays on the owner's page; his copy says that there is one."""
    whole = told(post("/v1/work-orders", DEMO))
    for part in whole["parts"]:
        copy = told(post(f"/v1/work-orders?part={part['id']}", DEMO))["parts"][0]
        assert copy["undecided"] is bool(part["decide_first"])
        assert "decide_first" not in copy
    assert any(part["undecided"] for part in whole["parts"])


def test_a_part_that_is_not_on_the_order_is_told_why(post):
    kept = told(post("/v1/work-orders", DEMO))["withheld"][0]
    answer = post(f"/v1/work-orders?part={kept['id']}", DEMO)
    assert refused(answer, 400) == {"part": "bad-parameter"}
    assert kept["why"] in simplejson.loads(answer.text)["detail"]
    assert refused(post("/v1/work-orders?part=mainspring", DEMO), 400) == {"part": "bad-parameter"}


def test_no_order_is_made_of_a_sheet_that_cannot_be_read_whole(post):
    readings = [*DEMO["readings"], {"id": "bad", "characteristic": "crankpin-diameter", "value": quantity("3", "V")}]
    assert refused(post("/v1/work-orders", DEMO | {"readings": readings})) == {f"/readings/{len(readings) - 1}/value/unit": "wrong-dimension"}
    assert refused(post("/v1/comparisons", {"sheet": DEMO | {"readings": readings}})) == {
        f"/sheet/readings/{len(readings) - 1}/value/unit": "wrong-dimension"}  # fmt: skip


def test_wishes_decide_the_finished_size_and_the_letterhead_is_told(post):
    wishes = {"crankshaft": {"low": quantity("1.7895"), "high": quantity("1.7900"), "mark": "C7", "notes": ["ring before noon"], "quantity": 1},
              "piston": {"send": False}}  # fmt: skip
    letterhead = {"date": "3 May", "owner": "the owner", "ring": "555 0143", "machinist": "the grinder"}
    found = told(post("/v1/work-orders", DEMO | {"wishes": wishes, "letterhead": letterhead}))
    crank = next(p for p in found["parts"] if p["id"] == "crankshaft")
    pin = crank["finish_to"][0]
    assert (pin["low"]["value"], pin["high"]["value"]) == (Decimal("1.7895"), Decimal("1.79"))
    assert "C7" in crank["identify"]
    assert crank["notes"] == ["ring before noon"]
    assert "piston" not in [p["id"] for p in found["parts"]]
    assert {k: found[k] for k in letterhead} == letterhead


@pytest.mark.parametrize(
    ("wishes", "faults"),
    [
        ({"mainspring": {"send": True}}, {"/wishes/mainspring": "bad-field"}),
        ({"crankshaft": {"low": quantity("1.79")}}, {"/wishes/crankshaft/high": "missing-field"}),
        ({"crankshaft": {"low": quantity("1.8"), "high": quantity("1.79")}}, {"/wishes/crankshaft/low": "upside-down"}),
        ({"crankshaft": {"low": quantity("1.8", "V"), "high": quantity("1.9", "V")}},
         {"/wishes/crankshaft/low/unit": "wrong-dimension", "/wishes/crankshaft/high/unit": "wrong-dimension"}),
        ({"crankshaft": {"quantity": 0}}, {"/wishes/crankshaft/quantity": "bad-field"}),
        ({"cylinder": {"method": "weld"}}, {"/wishes/cylinder/method": "bad-field"}),
        ({"cylinder": {"colour": "red"}}, {"/wishes/cylinder/colour": "unknown-field"}), ({"cylinder": 3}, {"/wishes/cylinder": "bad-field"}),
        ([], {"/wishes": "bad-field"}),
    ],
)  # fmt: skip
def test_wishes_are_read_strictly(post, wishes, faults):
    assert refused(post("/v1/work-orders", DEMO | {"wishes": wishes})) == faults


def test_the_report_of_an_order_goes_out_blank_and_comes_back_judged(post):
    """Both ways: the lines of the JSON order, and its CSV form. Two figures 0.1 thou apart with 0.2 thou of doubt each are the same."""
    order = told(post("/v1/work-orders?part=crankshaft", DEMO))
    lines = order["report"]
    assert lines[0]["ordered"] == {"low": quantity("1.7995"), "high": quantity("1.8")}
    lines[0]["reported"] = {"value": quantity("1.7997"), "expanded_uncertainty": quantity("0.0002"), "coverage_factor": 2}
    lines[0]["measured"] = {"value": quantity("1.7998"), "standard_uncertainty": quantity("0.0001")}
    by_json = told(post("/v1/parts-back", {"lines": lines}))
    rows = list(csv.reader(io.StringIO(post("/v1/work-orders?part=crankshaft&format=csv", DEMO).text)))
    for name, text in (("reported", "1.7997"), ("reported_uncertainty", "0.0002"), ("measured", "1.7998"), ("measured_uncertainty", "0.0002")):
        rows[1][rows[0].index(name)] = text
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    by_csv = told(post("/v1/parts-back", out.getvalue()))
    assert (by_json["lines"][0]["answer"], by_json["lines"][0]["agreement"]) == ("to_order", "same")
    assert by_json["lines"] == by_csv["lines"]
    assert [line["answer"] for line in by_json["lines"][1:]] == ["no_figure"] * (len(lines) - 1)


def test_the_volts_of_a_magneto_go_out_and_come_back(post):
    order = told(post("/v1/work-orders?part=magneto", DEMO))
    lines = [line for line in order["report"] if line["what"] == "Output"]
    assert [(line["station"], line["unit"], line["ordered"]) for line in lines] == [("before", "V", None), ("after", "V", None)]
    for line, volts in zip(lines, ("3.1", "6.5"), strict=True):
        line["measured"] = {"value": quantity(volts, "V"), "standard_uncertainty": quantity("0.2", "V")}
    found = told(post("/v1/parts-back", {"lines": lines}))["lines"]
    assert "More than before it went by 3.4 V" in found[1]["text"]
    rows = list(csv.DictReader(io.StringIO(post("/v1/work-orders?part=magneto&format=csv", DEMO).text)))
    assert [row["unit"] for row in rows if row["what"] == "Output"] == ["V", "V"]
    wrong = {"part": "magneto", "what": "Output", "measured": {"value": quantity("3")}}
    assert refused(post("/v1/parts-back", {"lines": [wrong]})) == {"/lines/0/measured/value": "wrong-dimension"}
    assert refused(post("/v1/parts-back", {"lines": [{"what": "Spark", "unit": "volt-ish"}]})) == {"/lines/0/unit": "unknown-unit"}


def test_the_form_of_a_part_is_judged_from_a_csv_that_comes_back(post):
    """Order of the demonstration: pin 1.7995 to 1.8000, half a thou of taper between its ends; 1.8000 less 1.7992 is 0.8 thou."""
    rows = list(csv.DictReader(io.StringIO(post("/v1/work-orders?part=crankshaft&format=csv", DEMO).text)))
    assert {row["what"]: (row["ordered_low"], row["ordered_high"]) for row in rows}["Crankpin taper"] == ("", "0.0005")
    for row in rows:
        if row["what"] == "Crankpin":
            row |= {"measured": "1.8000" if row["station"] == "inner" else "1.7992", "measured_uncertainty": "0.00002"}
    out = io.StringIO()
    writer = csv.DictWriter(out, rows[0])
    writer.writeheader()
    writer.writerows(rows)
    found = {line["what"]: line for line in told(post("/v1/parts-back", out.getvalue()))["lines"]}
    assert (found["Crankpin taper"]["answer"], found["Crankpin taper"]["worked_out"]) == ("not_to_order", True)
    assert found["Crankpin out of round"]["answer"] == "to_order"


def test_the_form_of_a_metric_order_is_in_millimetres(post):
    order = told(post("/v1/work-orders?part=crankshaft", DEMO | {"units": "metric"}))
    ends = order["report"][0]["ordered"]
    assert {ends[side]["unit"] for side in ends} == {"mm"}
    assert ends["low"]["value"] == order["parts"][0]["boxes"][0]["ordered"]["low"]["value"]
    assert len(str(ends["low"]["value"])) < 8
    assert "mm" in post("/v1/work-orders?part=crankshaft&format=csv", DEMO | {"units": "metric"}).text


def test_a_decision_rule_is_taken_for_a_report(post):
    line = {"what": "Crankpin", "ordered": {"low": quantity("1.7995"), "high": quantity("1.8")},
            "measured": {"value": quantity("1.8"), "standard_uncertainty": quantity("0.0001")}}  # fmt: skip
    guarded = told(post("/v1/parts-back", {"lines": [line]}))["lines"][0]["answer"]
    simple = told(post("/v1/parts-back", {"lines": [line], "decision_rule": "simple"}))["lines"][0]["answer"]
    assert (guarded, simple) == ("cannot_tell", "to_order")
    report = "what,ordered_low,ordered_high,measured,measured_uncertainty\nCrankpin,1.7995,1.8,1.8,0.0002\n"
    assert told(post("/v1/parts-back?decision_rule=simple", report))["lines"][0]["answer"] == "to_order"


@pytest.mark.parametrize(
    ("line", "faults"),
    [
        ({}, {"/lines/0/what": "missing-field"}), ({"what": "Bore", "colour": 1}, {"/lines/0/colour": "unknown-field"}),
        ({"what": "Bore", "reported": {"value": quantity("5", "V")}}, {"/lines/0/reported/value": "wrong-dimension"}),
        ({"what": "Bore", "reported": {"value": quantity("-5")}}, {"/lines/0/reported/value": "bad-field"}),
        ({"what": "Bore", "reported": {"value": quantity("5"), "words": "fine"}}, {"/lines/0/reported": "several-values"}),
        ({"what": "Bore", "reported": {"value": quantity("5"), "expanded_uncertainty": quantity("1")}},
         {"/lines/0/reported/coverage_factor": "missing-field"}),
        ({"what": "Bore", "reported": {"value": quantity("5"), "standard_uncertainty": quantity("0")}},
         {"/lines/0/reported/standard_uncertainty": "bad-field"}),
        ({"what": "Bore", "measured": {"value": quantity("5"), "instrument": "yardstick-of-mine"}},
         {"/lines/0/measured/instrument": "unknown-instrument"}),
        ({"what": "Bore", "measured": {"value": quantity("5"), "instrument": "outside-micrometer/zzz"}},
         {"/lines/0/measured/instrument": "unknown-instrument"}),
        ({"what": "Bore", "measured": {"value": quantity("5"), "instrument": "spring-scale"}}, {"/lines/0/measured/instrument": "wrong-instrument"}),
        ({"what": "Bore", "reported": {"value": quantity("5"), "standard_uncertainty": quantity("1000000000")}},
         {"/lines/0/reported/standard_uncertainty": "bad-field"}),
        ({"what": "Bore", "ordered": {"low": quantity("6"), "high": quantity("5")}}, {"/lines/0/ordered/low": "bad-field"}),
        ({"what": "Bore", "ordered": {"low": "lots"}}, {"/lines/0/ordered/low": "bad-quantity"}),
    ],
)  # fmt: skip
def test_lines_of_a_report_are_read_strictly(post, line, faults):
    assert refused(post("/v1/parts-back", {"lines": [line]})) == faults


@pytest.mark.parametrize(
    ("report", "where"),
    [
        ("what,reported\nBore,5 furlongs\n", "2:reported"), ("what,colour\nBore,red\n", "1:colour"), ("part,reported\nx,5\n", "1:what"),
        ("what,reported\nBore,5 V\n", "2:reported"), ("what,reported,measured,measured_tool\nBore,5,25,,\n", "2:None"),
        ("what,ordered_low,ordered_high\nBore,6,5\n", "2:ordered_low"),
    ],
)  # fmt: skip
def test_a_report_in_csv_that_cannot_be_read_says_where(post, report, where):
    assert list(refused(post("/v1/parts-back", report), 400)) == [where]


def test_an_empty_report_is_refused(post):
    assert refused(post("/v1/parts-back", {"lines": []})) == {"/lines": "bad-field"}
    assert post("/v1/parts-back", "what,reported\n").status_code == 422
    assert refused(post("/v1/parts-back", {"lines": [{"what": "x"}], "confidence": 1})) == {"/confidence": "bad-field"}


# -- comparisons -----------------------------------------------------------------------------------------------------


def float_of(thou: str, **more: Any) -> dict[str, Any]:
    reading = {"id": "f", "characteristic": "crankshaft-end-float", "value": quantity(thou, "thou"), "standard_uncertainty": quantity("1", "thou")}
    return {"engine": {"id": "H", "engine_class": "slow-open-crank"}, "readings": [reading | more]}


def test_two_sheets_are_compared_with_both_doubts(post):
    """u = 1 thou each: the difference is real beyond 2 sqrt(1 + 1) = 2.83 thou (JCGM 100, 5.1.2, for a difference)."""
    moved = told(post("/v1/comparisons", {"before": float_of("36"), "after": float_of("12")}))["rows"][0]
    assert (moved["change"], moved["better"], moved["difference"]) == ("changed", "better", quantity("-24", "thou"))
    hair = told(post("/v1/comparisons", {"before": float_of("14.8"), "after": float_of("12")}))["rows"][0]
    assert hair["change"] == "same"
    more = told(post("/v1/comparisons", {"before": float_of("14.9"), "after": float_of("12")}))["rows"][0]
    assert more["change"] == "changed"


@pytest.mark.parametrize(
    ("body", "faults"),
    [
        ({}, {"/before": "missing-field", "/after": "missing-field"}), ({"before": float_of("1")}, {"/after": "missing-field"}),
        ({"sheet": DEMO, "after": DEMO}, {"/sheet": "bad-field"}), ({"sheet": DEMO, "colour": 1}, {"/colour": "unknown-field"}),
        ({"before": float_of("1"), "after": 3}, {"/after": "bad-field"}), ({"sheet": DEMO, "units": "ells"}, {"/units": "bad-field"}),
        ({"before": {"engine": {"engine_class": "x"}, "readings": []}, "after": float_of("1", value=3)},
         {"/before/engine/engine_class": "unknown-engine-class", "/after/readings/0/value": "no-unit"}),
        ({"before": float_of("1"), "after": float_of("1") | {"engine": {"id": "K", "engine_class": "slow-open-crank"}}},
         {"/after/engine/id": "bad-field"}),
    ],
)  # fmt: skip
def test_comparisons_are_read_strictly(post, body, faults):
    assert refused(post("/v1/comparisons", body)) == faults


def test_surveys_speak_in_every_paper(post):
    sizes = {("inner", "in line of throw"): "1.8061", ("inner", "across throw"): "1.8092", ("outer", "in line of throw"): "1.8064",
             ("outer", "across throw"): "1.8093"}  # fmt: skip
    places = [{"station": station, "axis": axis, "value": Decimal(size)} for (station, axis), size in sizes.items()]
    survey = {"id": "pin", "feature": "crankpin", "instrument": "outside-micrometer", "unit": "in", "readings": places}
    sheet = ENGINE | {"surveys": [survey]}
    found = told(post("/v1/readiness", sheet))
    assert [a["item"] for a in found["stops"]] == ["pin.out-of-round"]
    order = told(post("/v1/work-orders", sheet))
    assert "crankshaft" in [p["id"] for p in order["parts"]]
    judged = told(post("/v1/verdicts", sheet | {"remedies": True}))
    assert any(i["remedies"] for i in judged["items"] if i["id"] == "pin.out-of-round")


@pytest.mark.parametrize(("path", "body", "pointer", "detail"), [
    ("/v1/readiness", {**ENGINE, "readings": DEMO["readings"][:1], "facts": {"shims": 3}}, "/facts/shims", "shims: a list is wanted"),
    ("/v1/work-orders", {**ENGINE, "readings": DEMO["readings"][:1], "wishes": {"crankshaft": 3}}, "/wishes/crankshaft",
     "crankshaft: an object is wanted"),
    ("/v1/work-orders", {**ENGINE, "readings": DEMO["readings"][:1], "wishes": [1]}, "/wishes", "wishes: an object is wanted"),
    ("/v1/work-orders", {**ENGINE, "readings": DEMO["readings"][:1], "wishes": {"piston": {"notes": ["a"] * 13}}}, "/wishes/piston/notes",
     "notes: at most 12 entries are wanted"),
    ("/v1/limits-sheets", {"engine": "H"}, "/engine", "engine: an object is wanted"),
    ("/v1/parts-back", {"lines": []}, "/lines", "lines: 1 to 2000 entries are wanted"),
    ("/v1/parts-back", {"lines": [3]}, "/lines/0", "an entry of lines: an object is wanted"),
])  # fmt: skip
def test_a_field_of_the_wrong_shape_is_told_by_what_is_wanted(post, path, body, pointer, detail):
    answer = post(path, body)
    assert answer.status_code == 422
    (fault,) = simplejson.loads(answer.text)["errors"]
    assert (fault["pointer"], fault["detail"]) == (pointer, detail)
