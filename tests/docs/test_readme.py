"""Every fenced block of README.md runs, and prints what README says it prints (``...`` stands for anything, the edition among it)."""

from __future__ import annotations

import json
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```(\w+)\n(.*?)^```$", README, flags=re.MULTILINE | re.DOTALL)
CONSOLE = [body for language, body in BLOCKS if language == "console"]
JSON = [body for language, body in BLOCKS if language == "json"]
PYTHON = [body for language, body in BLOCKS if language == "python"]


def steps(block: str) -> list[tuple[str, str]]:
    """(command, expected output) of each ``$`` line of a block."""
    found = re.split(r"^\$ (.*)$", block, flags=re.MULTILINE)
    return [(command, expected.strip("\n")) for command, expected in zip(found[1::2], found[2::2], strict=True)]


def matches(expected: str, printed: str) -> bool:
    pattern = r".*".join(re.escape(part) for part in re.split(r"\.\.\.\n?", expected))
    return re.search(r"\A" + pattern.replace(r"\n", r"\s*"), printed, flags=re.DOTALL) is not None


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("readme") / "sheet.json"
    path.write_text(JSON[0], encoding="utf-8")
    return path


def test_every_block_is_of_a_kind_that_is_run():
    assert {language for language, _ in BLOCKS} == {"console", "json", "python"}
    assert len(JSON) == 1
    assert len(PYTHON) == 2


@pytest.mark.parametrize(("command", "expected"), [s for block in CONSOLE for s in steps(block)], ids=lambda v: str(v)[:40])
def test_console_block(command: str, expected: str, sheet: Path, request: pytest.FixtureRequest):
    words = shlex.split(command)
    if words[0] == "make":
        makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
        assert re.search(rf"^{words[1]}:", makefile, flags=re.MULTILINE), f"the Makefile has no target {words[1]}"
        return
    if words[0] == "curl":
        assert matches(expected, fetched(words[1:], sheet, request.getfixturevalue("client"))), command
        return
    assert words[0] == "halfthou"
    run = subprocess.run([sys.executable, "-m", "halfthou", *words[1:]], capture_output=True, text=True, cwd=sheet.parent, check=False, timeout=60)
    assert run.returncode in (0, 1, 4), run.stderr
    assert matches(expected, run.stdout), run.stdout[:2000]


def fetched(words: list[str], sheet: Path, client) -> str:
    """What curl would print, asked of the same service in process."""
    url = next(w for w in words if w.startswith("http")).removeprefix("http://127.0.0.1:8070")
    if "--data-binary" not in words:
        return client.get(url).get_data(as_text=True)
    name, _, value = words[words.index("-H") + 1].partition(": ")
    return client.post(url, data=sheet.read_bytes(), headers={name: value}).get_data(as_text=True)


def test_json_block_is_a_sheet_the_service_takes(client):
    answer = client.post("/v1/verdicts", json=json.loads(JSON[0]))
    assert answer.status_code == 200, answer.get_data(as_text=True)
    assert {item["id"]: item["verdict"] for item in answer.get_json()["items"]} == {"rod": "usable", "hub": "within_fit", "spark": "stop"}


@pytest.mark.parametrize(("block", "printed"), list(zip(PYTHON, ("put it back", "1 thing stops you: spark"), strict=False)), ids=["verdict", "paper"])
def test_python_block_runs_and_prints(block: str, printed: str, sheet: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(sheet.parent)
    exec(compile(block, "README.md", "exec"), {})
    assert printed in capsys.readouterr().out


def test_links_lead_somewhere():
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert target.startswith("http") or (ROOT / target).exists(), target
