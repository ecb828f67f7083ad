"""Slips of the pencil far past wear, sizes far from the one stated, and pulls told in pounds.

Limits as the table has them: a rod on a 2.25 in pin is new at 2.25 to 3.875 thou and worn out at 6.75; a ring in a 5.25 in bore has a new gap from
15.75 thou and is worn out at 63; a piston in it is worn out at 15.75.
"""

from __future__ import annotations

import pytest
from tests.bench.made import q
from tests.bench.test_two_readings import bench_of, judged

from halfthou_service.bench.readings import Reading
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.facts import Engine
from halfthou_specdb.table import Table

ROD, RING, PISTON, BORE = "rod-bearing-running-clearance", "ring-end-gap", "piston-to-bore-clearance", "cylinder-bore-diameter"


@pytest.mark.parametrize(("name", "value", "meant"), [
    (ROD, "26 thou", "2.6 thou"), (RING, "160 thou", "16 thou"), (RING, "200 thou", "20 thou"), (PISTON, "60 thou", "6 thou"),
    (ROD, "80 thou", "3.15 thou"),  # 0.08 mm written as inches: 80 / 25.4
    (ROD, "0.66 mm", "2.6"),  # 0.066 mm
])  # fmt: skip
def test_ten_times_a_new_fit_is_looked_at_twice(shop_table: Table, name: str, value: str, meant: str) -> None:
    item = judged(shop_table, name, value)
    assert item.problem is not None
    assert item.problem.code == "suspected-slip"
    assert meant.split()[0][:3] in item.text
    confirmed = judged(shop_table, name, value, confirmed=True, instrument="feeler-gauge/stacked", standard_uncertainty=q("1 thou"))
    assert confirmed.verdict == "beyond_limit"


@pytest.mark.parametrize(("name", "value"), [
    (ROD, "9 thou"), (ROD, "13 thou"), (ROD, "18 thou"), (ROD, "25.55 thou"),
    ("wrist-pin-bush-clearance", "6.6 thou"), (RING, "90 thou"), (RING, "120 thou"), (PISTON, "25 thou"),
])  # fmt: skip
def test_a_truly_worn_part_is_no_slip(shop_table: Table, name: str, value: str) -> None:
    """Up to twice the worn-out figure a tenth may be a new fit and still nothing is suspected; and past it where a tenth is none, or is one
    that no shop tool shows (a wrist-pin bush worn out at 2.1 thou that reads 6.6 was never 0.66)."""
    item = bench_of(shop_table, wrist_pin="1.125 in").judge(Reading("r", name, values=(q(value),), standard_uncertainty=q("0.5 thou")))
    assert item.verdict == "beyond_limit"


@pytest.mark.parametrize(("name", "value", "slip"), [
    (BORE, "52.5 in", "a point one place out"), (BORE, "133.35 in", "inches and millimetres mixed up"), (BORE, "2.625 in", "a radius for a diameter"),
    ("crankpin-diameter", "57.15 in", "inches and millimetres mixed up"), ("crankpin-diameter", "0.225 in", "a point one place out"),
    ("main-journal-diameter", "6 in", "no wear makes that"),
])  # fmt: skip
def test_a_size_far_from_the_one_stated_is_looked_at_twice(shop_table: Table, name: str, value: str, slip: str) -> None:
    item = judged(shop_table, name, value)
    assert item.problem is not None
    assert (item.problem.code, item.problem.pointer) == ("suspected-slip", "/value")
    assert slip in item.text
    known = judged(shop_table, name, value, confirmed=True)
    assert known.problem is None or known.problem.code != "suspected-slip"


def test_a_size_near_the_one_stated_or_with_none_stated_is_no_slip(shop_table: Table) -> None:
    assert judged(shop_table, BORE, "5.32 in").problem is None
    unknown = Bench(shop_table, Engine(shop_table.classes["slow-open-crank"]))
    item = unknown.judge(Reading("r", BORE, values=(q("52.5 in"),)))
    assert item.problem is None or item.problem.code != "suspected-slip"


# -- pulls -------------------------------------------------------------------------------------------------------


def test_a_pull_past_the_usual_scale_takes_the_scale_that_reads_it(shop_table: Table) -> None:
    """200 lb dial: 1 % of full scale / sqrt 3 = 1.1547, half a division 1 / sqrt 12 = 0.2887, angle and friction 1 lbf (from memory)."""
    item = judge_pull(shop_table, "60 lbf")
    assert item.verdict == "unusual"
    assert item.u == pytest.approx((1.1547**2 + 0.2887**2 + 1) ** 0.5, rel=1e-3)
    assert any("200 lb" in line for line in item.assumed)
    assert "name the tool that read it, or state its standard_uncertainty" in judge_pull(shop_table, "300 lbf").text


@pytest.mark.parametrize(("value", "write"), [("20 lb", "lbf"), ("9 kg", "kgf"), ("300 oz", "ozf")])
def test_a_pull_told_as_a_mass_is_told_what_to_write(shop_table: Table, value: str, write: str) -> None:
    text = judge_pull(shop_table, value).text
    assert f"a pull in {value.split()[1]} is written {write}" in text


def judge_pull(table: Table, value: str):  # type: ignore[no-untyped-def]
    return bench_of(table, flywheel="30 in").judge(Reading("r", "bearing-drag", values=(q(value),)))
