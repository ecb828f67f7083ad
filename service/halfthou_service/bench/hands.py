"""What hands say beside a gauge: tests by feel that the trade takes as evidence for or against a fit, and what no gauge alone can prove.

They move no number. They are told beside a verdict that has room for doubt: a shaft that turns free speaks against too tight, one that
binds for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from .decide import best_possible
from .readings import Reading
from .verdict import Bench, Item

TELLS: dict[str, tuple[str, ...]] = {
    "turnover-freedom": ("crankshaft", "main-bearing", "connecting-rod", "wrist-pin", "piston"),
    "bearing-tightness-by-hand": ("main-bearing",),
    "ring-freedom": ("piston-ring",),
}
"""Findings by hand -> the components they speak of. Words judged ``within_fit`` speak for freedom, ``stop`` and ``beyond_limit`` against."""
BLIND = frozenset({
    "telescoping-gauge-outside-micrometer", "small-hole-gauge-micrometer", "digital-caliper", "dial-or-vernier-caliper", "vernier-caliper",
})  # fmt: skip
PROVES = "a plastic strip, a bore gauge set on the same micrometer, or blue and a shaft that turns free"


def with_hands(bench: Bench, items: Sequence[Item], readings: Sequence[Reading]) -> tuple[Item, ...]:
    """The items, with what hand tests on the same sheet say to those in doubt."""
    found = {i.component: f for f in _findings(bench, items) for i in items if i.component in f[1]}
    return tuple(_told(bench, item, found.get(item.component), reading) for item, reading in zip(items, readings, strict=True))


def _findings(bench: Bench, items: Sequence[Item]) -> Iterator[tuple[Item, tuple[str, ...]]]:
    for item in items:
        what = bench.table.characteristics.get(item.characteristic)
        if item.finding and what is not None:
            components = TELLS.get(item.characteristic, ())
            if components:
                yield item, components


def _told(bench: Bench, item: Item, test: tuple[Item, tuple[str, ...]] | None, reading: Reading) -> Item:
    what = bench.table.characteristics.get(item.characteristic)
    if what is None or what.low_side.meaning != "too-tight" or item.verdict not in ("undecided", "usable", "within_fit"):
        return item
    said: list[str] = []
    if test is not None and item.side != "high" and item.verdict == "undecided":
        free = test[0].verdict == "within_fit"
        said.append(f"{test[0].name.lower()} ({test[0].finding}) speaks {'against' if free else 'for'} its being too tight")
    if _cannot_prove(bench, item):
        said.append(f"this tool alone can never prove a new fit here; {PROVES} can")
    return replace(item, assumed=(*item.assumed, *said)) if said else item


def _cannot_prove(bench: Bench, item: Item) -> bool:
    """Whether even the best reading could not prove a new fit with this tool."""
    resolved = bench.resolved.get(item.characteristic)
    if item.instrument.partition("/")[0] not in BLIND or resolved is None or resolved.fit is None or not item.u or item.unit is None:
        return False
    u = item.u * float(item.unit.factor / resolved.fit.unit.factor)
    return best_possible(u, item.dof or float("inf"), resolved.fit, resolved.characteristic.non_negative) < bench.rules.confidence
