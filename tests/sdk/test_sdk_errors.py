"""Status, headers and body become a value or one typed error."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

import pytest

import halfthou
from halfthou.errors import (
    HalfthouError,
    NotFound,
    Refused,
    ServerFault,
    ServiceError,
    TooLarge,
    TooManyRequests,
    Unauthorised,
    Unavailable,
    UnexpectedAnswer,
    interpret,
    retry_after_seconds,
)

JSON = {"Content-Type": "application/json"}
PROBLEM = {"content-type": "application/problem+json; charset=utf-8"}


def test_a_good_answer_is_decoded_exactly() -> None:
    answer = interpret(200, {**JSON, "ETag": '"a"', "Spec-Edition": "1", "Request-Id": "q"}, b'{"value": 0.00380}')
    assert answer.data == {"value": Decimal("0.00380")}
    assert (answer.etag, answer.edition, answer.request_id) == ('"a"', "1", "q")


def test_other_media_types_stay_text_or_bytes() -> None:
    assert interpret(200, {"Content-Type": "text/csv; charset=utf-8"}, b"a,b").data == "a,b"
    assert interpret(200, {"Content-Type": "application/vnd.sqlite3"}, b"\x00").data == b"\x00"
    assert interpret(204, {}, b"").data is None


def test_not_modified_uses_what_was_kept() -> None:
    assert interpret(304, {"ETag": '"a"'}, b"", cached=("application/json", b"[1]")).data == [1]
    with pytest.raises(UnexpectedAnswer, match="nothing was kept"):
        interpret(304, {}, b"")


@pytest.mark.parametrize(
    ("status", "kind"),
    [
        (400, Refused), (401, Unauthorised), (403, Unauthorised), (404, NotFound), (405, Refused), (413, TooLarge), (415, Refused),
        (422, Refused), (429, TooManyRequests), (500, ServerFault), (502, ServerFault), (503, Unavailable), (504, ServerFault),
    ],
)  # fmt: skip
def test_each_status_has_its_error(status: int, kind: type[ServiceError]) -> None:
    with pytest.raises(kind) as caught:
        interpret(status, PROBLEM, b'{"type":"/problems/x","title":"T","status":1,"detail":"D"}')
    assert type(caught.value) is kind
    assert (caught.value.status, caught.value.problem.slug, str(caught.value)) == (status, "x", "D")


def test_a_problem_tells_where_and_what_is_near() -> None:
    body = (
        b'{"type":"https://x/problems/bad-quantity","title":"T","detail":"Two faults.","near":["crankpin"],'
        b'"errors":[{"pointer":"/readings/0/value","code":"no-unit","detail":"no unit"},{"parameter":"size","message":"m"},3],'
        b'"more":1}'
    )
    with pytest.raises(Refused) as caught:
        interpret(422, PROBLEM, body)
    problem = caught.value.problem
    assert [(e.pointer, e.code, e.detail) for e in problem.errors] == [
        ("/readings/0/value", "no-unit", "no unit"),
        ("size", "", "m"),
    ]
    assert problem.near == ("crankpin",)
    assert problem.raw["more"] == 1
    assert "/readings/0/value: no unit" in str(caught.value)
    assert "near it: crankpin" in str(caught.value)


@pytest.mark.parametrize(("errors", "told"), [
    ('[{"pointer": "/wishes/x", "detail": "one fault"}]', "one fault\n  at /wishes/x"),
    ('[{"parameter": "size", "detail": "one fault"}]', "one fault"),
    ('[{"line": 2, "column": "value", "detail": "fault"}]', "one fault\n  line 2, value: fault"),
    ('[{"line": 2, "column": "value", "detail": "one fault"}]', "one fault\n  line 2, value: one fault"),
])  # fmt: skip
def test_the_one_fault_of_a_problem_is_told_with_its_place_and_once(errors: str, told: str) -> None:
    with pytest.raises(Refused) as caught:
        interpret(422, PROBLEM, f'{{"detail": "one fault", "errors": {errors}}}'.encode())
    assert str(caught.value) == told
    whole = '{"detail": "line 2, value: fault", "errors": [{"line": 2, "column": "value", "detail": "fault"}]}'
    with pytest.raises(Refused, match=r"^line 2, value: fault$"):
        interpret(422, PROBLEM, whole.encode())


@pytest.mark.parametrize(
    "body", [b"", b"<html>", b"{", b"[]", b'"x"', b"\xff\xfe", b'{"errors": 3, "near": "x", "detail": 4}']
)
def test_a_malformed_problem_still_gives_the_right_error(body: bytes) -> None:
    for headers in ({}, PROBLEM, {"Content-Type": "text/html"}):
        with pytest.raises(Unavailable) as caught:
            interpret(503, headers, body)
        assert caught.value.status == 503
        assert str(caught.value)


@pytest.mark.parametrize("body", [b"{", b"<html>", b"\xff", b'{"a": NaN}', b"[" * 100_000])
def test_a_malformed_good_answer_is_named_as_such(body: bytes) -> None:
    with pytest.raises(UnexpectedAnswer, match="cannot be read"):
        interpret(200, JSON, body)


def test_redirects_and_odd_statuses_are_not_followed() -> None:
    with pytest.raises(UnexpectedAnswer, match="https://shop"):
        interpret(301, {"Location": "https://shop"}, b"")
    with pytest.raises(UnexpectedAnswer, match="999"):
        interpret(999, {}, b"")


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("7", 7.0), (" 7 ", 7.0), ("Thu, 01 Jan 2026 00:00:30 GMT", 30.0), ("Wed, 31 Dec 2025 23:59:00 GMT", 0.0), ("soon", None), ("", None),
     ("-1", None), ("1.5", None), ("9" * 40, None)],
)  # fmt: skip
def test_retry_after_is_seconds_or_a_date(text: str, seconds: float | None) -> None:
    assert retry_after_seconds(text, datetime(2026, 1, 1, tzinfo=UTC)) == seconds


def test_retry_after_reaches_the_caller() -> None:
    with pytest.raises(TooManyRequests) as caught:
        interpret(429, {"Retry-After": "12"}, b"")
    assert caught.value.retry_after == 12


def test_every_error_has_one_root_and_every_public_name_exists() -> None:
    for name in halfthou.__all__:
        value = getattr(halfthou, name)
        if isinstance(value, type) and issubclass(value, Exception):
            assert issubclass(value, HalfthouError)
    assert set(halfthou.__all__) <= set(dir(halfthou))
    with pytest.raises(AttributeError):
        halfthou.no_such_name  # noqa: B018
