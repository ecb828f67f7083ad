"""What the readings of one sheet say against each other: shims, rings, compression, conventions, slips of the pencil."""

from __future__ import annotations

import math
from typing import Any

import pytest
from tests.bench.made import FREE, NONE, bench, characteristic, inline, limit, q, read, record
from tests.bench.made import dec as d
from tests.papers.sheets import bench as demo_bench

from halfthou_service.bench.readings import Place, Rules
from halfthou_service.bench.sheet import judge_sheet
from halfthou_service.bench.surveys.survey import Survey

GAUGE = """
[[instrument]]
id = "gauge"
name = "gauge"
measures = "pressure"
cost_class = 1
default_variant = "one"
[[instrument.variant]]
id = "one"
name = "one"
parts = [{ name = "gauge", kind = "constant", value = 1, unit = "psi", grade = "from-memory" }]
"""
ROD, MAIN, GAP = "rod-bearing-running-clearance", "main-bearing-running-clearance", "ring-end-gap"
PARTS = (
    GAUGE,
    characteristic(ROD, component="connecting-rod", basis="diametral", scales_with=["crankpin"]),
    limit(ROD, (d("2"), d("4")), (NONE, d("6")), unit="thou", basis="diametral"),
    characteristic(MAIN, component="main-bearing", basis="diametral"), limit(MAIN, (d("2"), d("4")), (NONE, d("6")), unit="thou", basis="diametral"),
    characteristic("rod-shim-pack", "poor", "harmless"), limit("rod-shim-pack", (2, 100), kind="guide", unit="thou"),
    characteristic("main-shim-pack", "poor", "harmless"), limit("main-shim-pack", (2, 100), kind="guide", unit="thou"),
    characteristic(GAP, component="piston-ring", instances=["ring 1", "ring 2"]), limit(GAP, (15, 30), (NONE, 60), unit="thou"),
    characteristic("cylinder-taper", "harmless", "worn", component="cylinder"), limit("cylinder-taper", (FREE, 1), (NONE, 5), unit="thou"),
    characteristic("cranking-pressure", "poor", "poor", unit="psi", usual_instrument="gauge", component="cylinder"),
    limit("cranking-pressure", (30, 70), kind="guide", unit="psi"),
    characteristic("crankshaft-runout", "harmless", "worn", basis="total-indicator"), limit("crankshaft-runout", (FREE, 1), (NONE, 2), unit="thou",
                                                                                            basis="total-indicator"),
    characteristic("rod-bend", "harmless", "worn", basis="total-indicator"), limit("rod-bend", (FREE, 1), (NONE, 2), unit="thou",
                                                                                   basis="total-indicator"),
    characteristic("pin-out-of-round", "harmless", "worn", basis="difference-of-diameters"),
    limit("pin-out-of-round", (FREE, 1), (NONE, 2), unit="thou", basis="difference-of-diameters"),
    characteristic("ring-back-clearance", basis="radial"), limit("ring-back-clearance", (2, 5), (NONE, 9), unit="thou", basis="radial"),
)  # fmt: skip
MADE = {"state": "as_made"}


def r(name: str, y: str, ident: str, u: str = "0.1 thou", **place: str) -> Any:
    more = {key: place.pop(key) for key in ("state", "basis") if key in place}
    return read(name, y, u=u, id=ident, place=Place(**place), **more)


def clashes(*readings: Any) -> list[tuple[str, ...]]:
    return [c.ids for c in judge_sheet(bench(*PARTS), readings).contradictions]


# -- shims -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("after", "left", "right", "clash"), [
    ("3 thou", "64 thou", "64 thou", False),  # 6 to 3 by 3 a side
    ("3 thou", "64 thou", "67 thou", True),  # only one side came out: the cap closes by half
    ("4.5 thou", "64 thou", "67 thou", False),
    ("3 thou", "61 thou", "61 thou", True),
])  # fmt: skip
def test_shims_against_the_change_of_clearance(after: str, left: str, right: str, clash: bool) -> None:
    sheet = [r(ROD, "6 thou", "a", instance="rod"), r(ROD, after, "b", instance="rod", **MADE)]
    for side, now in (("left side", left), ("right side", right)):
        sheet += [r("rod-shim-pack", "67 thou", f"{side} before", instance=side), r("rod-shim-pack", now, f"{side} after", instance=side, **MADE)]
    found = judge_sheet(bench(*PARTS), sheet).contradictions
    assert bool(found) is clash
    if found:
        assert set(found[0].ids) == {s.id for s in sheet}
        assert "the clearance closed by +3.0 thou" in found[0].text


def test_each_main_has_shims_of_its_own() -> None:
    sheet = [r(MAIN, "6 thou", "a", instance="left main"), r(MAIN, "3 thou", "b", instance="left main", **MADE)]
    for side, out in (("left main front", 3), ("left main rear", 3), ("right main front", 20)):
        sheet += [r("main-shim-pack", "67 thou", f"{side} before", instance=side), r("main-shim-pack", f"{67 - out} thou", f"{side} after",
                                                                                     instance=side, **MADE)]  # fmt: skip
    assert clashes(*sheet) == []
    sheet[3] = r("main-shim-pack", "57 thou", "left main front after", instance="left main front", **MADE)
    assert len(clashes(*sheet)) == 1


# -- rings and bore ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("top", "clash"), [(25 + 3 * math.pi, False), (25 + 3.2 * math.pi, False), (25 + 4 * math.pi, True), (25.0, True)])
def test_a_ring_opens_by_pi_times_the_bores_growth(top: float, clash: bool) -> None:
    sheet = [r(GAP, f"{top:.4f} thou", "top", instance="ring 1", station="top of travel"),
             r(GAP, "25 thou", "below", instance="ring 1", station="below ring travel"), r("cylinder-taper", "3 thou", "taper")]  # fmt: skip
    assert (clashes(*sheet) == [("top", "below", "taper")]) is clash


RINGS = record("several", id="gaps", name="gaps", reads=GAP, each="instance", judged="both")


def rings(name: str, station: str, *sizes: str) -> Survey:
    cells = {(f"ring {k}", station): (q(size),) for k, size in enumerate(sizes, 1)}
    return Survey(name, "gaps", cells, standard_uncertainty=q("0.2 thou"))


@pytest.mark.parametrize(("top", "clash"), [("34.4248 thou", False), ("28 thou", True)])
def test_rings_surveyed_at_two_stations_open_by_pi_times_the_bores_growth(top: str, clash: bool) -> None:
    """3 thou of taper opens a ring by 9.4248: 25 below, 34.4 at the top. The second ring is as it should be."""
    surveys = [rings("above", "top of travel", top, "35.4248 thou"), rings("under", "below ring travel", "25 thou", "26 thou")]
    found = judge_sheet(bench(*PARTS, RINGS), [r("cylinder-taper", "3 thou", "taper", "0.2 thou")], surveys).contradictions
    assert [c.ids for c in found] == ([("above", "under", "taper")] if clash else [])


def test_good_compression_beside_a_survey_of_rings_that_are_gone() -> None:
    good = r("cranking-pressure", "50 psi", "p", "1 psi")
    told = [judge_sheet(bench(*PARTS, RINGS), [good], [rings("s", "", "25 thou", last)]).contradictions for last in ("90 thou", "26 thou")]
    assert [[c.ids for c in found] for found in told] == [[("p", "s")], []]


def test_a_ring_gap_read_in_the_worn_top_is_said() -> None:
    for station, told in (("top of travel", True), ("below ring travel", False), ("worn part", True), ("", False)):
        item = judge_sheet(bench(*PARTS), [r(GAP, "50 thou", "x", instance="ring 1", station=station)]).items[0]
        assert any("the bore as much as of the ring" in line for line in item.assumed) is told


def test_good_compression_with_rings_said_to_be_gone() -> None:
    gone, good = r(GAP, "90 thou", "gap", instance="ring 1"), r("cranking-pressure", "50 psi", "p", "1 psi")
    assert clashes(gone, good) == [("p", "gap")]
    assert clashes(r(GAP, "25 thou", "gap", instance="ring 1"), good) == []
    assert clashes(gone, r("cranking-pressure", "10 psi", "p", "1 psi")) == []
    assert clashes(gone, r("cranking-pressure", "50 psi", "p", "1 psi", **MADE)) == []
    assert clashes(gone, r("cranking-pressure", "50 psi", "p", "1 psi", station="after the rebuild")) == []


# -- slips -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("other", "hint"), [
    ("1.5 thou", "on one side only"), ("30 thou", "its point a place out"), ("0.118 thou", "inches, the other like millimetres"),
    ("3 in", "thousandths, the other like inches"), ("4 thou", ""),
])  # fmt: skip
def test_a_slip_between_two_readings_is_suspected_and_said(other: str, hint: str) -> None:
    sheet = [r(MAIN, "3 thou", "a", "0.01 thou", instance="left main"), r(MAIN, other, "b", "0.01 thou", instance="left main")]
    found = judge_sheet(bench(*PARTS), sheet).contradictions
    assert [c.ids for c in found] == [("a", "b")]
    assert hint in found[0].text


def test_half_a_clearance_is_suspected_to_be_one_side_only() -> None:
    for y, told in (("1.5 thou", True), ("1.9 thou", True), ("0.9 thou", False), ("2.5 thou", False)):
        item = judge_sheet(bench(*PARTS), [r(MAIN, y, "a")]).items[0]
        assert any("gap on one side only" in line for line in item.assumed) is told
    assert any("3 thou in all would be a new fit" in line for line in judge_sheet(bench(*PARTS), [r(MAIN, "1.5 thou", "a")]).items[0].assumed)


# -- conventions -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "basis", "y", "whole", "said"), [
    (MAIN, "radial", "1.5 thou", "3 thou", "exact where both sides are alike"), (MAIN, "total-indicator", "3 thou", "3 thou", "the whole gap"),
    (MAIN, "difference-of-diameters", "3 thou", "3 thou", ""), (MAIN, "diametral", "3 thou", "3 thou", ""),
    ("crankshaft-runout", "radial", "0.4 thou", "0.8 thou", "eccentricity"),
    ("pin-out-of-round", "radial", "0.4 thou", "0.8 thou", "not for three lobes"),
    ("ring-back-clearance", "diametral", "6 thou", "3 thou", "halved"),
])  # fmt: skip
def test_conventions_are_turned_into_the_limits_where_that_is_exact(name: str, basis: str, y: str, whole: str, said: str) -> None:
    factor = float(whole.split()[0]) / float(y.split()[0])
    one, other = (judge_sheet(bench(*PARTS), [r(name, v, "a", u, **more)]).items[0]
                  for v, u, more in ((y, "0.1 thou", {"basis": basis}), (whole, f"{0.1 * factor} thou", {})))  # fmt: skip
    assert (one.verdict, one.side, one.p_fit, one.p_serviceable) == (other.verdict, other.side, other.p_fit, other.p_serviceable)
    assert said in " ".join(one.assumed)
    assert str(one.value) == y.split()[0]


def test_the_tools_own_doubt_is_doubled_with_the_reading() -> None:
    one = judge_sheet(bench(*PARTS), [read(MAIN, "1.5 thou", instrument="micrometer", id="a", basis="radial")]).items[0]
    other = judge_sheet(bench(*PARTS), [read(MAIN, "3 thou", u="0.2 thou", id="a")]).items[0]
    assert one.u == pytest.approx(0.1)
    assert (one.p_fit, one.p_serviceable) == (other.p_fit, other.p_serviceable)
    assert "1.5 thou on one side, 3 thou in all" in one.text


@pytest.mark.parametrize(("name", "basis", "words"), [
    ("pin-out-of-round", "total-indicator", "depends on what the part turns in"), ("rod-bend", "radial", "what an indicator shows in all"),
    ("rod-shim-pack", "radial", "neither by the side nor by the diameter"),
])  # fmt: skip
def test_conventions_that_cannot_be_turned_are_refused(name: str, basis: str, words: str) -> None:
    item = judge_sheet(bench(*PARTS), [r(name, "0.5 thou", "a", basis=basis)]).items[0]
    assert item.problem is not None
    assert (item.problem.code, item.problem.pointer) == ("wrong-basis", "/basis")
    assert words in item.problem.detail


def test_with_a_limit_of_ones_own_both_are_told_alike() -> None:
    item = judge_sheet(bench(*PARTS), [read(MAIN, "1.5 thou", u="0.1 thou", id="a", basis="radial", limit=inline("thou", fit=("1", "2")))]).items[0]
    assert item.problem is not None
    assert item.problem.code == "wrong-basis"


def test_two_readings_in_two_conventions_agree() -> None:
    assert clashes(r(MAIN, "1.5 thou", "a", instance="left main", basis="radial"), r(MAIN, "3 thou", "b", instance="left main")) == []
    assert len(clashes(r(MAIN, "3 thou", "a", instance="left main", basis="radial"), r(MAIN, "3 thou", "b", instance="left main"))) == 1


# -- the N:1 rule on single readings -----------------------------------------------------------------------------


@pytest.mark.parametrize(("width", "expanded", "allowed"), [(0.1, 0.0125, True), (0.1, 0.015, False), (0.05, 0.008, False)])
def test_rule_07_simple_acceptance_only_with_a_ratio_of_four(width: float, expanded: float, allowed: bool) -> None:
    """ASME B89.7.3.1-2001 clause 2 (published definition; numbers derived): zone at least N x 2 U wide, U = 2 u; ratios 4, 3.33, 3.125."""
    own = inline("mm", fit=("0", f"{width}"), wear=("0", f"{width}"))
    reading = read("own", f"{width * 0.9} mm", u=f"{expanded / 2} mm", limit=own, id="a")
    item = judge_sheet(bench(*PARTS, rules=Rules(decision_rule="simple_n_to_1")), [reading]).items[0]
    assert item.verdict == ("within_fit" if allowed else "undecided")
    loose = judge_sheet(bench(*PARTS, rules=Rules(decision_rule="simple_n_to_1", ratio=3.0)), [reading]).items[0]
    assert loose.verdict == "within_fit"


def test_a_limit_open_on_one_side_has_no_width_to_compare() -> None:
    own = inline("mm", fit=(FREE, "1"), wear=(NONE, "1"))
    rules = Rules(decision_rule="simple_n_to_1")
    item = judge_sheet(bench(*PARTS, rules=rules), [read("own", "0.99 mm", u="5 mm", limit=own, id="a")]).items[0]
    assert item.verdict == "within_fit"
    assert any("no width to compare" in line for line in item.assumed)


@pytest.mark.parametrize(("direct", "told"), [("6 thou", 1), ("12 thou", 0), ("0.3048 mm", 0)])
def test_a_clearance_read_directly_against_bore_less_piston_read_one_by_one(direct: str, told: int) -> None:
    """5.2561 - 5.2440 = 12.1 thou; by feeler it should read about that."""
    sizes = [read("cylinder-bore-diameter", "5.2561 in", instrument="dial-bore-gauge", id="b"),
             read("piston-skirt-diameter", "5.2440 in", instrument="outside-micrometer", id="p")]  # fmt: skip
    found = judge_sheet(demo_bench(), [read("piston-to-bore-clearance", direct, instrument="feeler-gauge", id="c"), *sizes]).contradictions
    assert [c.ids for c in found] == [("c", "b", "p")] * told
    assert all("12.1 thou" in c.text for c in found)
