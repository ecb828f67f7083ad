"""Bad input to POST /v1/verdicts: refused with a place and a mend, or told in its item while the others are judged."""

from __future__ import annotations

import io
import time
from decimal import Decimal
from pathlib import Path

import pytest
import simplejson
from werkzeug.test import create_environ, run_wsgi_app

import halfthou_service

ROD = "rod-bearing-running-clearance"


def q(value, unit):
    return {"value": Decimal(str(value)), "unit": unit}


def reading(**more):
    return {"characteristic": ROD, "value": q("3.8", "thou")} | more


def valued(value):
    return reading(value=value)


FAULTY = [
    # reading, code, pointer within the reading
    (valued({"value": 3}), "no-unit", "/value/unit"),
    (valued(3), "no-unit", "/value"),
    (valued("3.8 thou"), "bad-quantity", "/value"),
    (valued(None), "bad-quantity", "/value"),
    (valued({"value": 3, "unit": 5}), "no-unit", "/value/unit"),
    (valued({"value": 3, "unit": ""}), "no-unit", "/value/unit"),
    (valued({"value": 3, "unit": "thuo"}), "unknown-unit", "/value/unit"),
    (valued({"value": 3, "unit": "9**9**8 inch"}), "unknown-unit", "/value/unit"),
    (valued({"value": 3, "unit": "V"}), "wrong-dimension", "/value/unit"),
    (valued({"unit": "in"}), "missing-field", "/value/value"),
    (valued({"value": 3, "unit": "in", "units": "in"}), "unknown-field", "/value/units"),
    (valued({"value": "0,0038", "unit": "in"}), "not-a-number", "/value/value"),
    (valued({"value": "3.8", "unit": "in"}), "not-a-number", "/value/value"),
    (valued({"value": "nan", "unit": "in"}), "not-a-number", "/value/value"),
    (valued({"value": True, "unit": "in"}), "not-a-number", "/value/value"),
    (valued({"value": [3], "unit": "in"}), "not-a-number", "/value/value"),
    (valued(q("1e9999", "in")), "number-out-of-range", "/value/value"),
    (valued(q("1e10000000", "in")), "number-out-of-range", "/value/value"),
    (valued(q("1e-13", "in")), "number-out-of-range", "/value/value"),
    (valued(q("1" * 21, "in")), "number-too-long", "/value/value"),
    (valued(q("9" * 5000, "in")), "number-too-long", "/value/value"),
    (valued(q("0." + "9" * 5000, "in")), "number-too-long", "/value/value"),
    (valued(q("-3.8", "thou")), "negative", "/value"),
    (reading(chracteristic="x"), "unknown-field", "/chracteristic"),
    (reading(characteristic="rod-bearing-runing-clearance"), "unknown-characteristic", "/characteristic"),
    (reading(characteristic=5), "bad-field", "/characteristic"),
    ({"value": q(3, "thou")}, "missing-field", "/characteristic"),
    (reading(instrument="plastic-gage-strip"), "unknown-instrument", "/instrument"),
    (reading(instrument="plastic-gauge-strip/nope"), "unknown-instrument", "/instrument"),
    (reading(instrument="dc-voltmeter-that-is-not"), "unknown-instrument", "/instrument"),
    (reading(state="found"), "bad-field", "/state"),
    (reading(place="rod"), "bad-field", "/place"),
    (reading(place={"where": "rod"}), "unknown-field", "/place/where"),
    (reading(place={"instance": 1}), "bad-field", "/place/instance"),
    (reading(temperature=q(68, "in")), "wrong-dimension", "/temperature/unit"),
    (reading(confirmed=1), "bad-field", "/confirmed"),
    (reading(confirmed="true"), "bad-field", "/confirmed"),
    (reading(note=""), "bad-field", "/note"),
    (reading(note="x" * 2001), "bad-field", "/note"),
    (reading(standard_uncertainty=q(0, "thou")), "zero-uncertainty", "/standard_uncertainty"),
    (reading(standard_uncertainty=q("0.1", "V")), "wrong-dimension", "/standard_uncertainty"),
    (reading(expanded_uncertainty=q(1, "thou")), "missing-field", "/coverage_factor"),
    (reading(coverage_factor=2), "bad-field", "/coverage_factor"),
    (reading(expanded_uncertainty=q(1, "thou"), coverage_factor=0), "not-positive", "/coverage_factor"),
    (reading(expanded_uncertainty=q(10**6, "thou"), coverage_factor=Decimal("1e-12")), "out-of-range", "/coverage_factor"),
    (reading(expanded_uncertainty=q(1, "thou"), coverage_factor=2, standard_uncertainty=q(1, "thou")), "bad-field", "/expanded_uncertainty"),
    (reading(degrees_of_freedom=0), "bad-field", "/degrees_of_freedom"),
    (reading(relative="beside"), "bad-field", "/relative"),
    (reading(relative="before"), "wrong-kind", "/relative"),
    (reading(along="rim"), "bad-field", "/along"),
    ({"characteristic": ROD}, "no-value", ""),
    (reading(finding="none found"), "several-values", ""),
    ({"characteristic": ROD, "finding": "none found"}, "wrong-kind", "/finding"),
    ({"characteristic": "flywheel-hub-crack", "finding": "looks all right"}, "unknown-finding", "/finding"),
    ({"characteristic": "flywheel-hub-crack", "value": q(3, "in")}, "wrong-kind", "/finding"),
    ({"characteristic": ROD, "values": []}, "bad-field", "/values"),
    ({"characteristic": ROD, "values": [q(3, "thou"), q(3, "V")]}, "wrong-dimension", "/values/1/unit"),
    ({"characteristic": ROD, "values": [q(3, "V")]}, "wrong-dimension", "/values/0/unit"),
    ({"characteristic": ROD, "low": q(3, "thou")}, "missing-field", "/high"),
    ({"characteristic": ROD, "low": q(4, "thou"), "high": q(3, "thou")}, "upside-down", "/low"),
    ({"characteristic": ROD, "low": q(4, "thou"), "high": q(5, "V")}, "wrong-dimension", "/high/unit"),
    ({"characteristic": ROD, "low": q(4, "V"), "high": q(5, "V")}, "wrong-dimension", "/low/unit"),
    ({"characteristic": ROD, "goes": q(4, "thou"), "does_not_go": q(3, "thou")}, "upside-down", "/goes"),
    ({"characteristic": ROD, "goes": q(4, "thou")}, "half-interval", "/does_not_go"),
    (reading(limit={}), "bad-field", "/limit"),
    (reading(limit={"fit": {"low": "open", "high": q(1, "in")}}), "bad-field", "/limit/fit/low"),
    (reading(limit={"fit": {"low": q(2, "in"), "high": q(1, "in")}}), "upside-down", "/limit/fit/low"),
    (reading(limit={"fit": {"low": q(2, "in"), "high": q(3, "V")}}), "wrong-dimension", "/limit/fit/high/unit"),
    (reading(limit={"fit": {"low": {"value": 2}}}), "no-unit", "/limit/fit/low/unit"),
    (reading(limit={"fat": {"low": q(2, "in")}}), "unknown-field", "/limit/fat"),
    (reading(limit={"fit": {"hgh": q(2, "in")}}), "unknown-field", "/limit/fit/hgh"),
    (reading(limit={"fit": {"high": q(2, "V")}}), "wrong-dimension", "/limit"),
    (reading(id=""), "bad-field", "/id"),
    (reading(id="x" * 81), "bad-field", "/id"),
    ("r1", "bad-field", ""),
    (None, "bad-field", ""),
    ([], "bad-field", ""),
]  # fmt: skip
IDS = [f"{code}{pointer}-{i}" for i, (_, code, pointer) in enumerate(FAULTY)]


@pytest.mark.parametrize(("bad", "code", "pointer"), FAULTY, ids=IDS)
def test_a_sheet_of_nothing_but_a_faulty_reading_is_refused(send, bad, code, pointer):
    status, answer = send([bad])
    assert status == 422
    assert answer["type"] == f"/problems/{code}"
    assert [(e["code"], e["pointer"]) for e in answer["errors"]] == [(code, f"/readings/0{pointer}")]
    assert answer["errors_not_shown"] == 0


@pytest.mark.parametrize(("bad", "code", "pointer"), FAULTY, ids=IDS)
def test_a_faulty_reading_never_hides_the_others(send, rod, bad, code, pointer):
    status, answer = send([rod, bad])
    assert status == 200
    good, item = answer["items"]
    assert good["verdict"] == "usable"
    verdict = "stop" if code == "unknown-finding" else "not_judged"  # a word nobody can read counts as the worst of the words
    assert item["verdict"] == verdict
    assert (item["problem"]["code"], item["problem"]["pointer"]) == (code, f"/readings/1{pointer}")
    assert item["problem"]["detail"]
    assert answer["overall"]["counts"] == {"usable": 1, verdict: 1}
    assert "not judged" in item["text"] or verdict == "stop"


@pytest.mark.parametrize(
    ("bad", "near"),
    [
        (valued({"value": 3, "unit": "thuo"}), "thou"),
        (reading(characteristic="rod-bearing-runing-clearance"), ROD),
        (reading(instrument="plastic-gage-strip"), "plastic-gauge-strip"),
        (reading(instrumnet="plastic-gauge-strip"), "instrument"),
        (reading(state="as-found"), "as_found"),
        ({"characteristic": "flywheel-hub-crack", "finding": "hairline from key way"}, "hairline from keyway"),
    ],
)
def test_near_matches_are_offered_in_the_item(send, rod, bad, near):
    _, answer = send([rod, bad])
    assert near in answer["items"][1]["problem"]["near"]


@pytest.mark.parametrize(
    ("more", "status", "code", "pointer"),
    [
        ({"confidence": Decimal("0.5")}, 422, "bad-field", "/confidence"),
        ({"confidence": 1}, 422, "bad-field", "/confidence"),
        ({"confidence": "0.95"}, 422, "not-a-number", "/confidence"),
        ({"decision_rule": "gaurded"}, 422, "bad-field", "/decision_rule"),
        ({"judged_by": "vote"}, 422, "bad-field", "/judged_by"),
        ({"stage": "later"}, 422, "bad-field", "/stage"),
        ({"units": "cubits"}, 422, "bad-field", "/units"),
        ({"enigne": {}}, 422, "unknown-field", "/enigne"),
        ({"readings": {}}, 422, "bad-field", "/readings"),
        ({"readings": []}, 422, "no-readings", "/readings"),
        ({"engine": None}, 422, "bad-field", "/engine"),
        ({"engine": []}, 422, "bad-field", "/engine"),
        ({"engine": {}}, 422, "missing-field", "/engine/engine_class"),
        ({"engine": {"engine_class": "slow-open"}}, 422, "unknown-engine-class", "/engine/engine_class"),
        ({"engine": {"engine_class": "slow-open-crank", "maker": "x"}}, 422, "unknown-field", "/engine/maker"),
        ({"engine": {"engine_class": "slow-open-crank", "use": "racing"}}, 422, "bad-field", "/engine/use"),
        ({"engine": {"engine_class": "slow-open-crank", "features": ["drip"]}}, 422, "unknown-feature", "/engine/features/0"),
        ({"engine": {"engine_class": "slow-open-crank", "features": "splash"}}, 422, "bad-field", "/engine/features"),
        ({"engine": {"engine_class": "slow-open-crank", "features": ["splash", "not:splash"]}}, 422, "contradicting-features",
         "/engine/features/1"),
        ({"engine": {"engine_class": "slow-open-crank", "dimensions": {"crankpn": q(2, "in")}}}, 422, "unknown-dimension",
         "/engine/dimensions/crankpn"),
        ({"engine": {"engine_class": "slow-open-crank", "dimensions": {"crankpin": q(2, "V")}}}, 422, "wrong-dimension",
         "/engine/dimensions/crankpin/unit"),
        ({"engine": {"engine_class": "slow-open-crank", "dimensions": {"crankpin": {"value": 2}}}}, 422, "no-unit",
         "/engine/dimensions/crankpin/unit"),
        ({"engine": {"engine_class": "slow-open-crank", "dimensions": {"crankpin": q(0, "in")}}}, 422, "not-positive",
         "/engine/dimensions/crankpin/value"),
        ({"engine": {"engine_class": "slow-open-crank", "dimensions": []}}, 422, "bad-field", "/engine/dimensions"),
        ({"readings": [reading(id="a"), reading(id="a")]}, 422, "duplicate-id", "/readings/1/id"),
        ({"readings": [reading(id="r2"), reading()]}, 422, "duplicate-id", "/readings/1/id"),
    ],
)  # fmt: skip
def test_a_fault_of_the_envelope_refuses_the_sheet(send, rod, more, status, code, pointer):
    got, answer = send([rod], **more)
    assert (got, answer["type"]) == (status, f"/problems/{code}")
    assert (answer["errors"][0]["code"], answer["errors"][0]["pointer"]) == (code, pointer)


def test_all_faults_of_the_envelope_are_told_at_once(send, rod):
    engine = {"engine_class": "x", "features": ["y"], "dimensions": {"z": q(1, "in")}}
    status, answer = send([rod], engine=engine, confidence=2, foo=1)
    assert status == 422
    assert {e["pointer"] for e in answer["errors"]} == {
        "/engine/engine_class", "/engine/features/0", "/engine/dimensions/z", "/confidence", "/foo",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("body", "slug"),
    [
        (b"", "bad-json"), (b"   ", "bad-json"), (b"{", "bad-json"), (b"{'a': 1}", "bad-json"), (b'{"a": 1,}', "bad-json"),
        (b"\xff\xfe", "bad-json"), (b'{"a": NaN}', "bad-json"), (b'{"a": Infinity}', "bad-json"), (b'{"a": -Infinity}', "bad-json"),
        (b'{"a": 01}', "bad-json"), (b'{"a": .5}', "bad-json"), (b'{"a": "\\ud800"}', "bad-json"), (b'{"a": 1} x', "bad-json"),
        (b'{"engine": {}, "engine": {}}', "duplicate-key"), (b'{"a": {"b": 1, "b": 2}}', "duplicate-key"),
        (b"[" * 21 + b"]" * 21, "too-deep"), (b"[" * 500_000, "too-deep"), (b'{"a":' * 100_000, "too-deep"),
    ],
)  # fmt: skip
def test_what_is_not_json_is_refused(raw, body, slug):
    status, answer = raw(body)
    assert (status, answer["type"]) == (400, f"/problems/{slug}")
    assert answer["detail"]


@pytest.mark.parametrize("body", [b"[]", b"null", b"5", b'"x"', b"[" * 20 + b"]" * 20])
def test_json_that_is_no_sheet_is_refused(raw, body):
    status, answer = raw(body)
    assert (status, answer["type"]) == (422, "/problems/bad-field")


def test_brackets_inside_text_are_not_nesting(send, rod):
    status, _ = send([rod | {"note": "[" * 100 + '"\\' + "{" * 100}])
    assert status == 200


@pytest.mark.parametrize(
    "content_type", [None, "text/plain", "application/x-www-form-urlencoded", "application/json; charset=latin-1", "text/csv; charset=utf-16"]
)
def test_another_media_type_is_refused(raw, content_type):
    status, answer = raw(b"{}", content_type)
    assert (status, answer["type"]) == (415, "/problems/unsupported-media-type")


def test_a_compressed_body_is_refused(raw):
    status, _ = raw(b"{}", headers={"Content-Encoding": "gzip"})
    assert status == 415


def test_a_body_of_ten_megabytes_is_refused(raw):
    status, answer = raw(b" " * 10_000_000)
    assert (status, answer["type"]) == (413, "/problems/body-too-large")


class Endless(io.RawIOBase):
    """A body that never ends."""

    given = 0

    def readable(self):
        return True

    def readinto(self, buffer):
        self.given += len(buffer)
        buffer[:] = b" " * len(buffer)
        return len(buffer)


def test_a_body_that_does_not_say_its_length_is_bounded_while_it_is_read(app):
    stream = Endless()
    environ = create_environ("/v1/verdicts", method="POST", content_type="application/json")
    assert "CONTENT_LENGTH" not in environ
    environ |= {"wsgi.input": stream, "wsgi.input_terminated": True}
    _, status, _ = run_wsgi_app(app, environ, buffered=True)
    assert status.startswith("413")
    assert stream.given < 3_000_000


def test_too_many_readings_are_refused(send):
    status, answer = send([{}] * 5_001)
    assert (status, answer["type"]) == (413, "/problems/too-many-items")
    assert "5,000" in answer["detail"]


def test_at_most_fifty_errors_are_told_and_the_rest_counted(send):
    status, answer = send([valued({"value": 3})] * 70)
    assert status == 422
    assert len(answer["errors"]) == 50
    assert answer["errors_not_shown"] == 20


@pytest.mark.parametrize(
    "make",
    [
        lambda i: valued({"value": 1, "unit": f"unit {i:06d} of mine"}),
        lambda i: reading(characteristic=f"clearance-of-the-{i:06d}-bearing"),
        lambda i: {f"field_{i}_{k}": 1 for k in range(5)},
        lambda i: reading(instrument=f"micrometer-{i:06d}"),
        lambda i: {"characteristic": "flywheel-hub-crack", "finding": f"a crack of the kind {i:06d} that nobody saw before"},
    ],
)
def test_nonsense_does_not_keep_the_service_busy(send, make):
    """Near matches cost a thousand times a look-up; a sheet of 5,000 strange words must not buy 5,000 of them."""
    began = time.perf_counter()
    status, _ = send([make(i) for i in range(5_000)])
    assert status == 422
    assert time.perf_counter() - began < 10


def test_a_query_beside_a_json_sheet_is_refused(client, engine, rod):
    body = simplejson.dumps({"engine": engine, "readings": [rod]})
    answer = client.post("/v1/verdicts?stage=assembly", data=body, content_type="application/json")
    assert (answer.status_code, answer.json["type"]) == (400, "/problems/unknown-parameter")


def test_no_problem_tells_of_files_or_code(raw):
    for body in (b"{", b"[" * 100, b'{"engine": 1, "readings": [1]}'):
        _, answer = raw(body)
        text = simplejson.dumps(answer)
        assert "Traceback" not in text
        assert ".py" not in text
        assert str(Path(halfthou_service.__file__).parent) not in text
