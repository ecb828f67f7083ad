"""The pieces of a target: a bore for a shaft, a journal ground clean, a size the table gives whatever the part."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from halfthou_specdb.rules import Open

from .figures import Told, edges, ordered_sizes, size, span
from .order_case import INCH, OrderCase, Size, inches, whose

GRIND_BAND = Fraction(5, 10_000)
"""In; what the trade allows a ground pin under its size, and a bored hole over it (common practice for the pin, ours for the bore)."""
PIN_BAND = Fraction(2, 10_000)
MARGIN = Fraction(1, 1000)
"""In on the diameter, to be sure of clean metal (our judgement)."""
ROUND_TO = Fraction(5, 1000)
SLIP = Fraction(1, 20)
"""Readings of one journal that differ by more than this share of it are no wear: one of them is a slip."""


@dataclass(frozen=True, slots=True)
class Target:
    """One finished size. ``low`` and ``high`` in inches, None for a relation that still wants a size; ``told`` is what is printed large."""

    what: str
    characteristic: str
    told: Told
    low: Fraction | None
    high: Fraction | None
    whose: str
    how: str
    boxes: str = ""
    """The word its boxes begin with, where a part has several sizes."""
    note: str = ""
    """What the machinist must know beside the size: how much larger a pin may stay."""


@dataclass(frozen=True, slots=True)
class Mate:
    """The part it must match and its size: measured, or as ordered."""

    part: str
    told: str
    measured: bool


def sized(case: OrderCase, what: str, characteristic: str, low: Fraction, high: Fraction, word: str, how: str, boxes: str = "") -> Target:
    """A target with both limits, in inches; its limits are the figures as printed."""
    told, bottom, top = ordered_sizes(low, high, INCH, case.system)
    return Target(what, characteristic, told, bottom, top, word, how, boxes)


def clean_journal(case: OrderCase, what: str, characteristic: str, found: tuple[Size, ...], boxes: str) -> Target | None:
    """The size at which an oval journal is clean on its old axis: the wear taken as all on one side, so that the throw is kept.

    None where the readings lie so far apart that one of them is a slip.
    """
    largest, smallest = max(s.exact for s in found), min(s.exact for s in found)
    if largest - smallest > largest * SLIP:
        return None
    clean = largest - 2 * (largest - smallest) - MARGIN
    high = (clean / ROUND_TO).__floor__() * ROUND_TO
    low = high - GRIND_BAND
    how = (f"largest found {size(largest, INCH, case.system)}, smallest {size(smallest, INCH, case.system)}: clean on the old axis at "
           f"{size(clean, INCH, case.system)} if all the wear is on one side; the next round size under that, no more than "
           f"{span(GRIND_BAND, GRIND_BAND, INCH, case.system)} under it")  # fmt: skip
    found_at = sized(case, f"{what}, every station, both lines", characteristic, low, high, "ours / trade", how, boxes)
    if largest == smallest:
        return found_at
    evenly, aside = size(smallest - MARGIN, INCH, case.system), size(clean, INCH, case.system)
    return replace(found_at, note=f"Clean at {evenly} if worn evenly, {aside} if all on one side; stop as soon as it is clean")


def spread(found: tuple[Size, ...]) -> Fraction:
    """Largest less smallest [in]."""
    return max(s.exact for s in found) - min(s.exact for s in found)


def bored_to(case: OrderCase, what: str, clearance: str, shaft: str, known: tuple[Fraction, Fraction] | None, boxes: str) -> list[Target]:
    """A bore for a shaft: wherever the shaft lands between its limits, the clearance lies in a new fit; aimed at the loose half."""
    fit = case.fit(clearance)
    if fit is None:
        return []
    low, high, word = fit
    loose = span((low + high) / 2, high, INCH, case.system)
    if known is None or known[0] + high <= known[1] + low:
        more = span(low, high, INCH, case.system)
        how = f"measure the {shaft} first; aim at the loose half, {loose}"
        return [Target(what, clearance, Told(f"{shaft} + {more.number}", more.unit), None, None, word, how, boxes)]
    middle = (low + high) / 2
    bottom, top = known[1] + middle, known[0] + high
    if top - bottom < GRIND_BAND:  # half of a narrow fit is no zone to work to
        bottom = known[1] + low
    how = f"{shaft} + {span(low, high, INCH, case.system)}, on the diameter; aim at the loose half, {loose}"
    return [sized(case, what, clearance, bottom, top, word, how, boxes)]


def between(case: OrderCase, characteristic: str, what: str) -> list[Target]:
    """A size the table itself gives, whatever the part."""
    found = case.limit(characteristic)
    if found is None or found.fit is None:
        return []
    low, high = inches(found.fit) if found.fit.unit.dimension == "length" else (Open.NONE_ON_FILE, Open.NONE_ON_FILE)
    ends = [f"fit_{side}" for side, v in (("low", low), ("high", high)) if not isinstance(v, Open)]
    return [] if not ends else [
        Target(what, characteristic, span(low, high, INCH, case.system), None, None, whose(found, ends), "from the limits of the table")
    ]  # fmt: skip


def at_most(case: OrderCase, characteristic: str, what: str, boxes: str) -> list[Target]:
    """The high end of a new fit, where the lower side is open."""
    found = case.limit(characteristic)
    if found is None or found.fit is None:
        return []
    high = inches(found.fit)[1]
    if isinstance(high, Open):
        return []
    edge = edges(Open.NONE_ON_FILE, high, INCH, case.system)
    told = Told(f"at most {edge.number.removeprefix('over ')}", edge.unit)
    return [Target(what, characteristic, told, Fraction(0), high, whose(found, ("fit_high",)), "the new limit of the table", boxes)]


def measured(case: OrderCase, found: tuple[Size, ...]) -> str:
    """Sizes read, told: ``1.7997 in, by outside micrometer, one reading``."""
    low, high = min(s.exact for s in found), max(s.exact for s in found)
    tool = found[0].tool
    told = size(low, INCH, case.system) if low == high else f"{size(low, INCH, case.system).number} to {size(high, INCH, case.system)}"
    return f"{told}, by {tool}, {'one reading' if len(found) == 1 else f'{len(found)} readings'}"
