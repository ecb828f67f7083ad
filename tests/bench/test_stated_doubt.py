"""A stated doubt smaller than the tool leaves: said, and added where a safety limit is at stake.

A step d leaves d / sqrt 12 (JCGM 100:2008, F.2.2.1; NIST TN 1297, 4.6: 0.29 d), typed again here as 1 / 3.464.
"""

from __future__ import annotations

import pytest
from tests.bench.made import inline, q

from halfthou_service.bench.item import Item
from halfthou_service.bench.readings import OwnLine, Reading
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.facts import Engine
from halfthou_specdb.table import Table

SIZES = {"crankpin": "2.25 in", "flywheel": "36 in", "bore": "5 in"}


def judged(table: Table, name: str, value: str, u: str, instrument: str = "", **more: object) -> Item:
    engine = Engine(table.classes["slow-open-crank"], dimensions={k: q(v) for k, v in SIZES.items()})
    stated = {"standard_uncertainty": q(u)} if u else {}
    return Bench(table, engine).judge(Reading("r", name, (q(value),), instrument=instrument, confirmed=True, **stated, **more))  # type: ignore[arg-type]


def said(item: Item) -> list[str]:
    return [line for line in item.assumed if line.startswith("a doubt of")]


@pytest.mark.parametrize(("u", "instrument", "tool"), [
    ("0.000000001 in", "steel-rule", "steel rule"), ("0.005 in", "steel-rule", "steel rule"), ("0.000000001 in", "feeler-gauge", "feeler gauge"),
    ("0.000000001 in", "", ""), ("0.00001 in", "outside-micrometer/1-9-in-tenths", "outside micrometer"),
])  # fmt: skip
def test_an_ordinary_reading_keeps_the_stated_doubt_and_it_is_said(shop_table: Table, u: str, instrument: str, tool: str) -> None:
    item = judged(shop_table, "rod-side-clearance", "9 thou", u, instrument)
    assert item.u == pytest.approx(float(q(u).to(q("1 thou").unit)), rel=1e-12)
    (line,) = said(item)
    assert tool in line
    assert line.endswith("taken as you state it; look whether it is right")


@pytest.mark.parametrize(("u", "instrument"), [
    ("0.006 in", "steel-rule"),  # 0.5 mm / 3.464 is 0.144 mm, 5.7 thou
    ("0.00003 in", "outside-micrometer/1-9-in-tenths"),  # 0.0001 in / 3.464 is 0.000029 in
])  # fmt: skip
def test_a_doubt_the_tool_can_have_is_taken_without_a_word(shop_table: Table, u: str, instrument: str) -> None:
    assert said(judged(shop_table, "rod-side-clearance", "9 thou", u, instrument)) == []


def test_nobody_talks_a_marginal_reading_past_a_safety_limit(shop_table: Table) -> None:
    """Carbon monoxide meters of the list read to 1 ppm: 1 / 3.464 of doubt at the least."""
    co = shop_table.limits_of["carbon-monoxide-level"][0]
    item = judged(shop_table, "carbon-monoxide-level", "20 ppm", "0.000000001 ppm", "co-meter")
    assert co.kind == "safety"
    assert item.u == pytest.approx(1 / 3.4641, rel=1e-4)
    assert said(item)[0].endswith("that was added, since doubt counts against a safety limit")


@pytest.mark.parametrize("instrument", ["", "tape-and-tachometer"])
def test_where_the_tool_reads_to_no_step_its_smallest_part_stands(shop_table: Table, instrument: str) -> None:
    """Rim speed by tape and tachometer: the tape alone is good to 0.4 % (from memory), 20 ft/min at 4,999; 5,000 stops."""
    item = judged(shop_table, "flywheel-rim-speed", "4999 ft/min", "0.000000001 ft/min", instrument)
    assert item.u == pytest.approx(0.004 * 4999, rel=1e-6)
    assert item.verdict == "stop"
    assert "for the tape alone" in said(item)[0]


def test_inches_on_the_rim_are_held_to_the_degrees_of_the_tool(shop_table: Table) -> None:
    """Lamp and rim tape: 0.3 degrees for the reading on the rim alone (from memory); 36 in of wheel make 0.31416 in a degree."""
    item = judged(shop_table, "igniter-timing-start", "1 in", "0.000000001 in", "lamp-and-rim-tape", relative="after")
    assert item.u == pytest.approx(0.3 * 0.314159, rel=1e-4)


def test_own_lines_cannot_do_it_either(shop_table: Table) -> None:
    plain = judged(shop_table, "carbon-monoxide-level", "20 ppm", "", "co-meter")
    names = tuple(OwnLine(line.name, q("0.00000001 ppm")) for line in plain.lines)
    item = judged(shop_table, "carbon-monoxide-level", "20 ppm", "", "co-meter", own_lines=names)
    assert item.u == pytest.approx(1 / 3.4641, rel=1e-4)
    assert said(item)


def test_figures_of_the_callers_own_do_not_lift_it(shop_table: Table) -> None:
    item = judged(shop_table, "carbon-monoxide-level", "20 ppm", "0.000000001 ppm", "co-meter", limit=inline("ppm", fit=("0", "100")))
    assert item.u == pytest.approx(1 / 3.4641, rel=1e-4)


def test_a_thing_of_ones_own_with_no_tool_has_nothing_to_be_held_to(shop_table: Table) -> None:
    assert said(judged(shop_table, "own-check", "5 V", "0.000000001 V", limit=inline("V", fit=("4", "8")))) == []
