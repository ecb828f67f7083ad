"""How remedies are told: nothing on its limit, sizes in inches, nothing twice, nothing dear as free, and only what is missing asked for."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.remedies.shop import amount, ask, bench, known, q, remedy

from halfthou_service.bench.remedies import Bush, RemedyFacts
from halfthou_service.bench.remedies._costs import cost_of
from halfthou_service.bench.remedies._telling import told
from halfthou_specdb.units import UNITS

F = Fraction
BORES = "5.2621 in; 5.2574 in; 5.2511 in"


@pytest.mark.parametrize(("name", "value"), [("flywheel-bore-fit", "4.5 thou"), ("babbitt-thickness", "20 thou"), ("valve-margin", "5 thou"),
                                             ("refuel-distance", "1 m")])  # fmt: skip
def test_nothing_is_aimed_at_the_limit_itself(name: str, value: str) -> None:
    """A finished figure that is to be read on its limit cannot be shown to be inside."""
    _, found = ask(name, value)
    landing = [r for r in found if r.predicted is not None and r.tolerance is not None]
    assert landing
    for one in landing:
        assert one.predicted is not None
        assert one.tolerance is not None
        assert one.predicted[0] not in (one.tolerance.low, one.tolerance.high), one.text


def test_the_pin_is_asked_for_where_only_it_is_missing_and_the_boss_is_taken_as_iron() -> None:
    """A steel boss is twice as stiff as grey iron, gives less, and so the bush closes more (thick cylinders; moduli from memory)."""
    told = Bush(outside=q("1.375 in"), boss_outside=q("2 in"), interference=q("3 thou"))
    _, found = ask("wrist-pin-bush-clearance", "6 thou", RemedyFacts(bush=told))
    assert remedy(found, "bush").asks == ("wrist pin as measured",)
    _, found = ask("wrist-pin-bush-clearance", "6 thou", RemedyFacts(bush=replace(told, pin=q("1.1246 in"))))
    iron = remedy(found, "bush")
    assert "boss is taken as grey iron" in iron.text
    assert iron.asks == ("what the boss is made of",)
    assert "ream the new bush to 1.125" in iron.text
    _, found = ask("wrist-pin-bush-clearance", "6 thou", RemedyFacts(bush=replace(told, pin=q("1.1246 in"), boss_modulus=q("30000000 psi"))))
    steel = remedy(found, "bush")
    assert "grey iron" not in steel.text
    assert steel.asks == ()
    assert amount(steel, "its bore closes by") > amount(iron, "its bore closes by")


def test_sizes_are_told_in_inches_and_trifles_as_trifles() -> None:
    """1.751 in told as 1751 thou is a size; 0.00114 thou is what no shop can read."""
    assert told(F("1751.4"), UNITS["thou"]) == "1.7514 in"
    assert told(F("125"), UNITS["thou"]) == "125 thou"
    assert told(F("0.00114"), UNITS["thou"]) == told(F("0.00114") / 1000, UNITS["in"]) == "next to nothing"
    assert told(F(0), UNITS["thou"]) == "0 thou"
    assert told(F("0.051"), UNITS["thou"]) == "0.051 thou"
    _, found = ask("cylinder-taper", "9 thou", RemedyFacts(known(cylinder_bore_diameter=BORES)))
    assert "cleans up at 5.2631 in if worn evenly, 5.2741 in if all on one side" in remedy(found, "rebore").text
    facts = RemedyFacts(known(crankpin_diameter="1.998 in; 1.994 in"))
    _, found = ask("crankpin-out-of-round", "4 thou", facts, bench(sizes={"crankpin": "2 in"}))
    assert "grind to 1.993 in if worn evenly, 1.989 in if all on one side" in remedy(found, "grind-clean").text


def test_words_of_the_table_that_say_the_same_again_are_left_out() -> None:
    """The lash said once; a hot stem's rule, which no amount says, stays."""
    _, found = ask("valve-lash-inlet", "60 thou")
    assert [r.id for r in found] == ["set"]
    _, found = ask("rod-bearing-running-clearance", "9 thou")
    assert "as-written" in {r.id for r in found}


@pytest.mark.parametrize(("name", "side", "text", "cost"), [
    ("main-bearing-running-clearance", "high", "Take shims out; none left: pour again on a true mandrel.", "machine"),
    ("timing-gear-backlash", "high", "Bring the centres closer if they adjust, bush the cam-gear stud, then a new gear.", "part"),
    ("flywheel-hub-crack", "high", "Do not run. Find another wheel.", "part"),
    ("detent-rest-gap", "low", "Adjust the governor arm screw.", "free"),
    ("spark-plug-gap", "high", "bend the side electrode in; renew a burnt plug", "free"),
])  # fmt: skip
def test_what_costs_something_is_not_told_to_cost_nothing(name: str, side: str, text: str, cost: str) -> None:
    assert cost_of(name, side, text) == cost
