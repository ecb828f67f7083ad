"""The OpenAPI document: generated, committed, true of every route and of live answers."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import simplejson
from openapi_spec_validator import validate

from halfthou_service.http.openapi import document, document_text

COMMITTED = Path(__file__).parents[2] / "docs" / "openapi.json"
ROD = "rod-bearing-running-clearance"


@pytest.fixture(scope="module")
def spec() -> dict[str, Any]:
    return simplejson.loads(document_text())


def test_the_committed_document_is_the_one_generated():
    """Regenerate it: python -m halfthou_service.http.openapi > docs/openapi.json."""
    assert COMMITTED.read_text(encoding="utf-8") == document_text()


def test_the_document_is_openapi_3_1(spec):
    validate(spec)
    assert spec["openapi"].startswith("3.1")


def test_the_document_is_served(client, spec):
    assert simplejson.loads(client.get("/openapi.json").text) == spec


def routes(app) -> Iterator[tuple[str, str]]:
    for rule in app.url_map.iter_rules():
        path = re.sub(r"<(?:[a-z]+:)?([a-z_]+)>", r"{\1}", rule.rule)
        for method in rule.methods - {"HEAD", "OPTIONS"}:
            yield path, method.lower()


def test_every_route_is_described_and_nothing_else(app, spec):
    described = {(path, method) for path, operations in spec["paths"].items() for method in operations if method != "parameters"}
    assert described == set(routes(app))


def test_operations_have_names_of_their_own(spec):
    names = [op["operationId"] for operations in spec["paths"].values() for op in operations.values()]
    assert len(set(names)) == len(names)


def test_requests_refuse_what_they_do_not_know(spec):
    for name in ("Sheet", "Engine", "Reading", "Place", "Quantity", "OwnLimit", "Ends"):
        assert spec["components"]["schemas"][name]["additionalProperties"] is False, name


def test_exclusive_bounds_are_written_as_exclusive(spec):
    confidence = spec["components"]["schemas"]["Sheet"]["properties"]["confidence"]
    assert (confidence["exclusiveMinimum"], confidence["exclusiveMaximum"]) == (0.5, 1)


def check(spec: dict[str, Any], path: str, method: str, answer: Any) -> None:
    """The answer holds against the schema of its status."""
    responses = spec["paths"][path][method]["responses"]
    found = responses[str(answer.status_code)]
    if "$ref" in found:
        found = spec["components"]["responses"][found["$ref"].rpartition("/")[2]]
    schema = found["content"][answer.mimetype]["schema"]
    if answer.mimetype in ("text/html", "application/toml"):  # no JSON to look into; that it may be answered is told above
        return
    whole = {"components": spec["components"], **schema}
    jsonschema.Draft202012Validator(whole).validate(simplejson.loads(answer.text))


def test_live_answers_hold_against_their_schemas(client, table, spec):
    sizes = {f"dimension.{d}": f"3 {u}" for d, u in table.dimension_units.items()}
    for what in list(table.characteristics)[::7]:
        for evidence in ("full", "ids", "none"):
            query = {"characteristic": what, "engine_class": "slow-open-crank", "evidence": evidence} | sizes
            check(spec, "/v1/limits", "get", client.get("/v1/limits", query_string=query))
        check(spec, "/v1/characteristics/{characteristic_id}", "get", client.get(f"/v1/characteristics/{what}"))
    for path, operations in spec["paths"].items():
        if "get" in operations and "{" not in path and path not in ("/metrics", "/specdb.sqlite"):
            check(spec, path, "get", client.get(path))


def test_live_verdicts_hold_against_their_schema(client, table, spec):
    sizes = {d: {"value": 3, "unit": u} for d, u in table.dimension_units.items()}
    readings: list[dict[str, Any]] = [{"characteristic": "nope"}]
    for what in table.characteristics.values():
        if what.value_kind == "finding":
            readings += [{"characteristic": what.id, "finding": word.word} for word in what.words]
        else:
            readings += [{"characteristic": what.id, "value": {"value": v, "unit": what.unit}, "confirmed": True} for v in (0.001, 1, 40)]
    for judged_by in ("adopted", "each-source"):
        body = {"engine": {"engine_class": "slow-open-crank", "dimensions": sizes}, "readings": readings, "judged_by": judged_by,
                "stage": "running"}  # fmt: skip
        answer = client.post("/v1/verdicts", json=body)
        assert answer.status_code == 200
        check(spec, "/v1/verdicts", "post", answer)


def test_live_refusals_hold_against_the_problem_schema(client, spec):
    check(spec, "/v1/limits", "get", client.get("/v1/limits?foo=1&size=2"))
    check(spec, "/v1/limits", "get", client.get("/v1/limits", headers={"Accept": "text/html"}))
    check(spec, "/v1/works/{record_id}", "get", client.get("/v1/works/nope"))
    for body in ("{", "[]", '{"readings": [1]}'):
        check(spec, "/v1/verdicts", "post", client.post("/v1/verdicts", data=body, content_type="application/json"))
    check(spec, "/v1/verdicts", "post", client.post("/v1/verdicts", data="x", content_type="text/plain"))


def test_the_document_does_not_depend_on_the_data():
    text = simplejson.dumps(document())
    assert ROD not in text
    assert not re.search(r"\+[0-9a-f]{12}", text)


def test_live_answers_about_guesses_and_overlays_hold_against_their_schemas(client, spec):
    powers: list[dict[str, str]] = [{"power": "5 hp", "stroke": "9 in"}, {"power": "3.75 hp", "units": "metric"}]
    for query in (*powers, {"power": "5 hp", "engine_class": "slow-enclosed-crank"}):
        check(spec, "/v1/typical-dimensions", "get", client.get("/v1/typical-dimensions", query_string=query))
    figures = ('id = "a"\ncharacteristic = "rod-bearing-running-clearance"\nunit = "in"\nfit = { low = 0.002, high = 0.003 }\n',
               'id = "b"\ncharacteristic = "flywheel-rim-speed"\nunit = "V"\nfit = { low = 1, high = 2 }\n')  # fmt: skip
    for chosen in ((), figures[:1], figures):
        text = '[overlay]\nengine = "H"\ntitle = "t"\n' + "".join(f"[[limit]]\n{one}" for one in chosen)
        check(spec, "/v1/overlays/check", "post", client.post("/v1/overlays/check", data=text, content_type="application/toml"))
    for path in ("/table/{page}", "/v1/overlays/template"):
        check(spec, path, "get", client.get(path.replace("{page}", "flywheel"), query_string={"engine": "H"} if "template" in path else {}))
