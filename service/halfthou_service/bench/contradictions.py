"""Readings of one sheet that cannot all be right: said, never mended and never averaged.

Two readings of one thing agree while |difference| <= 2 sqrt(u1^2 + u2^2) (the En number of ISO/IEC 17043 within 1).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from halfthou_specdb.units import UNITS, Unit

from .readings import Reading
from .speak import say_doubt
from .survey_verdict import JudgedSurvey
from .uncertainty import TEMPERATURES
from .verdict import Bench, Item

EN_LIMIT = 1.0
INCH = UNITS["in"]


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Readings that their own doubts cannot reconcile, by id, and what to look for."""

    ids: tuple[str, ...]
    text: str


@dataclass(frozen=True, slots=True)
class _Seen:
    """One reading as a number: value and standard uncertainty in the canonical unit."""

    item: Item
    reading: Reading
    value: float
    u: float
    unit: Unit

    @property
    def told(self) -> str:
        """``0.0049 in by telescoping gauge``."""
        tool = f" by {self.item.instrument.partition('/')[0].replace('-', ' ')}" if self.item.instrument else ""
        return f"{self.item.value:f} {self.unit.token}{tool}"


def contradictions(bench: Bench, items: Sequence[Item], readings: Sequence[Reading], surveys: Sequence[JudgedSurvey] = ()) -> list[Contradiction]:
    """Every contradiction of a sheet, in the order of the kinds below."""
    seen = [s for item, reading in zip(items, readings, strict=True) if (s := _seen(item, reading)) is not None]
    return [*_same_thing(seen), *_against_subtraction(seen, surveys), *_shims(bench, seen), *_ring_gap(seen), *_compression(seen)]


def _seen(item: Item, reading: Reading) -> _Seen | None:
    if not item.u or item.value is None or item.unit is None or reading.span is not None:
        return None
    factor = float(item.unit.factor)
    return _Seen(item, reading, float(item.value) * factor + float(item.unit.offset), item.u * factor, item.unit)


def _apart(a: float, u_a: float, b: float, u_b: float) -> bool:
    return abs(a - b) > 2.0 * EN_LIMIT * math.hypot(u_a, u_b)


def _alike(a: Unit, b: Unit) -> bool:
    return a.dimension == b.dimension or {a.dimension, b.dimension} <= TEMPERATURES


def _same_thing(seen: Sequence[_Seen]) -> Iterator[Contradiction]:
    """The same thing read twice in one place and state."""
    groups: dict[tuple[str, ...], list[_Seen]] = defaultdict(list)
    for s in seen:
        place = s.reading.place
        if place.instance:
            groups[(s.item.characteristic, s.reading.state, place.instance, place.station, place.axis)].append(s)
    for group in groups.values():
        for a, b in combinations(group[:20], 2):
            if _alike(a.unit, b.unit) and _apart(a.value, a.u, b.value, b.u):
                hint = _slip_between(a, b)
                yield Contradiction((a.item.id, b.item.id), f"{a.item.name} ({a.item.place}): {a.told} and {b.told} differ by more than both "
                                    f"tools' doubt; {hint}find the fault, do not average.")  # fmt: skip


def _slip_between(a: _Seen, b: _Seen) -> str:
    small, large = sorted((abs(a.value), abs(b.value)))
    if not small:
        return ""
    near = {2.0: "one looks like the gap on one side only, the other like the whole; ", 10.0: "one has its point a place out; ",
            25.4: "one looks like inches, the other like millimetres; "}  # fmt: skip
    return next((says for ratio, says in near.items() if abs(large / small / ratio - 1.0) < 0.04), "")


def _against_subtraction(seen: Sequence[_Seen], surveys: Sequence[JudgedSurvey]) -> Iterator[Contradiction]:
    """A clearance measured directly against bore less shaft of the surveys on the same sheet."""
    for judged in surveys:
        bounds = {item.id.rpartition(".")[2]: item for item in judged.items if item.id.endswith("-clearance")}
        low, high = bounds.get("smallest-clearance"), bounds.get("largest-clearance")
        if low is None or high is None or low.value is None or high.value is None or low.unit is None or not low.u or not high.u:
            continue
        factor = float(low.unit.factor)
        least, most = float(low.value) * factor, float(high.value) * factor
        for s in seen:
            if s.item.characteristic != low.characteristic or s.reading.place.instance != judged.survey.instance:
                continue
            u = math.hypot(s.u, low.u * factor)
            if s.value < least - 2 * u or s.value > most + 2 * u:
                yield Contradiction((s.item.id, low.id, high.id), f"{s.item.name} ({s.item.place}): {s.told}, but bore less shaft gives "
                                    f"{_inches(least)} to {_inches(most)}; find the fault, do not average.")  # fmt: skip


def _inches(value: float) -> str:
    return say_doubt(value / float(INCH.factor), INCH) if value > 0 else "nothing"


SHIMS = {
    "rod-bearing-running-clearance": "rod-shim-pack",
    "main-bearing-running-clearance": "main-shim-pack",
}


def _shims(bench: Bench, seen: Sequence[_Seen]) -> Iterator[Contradiction]:
    """Shims taken out alike on both sides close the bearing by their thickness; more or less than that is a slip somewhere."""
    for clearance, pack in SHIMS.items():
        if clearance not in bench.table.characteristics:
            continue
        gaps, packs = (_before_after(seen, name) for name in (clearance, pack))
        for instance in gaps.keys() & packs.keys():
            (gap_a, gap_b), (pack_a, pack_b) = gaps[instance], packs[instance]
            closed, out = gap_a.value - gap_b.value, pack_a.value - pack_b.value
            u_closed, u_out = math.hypot(gap_a.u, gap_b.u), math.hypot(pack_a.u, pack_b.u)
            if _apart(closed, u_closed, out, u_out):
                yield Contradiction((gap_a.item.id, gap_b.item.id, pack_a.item.id, pack_b.item.id),
                                    f"{gap_a.item.name} ({instance}): the clearance changed by {_signed(closed)}, "
                                    f"the shims by {_signed(out)} a side; "
                                    "they should be the same. Look at the other side's pack, the cap and the gauge.")  # fmt: skip


def _signed(value: float) -> str:
    thou = value / float(INCH.factor) * 1000.0
    return f"{thou:+.1f} thou"


def _before_after(seen: Sequence[_Seen], characteristic: str) -> dict[str, tuple[_Seen, _Seen]]:
    """Instance -> (as found, as made), where each was read once."""
    found: dict[tuple[str, str], list[_Seen]] = defaultdict(list)
    for s in seen:
        if s.item.characteristic == characteristic:
            found[(s.reading.place.instance, s.reading.state)].append(s)
    instances = {instance for instance, _ in found}
    pairs = {i: (found.get((i, "as_found"), []), found.get((i, "as_made"), [])) for i in instances}
    return {i: (a[0], b[0]) for i, (a, b) in pairs.items() if len(a) == len(b) == 1}


def _ring_gap(seen: Sequence[_Seen]) -> Iterator[Contradiction]:
    """A ring's gap opens by pi times the growth of the bore: its gap at the worn top against the bore's taper."""
    gaps: dict[str, list[_Seen]] = defaultdict(list)
    for s in seen:
        if s.item.characteristic == "ring-end-gap" and s.reading.place.station:
            gaps[s.reading.place.instance].append(s)
    tapers = [s for s in seen if s.item.characteristic == "cylinder-taper"]
    if len(tapers) != 1:
        return
    taper = tapers[0]
    for instance, pair in gaps.items():
        if len(pair) != 2 or pair[0].reading.place.station == pair[1].reading.place.station:
            continue
        opened, u_opened = abs(pair[0].value - pair[1].value), math.hypot(pair[0].u, pair[1].u)
        if _apart(opened, u_opened, math.pi * taper.value, math.pi * taper.u):
            yield Contradiction((pair[0].item.id, pair[1].item.id, taper.item.id),
                                f"Piston ring end gap ({instance}): it differs by {_signed(opened)} between the two places; a bore taper of "
                                f"{taper.told} would make {_signed(math.pi * taper.value)} (pi times). Read both again, ring square.")  # fmt: skip


def _compression(seen: Sequence[_Seen]) -> Iterator[Contradiction]:
    """Good compression with rings said to be far gone, or none with everything tight, asks for a second look."""
    pressures = [s for s in seen if s.item.characteristic == "cranking-pressure"]
    gone = [s for s in seen if s.item.characteristic in ("ring-end-gap", "cylinder-taper") and s.item.verdict == "beyond_limit"
            and s.reading.state == "as_made"]  # fmt: skip
    for pressure in pressures:
        if pressure.item.verdict == "typical" and gone and pressure.reading.state == "as_made":
            yield Contradiction((pressure.item.id, *(s.item.id for s in gone[:3])),
                                f"{pressure.item.name}: {pressure.told} is usual, yet {gone[0].item.name.lower()} reads past its limit; "
                                "one of the two is misread, or oil is sealing the rings. Read both again.")  # fmt: skip
