"""What an owner's overlay would change: each figure beside the limits of the table that it outranks, or does not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from .errors import SpecdbError
from .overlay import Overlay
from .records import ENDS, Limit
from .resolve import softer
from .rules import Open, in_words
from .standing import trial_sizes, worked_out
from .table import Table

Counts = Literal["yes", "no", "where_tighter"]


@dataclass(frozen=True, slots=True)
class OverlayChange:
    """One figure of an overlay. ``ours``: the table's limits for the same thing. ``counts``: whether it takes their place."""

    limit: Limit
    ours: tuple[Limit, ...]
    counts: Counts
    says: str


def changes(table: Table, overlay: Overlay) -> tuple[OverlayChange, ...]:
    """Every figure of the overlay, in its order."""
    return tuple(_change(table, overlay, limit) for limit in overlay.limits)


def bounds_in_words(limit: Limit) -> str:
    """The ends that have a number: ``new from 0.002 in, to 0.0035 in; worn over 0.006 in``."""
    words = dict(zip(ENDS, ("new from", "new to", "worn under", "worn over"), strict=True))
    told = [f"{words[end]} {in_words(limit.bound(end), limit.unit)}" for end in ENDS if not isinstance(limit.bound(end), Open)]
    return "; ".join(told) or "no figure"


def _change(table: Table, overlay: Overlay, limit: Limit) -> OverlayChange:
    ours = table.limits_of.get(limit.characteristic, ())
    rules = [m for m in ours if m.kind == "safety"]
    if not ours:
        return OverlayChange(limit, (), "yes", f"The table has no limit for this; yours holds for {overlay.engine}.")
    names = ", ".join(m.id for m in ours)
    if not rules:
        return OverlayChange(limit, ours, "yes", f"Yours takes the place of {names} for {overlay.engine}.")
    looser = [list(_looser(table, limit, rule)) for rule in rules]
    if all(map(all, looser)):
        return OverlayChange(limit, ours, "no", f"A safety limit is only ever tightened, and yours is looser than {names}: it does not count.")
    if not any(map(any, looser)):
        return OverlayChange(limit, ours, "yes", f"Yours is tighter than the safety limit and takes the place of {names} for {overlay.engine}.")
    return OverlayChange(limit, ours, "where_tighter", f"{names}: a safety limit is only ever tightened; yours counts where it is the tighter.")


def _looser(table: Table, own: Limit, rule: Limit) -> Iterator[bool]:
    for sizes in trial_sizes(table, own):
        try:
            yield softer(worked_out(table, own, sizes), worked_out(table, rule, sizes), own.unit.factor / rule.unit.factor)
        except SpecdbError:
            yield True
