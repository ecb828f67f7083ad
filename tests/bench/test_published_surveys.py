"""Surveys against the reference notes' worked examples: id of the row, its source, its grade; figures typed from there."""

from __future__ import annotations

import math

import pytest
from tests.bench.made import q
from tests.bench.survey_shop import answer, figure, shop, survey

from halfthou_service.bench.extremes import range_at_most
from halfthou_service.bench.surveys.survey import clearances, work_out

READINGS = {("top", "A"): "101.68 mm", ("top", "B"): "101.64 mm", ("middle", "A"): "101.66 mm", ("middle", "B"): "101.635 mm",
            ("bottom", "A"): "101.625 mm", ("bottom", "B"): "101.62 mm"}  # fmt: skip


def test_geom_01_bore_survey_three_depths_by_two_axes() -> None:
    """Worked out here (derived), by the definitions of an Army manual (three levels, two readings at right angles; published). New 101.6 mm."""
    found = answer("hole", READINGS, u="0.003 mm", new="101.6 mm")
    assert {f.where: float(f.value) for f in found.figures if f.name == "out-of-round-at-station"} == pytest.approx(
        {"top": 0.04, "middle": 0.025, "bottom": 0.005}, rel=0, abs=1e-7)  # fmt: skip
    assert {f.where: float(f.value) for f in found.figures if f.name == "taper-on-axis"} == pytest.approx({"A": 0.055, "B": 0.02}, rel=0, abs=1e-7)
    told = {name: figure(found, name) for name in ("out-of-round", "mean", "wear", "largest")}
    assert float(told["out-of-round"].value) == pytest.approx(0.04, rel=0, abs=1e-7)
    assert float(told["mean"].value) == pytest.approx(101.6433333, rel=0, abs=1e-7)
    assert (float(told["wear"].value), told["wear"].where) == (pytest.approx(0.08, rel=0, abs=1e-7), "top, A")
    assert told["largest"].where == "top, A"


def test_geom_03_what_cancels_and_what_does_not() -> None:
    """Worked out here (derived): random 0.003, shared 0.004 mm, six readings. Their taper is that of one axis."""
    found = answer("hole", READINGS, u="0.003 mm", shared="0.004 mm", new="101.6 mm", new_uncertainty="0 mm")
    told = {"out-of-round": 0.00424264, "taper-on-axis": 0.00424264, "mean": 0.0041833, "wear": 0.005}
    assert {name: figure(found, name).u for name in told} == pytest.approx(told, rel=0, abs=1e-7)


def test_geom_04_three_lobes_have_one_diameter() -> None:
    """Worked out here (derived): r = 19.05 + 0.01 cos 3 t mm; diameters differ by nothing, the roundness is 0.02. The survey warns of it."""
    def radius(t: float) -> float:
        return 19.05 + 0.01 * math.cos(3 * math.radians(t))

    sizes = {("top", str(t)): f"{radius(t) + radius(t + 180):.9f} mm" for t in range(0, 180, 20)}
    found = answer("shaft", sizes, u="0.003 mm")
    assert float(figure(found, "out-of-round").value) == pytest.approx(0.0, rel=0, abs=1e-6)
    assert max(map(radius, range(360))) - min(map(radius, range(360))) == pytest.approx(0.02, rel=0, abs=1e-6)
    assert any("three lobes" in note for note in found.notes)


@pytest.mark.parametrize(("k", "d2", "apparent"), [(2, 1.128, 0.000338), (3, 1.693, 0.000508), (4, 2.059, 0.000618)])
def test_geom_08_apparent_out_of_round_of_a_perfect_bore(k: int, d2: float, apparent: float) -> None:
    """Worked out here (derived; control-chart constants): u = 0.0003 in. Mean of the distribution, and what the survey says, rounded up."""
    step = 0.002
    mean = sum((1.0 - range_at_most([0.0] * k, 1.0, (i + 0.5) * step)) * step for i in range(4000))
    assert mean == pytest.approx(d2, rel=0, abs=0.0006)
    notes = answer("hole", {("top", str(i)): "2 in" for i in range(k)}, u="0.0003 in").notes
    told = next(note for note in notes if "perfectly round" in note)
    assert float(told.split("about ")[1].split(" thou")[0]) / 1000 == pytest.approx(apparent, rel=0, abs=1.0001e-5)


def subtraction(u_bore: str, u_shaft: str, **more: object) -> float:
    table = shop().table
    bore = work_out(table, survey("hole", {("top", "A"): "38.075 mm"}, u=u_bore, **more))
    shaft = work_out(table, survey("shaft", {("top", "A"): "38.02 mm"}, u=u_shaft, **more))
    found = clearances(table, table.pairs["play"], bore, shaft).smallest
    assert found.value == q("0.055 mm").exact
    return found.u


def test_clr_01_clearance_from_two_independent_tools() -> None:
    """Worked out here (derived): 38.075(0.006) less 38.02(0.004) mm is 0.055(0.0072111)."""
    assert subtraction("0.006 mm", "0.004 mm") == pytest.approx(0.0072111, rel=0, abs=1e-7)


def test_clr_05_a_fully_shared_error_cancels_in_a_difference() -> None:
    """Worked out here (derived): 0.004 mm shared in full leaves nothing; here beside a random 1e-9 mm, as no tool is perfect."""
    more = {"shared": "0.004 mm", "measured_by_same_tool": True}
    assert subtraction("0.000000001 mm", "0.000000001 mm", **more) == pytest.approx(0.0, rel=0, abs=1e-8)
    more["measured_by_same_tool"] = False
    assert subtraction("0.000000001 mm", "0.000000001 mm", **more) == pytest.approx(0.004 * math.sqrt(2), rel=0, abs=1e-8)
