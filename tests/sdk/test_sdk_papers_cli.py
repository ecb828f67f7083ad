"""The commands of papers: what they print and write, their exit codes, over the real service in process."""

from __future__ import annotations

import csv
import io
import json
import sys
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
import responses
from click.testing import CliRunner, Result

from halfthou.cli import cli
from halfthou.cli.back_page import back_page, compared_page
from halfthou.cli.order_page import page as order_page
from halfthou.cli.ready_page import page as ready_page
from halfthou.cli.show import WIDTH, remedy_lines, tag_of
from halfthou.models.back import Comparison, PartsBack
from halfthou.models.orders import WorkOrder
from halfthou.models.readiness import Readiness
from halfthou.models.remedies import Remedy

DEMO = str(files("halfthou_service.demo").joinpath("sheet.json"))
ENGINE = {"id": "H", "engine_class": "slow-open-crank", "dimensions": {"crankpin": {"value": 2.25, "unit": "in"}, "bore": {"value": 5, "unit": "in"}}}
ROD = "rod-bearing-running-clearance"
NAMED = ("--class", "slow-open-crank", "--dimension", "crankpin=2-1/4 in")


@pytest.fixture(autouse=True)
def no_service_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("HALFTHOU_URL", raising=False)
    monkeypatch.delenv("HALFTHOU_OVERLAY", raising=False)


def run(*words: object, text: str | None = None) -> Result:
    result = CliRunner().invoke(cli, [str(w) for w in words], input=text)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def flat(result: Result) -> str:
    return " ".join(result.output.split())


def saved(path: Path, *readings: dict[str, Any], **more: Any) -> Path:
    path.write_text(json.dumps({"engine": ENGINE, "readings": list(readings), **more}))
    return path


def read(value: float, unit: str = "thou", characteristic: str = ROD, u: float = 0.05, **more: Any) -> dict[str, Any]:
    return {"characteristic": characteristic, "value": {"value": value, "unit": unit}, "standard_uncertainty": {"value": u, "unit": unit}, **more}


def floats(value: float, **more: Any) -> dict[str, Any]:
    return read(value, characteristic="crankshaft-end-float", u=0.5, **more)


# -- what all of them share ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("words", "title"), [
    (("ready", DEMO), "Before it is started: invented-demo-engine"), (("ready", DEMO, "--stage", "assembly"), "Before it goes together: "),
    (("order", DEMO), "Work order: invented-demo-engine"), (("order", DEMO, "--part", "crankshaft"), "Work order: "),
    (("compare", DEMO), "Before and after: invented-demo-engine"), (("limits-sheet", "--engine", DEMO), "Limits sheet: invented-demo-engine"),
    (("as-found", "--engine", DEMO), "As found: invented-demo-engine"),
])  # fmt: skip
def test_a_page_has_its_title_and_fits_the_terminal(words: tuple[str, ...], title: str) -> None:
    result = run(*words)
    assert result.exit_code in (0, 1, 4), result.output
    assert result.output.startswith(title)
    assert max(map(len, result.output.splitlines())) <= WIDTH
    assert "edition" in result.output.splitlines()[0]
    for word in ("safe to", "ready to start", "is safe", "None"):
        assert word not in result.output


@pytest.mark.parametrize("words", [("ready", DEMO), ("order", DEMO), ("compare", DEMO), ("limits-sheet", *NAMED), ("as-found", *NAMED)])
def test_every_paper_in_every_format(words: tuple[str, ...]) -> None:
    codes = set()
    for form, start in (("html", "<!doctype html>"), ("markdown", "# "), ("csv", ""), ("text", "")):
        result = run(*words, "--format", form)
        assert result.output.startswith(start)
        codes.add(result.exit_code)
    told = run(*words, "--json")
    assert json.loads(told.output)["edition"]
    assert codes == {told.exit_code}
    assert run(*words, "--json", "--format", "html").exit_code == 2


def test_out_writes_a_whole_file_names_the_format_and_never_writes_over_one(tmp_path: Path) -> None:
    form = tmp_path / "form.csv"
    result = run("as-found", *NAMED, "--out", form)
    assert (result.exit_code, result.output) == (0, f"{form}: written\n")
    blank = form.read_bytes()
    assert blank.startswith(b"id,characteristic,")
    assert b"\r\n" in blank
    assert b"\r\r" not in blank
    form.write_text("filled in for hours")
    again = run("as-found", *NAMED, "--out", form)
    assert (again.exit_code, "is left alone" in again.stderr) == (2, True)
    assert form.read_text() == "filled in for hours"
    assert run("as-found", *NAMED, "--out", form, "--replace").exit_code == 0
    assert form.read_bytes() == blank
    for name, start in (("p.html", "<!doctype"), ("p.md", "# "), ("p.json", "{"), ("p.txt", "Limits sheet")):
        assert run("limits-sheet", *NAMED, "--out", tmp_path / name).exit_code == 0
        assert (tmp_path / name).read_text().startswith(start)
    assert run("limits-sheet", *NAMED, "--out", tmp_path / "no" / "folder.html").exit_code == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == ["form.csv", "p.html", "p.json", "p.md", "p.txt"]


@pytest.mark.parametrize("words", [("ready",), ("order",), ("ready", "no-such.json"), ("order", "no-such.json"), ("parts-back", "no-such.csv"),
                                   ("compare", "no-such.json"), ("limits-sheet",), ("as-found",), ("limits-sheet", "--class", "fast"),
                                   ("as-found", "--read", "no-such.csv"), ("ready", DEMO, "--stage", "running"), ("compare", "-", "-"),
                                   ("ready", DEMO, "--facts", "no-such.json"), ("order", DEMO, "--part", "magic"),
                                   ("order", DEMO, "--letter", "colour=red"), ("order", DEMO, "--letter", "owner"),
                                   ("order", DEMO, "--report", "--format", "html")])  # fmt: skip
def test_what_is_wrong_with_the_question_is_exit_2(words: tuple[str, ...]) -> None:
    result = run(*words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr


@responses.activate
@pytest.mark.parametrize("words", [("ready", DEMO), ("order", DEMO), ("compare", DEMO), ("limits-sheet", *NAMED), ("as-found", *NAMED)])
def test_no_service_is_exit_3_and_a_refusal_exit_2(words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("time.sleep", lambda _: None)
    assert run(*words, "--url", "http://shop.local").exit_code == 3
    paths = {"ready": "readiness", "order": "work-orders", "compare": "comparisons", "limits-sheet": "limits-sheets", "as-found": "as-found-sheets"}
    problem = json.dumps({"title": "T", "detail": "a fault", "status": 422})
    responses.post(f"http://shop.local/v1/{paths[words[0]]}", status=422, body=problem, content_type="application/problem+json")
    refused = run(*words, "--url", "http://shop.local")
    assert (refused.exit_code, refused.stdout, refused.stderr) == (2, "", "halfthou: a fault\n")
    assert json.loads(run(*words, "--url", "http://shop.local", "--json").stderr)["detail"] == "a fault"


def test_without_the_service_it_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "halfthou_service", None)
    monkeypatch.setitem(sys.modules, "halfthou_service.http", None)
    for words in (("ready", DEMO), ("order", DEMO), ("compare", DEMO), ("limits-sheet", *NAMED), ("as-found", *NAMED)):
        result = run(*words)
        assert (result.exit_code, "halfthou[service]" in result.stderr) == (3, True), words


@pytest.mark.parametrize("text", ["", "nothing", "[]", "[3]", "{", '{"lines": [{"what": "x", "measured": "1.8"}]}', "what\n"])
def test_a_report_or_form_that_holds_none_is_exit_2(tmp_path: Path, text: str) -> None:
    path = tmp_path / "given.csv"
    path.write_text(text)
    for words in (("parts-back", path), ("as-found", "--read", path)):
        result = run(*words)
        assert (result.exit_code, result.stdout) == (2, ""), words
        assert "cannot be read: No such" not in result.stderr
    assert run("parts-back", "-", text=text).exit_code == 2


def test_a_report_may_be_a_json_list(tmp_path: Path) -> None:
    path = tmp_path / "report.json"
    path.write_text('[{"what": "Crankpin", "ordered": {"low": "1.7995 in", "high": "1.8000 in"}, "measured": {"value": "1.7998 in",'
                    ' "standard_uncertainty": "0.05 thou"}}]')  # fmt: skip
    assert run("parts-back", path).exit_code == 0
    assert run("parts-back", "-", text=path.read_text()).exit_code == 0


def test_no_paper_can_steer_the_terminal() -> None:
    bad = "a\x1b]0;x\x07b\u202e"
    pages = [
        ready_page(Readiness.from_json({"stage": bad, "text": bad, "stops": [{"name": bad, "item": bad, "assembly": bad, "text": bad, "clear": bad}],
                                        "not_looked_at": [{"characteristic": bad, "name": bad, "assembly": bad}],
                                        "superseded": [{"item": bad, "text": bad, "by": bad}]})),
        order_page(WorkOrder.from_json({"parts": [{"id": bad, "name": bad, "why": [bad], "boxes": [{"what": bad, "ordered": {"told": bad}}]}]})),
        back_page(PartsBack.from_json({"text": bad, "lines": [{"answer": "to_order", "part": bad, "text": bad}]})),
        compared_page(Comparison.from_json({"text": bad, "rows": [{"change": "changed", "assembly": bad, "text": bad}]})),
        remedy_lines(Remedy.from_json({"id": "x", "text": bad, "steps": [bad], "risk": bad, "asks": [bad]})),
        [tag_of(bad, 4)],
    ]  # fmt: skip
    assert all(letter.isprintable() for page in pages for line in page for letter in line)


# -- ready -----------------------------------------------------------------------------------------------------------


def test_ready_tells_what_stops_the_engine_first_then_the_rest_then_what_nobody_looked_at() -> None:
    result = run("ready", DEMO)
    assert result.exit_code == 4
    places = [result.output.index(title) for title in ("STOP (", "ALSO STOPS YOU (", "NOBODY LOOKED AT (", "THE FIRST TEN MINUTES")]
    assert places == sorted(places)
    stop = result.output[places[0] : places[1]]
    assert all(item in stop for item in ("a04", "a80", "a88"))
    assert "To clear it: Do not run this wheel." in flat(result)
    assert "It tells no more than that." in result.output
    assert "%" not in stop
    assert run("ready", "-", text=Path(DEMO).read_text()).exit_code == 4


@pytest.mark.parametrize(("readings", "code"), [
    ([read(3)], 1),  # nothing against it, but much that nobody looked at
    ([read(9)], 1),  # beyond its limit: 6.75 thou is 0.003 D
    ([{"characteristic": "flywheel-hub-crack", "finding": "hairline from keyway"}], 4),  # a veto on the engine
    ([{"characteristic": "flywheel-key-contact", "finding": "one end only"}], 4),  # a stop of one part, by its verdict
])  # fmt: skip
def test_ready_exit_codes(tmp_path: Path, readings: list[dict[str, Any]], code: int) -> None:
    assert run("ready", saved(tmp_path / "s.json", *readings)).exit_code == code


@responses.activate
def test_ready_is_0_only_where_nothing_is_left(tmp_path: Path) -> None:
    nothing: dict[str, Any] = {"stage": "first-start", "text": "Nothing on this list stops you. Nothing on the list was left out.", "stops": [],
                               "doubts": [], "not_looked_at": []}  # fmt: skip
    path = saved(tmp_path / "s.json", read(3))
    doubt = {"name": "X", "item": "r1", "text": "X: cannot tell."}
    for answer, code in ((nothing, 0), ({**nothing, "doubts": [doubt]}, 1), ({**nothing, "not_looked_at": 1}, 1)):
        responses.reset()
        responses.post("http://shop.local/v1/readiness", json=answer)
        result = run("ready", path, "--url", "http://shop.local")
        assert (result.exit_code, "safe" in result.output) == (code, False)


def test_facts_come_from_a_file_or_from_the_sheet(tmp_path: Path) -> None:
    facts = {"shims": [{"bearing": "rod", "left": ["3 thou", "2 thou", "1 thou"], "right": ["3 thou", "2 thou", "1 thou"]}]}
    (tmp_path / "facts.json").write_text(json.dumps(facts))
    (tmp_path / "whole.json").write_text(json.dumps({"facts": facts, "engine": {}}))
    bare = saved(tmp_path / "bare.json", read(7.2))
    # 7.2 thou less the leaves of 3 and 1 is 3.2, in the loose half of a new fit (3.0625 to 3.875 thou); no other pack of 3, 2, 1 gets there.
    wanted = "out of each side 4 thou"
    assert wanted not in flat(run("ready", bare))
    assert wanted in flat(run("ready", bare, "--facts", tmp_path / "facts.json"))
    assert wanted in flat(run("ready", bare, "--facts", tmp_path / "whole.json"))
    assert wanted in flat(run("ready", saved(tmp_path / "full.json", read(7.2), facts=facts)))
    assert wanted in flat(run("sheet", bare, "--remedies", "--facts", tmp_path / "facts.json"))
    judged = run("judge", ROD, "7.2 thou", "--standard-uncertainty", "0.05 thou", *NAMED, "--remedies", "--facts", tmp_path / "facts.json")
    assert wanted in flat(judged)
    sheet = tmp_path / "s.csv"
    sheet.write_text(f"characteristic,value,standard_uncertainty,unit\n{ROD},7.2,0.05,thou\n")
    assert wanted in flat(run("ready", sheet, *NAMED, "--facts", tmp_path / "facts.json"))


# -- remedies --------------------------------------------------------------------------------------------------------


def test_remedies_are_told_where_they_are_asked_for(tmp_path: Path) -> None:
    assert "->" not in run("judge", ROD, "9 thou", *NAMED).output
    judged = run("judge", ROD, "9 thou", *NAMED, "--remedies")
    assert judged.exit_code == 1
    assert "-> Take shims out of both sides" in judged.output
    assert "1. Block the wheels" in judged.output
    assert "Measure afterwards: rod-bearing-running-clearance" in judged.output
    sheet = run("sheet", saved(tmp_path / "s.json", read(9)), "--remedies")
    assert "-> Take shims out of both sides" in sheet.output
    assert "Risk:" in sheet.output
    assert "1. Block the wheels" not in sheet.output
    assert json.loads(run("judge", ROD, "9 thou", *NAMED, "--remedies", "--json").output)["remedies"]


def test_what_a_remedy_costs_is_said_and_no_step_is_told_twice() -> None:
    told = remedy_lines(Remedy.from_json({"id": "x", "text": "Stone it. Then blue it.", "steps": ["Stone it.", "Wipe it."], "cost_class": "hand",
                                          "optional": True, "grade": "from-memory"}))  # fmt: skip
    assert told[0] == "-> Stone it. Then blue it. (hand work; cannot be undone; may be left; from memory, unchecked)"
    assert told[1:] == ["   1. Wipe it."]


def test_a_sheet_judged_for_a_stage_has_readiness_in_short(tmp_path: Path) -> None:
    path = saved(tmp_path / "s.json", read(9))
    assert "IN SHORT, BEFORE THAT STAGE" in run("sheet", path, "--stage", "first-start").output
    assert "IN SHORT" not in run("sheet", path).output


# -- sheets of one engine --------------------------------------------------------------------------------------------


def test_the_limits_sheet_tells_new_stop_and_whose() -> None:
    told = flat(run("limits-sheet", *NAMED))
    # 0.001 D to 0.0015 D + 0.0005 in; worn out at 0.003 D, our judgement: at 2.25 in 2.25 to 3.875 and 6.75 thou, the paper rounding inward.
    assert "Connecting-rod bearing running clearance (rod) new 2.25 to 3.87 thou" in told
    assert "stop at under 2.25, over 6.75 thou (book, carried / ours)" in told
    assert "where to stop nobody says" in told
    assert "! Not run with: Cracks in flywheel hub" in told
    assert "hairline from keyway (not run)" in told


def test_guesses_are_marked_and_may_be_left_out() -> None:
    engine = ("--class", "slow-open-crank", "--dimension", "rated-power=5 hp")
    told = run("limits-sheet", *engine).output
    assert "GUESSED, NOT MEASURED" in told
    assert "GUESS; " in told
    assert "GUESS" not in run("limits-sheet", *engine, "--no-guess").output


def test_the_form_goes_out_is_filled_and_comes_back(tmp_path: Path) -> None:
    blank = tmp_path / "form.csv"
    assert run("as-found", *NAMED, "--out", blank).exit_code == 0
    rows = list(csv.DictReader(io.StringIO(blank.read_text(), newline="")))
    for row in rows:
        if row["characteristic"] == "turnover-freedom":
            row["finding"] = "turns free"
        elif row["station"] in ("leaf 1", "leaf 2") and row["characteristic"] == "rod-shim-pack":
            row["value"] = "5"
        elif row["id"] == "mark-photographs":
            row["value"] = "24"
    filled = tmp_path / "filled.csv"
    with filled.open("w", newline="") as handle:
        writer = csv.DictWriter(handle, rows[0])
        writer.writeheader()
        writer.writerows(rows)
    told = run("as-found", "--read", filled)
    assert told.exit_code == 1
    assert told.output.startswith("As found: 3 readings written down")
    assert "left side   10 thou" in told.output
    assert "photographs  24" in told.output
    assert "LEFT EMPTY (" in told.output
    sheet = tmp_path / "sheet.csv"
    assert run("as-found", "--read", filled, "--out", sheet).exit_code == 1
    assert "turns free" in run("sheet", sheet, *NAMED).output
    assert json.loads(run("as-found", "--read", filled, "--json").output)["facts"]["shims"]
    assert run("as-found", "--read", filled, "--format", "html").exit_code == 2
    assert run("as-found", "--read", filled, "--units", "inch").exit_code == 2


def taken_back(tmp_path: Path, **boxes: tuple[str, str]) -> Path:
    """A filled form: characteristic -> column, text."""
    blank = tmp_path / "form.csv"
    assert run("as-found", *NAMED, "--out", blank, "--replace").exit_code == 0
    rows = list(csv.DictReader(io.StringIO(blank.read_text(), newline="")))
    for row in rows:
        column, text = boxes.get(row["characteristic"].replace("-", "_"), ("", ""))
        if column:
            row[column] = text
    filled = tmp_path / "filled.csv"
    with filled.open("w", newline="") as handle:
        writer = csv.DictWriter(handle, rows[0])
        writer.writeheader()
        writer.writerows(rows)
    return filled


def test_a_form_taken_back_as_json_is_a_sheet_and_says_what_comes_next(tmp_path: Path) -> None:
    filled = taken_back(tmp_path, rod_shim_pack=("value", "5"), turnover_freedom=("finding", "turns free"), needle_setting=("value", "not fitted"))
    engine = tmp_path / "engine.json"
    engine.write_text(json.dumps(ENGINE))
    sheet = tmp_path / "sheet.json"
    told = run("as-found", "--read", filled, "--engine", engine, "--out", sheet)
    assert told.exit_code == 1
    assert told.output.splitlines()[0] == f"{sheet}: written"
    assert "NOT FITTED (1): each counts as not looked at" in told.output
    assert "LEFT EMPTY (" in told.output
    assert told.output.splitlines()[-1] == f"  halfthou sheet {sheet}"
    body = json.loads(sheet.read_text())
    assert set(body) == {"engine", "readings", "facts"}
    assert body["engine"] == ENGINE
    judged = run("sheet", sheet, "--json")
    # Two packs of five 5 thou leaves, and the word: nothing the sheet holds is refused.
    assert {item["characteristic"]: item["verdict"] for item in json.loads(judged.output)["items"]} == {
        "rod-shim-pack": "typical", "turnover-freedom": "within_fit", "rod-shim-side-difference": "within_fit"}  # fmt: skip
    assert "no instrument named" not in judged.output


def test_a_sheet_made_of_a_form_without_an_engine_takes_it_afterwards(tmp_path: Path) -> None:
    filled = taken_back(tmp_path, turnover_freedom=("finding", "turns free"))
    sheet = tmp_path / "sheet.json"
    told = run("as-found", "--read", filled, "--out", sheet)
    assert told.output.splitlines()[-1] == f"  halfthou sheet {sheet} --engine ENGINE.json"
    assert run("sheet", sheet).exit_code == 2
    assert "turns free" in run("sheet", sheet, *NAMED).output
    text = run("as-found", "--read", filled)
    assert f"halfthou as-found --read {filled} --engine ENGINE.json --out filled.sheet.json" in flat(text)


def test_a_start_spark_whose_side_nobody_wrote_does_not_come_back(tmp_path: Path) -> None:
    told = run("as-found", "--read", taken_back(tmp_path, igniter_timing_start=("value", "0.3")))
    assert told.exit_code == 2
    assert "relative" in told.stderr
    assert "say before or after the dead centre" in told.stderr
    blank = run("as-found", *NAMED, "--units", "metric").output
    assert "mm on the rim, B / A, by" in " ".join(blank.split())


def test_a_dash_in_a_finding_is_no_finding_when_the_form_comes_back(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.csv"
    run("as-found", "--read", taken_back(tmp_path, flywheel_hub_crack=("finding", "-"), turnover_freedom=("finding", "turns free")), "--out", sheet)
    assert [row["characteristic"] for row in csv.DictReader(io.StringIO(sheet.read_text(), newline=""))] == ["turnover-freedom"]


MANY = ("make-and-break low-tension-magneto oscillating-magneto hopper-cooled suction-inlet-valve fuel-pump drip-oiled grease-cups poured-bearings "
        "cast-iron-piston cast-iron-cylinder hit-and-miss one-piece-flywheel gasoline cast-base-tank").split()  # fmt: skip


def test_a_limit_is_told_for_an_engine_of_many_features() -> None:
    told = run("limit", ROD, *NAMED, *(word for feature in MANY for word in ("--feature", feature)))
    assert told.exit_code == 0, told.stderr


def test_a_csv_sheet_takes_an_engine_of_many_features(tmp_path: Path) -> None:
    engine = tmp_path / "engine.json"
    engine.write_text(json.dumps({**ENGINE, "features": MANY}))
    sheet = tmp_path / "sheet.csv"
    sheet.write_text("characteristic,finding\nturnover-freedom,turns free\n")
    for word in ("sheet", "ready", "order"):
        told = run(word, sheet, "--engine", engine)
        assert told.exit_code in (0, 1), told.stderr
    wrong = run("sheet", sheet, "--engine", engine, "--feature", "nonsense")
    assert (wrong.exit_code, "nonsense" in wrong.stderr) == (2, True)


def test_surveys_in_csv_can_be_compared(tmp_path: Path) -> None:
    head = "survey,feature,station,axis,value,unit,instrument,state\n"
    line = "bore,cylinder-bore,{},{},{},in,dial-bore-gauge,{}\n"
    # Out of round as found 5.2621 - 5.2574 = 4.7 thou at the top, after the hone 5.2702 - 5.2701 = 0.1 thou.
    before, after = tmp_path / "before.csv", tmp_path / "after.csv"
    before.write_text(head + "".join(line.format(*row, "as_found") for row in (("top", "thrust", 5.2621), ("top", "pin", 5.2574))))
    after.write_text(head + "".join(line.format(*row, "as_made") for row in (("top", "thrust", 5.2702), ("top", "pin", 5.2701))))
    told = run("compare", before, after, "--class", "slow-open-crank", "--dimension", "bore=5.25 in", "--json")
    row = next(row for row in json.loads(told.output)["rows"] if row["characteristic"].endswith("out-of-round"))
    assert (row["change"], row["better"]) == ("changed", "better")
    assert (row["before"]["told"], row["after"]["told"]) == ("4.7 thou", "0.1 thou")


@pytest.mark.parametrize(("command", "id", "says"), [
    ("features", "make-and-break", "low-tension igniter"), ("dimensions", "crankpin", "Crankpin diameter [in]"),
    ("classes", "slow-open-crank", "Slow engine, open crank"),
])  # fmt: skip
def test_the_ids_that_tell_an_engine_are_listed(command: str, id: str, says: str) -> None:
    told = run(command).output
    assert any(line.split()[:1] == [id] and says in line for line in told.splitlines())
    assert id in {item["id"] for item in json.loads(run(command, "--json").output)["items"]}


def test_a_limits_sheet_that_guesses_nothing_says_what_would_let_it() -> None:
    told = flat(run("limits-sheet", *NAMED))
    assert "rated-power" in told
    assert "rated-power" not in flat(run("limits-sheet", *NAMED, "--no-guess"))
    assert "No size was guessed" not in flat(run("limits-sheet", *NAMED, "--dimension", "rated-power=5 hp"))


# -- order, parts back, compare --------------------------------------------------------------------------------------


def test_the_owners_page_and_the_machinists_copy() -> None:
    owner = run("order", DEMO, "--letter", "owner=J. Doe", "--letter", "ring=555 0143")
    assert owner.exit_code == 4
    assert "from J. Doe, ring 555 0143" in owner.output
    assert "NOT SENT (1)" in owner.output
    assert "DECIDE FIRST (" in owner.output
    assert "When it is back, before paying:" in owner.output
    copy = run("order", DEMO, "--part", "crankshaft")
    assert copy.exit_code == 0
    for word in ("Decide first", "DECIDE FIRST", "before paying", "The table proposes", "CYLINDER", "NOT SENT"):
        assert word not in copy.output
    assert "Stop and ring me if:" in copy.output
    waits = run("order", DEMO, "--part", "cylinder")
    assert waits.exit_code == 1
    assert "NOT DECIDED" in waits.output
    assert "NOT DECIDED" not in copy.output
    kept = run("order", DEMO, "--part", "flywheel-hub")
    assert (kept.exit_code, "A cracked part is not worked on" in kept.stderr) == (2, True)


def test_wishes_come_from_a_file_and_settle_what_was_asked(tmp_path: Path) -> None:
    pin = read(1.8092, "in", "crankpin-diameter", 0.0001)
    sheet = saved(tmp_path / "s.json", pin)
    nothing = run("order", sheet)
    assert (nothing.exit_code, "Nothing on this sheet goes to a machinist." in nothing.output) == (1, True)
    wishes = tmp_path / "wishes.json"
    wishes.write_text(json.dumps({"wishes": {"crankshaft": {"send": True, "low": "1.7995 in", "high": "1.8000 in", "mark": "H 1"}}}))
    told = run("order", sheet, "--wishes", wishes)
    assert told.exit_code == 0
    assert "> Crankpin, every station, both lines: 1.7995 to 1.8000 in (yours)" in told.output
    assert "Marked: H 1." in told.output


def test_a_report_goes_out_is_filled_and_comes_back(tmp_path: Path) -> None:
    wishes = {"crankshaft": {"send": True, "low": {"value": 1.7995, "unit": "in"}, "high": {"value": 1.8, "unit": "in"}}}
    sheet = saved(tmp_path / "s.json", read(1.8092, "in", "crankpin-diameter", 0.0001), wishes=wishes)
    report = tmp_path / "report.csv"
    assert run("order", sheet, "--report", "--out", report).exit_code == 0
    blank = run("parts-back", report)
    assert (blank.exit_code, "NO FIGURE (" in blank.output) == (1, True)
    rows = [row for row in csv.DictReader(io.StringIO(report.read_text(), newline="")) if row["what"] == "Crankpin"]
    assert {(row["ordered_low"], row["ordered_high"]) for row in rows} == {("1.7995", "1.8")}

    def back(value: str, *words: str) -> Result:
        out = io.StringIO(newline="")
        writer = csv.DictWriter(out, rows[0])
        writer.writeheader()
        writer.writerows(row | {"reported": "1.7998", "reported_uncertainty": "0.0001", "measured": value, "measured_uncertainty": "0.0001"}
                         for row in rows)  # fmt: skip
        return run("parts-back", "-", *words, text=out.getvalue())

    # Order 1.7995 to 1.8000 in; u 0.05 thou (half of the expanded 0.1): 1.7998 lies 4 u inside, 1.8010 20 u past, and 1.2 thou from his.
    good = back("1.7998")
    assert (good.exit_code, f"TO THE ORDER ({len(rows)})" in good.output) == (0, True)
    bad = back("1.8010")
    assert (bad.exit_code, f"NOT TO THE ORDER ({len(rows)})" in bad.output) == (1, True)
    assert "differ: find out whose, before paying" in flat(bad)
    # 0.3 thou of doubt each (expanded): a band of 0.5 thou is never proved, and both read inside it
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, rows[0])
    writer.writeheader()
    writer.writerows(row | {"reported": "1.7997", "reported_uncertainty": "0.0003", "measured": "1.7998", "measured_uncertainty": "0.0003"}
                     for row in rows)  # fmt: skip
    inside = run("parts-back", "-", text=out.getvalue())
    assert inside.exit_code == 1
    assert f"BOTH OF YOU READ INSIDE; YOUR TOOL CANNOT PROVE IT ({len(rows)})" in inside.output
    assert flat(inside).count("you read 1.7998 in") == 1
    assert f"{len(rows)} where both of you read inside and your tool cannot prove it" in flat(inside)
    assert "BEFORE PAYING" in bad.output
    assert back("1.8010", "--format", "html").exit_code == 1
    assert json.loads(back("1.8010", "--json").output)["lines"][0]["answer"] == "not_to_order"
    assert run("parts-back", "-", text="what,measured\nCrankpin,1.8 volts\n").stderr.startswith("halfthou: ")


@pytest.mark.parametrize(("before", "after", "code", "says"), [
    ([floats(36)], [floats(12)], 0, "BETTER (1)"), ([floats(12)], [floats(36)], 1, "WORSE (1)"), ([floats(12)], [floats(12.3)], 0, "SAME (1)"),
    ([floats(36)], [floats(35)], 1, "SAME (1)"),  # beyond its limit still
    ([floats(12), read(9)], [floats(12)], 1, "NOT READ AGAIN (1)"),  # beyond, and not read again
    ([floats(12)], [floats(12), {"characteristic": "flywheel-hub-crack", "finding": "hairline from keyway"}], 4, "NOT READ BEFORE (1)"),
    ([{"characteristic": "flywheel-hub-crack", "finding": "hairline from keyway"}], [floats(12)], 4, "of these, against you"),
])  # fmt: skip
def test_before_and_after(tmp_path: Path, before: list[dict[str, Any]], after: list[dict[str, Any]], code: int, says: str) -> None:
    result = run("compare", saved(tmp_path / "b.json", *before), saved(tmp_path / "a.json", *after))
    assert (result.exit_code, says in result.output) == (code, True), result.output


def test_before_and_after_of_csv_sheets(tmp_path: Path) -> None:
    for name, value in (("b.csv", 36), ("a.csv", 12)):
        (tmp_path / name).write_text(f"characteristic,value,unit,standard_uncertainty\ncrankshaft-end-float,{value},thou,0.5\n")
    (tmp_path / "engine.json").write_text(json.dumps(ENGINE))
    assert run("compare", tmp_path / "b.csv", tmp_path / "a.csv", "--engine", tmp_path / "engine.json").exit_code == 0
    assert run("compare", tmp_path / "b.csv", tmp_path / "a.csv", *NAMED).exit_code == 0
    (tmp_path / "a.csv").write_text("characteristic,value\ncrankshaft-end-float,12\n")
    faulty = run("compare", tmp_path / "b.csv", tmp_path / "a.csv", *NAMED)
    assert faulty.exit_code == 2
    assert "after, line 2, value: a bare number has no unit, and crankshaft-end-float may be told in in, thou or mm" in faulty.stderr


def test_an_overlay_counts_for_papers(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text('[overlay]\nengine = "H"\ntitle = "My own book"\n\n[[limit]]\nid = "my-rod"\ncharacteristic = "rod-bearing-running-clearance"\n'
                   'unit = "in"\nfit = { low = 0.0020, high = 0.0035 }\nwear = { low = "none_on_file", high = 0.0051 }\n')  # fmt: skip
    assert "over 5.1 thou (yours)" in flat(run("limits-sheet", *NAMED, "--overlay", own))
    told = run("ready", saved(tmp_path / "s.json", read(6)), "--overlay", own)
    assert "5.1 thou (your own figure)" in flat(told)
    other = run("ready", saved(tmp_path / "k.json", read(6), engine={**ENGINE, "id": "K"}), "--overlay", own)
    assert "none of it counts" in other.stderr


# -- once is enough --------------------------------------------------------------------------------------------------


def test_the_same_work_is_told_once_with_what_is_another_beside() -> None:
    work = "Bore it true to the next size a piston can be had for: cleans up at 5.0122 in"
    made = [
        {"item": "oval", "text": "Oval.", "assembly": "Cylinder", "clear": f"{work}. It should then read about 0.5 thou."},
        {"item": "taper", "text": "Taper.", "assembly": "Cylinder", "clear": f"{work}. It should then read about 0.3 thou."},
        {"item": "wear", "text": "Wear.", "assembly": "Cylinder", "clear": work},
        *({"item": item, "text": item, "assembly": "Rod", "clear": "Read it again."} for item in "ab"),
    ]
    stops = [{"name": entry["item"], **entry} for entry in made]
    told = " ".join(" ".join(ready_page(Readiness.from_json({"stage": "first-start", "text": "x", "stops": stops, "not_looked_at": []}))).split())
    assert told.count("Bore it true") == 1
    assert "taper Taper. To clear it: as oval. It should then read about 0.3 thou." in told
    assert "wear Wear. To clear it: as oval. Rod" in told
    assert told.count("To clear it: Read it again.") == 2


def test_a_note_on_several_readings_is_told_once_under_a_number(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.csv"
    sheet.write_text("id,characteristic,value\na,flywheel-lateral-runout,12 thou\nb,flywheel-radial-runout,9 thou\n")
    told = flat(run("sheet", sheet, "--class", "slow-open-crank", "--dimension", "flywheel=29 in"))
    assert told.count("no instrument named") == 1
    assert told.count("note 1 below") == 2
    assert "NOTES ON SEVERAL READINGS" in told
    assert told.index("+/-0.41 thou: a, b") > told.index("note 1 below")
    one = tmp_path / "one.csv"
    one.write_text("id,characteristic,value\na,flywheel-lateral-runout,12 thou\n")
    assert "note: no instrument named" in flat(run("sheet", one, "--class", "slow-open-crank", "--dimension", "flywheel=29 in"))


def test_what_is_wrong_with_a_reading_is_told_once(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.csv"
    rows = ("x,rod-bearing-runing-clearance,3 thou", "y,exhaust-valve-lift,310 thou", "z,crankshaft-end-float,12 thou")
    sheet.write_text("\n".join(("id,characteristic,value", *rows, "")))
    told = flat(run("sheet", sheet, *NAMED)).casefold()
    assert told.count("no characteristic is called") == 1
    assert told.count("the limit scales with exhaust-valve-seat") == 1


def test_the_cautions_of_one_hazard_stand_together() -> None:
    told = run("sheet", DEMO).output
    hazards = [line.split(":")[0] for line in told.partition("CAUTIONS")[2].splitlines() if line.startswith("  ! ")]
    assert len(hazards) == len(set(hazards)) > 1


def test_millimetres_round_the_rim_are_not_called_inches() -> None:
    told = flat(run("judge", "igniter-timing-start", "150 mm", "--relative", "after", "--class", "slow-open-crank", "--dimension", "flywheel=29 in"))
    assert "150 mm on the rim" in told
    assert "the length round the rim was turned to degrees" in told
    assert "inches" not in told
