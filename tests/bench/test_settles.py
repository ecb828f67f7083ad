"""What would settle a doubt: repeats with the degrees of freedom they will have, a tool by its right name, and hands only where they count."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from scipy import stats
from tests.bench.made import FREE, inline, q
from tests.bench.test_two_readings import SWING, bench_of, judged

from halfthou_service.bench.item import Item
from halfthou_service.bench.readings import Place, Reading
from halfthou_service.bench.sheet import judge_sheet
from halfthou_service.bench.wording import with_article
from halfthou_specdb.table import Table

SEEN = (3.0, 3.3, 2.7, 3.05)
LIMIT = 3.2217


def seen(table: Table, values: tuple[float, ...]) -> Item:
    return judged(table, "own-length", *(f"{v:.6f} thou" for v in values), instrument="dial-indicator", limit=inline("thou", fit=(FREE, str(LIMIT))))


def alike(n: int) -> tuple[float, ...]:
    """n readings with the mean and the scatter of those seen."""
    mean = sum(SEEN) / 4
    s = math.sqrt(sum((v - mean) ** 2 for v in SEEN) / 3)
    plain = [i - (n - 1) / 2 for i in range(n)]
    scale = s / math.sqrt(sum(p * p for p in plain) / (n - 1))
    return tuple(mean + p * scale for p in plain)


def test_repeats_that_are_promised_do_settle_it(shop_table: Table) -> None:
    """Mean 3.0125, s 0.24622: t = 0.2092 / (s / sqrt n) is 1.900 for five, whose 95 % is 2.132 at 4 degrees of freedom, and 2.081 for six,
    whose 95 % is 2.015 at 5."""
    settles = seen(shop_table, SEEN).settles
    assert settles is not None
    assert (settles.how, settles.repeats) == ("repeats", 6)
    assert seen(shop_table, alike(5)).verdict == "undecided"
    assert seen(shop_table, alike(5)).p_fit == pytest.approx(stats.t.cdf(0.2092 / (0.24622 / math.sqrt(5)), 4), abs=1e-4)
    assert seen(shop_table, alike(6)).verdict == "within_fit"


@pytest.mark.parametrize(("name", "told"), [
    ("outside micrometer", "an outside micrometer"), ("dial indicator", "a dial indicator"), ("radius gauges", "radius gauges"),
    ("inside micrometer with rods", "an inside micrometer with rods"), ("round wire gauges (plug gap)", "round wire gauges (plug gap)"),
    ("straightedge and feeler", "a straightedge and feeler"), ("glass or dial thermometer", "a glass or dial thermometer"),
    ("turns of a screw or needle by eye", "turns of a screw or needle by eye"), ("supplier's certificate", "a supplier's certificate"),
    ("adjustable spark gap", "an adjustable spark gap"), ("usual thing", "a usual thing"),
])  # fmt: skip
def test_the_article_before_a_tool(name: str, told: str) -> None:
    assert with_article(name) == told


def test_the_tool_that_would_settle_it_has_its_article(shop_table: Table) -> None:
    item = judged(shop_table, "crankpin-taper", "1.45 thou", standard_uncertainty=q("0.4 thou"), limit=inline("thou", fit=(FREE, "1.9")))
    assert item.settles is not None
    assert item.settles.instrument.startswith("outside-micrometer")
    assert "An outside micrometer" in item.text


# -- hands -------------------------------------------------------------------------------------------------------


def near(table: Table, name: str, value: str, *others: Reading, u: str = "0.02 thou", **more: Any) -> Item:
    return judge_sheet(bench_of(table), [Reading("r", name, values=(q(value),), standard_uncertainty=q(u), **more), *others]).items[0]


def test_hands_are_offered_where_they_would_count(shop_table: Table) -> None:
    """Too tight is what hands can feel: at the least of a new fit, 2 thou for a 2 in journal, never at the loose end of 6 thou."""
    tight = near(shop_table, "main-bearing-running-clearance", "2 thou")
    assert tight.settles is not None
    assert (tight.verdict, tight.settles.how, tight.settles.test) == ("undecided", "hands", "bearing contact")
    loose = near(shop_table, "main-bearing-running-clearance", "6 thou")
    assert loose.settles is not None
    assert (loose.verdict, loose.settles.how) == ("undecided", "neither")


@pytest.mark.parametrize("name", ["crankpin-out-of-round", "crankpin-taper", "rod-bend"])
def test_a_shaft_that_turns_free_says_nothing_of_a_shape(shop_table: Table, name: str) -> None:
    """Right on the worn-out line, with a doubt no tool on the list improves on."""
    back = bench_of(shop_table).limit_for(shop_table.characteristics[name]).serviceable
    assert back is not None
    assert isinstance(back.high, Fraction)
    item = near(shop_table, name, f"{float(back.high) * 1000:.9f} thou")
    assert item.settles is not None
    assert (item.verdict, item.settles.how) == ("undecided", "neither")


def test_the_pull_of_the_mains_says_nothing_of_the_rod(shop_table: Table) -> None:
    """Its definition takes the rod off; 2.25 thou is the least of a new fit on a 2.25 in pin."""
    item = near(shop_table, "rod-bearing-running-clearance", "2.25 thou")
    assert item.settles is not None
    assert item.settles.how == "hands"
    assert item.settles.test != "turning effort with the main caps down"


def test_blue_says_nothing_of_play_along_the_pin(shop_table: Table) -> None:
    back = bench_of(shop_table).limit_for(shop_table.characteristics["rod-side-clearance"]).serviceable
    assert back is not None
    assert isinstance(back.low, Fraction)
    item = near(shop_table, "rod-side-clearance", f"{float(back.low) * 1000:.9f} thou", u="0.0002 thou")
    assert item.settles is not None
    assert (item.settles.how, item.settles.test) == ("hands", "free or stuck when turned by hand")


def test_a_test_that_was_done_is_not_offered_again(shop_table: Table) -> None:
    blue = Reading("b", "main-bearing-contact", values=(q("90 percent"),), place=Place("left main"))
    item = near(shop_table, "main-bearing-running-clearance", "2 thou", blue, place=Place("left main"))
    assert item.settles is not None
    assert (item.settles.how, item.settles.test) == ("hands", "turning effort with the main caps down")
    assert "a hand test may: turning effort with the main caps down." in item.text
    assert any("speaks against its being too tight" in line for line in item.assumed)
    other = near(shop_table, "main-bearing-running-clearance", "2 thou", blue, place=Place("right main"))
    assert other.settles is not None
    assert other.settles.test == "bearing contact"


@pytest.mark.parametrize(("journal", "value", "verdict"), [("2 in", "2.8 thou", "undecided"), ("3.75 in", "5.2 thou", "within_fit")])
def test_a_tool_by_feel_never_proves_a_new_fit_at_any_size(shop_table: Table, journal: str, value: str, verdict: str) -> None:
    reading = Reading("r", "main-bearing-running-clearance", values=(q(value),), instrument=SWING)
    item = judge_sheet(bench_of(shop_table, main_journal=journal), [reading]).items[0]
    assert item.verdict == verdict
    said = [line for line in item.assumed if "a new fit" in line]
    assert len(said) == 1
    assert "plastic strip" in said[0]
