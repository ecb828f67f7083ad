"""The command line: what it prints, its exit codes, what it sends."""

from __future__ import annotations

import json
import sys
import types
from pathlib import Path
from typing import Any

import pytest
import responses
from click.testing import CliRunner, Result
from tests.sdk.stub_service import CLEARANCE, Stub

from halfthou.cli import COMMANDS, cli
from halfthou.cli.sheet_page import page
from halfthou.cli.show import WIDTH, clean, limit_lines
from halfthou.models import LimitAnswer, SheetAnswer


def run(*words: str, text: str | bytes | None = None) -> Result:
    result = CliRunner().invoke(cli, list(words), input=text)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def sheet_file(tmp_path: Path, *verdicts: str) -> str:
    path = tmp_path / "sheet.json"
    readings = [{"id": f"r{n}", "characteristic": CLEARANCE, "note": word} for n, word in enumerate(verdicts, 1)]
    path.write_text(json.dumps({"engine": {"id": "H"}, "readings": readings}))
    return str(path)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help(name: str) -> None:
    result = run(name, "--help")
    assert result.exit_code == 0
    assert "Usage:" in result.output


def test_help_lists_every_command_and_the_exit_codes() -> None:
    output = run("--help").output
    assert all(name in output for name in COMMANDS)
    assert "4 a stop" in output
    assert run("--version").output.startswith("halfthou ")
    assert run("nonsense").exit_code == 2


def test_limit_tells_both_intervals_who_says_so_and_who_disagrees(installed: Stub) -> None:
    result = run(
        "limit", CLEARANCE, "--class", "slow-open-crank", "--size", "2-1/4 in", "--dimension", "crankpin-length=2 in"
    )
    assert result.exit_code == 0
    assert "0.00225 to 0.003875 in" in result.output
    assert "up to 0.00675 in; low end as the new fit" in result.output
    assert "high end our judgement" in result.output
    assert "WHO DISAGREES" in result.output
    assert "NOT COMPARABLE" in result.output
    assert "Block the flywheel." in result.output
    assert ("size", "2-1/4 in") in installed.seen[-1][2]
    assert ("dimension.crankpin-length", "2 in") in installed.seen[-1][2]
    assert max(map(len, result.output.splitlines())) <= WIDTH


def test_limit_that_nobody_publishes_is_exit_1(installed: Stub) -> None:
    result = run("limit", "oiler-drip-rate")
    assert (result.exit_code, "Nobody publishes this." in result.output) == (1, True)


def test_limit_as_json_keeps_digits(installed: Stub) -> None:
    assert '"value": 0.003875' in run("limit", CLEARANCE, "--json").output


def test_judge_prints_the_line_of_the_service(installed: Stub) -> None:
    result = run("judge", CLEARANCE, "3.8", "thou", "--size", "2-1/4 in", "--class", "slow-open-crank")
    assert result.exit_code == 0
    assert result.output.startswith("Rod 4.5 thou by strip: put it back, worn.\n")
    assert "note: measured with a plastic strip" in result.output
    assert json.loads(installed.seen[-1][4])["readings"][0]["value"] == {"value": 3.8, "unit": "thou"}


def test_judge_as_json_carries_limit_and_edition(installed: Stub) -> None:
    told = json.loads(run("judge", CLEARANCE, "3.8 thou", "--json").output)
    assert (told["verdict"], told["edition"], told["limit"]["limit_id"]) == (
        "usable",
        "0.1.0+test",
        "rod-clearance-poured",
    )


def test_judge_exit_codes(installed: Stub) -> None:
    assert run("judge", "flywheel-hub-crack", "--finding", "hairline from keyway").exit_code == 4
    assert run("judge", CLEARANCE, "--goes", "4 thou", "--does-not-go", "5 thou").exit_code == 0
    assert run("judge", CLEARANCE, "--repeat", "4 thou", "--repeat", "5 thou").exit_code == 0
    assert run("judge", CLEARANCE).exit_code == 2
    assert run("judge", CLEARANCE, "3.8").exit_code == 2
    assert run("judge", CLEARANCE, "3,8 thou").exit_code == 2
    assert run("judge", CLEARANCE, "3 thou", "--dimension", "bore").exit_code == 2
    assert run("judge", CLEARANCE, "3 thou", "--confidence", "2").exit_code == 2
    unknown = run("judge", "nonsense", "3 thou", "--size", "2 in")
    assert unknown.exit_code == 2
    assert f"near it: {CLEARANCE}" in unknown.stderr


@pytest.mark.parametrize(
    ("verdicts", "code"),
    [
        (("within_fit", "usable", "typical"), 0), (("within_fit", "undecided"), 1), (("outside_fit",), 1), (("beyond_limit",), 1),
        (("unusual",), 1), (("not_judged",), 1), (("a_word_of_a_later_release",), 1), ((), 1), (("beyond_limit", "stop", "usable"), 4),
    ],
)  # fmt: skip
def test_sheet_exit_codes(installed: Stub, tmp_path: Path, verdicts: tuple[str, ...], code: int) -> None:
    assert run("sheet", sheet_file(tmp_path, *verdicts)).exit_code == code


def test_what_nobody_looked_at_is_exit_1(installed: Stub, tmp_path: Path) -> None:
    installed.missing = [{"characteristic": "spark-at-start", "name": "Spark at start", "component": "ignition", "start_critical": True,
                          "how_to_measure": "Rim mark."}]  # fmt: skip
    result = run("sheet", sheet_file(tmp_path, "within_fit"))
    assert result.exit_code == 1
    assert "NOBODY LOOKED AT (1)" in result.output
    assert "Rim mark." in result.output


def test_a_sheet_is_told_stops_first(installed: Stub, tmp_path: Path) -> None:
    output = run(
        "sheet",
        sheet_file(tmp_path, "within_fit", "not_judged", "undecided", "stop", "beyond_limit", "usable", "unusual"),
    ).output
    titles = ["STOP (1)", "MAY GO BACK (2)", "MAY NOT GO BACK AS IT IS (1)", "CANNOT BE TOLD WITH THAT TOOL (1)", "FOR COMPARISON ONLY (1)",
              "NOT JUDGED, AND WHY (1)", "THESE DO NOT AGREE", "CAUTIONS"]  # fmt: skip
    places = [output.index(title) for title in titles]
    assert places == sorted(places)
    assert "[worn] Rod 4.5 thou" in output
    assert "at most 4 in 100" in " ".join(output.split())
    assert max(map(len, output.splitlines())) <= WIDTH


def test_csv_with_an_engine_file(installed: Stub, tmp_path: Path) -> None:
    engine = tmp_path / "engine.json"
    engine.write_text(
        '{"id": "H", "engine_class": "slow-open-crank", "features": ["splash"], "dimensions": {"bore": {"value": 5.250, "unit": "in"}}}'
    )
    csv = tmp_path / "s.csv"
    csv.write_text("id,characteristic,value,unit,note\nr1,x,3,thou,usable\n")
    assert run("sheet", str(csv), "--engine", str(engine), "--use", "show").exit_code == 0
    body = json.loads(installed.seen[-1][4])
    bore = {"value": 5.25, "unit": "in"}
    told = {"id": "H", "engine_class": "slow-open-crank", "use": "show", "features": ["splash"], "dimensions": {"bore": bore}}
    assert (body["engine"], body["csv"]) == (told, csv.read_text())
    assert b'"value":5.250,' in installed.seen[-1][4]


def test_standard_input(installed: Stub, tmp_path: Path) -> None:
    assert run("sheet", "-", text=Path(sheet_file(tmp_path, "usable")).read_text()).exit_code == 0
    assert run("sheet", "-", text="id,note\nr1,stop\n").exit_code == 4
    assert run("sheet", "-", text="").exit_code == 2
    assert run("sheet", "-", text=b"\xff\xfe").exit_code == 2


def test_sheets_and_engines_that_cannot_be_read_are_exit_2(installed: Stub, tmp_path: Path) -> None:
    assert run("sheet", str(tmp_path / "none.json")).exit_code == 2
    bad = tmp_path / "bad.json"
    bad.write_text("[]")
    assert run("sheet", "-", "--engine", str(bad), text="a\n1\n").exit_code == 2
    assert "not both" not in run("sheet", sheet_file(tmp_path, "usable"), "--class", "x").output
    assert run("sheet", sheet_file(tmp_path, "usable"), "--class", "x").exit_code == 2


def test_search_and_lists(installed: Stub) -> None:
    found = run("search", "how", "loose")
    assert (found.exit_code, CLEARANCE in found.output) == (0, True)
    assert run("search", "xyz").exit_code == 1
    assert json.loads(run("search", "loose", "--json").output)["items"][0]["id"] == CLEARANCE
    assert "Plastic strip" in run("characteristic", CLEARANCE).output
    assert CLEARANCE in run("characteristic").output
    assert "Cannot see a hollow" in run("instruments").output
    assert "No heat on a tank, ever." in run("cautions").output
    for name in ("characteristic", "instruments", "cautions"):
        assert "items" in json.loads(run(name, "--json").output)


@responses.activate
def test_a_named_service_is_used_and_its_absence_is_exit_3(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("time.sleep", lambda _: None)
    monkeypatch.setenv("HALFTHOU_URL", "http://shop.local:8070")
    result = run("cautions")
    assert result.exit_code == 3
    assert "is a service running there?" in result.stderr
    assert run("cautions", "--url", "shop.local").exit_code == 2
    responses.get("http://other.local/v1/cautions", status=500)
    assert run("cautions", "--url", "http://other.local").exit_code == 3
    responses.get("http://other.local/v1/instruments", body="<", content_type="application/json")
    assert run("instruments", "--url", "http://other.local").exit_code == 3


@responses.activate
def test_errors_as_json_go_to_standard_error() -> None:
    responses.get(
        "http://x/v1/limits",
        status=422,
        json={"title": "T", "detail": "D", "status": 422},
        content_type="application/problem+json",
    )
    result = run("limit", "x", "--url", "http://x", "--json")
    assert (result.exit_code, result.stdout) == (2, "")
    assert json.loads(result.stderr)["detail"] == "D"


def test_without_the_service_every_command_that_needs_it_is_exit_3(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("HALFTHOU_URL", raising=False)
    monkeypatch.setitem(sys.modules, "halfthou_service", None)
    monkeypatch.setitem(sys.modules, "halfthou_service.http", None)
    for words in (["cautions"], ["demo"], ["serve"], ["judge", "x", "3 V"]):
        result = run(*words)
        assert result.exit_code == 3, words
        assert "halfthou[service]" in result.stderr


def test_demo_says_that_the_engine_is_invented(installed: Stub, monkeypatch: pytest.MonkeyPatch) -> None:
    sheet: dict[str, Any] = {
        "engine": {},
        "readings": [{"id": "r1", "characteristic": "flywheel-hub-crack", "finding": "x"}],
    }
    monkeypatch.setattr("halfthou.cli.demo.demo_sheet", lambda: sheet)
    result = run("demo")
    assert result.exit_code == 0
    assert "This engine is invented" in result.output
    assert "STOP (1)" in result.output
    assert json.loads(run("demo", "--json").output)["overall"]["stops"] == 1


def test_serve_hands_the_application_to_gunicorn(monkeypatch: pytest.MonkeyPatch) -> None:
    base = pytest.importorskip("gunicorn.app.base")
    package = types.ModuleType("halfthou_service")
    package.__path__ = []
    http = types.ModuleType("halfthou_service.http")
    http.create_app = lambda settings: "the application"  # type: ignore[attr-defined]
    http.Settings = types.SimpleNamespace(from_environment=lambda: "settings")  # type: ignore[attr-defined]
    http.SettingsError, http.CannotStart = ValueError, RuntimeError  # type: ignore[attr-defined]
    for module in (package, http):
        module.__spec__ = __import__("importlib.machinery").machinery.ModuleSpec(module.__name__, None)
        monkeypatch.setitem(sys.modules, module.__name__, module)
    started: list[Any] = []
    monkeypatch.setattr(base.BaseApplication, "run", lambda self: started.append(self))
    result = run("serve", "--host", "0.0.0.0", "--port", "9000", "--workers", "2")
    assert result.exit_code == 0
    assert "reached from other machines" in result.stderr
    config = started[0].cfg
    assert (config.bind, config.workers, config.worker_class_str) == (["0.0.0.0:9000"], 2, "gthread")
    assert started[0].load() == "the application"
    assert "reached from other machines" not in run("serve").stderr


def test_a_safety_limit_is_told_as_where_it_warns_and_stops() -> None:
    speeds = {
        "fit": {"low": "unbounded", "high": {"value": 4500, "unit": "ft/min"}},
        "wear": {"high": {"value": 5000, "unit": "ft/min"}},
    }
    told = "\n".join(limit_lines(LimitAnswer.from_json({"kind": "safety", "limit_id": "x", **speeds})))
    assert "take care  over 4500 ft/min" in told
    assert "stop       over 5000 ft/min" in told
    assert "new fit" not in told


def test_no_answer_can_steer_the_terminal() -> None:
    answer = SheetAnswer.from_json(
        {"items": [{"id": "\x1b[2J", "verdict": "stop", "text": "a\x1b]0;x\x07b\r\n\u202eend"}], "edition": "\x9b1m"}
    )
    told = "\n".join(page(answer, "t\x1b"))
    assert all(letter.isprintable() or letter == "\n" for letter in told)
    assert clean("thou \u00b5m \u03a9") == "thou \u00b5m \u03a9"
