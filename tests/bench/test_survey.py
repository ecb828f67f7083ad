"""What follows from a survey: sizes, shape, wear and clearance with their doubts, what cannot be seen, and what is refused."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from tests.bench.made import q
from tests.bench.survey_shop import answer, figure, grid, shop, survey

from halfthou_service.bench.readings import ReadingProblem
from halfthou_service.bench.surveys.survey import clearances, work_out
from halfthou_specdb.table import Table

ONE = grid([[2.001, 2.0, 2.0005], [2.0012, 2.0002, 2.0004], [2.002, 2.0003, 2.0001]])


def value(found: Any, name: str) -> float:
    return float(figure(found, name).value)


# -- figures -----------------------------------------------------------------------------------------------------


def test_sizes_shape_and_where_they_were_met() -> None:
    found = answer("hole", ONE, u="0.1 thou")
    told = {f.name: (f.value, f.where) for f in found.figures if not f.name.endswith(("station", "axis"))}
    assert told == {
        "smallest": (Fraction("2.0"), "top, B"), "largest": (Fraction("2.002"), "bottom, A"), "mean": (Fraction("18.0057") / 9, ""),
        "out-of-round": (Fraction("0.0019"), "bottom"), "taper": (Fraction("0.0009") / 9 * 3, "bottom less top"),
        "signed-taper": (Fraction("-0.0009") / 9 * 3, "top less bottom"), "wear": (Fraction("0.0011"), "middle, A against bottom, C"),
    }  # fmt: skip
    assert {(f.where, float(f.value)) for f in found.figures if f.name == "out-of-round-at-station"} == {
        ("top", 0.001), ("middle", 0.001), ("bottom", 0.0019)}  # fmt: skip
    assert {f.where: float(f.value) for f in found.figures if f.name == "taper-on-axis"} == {"A": 0.001, "B": 0.0003, "C": 0.0004}


def test_a_shafts_taper_is_one_end_less_the_other_and_a_bores_the_largest_less_the_smallest() -> None:
    barrel = grid([[2.0], [2.001], [2.0002]], axes="A")
    assert value(answer("shaft", barrel, u="0.1 thou"), "taper") == pytest.approx(0.0002, abs=1e-12)
    assert value(answer("hole", barrel, u="0.1 thou"), "taper") == pytest.approx(0.001, abs=1e-12)


def test_the_order_of_the_readings_changes_nothing() -> None:
    there, back = answer("hole", ONE, u="0.1 thou"), answer("hole", dict(reversed(ONE.items())), u="0.1 thou")
    for name in ("smallest", "largest", "mean", "out-of-round", "taper", "signed-taper", "wear"):
        assert (figure(there, name).value, figure(there, name).where) == (figure(back, name).value, figure(back, name).where)


def test_taper_is_told_from_the_axes_that_all_stations_share() -> None:
    found = answer("hole", {("top", "A"): 2.0, ("top", "B"): 2.01, ("bottom", "A"): 2.001}, u="0.1 thou")
    assert value(found, "taper") == pytest.approx(0.001, abs=1e-12)
    assert any("the axes they share" in note for note in found.notes)
    none = answer("hole", {("top", "A"): 2.0, ("bottom", "B"): 2.001}, u="0.1 thou")
    assert "taper" not in {f.name for f in none.figures}


def test_repeats_are_averaged_exactly_and_units_may_be_mixed() -> None:
    found = answer("hole", {("top", "A"): ["2.000 in", "2.001 in", "50.8508 mm"]}, u="0.1 thou")
    assert figure(found, "mean").value == (Fraction(2) + Fraction("2.001") + Fraction("50.8508") / Fraction("25.4")) / 3


# -- doubts ------------------------------------------------------------------------------------------------------


def test_a_tools_own_parts_cancel_in_differences_and_stay_in_sizes() -> None:
    """The swing gauge: micrometer 0.15 thou shared, tilt 0.3 thou random."""
    found = answer("hole", grid([[2.0, 2.001], [2.0, 2.001]]), instrument="swing")
    assert (found.u_random, found.u_shared) == (pytest.approx(0.0003), pytest.approx(0.00015))
    told = {f.name: f.u for f in found.figures}
    assert told["smallest"] == told["largest"] == pytest.approx(math.hypot(0.0003, 0.00015))
    assert told["mean"] == pytest.approx(math.hypot(0.0003 / 2, 0.00015))
    assert told["out-of-round"] == pytest.approx(0.0003 * math.sqrt(2))
    assert told["taper"] == pytest.approx(0.0003)
    assert {line.name for line in figure(found, "largest").lines} == {"micrometer", "tilt"}
    assert {line.name for line in figure(found, "out-of-round").lines} == {"tilt"}


@pytest.mark.parametrize("name", ["smallest", "out-of-round", "taper", "wear", "mean"])
def test_the_lines_make_the_whole(name: str) -> None:
    for more in ({"instrument": "swing"}, {"u": "0.1 thou", "shared": "0.2 thou"}, {"instrument": "swing", "new": "1.999 in"},
                 {"instrument": "swing", "temperature": "90 degF"}):  # fmt: skip
        found = figure(answer("hole", ONE, **more), name)
        assert math.sqrt(math.fsum(line.u**2 for line in found.lines)) == pytest.approx(found.u, rel=1e-9), more


def test_one_figure_without_a_word_on_what_is_shared_is_not_averaged_away() -> None:
    told = answer("hole", ONE, u="0.1 thou")
    assert figure(told, "mean").u == pytest.approx(0.0001)
    split = answer("hole", ONE, u="0.1 thou", shared="0 thou")
    assert figure(split, "mean").u == pytest.approx(0.0001 / 3)


def test_a_tool_whose_parts_nobody_told_apart_cancels_nothing_and_counts_once() -> None:
    found = answer("hole", ONE, instrument="lump")
    assert (found.u_random, found.u_shared) == (pytest.approx(0.0002), 0.0)


def test_few_repeats_do_not_shrink_a_tools_doubt_and_four_do() -> None:
    three, four = (answer("hole", {("top", "A"): [2.0] * n}, instrument="swing") for n in (3, 4))
    assert three.u_random == pytest.approx(0.0003)
    assert any("3 repeats" in line for line in three.doubts.assumed)
    assert four.u_random == pytest.approx(0.00015)
    uneven = answer("hole", {("top", "A"): [2.0] * 9, ("top", "B"): [2.0] * 4}, instrument="swing")
    assert uneven.u_random == pytest.approx(0.00015)


def test_scatter_pooled_over_the_places_counts_where_it_is_larger_than_the_tools_own() -> None:
    """Two places, three repeats each a thou apart: s = 1 thou with 4 degrees of freedom, over sqrt 3."""
    wild = {("top", "A"): [2.0, 2.001, 2.002], ("bottom", "A"): [2.0, 2.001, 2.002]}
    found = answer("hole", wild, instrument="swing")
    assert found.u_random == pytest.approx(0.001 / math.sqrt(3), rel=1e-9)
    assert found.doubts.dof == 4
    assert [line.name for line in found.doubts.random_lines] == ["scatter of repeats, pooled over 2 places"]
    assert figure(found, "taper").dof == 4
    whole = figure(found, "smallest")
    assert whole.dof == pytest.approx(4 * (whole.u / found.u_random) ** 4)
    calm = answer("hole", {spot: [2.0, 2.00001, 2.00002] for spot in wild}, instrument="swing")
    assert calm.u_random == pytest.approx(0.0003)
    assert math.isinf(calm.doubts.dof)


def test_a_stated_doubt_does_not_hide_repeats_that_scatter_by_more() -> None:
    wild = {("top", "A"): [2.0, 2.001, 2.002], ("bottom", "A"): [2.0, 2.001, 2.002]}
    assert answer("hole", wild, u="0.1 thou").u_random == pytest.approx(0.001 / math.sqrt(3), rel=1e-9)
    assert answer("hole", wild, u="2 thou").u_random == pytest.approx(0.002)


def test_two_repeats_that_disagree_are_said_and_counted() -> None:
    found = answer("hole", {("top", "A"): [2.0, 2.004], ("bottom", "A"): 2.0}, instrument="swing")
    assert found.u_random == pytest.approx(math.hypot(0.0003, 0.002))
    assert any("further apart than the tool explains" in line for line in found.doubts.assumed)
    calm = answer("hole", {("top", "A"): [2.0, 2.0011], ("bottom", "A"): 2.0}, instrument="swing")
    assert calm.u_random == pytest.approx(0.0003)


def test_a_tool_that_was_not_named_is_assumed_aloud() -> None:
    found = answer("hole", ONE)
    assert found.budget.instrument == "swing/one"
    assert found.doubts.assumed[0] == "no instrument named: taken as swing gauge"
    assert answer("hole", ONE, u="0.1 thou").doubts.assumed == ()


# -- wear --------------------------------------------------------------------------------------------------------


def test_wear_against_the_part_where_nothing_ran() -> None:
    bore = answer("hole", grid([[2.005, 2.004], [2.003, 2.002], [2.0002, 2.0]]), instrument="swing")
    assert value(bore, "wear") == pytest.approx(0.005)
    assert figure(bore, "wear").u == pytest.approx(0.0003 * math.sqrt(2))
    shaft = answer("shaft", {("collar", "A"): 2.0001, ("collar", "B"): 2.0, ("top", "A"): 1.997, ("top", "B"): 1.999}, instrument="mike")
    assert value(shaft, "wear") == pytest.approx(0.0031)


def test_a_shafts_unworn_part_counts_for_nothing_else() -> None:
    found = answer("shaft", {("collar", "A"): 2.01, ("top", "A"): 1.997, ("top", "B"): 1.999}, u="0.1 thou")
    assert (value(found, "largest"), value(found, "out-of-round")) == (pytest.approx(1.999), pytest.approx(0.002))
    assert set(found.sizes) == {("top", "A"), ("top", "B")}
    assert set(found.unworn) == {("collar", "A")}
    with pytest.raises(ReadingProblem, match="nothing was read where it runs"):
        answer("shaft", {("collar", "A"): 2.0}, u="0.1 thou")


def test_wear_from_a_size_when_new() -> None:
    more = {"new": "2.0015 in", "new_uncertainty": "0.05 thou"}
    apart = answer("shaft", ONE, u="0.1 thou", shared="0.2 thou", **more)
    assert value(apart, "wear") == pytest.approx(0.0015)
    assert figure(apart, "wear").u == pytest.approx(1e-3 * math.sqrt(0.1**2 + 0.05**2 + 0.2**2))
    same = answer("shaft", ONE, u="0.1 thou", shared="0.2 thou", measured_by_same_tool=True, **more)
    assert figure(same, "wear").u == pytest.approx(1e-3 * math.hypot(0.1, 0.05))
    silent = answer("shaft", ONE, u="0.1 thou", shared="0.2 thou", new="2.0015 in")
    assert figure(silent, "wear").u == pytest.approx(1e-3 * math.sqrt(0.1**2 + (0.1**2 + 0.2**2) + 0.2**2))
    assert any("taken as that of one reading" in note for note in silent.notes)


def test_without_a_size_when_new_no_wear_is_told() -> None:
    found = answer("shaft", ONE, u="0.1 thou")
    assert "wear" not in {f.name for f in found.figures}
    assert any("no wear is told" in note for note in found.notes)


# -- what cannot be seen -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("axes", "floor", "shown"), [(2, "0.12 thou", "0.28 thou"), (3, "0.17 thou", "0.34 thou"), (4, "0.21 thou", "0.37 thou")])
def test_the_noise_floor_of_a_round_part(axes: int, floor: str, shown: str) -> None:
    """GEOM-08 (derived): d2 = 1.128, 1.693, 2.059 times u; below 2.77 u on two axes nothing is shown. u = 0.1 thou, told rounded up."""
    found = answer("hole", grid([[2.0] * axes]), u="0.1 thou")
    assert any(f"about {floor} out of round on {axes} axes" in note for note in found.notes)
    assert any(f"no out-of-round can be shown with this tool: all of it may be the tool's own scatter (up to {shown})" in n for n in found.notes)
    oval = answer("hole", grid([[2.001] + [2.0] * (axes - 1)]), u="0.1 thou")
    assert not any("no out-of-round can be shown" in note for note in oval.notes)


@pytest.mark.parametrize(("axes", "blind", "silent"), [(1, False, True), (2, True, False), (3, False, False)])
def test_two_axes_cannot_see_an_oval_at_45_degrees(axes: int, blind: bool, silent: bool) -> None:
    notes = answer("hole", grid([[2.0] * axes]), u="0.1 thou").notes
    assert any("45 degrees" in note for note in notes) is blind
    assert any("one axis says nothing" in note for note in notes) is silent
    assert any("three lobes" in note for note in notes) is not silent


def test_how_to_look_for_three_lobes_depends_on_the_part() -> None:
    told = {kind: " ".join(answer(kind, ONE, u="0.1 thou").notes) for kind in ("hole", "shaft")}
    assert "three-point bore gauge" in told["hole"]
    assert "V-block" in told["shaft"]


def test_an_oval_at_45_degrees_and_three_lobes_as_read() -> None:
    """An oval 2 R + 2 a cos 2(t - 45 deg) reads the same on 0 and 90 degrees; r = R + a cos 3 t has one diameter all round (GEOM-04)."""
    oval = answer("hole", grid([[2 + 0.002 * math.cos(2 * math.radians(t - 45)) for t in (0, 90)]]), u="0.1 thou")
    assert value(oval, "out-of-round") == pytest.approx(0.0, abs=1e-9)
    third = answer("hole", grid([[2 + 0.002 * math.cos(2 * math.radians(t - 45)) for t in (0, 90, 45)]]), u="0.1 thou")
    assert value(third, "out-of-round") == pytest.approx(0.002, abs=1e-9)

    def lobed(t: float) -> float:
        return sum(1.0 + 0.01 * math.cos(3 * math.radians(t + turn)) for turn in (0, 180))

    assert value(answer("hole", grid([[lobed(t) for t in range(0, 180, 30)]]), u="0.1 thou"), "out-of-round") == pytest.approx(0.0, abs=1e-7)


def test_what_a_full_survey_would_hold() -> None:
    notes = answer("hole", {("top", "A"): 2.0, ("bottom", "A"): 2.0}, u="0.1 thou").notes
    assert "a full survey has 3 stations (top, middle, bottom); this one has 2 (middle not read)" in notes
    assert not any("a full survey" in note for note in answer("hole", ONE, u="0.1 thou").notes)


# -- clearance ---------------------------------------------------------------------------------------------------


def test_clearance_is_exact_and_its_errors_cancel_only_where_one_tool_is_said() -> None:
    """Swing gauge (micrometer 0.15, tilt 0.3) on a shaft by micrometer (screw 0.12 and zero 0.09: 0.15 shared; feel 0.1), in thou."""
    table = shop().table
    bore = {"instrument": "swing"}, {"instrument": "mike"}
    told = {}
    for same in (False, True):
        pair = [work_out(table, survey(kind, {("top", "A"): size}, measured_by_same_tool=same, **more))
                for kind, size, more in zip(("hole", "shaft"), ("1.5030 in", "1.5000 in"), bore, strict=True)]  # fmt: skip
        told[same] = clearances(table, table.pairs["play"], *pair)
        assert told[same].smallest.value == told[same].largest.value == Fraction("0.003")
    assert told[False].smallest.u == pytest.approx(1e-3 * math.sqrt(0.3**2 + 0.1**2 + 0.15**2 + 0.15**2))
    assert told[True].smallest.u == pytest.approx(1e-3 * math.hypot(0.3, 0.1))
    assert any("say same_tool" in line for line in told[False].assumed)
    assert told[True].assumed == ()


def test_tools_with_nothing_in_common_cancel_nothing() -> None:
    table = shop().table
    pair = [work_out(table, survey(kind, {("top", "A"): size}, instrument=tool, measured_by_same_tool=True))
            for kind, size, tool in (("hole", "1.5030 in", "lump"), ("shaft", "1.5000 in", "mike"))]  # fmt: skip
    found = clearances(table, table.pairs["play"], *pair)
    assert found.smallest.u == pytest.approx(1e-3 * math.sqrt(0.2**2 + 0.1**2 + 0.15**2))
    assert found.assumed == ()


def test_bore_and_shaft_may_be_told_in_different_units() -> None:
    table = shop().table
    bore = work_out(table, survey("hole", {("top", "A"): "38.1762 mm"}, u="0.1 thou"))
    shaft = work_out(table, survey("shaft", {("top", "A"): "1.5000 in"}, u="0.1 thou"))
    found = clearances(table, table.pairs["play"], bore, shaft)
    assert found.smallest.value == Fraction("0.0762")
    assert found.smallest.u == pytest.approx(0.00254 * math.sqrt(2))


def test_a_temperature_stated_for_one_part_only_is_said() -> None:
    table = shop().table
    told = {}
    for warmth in ("", "68 degF", "90 degF"):
        more = {"temperature": warmth} if warmth else {}
        told[warmth] = work_out(table, survey("shaft", {("top", "A"): "1.5000 in"}, u="0.1 thou", **more))
    cold = work_out(table, survey("hole", {("top", "A"): "1.5030 in"}, u="0.1 thou"))
    known = work_out(table, survey("hole", {("top", "A"): "1.5030 in"}, u="0.1 thou", temperature="68 degF"))
    pair = table.pairs["play"]
    assert clearances(table, pair, cold, told[""]).assumed == clearances(table, pair, known, told["68 degF"]).assumed == ()
    assert any("bore's temperature is not stated" in line for line in clearances(table, pair, cold, told["90 degF"]).assumed)
    assert any("shaft's temperature is not stated" in line for line in clearances(table, pair, known, told[""]).assumed)
    assert any("measured at different temperatures" in line for line in clearances(table, pair, known, told["90 degF"]).assumed)


# -- refusals ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("kind", "sizes", "more", "code", "pointer"), [
    ("valve", {("a", ""): 2.0}, {}, "unknown-survey", "/feature"),
    ("hole", {}, {}, "no-value", "/readings"),
    ("hole", {("a", ""): "3 V"}, {}, "wrong-dimension", "/readings/0"),
    ("hole", {("a", ""): 2.0, ("b", ""): "-2 in"}, {}, "negative", "/readings/1"),
    ("hole", {("a", ""): 2.0, ("b", ""): 2.0, ("c", ""): 0.2}, {}, "suspected-slip", "/readings/2"),
    ("hole", {("a", ""): "0.002 in", ("b", ""): 2.0, ("c", ""): 2.0}, {}, "suspected-slip", "/readings/0"),
    ("hole", {("a", ""): 2.0}, {"instrument": "degree-wheel"}, "wrong-instrument", "/instrument"),
    ("hole", {("a", ""): 2.0}, {"instrument": "nothing"}, "unknown-instrument", "/instrument"),
    ("hole", {("a", ""): 2.0}, {"instrument": "swing/other"}, "unknown-instrument", "/instrument"),
    ("hole", {("a", ""): 2.0}, {"u": "0 in"}, "zero-uncertainty", "/standard_uncertainty"),
    ("hole", {("a", ""): 2.0}, {"u": "1 V"}, "wrong-dimension", "/standard_uncertainty"),
    ("hole", {("a", ""): 2.0}, {"u": "0.1 thou", "shared": "-1 thou"}, "zero-uncertainty", "/shared_uncertainty"),
    ("hole", {("a", ""): 2.0}, {"u": "0.1 thou", "shared": "1 V"}, "wrong-dimension", "/shared_uncertainty/unit"),
    ("hole", {("a", ""): 2.0}, {"u": "0.1 thou", "new": "1 V"}, "wrong-dimension", "/new/unit"),
])  # fmt: skip
def test_what_is_refused_and_where(kind: str, sizes: Any, more: dict[str, Any], code: str, pointer: str) -> None:
    with pytest.raises(ReadingProblem) as refusal:
        answer(kind, sizes, **more)
    assert (refusal.value.problem.code, refusal.value.problem.pointer) == (code, pointer)


@pytest.mark.parametrize(("odd", "word"), [(20.0, "a point one place out"), (50.8, "inches and millimetres"), (1.0, "a radius for a diameter"),
                                           (2000.0, "thousandths and inches"), (7.0, "no wear makes that")])  # fmt: skip
def test_a_slip_is_named(odd: float, word: str) -> None:
    with pytest.raises(ReadingProblem, match=word):
        answer("hole", {("a", ""): 2.0, ("b", ""): 2.001, ("c", ""): odd}, u="0.1 thou")


def test_all_readings_in_the_wrong_unit_are_caught_by_the_nominal_size() -> None:
    bench_table = shop().table
    with pytest.raises(ReadingProblem, match="inches and millimetres") as refusal:
        work_out(bench_table, survey("hole", {("a", ""): "50.8 in"}, u="0.1 thou"), q("2 in"))
    assert refusal.value.problem.pointer == "/readings"
    assert work_out(bench_table, survey("hole", {("a", ""): "50.8 mm"}, u="0.1 thou"), q("2 in")).sizes


def test_one_turn_of_the_thimble_is_suspected() -> None:
    sizes = grid([[1.8118, 1.8120], [1.7868, 1.8121]])
    assert any("1.7868 in (middle, A) lies one turn of the thimble, 25 thou, off the others" in n for n in answer("shaft", sizes, u="0.1 thou").notes)
    assert not any("thimble" in n for n in answer("shaft", grid([[1.8118, 1.8120], [1.8068, 1.8121]]), u="0.1 thou").notes)


# -- the real table ----------------------------------------------------------------------------------------------


def test_every_kind_of_survey_of_the_table_can_be_worked_out(shop_table: Table) -> None:
    for kind in (k for k in shop_table.surveys.values() if not k.each):
        size = 0.4375 if "valve" in kind.id or "guide" in kind.id else 2.0
        cells = {(station, axis): size for station in kind.stations for axis in kind.axes}
        found = work_out(shop_table, survey(kind.id, cells))
        assert {"smallest", "largest", "mean"} <= {f.name for f in found.figures}
        for f in found.figures:
            assert f.u > 0
            assert not f.characteristic or f.characteristic in shop_table.characteristics
    for pair in shop_table.pairs.values():
        assert {pair.bore, pair.shaft} <= set(shop_table.surveys)


def test_tapers_follow_the_definitions_of_the_table(shop_table: Table) -> None:
    for kind in shop_table.surveys.values():
        if kind.taper:
            ends = "at one end" in shop_table.characteristics[kind.taper].definition
            assert (kind.taper_between == "ends") is ends, kind.id
