"""Fits and standard tables over HTTP, and through the SDK and the command line."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest
import simplejson
from click.testing import CliRunner
from flask import Flask
from flask.testing import FlaskClient

from halfthou import Client, NotFound, Quantity, Refused, UsageError
from halfthou.cli import cli
from halfthou_service.http import openapi, problems
from halfthou_specdb.standards import TABLES


def get(client: FlaskClient, path: str, status: int = 200, **params: str) -> Any:
    answer = client.get(path, query_string=params)
    assert answer.status_code == status, answer.get_data(as_text=True)
    return simplejson.loads(answer.get_data(as_text=True), use_decimal=True)


@pytest.fixture
def shop(app: Flask) -> Iterator[Client]:
    with Client.embedded(app) as client:
        yield client


def test_an_iso_fit(client: FlaskClient) -> None:
    body = get(client, "/v1/fits", designation="H7/g6", size="25 mm")
    assert body["text"] == "H7/g6 at 25 mm: hole 25 to 25.021 mm, shaft 24.98 to 24.993 mm; always play, 7 to 41 µm."
    assert body["hole"] == {
        "zone": "H7", "low": {"value": 25, "unit": "mm"}, "high": {"value": Decimal("25.021"), "unit": "mm"},
        "lower_deviation": {"value": 0, "unit": "um"}, "upper_deviation": {"value": 21, "unit": "um"}, "grade": "published",
    }  # fmt: skip
    assert body["clearance"] == {"tightest": {"value": 7, "unit": "um"}, "loosest": {"value": 41, "unit": "um"}}
    assert (body["kind"], body["system"], body["edition"]) == ("clearance", "iso-286", client.get("/v1/fits").headers["Spec-Edition"])
    assert {cell["grade"] for cell in body["cells"]} == {"published"}
    assert {work for cell in body["cells"] for work in cell["works"]} == {work["id"] for work in body["works"]}
    assert all(work["citation"] and work["locator"] for work in body["works"])


def test_an_inch_fit_in_its_own_unit_and_in_the_other(client: FlaskClient) -> None:
    body = get(client, "/v1/fits", designation="RC5", size="2-1/4 in")
    assert body["text"] == "RC5 at 2.25 in: hole 2.25 to 2.2518 in, shaft 2.2463 to 2.2475 in; always play, 2.5 to 5.5 thou."
    assert body["use"].startswith("running and sliding")
    metric = get(client, "/v1/fits", designation="RC5", size="2-1/4 in", units="metric")
    assert metric["shaft"]["low"] == {"value": Decimal("57.05602"), "unit": "mm"}
    assert metric["clearance"]["loosest"] == {"value": Decimal("139.7"), "unit": "um"}


def test_sizes_in_the_sentence_are_rounded_into_the_zone(client: FlaskClient) -> None:
    body = get(client, "/v1/fits", designation="H7/g6", size="2-1/4 in")
    exact = body["hole"]["high"]["value"]
    assert "hole 2.25 to 2.25118 in" in body["text"]
    assert Decimal("2.25118") <= exact < Decimal("2.25119")


def test_a_cell_from_memory_says_so(client: FlaskClient) -> None:
    body = get(client, "/v1/fits", designation="RC8", size="2-1/4 in")
    assert body["from_memory"] == ["upper limit of the hole", "loosest"]
    assert body["grade"] == "from-memory"
    assert body["text"].endswith("From memory, unchecked: upper limit of the hole, loosest.")
    assert [cell["works"] for cell in body["cells"] if cell["grade"] == "from-memory"] == [[], []]


def test_the_fits_that_give_a_clearance(client: FlaskClient) -> None:
    body = get(client, "/v1/fits", low="2 thou", high="5.5 thou", size="2-1/4 in")
    assert body["items"][0]["designation"] == "RC5"
    assert all(item["within"] for item in body["items"])
    assert body["wanted"] == {"low": {"value": 2, "unit": "thou"}, "high": {"value": Decimal("5.5"), "unit": "thou"}}
    near = get(client, "/v1/fits", low="1 um", high="2 um", size="25 mm")
    assert not any(item["within"] for item in near["items"])
    assert near["text"].startswith("No fit on file lies wholly within")


@pytest.mark.parametrize("path", ["designation=H7/g6&size=25 mm", "designation=FN4&size=4 in&units=metric", "low=1 um&high=2 um&size=25 mm"])
def test_a_browser_gets_a_page_with_a_drawing_and_nothing_that_runs(client: FlaskClient, path: str) -> None:
    answer = client.get(f"/v1/fits?{path}", headers={"Accept": "text/html,*/*;q=0.1"})
    page = answer.get_data(as_text=True)
    assert (answer.status_code, answer.content_type) == (200, "text/html; charset=utf-8")
    assert answer.headers["ETag"].startswith('"')
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    assert not any(word in page for word in ("<script", "<style", "style=", "onload", "href="))
    again = client.get(f"/v1/fits?{path}", headers={"Accept": "text/html", "If-None-Match": answer.headers["ETag"]})
    assert again.status_code == 304
    if "designation" in path:
        svg = page[page.index("<svg") : page.index("</svg>") + 6]
        assert ElementTree.fromstring(svg).get("role") == "img"
        assert "from-memory" in page or "FN4" not in path


@pytest.mark.parametrize(
    ("params", "status", "slug", "parameter", "near"),
    [
        ({"designation": "H7/q6", "size": "25 mm"}, 422, "unknown-designation", "designation", "H7/r6"),
        ({"designation": "<b>H7/g6", "size": "25 mm"}, 422, "unknown-designation", "designation", ""),
        ({"designation": "J9/h8", "size": "25 mm"}, 422, "outside-standard", "designation", ""),
        ({"designation": "H7/g6", "size": "4 m"}, 422, "outside-standard", "size", ""),
        ({"designation": "RC5", "size": "8 in"}, 422, "outside-standard", "size", ""),
        ({"designation": "H7/g6", "size": "25"}, 422, "no-unit", "size", ""),
        ({"designation": "H7/g6", "size": "25 V"}, 422, "wrong-dimension", "size", ""),
        ({"designation": "H7/g6", "size": "2,5 mm"}, 422, "decimal-comma", "size", ""),
        ({"designation": "H7/g6"}, 400, "missing-parameter", "size", ""),
        ({"size": "25 mm"}, 400, "missing-parameter", "designation", ""),
        ({"size": "25 mm", "low": "1 um"}, 400, "missing-parameter", "high", ""),
        ({"size": "25 mm", "low": "3 um", "high": "1 um"}, 422, "upside-down", "low", ""),
        ({"size": "25 mm", "designation": "H7/g6", "low": "1 um"}, 400, "bad-parameter", "low", ""),
        ({"size": "25 mm", "designation": "H7/g6", "hole": "H7"}, 400, "unknown-parameter", "hole", ""),
        ({"size": "25 mm", "designation": "H7/g6", "units": "cubits"}, 400, "bad-parameter", "units", ""),
    ],
)
def test_a_wrong_question_is_refused(client: FlaskClient, params: dict[str, str], status: int, slug: str, parameter: str, near: str) -> None:
    for accept in ("application/json", "text/html"):
        answer = client.get("/v1/fits", query_string=params, headers={"Accept": accept})
        assert (answer.status_code, answer.content_type) == (status, problems.MEDIA_TYPE)
        body = simplejson.loads(answer.get_data(as_text=True))
        assert body["type"] == f"/problems/{slug}"
        assert body["errors"][0]["parameter"] == parameter
        assert not near or near in body["near"]


def test_another_form_than_json_or_html_is_not_acceptable(client: FlaskClient) -> None:
    assert client.get("/v1/fits?designation=H7/g6&size=25 mm", headers={"Accept": "image/png"}).status_code == 406
    assert client.get("/v1/standards", headers={"Accept": "text/html"}).status_code == 406


def test_the_list_of_tables_tells_what_each_may_be_asked_by(client: FlaskClient) -> None:
    items = get(client, "/v1/standards")["items"]
    assert [item["id"] for item in items] == list(TABLES)
    for item in items:
        assert item["path"] == f"/v1/standards/{item['id']}"
        assert [p["name"] for p in item["parameters"]] == [p.name for p in TABLES[item["id"]].parameters]


@pytest.mark.parametrize("table", TABLES)
def test_every_table_answers_whole_with_grades_and_works(client: FlaskClient, table: str) -> None:
    body = get(client, f"/v1/standards/{table}")
    works = {work["id"] for work in body["works"]}
    assert body["rows"]
    for row in body["rows"]:
        for cell in row["numbers"].values():
            assert cell["grade"] in {"published", "quoted", "derived", "from-memory"}
            assert set(cell["works"]) <= works
            assert bool(cell["works"]) == (cell["grade"] != "from-memory")


def test_looking_up(client: FlaskClient) -> None:
    body = get(client, "/v1/standards/sieve-cloth", mesh="80")
    assert body["rows"][0]["words"] == {"kind": "test sieve", "cloth": "No. 80"}
    assert body["rows"][0]["numbers"]["opening"]["value"] == 180
    body = get(client, "/v1/standards/keys", shaft="1-7/16 in")
    assert body["rows"][0]["numbers"]["s_square"]["value"] == Decimal("1.225")


@pytest.mark.parametrize(
    ("path", "status", "slug", "parameter"),
    [
        ("sieves", 404, "not-found", ""),
        ("sieve-cloth?mesh=eighty", 400, "bad-parameter", "mesh"),
        ("sieve-cloth?mesh=1_0", 400, "bad-parameter", "mesh"),
        ("sieve-cloth?mesh=9999", 422, "outside-standard", "mesh"),
        ("sieve-cloth?opening=180", 422, "no-unit", "opening"),
        ("sieve-cloth?opening=180 V", 422, "wrong-dimension", "opening"),
        ("sieve-cloth?size=1 in", 400, "unknown-parameter", "size"),
        ("keys?shaft=9 in", 422, "outside-standard", "shaft"),
        ("gear-backlash?pitch=8&centres=2 in", 422, "outside-standard", "centres"),
        ("gear-backlash?module=0 mm", 422, "not-positive", "module"),
        ("tightening?size=15/16", 400, "bad-parameter", "size"),
        ("tightening?size=1/2&into=wood", 400, "bad-parameter", "into"),
        ("tightening?size=1/2&into=grey-iron", 422, "not-published", "into"),
        ("roughness?process=hone", 400, "bad-parameter", "process"),
    ],
)
def test_a_wrong_look_up_is_refused(client: FlaskClient, path: str, status: int, slug: str, parameter: str) -> None:
    answer = client.get(f"/v1/standards/{path}")
    body = simplejson.loads(answer.get_data(as_text=True))
    assert (answer.status_code, body["type"]) == (status, f"/problems/{slug}")
    assert body["errors"][0].get("parameter", "") == parameter


def test_the_openapi_document_describes_both() -> None:
    paths = openapi.document()["paths"]
    assert {"/v1/fits", "/v1/standards", "/v1/standards/{table_id}"} <= set(paths)
    described = {p["name"] for p in paths["/v1/standards/{table_id}"]["get"]["parameters"]} - {"table_id"}
    assert described == {p.name for table in TABLES.values() for p in table.parameters}


def test_the_sdk_asks_for_a_fit(shop: Client) -> None:
    fit = shop.fit("H7/g6", "25 mm")
    assert (fit.kind, fit.hole.high, fit.loosest) == ("clearance", Quantity(Decimal("25.021"), "mm"), Quantity(Decimal(41), "um"))
    assert fit.cells[1].what == "IT7"
    assert fit.cells[1].works[0] == "MD-213"
    assert shop.fit("RC8", (2.25, "in")).from_memory == ("upper limit of the hole", "loosest")
    assert shop.fit("RC5", "2-1/4 in", units="metric").tightest == Quantity(Decimal("63.5"), "um")
    with pytest.raises(Refused) as refusal:
        shop.fit("H7/q6", "25 mm")
    assert "H7/r6" in refusal.value.problem.near


def test_the_sdk_asks_for_the_fits_that_give_a_clearance(shop: Client) -> None:
    found = shop.fits_giving("2 thou", "5.5 thou", "2-1/4 in")
    assert (found[0].designation, found[0].within) == ("RC5", True)
    assert not shop.fits_giving("1 um", "2 um", "25 mm", system="iso-286")[0].within


def test_the_sdk_asks_for_a_standard_table(shop: Client) -> None:
    keys = shop.standard("keys", shaft="1-7/16 in")
    assert str(keys.rows[0].numbers["s_square"]) == "1.225 in"
    assert shop.standard("sieve-cloth", mesh=80).rows[0].words["cloth"] == "No. 80"
    assert shop.standard("tightening", size="1/2", strength="1").rows[0].numbers["torque"].from_memory
    assert "sieve-cloth" in [table.id for table in shop.standards()]
    with pytest.raises(NotFound):
        shop.standard("sieves")
    with pytest.raises(UsageError):
        shop.standard("")
    with pytest.raises(Refused, match="grey iron"):
        shop.standard("tightening", size="1/2", into="grey-iron")


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["H7/g6", "25 mm"], 0, "always play, 7 to 41 µm"),
        (["RC8", "2-1/4 in"], 0, "from memory, unchecked"),
        (["--from", "2 thou", "--to", "5.5 thou", "--at", "2-1/4 in"], 0, "RC5"),
        (["--from", "-3 thou", "--to", "-1 thou", "--at", "1 in"], 0, "always interference"),
        (["--from", "1 um", "--to", "2 um", "--at", "25 mm"], 1, "No fit lies wholly within"),
        (["H7/q6", "25 mm"], 2, "did you mean H7/r6"),
        (["H7/g6"], 2, "name a fit and a size"),
        (["--from", "1 um"], 2, "--from, --to and --at"),
        (["H7/g6", "25 mm", "--json"], 0, '"designation": "H7/g6"'),
    ],
)
def test_the_command(words: list[str], code: int, said: str) -> None:
    result = CliRunner().invoke(cli, ["fit", *words])
    assert said in result.output
    assert result.exit_code == code
