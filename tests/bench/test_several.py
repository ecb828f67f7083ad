"""Several things of one kind read one by one: smallest, largest, mean and spread, each with its doubt; nothing is averaged to pass."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.bench.made import q, read
from tests.bench.several_shop import answer, gaps, judged, several, shop
from tests.bench.survey_shop import figure, survey
from tests.bench.test_montecarlo import DRAWS, agrees

from halfthou_service.bench.extremes import alike, range_u
from halfthou_service.bench.readings import Place, ReadingProblem, Rules
from halfthou_service.bench.remedies.facts import RemedyFacts
from halfthou_service.bench.remedies.registry import sheet_remedies
from halfthou_service.bench.sheet import judge_sheet
from halfthou_service.bench.surveys.survey import work_out
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.facts import Engine
from halfthou_specdb.table import Table

# -- figures -----------------------------------------------------------------------------------------------------


def test_what_is_told_of_several_and_where() -> None:
    found = answer(gaps(14, 22, 17, u="0.5 thou"))
    assert [(f.name, f.value, f.where) for f in found.figures] == [
        ("smallest", 14, "ring 1"), ("largest", 22, "ring 2"), ("mean", Fraction(53, 3), ""), ("spread", 8, "ring 2 less ring 1")]  # fmt: skip
    assert [f.characteristic for f in found.figures] == ["gap", "gap", "gap", ""]


def test_repeats_of_one_are_averaged_and_never_those_of_another() -> None:
    found = answer(several("gaps", {"ring 1": ["14 thou", "15 thou"], "ring 2": "20 thou"}, u="0.5 thou"))
    assert found.sizes == {("ring 1", ""): Fraction("14.5"), ("ring 2", ""): 20}


def test_order_and_spelling_change_nothing() -> None:
    there = answer(several("gaps", {"ring 1": "14 thou", "Ring 2": "22 thou"}, u="0.5 thou"))
    back = answer(several("gaps", {"RING  2": "22 thou", "ring 1": "14 thou"}, u="0.5 thou"))
    assert [(f.value, f.where) for f in there.figures] == [(f.value, f.where) for f in back.figures]


def test_an_engine_may_have_more_rings_than_the_table_names() -> None:
    assert set(answer(gaps(14, 15, 16, 17, 18, u="0.5 thou")).instances) == {f"ring {k}" for k in range(1, 6)}


# -- doubts ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("sizes", [[14.0, 14.4], [14.0, 14.0, 14.0], [14.0, 14.1, 15.2], [14.0, 14.2, 14.1, 13.9, 14.6]], ids=str)
@pytest.mark.parametrize(("u", "shared"), [(0.3, 0.05), (0.3, 0.9), (0.02, 0.4)])
def test_every_distribution_against_brute_force(sizes: list[float], u: float, shared: float) -> None:
    """True sizes as read, plus an error of each alone, plus one of the tool that moves all alike."""
    rng = np.random.default_rng(41)
    draws = np.asarray(sizes) + u * rng.standard_normal((DRAWS, len(sizes))) + shared * rng.standard_normal((DRAWS, 1))
    found = answer(gaps(*sizes, u=f"{u} thou", shared=f"{shared} thou"))
    spread = draws.max(axis=1) - draws.min(axis=1)
    agrees(draws.min(axis=1), figure(found, "smallest").at_most)
    agrees(draws.max(axis=1), figure(found, "largest").at_most)
    agrees(draws.mean(axis=1), figure(found, "mean").at_most)
    agrees(spread, figure(found, "spread").at_most)
    read_as = max(sizes) - min(sizes)
    assert figure(found, "spread").u == pytest.approx(float(np.sqrt(np.mean((spread - read_as) ** 2))), rel=0.01)


def test_a_spread_known_from_scatter_against_brute_force() -> None:
    """Three rings, three repeats each a thou apart: s = 1 thou with 6 degrees of freedom, over sqrt 3 for the mean of three."""
    found = answer(several("gaps", {f"ring {k}": [f"{v + e} thou" for e in (-1, 0, 1)] for k, v in enumerate((14, 15, 17), 1)}, u="0.1 thou"))
    rng = np.random.default_rng(42)
    u = np.sqrt(6 / rng.chisquare(6, DRAWS))[:, None] / math.sqrt(3)
    draws = np.array([14.0, 15.0, 17.0]) + u * rng.standard_normal((DRAWS, 3))
    agrees(draws.max(axis=1) - draws.min(axis=1), figure(found, "spread").at_most)


@pytest.mark.parametrize(("n", "d2", "d3"), [(2, 1.128, 0.853), (3, 1.693, 0.888), (4, 2.059, 0.880), (5, 2.326, 0.864), (8, 2.847, 0.820)])
def test_the_spread_of_things_alike_is_that_of_a_range(n: int, d2: float, d3: float) -> None:
    """Control-chart constants d2 and d3 (mean and standard deviation of a range; common tables of quality control, from memory)."""
    assert alike(n)[0] == pytest.approx(d2, abs=6e-4)
    assert range_u([0.0] * n, 1.0) == pytest.approx(math.hypot(d2, d3), abs=2e-3)
    assert n == 2 or range_u([0.0] * n, 1.0) != pytest.approx(math.sqrt(2.0), abs=0.1)


def test_of_two_far_apart_it_is_the_difference_of_two_readings() -> None:
    assert range_u([0.0, 50.0], 1.0) == pytest.approx(math.sqrt(2.0), rel=1e-6)


@pytest.mark.parametrize(("sizes", "u", "times"), [
    ([1e12, 40.0], 1e-12, math.sqrt(2.0)), ([1e15, 40.0], 0.1, math.sqrt(2.0)), ([0.0, 70.0, 1e9], 1e-3, math.sqrt(2.0)),
    ([1e15, 1e15], 1e-12, math.sqrt(2.0)), ([40.0, 1e12, 1e12], 1e-12, math.sqrt(1.0 + 1.0)),
    ([-1e12, 1e12], 3.0, math.sqrt(2.0)),
])  # fmt: skip
def test_however_far_apart_they_are_there_is_a_doubt_of_their_difference(sizes: list[float], u: float, times: float) -> None:
    """Two errors of u each, independent: sqrt(u^2 + u^2). Of two alike at one end the greater counts, whose square about what was read is
    E max(a, b)^2 = 1 (max^2 + min^2 = a^2 + b^2, and both have one mean), so it is u sqrt 2 there as well."""
    assert range_u(sizes, u) == pytest.approx(u * times, rel=1e-6)


@settings(max_examples=100, deadline=None)
@given(sizes=st.lists(st.floats(-1e15, 1e15), min_size=2, max_size=6), u=st.floats(1e-12, 1e12))
def test_the_doubt_of_a_difference_is_that_of_two_readings_or_more_of_one_range(sizes: list[float], u: float) -> None:
    """Of n alike the range lies at most about sqrt(2 (1 + 2 ln n)) u off; of two it is sqrt 2."""
    assert 0.5 * u < range_u(sizes, u) < u * math.sqrt(2.0) * (1.0 + 2.0 * math.sqrt(math.log(len(sizes))))


@settings(max_examples=60, deadline=None)
@given(
    sizes=st.lists(st.integers(1000, 3000), min_size=2, max_size=6), shared=st.integers(0, 300), shift=st.integers(-900, 900),
    share=st.sampled_from([0.1, 0.5, 1.0, 2.0]),
)  # fmt: skip
def test_what_all_readings_share_cancels_in_the_spread_and_stays_in_the_sizes(sizes: list[int], shared: int, shift: int, share: float) -> None:
    """A tool that reads all of them high by the same moves the sizes and not the spread; doubt of that kind likewise."""
    plain = answer(gaps(*(s / 100 for s in sizes), u="0.3 thou", shared="0 thou"))
    moved = answer(gaps(*((s + shift) / 100 for s in sizes), u="0.3 thou", shared=f"{shared / 100} thou"))
    a, b = figure(plain, "spread"), figure(moved, "spread")
    assert (a.value, a.where) == (b.value, b.where)
    assert a.u == pytest.approx(b.u, rel=1e-6)
    x = float(a.value) * share + 0.2
    assert a.at_most(x) == pytest.approx(b.at_most(x), abs=1e-9)
    assert figure(moved, "smallest").value - figure(plain, "smallest").value == Fraction(shift, 100)
    assert figure(moved, "largest").u == pytest.approx(math.hypot(0.3, shared / 100))


def test_the_parts_of_one_tool_cancel_and_those_of_loose_leaves_do_not() -> None:
    """The mike: 0.12 and 0.09 thou common to all, feel 0.1 of each. The leaves: 0.4 and 0.3, and each ring may have had another leaf."""
    mike, leaves = answer(gaps(14, 22, instrument="mike")), answer(gaps(14, 22, instrument="leaves"))
    assert figure(mike, "spread").u == pytest.approx(0.1 * math.sqrt(2))
    assert figure(mike, "largest").u == pytest.approx(math.sqrt(0.12**2 + 0.09**2 + 0.1**2))
    assert figure(leaves, "spread").u == pytest.approx(0.5 * math.sqrt(2))
    assert figure(leaves, "largest").u == figure(leaves, "mean").u == pytest.approx(0.5)
    assert any("none of its doubt is taken to cancel" in said for said in leaves.doubts.assumed)
    assert not any("cancel" in said for said in mike.doubts.assumed)


def test_repeats_with_loose_leaves_do_not_average_the_leaf_away() -> None:
    four = answer(several("gaps", {f"ring {k}": ["14 thou"] * 4 for k in (1, 2)}, instrument="leaves"))
    assert four.u_random == pytest.approx(math.hypot(0.4, 0.3 / 2))
    wild = answer(several("gaps", {f"ring {k}": ["13 thou", "14 thou", "15 thou"] for k in (1, 2)}, instrument="leaves"))
    assert wild.u_random == pytest.approx(math.hypot(0.4, 1 / math.sqrt(3)))


@pytest.mark.parametrize(("n", "floor", "shown"), [(2, "0.12 thou", "0.28 thou"), (3, "0.17 thou", "0.34 thou"), (4, "0.21 thou", "0.37 thou")])
def test_the_noise_floor(n: int, floor: str, shown: str) -> None:
    """d2 = 1.128, 1.693, 2.059 and the upper 5 % points 2.772, 3.314, 3.633 of a range (derived), times u = 0.1 thou, told rounded up."""
    notes = answer(gaps(*[14.0] * n, u="0.1 thou")).notes
    assert f"{n} of them exactly alike would read about {floor} apart with this tool" in notes
    assert any("no difference between them can be shown" in note and f"up to {shown}" in note for note in notes)
    apart = answer(gaps(*[14.0] * (n - 1), 15.0, u="0.1 thou")).notes
    assert not any("no difference" in note for note in apart)


# -- verdicts ----------------------------------------------------------------------------------------------------


def test_one_bad_ring_is_not_hidden_by_good_ones() -> None:
    """Limits 10 to 20 when new, 30 when worn. The mean of 12, 12 and 33 is 19, a new fit: nobody asks it."""
    items = {i.id: i for i in judged(gaps(12, 12, 33, u="0.2 thou")).items}
    assert set(items) == {"s.smallest", "s.largest"}
    assert (items["s.smallest"].verdict, items["s.largest"].verdict) == ("within_fit", "beyond_limit")
    assert items["s.largest"].at == Place("ring 3")
    assert "Gap (ring 3) 33 thou (largest of 3)" in items["s.largest"].text


def test_the_low_side_is_asked_of_the_smallest() -> None:
    items = {i.id: i for i in judged(gaps(8, 15, 15, u="0.2 thou")).items}
    assert (items["s.smallest"].verdict, items["s.smallest"].side, items["s.smallest"].at.instance) == ("beyond_limit", "low", "ring 1")
    assert items["s.largest"].verdict == "within_fit"


def test_the_more_are_read_the_surer_must_each_be() -> None:
    """Each of n sizes lies 1.8 u under the worn bound: alone that is 96 in 100, of four at once 86 (0.9641 to the fourth)."""
    one = shop().judge(read("gap", "29.64 thou", u="0.2 thou"))
    four = {i.id: i for i in judged(gaps(29.64, 29.64, 29.64, 29.64, u="0.2 thou", shared="0 thou")).items}["s.largest"]
    assert one.verdict == "usable"
    assert four.verdict == "undecided"
    assert four.p_serviceable == pytest.approx(0.96407**4, abs=5e-4)


@pytest.mark.parametrize("rule", ["guarded", "simple", "guarded_rejection"])
def test_inch_and_mm_decide_alike(rule: str) -> None:
    rules = Rules(decision_rule=rule)  # type: ignore[arg-type]
    for step in range(40):
        row = [Fraction(9) + Fraction((11 * step + 7 * k) % 230, 10) for k in range(3)]
        mains = [Fraction(3) + Fraction((3 * step + 5 * k) % 30, 10) for k in range(2)]
        told = []
        for factor, unit in ((Fraction(1), "thou"), (Fraction(1, 1000), "in"), (Fraction(254, 10000), "mm")):
            def say(v: Fraction, factor: Fraction = factor, unit: str = unit) -> str:
                return f"{float(v * factor):.9f} {unit}"

            rings = several("gaps", {f"ring {k}": say(v) for k, v in enumerate(row, 1)}, u=say(Fraction(3, 10)), id="r")
            both = several("mains", dict(zip(("left", "right"), map(say, mains), strict=True)), u=say(Fraction(2, 10)), id="m")
            told.append([(i.id, i.verdict, i.side, i.as_new, i.place) for i in judged(rings, both, rules=rules).items])
        assert told[0] == told[1] == told[2]


def test_a_difference_the_table_knows_is_judged_by_its_own_distribution() -> None:
    """Up to 1 thou apart. Shared doubt of 2 thou makes no difference to the difference, and hides whether either main is a fit."""
    items = {i.id: i for i in judged(several("mains", {"left": "2.8 thou", "right": "3.1 thou"}, u="0.1 thou", shared="2 thou")).items}
    assert (items["s.spread"].characteristic, items["s.spread"].verdict) == ("apart", "within_fit")
    assert items["s.spread"].value == Fraction("0.3")
    assert "right less left" not in items["s.spread"].place
    assert items["s.smallest"].verdict == items["s.largest"].verdict == "undecided"
    far = {i.id: i for i in judged(several("mains", {"left": "2.1 thou", "right": "3.9 thou"}, u="0.1 thou")).items}["s.spread"]
    assert (far.verdict, far.as_new) == ("outside_fit", "no")


def test_only_the_figure_that_the_definition_names_is_judged() -> None:
    found = judged(several("rims", {"front": "28 thou", "back": "40 thou"}, instance="exhaust", u="0.5 thou"))
    assert [(i.id, i.verdict, i.place) for i in found.items] == [("s.smallest", "usable", "exhaust, front")]


def test_forces_need_not_be_lengths_and_a_guide_fails_nothing() -> None:
    found = judged(several("pulls", {"inlet": "4.9 lbf", "exhaust": "9 lbf"}))
    assert [(i.id, i.verdict) for i in found.items] == [("s.smallest", "typical"), ("s.largest", "unusual")]
    assert figure(found.surveys[0].answer, "spread").u == pytest.approx(0.1 * math.sqrt(2), rel=1e-3)  # type: ignore[arg-type]


@pytest.mark.parametrize(("confirmed", "code"), [(False, "suspected-slip"), (True, "")])
def test_a_slip_in_one_of_them_is_suspected_and_may_be_confirmed(shop_table: Table, confirmed: bool, code: str) -> None:
    """A bore of 5-1/4 in: new fit 15.75 to 31.5 thou, worn at 63. 260 thou is over four times that, and 26 would be a new fit."""
    engine = Engine(shop_table.classes["slow-open-crank"], dimensions={"bore": q("5.25 in")})
    rings = several("ring-end-gaps", {"ring 1": "22 thou", "ring 2": "260 thou"}, u="0.5 thou", confirmed=confirmed)
    found = judge_sheet(Bench(shop_table, engine), [], [rings])
    problem = found.surveys[0].problem
    assert (problem.code if problem else "") == code
    if problem:
        assert problem.pointer == "/readings/1"
        assert "a point one place out" in problem.detail
    else:
        assert [i.verdict for i in found.items] == ["within_fit", "beyond_limit"]


@pytest.mark.parametrize(("kind", "readings", "more", "code", "pointer"), [
    ("gaps", {"ring 1": "14 thou"}, {}, "no-value", "/readings"),
    ("gaps", {"ring 1": "14 thou", "inlet": "14 thou"}, {}, "wrong-place", "/readings/1/instance"),
    ("gaps", {"ring 1": "14 thou", "ring 0": "14 thou"}, {}, "wrong-place", "/readings/1/instance"),
    ("gaps", {"ring 1": "14 thou", "": "14 thou"}, {}, "wrong-place", "/readings/1/instance"),
    ("gaps", {"ring 1": "14 thou", "Ring 1": "14 thou"}, {}, "wrong-place", "/readings/1/instance"),
    ("gaps", {("ring 1", "top"): "14 thou", ("ring 2", "below"): "14 thou"}, {}, "wrong-place", "/readings/1/station"),
    ("gaps", {"ring 1": "14 thou", "ring 2": "15 lbf"}, {}, "wrong-dimension", "/readings/1"),
    ("gaps", {"ring 1": "14 thou", "ring 2": "-1 thou"}, {}, "negative", "/readings/1"),
    ("gaps", {"ring 1": "14 thou", "ring 2": "15 thou"}, {"instance": "ring 1"}, "wrong-place", "/instance"),
    ("gaps", {"ring 1": "14 thou", "ring 2": "15 thou"}, {"measured_by_same_tool": True}, "wrong-place", "/same_tool"),
    ("gaps", {"ring 1": "14 thou", "ring 2": "15 thou"}, {"instrument": "pull"}, "wrong-instrument", "/instrument"),
    ("pulls", {"inlet": "4 lbf", "outlet": "4 lbf"}, {}, "wrong-place", "/readings/1/instance"),
    ("pulls", {"inlet": "4 lbf", "exhaust": "4 lbf"}, {"u": "0.1 lbf", "shared": "1 thou"}, "wrong-dimension", "/shared_uncertainty/unit"),
    ("rims", {"a": "30 thou", "b": "31 thou"}, {}, "wrong-place", "/instance"),
    ("rims", {"a": "30 thou", "b": "31 thou"}, {"instance": "both"}, "wrong-place", "/instance"),
])  # fmt: skip
def test_what_may_not_be_mixed_is_refused_and_where(kind: str, readings: Any, more: dict[str, Any], code: str, pointer: str) -> None:
    with pytest.raises(ReadingProblem) as refusal:
        answer(several(kind, readings, **more))
    assert (refusal.value.problem.code, refusal.value.problem.pointer) == (code, pointer)


def test_a_size_when_new_says_nothing_of_several() -> None:
    with pytest.raises(ReadingProblem, match="new goes with a survey of one part's diameters"):
        answer(gaps(14, 15, new=q("14 thou")))


# -- the rest of the sheet ---------------------------------------------------------------------------------------


def test_those_not_read_are_missing_and_those_read_are_not() -> None:
    rules = Rules(stage="assembly")
    missing = [(m.characteristic.id, m.instance) for m in judged(several("gaps", {"ring 1": "14 thou", "ring 3": "15 thou"}), rules=rules).missing]
    assert ("gap", "ring 2") in missing
    assert not {("gap", "ring 1"), ("gap", "ring 3"), ("gap", "")} & set(missing)
    whole = judged(several("mains", {"left": "3 thou", "right": "3 thou"}), rules=rules).missing
    assert not {"main", "apart"} & {m.characteristic.id for m in whole}


def test_one_read_alone_and_in_a_survey_must_agree() -> None:
    rings = gaps(14, 22, u="0.2 thou")
    for value, clash in (("14.3 thou", False), ("15 thou", True), ("140 thou", True)):
        reading = read("gap", value, u="0.2 thou", id="r", place=Place("Ring 1"), confirmed=True)
        found = judge_sheet(shop(), [reading], [rings]).contradictions
        assert [c.ids for c in found] == ([("r", "s")] if clash else [])
    other = read("gap", "15 thou", u="0.2 thou", id="r", place=Place("ring 2"), state="as_made")
    assert judge_sheet(shop(), [other], [rings]).contradictions == ()


def test_a_difference_written_down_against_the_survey_it_follows_from() -> None:
    mains = several("mains", {"left": "2.8 thou", "right": "3.1 thou"}, u="0.1 thou")
    for value, clash in (("0.4 thou", False), ("1.5 thou", True)):
        found = judge_sheet(shop(), [read("apart", value, u="0.1 thou", id="r")], [mains]).contradictions
        assert [c.ids for c in found] == ([("r", "s")] if clash else [])


def test_two_surveys_of_the_same_things_in_another_unit_than_a_length() -> None:
    one, two = (several("pulls", {"inlet": f"{v} lbf", "exhaust": f"{v} lbf"}, u="0.1 lbf", id=name) for name, v in (("a", 4), ("b", 6)))
    assert any("+2 lbf" in c.text for c in judged(one, two).contradictions)


def test_remedies_know_each_of_them_by_its_own_name() -> None:
    facts = RemedyFacts(surveys=(answer(several("gaps", {("ring 1", "below"): "14 thou", ("ring 2", "below"): "22 thou"})),))
    assert [(m.instance, m.station, m.value.exact) for m in facts.sizes("gap")] == [("ring 1", "below", 14), ("ring 2", "below", 22)]
    mains = RemedyFacts(surveys=(answer(several("mains", {"left": "2.8 thou", "right": "3.1 thou"})),))
    assert [m.value.exact for m in mains.sizes("apart")] == [Fraction("0.3")]


def test_each_end_is_mended_at_its_own_ring(shop_table: Table) -> None:
    """A bore of 5-1/4 in: under 15.75 thou the ends are filed; past 63 the ring is new."""
    bench = Bench(shop_table, Engine(shop_table.classes["slow-open-crank"], dimensions={"bore": q("5.25 in")}))
    found = judge_sheet(bench, [], [several("ring-end-gaps", {"ring 1": "10 thou", "ring 2": "28 thou", "ring 3": "71 thou"}, u="0.5 thou")])
    worked = tuple(survey.answer for survey in found.surveys if survey.answer)
    told = dict(zip((i.id for i in found.items), sheet_remedies(bench, found.items, [], RemedyFacts(surveys=worked)), strict=True))
    assert "File the ends square" in told["s.smallest"][0].text
    assert "new ring" in told["s.largest"][0].text


# -- the real table ----------------------------------------------------------------------------------------------


def test_every_kind_of_the_table_can_be_worked_out(shop_table: Table) -> None:
    kinds = [kind for kind in shop_table.surveys.values() if kind.each]
    assert {"ring-end-gaps", "ring-side-clearances", "timing-gear-meshes", "main-bearing-clearances", "valve-face-runouts"} <= {k.id for k in kinds}
    for kind in kinds:
        what = shop_table.characteristics[kind.diameter]
        names = what.instances if kind.each == "instance" else ("front", "back")
        more = {} if kind.each == "instance" else {"instance": what.instances[0]}
        size = f"0.02 {what.unit}" if what.unit == "in" else f"4 {what.unit}"
        found = work_out(shop_table, several(kind.id, {name: size for name in names[:2]}, **more))
        assert [f.name for f in found.figures] == ["smallest", "largest", "mean", "spread"]
        assert all(f.u > 0 for f in found.figures)


@pytest.mark.parametrize("words", ["thinnest place", "keep the least", "the largest counts", "widest and the narrowest"])
def test_what_is_judged_follows_the_definitions_of_the_table(shop_table: Table, words: str) -> None:
    """A definition that names one place as the reading asks for that figure."""
    wanted = {"thinnest place": "smallest", "keep the least": "smallest", "the largest counts": "both", "widest and the narrowest": "both"}[words]
    for kind in shop_table.surveys.values():
        what = shop_table.characteristics.get(kind.diameter)
        if kind.each and what and words in f"{what.definition} {what.how_to_measure}":
            assert kind.judged == wanted, kind.id


def test_a_survey_of_diameters_is_what_it_was(shop_table: Table) -> None:
    found = work_out(shop_table, survey("crankpin", {("inner", "a"): 2.25, ("inner", "b"): 2.2495}))
    assert "spread" not in {f.name for f in found.figures}
