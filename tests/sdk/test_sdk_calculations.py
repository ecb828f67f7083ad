"""Calculations through the client and the command line, against the real service in this process."""

from __future__ import annotations

import json
from collections.abc import Iterator
from decimal import Decimal

import pytest
from click.testing import CliRunner, Result
from flask import Flask

from halfthou import Client, NotFound, Quantity, QuantityError, Refused, UsageError
from halfthou.cli import cli
from halfthou.cli.show import WIDTH
from halfthou_service.calculations import CALCULATIONS

STROKE = {"stroke": "6 in", "speed": "450 rpm"}
SHIM = {"pack_now": "0.030 in", "clearance_now": "7 thou", "least_clearance": "2 thou", "most_clearance": "4 thou"}


@pytest.fixture
def shop(app: Flask) -> Iterator[Client]:
    with Client.embedded(app) as client:
        yield client


def run(*words: str) -> Result:
    result = CliRunner().invoke(cli, ["calc", *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def test_a_calculation_in_one_line(shop: Client) -> None:
    answer = shop.calculate("piston-speed", stroke="6 in", speed=(450, "rpm"))
    assert answer["mean_piston_speed"] == Quantity(Decimal(450), "ft/min")
    assert answer.number("mean_piston_speed") == 450
    assert [output.name for output in answer] == ["mean_piston_speed", "speed"]
    assert answer.edition == shop.edition
    assert "C027" in {caution.id for caution in answer.cautions}
    with pytest.raises(KeyError):
        answer["bore"]


def test_doubt_goes_in_and_comes_out(shop: Client) -> None:
    answer = shop.calculate("piston-speed", STROKE, standard_uncertainties={"speed": "4.5 rpm"}, units="metric")
    assert answer.output("mean_piston_speed").standard_uncertainty == Quantity(Decimal("0.02286"), "m/s")
    assert answer.output("mean_piston_speed").value == Quantity(Decimal("2.286"), "m/s")


def test_words_lists_and_what_is_missing(shop: Client) -> None:
    answer = shop.calculate("shim-pack", SHIM, stock=["2 thou", (3, "thou"), {"value": 5, "unit": "thou"}])
    assert str(answer["answer"]).startswith("Bolt down the same pack on both sides")
    film = shop.calculate(
        "journal-film", journal_diameter="2 in", bearing_length="3 in", diametral_clearance="3 thou", speed="450 rpm", load="600 lbf",
        viscosity="60 mPa.s", feed="flooded",
    )  # fmt: skip
    assert film["film_to_finish"] is None
    assert film["regime"] == "not-judged"
    assert {flag.code for flag in film.flags} == {"finish-not-given"}


def test_what_a_calculation_takes(shop: Client) -> None:
    record = shop.calculation("journal-film")
    feed = next(item for item in record.inputs if item.name == "feed")
    assert (feed.choices, feed.default, feed.required) == (("drip", "grease", "ring", "flooded"), "drip", False)
    load = record.inputs[4]
    assert (load.name, load.kind, load.unit, load.required, load.low) == ("load", "force", "lbf", True, Quantity(Decimal(0), "lbf"))
    assert "film_thickness" in record.outputs
    assert record.docs.startswith("Least oil film")
    assert [entry.id for entry in shop.calculations()] == list(CALCULATIONS)


def test_errors_name_the_input(shop: Client) -> None:
    with pytest.raises(NotFound) as missing:
        shop.calculate("journal-flim")
    assert missing.value.problem.near == ("journal-film",)
    with pytest.raises(QuantityError, match=r"speed: .*decimal comma"):
        shop.calculate("piston-speed", stroke="6 in", speed="450,5 rpm")
    with pytest.raises(QuantityError, match="uncertainty of speed"):
        shop.calculate("piston-speed", STROKE, standard_uncertainties={"speed": 5})
    with pytest.raises(Refused) as refusal:
        shop.calculate("piston-speed", stroke="6 V", speed="450 rpm")
    assert refusal.value.problem.errors[0].pointer == "/inputs/stroke/unit"
    with pytest.raises(UsageError):
        shop.calculation("")


@pytest.mark.parametrize(("words", "code", "said"), [
    ([], 0, "journal-film"),
    (["piston-speed"], 0, "mean piston speed, to find the crank speed"),
    (["journal-film", "--describe"], 0, "one of drip, grease, ring, flooded; taken as drip"),
    (["piston-speed", "stroke=6 in", "speed=450 rpm"], 0, "450 ft/min  mean speed of the piston"),
    (["piston-speed", "stroke=6 in", "speed=450 rpm", "--units", "metric"], 0, "2.286 m/s"),
    (["piston-speed", "stroke=6 in", "speed=450 rpm", "--u", "speed=4.5 rpm"], 0, "450.0 ft/min (u 4.5)"),
    (["piston-speed", "stroke=6 in", "mean-piston-speed=450 ft/min"], 0, "450 rpm"),
    (["shim-pack", *(f"{k}={v}" for k, v in SHIM.items()), "stock=2 thou, 3 thou; 5 thou", "stock=10 thou"], 0, "Bolt down the same pack"),
    (["ring-gap-closure", "bore=4.5 in", "gap=14 thou", "ring-expansion=0.0000061 1/degF", "ring-temperature=350 degF"], 0, "ASSUMED"),
    (["tank-leak-down", "tank=small-soldered-tank"], 0, "Never put heat to an old fuel tank."),
    (["tank-leak-down", "tank=small-soldered-tank", "pressure_start=3 psi"], 2, "no pressure vessel"),
    (["flywheel-rim", "diameter=24 in", "speed=450 rpm", "construction=cracked"], 2, "Do not run this wheel at any speed"),
    (["piston-speed", "stroke=6 V", "speed=450 rpm"], 2, "a length is wanted"),
    (["piston-speed", "stroke=6", "speed=450 rpm"], 2, "stroke: '6' has no unit"),
    (["piston-speed", "stroke=6 in", "stroke=7 in"], 2, "'stroke' is given twice"),
    (["piston-speed", "stroke"], 2, "write it like stroke='6 in'"),
    (["piston-speed", "stroke=6 in", "--u", "speed"], 2, "--u 'speed'"),
    (["piston-sped", "stroke=6 in"], 2, "did you mean piston-speed"),
    (["--describe"], 2, "name the calculation first"),
    (["piston-speed", "stroke=6 in", "speed=450 rpm", "--json"], 0, '"unit": "ft/min"'),
])  # fmt: skip
def test_the_command(words: list[str], code: int, said: str) -> None:
    result = run(*words)
    assert said in result.output
    assert result.exit_code == code
    if "--json" not in words:
        assert max(map(len, result.stdout.splitlines()), default=0) <= WIDTH


SIZES = {"crankpin": "2-1/4 in", "crankpin-length": "2.5 in", "bore": "5 in", "rated-speed": "450 rpm"}
ROD = "rod-bearing-running-clearance"


def test_a_second_opinion_beside_a_verdict(shop: Client) -> None:
    verdict = shop.judge(ROD, "3.8 thou", engine_class="slow-open-crank", dimensions=SIZES, second_opinion=True)
    assert verdict.second_opinion is not None
    assert verdict.second_opinion.opinion == "cannot_tell"
    assert any("steady load" in line for line in verdict.second_opinion.limits)
    told = {"load": "6000 lbf", "feed": "flooded"}
    verdict = shop.judge(ROD, "6 thou", engine_class="slow-open-crank", dimensions=SIZES, second_opinion=told)
    assert verdict.second_opinion is not None
    assert verdict.second_opinion.opinion == "warns"
    assert shop.judge(ROD, "3.8 thou", engine_class="slow-open-crank", dimensions=SIZES).second_opinion is None


def test_a_second_opinion_at_the_command_line() -> None:
    sizes = [word for name, size in SIZES.items() for word in ("--dimension", f"{name}={size}")]
    result = CliRunner().invoke(cli, ["judge", ROD, "3.8 thou", "--class", "slow-open-crank", *sizes, "--second-opinion"])
    assert result.exit_code == 0
    assert "Second opinion, oil film: it cannot tell." in result.output
    assert "assumed for the film: viscosity not stated" in result.output


@pytest.mark.parametrize("name", CALCULATIONS)
def test_every_calculation_can_be_described(name: str) -> None:
    result = run(name, "--describe")
    assert result.exit_code == 0
    assert all(item.name in result.output for item in CALCULATIONS[name].inputs)


def test_json_is_the_answer_of_the_service() -> None:
    answer = json.loads(run("piston-speed", "stroke=6 in", "speed=450 rpm", "--json").output)
    assert answer["outputs"][0]["value"] == 450
    assert len(json.loads(run("--json").output)["items"]) == len(CALCULATIONS)
