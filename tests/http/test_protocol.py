"""The protocol around every answer: tags, methods, forms, ids, headers, limits, logs, metrics."""

from __future__ import annotations

import json
import re

import pytest

from halfthou_service.http import Settings, create_app
from halfthou_service.http.limiter import Buckets

LIMIT = "/v1/limits?characteristic=rod-bearing-running-clearance&engine_class=slow-open-crank&size=2-1/4 in"
TAGGED = [LIMIT, "/v1/characteristics", "/v1/characteristics/rod-bearing-running-clearance", "/v1/works", "/v1/units", "/v1/editions",
          "/openapi.json", "/problems", "/problems/no-unit"]  # fmt: skip


@pytest.mark.parametrize("path", [*TAGGED, "/specdb.sqlite"])
def test_a_read_carries_a_strong_tag_and_a_304_all_its_headers(client, path):
    first = client.get(path)
    tag = first.headers["ETag"]
    assert re.fullmatch(r'"[0-9a-f]{24}"', tag)
    for sent in (tag, f"W/{tag}", f'"other", {tag}', "*"):
        again = client.get(path, headers={"If-None-Match": sent})
        assert again.status_code == 304
        assert again.data == b""
        for name in ("ETag", "Cache-Control", "Vary", "Spec-Edition"):
            assert again.headers.get(name) == first.headers.get(name), name
        again.close()
    changed = client.get(path, headers={"If-None-Match": '"other"'})
    assert changed.status_code == 200
    changed.close()
    first.close()


def test_the_tag_follows_the_answer(client):
    tags = {client.get(path).headers["ETag"] for path in TAGGED}
    assert len(tags) == len(TAGGED)
    assert client.get(LIMIT).headers["ETag"] == client.get(LIMIT).headers["ETag"]


def test_a_refusal_carries_no_tag_and_is_not_kept(client):
    answer = client.get("/v1/limits?foo=1", headers={"If-None-Match": "*"})
    assert answer.status_code == 400
    assert "ETag" not in answer.headers
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.content_type == "application/problem+json"


@pytest.mark.parametrize("path", [*TAGGED, "/livez", "/readyz", "/metrics", "/specdb.sqlite"])
def test_head_is_get_without_the_body(client, path):
    get, head = client.get(path), client.head(path)
    assert head.status_code == get.status_code == 200
    assert head.data == b""
    if path != "/metrics":
        assert head.headers["Content-Length"] == get.headers["Content-Length"]
    assert head.headers.get("ETag") == get.headers.get("ETag")
    get.close()
    head.close()


@pytest.mark.parametrize(("path", "allowed"), [(LIMIT, {"GET", "HEAD", "OPTIONS"}), ("/v1/verdicts", {"POST", "OPTIONS"})])
def test_other_methods_are_refused_and_those_allowed_listed(client, path, allowed):
    for method in ("PUT", "DELETE", "PATCH", "TRACE", "POST" if "GET" in allowed else "GET"):
        answer = client.open(path, method=method)
        assert answer.status_code == 405
        assert answer.json["type"] == "/problems/method-not-allowed"
        assert {word.strip() for word in answer.headers["Allow"].split(",")} == allowed
    options = client.options(path)
    assert (options.status_code, options.data) == (204, b"")
    assert {word.strip() for word in options.headers["Allow"].split(",")} == allowed
    assert "Content-Type" not in options.headers


NOWHERE = ["/", "/v1", "/v1/", "/v1/works/", "/v1//works", "/v2/limits", "/v1/works/../units", "/problems/nope", "/v1/works/nope",
           "/v1/characteristics/rod-bearing-runing-clearance", "/v1/editions/9.9.9/diff/current"]  # fmt: skip


@pytest.mark.parametrize("path", NOWHERE)
def test_nothing_at_an_address_is_a_problem(client, path):
    answer = client.get(path)
    assert (answer.status_code, answer.json["type"]) == (404, "/problems/not-found")
    assert answer.content_type == "application/problem+json"


def test_an_unknown_record_offers_near_matches(client):
    answer = client.get("/v1/characteristics/rod-bearing-runing-clearance")
    assert "rod-bearing-running-clearance" in answer.json["near"]


@pytest.mark.parametrize(
    ("accept", "status"),
    [
        ("application/json", 200), ("*/*", 200), ("application/*", 200), ("application/json, application/problem+json", 200), ("", 200),
        ("text/html, application/json;q=0.1", 200), ("text/html", 406), ("application/json;q=0", 406), ("image/png, */*;q=0", 406),
    ],
)  # fmt: skip
def test_accept_is_respected(client, accept, status):
    answer = client.get(LIMIT, headers={"Accept": accept} if accept else {})
    assert answer.status_code == status
    if status == 406:
        assert answer.json["type"] == "/problems/not-acceptable"
        assert answer.content_type == "application/problem+json"


def test_a_kind_of_problem_has_a_page_for_browsers(client):
    page = client.get("/problems/no-unit", headers={"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"})
    assert page.content_type.startswith("text/html")
    assert "<h1>No unit</h1>" in page.text
    assert "default-src 'none'" in page.headers["Content-Security-Policy"]
    assert client.get("/problems/no-unit").json["slug"] == "no-unit"


@pytest.mark.parametrize("path", [LIMIT, "/livez", "/v1/nope", "/problems/no-unit"])
def test_every_answer_carries_id_edition_and_security_headers(client, table, path):
    answer = client.get(path)
    assert re.fullmatch(r"[0-9a-f]{16}", answer.headers["Request-Id"])
    assert answer.headers["Spec-Edition"] == table.edition
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]


def test_a_plain_request_id_is_kept_and_an_odd_one_replaced(client):
    assert client.get("/livez", headers={"Request-Id": "shop-7.a_B"}).headers["Request-Id"] == "shop-7.a_B"
    for odd in ("a b", "x" * 65, '"quoted"', "é", "<b>"):
        assert client.get("/livez", headers={"Request-Id": odd}).headers["Request-Id"] != odd
    problem = client.get("/v1/nope", headers={"Request-Id": "shop-8"}).json
    assert problem["request_id"] == "shop-8"


def test_a_problem_has_all_its_members(client):
    problem = client.get("/v1/limits?size=2").json
    assert {"type", "title", "status", "detail", "instance", "request_id", "errors"} <= set(problem)
    assert problem["status"] == client.get("/v1/limits?size=2").status_code
    assert problem["instance"] == "/v1/limits"


def test_every_type_of_problem_leads_to_its_page(client):
    for path in ("/v1/nope", "/v1/limits?a=1", "/v1/limits?characteristic=x&engine_class=slow-open-crank"):
        kind = client.get(path).json["type"]
        assert client.get(kind).status_code == 200


# -- rate limit, logs, metrics ---------------------------------------------------------------------------------------


def test_a_bucket_empties_and_fills_again():
    now = [0.0]
    buckets = Buckets(60, clock=lambda: now[0])
    assert [buckets.wait("a") for _ in range(60)] == [0] * 60
    assert buckets.wait("a") == 1
    assert buckets.wait("b") == 0
    now[0] = 1.0
    assert buckets.wait("a") == 0
    assert buckets.wait("a") == 1


def test_the_rate_limit_is_off_unless_asked_for(client):
    assert all(client.get("/v1/editions").status_code == 200 for _ in range(100))


def test_too_many_requests_are_told_how_long_to_wait():
    client = create_app(Settings(rate_limit=3)).test_client()
    answers = [client.get("/v1/editions") for _ in range(4)]
    assert [a.status_code for a in answers] == [200, 200, 200, 429]
    assert answers[3].json["type"] == "/problems/too-many-requests"
    assert 1 <= int(answers[3].headers["Retry-After"]) <= 20
    assert client.get("/livez").status_code == client.get("/readyz").status_code == 200


def test_a_request_is_one_line_of_json_at_level_info(capsys):
    client = create_app(Settings(log_level="info")).test_client()
    client.get("/v1/works/nope\nfake", headers={"Request-Id": "r-1"})
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 1
    line = json.loads(lines[0])
    assert (line["event"], line["request_id"], line["status"], line["level"]) == ("request", "r-1", 404, "info")


def test_nothing_is_logged_by_default(client, capsys):
    client.get(LIMIT)
    captured = capsys.readouterr()
    assert captured.err == captured.out == ""


def test_a_failure_is_logged_and_told_without_its_inside(capsys, monkeypatch):
    from halfthou_service.http import limits

    def fail(*_):
        raise RuntimeError("secret inside")

    monkeypatch.setattr(limits, "resolve", fail)
    answer = create_app(Settings()).test_client().get(LIMIT, headers={"Request-Id": "r-2"})
    assert (answer.status_code, answer.json["type"]) == (500, "/problems/internal-error")
    assert "secret" not in answer.text
    assert "RuntimeError" not in answer.text
    line = json.loads(capsys.readouterr().err.splitlines()[-1])
    assert (line["event"], line["request_id"]) == ("failed", "r-2")
    assert "secret inside" in json.dumps(line)


def test_metrics_count_by_route_and_each_application_its_own(client):
    first, second = create_app(Settings()).test_client(), create_app(Settings()).test_client()
    first.get(LIMIT)
    first.get("/v1/no/such/address/7")
    text = first.get("/metrics").text
    assert 'halfthou_requests_total{method="GET",route="/v1/limits",status="200"} 1.0' in text
    assert 'halfthou_requests_total{method="GET",route="none",status="404"} 1.0' in text
    assert "such" not in text
    assert 'route="/v1/limits"' not in second.get("/metrics").text


def test_readiness_fails_when_the_data_file_is_gone(tmp_path, monkeypatch):
    import shutil

    from halfthou_service.http import app as factory
    from halfthou_specdb.build import ensure_built
    from halfthou_specdb.table import Table

    copy = tmp_path / "specdb.sqlite"
    shutil.copy(ensure_built(), copy)
    monkeypatch.setattr(factory, "open_table", lambda: Table.open(copy))
    client = create_app(Settings()).test_client()
    assert client.get("/readyz").status_code == 200
    copy.unlink()
    answer = client.get("/readyz")
    assert (answer.status_code, answer.json["type"]) == (503, "/problems/not-ready")
    assert int(answer.headers["Retry-After"]) > 0
    assert client.get("/livez").status_code == 200
    assert client.get("/specdb.sqlite").status_code == 503


def test_the_data_file_can_be_opened(client, table, tmp_path):
    import sqlite3

    file = tmp_path / "copy.sqlite"
    answer = client.get("/specdb.sqlite")
    file.write_bytes(answer.data)
    answer.close()
    db = sqlite3.connect(file)
    assert db.execute("select value from meta where key = 'edition'").fetchone()[0] == table.edition
    db.close()
