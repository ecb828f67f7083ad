"""A reading of what the engine is stated not to have: not judged, with the reason; safety and stops hold all the same."""

from __future__ import annotations

from typing import Any

import pytest
from tests.bench.made import NONE, bench, characteristic, finding, inline, limit, q, read
from tests.bench.made import dec as d

from halfthou_service.bench.item import Item
from halfthou_service.bench.readings import Reading
from halfthou_service.bench.sheet import judge_sheet
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.facts import Engine
from halfthou_specdb.table import Table


def judged(table: Table, reading: Reading, engine_class: str = "slow-open-crank", **engine: Any) -> Item:
    return Bench(table, Engine(table.classes[engine_class], **engine)).judge(reading)


PLUG = Reading("r", "spark-plug-gap", (q("25 thou"),))


@pytest.mark.parametrize("engine", [
    {"features": frozenset({"make-and-break"})}, {"absent": frozenset({"jump-spark"})},
    {"features": frozenset({"make-and-break"}), "absent": frozenset({"jump-spark"})},
])  # fmt: skip
def test_what_the_engine_is_stated_not_to_have_is_not_judged(shop_table: Table, engine: dict[str, Any]) -> None:
    item = judged(shop_table, PLUG, **engine)
    assert (item.verdict, item.problem and item.problem.code) == ("not_judged", "not-fitted")
    assert "belongs to engines with the feature jump-spark" in item.text
    assert "look which is wrong" in item.text


def test_what_it_has_or_may_have_is_judged_as_ever(shop_table: Table) -> None:
    has = judged(shop_table, PLUG, features=frozenset({"jump-spark"}))
    silent = judged(shop_table, PLUG)
    assert (has.verdict, has.text, has.assumed) == (silent.verdict, silent.text, silent.assumed)
    assert has.problem is None


def test_a_negative_condition_reads_as_one(shop_table: Table) -> None:
    warm = Reading("r", "water-temperature", (q("150 degF"),))
    item = judged(shop_table, warm, features=frozenset({"air-cooled"}))
    assert item.problem is not None
    assert "belongs to engines without the feature air-cooled, and this one is stated to have: air-cooled" in item.problem.detail


def test_what_only_the_class_speaks_against_is_judged_and_said(shop_table: Table) -> None:
    drip = Reading("r", "cylinder-oil-drip", (q("10 drops/min"),))
    item = judged(shop_table, drip, "slow-enclosed-crank", dimensions={"rated-power": q("6 hp")})
    assert item.problem is None
    assert any("taken to have none" in line for line in item.assumed)


def test_the_callers_own_limit_is_still_judged_and_it_is_said(shop_table: Table) -> None:
    own = Reading("r", "spark-plug-gap", (q("25 thou"),), limit=inline("thou", fit=("20", "30")), standard_uncertainty=q("0.1 thou"))
    item = judged(shop_table, own, features=frozenset({"make-and-break"}))
    assert item.verdict == "within_fit"
    assert any("belongs to engines with the feature jump-spark" in line for line in item.assumed)


def test_a_finding_is_not_judged_either_unless_it_stops(shop_table: Table) -> None:
    engine = {"features": frozenset({"gravity-fed"})}
    dry, wet = (Reading("r", "fuel-pump-packing-leak", finding=w.word) for w in (shop_table.characteristics["fuel-pump-packing-leak"].words[0],
                                                                                  shop_table.characteristics["fuel-pump-packing-leak"].words[-1]))
    unread = judged(shop_table, dry, **engine)
    assert (unread.verdict, unread.problem and unread.problem.code) == ("not_judged", "not-fitted")
    stop = judged(shop_table, wet, **engine)
    assert (stop.verdict, stop.problem) == ("stop", None)
    assert any("belongs to engines with the feature fuel-pump" in line for line in stop.assumed)


def test_a_safety_limit_holds_whatever_was_stated() -> None:
    parts = (characteristic("rim", "harmless", "stop", applies_if=["drip-oiled"]), limit("rim", (NONE, d("4")), (NONE, d("6")), kind="safety",
             unit="thou"), finding("hub", {"sound": "within_fit"}))  # fmt: skip
    shop = bench(*parts, absent=frozenset({"drip-oiled"}))
    assert shop.judge(read("rim", "7 thou", u="0.1 thou")).verdict == "stop"
    inside = shop.judge(read("rim", "3 thou", u="0.1 thou"))
    assert (inside.verdict, inside.problem) == ("within_fit", None)
    assert any("belongs to engines with the feature drip-oiled" in line for line in inside.assumed)


def test_the_sheet_counts_it_as_not_judged(shop_table: Table) -> None:
    shop = Bench(shop_table, Engine(shop_table.classes["slow-open-crank"], features=frozenset({"make-and-break"})))
    assert judge_sheet(shop, [PLUG]).overall.counts == {"not_judged": 1}
