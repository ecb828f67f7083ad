"""The same client with the service in this process."""

from __future__ import annotations

import json
import subprocess
import sys
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from tests.sdk.stub_service import CLEARANCE, Stub

from halfthou import Bound, Client, NotFound, NotInstalled, Quantity, QuantityError, ServerFault, SheetError, UsageError


def body_of(stub: Stub) -> Any:
    return json.loads(stub.seen[-1][4], parse_float=Decimal)


def test_the_three_lines_of_the_design(installed: Stub) -> None:
    from halfthou import Client

    with Client.embedded() as shop:
        limit = shop.limit("rod-bearing-running-clearance", engine_class="slow-open-crank", size="2-1/4 in")
        verdict = shop.judge(
            "rod-bearing-running-clearance", "3.8 thou", size="2-1/4 in", instrument="plastic-gauge-strip", engine_class="slow-open-crank"
        )  # fmt: skip
        assert shop.edition == "0.1.0+test"
    assert limit.wear.high == Bound("at", Quantity(Decimal("0.00675"), "in"))
    assert limit.wear.low == Bound("none_on_file")
    assert limit.standing["fit_high"] == "our-judgement"
    assert [entry.stance for entry in limit.evidence] == ["differs", ""]
    assert (verdict.verdict, verdict.as_new, verdict.p_fit, verdict.value) == (
        "usable",
        "no",
        0.4,
        Quantity(Decimal("3.8"), "thou"),
    )
    assert verdict.limit is not None
    assert verdict.limit.limit_id == verdict.limit_id
    assert verdict.cautions[0].hazard == "crushing"
    method, path, _params, headers, sent = installed.seen[-1]
    assert (method, path, headers["CONTENT_TYPE"]) == ("POST", "/v1/verdicts", "application/json")
    assert json.loads(sent) == {
        "engine": {"engine_class": "slow-open-crank", "dimensions": {"crankpin": {"value": 2.25, "unit": "in"}}},
        "readings": [{"id": "r1", "characteristic": CLEARANCE, "value": {"value": 3.8, "unit": "thou"}, "instrument": "plastic-gauge-strip"}],
    }  # fmt: skip
    assert b'"value":3.8,' in sent
    assert installed.seen[0][2] == [
        ("characteristic", CLEARANCE),
        ("size", "2-1/4 in"),
        ("engine_class", "slow-open-crank"),
    ]


def test_records_are_frozen_and_keep_what_they_do_not_know(stub: Stub) -> None:
    limit = Client.embedded(stub).limit(CLEARANCE)
    assert limit.raw["some_field_of_a_later_release"] == [1, 2, 3]
    assert hash(limit) == hash(Client.embedded(stub).limit(CLEARANCE))
    with pytest.raises(AttributeError):
        limit.grade = "published"  # type: ignore[misc]
    with pytest.raises((AttributeError, TypeError)):
        limit.other = 1  # type: ignore[attr-defined]


def test_which_size_it_is_is_asked_once(stub: Stub) -> None:
    shop = Client.embedded(stub)
    for _ in range(3):
        shop.judge(CLEARANCE, "3.8 thou", size=(2.25, "in"))
    assert [entry[1] for entry in stub.seen].count(f"/v1/characteristics/{CLEARANCE}") == 1


def test_limit_sends_every_parameter(stub: Stub) -> None:
    Client.embedded(stub).limit(
        CLEARANCE, size=(2.25, "in"), use="show", features=["drip-oiled", "splash"], dimensions={"crankpin_length": "2-1/2 in"},
        units="metric", evidence="ids",
    )  # fmt: skip
    assert stub.seen[-1][2] == [
        ("characteristic", CLEARANCE), ("size", "2.25 in"), ("use", "show"), ("features", "drip-oiled,splash"),
        ("dimension.crankpin-length", "2-1/2 in"), ("units", "metric"), ("evidence", "ids"),
    ]  # fmt: skip


def test_no_adopted_limit_is_an_answer(stub: Stub) -> None:
    limit = Client.embedded(stub).limit("oiler-drip-rate")
    assert not limit.found
    assert limit.text == "Nobody publishes this."


def test_every_kind_of_reading_is_built(stub: Stub) -> None:
    shop = Client.embedded(stub)
    shop.judge(CLEARANCE, values=["3.8 thou", (3.9, "thou")], place="rod", temperature="68 degF", standard_uncertainty="0.4 thou",
               confidence=0.9, decision_rule="simple", judged_by="each-source", state="as_made", stage="assembly", units="inch")  # fmt: skip
    body = body_of(stub)
    assert body["readings"][0]["values"] == [
        {"value": Decimal("3.8"), "unit": "thou"},
        {"value": Decimal("3.9"), "unit": "thou"},
    ]
    assert body["readings"][0]["place"] == {"instance": "rod"}
    assert body["readings"][0]["temperature"] == {"value": 68, "unit": "degF"}
    assert body["confidence"] == Decimal("0.9")
    assert {key: body[key] for key in ("decision_rule", "judged_by", "stage", "units")} == {
        "decision_rule": "simple", "judged_by": "each-source", "stage": "assembly", "units": "inch"}  # fmt: skip
    shop.judge(CLEARANCE, goes="4 thou", does_not_go="5 thou")
    assert set(body_of(stub)["readings"][0]) == {"id", "characteristic", "goes", "does_not_go"}
    shop.judge(CLEARANCE, low="4 thou", high="5 thou")
    shop.judge("own", "5.1 V", limit={"fit": {"low": "5 V", "high": "unbounded"}})
    assert body_of(stub)["readings"][0]["limit"] == {"fit": {"low": {"value": 5, "unit": "V"}, "high": "unbounded"}}
    assert shop.judge("flywheel-hub-crack", finding="hairline").verdict == "stop"


@pytest.mark.parametrize(
    ("call", "kind", "says"),
    [
        ({}, UsageError, "give one of"),
        ({"value": "3 thou", "finding": "x"}, UsageError, "give one of"),
        ({"value": "3"}, QuantityError, "value: '3' has no unit"),
        ({"value": 3.8}, QuantityError, "no unit"),
        ({"value": "3,8 thou"}, QuantityError, "decimal comma"),
        ({"values": "3 thou"}, QuantityError, "a list"),
        ({"value": "3 thou", "size": "2 in", "dimensions": {"crankpin": "3 in"}}, UsageError, "say it once"),
        ({"value": "3 thou", "dimensions": {"bore": "5"}}, QuantityError, "dimension bore"),
        ({"value": "3 thou", "confidence": float("nan")}, UsageError, "JSON"),
    ],
)
def test_wrong_calls_are_refused_before_anything_is_judged(
    stub: Stub, call: dict[str, Any], kind: type[Exception], says: str
) -> None:
    with pytest.raises(kind, match=says):
        Client.embedded(stub).judge(CLEARANCE, **call)
    assert all(entry[0] != "POST" for entry in stub.seen)


def test_a_size_for_what_scales_with_none_is_refused(stub: Stub) -> None:
    with pytest.raises(UsageError, match="scales with no size"):
        Client.embedded(stub).judge("flywheel-hub-crack", finding="x", size="2 in")


def test_a_sheet_comes_as_a_mapping_a_path_or_text(stub: Stub, tmp_path: Path) -> None:
    shop = Client.embedded(stub)
    sheet = {
        "engine": {"engine_class": "slow-open-crank", "dimensions": {"crankpin": "2-1/4 in"}},
        "readings": [
            {"id": "a", "characteristic": CLEARANCE, "value": "3.8 thou"},
            {"id": "b", "characteristic": "c", "finding": "f"},
        ],
    }
    answer = shop.judge_sheet(sheet)
    assert [item.verdict for item in answer] == ["usable", "stop"]
    assert answer.stops
    assert not answer.all_pass
    assert answer.item("a").text.startswith("Rod")
    assert body_of(stub)["engine"]["dimensions"] == {"crankpin": {"value": Decimal("2.25"), "unit": "in"}}
    with pytest.raises(KeyError):
        answer.item("z")
    path = tmp_path / "sheet.json"
    path.write_text(json.dumps(sheet))
    for same in (path, str(path), json.dumps(sheet)):
        assert shop.judge_sheet(same) == answer
    csv = tmp_path / "sheet.csv"
    csv.write_text("id,characteristic,value,unit,note\n1,x,3,thou,within_fit\n")
    for given in (csv, csv.read_text()):
        assert shop.judge_sheet(
            given, engine={"engine_class": "slow-open-crank", "dimensions": {"bore": (5.25, "in")}}
        ).all_pass
        assert stub.seen[-1][2] == []
        engine = {"engine_class": "slow-open-crank", "dimensions": {"bore": {"value": Decimal("5.25"), "unit": "in"}}}
        assert body_of(stub) == {"engine": engine, "csv": csv.read_text()}


def test_sheets_that_cannot_be_read_are_refused(stub: Stub, tmp_path: Path) -> None:
    shop = Client.embedded(stub)
    (tmp_path / "empty").write_text(" ")
    (tmp_path / "latin").write_bytes(b"\xe9\n")
    (tmp_path / "big").write_bytes(b"a" * (2 * 2**20 + 1))
    (tmp_path / "list").write_text("[1]")
    for name in ("none", "empty", "latin", "big", "list", "."):
        with pytest.raises(SheetError):
            shop.judge_sheet(tmp_path / name)
    with pytest.raises(SheetError, match="not JSON"):
        shop.judge_sheet("{")
    with pytest.raises(UsageError, match="not in both"):
        shop.judge_sheet({"engine": {}, "readings": []}, engine_class="x")
    with pytest.raises(QuantityError, match="reading r9: value"):
        shop.judge_sheet({"readings": [{"id": "r9", "value": "3"}]})
    with pytest.raises(UsageError, match="strange"):
        shop.judge_sheet("a,b\n1,2\n", engine={"strange": 1})


def test_the_lists(stub: Stub) -> None:
    shop = Client.embedded(stub)
    assert [work.id for work in shop.works()] == ["a", "b"]
    assert shop.search("how loose is the rod")[0].id == CLEARANCE
    assert shop.search("xyz") == ()
    assert shop.characteristics()[0].scales_with[0] == "crankpin"
    assert shop.characteristic(CLEARANCE).start_critical
    assert shop.instruments()[0].cannot_see == "a hollow"
    assert shop.engine_classes()[0].id == shop.editions()[0].id == shop.materials()[0].id == "one"
    assert shop.cautions()[0].says.startswith("No heat")
    assert shop.units()[0].token == "thou"
    assert shop.get("/v1/units", q=None) == {"items": [{"token": "thou", "dimension": "length"}]}
    with pytest.raises(NotFound):
        shop.characteristic("../works")
    assert stub.seen[-1][1] == "/v1/characteristics/../works"
    with pytest.raises(UsageError):
        shop.characteristic("")


def test_answers_are_kept_by_etag_in_process_too(stub: Stub) -> None:
    shop = Client.embedded(stub)
    assert shop.limit(CLEARANCE) == shop.limit(CLEARANCE)
    assert "HTTP_IF_NONE_MATCH" in stub.seen[-1][3]


def test_a_failing_service_is_told_with_its_cause() -> None:
    def broken(environ: Any, start_response: Any) -> Any:
        raise RuntimeError("inside")

    with pytest.raises(ServerFault, match="RuntimeError") as caught:
        Client.embedded(broken).works()
    assert isinstance(caught.value.__cause__, RuntimeError)


def test_without_the_service_it_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "halfthou_service", None)
    monkeypatch.setitem(sys.modules, "halfthou_service.http", None)
    with pytest.raises(NotInstalled, match=r"halfthou\[service\]"):
        Client.embedded()


def test_importing_halfthou_imports_nothing_heavy() -> None:
    script = "import sys, halfthou; print([m for m in ('requests', 'click', 'simplejson', 'pint', 'flask') if m in sys.modules])"
    told = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": ":".join(sys.path)},
    )
    assert told.stdout.strip() == "[]"
