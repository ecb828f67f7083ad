"""Guesses, overlays and editions from the SDK and the command line, over the real service in process."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from halfthou import Client, NotFound, Refused, SheetError, UsageError
from halfthou.cli import cli

ROD = "rod-bearing-running-clearance"
OWN = """\
[overlay]
engine = "H"
title = "My own book"

[[limit]]
id = "my-rod"
characteristic = "rod-bearing-running-clearance"
unit = "in"
fit = { low = 0.0020, high = 0.0035 }
wear = { low = "none_on_file", high = 0.0051 }
"""
PIN = ("--class", "slow-open-crank", "--size", "2-1/4 in")


@pytest.fixture(autouse=True)
def no_service_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("HALFTHOU_URL", raising=False)
    monkeypatch.delenv("HALFTHOU_OVERLAY", raising=False)


@pytest.fixture
def own(tmp_path: Path) -> Path:
    path = tmp_path / "own.toml"
    path.write_text(OWN)
    return path


@pytest.fixture(scope="module")
def shop():
    with Client.embedded() as found:
        yield found


def run(*words: object) -> Result:
    result = CliRunner().invoke(cli, [str(w) for w in words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


# -- guesses -------------------------------------------------------------------------------------------------------


def test_a_guess_from_horsepower_and_stroke(shop: Client) -> None:
    found = shop.typical("5 hp", engine_class="slow-open-crank", stroke="8 in")
    assert found.text.startswith("A guess to start from")
    (pin,) = [g for g in found.items if g.dimension == "crankpin"]
    assert (str(pin), pin.grade, [str(p) for p in pin.for_power]) == ("1.5 to 2.125 in", "from-memory", ["4 hp", "6.5 hp"])
    with pytest.raises(Refused):
        shop.typical("50 hp")


def test_guess_on_the_command_line_marks_each_line() -> None:
    result = run("guess", "5", "hp")
    assert result.exit_code == 0
    assert "A guess to start from" in result.output
    assert "1.5 to 2.125 in  (guess; 4 to 6.5 hp; from memory, unchecked)" in result.output
    assert json.loads(run("guess", "5 hp", "--json").output)["guess"] is True


@pytest.mark.parametrize(("words", "code"), [(("50 hp",), 2), (("5",), 2), (("5 hp", "--class", "medium-enclosed-crank"), 1)])
def test_guess_exit_codes(words: tuple[str, ...], code: int) -> None:
    assert run("guess", *words).exit_code == code


# -- overlays ------------------------------------------------------------------------------------------------------


def test_an_overlay_counts_for_its_engine_and_every_answer_shows_it(own: Path) -> None:
    with Client.embedded(overlay=own) as shop:
        assert shop.overlay is not None
        assert (shop.overlay.engine, shop.overlay.title, shop.overlay.figures) == ("H", "My own book", 1)
        query = {"engine_class": "slow-open-crank", "size": "2-1/4 in"}
        mine = shop.limit(ROD, engine={"id": "H"}, **query)
        theirs = shop.limit(ROD, engine={"id": "K"}, **query)
        assert (mine.limit_id, mine.grade, mine.standing["wear_high"], "your own figure" in mine.text) == ("my-rod", "owner", "owner", True)
        assert theirs.limit_id != "my-rod"
        assert shop.overlay.digest in mine.edition
        assert shop.overlay.digest in theirs.edition
        verdict = shop.judge(ROD, "6 thou", engine={"id": "H"}, standard_uncertainty="0.1 thou", **query)
        assert (verdict.verdict, "5.1 thou (your own figure)" in verdict.text) == ("beyond_limit", True)
        assert shop.overlay.digest in verdict.edition


def test_without_an_overlay_there_is_none(shop: Client) -> None:
    assert shop.overlay is None


def test_an_overlay_that_cannot_be_used_is_a_usage_error(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=r"nope\.toml cannot be read"):
        Client.embedded(overlay=tmp_path / "nope.toml")
    bad = tmp_path / "bad.toml"
    bad.write_text(OWN.replace('"in"', '"V"'))
    with pytest.raises(UsageError, match=r"bad\.toml:5: my-rod: V is voltage"):
        Client.embedded(overlay=bad)


def test_an_application_of_ones_own_takes_no_overlay(own: Path) -> None:
    with pytest.raises(UsageError):
        Client.embedded(lambda environ, start: [], overlay=own)


def test_check_takes_a_path_or_the_text(shop: Client, own: Path) -> None:
    for given in (own, str(own), OWN):
        found = shop.check_overlay(given)
        assert (found.ok, found.engine, [c.id for c in found.changes], found.faults) == (True, "H", ["my-rod"], ())
    faulty = shop.check_overlay(OWN.replace('"in"', '"V"'))
    assert (faulty.ok, [(f.line, f.id) for f in faulty.faults]) == (False, [(5, "my-rod")])
    with pytest.raises(SheetError):
        shop.check_overlay("no/such/file.toml")


def test_the_template_is_bound_to_the_engine(shop: Client) -> None:
    assert 'engine = "H"' in shop.overlay_template("H")
    with pytest.raises(UsageError):
        shop.overlay_template(" ")
    with pytest.raises(Refused):
        shop.overlay_template("a\nb")


def test_overlay_new_writes_a_file_and_never_over_one(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    assert run("overlay", "new", "H", path).exit_code == 0
    text = path.read_text()
    assert run("overlay", "new", "K", path).exit_code == 2
    assert path.read_text() == text
    assert run("overlay", "new", "H").output == text
    assert run("overlay", "new", "H", tmp_path / "no" / "folder.toml").exit_code == 2
    assert run("overlay", "check", path).output.strip() == "No fault, and no figure yet: nothing changes for H."


def test_overlay_check_tells_file_line_and_reason_or_what_changes(own: Path, tmp_path: Path) -> None:
    good = run("overlay", "check", own)
    assert (good.exit_code, "my-rod, rod-bearing-running-clearance: counts" in good.output) == (0, True)
    assert "ours: rod-clearance-poured:" in good.output
    bad = tmp_path / "bad.toml"
    bad.write_text(OWN.replace("0.0051", "0.0031"))
    found = run("overlay", "check", bad, "--json")
    assert (found.exit_code, json.loads(found.output)["items"][0]["line"]) == (1, 5)
    assert "my-rod: fit_high over wear_high" in " ".join(run("overlay", "check", bad).output.split())


def test_limit_and_judge_take_an_overlay(own: Path) -> None:
    limit = run("limit", ROD, *PIN, "--overlay", own)
    assert (limit.exit_code, "limit my-rod" in limit.output, ".own-" in limit.output) == (0, True, True)
    assert "high end your own figure" in limit.output
    judged = run("judge", ROD, "6 thou", *PIN, "--standard-uncertainty", "0.1 thou", "--overlay", own)
    assert (judged.exit_code, "5.1 thou (your own figure)" in " ".join(judged.output.split())) == (1, True)
    assert "my-rod" not in run("limit", ROD, *PIN).output


def sheet(tmp_path: Path, **engine: object) -> Path:
    body = {
        "engine": {"engine_class": "slow-open-crank", "dimensions": {"crankpin": {"value": 2.25, "unit": "in"}}} | engine,
        "readings": [{"id": "r1", "characteristic": ROD, "value": {"value": 6, "unit": "thou"},
                      "standard_uncertainty": {"value": 0.1, "unit": "thou"}}],
    }  # fmt: skip
    path = tmp_path / "sheet.json"
    path.write_text(json.dumps(body))
    return path


@pytest.mark.parametrize(("engine", "counts"), [({}, True), ({"id": "H"}, True), ({"id": "K"}, False)])
def test_a_sheet_takes_an_overlay_for_its_own_engine_and_says_where_it_is_for_another(own: Path, tmp_path: Path, engine: dict, counts: bool) -> None:
    result = run("sheet", sheet(tmp_path, **engine), "--overlay", own, "--json")
    assert ("my-rod" in json.loads(result.stdout)["limits"]) is counts
    assert ("none of it counts" in result.stderr) is not counts


def test_a_csv_sheet_takes_an_overlay(own: Path, tmp_path: Path) -> None:
    path = tmp_path / "sheet.csv"
    path.write_text(f"characteristic,value,standard_uncertainty\n{ROD},6 thou,0.1 thou\n")
    result = run("sheet", path, "--class", "slow-open-crank", "--dimension", "crankpin=2-1/4 in", "--overlay", own, "--json")
    assert "my-rod" in json.loads(result.stdout)["limits"]


def test_a_running_service_has_its_own_overlay(own: Path) -> None:
    result = run("limit", ROD, "--url", "http://127.0.0.1:9", "--overlay", own)
    assert (result.exit_code, "HALFTHOU_OVERLAY" in result.stderr) == (2, True)


def test_a_caution_of_one_reading_is_told_in_full() -> None:
    output = run("judge", ROD, "9 thou", *PIN).output
    assert "! Kickback: " in output


# -- editions ------------------------------------------------------------------------------------------------------


def test_editions_are_listed_and_compared(shop: Client) -> None:
    current, *released = shop.editions()
    assert (current.current, [e.current for e in released]) == (True, [False] * len(released))
    assert shop.compare_editions("current", current.id) == ()
    with pytest.raises(NotFound):
        shop.compare_editions("9.9.9")


def test_editions_on_the_command_line(own: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    result = run("editions")
    assert (result.exit_code, "answers now" in result.output) == (0, True)
    assert run("editions", "diff", "current", "current").output.strip() == "Nothing differs between these two."
    assert json.loads(run("editions", "diff", "current", "--json").output) == {"items": []}
    assert run("editions", "diff", "9.9.9", "current").exit_code == 2
    assert json.loads(run("editions", "--json").output)["items"][0]["current"] is True
    monkeypatch.setenv("HALFTHOU_OVERLAY", str(own))
    assert "with your own figures: My own book, 1 for engine H" in run("editions").output


def test_a_change_that_a_verdict_could_turn_on_is_told_before_mere_words() -> None:
    from halfthou import EditionChange
    from halfthou.cli.editions import _page

    lines = _page((EditionChange("limit", "a", "reasoning", "x", "y", False), EditionChange("limit", "b", "wear", "0.003", "0.0035", True)))
    assert lines == ["1 that a verdict could turn on, 1 other.", "  ! limit b wear: 0.003 -> 0.0035", "  . limit a reasoning: x -> y"]
