"""Readings of one sheet that cannot all be right: said, never mended and never averaged.

Two readings of one thing agree while |difference| <= 2 sqrt(u1^2 + u2^2) (the En number of ISO/IEC 17043 within 1).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from .clashes import Contradiction, Seen, apart, clashing, seen_of, signed, slip_between, told_length
from .item import Item
from .readings import Reading
from .surveys.clashes import against_subtraction, against_surveys, ring_gap, seen_of_several, two_surveys
from .surveys.verdict import JudgedSurvey
from .tools import TEMPERATURES
from .verdict import Bench

MOST_NAMED = 9
"""Readings named in one contradiction."""


def contradictions(bench: Bench, items: Sequence[Item], readings: Sequence[Reading], surveys: Sequence[JudgedSurvey] = ()) -> list[Contradiction]:
    """Every contradiction of a sheet, in the order of the kinds below."""
    alone = [s for item, reading in zip(items, readings, strict=True) if (s := seen_of(bench.table, item, reading)) is not None]
    seen = [*alone, *seen_of_several(surveys)]
    return [
        *_same_thing(bench, seen), *_subtraction(bench, seen), *against_subtraction(seen, surveys), *against_surveys(seen, surveys),
        *two_surveys(surveys), *_shims(bench, seen), *ring_gap(seen, surveys), *_compression(seen),
    ]  # fmt: skip


def _same_thing(bench: Bench, seen: Sequence[Seen]) -> Iterator[Contradiction]:
    """The same thing read twice in one place and state. Where no place is named it is one thing only if the engine has but one of it."""
    groups: dict[tuple[str, ...], list[Seen]] = defaultdict(list)
    for s in seen:
        place = s.reading.place
        if place.instance or (_only_one(bench, s) and s.item.verdict != "not_judged"):
            unit = "temperature" if s.unit.dimension in TEMPERATURES else s.unit.dimension
            there = (part.lower() for part in (place.instance, place.station, place.axis))
            groups[(s.item.characteristic, s.reading.state, *there, unit)].append(s)
    for group in groups.values():
        for a, b in clashing(group):
            hint = slip_between(a.value, b.value)
            where = f" ({a.item.place})" if a.item.place else ""
            yield Contradiction((a.item.id, b.item.id), f"{a.item.name}{where}: {a.told} and {b.told} differ by more than both "
                                f"tools' doubt; {hint}find the fault, do not average.")  # fmt: skip


def _only_one(bench: Bench, s: Seen) -> bool:
    what = bench.table.characteristics.get(s.item.characteristic)
    return what is not None and len(what.instances) < 2


def _subtraction(bench: Bench, seen: Sequence[Seen]) -> Iterator[Contradiction]:
    """A clearance measured directly against bore less shaft, both read one by one."""
    for pair in bench.table.pairs.values():
        kinds = [bench.table.surveys[name] for name in (pair.bore, pair.shaft) if name in bench.table.surveys]
        if len(kinds) < 2 or not all(kind.diameter for kind in kinds):
            continue
        direct, bores, shafts = ([s for s in seen if s.item.characteristic == name]
                                 for name in (pair.clearance, kinds[0].diameter, kinds[1].diameter))  # fmt: skip
        for s in (s for s in direct if _only_one(bench, s)):
            bore, shaft = ([x for x in sizes if x.reading.state == s.reading.state] for sizes in (bores, shafts))
            if not bore or not shaft:
                continue
            least = min(x.value - 2 * x.u for x in bore) - max(x.value + 2 * x.u for x in shaft)
            most = max(x.value + 2 * x.u for x in bore) - min(x.value - 2 * x.u for x in shaft)
            if least - 2 * s.u <= s.value <= most + 2 * s.u:
                continue
            small, large = min(x.value for x in bore) - max(x.value for x in shaft), max(x.value for x in bore) - min(x.value for x in shaft)
            hint = slip_between(s.value, small if s.value < least else large)
            gives = told_length(small) if small == large else f"{told_length(small)} to {told_length(large)}"
            ids = [x.item.id for x in (s, *bore, *shaft)][:MOST_NAMED]
            yield Contradiction(tuple(ids), f"{s.item.name}: {s.told}, but bore less shaft gives {gives}; {hint}find the fault, do not average.")


SHIMS = {
    "rod-bearing-running-clearance": "rod-shim-pack",
    "main-bearing-running-clearance": "main-shim-pack",
}
"""Clearance -> the packs beside its cap. A pack's instance is the side, after the bearing where there are several."""


def _shims(bench: Bench, seen: Sequence[Seen]) -> Iterator[Contradiction]:
    """Shims taken out close the bearing by their thickness, the mean of the two sides; more or less than that is a slip somewhere."""
    for clearance, pack in SHIMS.items():
        if clearance not in bench.table.characteristics:
            continue
        gaps, packs = (_before_after(seen, name) for name in (clearance, pack))
        for instance, (gap_a, gap_b) in gaps.items():
            sides = [pair for name, pair in packs.items() if name.lower().startswith(instance.lower()) or clearance.startswith("rod")]
            if not sides:
                continue
            closed = gap_a.value - gap_b.value
            out = sum(before.value - after.value for before, after in sides) / len(sides)
            u_closed, u_out = (gap_a.u**2 + gap_b.u**2) ** 0.5, sum(b.u**2 + a.u**2 for b, a in sides) ** 0.5 / len(sides)
            if apart(closed, u_closed, out, u_out):
                ids = tuple(s.item.id for pair in sides for s in pair)
                hint = slip_between(closed, out).replace("; ", ". ")
                name = f"{gap_a.item.name}{f' ({instance})' if instance else ''}"
                yield Contradiction((gap_a.item.id, gap_b.item.id, *ids),
                                    f"{name}: the clearance closed by {signed(closed)}, the shims came out by {signed(out)} a side; they should be "
                                    f"the same. {hint[:1].upper()}{hint[1:]}Look at both sides' packs, the cap and the gauge.")  # fmt: skip


def _before_after(seen: Sequence[Seen], characteristic: str) -> dict[str, tuple[Seen, Seen]]:
    """Instance -> (as found, as made), where each was read once."""
    found: dict[tuple[str, str], list[Seen]] = defaultdict(list)
    for s in seen:
        if s.item.characteristic == characteristic:
            found[(s.reading.place.instance, s.reading.state)].append(s)
    instances = {instance: None for instance, _ in found}
    pairs = {i: (found.get((i, "as_found"), []), found.get((i, "as_made"), [])) for i in instances}
    return {i: (a[0], b[0]) for i, (a, b) in pairs.items() if len(a) == len(b) == 1}


def _compression(seen: Sequence[Seen]) -> Iterator[Contradiction]:
    """Good compression with rings said to be far gone asks for a second look: both of one state, and of one occasion."""
    pressures = [s for s in seen if s.item.characteristic == "cranking-pressure" and s.item.verdict == "typical"]
    gone = [s for s in seen if s.item.characteristic in ("ring-end-gap", "cylinder-taper") and s.item.verdict == "beyond_limit"]
    for pressure in pressures:
        told_apart = pressure.reading.state == "as_found" and pressure.reading.place.station
        worn = [s for s in gone if s.reading.state == pressure.reading.state]
        if worn and not told_apart:
            yield Contradiction((pressure.item.id, *(s.item.id for s in worn[:3])),
                                f"{pressure.item.name}: {pressure.told} is usual, yet {worn[0].item.name.lower()} reads past its limit; "
                                "one of the two is misread, or oil is sealing the rings. Read both again.")  # fmt: skip


__all__ = ["Contradiction", "contradictions"]
