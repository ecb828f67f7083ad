"""Common practice that the table must agree with. These are facts of the trade: they carry no source."""

from __future__ import annotations

from decimal import Decimal

import pytest

from halfthou_service.bench.item import Item
from halfthou_service.bench.readings import Reading
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import parse_quantity
from halfthou_specdb.rules import Constant
from halfthou_specdb.table import Table

SLOW = ("slow-open-crank", "slow-enclosed-crank")
CLASSES = (*SLOW, "medium-enclosed-crank")


def told(table: Table, engine_class: str, characteristic: str, value: str, instrument: str = "", **dimensions: str) -> Item:
    sizes = {name.replace("_", "-"): parse_quantity(text) for name, text in dimensions.items()}
    shop = Bench(table, Engine(table.classes[engine_class], dimensions=sizes))
    return shop.judge(Reading("r", characteristic, values=(parse_quantity(value),), instrument=instrument))


@pytest.mark.parametrize("clearance", ["3.5 thou", "4.0 thou"])
@pytest.mark.parametrize("crankpin", ["2 in", "2-1/16 in", "2-1/8 in", "2-1/4 in"])
@pytest.mark.parametrize("engine_class", SLOW)
def test_a_slow_rod_shimmed_to_three_and_a_half_or_four_thou_goes_back(shop_table: Table, engine_class: str, crankpin: str, clearance: str) -> None:
    item = told(shop_table, engine_class, "rod-bearing-running-clearance", clearance, "plastic-gauge-strip", crankpin=crankpin)
    assert item.verdict in ("within_fit", "usable"), item.text
    assert "put it back" in item.text


@pytest.mark.parametrize("engine_class", CLASSES)
def test_a_low_tension_magneto_gives_five_to_eight_volts(shop_table: Table, engine_class: str) -> None:
    """Brief alternating pulses of 5 to 8 V, depending on speed and magnets: a guide that fails nothing."""
    guide = shop_table.limits["magneto-volts-guide"]
    assert (guide.kind, guide.fit_low, guide.fit_high) == ("guide", Constant(Decimal(5)), Constant(Decimal(8)))
    for volts in ("5 V", "5.5 V", "6.5 V", "8 V"):
        item = told(shop_table, engine_class, guide.characteristic, volts)
        assert item.verdict == "typical", item.text
    assert told(shop_table, engine_class, guide.characteristic, "1 V").verdict == "unusual"


@pytest.mark.parametrize("engine_class", CLASSES)
def test_a_valve_seat_of_forty_five_degrees(shop_table: Table, engine_class: str) -> None:
    item = told(shop_table, engine_class, "valve-seat-angle", "45 deg")
    assert item.verdict in ("within_fit", "usable"), item.text


@pytest.mark.parametrize("engine_class", CLASSES)
def test_a_suction_strainer_of_eighty_mesh_brass(shop_table: Table, engine_class: str) -> None:
    item = told(shop_table, engine_class, "fuel-strainer-mesh", "80 mesh")
    assert item.verdict in ("within_fit", "usable"), item.text
