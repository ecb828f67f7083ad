"""Generated requests against the OpenAPI document, in this process: whatever is sent, no failure and no surprise."""

from __future__ import annotations

import json

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
    unsupported_method,
)

from halfthou_service.http.openapi import document

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    unsupported_method,
]


OPERATIONS = [
    (path, method, mode)
    for path, operations in sorted(document()["paths"].items())
    for method, operation in operations.items()
    for mode in GenerationMode
    if mode is GenerationMode.POSITIVE or operation["parameters"] or "requestBody" in operation  # where there is something to get wrong
]
QUIET = settings(derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck))


@pytest.fixture(scope="module")
def api(app):
    return schemathesis.openapi.from_wsgi("/openapi.json", app)


@pytest.mark.parametrize(("path", "method", "mode"), OPERATIONS)
def test_generated_requests(api, path, method, mode):
    strategy = api[path][method].as_strategy(generation_mode=mode)

    @given(case=strategy)
    @settings(QUIET, max_examples=10)
    def ask(case):
        case.call_and_validate(checks=CHECKS)

    ask()


ROD = "rod-bearing-running-clearance"
NUMBERS = st.one_of(
    st.integers(-(10**25), 10**25), st.floats(allow_nan=False, allow_infinity=False), st.sampled_from([0, 1, 3.8, -0.0, 1e-12, 1e12])
)
UNITS = st.sampled_from(["in", "thou", "mm", "V", "deg", "degF", "rpm", "count", "", "thuo", '"'])
QUANTITIES = st.fixed_dictionaries({"value": NUMBERS, "unit": UNITS})
ANYTHING = st.recursive(st.one_of(st.none(), st.booleans(), NUMBERS, st.text(max_size=12)), lambda inner: st.one_of(
    st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=8), inner, max_size=3)), max_leaves=6)  # fmt: skip
FIELDS = {
    "value": QUANTITIES, "values": st.lists(QUANTITIES, max_size=6), "low": QUANTITIES, "high": QUANTITIES, "goes": QUANTITIES,
    "does_not_go": QUANTITIES, "standard_uncertainty": QUANTITIES, "expanded_uncertainty": QUANTITIES, "coverage_factor": NUMBERS,
    "degrees_of_freedom": NUMBERS, "finding": st.sampled_from(["none found", "hairline from keyway", "x"]),
    "instrument": st.sampled_from(["plastic-gauge-strip", "feeler-gauge", "outside-micrometer", "nope"]),
    "relative": st.sampled_from(["before", "after"]), "along": st.sampled_from(["rim-arc", "rim-chord"]), "confirmed": st.booleans(),
    "state": st.sampled_from(["as_found", "as_made"]), "temperature": QUANTITIES,
    "limit": st.fixed_dictionaries({}, optional={p: st.fixed_dictionaries({}, optional={e: st.one_of(QUANTITIES, st.just("unbounded"))
                                                 for e in ("low", "high")}) for p in ("fit", "wear")}),
    "note": ANYTHING, "place": ANYTHING, "id": ANYTHING,
}  # fmt: skip
WHAT = st.sampled_from([ROD, "spark-timing-start", "flywheel-hub-crack", "own-check", "flywheel-rim-speed", "main-bearing-running-clearance"])
READINGS = st.builds(lambda what, parts: {"characteristic": what} | parts, WHAT, st.fixed_dictionaries({}, optional=FIELDS))


@given(st.lists(READINGS, min_size=1, max_size=8), st.sampled_from(["adopted", "each-source"]), st.sampled_from(["", "inch", "metric"]))
@settings(QUIET, max_examples=200)
def test_any_sheet_of_any_readings_is_answered(app, readings, judged_by, units):
    engine = {"engine_class": "slow-open-crank", "dimensions": {"crankpin": {"value": 2.25, "unit": "in"}, "flywheel": {"value": 28, "unit": "in"}}}
    body = {"engine": engine, "readings": readings, "judged_by": judged_by} | ({"units": units} if units else {})
    answer = app.test_client().post("/v1/verdicts", json=body)
    assert answer.status_code in (200, 422)
    if answer.status_code == 200:
        assert len(answer.json["items"]) == len(readings)
        assert sum(answer.json["overall"]["counts"].values()) == len(readings)
        assert all(item["text"] for item in answer.json["items"])


@given(ANYTHING)
@settings(QUIET, max_examples=200)
def test_any_json_is_refused_with_a_problem(app, body):
    answer = app.test_client().post("/v1/verdicts", data=json.dumps(body), content_type="application/json")
    assert answer.status_code in (400, 422)
    assert answer.json["type"].startswith("/problems/")


@given(st.binary(max_size=200), st.sampled_from(["application/json", "text/csv"]))
@settings(QUIET, max_examples=200)
def test_any_bytes_are_refused_with_a_problem(app, body, content_type):
    answer = app.test_client().post("/v1/verdicts?engine_class=slow-open-crank", data=body, content_type=content_type)
    assert answer.status_code in (400, 422)


NAMES = st.sampled_from(["characteristic", "engine_class", "size", "use", "features", "units", "dimension.bore", "x"])
TEXTS = st.one_of(st.text(max_size=20), st.sampled_from([ROD, "slow-open-crank", "2-1/4 in", "work", "splash"]))


@given(st.dictionaries(NAMES, TEXTS, max_size=6))
@settings(QUIET, max_examples=200)
def test_any_question_about_a_limit_is_answered(app, query):
    answer = app.test_client().get("/v1/limits", query_string=query)
    assert answer.status_code in (200, 400, 404, 422)
