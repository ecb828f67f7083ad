"""Shim packs: the choice is the best there is; unlike packs, paper, oval journals and empty packs are handled and said."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, combinations_with_replacement

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.remedies.shop import after, amount, ask, bench, known, q, remedy
from tests.remedies.test_examples import own

from halfthou_service.bench.remedies import Found, Measured, RemedyFacts, Shims
from halfthou_service.bench.remedies._packs import alike_from_leaves, from_stock, steps_out, with_stock

F = Fraction
STOCK = tuple(F(t, 1000) for t in (2, 3, 5, 10, 15))
FINE = tuple(F(t, 2000) for t in (2, 3, 4, 7, 11))


def best_of(packs: list[tuple[Fraction, ...]], least: Fraction, aim: Fraction, most: Fraction) -> tuple[Fraction, int] | None:
    """By looking at every pack: height and number of leaves."""
    heights = [(sum(p, F(0)), len(p)) for p in packs]
    loose = [h for h in heights if aim <= h[0] <= most]
    tight = [h for h in heights if least <= h[0] < aim]
    if loose:
        return min(loose)
    return max(tight, key=lambda h: (h[0], -h[1])) if tight else None


@pytest.mark.parametrize("stock", [STOCK, FINE], ids=["whole thous", "halves too"])
def test_best_of_every_pack_of_up_to_six_leaves(stock: tuple[Fraction, ...]) -> None:
    packs = [p for n in range(7) for p in combinations_with_replacement(stock, n)]
    thou = F(1, 1000)
    for step in range(0, 190):
        aim = step * thou / 2
        for half in (thou / 4, thou * 3 / 4):
            kept = from_stock(stock, 6, aim - half, aim, aim + half)
            assert (None if kept is None else (kept.height, len(kept.leaves))) == best_of(packs, aim - half, aim, aim + half)
            assert kept is None or sum(kept.leaves, F(0)) == kept.height


leaves = st.lists(st.sampled_from([F(1), F(3, 2), F(2), F(3), F(5), F(10)]), max_size=6)


@given(leaves, leaves, st.integers(0, 40), st.integers(1, 6))
@settings(max_examples=150, deadline=None)
def test_best_of_what_both_sides_can_keep(one: list[Fraction], two: list[Fraction], at: int, width: int) -> None:
    def kept_heights(side: list[Fraction]) -> dict[Fraction, int]:
        found: dict[Fraction, int] = {}
        for n in range(len(side) + 1):
            for kept in combinations(side, n):
                found.setdefault(sum(kept, F(0)), n)
        return found

    least, aim, most = F(at), F(at) + F(width, 2), F(at + width)
    first, second = kept_heights(one), kept_heights(two)
    both = [h for h in first if h in second and least <= h <= most]
    loose = [h for h in both if h >= aim]
    expected = min(loose) if loose else max(both, default=None)
    chosen = alike_from_leaves((tuple(one), tuple(two)), least, aim, most)
    assert (None if chosen is None else chosen.height) == expected
    if chosen is not None:
        assert len(chosen.leaves) == first[chosen.height]


@pytest.mark.parametrize(("value", "expected"), [("3", None), ("3.2", "0.5"), ("7", "4")])
def test_whole_steps_toward_a_bound(value: str, expected: str | None) -> None:
    out = steps_out(F(value), F(0), F(3), F(1) if value == "7" else F(1, 2))
    assert out == (None if expected is None else F(expected))


def test_leaves_that_are_there_come_first() -> None:
    """Rod at 8 thou, packs of 10 + 2 + 2 + 1 + 1 a side; the loose half is 2.52 to 3.22: 5 thou come out and 10 + 1 stay."""
    side = tuple(map(q, ("10 thou", "2 thou", "2 thou", "1 thou", "1 thou")))
    _, found = ask("rod-bearing-running-clearance", "8 thou", RemedyFacts(shims=(Shims(left=side, right=side),)))
    shim = remedy(found, "shim-pack")
    assert after(shim) == 3
    assert "Leave 10 thou + 1 thou on each side" in shim.text
    assert amount(shim, "pack left on both sides") == 11
    assert amount(shim, "out of each side") == 5
    assert found[0].id == "shim-pack"
    assert found[0].reversible
    assert "one thin leaf at a time" in " ".join(shim.steps)


def test_leaves_that_cannot_do_it_are_said() -> None:
    side = tuple(map(q, ("10 thou", "2 thou", "1 thou", "1 thou")))
    _, found = ask("rod-bearing-running-clearance", "8 thou", RemedyFacts(shims=(Shims(left=side, right=side),)))
    shim = remedy(found, "shim-pack")
    assert "others are needed" in shim.text
    assert "leaf thicknesses on hand" in shim.asks


def test_unlike_packs_end_alike() -> None:
    facts = RemedyFacts(shims=(Shims("left main", pack_left=q("51 thou"), pack_right=q("46 thou")),))
    _, found = ask("main-bearing-running-clearance", "8 thou", facts, place="left main")
    shim = remedy(found, "shim-pack")
    assert amount(shim, "out of one side") - amount(shim, "out of the other side") == 5
    assert "both must end alike" in shim.text
    mean = F("48.5") - amount(shim, "pack left on both sides")
    assert after(shim) == 8 - mean


def test_paper_is_replaced_before_anything_is_promised() -> None:
    facts = RemedyFacts(shims=(Shims(pack_left=q("30 thou"), pack_right=q("30 thou"), paper=True),))
    _, found = ask("main-bearing-running-clearance", "8 thou", facts)
    paper = remedy(found, "paper-to-metal")
    assert paper.predicted is None
    assert paper.reaches == "not_known"
    assert amount(paper, "crushed height to match on each side") == 30
    assert "crushed" in paper.steps[0]
    assert all(r.id != "shim-pack" for r in found)


def test_no_shims_left_means_pouring() -> None:
    facts = RemedyFacts(shims=(Shims(pack_left=q("2 thou"), pack_right=q("2 thou")),))
    _, found = ask("main-bearing-running-clearance", "8 thou", facts)
    pour = remedy(found, "pour-again")
    assert "even with every shim out" in pour.text
    assert {"C056", "C058"} <= set(pour.cautions)
    assert all(r.id != "shim-pack" for r in found)
    _, found = ask("main-bearing-running-clearance", "8 thou", RemedyFacts(shims=(Shims(left=(), right=()),)))
    assert all(r.id != "shim-pack" for r in found)


def test_an_oval_pin_is_not_shimmed() -> None:
    """In line of the throw it reads 9 thou, across it 1.2: what is right for one binds in the other."""
    across = Measured("rod-bearing-running-clearance", q("1.2 thou"), "rod", "middle", "across the throw")
    _, found = ask("rod-bearing-running-clearance", "9 thou", RemedyFacts((across,)), place="rod", axis="line of the throw")
    assert all(r.id != "shim-pack" for r in found)
    _, found = ask("rod-bearing-running-clearance", "9 thou", RemedyFacts(known(crankpin_out_of_round="6 thou")))
    assert all(r.id != "shim-pack" for r in found)
    _, found = ask("rod-bearing-running-clearance", "9 thou", RemedyFacts(found=(Found("crankpin-out-of-round", "beyond_limit"),)))
    assert "True the journal first" in remedy(found, "pour-again").text


def test_leaves_in_hand_come_before_those_of_stock() -> None:
    """Wanted 2 to 4 of a clearance of 6.5 on packs of 17: heights 12.5 to 14.5, the middle 13.5. 10 + 2 are there, 1.5 is new; 5 + 5 + 2 + 1.5
    of stock makes the same height with four new leaves."""
    side = (q("10 thou"), q("5 thou"), q("2 thou"))
    shop = bench(overlay=(own("rod-bearing-running-clearance", "0.002", "0.004"),))
    facts = RemedyFacts(shims=(Shims(left=side, right=side),), shim_stock=(q("1.5 thou"), q("2 thou"), q("5 thou")))
    shim = remedy(ask("rod-bearing-running-clearance", "6.5 thou", facts, shop)[1], "shim-pack")
    assert "Leave 10 thou + 2 thou + 1.5 thou on each side, 1.5 thou of it from stock" in shim.text
    assert after(shim) == 3


@given(leaves, st.integers(0, 40), st.integers(1, 6))
@settings(max_examples=60, deadline=None)
def test_best_of_leaves_there_and_stock(there: list[Fraction], at: int, width: int) -> None:
    """By looking at every pack of what may stay and, up to four in all, of stock. To each height that may stay, from stock the least that
    reaches the loose half, else the greatest; of these the fewest new leaves in the loose half, and else the greatest height."""
    stock, least, aim, most = (F(2), F(3), F(7)), F(at), F(at) + F(width, 2), F(at + width)
    stays: dict[Fraction, int] = {}
    for n in range(len(there) + 1):
        for kept in combinations(there, n):
            stays.setdefault(sum(kept, F(0)), n)
    found = []
    for height, n in stays.items():
        packs = [(height + sum(new, F(0)), m) for m in range(max(4 - n, 0) + 1) for new in combinations_with_replacement(stock, m)]
        loose = min(((h, m) for h, m in packs if aim <= h <= most), default=None)
        tight = min(((-h, m) for h, m in packs if least <= h < aim), default=None)
        found += [(0, loose[1], loose[0])] if loose else [(1, tight[0], F(tight[1]))] if tight else []
    chosen = with_stock(there, stock, 4, least, aim, most)
    assert (chosen is None) == (not found)
    if chosen is not None:
        new = len(chosen.new)
        assert min(found) == ((0, new, chosen.height) if chosen.height >= aim else (1, -chosen.height, new))
        assert sum(chosen.leaves, F(0)) == chosen.height


def test_loose_metal_is_poured_and_never_shimmed() -> None:
    facts = RemedyFacts(found=(Found("babbitt-bond", "stop", "loose or broken out", "rod"),))
    _, found = ask("rod-bearing-running-clearance", "9 thou", facts, place="rod")
    assert [r.id for r in found if r.reaches == "fit"] == ["pour-again"]


def test_shells_are_not_shimmed() -> None:
    shop = bench(features=frozenset({"shell-bearings", "drip-oiled"}))
    _, found = ask("rod-bearing-running-clearance", "9 thou", RemedyFacts(known(crankpin_diameter="1.81 in")), shop)
    shells = remedy(found, "new-shells")
    assert amount(shells, "bore for the journal as measured") == 1810 + after(shells)
    assert all(r.id not in ("shim-pack", "pour-again") for r in found)


def test_tight_bearing_gets_shims_back() -> None:
    item, found = ask("rod-bearing-running-clearance", "0.9 thou")
    assert item.verdict == "beyond_limit"
    shim = remedy(found, "shim-pack")
    assert amount(shim, "each side") == after(shim) - F("0.9")
    assert remedy(found, "scrape").cost_class == "hand"


def test_a_drawer_full_of_odd_leaves_is_bounded() -> None:
    """Hundreds of thicknesses with twenty digits: the choice is bounded, whatever is sent."""
    odd = tuple(q(f"1.{n:018d} thou") for n in range(1, 400))
    side = odd[:30]
    facts = RemedyFacts(shims=(Shims(left=side, right=side),), shim_stock=odd, most_leaves=10**6)
    _, found = ask("main-bearing-running-clearance", "8 thou", facts)
    assert found


def test_leaves_that_do_not_land_are_said() -> None:
    facts = RemedyFacts(shims=(Shims(pack_left=q("30 thou"), pack_right=q("30 thou")),), shim_stock=(q("0.02 in"),))
    _, found = ask("main-bearing-running-clearance", "9 thou", facts)
    assert all(r.id != "shim-pack" for r in found)
    assert remedy(found, "pour-again").reaches == "fit"


def test_as_much_out_as_is_left_makes_a_lemon() -> None:
    _, found = ask("rod-bearing-running-clearance", "9 thou")
    assert "lemon" in remedy(found, "shim-pack").text


def test_what_was_told_is_not_asked_again() -> None:
    """Leaves of 20 thou make no pack that lands; others are needed, and which there are is the question, not which are there."""
    side = (q("20 thou"), q("20 thou"))
    _, found = ask("rod-bearing-running-clearance", "8 thou", RemedyFacts(shims=(Shims(left=side, right=side),)))
    assert next(r for r in found if r.id == "shim-pack").asks == ("leaf thicknesses on hand",)
    _, bare = ask("rod-bearing-running-clearance", "8 thou")
    assert next(r for r in bare if r.id == "shim-pack").asks == ("leaves on each side", "leaf thicknesses on hand")
