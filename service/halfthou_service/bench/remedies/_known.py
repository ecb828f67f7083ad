"""What is known beside a reading, found again without looking through all of it: a sheet may hold thousands of readings.

Every set of entries is the bits of one whole number, so that those of one place, state and way across are one ``&`` however many there are.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Any, TypeVar

from halfthou_specdb.units import Unit

from .facts import APART, Found, Measured, RemedyFacts, tokens

MOST_TOLD = 8
"""Of more values than these only the smallest and the largest few are told: nothing is made of those between."""
Bits = int
Made = TypeVar("Made")


@lru_cache(maxsize=8192)
def _marks(instance: str) -> tuple[tuple[frozenset[str], ...], frozenset[str]]:
    """What tells an instance from others: its words of each group, and its numbers."""
    words = tokens(instance)
    return tuple(frozenset(words & group) for group in APART), frozenset(w for w in words if w.isdigit())


class Places:
    """Instances in a row; which of them can mean the part that a name means."""

    def __init__(self, instances: Sequence[str]) -> None:
        self._all: Bits = (1 << len(instances)) - 1
        self._having: dict[tuple[int, str], Bits] = defaultdict(int)
        self._without = [0] * (len(APART) + 1)
        self._kept: dict[Hashable, Bits] = {}
        for n, instance in enumerate(instances):
            groups, numbers = _marks(instance)
            for group, words in enumerate((*groups, numbers)):
                if not words:
                    self._without[group] |= 1 << n
                for word in words:
                    self._having[group, word] |= 1 << n

    def like(self, instance: str) -> Bits:
        """Those that :func:`~.facts.same_place` takes for this one."""
        groups, numbers = marks = _marks(instance)
        if marks not in self._kept:
            found = self._all
            for group, words in enumerate((*groups, numbers)):
                if words:
                    either = self._without[group]
                    for word in words:
                        either |= self._having.get((group, word), 0)
                    found &= either
            self._kept[marks] = found
        return self._kept[marks]


class _Sizes:
    """The values of one characteristic and one kind of unit, the smallest first."""

    def __init__(self, sizes: Iterable[tuple[int, Measured]]) -> None:
        ordered = sorted(sizes, key=lambda one: one[1].value.canonical)
        self._order = [n for n, _ in ordered]
        self._sizes = [m for _, m in ordered]
        self._places = Places([m.instance for m in self._sizes])
        self._state: dict[str, Bits] = defaultdict(int)
        self._axis: dict[str, Bits] = defaultdict(int)
        for n, m in enumerate(self._sizes):
            self._state[m.state] |= 1 << n
            self._axis[m.axis] |= 1 << n
        self._all: Bits = (1 << len(ordered)) - 1
        self._named: dict[str, Bits] = {}

    def at(self, instance: str | None, state: str) -> list[Measured]:
        """Those of a place (anywhere for None), of one state where there is any of it."""
        found = self._all if instance is None else self._places.like(instance)
        return self._told(found & self._state.get(state, 0) or found)

    def across(self, instance: str, state: str, axis: str) -> list[Measured]:
        """Those of a place and a state that name another way across it."""
        elsewhere = self._all & ~self._axis.get("", 0) & ~self._axis.get(axis, 0)
        return self._told(self._places.like(instance) & self._state.get(state, 0) & elsewhere)

    def named(self, instance: str, word: str, has: bool) -> list[Measured]:
        """Those of a place whose own name holds a word, or does not."""
        if word not in self._named:
            self._named[word] = sum(1 << n for n, m in enumerate(self._sizes) if word in m.instance)
        bits = self._named[word]
        return self._told(self._places.like(instance) & (bits if has else self._all & ~bits))

    def _told(self, bits: Bits) -> list[Measured]:
        """In the order they were given; the smallest and the largest few where there are many."""
        if bits.bit_count() <= MOST_TOLD:
            found = list(_each(bits))
        else:
            low = list(_each(bits, MOST_TOLD // 2))
            high: list[int] = []
            while len(high) < MOST_TOLD - len(low):
                high.append(bits.bit_length() - 1)
                bits ^= 1 << high[-1]
            found = [*low, *high]
        return [self._sizes[n] for n in sorted(found, key=self._order.__getitem__)]


def _each(bits: Bits, most: int = MOST_TOLD) -> Iterator[int]:
    """The places of the lowest bits."""
    while bits and most:
        low = bits & -bits
        yield low.bit_length() - 1
        bits ^= low
        most -= 1


class Known:
    """Sizes and findings known beside the reading, by characteristic, place and state."""

    def __init__(self, facts: RemedyFacts) -> None:
        self._read: dict[str, list[Measured]] = defaultdict(list)
        for one in facts.measured:
            self._read[one.characteristic].append(one)
        self._surveyed = RemedyFacts(surveys=facts.surveys) if facts.surveys else None
        self._all: dict[str, tuple[Measured, ...]] = {}
        self._sizes: dict[tuple[str, str], _Sizes] = {}
        self._found: dict[tuple[str, str], list[tuple[int, Found]]] = defaultdict(list)
        for n, found in enumerate(facts.found):
            self._found[found.characteristic, found.verdict].append((n, found))
        self._places: dict[tuple[str, str], Places] = {}
        self._once: dict[tuple[str, ...], Any] = {}

    def once(self, key: tuple[str, ...], make: Callable[[], Made]) -> Made:
        """What follows from what is known, worked out once; it is not to be changed."""
        if key not in self._once:
            self._once[key] = make()
        found: Made = self._once[key]
        return found

    def of(self, characteristic: str) -> tuple[Measured, ...]:
        """Told, read or surveyed."""
        if characteristic not in self._all:
            surveyed = () if self._surveyed is None else self._surveyed.sizes(characteristic)
            self._all[characteristic] = (*self._read.get(characteristic, ()), *surveyed)
        return self._all[characteristic]

    def sizes(self, characteristic: str, unit: Unit, instance: str | None, state: str) -> list[Fraction]:
        """Values in a unit at a place (anywhere for None), of this state where there is any."""
        return [m.value.to(unit) for m in self._of_kind(characteristic, unit).at(instance, state)]

    def across(self, characteristic: str, unit: Unit, instance: str, state: str, axis: str) -> list[Fraction]:
        """Values in a unit read another way across the same place."""
        return [m.value.to(unit) for m in self._of_kind(characteristic, unit).across(instance, state, axis)]

    def named(self, characteristic: str, unit: Unit, instance: str, word: str, has: bool) -> list[Fraction]:
        """Values in a unit at a place whose own name holds a word, or does not; of any state."""
        return [m.value.to(unit) for m in self._of_kind(characteristic, unit).named(instance, word, has)]

    def first(self, characteristic: str, verdict: str, instance: str) -> tuple[int, Found] | None:
        """The first such finding at a place, and where it stands among all findings."""
        key = (characteristic, verdict)
        all_of_it = self._found.get(key)
        if not all_of_it:
            return None
        if key not in self._places:
            self._places[key] = Places([found.instance for _, found in all_of_it])
        return next((all_of_it[n] for n in _each(self._places[key].like(instance), 1)), None)

    def _of_kind(self, characteristic: str, unit: Unit) -> _Sizes:
        key = (characteristic, unit.dimension)
        if key not in self._sizes:
            self._sizes[key] = _Sizes((n, m) for n, m in enumerate(self.of(characteristic)) if m.value.unit.dimension == unit.dimension)
        return self._sizes[key]
