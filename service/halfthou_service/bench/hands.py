"""What hands say beside a gauge: tests by feel that the trade takes as evidence for or against a fit, and what no gauge alone can prove.

They move no number. They are told beside a verdict that has room for doubt: a shaft that turns free speaks against too tight, one that
binds for it. A test of one bearing says nothing of another, and one from before the work says nothing of the work.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from .decide import best_possible
from .hand_tests import TELLS, speaks_of_tight
from .item import Item
from .readings import Place, State
from .say_verdict import next_step
from .settle import by_hand
from .verdict import Bench
from .wording import with_article

FREE = frozenset({"within_fit", "usable", "typical"})
"""Verdicts that speak against its being too tight; ``stop`` and ``beyond_limit`` speak for it, as does drag out of the usual on the high side."""
BLIND = frozenset({
    "telescoping-gauge-outside-micrometer", "small-hole-gauge-micrometer", "digital-caliper", "dial-or-vernier-caliper", "vernier-caliper",
    "vernier-or-dial-caliper",
})  # fmt: skip
"""Tools by feel, of which no published figure says how good they are."""
PROVES = "a plastic strip, a bore gauge set on the same micrometer, or blue and a shaft that turns free"


@dataclass(frozen=True, slots=True)
class Test:
    """One test by hand and what it says: ``against`` or ``for`` its being too tight, or nothing."""

    item: Item
    place: Place
    state: State
    says: str

    def of(self, component: str, place: Place, state: State) -> bool:
        """Whether it speaks of this part, in this state."""
        if component not in TELLS[self.item.characteristic] or state != self.state:
            return False
        return not self.place.instance or not place.instance or self.place.instance.lower() == place.instance.lower()


def with_hands(bench: Bench, items: Sequence[Item], asked: Sequence[tuple[Place, State]]) -> tuple[Item, ...]:
    """The items, with what hand tests on the same sheet say to those in doubt. ``asked``: where and in what state each was read."""
    tests = tuple(_tests(items, asked))
    return tuple(_told(bench, item, tests, place, state) for item, (place, state) in zip(items, asked, strict=True))


def _tests(items: Sequence[Item], asked: Sequence[tuple[Place, State]]) -> Iterator[Test]:
    for item, (place, state) in zip(items, asked, strict=True):
        if item.characteristic in TELLS and item.verdict != "not_judged":
            yield Test(item, place, state, _says(item))


def _says(item: Item) -> str:
    if item.verdict in FREE:
        return "against"
    if item.characteristic == "bearing-drag":
        return "for" if item.verdict == "unusual" and item.side == "high" else ""
    return "for" if item.verdict in ("stop", "beyond_limit", "undecided") and (item.finding or item.verdict == "beyond_limit") else ""


def _told(bench: Bench, item: Item, tests: Sequence[Test], place: Place, state: State) -> Item:
    what = bench.table.characteristics.get(item.characteristic)
    if what is None or item.verdict not in ("undecided", "usable", "within_fit") or not speaks_of_tight(what):
        return item
    said: list[str] = []
    if item.verdict == "undecided" and item.side != "high":
        done = [test for test in tests if test.of(item.component, place, state)]
        said += [f"{_name(test.item)} speaks {test.says} its being too tight" for test in done if test.says]
        item = _not_twice(bench, item, frozenset(test.item.characteristic for test in done))
    if note := _cannot_prove(bench, item):
        said.append(note)
    return replace(item, assumed=(*item.assumed, *said)) if said else item


def _not_twice(bench: Bench, item: Item, done: frozenset[str]) -> Item:
    """A test that was done already is not what would settle it: the next one, if any, is named instead."""
    old = item.settles
    if old is None or old.how != "hands" or not done:
        return item
    what = bench.table.characteristics[item.characteristic]
    new = by_hand(bench.table, what, item.side, old.capable, done)
    return replace(item, settles=new, text=item.text.replace(next_step(old, bench.rules), next_step(new, bench.rules)))


def _name(test: Item) -> str:
    """``turnover by hand (free)``, ``bearing contact (35 percent)``."""
    told = test.finding or (f"{test.value:f} {test.unit.token}" if test.value is not None and test.unit else "")
    return f"{test.name[:1].lower()}{test.name[1:]} ({told})"


def _cannot_prove(bench: Bench, item: Item) -> str:
    """What a tool by feel leaves open: that even its best reading could not prove a new fit, or that its doubt is nobody's published figure."""
    resolved = bench.resolved.get(item.characteristic)
    tool = item.instrument.partition("/")[0]
    if tool not in BLIND or resolved is None or resolved.fit is None or not item.u or item.unit is None:
        return ""
    u = item.u * float(item.unit.factor / resolved.fit.unit.factor)
    if best_possible(u, item.dof or float("inf"), resolved.fit, resolved.characteristic.non_negative) < bench.rules.confidence:
        return f"this tool alone can never prove a new fit here; {PROVES} can"
    if item.verdict == "within_fit":
        name = with_article(bench.table.instruments[tool].name)
        return f"{name} alone never proves a new fit: how good it is rests on the hand, not on a published figure; {PROVES} can"
    return ""
