"""Exact choice of shim packs: the least common height that is not tighter than the middle of the fit, then the fewest leaves."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from ...calculations.shim_pack import MOST_LEAVES, packs

MOST_SUMS = 2048
"""Sums looked at for the leaves of one side; eleven leaves all different make as many."""
MOST_STOCK = 15
"""Thicknesses of stock tried, the thinnest first; fifteen make some 54,000 packs of six."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A pack for one side: its height and its leaves, thickest first; ``new``: which of them were not there."""

    height: Fraction
    leaves: tuple[Fraction, ...]
    new: tuple[Fraction, ...] = ()


def from_stock(stock: Sequence[Fraction], most_leaves: int, least: Fraction, aim: Fraction, most: Fraction) -> Kept | None:
    """The best pack of up to ``most_leaves`` stock leaves (six at most); ``least``, ``aim``, ``most`` are heights that give these clearances.

    The smallest height from ``aim`` to ``most``, fewest leaves; failing that, the greatest from ``least`` to ``aim``. None where no pack
    lands.
    """
    return None if most < 0 else _of_stock(stock, most_leaves, most, least, aim, most)


def _of_stock(stock: Sequence[Fraction], most_leaves: int, ceiling: Fraction, least: Fraction, aim: Fraction, most: Fraction) -> Kept | None:
    """As ``from_stock``; packs are made up to ``ceiling``, so that several questions share them."""
    tried = sorted(set(stock))[:MOST_STOCK]
    scale = math.lcm(*(t.denominator for t in tried))
    heights, leaves = _made(tuple(int(t * scale) for t in reversed(tried)), min(most_leaves, MOST_LEAVES),
                            math.floor(up_to_one_figure(ceiling) * scale))
    at = _pick(heights, least * scale, aim * scale, most * scale)
    return None if at is None else Kept(Fraction(heights[at], scale), tuple(Fraction(t, scale) for t in leaves[at]))


def up_to_one_figure(value: Fraction) -> Fraction:
    """A number rounded up to one figure: 0.0465 is 0.05. Packs are kept up to such a height, so that readings share them.

    >>> up_to_one_figure(Fraction("0.0465")), up_to_one_figure(Fraction(30))
    (Fraction(1, 20), Fraction(30, 1))
    """
    if value <= 0:
        return Fraction(0)
    step = Fraction(1)
    while step > value:
        step /= 10
    while step * 10 <= value:
        step *= 10
    return -(-value // step) * step


@lru_cache(maxsize=64)
def _made(stock: tuple[int, ...], most_leaves: int, ceiling: int) -> tuple[tuple[int, ...], tuple[tuple[int, ...], ...]]:
    found = sorted(packs(stock, most_leaves, ceiling).values())
    return tuple(p.total for p in found), tuple(p.leaves for p in found)


def with_stock(there: Sequence[Fraction], stock: Sequence[Fraction], most_leaves: int, least: Fraction, aim: Fraction, most: Fraction) -> Kept | None:
    """The best pack of leaves that both sides have already (``there``) and of stock.

    To each height that may stay, what ``from_stock`` adds; of these in the loose half the one with the fewest leaves from stock, then the
    least height; failing that, the greatest height.
    """
    best: tuple[tuple[Fraction, ...], Kept] | None = None
    for height, kept in sums(tuple(there)).items():
        room = min(most_leaves, MOST_LEAVES) - len(kept)
        new = _of_stock(stock, max(room, 0), most, least - height, aim - height, most - height) if height <= most else None
        if new is None:
            continue
        whole = height + new.height
        loose = whole >= aim
        rank = (Fraction(0 if loose else 1), *((Fraction(len(new.leaves)), whole) if loose else (-whole, Fraction(len(new.leaves)))),
                Fraction(len(kept) + len(new.leaves)))  # fmt: skip
        if best is None or rank < best[0]:
            best = rank, Kept(whole, tuple(sorted((*kept, *new.leaves), reverse=True)), new.leaves)
    return None if best is None else best[1]


def _pick(heights: Sequence[int] | Sequence[Fraction], least: Fraction, aim: Fraction, most: Fraction) -> int | None:
    """Where, in ascending heights, the one to take stands."""
    at = bisect_left(heights, aim)
    if at < len(heights) and heights[at] <= most:
        return at
    at = bisect_right(heights, aim) - 1
    return at if at >= 0 and least <= heights[at] <= most else None


def alike_from_leaves(sides: tuple[tuple[Fraction, ...], tuple[Fraction, ...]], least: Fraction, aim: Fraction, most: Fraction) -> Kept | None:
    """The best common height that both sides can keep by taking leaves out only; the leaves of the first side are told."""
    one, two = sums(sides[0]), sums(sides[1])
    heights = sorted(one.keys() & two.keys())
    at = _pick(heights, least, aim, most)
    return None if at is None else Kept(heights[at], one[heights[at]])


@lru_cache(maxsize=64)
def sums(leaves: tuple[Fraction, ...]) -> dict[Fraction, tuple[Fraction, ...]]:
    """Every height that can be kept, with its leaves, thickest first; the fewest leaves of several."""
    found: dict[Fraction, tuple[Fraction, ...]] = {Fraction(0): ()}
    for leaf, count in sorted(Counter(leaves).items(), reverse=True):
        for height, kept in list(found.items()):
            for n in range(1, count + 1):
                total, more = height + n * leaf, (*kept, *([leaf] * n))
                if total not in found or len(more) < len(found[total]):
                    found[total] = more
        if len(found) > MOST_SUMS:
            break
    return found


def steps_out(value: Fraction, low: Fraction, high: Fraction, step: Fraction) -> Fraction | None:
    """The fewest whole steps (else half, else quarter steps) to take off ``value`` so that it lands from ``low`` to ``high``."""
    for each in (step, step / 2, step / 4):
        out = -(-(value - high) // each) * each
        if out > 0 and value - out >= low:
            return out
    return None
