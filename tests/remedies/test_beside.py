"""What is done about one reading leaves what stands beside it right: the other meshes, the other way across a pin, the other main."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.remedies.shop import after, amount, ask, bench, q, reading, remedy

from halfthou_service.bench.readings import Place
from halfthou_service.bench.remedies import Measured, RemedyFacts, sheet_remedies
from halfthou_service.bench.sheet import judge_one, judge_sheet
from halfthou_service.bench.surveys.survey import Survey
from halfthou_service.bench.surveys.verdict import judge_surveys

F = Fraction
MESHES = [("mesh 1", "7 thou"), ("mesh 2", "34 thou")]


def test_a_tight_mesh_is_never_bottomed_for_a_loose_one() -> None:
    """Fit 5 to 20 thou: meshes at 7 and 34 are 27 apart, more than 15; 18 off both would leave the tight one at -11. At 24 and 34, any
    change from -19 to -14 leaves both inside; at 7 and 21, from -2 to -1."""
    for meshes, good in ((MESHES, False), ([("mesh 1", "24 thou"), ("mesh 2", "34 thou")], True)):
        told = tuple(Measured("timing-gear-backlash", q(size), mesh) for mesh, size in meshes)
        _, found = ask("timing-gear-backlash", "34 thou", RemedyFacts(told), place="mesh 2")
        if not good:
            assert [r.id for r in found] == ["nothing-on-the-list"]
            assert "a gear is out of true" in found[0].text
            continue
        drop = 34 - after(remedy(found, "move-centres"))
        assert 14 < drop < 19
        assert "tightest mesh known reads 24 thou now" in remedy(found, "move-centres").text
        assert after(remedy(found, "eccentric-bush")) == after(remedy(found, "move-centres"))
    just = RemedyFacts((Measured("timing-gear-backlash", q("19 thou"), "mesh 1"),))  # 15 apart: both could only stand on the limits
    assert [r.id for r in ask("timing-gear-backlash", "34 thou", just, place="mesh 2")[1]] == ["nothing-on-the-list"]
    loose = RemedyFacts((Measured("timing-gear-backlash", q("7 thou"), "mesh 1"),))
    _, found = ask("timing-gear-backlash", "21 thou", loose, place="mesh 2")
    assert not found or 1 < 21 - after(remedy(found, "move-centres")) < 2


def test_meshes_surveyed_bound_the_centres_as_well() -> None:
    shop = bench()
    for tight, offered in (("7 thou", False), ("25 thou", True)):
        cells = {("mesh 1", ""): (q(tight),), ("mesh 2", ""): (q("34 thou"),)}
        judged = judge_surveys(shop, [Survey("g", "timing-gear-meshes", cells, instrument="dial-indicator")])
        items = tuple(i for j in judged for i in j.items)
        facts = RemedyFacts(surveys=tuple(j.answer for j in judged if j.answer is not None))
        ids = {r.id for each in sheet_remedies(shop, items, [], facts) for r in each}
        assert ("move-centres" in ids) == offered


def test_spans_of_other_meshes_bound_the_centres() -> None:
    shop = bench()
    one = replace(reading("timing-gear-backlash", "7 thou", "mesh 1"), id="a", values=(), span=(q("7 thou"), q("19 thou")))
    other = replace(reading("timing-gear-backlash", "34 thou", "mesh 2"), id="b")
    items = [judge_one(shop, r) for r in (one, other)]
    _, found = sheet_remedies(shop, items, [one, other], RemedyFacts())
    assert "move-centres" not in {r.id for r in found}


ROD = {"crankpin": "1.875 in"}
"""Poured rod of the table: fit 0.001 D to 0.0015 D + 0.0005 in, here 1.875 to 3.3125 thou, 1.4375 wide."""


def pin(in_line: str, across: str) -> tuple[Measured, ...]:
    return (Measured("crankpin-diameter", q(in_line), "crankpin", "middle", "in line of throw"),
            Measured("crankpin-diameter", q(across), "crankpin", "middle", "across throw"))  # fmt: skip


@pytest.mark.parametrize("value", ["9.2 thou", "1.5 thou"])
def test_an_oval_that_only_the_diameters_tell_keeps_shims_out(value: str) -> None:
    """1.8729 less 1.8712 is 1.7 thou, more than the fit is wide: 2.7 in line would be 1.0 across."""
    _, found = ask("rod-bearing-running-clearance", value, RemedyFacts(pin("1.8712 in", "1.8729 in")), bench(sizes=ROD),
                   place=Place("rod", "", "line of the throw"))  # fmt: skip
    assert not {"shim-pack", "as-written"} & {r.id for r in found}
    if value == "9.2 thou":
        pour = remedy(found, "pour-again")
        assert "True the journal first" in pour.text
        assert not any(name.startswith("bore for") for name, _, _ in pour.amount)


@pytest.mark.parametrize(("axis", "under"), [("line of the throw", F("0.7")), ("across throw", F(0)), ("", F("0.7"))])
def test_shims_are_worked_at_the_largest_diameter(axis: str, under: Fraction) -> None:
    """Oval by 0.7: the reading stands so much over the tightest in line, nothing across; where the axis is not told the worse is taken."""
    _, found = ask("rod-bearing-running-clearance", "9.2 thou", RemedyFacts(pin("1.8722 in", "1.8729 in")), bench(sizes=ROD),
                   place=Place("rod", "", axis))  # fmt: skip
    shim = remedy(found, "shim-pack")
    tight = after(shim) - under
    assert F("1.875") < tight <= F("3.3125") - F("0.7")
    assert f"On the largest diameter that is {float(tight):g} thou" in shim.text
    assert ("it is taken that the clearance was read on its smallest diameter" in shim.text) == (axis == "")
    assert amount(shim, "each side") == F("9.2") - after(shim)


def test_an_oval_pin_surveyed_keeps_shims_out() -> None:
    shop = bench(sizes=ROD)
    cells = {("middle", "in line of throw"): (q("1.8712 in"),), ("middle", "across throw"): (q("1.8729 in"),)}
    judged = judge_surveys(shop, [Survey("pin", "crankpin", cells, instance="crankpin", instrument="outside-micrometer")])
    facts = RemedyFacts(surveys=tuple(j.answer for j in judged if j.answer is not None))
    _, found = ask("rod-bearing-running-clearance", "9.2 thou", facts, shop, place=Place("rod", "", "in line of throw"))
    assert "shim-pack" not in {r.id for r in found}


@pytest.mark.parametrize(("clearance", "more", "out", "into"), [
    ("4 thou", (), "2.5", "0"),  # 4 - 1.25 = 2.75 stays over 1.875
    ("2 thou", (), "0", "2.5"),  # 2 - 1.25 would bind, 2 + 1.25 = 3.25 is still a fit (3.31)
    ("2.6 thou", (), "1.25", "1.25"),  # 1.35 would bind, 3.85 is no fit any more: the clearance stays
    ("4 thou", pin("1.8714 in", "1.8729 in"), "1.25", "1.25"),  # 2.75 in line is 1.25 across, under 1.875
])  # fmt: skip
def test_unlike_packs_are_made_alike_without_spoiling_the_clearance(clearance: str, more: tuple[Measured, ...], out: str, into: str) -> None:
    """A leaf of 2.5 thou on one side moves the clearance by half of it; the fit of a 1-7/8 in pin is 1.88 to 3.31 thou."""
    known = Measured("rod-bearing-running-clearance", q(clearance), "rod")
    _, found = ask("rod-shim-side-difference", "2.5 thou", RemedyFacts((known, *more)), bench(sizes=ROD))
    told = {name: value for name, value, _ in remedy(found, "packs-alike").amount}
    assert told.get("out of the thicker side", 0) == F(out)
    assert told.get("into the thinner side", 0) == F(into)



def test_scraping_says_that_an_oval_journal_is_trued_first() -> None:
    _, found = ask("rod-bearing-running-clearance", "0.9 thou", RemedyFacts(pin("1.8712 in", "1.8729 in")), bench(sizes=ROD), place="rod")
    assert "True the journal first" in remedy(found, "scrape").text


@pytest.mark.parametrize(("left", "right"), [("8.5 thou", "4.5 thou"), ("8.5 thou", "2 thou"), ("8.3 thou", "6.1 thou")])
def test_two_mains_are_brought_to_one_figure(left: str, right: str) -> None:
    """Allowed difference 1 thou. Doing the remedies of each main and then that of the difference as well left a main at -0.5."""
    shop = bench()
    readings = [replace(reading("main-bearing-running-clearance", value, f"{side} main"), id=side)
                for side, value in (("left", left), ("right", right))]  # fmt: skip
    answer = judge_sheet(shop, readings)
    ends = {}
    for item, found in zip(answer.items, sheet_remedies(shop, answer.items, readings, RemedyFacts()), strict=True):
        by_id = {r.id: r for r in found}
        if item.characteristic == "main-bearing-clearance-difference":
            assert set(by_id) == {"set-both"}
            assert "by their own remedies, to one figure" in by_id["set-both"].text
        else:
            given = left if item.id == "left" else right
            ends[item.id] = after(by_id["shim-pack"]) if "shim-pack" in by_id else q(given).exact
    assert abs(ends["left"] - ends["right"]) < 1


def test_mains_that_are_right_but_unlike_lose_no_more_than_they_have() -> None:
    """1.8 and 3.0 thou in a fit of 1.69 to 3.03: 1.2 apart, over 1; the looser comes down and stays over 1.69."""
    facts = RemedyFacts(tuple(Measured("main-bearing-running-clearance", q(v), m) for m, v in (("left main", "3 thou"), ("right main", "1.8 thou"))))
    _, found = ask("main-bearing-clearance-difference", "1.2 thou", facts)
    down = remedy(found, "bring-looser-side-down")
    assert 0 < amount(down, "each side") <= 3 - F("1.6875")
    assert after(down) < F("0.76")


def test_the_gap_that_the_bore_makes_is_that_of_the_bore_where_the_ring_stood() -> None:
    """Nominal 5.25; 5.2621 at the top, 5.2514 and 5.2510 below: read below, pi x 1.2 thou; read at the top, pi x 12.1 (geometry, derived)."""
    bores = tuple(Measured("cylinder-bore-diameter", q(size), "", station, axis) for station, axis, size in (
        ("top", "thrust", "5.2621 in"), ("below", "thrust", "5.2514 in"), ("below", "pin", "5.2510 in")))  # fmt: skip
    for station, excess in (("below ring travel", 1.2), ("unworn end", 1.2), ("top", 12.1)):
        _, found = ask("ring-end-gap", "82 thou", RemedyFacts(bores), place=Place("ring 1", station))
        ring = remedy(found, "new-ring")
        assert amount(ring, "of this gap the worn bore makes") == pytest.approx(3.14159 * excess, rel=1e-3)
        assert amount(ring, "a new ring opens in its travel by") == pytest.approx(3.14159 * 11.1, rel=1e-3)
        assert ring.asks == ()
    for place in (Place("ring 1"), Place("ring 1", "middle")):
        ring = remedy(ask("ring-end-gap", "82 thou", RemedyFacts(bores), place=place)[1], "new-ring")
        assert "the worn bore makes" not in ring.text
        assert ring.asks == ("where in the bore the gap was read, and the bore there",)
