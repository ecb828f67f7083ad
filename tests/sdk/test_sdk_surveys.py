"""Surveys and templates from the SDK and the command line, over the real service in process."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from halfthou import Client, Quantity, QuantityError, Refused
from halfthou.asking_surveys import places, survey_body
from halfthou.cli import cli
from halfthou.template import COLUMNS, sheet_template
from halfthou_service.http import csv_readings

ENGINE: dict[str, Any] = {"engine_class": "slow-open-crank", "dimensions": {"bore": "5-1/4 in", "stroke": "7-1/2 in", "crankpin": "2-1/4 in"}}
BORE = {"top": {"thrust": "5.2621 in", "pin": "5.2574 in"}, "below": {"thrust": "5.2516 in", "pin": "5.2511 in"}}


@pytest.fixture(autouse=True)
def no_service_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("HALFTHOU_URL", raising=False)
    monkeypatch.delenv("HALFTHOU_OVERLAY", raising=False)


@pytest.fixture(scope="module")
def shop():
    with Client.embedded() as found:
        yield found


def run(*words: object, text: str | None = None) -> Result:
    result = CliRunner().invoke(cli, [str(w) for w in words], input=text)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def test_a_survey_in_one_call(shop: Client) -> None:
    found = shop.survey("cylinder-bore", BORE, instrument="dial-bore-gauge", **ENGINE)
    assert (found.id, found.feature) == ("s1", "cylinder-bore")
    assert found.figure("out-of-round").value == Quantity(Decimal("0.0047"), "in")
    assert found.figure("wear").where == "top, thrust against below, pin"
    assert [(item.id, item.verdict) for item in found.items] == [
        ("s1.out-of-round", "beyond_limit"), ("s1.taper", "beyond_limit"), ("s1.wear", "beyond_limit")]  # fmt: skip
    assert any("45 degrees" in note for note in found.notes)
    assert found.u_random is not None
    with pytest.raises(KeyError):
        found.figure("colour")


@pytest.mark.parametrize("readings", [
    {("top", "thrust"): "5.2621 in", ("top", "pin"): "5.2574 in", ("below", "thrust"): "5.2516 in", ("below", "pin"): "5.2511 in"},
    [{"station": s, "axis": a, "value": v} for s, row in BORE.items() for a, v in row.items()],
    {s: {a: ["5262.1 thou" if v == "5.2621 in" else v] for a, v in row.items()} for s, row in BORE.items()},
    {s: {a: Quantity(Decimal(v.split()[0]), "in") for a, v in row.items()} for s, row in BORE.items()},
    {s: {a: (Decimal(v.split()[0]), "in") for a, v in row.items()} for s, row in BORE.items()},
])  # fmt: skip
def test_readings_may_be_written_in_several_ways(shop: Client, readings: Any) -> None:
    found = shop.survey("cylinder-bore", readings, instrument="dial-bore-gauge", **ENGINE)
    value = found.figure("out-of-round").value
    assert value is not None
    assert float(value.value) == pytest.approx(0.0047 if value.unit == "in" else 4.7)


def test_bare_numbers_need_a_unit(shop: Client) -> None:
    bare = {s: {a: Decimal(v.split()[0]) for a, v in row.items()} for s, row in BORE.items()}
    assert shop.survey("cylinder-bore", bare, unit="in", instrument="dial-bore-gauge", **ENGINE).figures
    with pytest.raises(QuantityError, match="top, thrust"):
        shop.survey("cylinder-bore", bare, **ENGINE)


def test_what_else_a_survey_takes(shop: Client) -> None:
    found = shop.survey("crankpin", {"inner": "2.2493 in", "outer": "2.2491 in"}, instance="crankpin", standard_uncertainty="0.1 thou",
                        shared_uncertainty="0.05 thou", temperature="70 degF", instrument_temperature="68 degF", material="steel-1040",
                        state="as_made", survey_id="pin", units="metric", decision_rule="simple_n_to_1", ratio=2, **ENGINE)  # fmt: skip
    assert found.id == "pin"
    taper = found.figure("taper").value
    assert taper is not None
    assert taper.unit == "mm"
    two = {"value": Decimal(2), "unit": "in"}
    assert survey_body({"feature": "x", "same_tool": False, "note": None, "new": "2 in"}) == {"feature": "x", "new": two}
    assert places({"top": "3 in"}) == [{"station": "top", "value": {"value": Decimal(3), "unit": "in"}}]


def test_a_fault_of_a_survey_is_told(shop: Client) -> None:
    with pytest.raises(Refused) as refusal:
        shop.survey("cylinder-bor", BORE, **ENGINE)
    assert refusal.value.problem.errors[0].pointer == "/surveys/0/feature"
    slip = shop.survey("cylinder-bore", {"top": {"a": "5.25 in", "b": "5.25 in", "c": "52.5 in"}}, **ENGINE)
    assert slip.problem is not None
    assert "point one place out" in slip.problem.detail


def test_a_sheet_with_surveys(shop: Client) -> None:
    sheet = {"engine": ENGINE, "readings": [{"characteristic": "rod-bearing-running-clearance", "value": "3 thou", "place": "rod"}],
             "surveys": [{"id": "pin", "feature": "crankpin", "readings": {"middle": {"a": "2.2500 in", "b": "2.2501 in"}}},
                         {"id": "eye", "feature": "rod-bearing-bore", "readings": [{"value": "2.2530 in"}]}]}  # fmt: skip
    answer = shop.judge_sheet(sheet)
    assert [s.id for s in answer.surveys] == ["pin", "eye"]
    assert [i.id for i in answer.surveys[1].items] == ["eye.smallest-clearance", "eye.largest-clearance"]
    assert answer.item("eye.smallest-clearance").value is not None
    with pytest.raises(QuantityError, match="survey eye: a place"):
        shop.judge_sheet({**sheet, "surveys": [{"id": "eye", "feature": "rod-bearing-bore", "readings": [{"value": "2,2530 in"}]}]})


def test_a_reading_takes_what_the_service_takes(shop: Client) -> None:
    more: dict[str, Any] = {"instrument": "plastic-gauge-strip", **ENGINE}
    rod = "rod-bearing-running-clearance"
    side = shop.judge(rod, "1.5 thou", basis="radial", **more)
    assert "on one side, 3 thou in all" in side.text
    own = shop.judge(rod, "3 thou", budget=[{"name": "my strip", "standard_uncertainty": "0.9 thou"}], **more)
    assert own.standard_uncertainty is not None
    assert own.standard_uncertainty.value > Decimal("0.9")
    pooled = shop.judge(rod, "3 thou", pooled_scatter=("0.9 thou", 5), **more)
    assert pooled.degrees_of_freedom is not None
    ratio = shop.judge(rod, "3 thou", decision_rule="simple_n_to_1", ratio=3, **more)
    assert "by the 3:1 rule" in ratio.text
    warm = shop.judge("cylinder-bore-wear", "0.3 in", temperature="90 degF", instrument_temperature="68 degF", material="grey-cast-iron",
                      confirmed=True, engine_class="slow-open-crank", dimensions=ENGINE["dimensions"])  # fmt: skip
    assert any("corrected from 90 degF" in line for line in warm.assumed)


# -- several of one kind -----------------------------------------------------------------------------------------------


GAPS = {"ring 1": "22 thou", "ring 2": "0.028 in", "ring 3": ["71 thou", "1.8034 mm"]}


def test_several_rings_in_one_call(shop: Client) -> None:
    """New 15.75 to 31.5 thou on a 5-1/4 in bore, worn at 63: the third ring is past it, whatever the mean."""
    found = shop.several("ring-end-gaps", GAPS, station="below ring travel", instrument="feeler-gauge", survey_id="rings", **ENGINE)
    assert found.figure("spread").value == Quantity(Decimal(49), "thou")
    assert found.figure("spread").where == "ring 3 less ring 1"
    assert found.figure("spread").standard_uncertainty is not None
    assert [(item.id, item.verdict) for item in found.items] == [("rings.smallest", "within_fit"), ("rings.largest", "beyond_limit")]
    assert found.items[1].text.startswith("Piston ring end gap (ring 3, below ring travel) 71 thou (largest of 3)")


def test_several_places_of_one_valve_and_bare_numbers(shop: Client) -> None:
    found = shop.several("valve-margins", {"front": 0.05, "back": [0.02, 0.021]}, unit="in", instance="exhaust", **ENGINE)
    assert (found.instance, found.figure("smallest").where) == ("exhaust", "back")
    assert found.figure("smallest").value == Quantity(Decimal("0.0205"), "in")
    assert [item.id for item in found.items] == ["s1.smallest"]


def test_what_is_wrong_with_several_is_said(shop: Client) -> None:
    with pytest.raises(QuantityError, match="ring 2"):
        shop.several("ring-end-gaps", {"ring 1": "22 thou", "ring 2": "22"}, **ENGINE)
    with pytest.raises(Refused, match="not at 'inlet'"):
        shop.several("ring-end-gaps", {"ring 1": "22 thou", "inlet": "22 thou"}, **ENGINE)


# -- templates -----------------------------------------------------------------------------------------------------


def test_the_csv_template_has_every_column_and_is_judged(tmp_path: Path) -> None:
    assert set(COLUMNS) == set(csv_readings.COLUMNS)
    printed = run("sheet", "--template", "csv")
    assert printed.exit_code == 0
    assert printed.output == sheet_template("csv")
    path = tmp_path / "mine.csv"
    path.write_text(printed.output)
    judged = run("sheet", path, "--class", "slow-open-crank", "--dimension", "crankpin=2-1/4 in", "--dimension", "main-journal=2 in",
                 "--dimension", "bore=5 in", "--json")  # fmt: skip
    items = json.loads(judged.output)["items"]
    assert [i["id"] for i in items] == [
        "r1", "r2", "r3", "r4", "r5", "pin.out-of-round", "pin.taper", "side.smallest", "side.largest"]  # fmt: skip
    assert {i["characteristic"] for i in items if i["id"].startswith("side")} == {"ring-side-clearance"}
    assert not [i for i in items if "problem" in i], items


def test_the_json_template_is_judged_with_its_survey(tmp_path: Path) -> None:
    path = tmp_path / "mine.json"
    path.write_text(run("sheet", "--template", "json").output)
    answer = json.loads(run("sheet", path, "--json").output)
    assert not [i for i in answer["items"] if "problem" in i]
    assert [survey["items"] for survey in answer["surveys"]] == [["pin.out-of-round", "pin.taper"], ["side.smallest", "side.largest"]]
    page = run("sheet", path).output
    assert "SURVEYS (2)" in page.upper()
    assert "side: ring side clearances: smallest 2.5 thou at ring 1; largest 3 thou at ring 2; spread 0.5" in " ".join(page.split())
    assert "three lobes" in page


def test_a_sheet_that_is_not_named() -> None:
    missing = run("sheet")
    assert missing.exit_code == 2
    assert "--template csv" in missing.output
    assert run("sheet", "--template", "xml").exit_code == 2


def test_faults_of_a_csv_carry_line_and_column(tmp_path: Path) -> None:
    path = tmp_path / "bad.csv"
    path.write_text("characteristic,value,instance\nrod-bearing-running-clearance,3 thuo,rod\n")
    result = run("sheet", path, "--class", "slow-open-crank")
    assert result.exit_code == 2
    assert "line 2, value: no unit is called 'thuo'" in result.output


def test_the_new_options_of_judge() -> None:
    words = ("judge", "rod-bearing-running-clearance", "1.5 thou", "--class", "slow-open-crank", "--size", "2-1/4 in", "--instrument",
             "plastic-gauge-strip", "--basis", "radial", "--decision-rule", "simple_n_to_1", "--ratio", "2")  # fmt: skip
    assert "by the 2:1 rule" in " ".join(run(*words).output.split())
