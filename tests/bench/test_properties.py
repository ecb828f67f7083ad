"""What must hold of every reading, whatever it is (hypothesis)."""

from __future__ import annotations

import random
from decimal import Decimal
from fractions import Fraction

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.bench.made import FREE, NONE, Reading, bench, characteristic, inline, judge, limit, q
from tests.bench.made import dec as d

from halfthou_service.bench.decide import Gaps, chances_in
from halfthou_service.bench.probability import INFINITE, chances
from halfthou_service.bench.readings import Rules
from halfthou_service.bench.settle import Settles
from halfthou_service.bench.sheet import judge_sheet
from halfthou_service.bench.speak import rounded
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.units import UNITS

THOU, MM = UNITS["thou"], UNITS["mm"]
MEANINGS = ("too-tight", "worn", "harmless", "stop", "poor")
RULES = ("guarded", "simple", "guarded_rejection")
GOES = ("within_fit", "usable")

places = st.decimals("0.001", "20", places=3)
doubts = st.decimals("0.001", "20", places=3)
dofs = st.one_of(st.none(), st.floats(1, 200))
rules = st.builds(Rules, confidence=st.sampled_from([0.8, 0.9, 0.95, 0.99, 0.999]), decision_rule=st.sampled_from(RULES))


@st.composite
def gaps_of_parts(draw: st.DrawFn) -> tuple[str, str]:
    """A characteristic and its limit in thou: fit low < fit high <= wear high, any meanings, any side open."""
    low, width, more = (draw(st.decimals("0.01", "8", places=2)) for _ in range(3))
    fit_low = draw(st.sampled_from([low, low, NONE, FREE]))
    fit = (fit_low, low + width)
    worn_low = [NONE, FREE] if isinstance(fit_low, str) else [NONE, FREE, low / 2]
    wear = (draw(st.sampled_from(worn_low)), draw(st.sampled_from([low + width + more, low + width + more, NONE, FREE])))
    sides = draw(st.sampled_from(MEANINGS)), draw(st.sampled_from(MEANINGS))
    negative = draw(st.booleans())
    return characteristic("gap", *sides, non_negative=not negative), limit("gap", fit, wear, unit="thou")


def reading(value: Decimal | Fraction, u: Decimal | Fraction, unit: str = "thou", dof: float | None = None, name: str = "r1") -> Reading:
    exact = [Quantity(Decimal(0), UNITS[unit], Fraction(v)) if isinstance(v, Fraction) else Quantity.of(v, unit) for v in (value, u)]
    return Reading(name, "gap", values=(exact[0],), standard_uncertainty=exact[1], degrees_of_freedom=dof)


@settings(deadline=None)
@given(parts=gaps_of_parts(), y=places, u=doubts, dof=dofs, how=rules)
def test_inch_and_millimetre_twins_get_the_same_verdict(parts: tuple[str, str], y: Decimal, u: Decimal, dof: float | None, how: Rules) -> None:
    """1 thou is 0.0254 mm exactly."""
    inch = judge(reading(y, u, dof=dof), *parts, rules=how)
    metric = judge(reading(y * d("0.0254"), u * d("0.0254"), "mm", dof), *parts, rules=how)
    assert (inch.verdict, inch.side, inch.as_new) == (metric.verdict, metric.side, metric.as_new)


@settings(deadline=None)
@given(edge=st.decimals("0.001", "9", places=4), how=st.sampled_from(["simple"]), past=st.sampled_from([0, 1]))
def test_twins_on_the_very_edge(edge: Decimal, how: str, past: int) -> None:
    """A tie is a tie in both units, and one part in 10^15 past it is past it in both."""
    parts = (characteristic("gap"), limit("gap", (d("0.0001"), edge), unit="thou"))
    y = Fraction(edge) + Fraction(past, 10**15)
    own = Rules(decision_rule="simple")
    told = {judge(reading(value, d("0.1"), unit), *parts, rules=own).verdict for value, unit in ((y, "thou"), (y * Fraction(254, 10000), "mm"))}
    assert told == ({"outside_fit"} if past else {"within_fit"})


@settings(deadline=None, max_examples=50)
@given(parts=gaps_of_parts(), values=st.lists(st.tuples(places, doubts), min_size=2, max_size=12), seed=st.integers(0, 9))
def test_the_order_of_a_batch_changes_nothing(parts: tuple[str, str], values: list[tuple[Decimal, Decimal]], seed: int) -> None:
    sheet = [reading(y, u, name=f"r{i}") for i, (y, u) in enumerate(values)]
    shuffled = random.Random(seed).sample(sheet, len(sheet))
    first, second = judge_sheet(bench(*parts), sheet), judge_sheet(bench(*parts), shuffled)
    assert {i.id: i for i in first.items} == {i.id: i for i in second.items}
    assert [i.id for i in second.items] == [r.id for r in shuffled]
    assert first.overall == second.overall


@settings(deadline=None)
@given(a=st.floats(-30, 30), b=st.floats(-30, 30), u=st.floats(0.01, 10), dof=st.one_of(st.just(INFINITE), st.floats(0.5, 1e5)))
def test_each_one_sided_chance_moves_one_way_with_the_reading(a: float, b: float, u: float, dof: float) -> None:
    low, high = min(a, b), max(a, b)
    below, above = (Gaps(y, None, 5.0 - y, "inside") for y in (low, high)), (Gaps(y, 5.0 - y, None, "inside") for y in (low, high))
    at_most = [chances_in(g, u, dof, False).inside for g in below]  # type: ignore[union-attr]
    at_least = [chances_in(g, u, dof, False).inside for g in above]  # type: ignore[union-attr]
    assert at_most[0] >= at_most[1] - 1e-15
    assert at_least[0] <= at_least[1] + 1e-15


@settings(deadline=None)
@given(a=st.floats(0, 30), b=st.floats(0, 30), high=st.floats(0.01, 30), u=st.floats(0.01, 30))
def test_so_does_the_one_cut_off_at_zero(a: float, b: float, high: float, u: float) -> None:
    """For the normal. (Student's t with one degree of freedom has tails too fat for this: the cut then counts for more than the reading.)"""
    inside = [chances(-INFINITE, (high - y) / u, INFINITE, -y / u)[1] for y in (min(a, b), max(a, b))]
    assert inside[0] >= inside[1] - 1e-12


@settings(deadline=None)
@given(parts=gaps_of_parts(), y=places, u=doubts, dof=dofs, c=st.sampled_from([0.8, 0.95, 0.99]))
def test_within_fit_may_go_back(parts: tuple[str, str], y: Decimal, u: Decimal, dof: float | None, c: float) -> None:
    item = judge(reading(y, u, dof=dof), *parts, rules=Rules(confidence=c))
    if item.verdict == "within_fit":
        assert item.p_fit is not None
        assert item.p_fit >= c
        assert item.p_serviceable is None or item.p_serviceable >= c
        assert item.wrong_pass <= 1 - c + 1e-12
    if item.verdict == "usable" and item.p_serviceable is not None:
        assert item.p_serviceable >= c
        assert item.p_fit is None or item.p_fit < c
    if item.verdict == "beyond_limit":
        assert item.p_serviceable is not None
        assert item.p_serviceable <= 1 - c
    assert item.p_fit is None or item.p_serviceable is None or item.p_fit <= item.p_serviceable + 1e-9


@settings(deadline=None)
@given(y=st.decimals("0.001", "1.999", places=3), u=doubts, wear=st.decimals("4", "1000", places=1), meaning=st.sampled_from(MEANINGS), how=rules)
def test_a_low_clearance_is_never_usable_because_the_wear_limit_is_generous(y: Decimal, u: Decimal, wear: Decimal, meaning: str, how: Rules) -> None:
    assume(how.decision_rule != "guarded_rejection")
    parts = (characteristic("gap", "too-tight", meaning), limit("gap", (d("2"), d("4")), (NONE, wear), unit="thou"))
    assert judge(reading(y, u), *parts, rules=how).verdict in ("beyond_limit", "undecided")
    doubtful = Rules(confidence=how.confidence, decision_rule="guarded_rejection")  # the rule that gives the benefit of the doubt, and no more
    if judge(reading(y, u), *parts, rules=doubtful).verdict in GOES:
        assert judge(reading(y, u), *parts, rules=Rules(confidence=how.confidence)).verdict == "undecided"


def test_a_difference_that_meets_its_limit_meets_it_exactly() -> None:
    """1.5030 - 1.5000 is 0.0030: binary floats say 0.0029999999999998916 and call a bore too tight."""
    assert 1.5030 - 1.5000 != 0.0030
    difference = q("1.5030 in").exact - q("1.5000 in").exact
    for own in (inline("in", fit=("0.0030", NONE)), inline("in", fit=(NONE, "0.0030"))):
        r = Reading("r", "gap", values=(Quantity(d("0.0030"), UNITS["in"], difference),), standard_uncertainty=q("0.0001 in"), limit=own)
        assert judge(r, characteristic("gap"), rules=Rules(decision_rule="simple")).verdict == "within_fit"


@settings(deadline=None)
@given(parts=gaps_of_parts(), y=places, u=st.decimals("0.001", "200", places=3), c=st.sampled_from([0.8, 0.95, 0.99]), dof=dofs)
def test_doubling_the_doubt_never_makes_it_good(parts: tuple[str, str], y: Decimal, u: Decimal, c: float, dof: float | None) -> None:
    how = Rules(confidence=c)
    first = judge(reading(y, u, dof=dof), *parts, rules=how)
    second = judge(reading(y, 2 * u, dof=dof), *parts, rules=how)
    if first.verdict == "undecided":
        assert second.verdict != "within_fit"
    if first.verdict != "within_fit":
        assert second.verdict != "within_fit"


@settings(deadline=None)
@given(y=places, u=doubts, how=rules)
def test_a_safety_limit_passes_only_what_is_shown_inside(y: Decimal, u: Decimal, how: Rules) -> None:
    parts = (characteristic("gap", "harmless", "stop"), limit("gap", (NONE, d("8")), (NONE, d("10")), kind="safety", unit="thou"))
    item = judge(reading(y, u), *parts, rules=how)
    _, inside, _ = chances(-INFINITE, (10 - float(y)) / float(u))
    if item.verdict != "stop":
        assert inside >= max(how.confidence, 0.95) - 1e-12
    assert item.p_fit is item.p_serviceable is None


# -- numbers as they are shown -----------------------------------------------------------------------------------

fractions = st.one_of(
    st.fractions(min_value=-(10**6), max_value=10**6), st.builds(lambda n, e: Fraction(n, 10**e), st.integers(-(10**9), 10**9), st.integers(0, 12)),
    st.builds(lambda n, k: Fraction(n, 1000) - Fraction(1, 10**k), st.integers(1, 9999), st.integers(20, 60)),
)  # fmt: skip


@settings(deadline=None)
@given(value=fractions, figures=st.integers(2, 6))
def test_a_bound_shown_is_never_on_the_easy_side(value: Fraction, figures: int) -> None:
    low, high = Fraction(rounded(value, "low", figures)), Fraction(rounded(value, "high", figures))
    assert high <= value <= low
    if value:
        step = Fraction(10) ** (rounded(abs(value), "", 12).adjusted() - figures + 2)
        assert low - high <= step


@settings(deadline=None)
@given(bound=st.fractions(min_value=Fraction(1, 1000), max_value=100), y=st.fractions(min_value=Fraction(1, 1000), max_value=100))
def test_a_fail_never_looks_like_a_pass(bound: Fraction, y: Fraction) -> None:
    if y > bound:
        assert y > Fraction(rounded(bound, "high"))
    if y < bound:
        assert y < Fraction(rounded(bound, "low"))


# -- what would settle it ----------------------------------------------------------------------------------------

SETTLES = (characteristic("gap", instruments=["rule", "micrometer"], usual_instrument="rule"),
           limit("gap", (d("2"), d("4")), (NONE, d("6")), unit="thou"))  # fmt: skip


@settings(deadline=None)
@given(y=st.decimals("0.5", "8", places=2))
def test_what_would_settle_it_does(y: Decimal) -> None:
    for tool in ("rule", "micrometer/one-inch"):
        once = Reading("r", "gap", values=(Quantity.of(y, "thou"),), instrument=tool)
        item = judge(once, *SETTLES)
        assert (item.settles is not None) is (item.verdict == "undecided")
        found: Settles | None = item.settles
        if found is None or found.how in ("hands", "neither"):
            continue
        again = Reading("r", "gap", values=once.values * max(found.repeats, 1), instrument=found.instrument or tool)
        assert judge(again, *SETTLES).verdict != "undecided", (y, found)
