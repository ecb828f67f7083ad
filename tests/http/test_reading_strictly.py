"""The small parts that read: JSON, quantities, tags; and that the schemas and the fast reader take the same fields alike."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from marshmallow import ValidationError

import halfthou_service.bench
from halfthou_service.http import jsonio
from halfthou_service.http.csv_readings import COLUMNS
from halfthou_service.http.csv_surveys import SURVEY_ONLY, TAKEN
from halfthou_service.http.faults import Fault, FaultError, Near, token
from halfthou_service.http.parse_reading import ReadingReader
from halfthou_service.http.parse_survey import SurveyReader
from halfthou_service.http.problem_kinds import HONEST
from halfthou_service.http.problems import KINDS
from halfthou_service.http.schemas import READING_FIELDS, ReadingSchema
from halfthou_service.http.schemas.requests import SURVEY_FIELDS

QUIET = settings(derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck))
GOOD = {"value": Decimal("3.8"), "unit": "thou"}


@pytest.mark.parametrize(
    ("body", "value"),
    [
        (b'{"a": 0.10}', {"a": Decimal("0.10")}), (b"3", Decimal(3)), (b"-0.0", Decimal("-0.0")), (b"1E+2", Decimal("1E+2")),
        (b'\xef\xbb\xbf{"a": null}', {"a": None}), (b'["\\u00e9", "\\ud83d\\ude00"]', ["é", "😀"]), (b"[]", []),
        (b"[" + b"1" * 5000 + b"]", [jsonio.LongNumber(5000)]),
    ],
)  # fmt: skip
def test_json_is_read_with_every_digit(body, value):
    found = jsonio.parse(body)
    assert found == value
    assert repr(found) == repr(value)


@given(st.recursive(st.one_of(st.none(), st.booleans(), st.text(), st.decimals(allow_nan=False, allow_infinity=False, places=6)),
                    lambda inner: st.one_of(st.lists(inner), st.dictionaries(st.text(), inner)), max_leaves=20))  # fmt: skip
@settings(QUIET, max_examples=200)
def test_what_is_written_is_read_back_digit_for_digit(value):
    text = jsonio.dumps(value).encode()
    if jsonio.depth(text) <= jsonio.MAX_DEPTH:
        assert repr(jsonio.parse(text)) == repr(value)


@given(st.recursive(st.text(alphabet='[]{}"\\a,:', max_size=6), lambda inner: st.one_of(st.lists(inner), st.dictionaries(st.text(), inner))))
@settings(QUIET, max_examples=300)
def test_depth_counts_brackets_outside_text_only(value):
    def deep(found):
        if isinstance(found, dict):
            found = list(found.values())
        return 1 + max(map(deep, found), default=0) if isinstance(found, list) else 0

    assert jsonio.depth(jsonio.dumps(value).encode()) == deep(value)


@pytest.mark.parametrize("word", [float("nan"), float("inf"), Decimal("NaN")])
def test_nothing_writes_what_is_not_json(word):
    with pytest.raises((ValueError, TypeError)):
        jsonio.dumps({"a": word})


def test_a_pointer_escapes_its_steps():
    assert token("a/b~c") == "/a~1b~0c"  # RFC 6901, section 4


def test_near_matches_are_bounded():
    near = Near(lookups=1)
    assert near.of("thuo", ["thou"]) == ("thou",)
    assert near.of("thuo", ["thou"]) == ()


# -- the schemas and the reader --------------------------------------------------------------------------------------

CHECKED_BY_TABLE = {"instrument", "limit", "material", "second_opinion"}
SAMPLES = [
    None, True, False, 1, Decimal(2), Decimal("0.5"), "", " ", "x", "x" * 81, "x" * 201, "x" * 2001, [], {}, "before", "as_found", "rim-arc",
    GOOD, {"value": Decimal(68), "unit": "degF"}, {"value": Decimal(3)}, {"unit": "in"}, {"value": "3", "unit": "in"},
    {"value": Decimal(3), "unit": "thuo"}, {"value": Decimal("1e99"), "unit": "in"}, GOOD | {"more": 1}, [GOOD], [GOOD, GOOD], [GOOD, 3],
    [GOOD] * 201, {"instance": "rod"}, {"instance": "rod", "station": "a", "axis": "b"}, {"instance": 1}, {"where": "x"}, {"axis": ""},
]  # fmt: skip


def test_the_schema_and_the_reader_know_the_same_fields(table):
    assert set(ReadingReader(table, Near())._readers) == set(READING_FIELDS)
    parts = {"unit", "instance", "station", "axis", "repeats", "fit_low", "fit_high", "wear_low", "wear_high", "pooled_degrees_of_freedom"}
    assert set(COLUMNS) - parts - {"survey", *SURVEY_ONLY} <= set(READING_FIELDS)
    assert set(TAKEN) - {"survey", "repeats", "station", "axis", "value"} <= set(SURVEY_FIELDS)
    assert set(SurveyReader(table, Near())._readers) == set(SURVEY_FIELDS)


@pytest.mark.parametrize("name", sorted(set(READING_FIELDS) - CHECKED_BY_TABLE))
def test_the_schema_and_the_reader_take_and_refuse_alike(table, name):
    reader, schema = ReadingReader(table, Near()), ReadingSchema(only=(name,))
    for sample in SAMPLES:
        if name in ("temperature", "instrument_temperature") and sample == GOOD:
            continue  # the schema does not know that a temperature is wanted
        if name in ("coverage_factor", "degrees_of_freedom") and isinstance(sample, Decimal) and sample < 1:
            continue  # ranges are the reader's
        sent = Decimal(sample) if type(sample) is int else sample  # the body's numbers are all decimals
        assert _taken(lambda s=sent: reader._readers[name](s)) == _taken(lambda s=sent: schema.load({name: s})), sample


def _taken(read):
    try:
        read()
    except (FaultError, ValidationError):
        return False
    return True


# -- kinds of problem ------------------------------------------------------------------------------------------------


def test_every_code_of_the_bench_is_a_kind_of_problem():
    folder = Path(halfthou_service.bench.__file__).parent
    codes = set()
    for path in folder.glob("*.py"):
        codes |= set(re.findall(r'(?:ReadingProblem|(?<!class )Problem)\(\s*"([a-z-]+)"', path.read_text(encoding="utf-8")))
    assert "wrong-dimension" in codes
    assert codes <= set(KINDS)


def test_every_code_of_a_fault_is_a_kind_of_problem():
    import halfthou_service.http as http

    codes = set()
    for path in Path(http.__file__).parent.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        codes |= set(re.findall(r'(?:Fault|ProblemError|NotJson|\.fault|\.unknown)\(\s*"([a-z-]+)"', text))
    assert "no-unit" in codes
    assert codes <= set(KINDS)


def test_honest_reasons_are_kinds_too():
    assert set(KINDS) >= HONEST
    assert {slug for slug, kind in KINDS.items() if kind.status == 0} <= HONEST


def test_a_fault_tells_only_what_it_has():
    assert Fault("no-unit", "x", pointer="/a").to_json() == {"pointer": "/a", "code": "no-unit", "detail": "x"}
    assert Fault("no-unit", "x", parameter="size").to_json() == {"parameter": "size", "code": "no-unit", "detail": "x"}


# -- numbers without a unit --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "tokens", "like"),
    [
        ("rod-shim-count-difference", "count or drops", '{"value": 3, "unit": "count"}'),
        ("compression-ratio", "ratio, percent, ", '{"value": 3.8, "unit": "ratio"}'),
        ("running-speed", "rpm, rev/s, turn/h or rad/s", '{"value": 3.8, "unit": "rpm"}'),
    ],
)
@pytest.mark.parametrize("value", [3, {"value": 3}, {"value": 3, "unit": ""}])
def test_a_bare_number_is_told_the_units_of_what_was_read(send, rod, name, tokens, like, value):
    _, answer = send([rod, {"characteristic": name, "value": value}])
    problem = answer["items"][1]["problem"]
    assert problem["code"] == "no-unit"
    assert f"{name} may be told in {tokens}" in problem["detail"]
    assert like in problem["detail"]
    _, taken = send([{"characteristic": "rod-shim-count-difference", "value": {"value": 3, "unit": "count"}}])
    assert "problem" not in taken["items"][0]


def test_a_bare_cell_is_told_the_units_of_what_was_read(client):
    text = "characteristic,value\nrod-shim-count-difference,1 count\nrod-shim-count-difference,3\n"
    answer = client.post("/v1/verdicts?engine_class=slow-open-crank", data=text, content_type="text/csv").json
    assert "problem" not in answer["items"][0]
    problem = answer["items"][1]["problem"]
    assert (problem["code"], problem["column"]) == ("no-unit", "value")
    assert problem["detail"].endswith("write it like 3 count")


def test_a_bare_uncertainty_keeps_its_own_fault(send, rod):
    _, answer = send([rod, {**rod, "id": "other", "standard_uncertainty": 3}])
    assert answer["items"][1]["problem"]["detail"].startswith("a bare number has no unit")
