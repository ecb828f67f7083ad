"""Differences told as one reading, repeats on one mark, lines of the caller's own, and a tool that cannot see an oval.

Standard uncertainties of the tools are typed from the list of instruments in micrometers (25.4 um are 0.001 in); formulas are those of
the metrology notes: a difference of two readings by one tool has sqrt 2 of the random part, and what both share cancels.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from tests.bench.made import FREE, inline, q

from halfthou_service.bench.item import Item
from halfthou_service.bench.readings import OwnLine, Reading
from halfthou_service.bench.sheet import judge_sheet
from halfthou_service.bench.surveys.survey import Survey
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.facts import Engine
from halfthou_specdb.table import Table

ENGINE = {"crankpin": "2.25 in", "main-journal": "2 in", "bore": "5.25 in", "stroke": "8 in"}
SWING, DIAL_BORE, INDICATOR = "telescoping-gauge-outside-micrometer", "dial-bore-gauge", "dial-indicator"
UM = 1 / 25.4
"""Thousandths of an inch in a micrometer."""
TILT_AND_FEEL = math.hypot(10, 7) * UM
"""Telescoping gauge, practised hand: tilt and locking 10 um, feel over the contacts 7 um (from memory)."""


def bench_of(table: Table, **dimensions: str) -> Bench:
    sizes = {name.replace("_", "-"): q(size) for name, size in {**ENGINE, **dimensions}.items()}
    return Bench(table, Engine(table.classes["slow-open-crank"], dimensions=sizes))


def judged(table: Table, name: str, *values: str, **more: Any) -> Item:
    return bench_of(table).judge(Reading("r1", name, values=tuple(map(q, values)), **more))


@pytest.mark.parametrize(("name", "value", "tool", "u"), [
    ("cylinder-taper", "4.3 thou", SWING, math.sqrt(2) * TILT_AND_FEEL),
    # set by micrometer: rocking 2 um is random; limit of error, setting and carrying over are shared by both readings
    ("cylinder-taper", "4.3 thou", DIAL_BORE, math.sqrt(2) * 2 * UM),
    # between the marks 0.7332, feel 2.5, temperature 1.5 um; limit of error and zero cancel
    ("crankpin-taper", "0.5 thou", "outside-micrometer", math.sqrt(2) * math.hypot(0.7332, 2.5, 1.5) * UM),
    ("crankpin-out-of-round", "0.5 thou", "outside-micrometer", math.sqrt(2) * math.hypot(0.7332, 2.5, 1.5) * UM),
    # two shim packs by one micrometer under an inch: between the marks 0.7332, feel 2 um; limit of error and zero cancel
    ("rod-shim-side-difference", "1 thou", "outside-micrometer/0-1-in-tenths", math.sqrt(2) * math.hypot(0.7332, 2) * UM),
])  # fmt: skip
def test_a_difference_told_as_one_reading_has_the_doubt_of_two(shop_table: Table, name: str, value: str, tool: str, u: float) -> None:
    item = judged(shop_table, name, value, instrument=tool)
    assert item.u == pytest.approx(u, rel=2e-3)
    assert any("difference of two readings by one tool" in line for line in item.assumed)


def test_told_or_worked_out_from_the_two_diameters_it_is_one_doubt(shop_table: Table) -> None:
    told = judged(shop_table, "cylinder-taper", "4.3 thou", instrument=SWING)
    two = Survey("s", "cylinder-bore", {("top", "thrust"): (q("5.2543 in"),), ("below", "thrust"): (q("5.25 in"),)}, instrument=SWING)
    worked = next(i for i in judge_sheet(bench_of(shop_table), [], [two]).items if i.characteristic == "cylinder-taper")
    assert worked.u is not None
    assert told.u == pytest.approx(worked.u * 1000, rel=1e-9)
    assert (told.verdict, told.p_serviceable) == (worked.verdict, worked.p_serviceable) == ("undecided", pytest.approx(0.9189, abs=1e-3))


def test_two_clearances_by_strips_share_nothing(shop_table: Table) -> None:
    one = judged(shop_table, "main-bearing-running-clearance", "2 thou", instrument="plastic-gauge-strip")
    two = judged(shop_table, "main-bearing-clearance-difference", "2 thou", instrument="plastic-gauge-strip")
    assert one.u is not None
    assert two.u == pytest.approx(one.u * math.sqrt(2), rel=1e-9)


def test_a_tool_that_reads_the_difference_itself_keeps_its_own_budget(shop_table: Table) -> None:
    """Dial indicator in thousandths, short move: 0.1155, 0.0577 and 0.1575 thou (2.9329, 1.4665 and 4 um)."""
    item = judged(shop_table, "cylinder-ridge", "2 thou", instrument=INDICATOR)
    assert item.u == pytest.approx(math.hypot(2.9329, 1.4665, 4) * UM, rel=1e-3)
    assert not any("two readings" in line for line in item.assumed)


def test_told_as_a_radius_it_is_half_of_the_same(shop_table: Table) -> None:
    whole = judged(shop_table, "cylinder-out-of-round", "2 thou", instrument=DIAL_BORE)
    half = judged(shop_table, "cylinder-out-of-round", "1 thou", instrument=DIAL_BORE, basis="radial")
    assert whole.u is not None
    assert half.u == pytest.approx(whole.u / 2, rel=1e-9)
    assert half.p_serviceable == whole.p_serviceable


# -- repeats on one mark -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("n", [4, 30])
def test_repeats_on_one_mark_leave_the_step(shop_table: Table, n: int) -> None:
    """Steel rule in half millimetres: step 0.5 / sqrt 12 = 0.1443 mm, marks 0.1 / sqrt 3 = 0.0577 mm."""
    item = judged(shop_table, "own-length", *["10.5 mm"] * n, instrument="steel-rule", limit=inline("mm", fit=(FREE, "10.7")))
    assert item.u == pytest.approx(math.hypot(0.5 / math.sqrt(12), 0.1 / math.sqrt(3)), rel=1e-3)
    assert item.verdict == "undecided"


def test_thirty_readings_of_a_dial_are_no_finer_than_its_marks(shop_table: Table) -> None:
    """Repeat 2.9329 um and mount 4 um average out by sqrt 30; the reading between the marks, 1.4665 um, does not."""
    item = judged(shop_table, "own-length", *["3 thou"] * 30, instrument=INDICATOR, limit=inline("thou", fit=(FREE, "3.2")))
    assert item.u == pytest.approx(math.sqrt((2.9329**2 + 4**2) / 30 + 1.4665**2) * UM, rel=1e-3)


def test_scatter_larger_than_the_step_takes_its_place(shop_table: Table) -> None:
    """10, 11, 10, 11 mm: s = 0.57735, of the mean of four 0.288675; the marks 0.1 / sqrt 3 stay."""
    item = judged(shop_table, "own-length", "10 mm", "11 mm", "10 mm", "11 mm", instrument="steel-rule", limit=inline("mm", fit=(FREE, "12")))
    assert item.u == pytest.approx(math.hypot(0.288675, 0.0577350), rel=1e-3)


def test_repeats_at_every_place_of_a_survey_leave_the_step_too(shop_table: Table) -> None:
    """Micrometer: feel 2.5 and temperature 1.5 um by sqrt 4, the marks 0.7332 um whole."""
    cells = {("inner", axis): (q("2.25 in"),) * 4 for axis in ("in line of throw", "across throw")}
    survey = judge_sheet(bench_of(shop_table), [], [Survey("s", "crankpin", cells, instrument="outside-micrometer")]).surveys[0]
    assert survey.answer is not None
    assert survey.answer.u_random == pytest.approx(math.sqrt((2.5**2 + 1.5**2) / 4 + 0.7332**2) * UM / 1000, rel=1e-3)


# -- lines of the caller's own -----------------------------------------------------------------------------------


def test_a_line_that_replaces_none_is_said_to_be_added(shop_table: Table) -> None:
    def with_line(name: str) -> Item:
        line = OwnLine(name, q("0.3 thou"), random=True)
        return judged(shop_table, "own-length", "3 thou", instrument=INDICATOR, own_lines=(line,), limit=inline("thou", fit=(FREE, "4")))

    added, replaced = with_line("mount"), with_line("stand and mount")
    assert added.u == pytest.approx(math.sqrt((2.9329**2 + 1.4665**2 + 4**2) * UM**2 + 0.3**2), rel=1e-3)
    assert replaced.u == pytest.approx(math.sqrt((2.9329**2 + 1.4665**2) * UM**2 + 0.3**2), rel=1e-3)
    said = [line for line in added.assumed if "added to the tool's own lines" in line]
    assert len(said) == 1
    assert "stand and mount" in said[0]
    assert said[0].endswith(": mount")
    assert not any("added to" in line for line in replaced.assumed)


# -- a tool that cannot see an oval ------------------------------------------------------------------------------

THREE_POINT = "three-point-internal-micrometer"


@pytest.mark.parametrize("more", [{}, {"standard_uncertainty": q("0.05 thou")}])
def test_a_tool_blind_to_ovals_proves_no_roundness(shop_table: Table, more: dict[str, Any]) -> None:
    item = judged(shop_table, "cylinder-out-of-round", "0.1 thou", instrument=THREE_POINT, **more)
    assert item.verdict == "not_judged"
    assert item.problem is not None
    assert item.problem.code == "wrong-instrument"
    assert "cannot see an oval" in item.text
    assert "two-point gauge" in item.text
    # a split bearing's out-of-round is an oval as well; a size is none
    assert judged(shop_table, "bearing-bore-out-of-round", "0.1 thou", instrument=THREE_POINT, **more).verdict == "not_judged"
    assert judged(shop_table, "cylinder-taper", "0.1 thou", instrument=THREE_POINT, **more).problem is None


def test_a_survey_by_a_tool_blind_to_ovals_tells_no_roundness(shop_table: Table) -> None:
    cells = {("top", axis): (q(size),) for axis, size in (("thrust", "3.5000 in"), ("pin", "3.5000 in"), ("45 degrees", "3.5001 in"))}
    answer = judge_sheet(bench_of(shop_table, bore="3.5 in"), [], [Survey("s", "cylinder-bore", cells, instrument=THREE_POINT)])
    assert not [i for i in answer.items if i.characteristic == "cylinder-out-of-round"]
    survey = answer.surveys[0].answer
    assert survey is not None
    assert not [f for f in survey.figures if "out-of-round" in f.name]
    assert {f.name for f in survey.figures} >= {"smallest", "largest", "mean"}
    told = " ".join(survey.notes)
    assert "cannot see an oval" in told
    assert "three-point bore gauge" not in told
    assert survey.sizes[("top", "thrust")] == Fraction("3.5")
