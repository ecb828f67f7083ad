"""Whether a size the owner wishes can be had from the metal there is: a pin only smaller than its smallest place, a bore only larger."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from halfthou_specdb.quantity import Quantity

from .figures import reading, size, span
from .order_case import INCH, OrderCase, Size
from .target_parts import Target

ONE_SIDE_TWICE = 2
"""A pit or score is as deep on the diameter as twice what it is in the wall."""


def wished_too_far(case: OrderCase, part: str, low: Quantity, high: Quantity) -> list[str]:
    """What stands against the owner's own low and high; nothing where new metal is put in (poured, bushed, sleeved, made new)."""
    if part == "crankshaft":
        return _pin(case, high)
    if part == "cylinder" and case.wish(part).method != "sleeve":
        return _bore(case, low)
    return []


def _pin(case: OrderCase, high: Quantity) -> list[str]:
    found = case.sizes("crankpin-diameter")
    if not found:
        return []
    least = min(found, key=lambda s: s.exact)
    deep = _deepest(s for s in case.sizes("journal-score-depth") if not s.place.instance or "crankpin" in s.place.instance)
    if high.to(INCH) <= least.exact - ONE_SIDE_TWICE * deep:
        return []
    return [f"Your high limit {reading(high, case.system)} is over the smallest reading {reading(least.value, case.system)}"
            f"{_less(case, deep, 'scores')}: it cannot clean up."]  # fmt: skip


def _bore(case: OrderCase, low: Quantity) -> list[str]:
    found = case.sizes("cylinder-bore-diameter")
    if not found:
        return []
    most = max(found, key=lambda s: s.exact)
    pits = pit_depth(case)
    if low.to(INCH) >= most.exact + ONE_SIDE_TWICE * pits:
        return []
    return [f"Your low limit {reading(low, case.system)} is under the largest reading {reading(most.value, case.system)}"
            f"{_less(case, pits, 'pits', 'and')}: bored, it cannot clean up."]  # fmt: skip


def pit_depth(case: OrderCase) -> Fraction:
    """The deepest pit read in the ring travel [in]."""
    return _deepest(case.sizes("cylinder-pit-depth"))


def guide_too_small(case: OrderCase, valve: str, targets: Sequence[Target]) -> list[str]:
    """A guide that is wider already than the bore the owner's valve would want."""
    found: tuple[Size, ...] = case.sizes(f"{valve}-guide-bore")
    if not found:
        return []
    most = max(found, key=lambda s: s.exact)
    return [f"{t.what}: its high limit {size(t.high, INCH, case.system)} is under the largest reading {reading(most.value, case.system)}: "
            "no reamer makes it smaller; a larger stem, or a bush." for t in targets if t.high is not None and t.high < most.exact]  # fmt: skip


def _deepest(found: Iterable[Size]) -> Fraction:
    return max((s.exact for s in found), default=Fraction(0))


def _less(case: OrderCase, deep: Fraction, what: str, joint: str = "less") -> str:
    return f" {joint} its {what} (2 x {span(deep, deep, INCH, case.system)})" if deep else ""
