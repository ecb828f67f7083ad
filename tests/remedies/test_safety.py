"""What hurts people: cracked wheels, tanks, torque on old iron, percentages on a stop."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from tests.remedies.shop import bench, q, reading, table
from tests.remedies.test_coverage import TOLD, answers, judged

from halfthou_service.bench.readings import Place, Reading
from halfthou_service.bench.remedies import Found, Remedy, RemedyFacts, remedies_for, sheet_remedies
from halfthou_service.bench.sheet import judge_one
from halfthou_specdb.records import Characteristic

CRACKED = ["line not settled", "hairline from keyway", "crack through hub", "crack at spoke", "crack in rim", "welded or brazed repair"]
WORK = re.compile(r"\b(weld|braze|band|shrink|shrunk|sleeve|key|file|bore|stitch|turn the rim|grind|solder)", re.I)
HEAT = re.compile(r"\b(torch|solder|braze|weld|heat|warm|flame|iron|bake|grind|drill)\w*", re.I)
FORBIDDEN = re.compile(r"\b(no|never|not|without|away from)\b[^.;]*$", re.I)


def words(one: Remedy) -> str:
    return " ".join((one.title, one.text, *one.steps))


@pytest.mark.parametrize("word", CRACKED)
def test_a_cracked_wheel_is_replaced_or_retired_and_nothing_else(word: str) -> None:
    shop = bench()
    given = reading("flywheel-hub-crack", word, "gear side")
    found = remedies_for(shop, shop.judge(given), given, RemedyFacts())
    assert [r.id for r in found] == ["retire-the-wheel"]
    assert "Replace it" in found[0].text
    assert "retire it" in found[0].text
    assert not WORK.search(found[0].text)
    assert {"C027", "C051"} <= set(found[0].cautions)
    assert found[0].amount == ()


@pytest.mark.parametrize("word", ["rim in halves or joined", "welded or repaired"])
def test_a_joined_wheel_likewise(word: str) -> None:
    shop = bench()
    given = reading("flywheel-construction", word)
    assert [r.id for r in remedies_for(shop, shop.judge(given), given, RemedyFacts())] == ["retire-the-wheel"]


@pytest.mark.parametrize("name", [w.id for w in table().characteristics.values() if w.component == "flywheel"])
def test_nothing_on_a_cracked_wheel_is_mended(name: str) -> None:
    """Whatever else is wrong with that wheel, whether or not its side was named; the sound wheel keeps its remedies."""
    shop = bench()
    what = table().characteristics[name]
    for item, given in judged(what, shop):
        if item.verdict in ("within_fit", "typical") or item.problem is not None:
            continue
        for place in ("", "gear side"):
            crack = RemedyFacts(found=(Found("flywheel-hub-crack", "stop", "crack through hub", place),))
            found = remedies_for(shop, item, given, crack)
            assert {r.id for r in found} <= {"retire-the-wheel"}
        other = RemedyFacts(found=(Found("flywheel-hub-crack", "stop", "crack through hub", "gear side"),))
        sound = Reading(given.id, given.characteristic, given.values, finding=given.finding, place=Place("pulley side"), confirmed=True,
                        standard_uncertainty=given.standard_uncertainty)  # fmt: skip
        if what.id not in ("flywheel-hub-crack", "flywheel-construction"):
            assert "retire-the-wheel" not in {r.id for r in remedies_for(shop, shop.judge(sound), sound, other)}


def test_the_sheet_knows_of_the_crack() -> None:
    shop = bench()
    readings = [reading("flywheel-bore-fit", "4.5 thou", "gear side"), reading("flywheel-bore-fit", "4.5 thou", "pulley side"),
                reading("flywheel-hub-crack", "hairline from keyway", "gear side")]  # fmt: skip
    items = [shop.judge(r) for r in readings]
    cracked, sound, _ = sheet_remedies(shop, items, readings, RemedyFacts())
    assert [r.id for r in cracked] == ["retire-the-wheel"]
    assert "bore-and-sleeve" in {r.id for r in sound}


@pytest.mark.parametrize(("crack", "word", "other", "value"), [
    ("crankshaft-crack", "crack", "crankpin-out-of-round", "4 thou"),
    ("crankshaft-crack", "line, not proved", "crankshaft-runout", "8 thou"),
    ("connecting-rod-crack", "crack", "rod-bend", "9 thou"),
    ("piston-crack", "crack in skirt, boss or crown", "ring-groove-width", "5 thou"),
    ("cylinder-wall-crack", "crack into the bore", "cylinder-out-of-round", "9 thou"),
    ("head-crack", "water passes", "valve-seat-width", "0.2 in"),
])  # fmt: skip
def test_no_work_goes_into_a_cracked_part(crack: str, word: str, other: str, value: str) -> None:
    shop = bench()
    readings = [reading(crack, word), reading(other, value)]
    _, found = sheet_remedies(shop, [shop.judge(r) for r in readings], readings, RemedyFacts())
    assert [r.id for r in found] == ["crack-first"]
    assert ("Settle" in found[0].text) == ("not proved" in word)


def tank_remedies() -> list[Remedy]:
    return [r for w in table().characteristics.values() if w.component == "fuel-tank" for _, found in answers(w) for r in found]


def test_tanks_get_no_heat_and_no_air() -> None:
    found = tank_remedies()
    assert {"new-tank", "cold-liner"} <= {r.id for r in found}
    for one in found:
        for sentence in re.split(r"(?<=[.;:])\s", words(one)):
            for hit in HEAT.finditer(sentence):
                before = sentence[: hit.start()]
                after = sentence[hit.end() :]
                assert FORBIDDEN.search(before) or "no way" in sentence or "cold" in sentence, (sentence, after)
        assert "psi" not in words(one)
        if one.id in ("new-tank", "cold-liner"):
            assert {"C001", "C008"} <= set(one.cautions)


@pytest.mark.parametrize("word", ["drips", "runs"])
def test_an_open_seam_is_not_lined(word: str) -> None:
    shop = bench()
    given = reading("fuel-tank-leak", word)
    assert "cold-liner" not in {r.id for r in remedies_for(shop, shop.judge(given), given, RemedyFacts())}


@pytest.mark.parametrize("what", TOLD, ids=lambda w: w.id)
def test_no_torque_no_percentage_and_no_all_clear(what: Characteristic) -> None:
    for item, found in answers(what):
        for one in found:
            text = words(one)
            assert all(unit.dimension != "torque" for _, _, unit in one.amount)
            assert not re.search(r"\b(ft[- .]?lb|lb[- .]?ft|lbf|N[.·]m|torque)\b", text) or "lbf" in str(one.amount) or what.unit == "lbf", text
            assert not re.search(r"\b(safe to|ready to start|good to go)\b", text, re.I)
            if item.verdict == "stop":
                assert "%" not in text
                assert not re.search(r"\b(in 100|percent|per cent)\b", text)


def test_a_spark_before_dead_centre_is_moved_past_the_doubt() -> None:
    shop = bench()
    given = Reading("r", "igniter-timing-start", (q("0.3 in"),), relative="before", along="rim-arc", instrument="lamp-and-rim-tape")
    item = shop.judge(given)
    assert item.verdict == "stop"
    moved = next(r for r in remedies_for(shop, item, given, RemedyFacts()) if r.id == "move-trip")
    assert moved.predicted is not None
    assert moved.predicted[0] * moved.predicted[1].factor * 360 >= 3
    assert "later" in moved.text
    assert "Do not start" in moved.text


def test_a_wheel_that_is_too_fast_is_slowed_and_never_strengthened() -> None:
    shop = bench()
    given = reading("flywheel-rim-speed", "5200 ft/min")
    found = remedies_for(shop, shop.judge(given), given, RemedyFacts())
    slow = next(r for r in found if r.id == "slow-down")
    speeds = {n: v for n, v, _ in slow.amount}
    assert speeds["at most"] <= 430
    assert all(r.reaches != "fit" or r.id == "slow-down" for r in found)


@pytest.mark.parametrize("state", ["as_found", "as_made"])
def test_a_start_spark_before_dead_centre_is_not_started_whoever_set_it(state: str) -> None:
    """10 degrees before, good to next to nothing: to dead centre and 2 past it (our judgement) is 12 later, new work or not."""
    shop = bench()
    given = replace(reading("igniter-timing-start", "10 deg", relative="before"), state=state)
    found = remedies_for(shop, shop.judge(given), given, RemedyFacts())
    assert found[0].text.startswith("Do not start it. Move the trip or lever stop later")
    (by,) = [value for name, value, _ in found[0].amount if name == "by"]
    assert 12 <= by <= 18  # whole degrees of doubt come on top


@pytest.mark.parametrize("said", [{"values": (q("10 deg"),)}, {"values": (q("3 deg"), q("10 deg"))}, {"span": (q("3 deg"), q("10 deg"))}])
def test_how_far_to_move_is_told_from_the_worse_side_and_the_worst_reading(said: dict[str, Any]) -> None:
    """Nobody said before or after: taken as before, so it is moved later by 10 at least, whichever way the 10 was written."""
    shop = bench()
    given = Reading("r", "igniter-timing-start", **said)
    found = remedies_for(shop, judge_one(shop, given), given, RemedyFacts())
    assert "Do not start it" in found[0].text
    assert "later" in found[0].text
    (by,) = [value for name, value, _ in found[0].amount if name == "by"]
    assert by > 10


@pytest.mark.parametrize(("crack", "other", "value"), [
    ("flywheel-hub-crack", "flywheel-lateral-runout", "90 thou"), ("flywheel-construction", "flywheel-bore-fit", "9 thou"),
    ("crankshaft-crack", "crankpin-out-of-round", "9 thou"),
])  # fmt: skip
def test_a_crack_told_as_a_number_is_settled_first(crack: str, other: str, value: str) -> None:
    """Nobody knows whether that part is cracked, so no work is put into it; the other wheel keeps its remedies."""
    shop = bench()
    number = Reading("c", crack, (q("0 thou"),), place=Place("left"))
    here = replace(reading(other, value, "left"), id="here")
    there = replace(here, id="there", place=Place("right"))
    sheet = [number, here, there]
    items = [shop.judge(one) for one in sheet]
    assert items[0].problem is not None
    none, mine, apart = sheet_remedies(shop, items, sheet, RemedyFacts())
    assert [r.id for r in mine] == ["crack-first"]
    assert mine[0].title.startswith("Settle ")
    assert mine[0].reaches == "not_known"
    assert not WORK.search(mine[0].title)
    assert none == ()
    assert [r.id for r in apart] != ["crack-first"]


def test_a_crack_found_stands_over_one_that_could_not_be_read() -> None:
    shop = bench()
    sheet = [Reading("n", "flywheel-hub-crack", (q("0 thou"),)), replace(reading("flywheel-hub-crack", "crack at spoke"), id="c"),
             replace(reading("flywheel-lateral-runout", "90 thou"), id="r")]  # fmt: skip
    found = sheet_remedies(shop, [shop.judge(one) for one in sheet], sheet, RemedyFacts())
    assert [r.id for r in found[2]] == ["retire-the-wheel"]
