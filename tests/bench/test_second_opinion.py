"""The oil film beside the rule of thumb: it supports, it warns, or it cannot tell; its limits are said every time, and no verdict is moved."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfthou_service.bench.readings import FilmAsked, Reading, Rules
from halfthou_service.bench.second_opinion import BEARINGS, LIMITS, SecondOpinion, second_opinion
from halfthou_service.bench.verdict import Bench
from halfthou_service.calculations import CALCULATIONS, calculate
from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import Quantity, parse_quantity

ROD, MAIN = "rod-bearing-running-clearance", "main-bearing-running-clearance"
SIZES = {"bore": "5 in", "crankpin": "2.25 in", "crankpin-length": "2.5 in", "main-journal": "2 in", "main-bearing-length": "4 in",
         "rated-speed": "450 rpm"}  # fmt: skip
LIGHT, HEAVY = FilmAsked(load=Quantity.of(300, "lbf")), FilmAsked(load=Quantity.of(6000, "lbf"))


def bench_of(table: Any, without: tuple[str, ...] = (), engine_class: str = "slow-open-crank", **more: str) -> Bench:
    sizes = {name: parse_quantity(text) for name, text in (SIZES | {k.replace("_", "-"): v for k, v in more.items()}).items() if name not in without}
    return Bench(table, Engine(table.classes[engine_class], dimensions=sizes), Rules())


def ask(bench: Bench, value: str, asked: FilmAsked | None = FilmAsked(), what: str = ROD, u: str = "0.1 thou", **more: Any) -> tuple[Any, Any]:  # noqa: B008
    reading = Reading("r1", what, (parse_quantity(value),), standard_uncertainty=parse_quantity(u), second_opinion=asked, **more)
    item = bench.judge(reading)
    return item, second_opinion(bench, item, reading)


@pytest.mark.parametrize(("value", "asked", "verdict", "opinion"), [
    ("3 thou", LIGHT, "within_fit", "cannot_tell"),  # 1.3 thou per inch: the usual answer
    ("4.4 thou", LIGHT, "usable", "cannot_tell"),
    ("6 thou", LIGHT, "usable", "supports"),  # 2.7 thou per inch, film to spare
    ("6 thou", HEAVY, "usable", "warns"),
    ("3 thou", HEAVY, "within_fit", "warns"),
    ("12 thou", LIGHT, "beyond_limit", "cannot_tell"),  # film enough, but no theory overrules the rule
    ("12 thou", HEAVY, "beyond_limit", "supports"),
    ("3.8 thou", FilmAsked(), "usable", "cannot_tell"),  # light load enough, heavy load too little
    ("3.8 thou", FilmAsked(firing_pressure=Quantity.of(60, "psi")), "usable", "cannot_tell"),
])  # fmt: skip
def test_the_three_answers(table, value: str, asked: FilmAsked, verdict: str, opinion: str):
    item, found = ask(bench_of(table), value, asked)
    assert (item.verdict, found.opinion) == (verdict, opinion)
    assert found.text.startswith(f"Second opinion, oil film: it {opinion.replace('_', ' ')}")


def test_none_where_none_is_asked_or_there_is_no_film(table):
    bench = bench_of(table)
    assert ask(bench, "3 thou", None)[1] is None
    assert ask(bench, "8 thou", what="rod-side-clearance")[1] is None


@pytest.mark.parametrize("asked", [FilmAsked(), LIGHT, HEAVY, FilmAsked(feed="flooded")])
def test_the_limits_of_the_theory_are_said_every_time(table, asked: FilmAsked):
    for bench in (bench_of(table), bench_of(table, ("bore", "crankpin-length"))):
        _, found = ask(bench, "3.8 thou", asked)
        assert found.limits == LIMITS
        assert "steady load" in found.limits[0]
        assert "upper bound" in found.limits[1]
    _, found = ask(bench_of(table), "3.8 thou", asked)
    assert "steady load and a flooded bearing" in found.text
    assert ("starved-feed" in {flag.code for flag in found.flags}) == (asked.feed != "flooded")
    assert ("An upper bound only" in found.text) == (asked.feed != "flooded")


def test_what_is_missing_is_asked_for(table):
    _, found = ask(bench_of(table, ("bore", "crankpin-length")), "3.8 thou")
    assert (found.opinion, found.needs) == ("cannot_tell", ("crankpin-length", "bore or load"))
    _, found = ask(bench_of(table, ("bore",)), "3.8 thou", LIGHT)
    assert found.films
    _, found = ask(bench_of(table, compression_ratio="6 ratio"), "3.8 thou")
    assert "none on file for a compression ratio outside 3 to 5" in found.needs[0]


@pytest.mark.parametrize(("ratio", "psi"), [("3", 154), ("3.5", 196.5), ("4", 239), ("5", 321)])
def test_the_load_is_worked_out_from_bore_and_compression_and_said(table, ratio: str, psi: float):
    _, found = ask(bench_of(table, compression_ratio=f"{ratio} ratio"), "3.8 thou")
    light, heavy = found.films
    assert heavy.load / 4.4482216152605 == pytest.approx(psi * 3.14159265 / 4 * 25, rel=1e-6)
    assert light.load / 4.4482216152605 == pytest.approx(75 / 4 * 3.14159265 / 4 * 25, rel=1e-6)
    assert any("published" in line and "Table III" in line for line in found.assumed)
    assert any(line.startswith("viscosity not stated: 60 mPa.s") for line in found.assumed)


def test_two_mains_share_the_load(table):
    _, rod = ask(bench_of(table), "3 thou")
    _, main = ask(bench_of(table), "3 thou", what=MAIN)
    assert [film.load for film in main.films] == pytest.approx([film.load / 2 for film in rod.films])
    assert "each of two mains" in main.assumed[0]


def test_the_film_is_that_of_the_calculation(table):
    finish = {"journal_roughness": Quantity.of(16, "uin"), "bearing_roughness": Quantity.of(32, "uin")}
    _, found = ask(bench_of(table), "3.8 thou", replace(LIGHT, viscosity=Quantity.of(80, "mPa.s"), feed="flooded", **finish))
    texts = {"journal_diameter": "2.25 in", "bearing_length": "2.5 in", "diametral_clearance": "3.8 thou", "speed": "450 rpm", "load": "300 lbf",
             "viscosity": "80 mPa.s", "journal_roughness": "16 uin", "bearing_roughness": "32 uin"}  # fmt: skip
    answer = calculate(CALCULATIONS["journal-film"], {n: parse_quantity(t) for n, t in texts.items()} | {"feed": "flooded"}, system="metric")
    told = {output.name: output.value for output in answer.outputs}
    assert found.films[0].thickness * 1e6 == pytest.approx(told["film_thickness"])
    assert found.films[0].regime == told["regime"] == "full-film"
    assert found.least * 1e6 == pytest.approx(told["least_film"])


def test_the_gap_on_one_side_is_doubled_here_too(table):
    _, whole = ask(bench_of(table), "3.8 thou", LIGHT)
    _, side = ask(bench_of(table), "1.9 thou", LIGHT, u="0.05 thou", basis="radial")
    assert side.per_inch == pytest.approx(whole.per_inch)
    assert side.films[0].thickness == pytest.approx(whole.films[0].thickness)


def test_a_coarse_reading_makes_it_less_sure_never_surer(table):
    _, fine = ask(bench_of(table), "6 thou", LIGHT, u="0.01 thou")
    _, coarse = ask(bench_of(table), "6 thou", replace(LIGHT, load=Quantity.of(2000, "lbf")), u="2.9 thou")
    assert fine.opinion == "supports"
    assert coarse.opinion == "cannot_tell"


def test_what_was_not_judged_has_no_opinion(table):
    bench = bench_of(table)
    reading = Reading("r1", ROD, (parse_quantity("60 thou"),), second_opinion=FilmAsked())
    item = bench.judge(reading)
    assert item.verdict == "not_judged"
    found = second_opinion(bench, item, reading)
    assert (found.opinion, found.films) == ("cannot_tell", ())


LOADS = st.one_of(st.none(), st.floats(1e-3, 1e6))


@given(st.floats(0.05, 30), st.floats(0.01, 5), LOADS, st.sampled_from(["", "drip", "grease", "ring", "flooded"]), st.floats(0.2, 20000),
       st.sampled_from(list(BEARINGS)))  # fmt: skip
def test_any_bearing_is_answered_and_the_verdict_stays(table, thou, u, load, feed, viscosity, what):
    asked = FilmAsked(None if load is None else Quantity.of(f"{load:.6f}", "lbf"), None, Quantity.of(f"{viscosity:.4f}", "mPa.s"), feed)
    bench = bench_of(table)
    reading = Reading("r1", what, (Quantity.of(f"{thou:.4f}", "thou"),), standard_uncertainty=Quantity.of(f"{u:.4f}", "thou"), second_opinion=asked,
                      confirmed=True)  # fmt: skip
    item = bench.judge(reading)
    found = second_opinion(bench, item, reading)
    assert isinstance(found, SecondOpinion)
    assert item == bench.judge(replace(reading, second_opinion=None))
    if found.opinion == "supports" and item.verdict in ("within_fit", "usable"):
        assert all(film.thick and film.thickness >= found.least for film in found.films)
        assert not 0.001 <= found.per_inch <= 0.002
    if found.opinion == "warns":
        assert item.verdict in ("within_fit", "usable")
        assert not any(film.thick for film in found.films)
