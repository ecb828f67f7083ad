"""The tool taken where none is named: the usual one where it reaches, else the next suitable one, and it is said.

A small-hole (ball) gauge is for holes of about 3 to 13 mm, a telescoping gauge from there up: common practice of the trade.
"""

from __future__ import annotations

import pytest
from tests.bench.made import q

from halfthou_service.bench.item import Item
from halfthou_service.bench.readings import Reading
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.facts import Engine
from halfthou_specdb.table import Table

SMALL, LARGE = "small-hole-gauge-micrometer", "telescoping-gauge-outside-micrometer"


def judged(table: Table, name: str, value: str, instrument: str = "", **sizes: str) -> Item:
    engine = Engine(table.classes["slow-open-crank"], dimensions={k.replace("_", "-"): q(v) for k, v in sizes.items()})
    return Bench(table, engine).judge(Reading("r", name, (q(value),), instrument=instrument, confirmed=True))


@pytest.mark.parametrize(("name", "value", "sizes", "tool", "says"), [
    ("wrist-pin-bush-clearance", "1.5 thou", {"wrist_pin": "1.25 in"}, LARGE, "the usual small-hole (ball) gauge and micrometer does not reach"),
    ("wrist-pin-bush-clearance", "0.04 mm", {"wrist_pin": "32 mm"}, LARGE, "does not reach this size"),
    ("wrist-pin-boss-fit", "0.1 thou", {"wrist_pin": "1.25 in"}, LARGE, "does not reach this size"),
    ("wrist-pin-bush-clearance", "1.5 thou", {"wrist_pin": "0.5 in"}, SMALL, ""),
    ("camshaft-bearing-clearance", "2 thou", {"cam_shaft": "0.5 in"}, SMALL, "does not reach this size"),
    ("inlet-valve-guide-clearance", "3 thou", {"intake_valve_stem": "0.75 in"}, "dial-indicator", "does not reach this size"),
    ("rod-bearing-running-clearance", "29 thou", {"crankpin": "2.25 in"}, LARGE, "the usual plastic gauge strip does not reach this reading"),
    ("rod-bearing-running-clearance", "3 thou", {"crankpin": "2.25 in"}, "plastic-gauge-strip", ""),
])  # fmt: skip
def test_the_usual_tool_gives_way_where_it_does_not_reach(
    shop_table: Table, name: str, value: str, sizes: dict[str, str], tool: str, says: str
) -> None:
    item = judged(shop_table, name, value, **sizes)
    assert item.problem is None
    assert item.instrument.partition("/")[0] == tool
    (line,) = [a for a in item.assumed if a.startswith("no instrument named: taken as")]
    assert (says in line) if says else ("usual" not in line)


def test_a_size_that_no_suitable_tool_reaches_is_said(shop_table: Table) -> None:
    item = judged(shop_table, "wrist-pin-bush-clearance", "1.5 thou", wrist_pin="14 mm")
    assert item.instrument.partition("/")[0] in (SMALL, "dial-bore-gauge")
    assert any("this size lies outside its range" in a or "does not reach this size" in a for a in item.assumed)


def test_a_pair_of_gauges_is_never_taken_for_a_value(shop_table: Table) -> None:
    for what in shop_table.characteristics.values():
        for size in ("3 mm", "20 mm", "400 mm"):
            dims = {name.replace("-", "_"): size for name in what.scales_with[:1] if shop_table.dimension_units[name] == "in"}
            if what.unit == "in":
                item = judged(shop_table, what.id, "1 in", **dims)
                assert item.instrument.partition("/")[0] != "ring-or-plug-go-no-go-pair" or what.usual_instrument == "ring-or-plug-go-no-go-pair"


def test_a_tool_that_was_named_stays(shop_table: Table) -> None:
    item = judged(shop_table, "wrist-pin-bush-clearance", "1.5 thou", SMALL, wrist_pin="1.25 in")
    assert item.instrument.partition("/")[0] == SMALL
    assert not any("does not reach" in a for a in item.assumed)
