"""The shop scripts of examples/: what they print, write and end with, over the real service in process."""

from __future__ import annotations

import ast
import csv
import io
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Callable
from decimal import Decimal
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
import responses

from halfthou import LimitAnswer, SheetAnswer, Verdict

FOLDER = Path(__file__).parents[2] / "examples"
SCRIPTS = sorted(FOLDER.glob("*.py"))
ENGINE = str(FOLDER / "engine.json")
ROD = "rod-bearing-running-clearance"


@pytest.fixture(autouse=True)
def no_service_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("HALFTHOU_URL", raising=False)
    monkeypatch.delenv("HALFTHOU_OVERLAY", raising=False)


def script(name: str) -> ModuleType:
    spec = spec_from_file_location(name, FOLDER / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def verdict(word: str, kind: str = "limit", **more: Any) -> Verdict:
    fit = {"low": "unbounded", "high": {"value": 1, "unit": "in"}}
    limit = LimitAnswer.from_json({"characteristic": "x", "limit_id": "l", "kind": kind, "fit": fit})
    return Verdict.from_json({"id": "r1", "verdict": word, "limit_id": "l", **more}, {"l": limit} if kind else {})


# -- what all of them promise ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda p: p.stem)
def test_each_is_small_and_needs_the_standard_library_and_halfthou_alone(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) < 80
    for node in ast.walk(ast.parse(text)):
        names = [a.name for a in node.names] if isinstance(node, ast.Import) else [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        assert all(name.partition(".")[0] in {*sys.stdlib_module_names, "halfthou"} for name in names)


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda p: p.stem)
def test_without_arguments_each_says_how_to_use_it(path: Path) -> None:
    run = subprocess.run([sys.executable, str(path)], capture_output=True, text=True, check=False, timeout=60)
    assert (run.returncode, run.stdout) == (2, "")
    assert f"python {path.name} engine.json" in run.stderr


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda p: p.stem)
@pytest.mark.parametrize("engine", ["no-such-file.json", "broken.json"])
def test_a_file_that_cannot_be_read_is_told_in_one_line(path: Path, engine: str, tmp_path: Path) -> None:
    (tmp_path / "broken.json").write_text("{", encoding="utf-8")
    arguments = {"bench_logger": ["log.csv"], "go_no_go_light": [ROD, "3.8 thou"], "spreadsheet_export": ["in.csv", "out.csv"]}[path.stem]
    run = subprocess.run([sys.executable, str(path), engine, *arguments], input="", capture_output=True, text=True, check=False, timeout=60,
                         cwd=tmp_path)  # fmt: skip
    assert (run.returncode, run.stdout) == (2, "")
    assert len(run.stderr.strip().splitlines()) == 1
    assert "Traceback" not in run.stderr


def test_the_page_tells_of_each_and_its_commands_print_what_it_says(tmp_path: Path) -> None:
    page = (FOLDER / "README.md").read_text(encoding="utf-8")
    assert not [path.name for path in SCRIPTS if f"`{path.name}`" not in page]
    for path in FOLDER.iterdir():
        if path.is_file():
            shutil.copy(path, tmp_path)
    (block,) = re.findall(r"```console\n(.*?)```", page, re.DOTALL)
    parts = re.split(r"^\$ (.*)$", block, flags=re.MULTILINE)[1:]
    for command, expected in zip(parts[::2], parts[1::2], strict=True):
        typed, _, run = command.rpartition(" | ")
        words = shlex.split(run)
        assert words[0] == "python"
        given = shlex.split(typed)[1] if typed else ""
        done = subprocess.run([sys.executable, *words[1:]], cwd=tmp_path, input=given, capture_output=True, text=True, check=False, timeout=60)
        start = expected.strip().removesuffix("...").rstrip()
        assert done.stdout.startswith(start), (command, done.stdout, done.stderr)


def test_sample_data_is_invented_and_says_so() -> None:
    assert '"invented-' in Path(ENGINE).read_text()
    rows = logged(FOLDER / "readings.csv")
    assert rows
    assert {row["note"] for row in rows} == {"invented"}
    assert "are\ninvented" in (FOLDER / "README.md").read_text()


@pytest.mark.parametrize("name", ["bench_logger", "spreadsheet_export"])
@pytest.mark.parametrize("cell", ["=1+1", "+cmd", "-cmd", "@sum", "\t=1", " =1", "\uff1d1", "\n=1"])
def test_no_cell_is_run_by_a_spreadsheet(name: str, cell: str) -> None:
    assert script(name).plain(cell) == f"'{cell}"
    assert script(name).plain("STOP. Do not run it.") == "STOP. Do not run it."


# -- the bench logger ------------------------------------------------------------------------------------------------


Typed = Callable[..., int]


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Typed:
    def run(*lines: str, log: Path = tmp_path / "log.csv") -> int:
        monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
        code: int = script("bench_logger").main(ENGINE, str(log))
        return code

    return run


def logged(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"), newline="")))


def test_readings_are_logged_with_time_verdict_and_edition(typed: Typed, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert typed(f"{ROD} 3.8 thou by plastic-gauge-strip", "", f"{ROD} 9 thou") == 0
    rows = logged(tmp_path / "log.csv")
    assert [(row["reading"], row["instrument"], row["verdict"]) for row in rows] == [("3.8 thou", "plastic-gauge-strip", "usable"),
                                                                                    ("9 thou", "", "beyond_limit")]  # fmt: skip
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d", row["time"]) for row in rows)
    assert all(row["engine"] == "invented-example-engine" and row["edition"] for row in rows)
    assert "do not put it back" in capsys.readouterr().out


def test_a_line_that_cannot_be_read_is_told_and_not_logged(typed: Typed, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert typed("nonsense 3 thou", f"{ROD} 3,8 thou", "hello", f"{ROD} 3.8 thou") == 1
    assert [row["reading"] for row in logged(tmp_path / "log.csv")] == ["3.8 thou"]
    assert capsys.readouterr().err.count("not logged:") == 3


def test_an_angle_without_its_side_of_the_dead_centre_is_not_logged(typed: Typed, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert typed("igniter-timing-start 0.3 in", "igniter-timing-start 4 deg by lamp-and-rim-tape") == 1
    assert not (tmp_path / "log.csv").exists()
    assert capsys.readouterr().err.count("say before or after the dead centre") == 2
    # A spark before the dead centre at starting breaks the rule; 8 degrees after it holds it.
    assert typed("igniter-timing-start 0.3 in before", "igniter-timing-start 8 deg after by lamp-and-rim-tape") == 0
    assert [(row["reading"], row["verdict"]) for row in logged(tmp_path / "log.csv")] == [("0.3 in before", "stop"), ("8 deg after", "within_fit")]


def test_the_log_only_ever_grows_and_another_file_is_left_alone(typed: Typed, tmp_path: Path) -> None:
    typed(f"{ROD} 3.8 thou")
    before = (tmp_path / "log.csv").read_bytes()
    typed(f"{ROD} 4 thou")
    after = (tmp_path / "log.csv").read_bytes()
    assert after.startswith(before)
    assert after.count(b"time,engine") == 1
    other = tmp_path / "shopping.csv"
    other.write_text("milk,eggs\n")
    assert typed(f"{ROD} 3.8 thou", log=other) == 1
    assert other.read_text() == "milk,eggs\n"


# -- the go/no-go light ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("word", "kind", "shown"),
    [
        ("within_fit", "limit", "GREEN"), ("usable", "limit", "GREEN"), ("beyond_limit", "limit", "RED"), ("outside_fit", "limit", "RED"),
        ("stop", "limit", "RED"), ("stop", "safety", "RED"), ("stop", "", "RED"), ("undecided", "limit", "AMBER"), ("not_judged", "", "AMBER"),
        ("typical", "guide", "AMBER"), ("unusual", "guide", "AMBER"), ("within_fit", "safety", "AMBER"), ("usable", "safety", "AMBER"),
        ("within_fit", "guide", "AMBER"), ("within_fit", "", "AMBER"), ("a_word_of_a_later_release", "limit", "AMBER"),
    ],
)  # fmt: skip
def test_a_light_is_green_only_where_a_limit_was_met_and_no_safety_rule_is_asked(word: str, kind: str, shown: str) -> None:
    light = script("go_no_go_light").light(verdict(word, kind))
    assert light[0] == shown
    assert {"GREEN": 0, "AMBER": 1, "RED": 4}[shown] == light[2]


@pytest.mark.parametrize(
    ("characteristic", "reading", "tool", "code", "starts"),
    [
        (ROD, "3.8 thou", "plastic-gauge-strip", 0, "GREEN  may go back. Connecting-rod bearing running clearance 3.8 thou"),
        (ROD, "6.7 thou", "plastic-gauge-strip", 1, "AMBER  look again. Connecting-rod"),
        (ROD, "9 thou", "plastic-gauge-strip", 4, "RED  not as it is. Connecting-rod"),
        ("flywheel-rim-speed", "3000 ft/min", None, 1, "AMBER  look again. Rule for flywheel rim speed"),
        ("flywheel-rim-speed", "6000 ft/min", None, 4, "RED  not as it is. STOP."),
    ],
)
def test_the_word_stands_with_its_reason(
    characteristic: str, reading: str, tool: str | None, code: int, starts: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert script("go_no_go_light").main(ENGINE, characteristic, reading, tool) == code
    out = capsys.readouterr().out
    assert out.startswith(starts)
    if characteristic == "flywheel-rim-speed":
        assert "GREEN" not in out
        assert "%" not in out
        assert "! bursting flywheel:" in out


def test_no_answer_is_no_light(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    main = script("go_no_go_light").main
    assert main(ENGINE, "nonsense", "3 thou") == 2
    assert main(ENGINE, ROD, "3.8") == 2
    assert main(str(tmp_path / "none.json"), ROD, "3.8 thou") == 2
    monkeypatch.setattr("time.sleep", lambda _: None)
    monkeypatch.setenv("HALFTHOU_URL", "http://shop.local:8070")
    with responses.RequestsMock() as service:
        service.post("http://shop.local:8070/v1/verdicts", status=500)
        assert main(ENGINE, ROD, "3.8 thou") == 3
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.count("NO LIGHT") == 4


# -- the spreadsheet export ------------------------------------------------------------------------------------------


def test_the_export_opens_with_stops_first(tmp_path: Path) -> None:
    out = tmp_path / "judged.csv"
    assert script("spreadsheet_export").main(ENGINE, str(FOLDER / "readings.csv"), str(out)) == 4
    raw = out.read_bytes()
    assert raw.startswith(b"\xef\xbb\xbf")
    *rows, last = csv.DictReader(io.StringIO(raw.decode("utf-8-sig"), newline=""))
    assert [(row["id"], row["verdict"]) for row in rows] == [("r4", "stop"), ("r1", "usable"), ("r2", "beyond_limit"), ("r3", "within_fit")]
    assert rows[1]["worn out"].startswith("up to 0.00675 in")
    assert rows[1]["grade"] == "derived"
    assert "1 thing stops it" in last["says"]


def test_an_export_never_writes_over_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "mine.csv"
    out.write_text("mine")
    main = script("spreadsheet_export").main
    assert main(ENGINE, str(FOLDER / "readings.csv"), str(out)) == 2
    assert out.read_text() == "mine"
    assert main(ENGINE, str(tmp_path / "none.csv"), str(tmp_path / "new.csv")) == 2
    assert not (tmp_path / "new.csv").exists()
    assert capsys.readouterr().err.count("nothing written:") == 2


def test_what_a_sheet_says_is_neutralised_in_every_cell() -> None:
    answer = SheetAnswer.from_json({"edition": "@e", "overall": {"text": "=all"}, "items": [
        {"id": "=1+1", "verdict": "usable", "text": "+SUM(A1)", "characteristic": "@x", "assumed": ["-y"],
         "value": {"value": Decimal("-0.5"), "unit": "in"}}]})  # fmt: skip
    heading, row, last = script("spreadsheet_export").rows(answer)
    cells = dict(zip(heading, row, strict=True))
    assert (cells["id"], cells["says"], cells["characteristic"], cells["assumed"], cells["edition"]) == ("'=1+1", "'+SUM(A1)", "'@x", "'-y", "'@e")
    assert cells["value"] == "-0.5"
    assert last[6] == "'=all"
