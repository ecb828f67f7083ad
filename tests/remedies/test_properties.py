"""What holds for any reading: nothing is proposed that the table would refuse, and where nothing will do it is said."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.remedies.shop import bench, known, q, reading, table
from tests.remedies.test_coverage import check

from halfthou_service.bench.readings import ReadingProblem
from halfthou_service.bench.remedies import Cylinder, RemedyFacts, Shims, families, remedies_for
from halfthou_service.bench.remedies._known import Known
from halfthou_service.bench.remedies.case import case_of
from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.rules import Open

SHOP = bench()
THOU = st.integers(1, 80).map(lambda n: q(f"{n} thou"))
LEAVES = st.lists(st.sampled_from([q(f"{t} thou") for t in ("1", "1.5", "2", "3", "5", "10", "15")]), max_size=8).map(tuple)
EXACT = frozenset({"shims", "bearings", "settings", "gears", "floats", "guides", "bushes", "timing", "rings"})
"""Families whose every numeric reading outside the interval is answered by a figure or by saying that nothing will do."""


@cache
def measurable() -> tuple[str, ...]:
    """Characteristics of the families with a number on some side, for the test engine."""
    out = []
    for name in sorted({c for f in families().values() for c in f.characteristics}):
        what = table().characteristics[name]
        if what.value_kind in ("finding", "range"):
            continue
        try:
            fit = SHOP.limit_for(what).fit
        except ReadingProblem:
            continue
        if fit is not None and not (isinstance(fit.low, Open) and isinstance(fit.high, Open)):
            out.append(name)
    return tuple(out)


facts = st.builds(
    RemedyFacts,
    measured=st.just(known(cylinder_bore_diameter="5.2621 in; 5.2511 in", crankpin_diameter="1.8124 in; 1.8081 in", piston_skirt_diameter="5.2372 in",
                           main_journal_diameter="1.6871 in; 1.6842 in", wrist_pin_diameter="1.1246 in", head_clearance="0.09 in")) | st.just(()),
    shims=st.just(()) | st.builds(Shims, left=LEAVES, right=LEAVES).map(lambda s: (s,))
    | st.builds(Shims, pack_left=THOU, pack_right=THOU, paper=st.sampled_from([None, False, True])).map(lambda s: (s,)),
    shim_stock=LEAVES, washers=LEAVES,
    cylinder=st.just(Cylinder()) | st.builds(Cylinder, piston_oversizes=st.lists(THOU, max_size=4).map(tuple)),
)  # fmt: skip


@given(st.sampled_from(measurable()), st.fractions(-2, 6, max_denominator=997), facts)
@settings(max_examples=600, deadline=None)
def test_what_is_proposed_lands_where_the_table_wants_it(name: str, at: Fraction, told: RemedyFacts) -> None:
    """``at`` 0 is the low end of the interval, 1 the high end."""
    what = table().characteristics[name]
    fit = SHOP.limit_for(what).fit
    assert fit is not None
    low = Fraction(0) if isinstance(fit.low, Open) else fit.low
    high = 2 * low if isinstance(fit.high, Open) else fit.high
    value = low + at * ((high - low) or abs(high) or Fraction(1))
    if what.non_negative and value < 0:
        value = Fraction(0)
    given_ = replace(reading(name, f"1 {what.unit}"), values=(Quantity(decimal_of(value), fit.unit, value),),
                     standard_uncertainty=Quantity.of("0.0000001", fit.unit))  # fmt: skip
    item = SHOP.judge(given_)
    found = remedies_for(SHOP, item, given_, told)
    case = case_of(SHOP, item, given_, told, Known(told))
    assert case is not None
    for one in found:
        check(one)
        if one.predicted is not None:
            assert inside(one, case.low, case.high), one.text
            assert one.reaches == "fit"
    assert not any(one.reaches == "none" for one in found) or not any(one.reaches == "fit" for one in found)
    if case.side and item.verdict in ("beyond_limit", "outside_fit", "unusual") and _by_figures(name):
        assert found, item.text
        assert any(one.reaches in ("fit", "none") for one in found) or any(one.asks or one.amount for one in found), [r.text for r in found]


def _by_figures(name: str) -> bool:
    return any(name in families()[f].characteristics for f in EXACT) and bool(table().characteristics[name].remedies)


def inside(one: object, low: object, high: object) -> bool:
    value, _ = one.predicted  # type: ignore[attr-defined]
    return (isinstance(low, Open) or low <= value) and (isinstance(high, Open) or value <= high)  # type: ignore[operator]


@given(st.sampled_from(["rod-bearing-running-clearance", "main-bearing-running-clearance"]), st.integers(0, 300), facts)
@settings(max_examples=300, deadline=None)
def test_shims_are_sums_of_leaves_and_alike(name: str, tenths: int, told: RemedyFacts) -> None:
    given_ = reading(name, f"{tenths / 10} thou")
    item = SHOP.judge(given_)
    for one in _named(remedies_for(SHOP, item, given_, told), "shim-pack"):
        amounts = {n: v for n, v, _ in one.amount}
        left = amounts.get("pack left on both sides")
        assert left is None or left >= 0
        assert one.reversible
        if " + " in one.text or "no leaf" in one.text:
            have = told.shims[0]
            assert have.left is not None or told.shim_stock


def _named(found: Iterable[object], name: str) -> list[object]:
    return [r for r in found if r.id == name]  # type: ignore[attr-defined]


@given(st.sampled_from(measurable()), st.fractions(-2, 6, max_denominator=97))
@settings(max_examples=200, deadline=None)
def test_the_same_reading_in_millimetres_says_the_same(name: str, at: Fraction) -> None:
    """What is predicted is the same length whatever unit it is told in, to the round figure of each."""
    what = table().characteristics[name]
    fit = SHOP.limit_for(what).fit
    assert fit is not None
    if fit.unit.dimension != "length" or isinstance(fit.low, Open) or isinstance(fit.high, Open):
        return
    value = max(fit.low + at * (fit.high - fit.low), Fraction(0) if what.non_negative else fit.low - 1)
    from halfthou_specdb.units import UNITS

    for token in ("in", "mm"):
        unit = UNITS[token]
        told = value * fit.unit.factor / unit.factor
        one = replace(reading(name, f"1 {token}"), values=(Quantity(decimal_of(told), unit, told),),
                      standard_uncertainty=Quantity.of("0.0000001", unit))  # fmt: skip
        item = SHOP.judge(one)
        for each in remedies_for(SHOP, item, one, RemedyFacts()):
            if each.predicted is not None:
                metres = each.predicted[0] * each.predicted[1].factor
                assert fit.low * fit.unit.factor <= metres <= fit.high * fit.unit.factor
