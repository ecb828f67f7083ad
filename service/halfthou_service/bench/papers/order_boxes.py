"""The boxes of an order: one for his figure and one for mine at every place, with the limits ordered there; and the form worked out from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from halfthou_specdb.rules import Open

from .figures import size, span
from .order_case import INCH, OrderCase, inches
from .recipes import Box, Recipe, boxes_of, surveyed
from .target_parts import Target

OUT_OF_ROUND, TAPER = " out of round", " taper"
"""What follows the heading of a group of diameters in the report, where its form is judged."""


@dataclass(frozen=True, slots=True)
class ReportBox:
    """One box for his figure and one for mine, with the limits ordered there."""

    box: Box
    ordered: str
    low: Fraction | None
    high: Fraction | None


def fillet_size(case: OrderCase) -> Fraction | None:
    """The radius that is kept [in]: the owner's own, else the largest found."""
    wish = case.wish("crankshaft").fillet
    if wish is not None:
        return wish.to(INCH)
    return max((s.exact for s in case.sizes("journal-fillet-radius")), default=None)


def boxes(case: OrderCase, recipe: Recipe, targets: Sequence[Target]) -> tuple[ReportBox, ...]:
    """Every place of a part that is measured, with what was ordered there."""
    made = []
    for box in boxes_of(case.bench.table, recipe):
        target = next((t for t in targets if t.boxes and box.what.startswith(t.boxes)), None)
        low, high = (target.low or None, target.high) if target else (None, None)
        told = str(target.told) if target else "write it down"
        if box.limit and high is None:
            low, high, told = _ends_of(case, box.limit, told)
        if box.what.startswith("Fillet"):
            low = fillet_size(case)
            told = f"not under {size(low, INCH, case.system)}" if low else "as found, not smaller"
        made.append(ReportBox(box, told, low, high))
    return tuple(made)


def _ends_of(case: OrderCase, characteristic: str, told: str) -> tuple[Fraction | None, Fraction | None, str]:
    """Both ends of a new fit of the table [in] and how they are told; nothing, and ``told``, where none is on file."""
    found = case.limit(characteristic)
    if found is None or found.fit is None or found.fit.unit.dimension != "length":
        return None, None, told
    low, high = (None if isinstance(end, Open) else end for end in inches(found.fit))
    if low is None and high is None:
        return None, None, told
    return low or None, high, str(span(found.fit.low, found.fit.high, found.fit.unit, case.system))


def form_boxes(case: OrderCase, recipe: Recipe) -> tuple[ReportBox, ...]:
    """Out of round and taper that the order limits, for each group of diameters: judged from the sizes reported."""
    made = []
    for name, survey in surveyed(case.bench.table, recipe):
        for characteristic, word in ((survey.out_of_round, OUT_OF_ROUND), (survey.taper, TAPER)):
            if characteristic and characteristic in recipe.form:
                low, high, told = _ends_of(case, characteristic, "")
                made += [ReportBox(Box(f"{name}{word}", "", ""), told, low, high)] if high is not None else []
    return tuple(made)
