"""Papers over HTTP: what is sent, what may be asked again, and answers that are not what they should be."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

import pytest
import requests
import responses

from halfthou import Client, Refused, TooLarge, Unavailable, UnexpectedAnswer, UsageError, jsonio

URL = "http://shop.local:8070"
SHEET = {"engine": {"engine_class": "slow-open-crank"}, "readings": [{"characteristic": "own", "value": "3.80 thou"}]}
READINESS = {"paper": "readiness", "stage": "first-start", "text": "Nothing on this list stops you.", "stops": [], "doubts": [], "not_looked_at": []}


@pytest.fixture(autouse=True)
def no_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("time.sleep", lambda _: None)


def sent(call: int = -1) -> Any:
    body = responses.calls[call].request.body
    return jsonio.loads(body if isinstance(body, (str, bytes)) else b"")


@responses.activate
@pytest.mark.parametrize(("path", "ask", "answer"), [
    ("readiness", lambda shop: shop.readiness(SHEET), READINESS), ("limits-sheets", lambda shop: shop.limits_sheet(engine_class="x"), {"pages": []}),
    ("as-found-sheets", lambda shop: shop.as_found_sheet(engine_class="x"), {"sections": []}),
    ("as-found-sheets/filled", lambda shop: shop.read_as_found("characteristic\nx\n"), {"readings": []}),
    ("work-orders", lambda shop: shop.work_order(SHEET), {"parts": []}), ("parts-back", lambda shop: shop.parts_back([{"what": "x"}]), {"lines": []}),
    ("comparisons", lambda shop: shop.compare(SHEET), {"rows": []}),
])  # fmt: skip
def test_papers_keep_nothing_and_may_be_asked_again(path: str, ask: Any, answer: dict[str, Any]) -> None:
    responses.post(f"{URL}/v1/{path}", body=requests.ConnectionError("gone"))
    responses.post(f"{URL}/v1/{path}", status=503)
    responses.post(f"{URL}/v1/{path}", json=answer)
    assert ask(Client(URL)).raw == answer
    assert len({bytes(call.request.body or b"") for call in responses.calls}) == 1
    assert len(responses.calls) == 3


@responses.activate
@pytest.mark.parametrize("body", ["[]", "3", "{}", '{"pages": 3}'])
def test_an_answer_that_is_no_paper_is_named_as_such(body: str) -> None:
    responses.post(f"{URL}/v1/limits-sheets", body=body, content_type="application/json")
    with pytest.raises(UnexpectedAnswer):
        Client(URL).limits_sheet(engine_class="x")


@responses.activate
def test_text_is_asked_for_by_type_and_by_word() -> None:
    responses.post(f"{URL}/v1/work-orders", body="# Work order", content_type="text/markdown; charset=utf-8")
    assert Client(URL).paper("work-order", SHEET, format="markdown", part="piston") == "# Work order"
    request = responses.calls[0].request
    assert request.headers["Accept"].startswith("text/markdown,")
    assert str(request.url).endswith("?part=piston&format=markdown")


@responses.activate
@pytest.mark.parametrize("content_type", ["application/json", "text/plain", ""])
def test_a_page_of_another_type_is_not_taken_for_the_paper(content_type: str) -> None:
    responses.post(f"{URL}/v1/readiness", body="{}", content_type=content_type)
    with pytest.raises(UnexpectedAnswer, match="should answer text/html"):
        Client(URL).paper("readiness", SHEET)


@responses.activate
def test_digits_are_kept_and_what_is_given_by_name_stands_over_the_sheet() -> None:
    responses.post(f"{URL}/v1/readiness", json=READINESS)
    facts = {"shim_stock": ["2.0 thou"]}
    Client(URL).readiness({**SHEET, "facts": {"shim_stock": ["9 thou"]}, "wishes": {"piston": {"mate": "5 1/4 in"}}}, facts=facts, stage="assembly")
    body = sent()
    assert body["readings"][0]["value"] == {"value": Decimal("3.80"), "unit": "thou"}
    assert (body["stage"], body["facts"]) == ("assembly", {"shim_stock": [{"value": Decimal("2.0"), "unit": "thou"}]})
    assert body["wishes"] == {"piston": {"mate": {"value": Decimal("5.25"), "unit": "in"}}}


@responses.activate
def test_a_csv_sheet_goes_inside_a_sheet_with_its_engine_and_alone_where_it_has_none_or_grows_too_large() -> None:
    text = "characteristic,value\nown,3.80 thou\n"
    responses.post(f"{URL}/v1/work-orders", json={"parts": []})
    shop = Client(URL)
    shop.work_order(text, engine_class="slow-open-crank", engine={"id": "H", "note": "mine"}, units="metric")
    assert sent() == {"engine": {"id": "H", "engine_class": "slow-open-crank"}, "csv": text, "units": "metric"}
    # 2 MiB is what a body may hold (DESIGN 8); a line feed is one byte in CSV and two inside JSON text.
    large = text + "\n" * (2 * 2**20 - len(text))
    named = {"engine_class": "slow-open-crank"}
    for sheet, engine, query in ((large, named, "?engine_class=slow-open-crank&units=metric"), (text, None, "?units=metric")):
        shop.work_order(sheet, engine=engine, units="metric")
        plain = responses.calls[-1].request
        assert plain.headers["Content-Type"].startswith("text/csv")
        assert str(plain.url).endswith(query)
    with pytest.raises(UsageError, match="this one also has clas"):
        shop.work_order(text, engine={"engine_class": "slow-open-crank", "clas": "x"})
    shop.work_order(text, engine_class="slow-open-crank", engine={"id": "H", "note": "mine"}, letterhead={"ring": "555 0143"})
    body = sent()
    assert body["engine"] == {"id": "H", "engine_class": "slow-open-crank"}
    assert body["csv"] == text
    assert body["letterhead"] == {"ring": "555 0143"}


@responses.activate
@pytest.mark.parametrize(("status", "kind"), [(413, TooLarge), (422, Refused), (400, Refused), (503, Unavailable)])
def test_what_the_service_refuses_is_told_with_its_places(status: int, kind: type[Exception]) -> None:
    fault = {"pointer": "/readings/0/value", "code": "no-unit", "detail": "no unit"}
    problem = {"title": "T", "detail": "1 fault", "status": status, "errors": [fault]}
    responses.post(f"{URL}/v1/comparisons", status=status, body=json.dumps(problem), content_type="application/problem+json")
    with pytest.raises(kind, match="/readings/0/value: no unit"):
        Client(URL, retries=0).compare(SHEET)


@responses.activate
def test_fields_of_a_later_release_are_kept_and_missing_ones_are_empty() -> None:
    later = {**READINESS, "weather": "dry", "stops": [{"name": "X", "item": None, "place": None, "colour": "none"}], "not_looked_at": 3}
    responses.post(f"{URL}/v1/readiness", json=later)
    paper = Client(URL).readiness(SHEET)
    assert paper.raw["weather"] == "dry"
    assert (paper.stops[0].item, paper.stops[0].place, paper.stops[0].raw["colour"]) == ("", "", "none")
    assert (paper.not_looked_at, paper.not_looked_at_count, paper.nothing_found) == ((), 3, False)
