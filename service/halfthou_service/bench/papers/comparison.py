"""Before and after: two sheets of one engine, place by place; what changed, and whether the change is more than the two doubts allow.

A figure told from a dead centre is compared with its side.
A change counts as real where it exceeds twice the two standard uncertainties taken together (root-sum-square). Less than that is "same",
whatever the digits say.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Characteristic
from halfthou_specdb.units import Unit

from ..decide import VERDICTS
from ..item import Item
from ..readings import Place, Reading
from ..sheet import SheetAnswer
from ..speak import say_doubt, unit_for
from ..tools import TEMPERATURES
from ..verdict import Bench
from .assemblies import STRIP_ORDER, assembly_of
from .figures import System
from .stood import Stood, apart, difference, stood, told_move, told_side

Change = Literal["changed", "same", "cannot_tell", "words_changed", "words_same", "only_before", "only_after"]
SAYS: Mapping[Change, str] = {
    "changed": "changed", "same": "same: less than the two tools can tell apart", "cannot_tell": "cannot be compared", "words_changed": "changed",
    "words_same": "same", "only_before": "not read again", "only_after": "not read before",
}  # fmt: skip
BEST = len(VERDICTS)


@dataclass(frozen=True, slots=True)
class Side:
    """One sheet's reading of a place: told, its verdict, and its doubt (2 u) told."""

    item_id: str
    told: str
    verdict: str
    doubt: str


@dataclass(frozen=True, slots=True)
class Row:
    """One place on both sheets. ``by``: after less before, with its expanded uncertainty; ``better``: by the verdicts, not by the figure."""

    characteristic: str
    name: str
    place: str
    assembly: str
    before: Side | None
    after: Side | None
    change: Change
    by: str = ""
    by_doubt: str = ""
    better: Literal["better", "worse", ""] = ""
    difference: Quantity | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class Comparison:
    """The whole comparison, in strip order."""

    engine_id: str
    system: System
    edition: str
    rows: tuple[Row, ...]
    counts: Mapping[str, int]
    text: str


Judged = tuple[SheetAnswer, Sequence[Reading]]


def compare(bench: Bench, before: Judged, after: Judged, system: System = "inch") -> Comparison:
    """Two judged sheets, matched by characteristic and place. The bench tells names and order; both were judged on one engine."""
    first, second = _places(before), _places(after)
    order = {a.name: n for n, a in enumerate(STRIP_ORDER)}
    _pair_loosely(first, second)
    rows = [_row(bench, key, first.get(key, []), second.get(key, []), system) for key in dict.fromkeys((*first, *second))]
    rows.sort(key=lambda r: order.get(r.assembly, len(order)))
    counts = Counter(r.change for r in rows)
    return Comparison(bench.engine.id, system, bench.table.edition, tuple(rows), {str(k): n for k, n in counts.items()}, _overall(rows))


def by_state(answer: SheetAnswer, readings: Sequence[Reading]) -> tuple[Judged, Judged]:
    """One sheet that holds both, parted: readings and surveys as found, readings and surveys as made."""
    def part(state: str) -> Judged:
        kept = [(i, r) for i, r in zip(answer.items, readings, strict=False) if r.state == state]
        followed = tuple(i for i in answer.items[len(readings) :] if i.state == state)
        surveys = tuple(s for s in answer.surveys if s.survey.state == state)
        return replace(answer, items=(*(i for i, _ in kept), *followed), surveys=surveys), [r for _, r in kept]

    return part("as_found"), part("as_made")


Key = tuple[str, str, str, str]
Seen = tuple[Item, Reading | None]
"""A judged reading and the reading itself; none for what a survey worked out."""


def _places(judged: Judged) -> dict[Key, list[Seen]]:
    answer, readings = judged
    found: dict[Key, list[Seen]] = {}
    for item, read in zip(answer.items, readings, strict=False):
        place = read.place
        found.setdefault((read.characteristic, place.instance, place.station, place.axis), []).append((item, read))
    for item in answer.items[len(readings) :]:
        found.setdefault((item.characteristic, item.place, "", ""), []).append((item, None))
    return found


def _pair_loosely(first: dict[Key, list[Seen]], second: dict[Key, list[Seen]]) -> None:
    """Where one sheet names a place less exactly than the other, and only one place can be meant, the two are one."""
    for mine, other in ((first, second), (second, first)):
        for key in [k for k in mine if k not in other and not (k[2] or k[3])]:
            near = [k for k in other if k not in mine and k[:2] == key[:2]]
            if len(near) == 1:
                mine[near[0]] = mine.pop(key)


def _row(bench: Bench, key: Key, before: Sequence[Seen], after: Sequence[Seen], system: System) -> Row:
    what = bench.table.characteristics.get(key[0])
    pair = [_standing(seen) if seen else None for seen in (before, after)]
    one, two = (None if seen is None else seen[0] for seen in pair)
    at = [None if seen is None else stood(bench, *seen) for seen in pair]
    shown = one or two
    assert shown is not None
    place = str(Place(*key[1:]))
    sides = tuple(None if i is None else _side(what, i, s, system) for i, s in zip((one, two), at, strict=True))
    base = Row(key[0], shown.name, place, assembly_of(what).name if what else "Your own", sides[0], sides[1], "cannot_tell")
    row = _changed(base, what, (one, two), (at[0], at[1]), system)
    return replace(row, text=_text(row, first_then=bool(what and what.sign)))


def _standing(seen: Sequence[Seen]) -> Seen:
    """Of several readings of one place the last; but a stop among them stands, whatever was read after it."""
    return next((one for one in seen if one[0].verdict == "stop"), seen[-1])


def _side(what: Characteristic | None, item: Item, at: Stood | None, system: System) -> Side:
    if item.finding:
        return Side(item.id, item.finding, item.verdict, "")
    if item.value is None or item.unit is None:
        return Side(item.id, "not read", item.verdict, "")
    return Side(item.id, told_side(what, item, at, system), item.verdict, _doubt(2 * item.u, item.unit, system) if item.u else "")


def _doubt(u: float, unit: Unit, system: System) -> str:
    wanted = unit_for(unit, system)
    return say_doubt(u * float(unit.factor / wanted.factor), wanted)


def _changed(base: Row, what: Characteristic | None, items: tuple[Item | None, Item | None], at: tuple[Stood | None, Stood | None],
             system: System) -> Row:  # fmt: skip
    (one, two), (first, second) = items, at
    if one is None or two is None:
        return replace(base, change="only_after" if one is None else "only_before")
    better = _better(one, two)
    if one.finding or two.finding:
        return replace(base, change="words_same" if one.finding == two.finding else "words_changed", better=better)
    if first is None or second is None or not _alike(first.unit, second.unit):
        return replace(base, better=better)
    moved, u_first, u_second, unit = apart(first, second)
    both = 2.0 * math.hypot(u_first, u_second)
    real = abs(float(moved)) > both
    return replace(base, change="changed" if real else "same", by=told_move(what, moved, both, unit, system), by_doubt=_doubt(both, unit, system),
                   better=better if real else "", difference=difference(moved, unit))  # fmt: skip


def _alike(a: Unit, b: Unit) -> bool:
    return a.dimension == b.dimension or {a.dimension, b.dimension} <= TEMPERATURES


def _better(one: Item, two: Item) -> Literal["better", "worse", ""]:
    if one.verdict == "not_judged" or two.verdict == "not_judged":
        return ""
    a, b = VERDICTS.index(one.verdict), VERDICTS.index(two.verdict)
    return "" if a == b else "better" if b > a else "worse"


def _text(row: Row, first_then: bool) -> str:
    """One line. ``first_then``: told from a dead centre, where "before" and "after" would say two things."""
    head = f"{'STOP. ' if stops(row) else ''}{row.name}{f' ({row.place})' if row.place else ''}"
    if row.before is None or row.after is None:
        side = row.after or row.before
        assert side is not None
        return f"{head}: {side.told}; {SAYS[row.change]}."
    told = f"{head}: {row.before.told} before, {row.after.told} after"
    if first_then:
        told = f"{head}: first {row.before.told}, then {row.after.told}"
    if row.change in ("changed", "same") and row.by:
        return f"{told}; {SAYS[row.change]} ({row.by}, give or take {row.by_doubt}){f'; {row.better}' if row.better else ''}."
    return f"{told}; {SAYS[row.change]}{f'; {row.better}' if row.better else ''}."


def stops(row: Row) -> bool:
    """Whether the last reading of a place says stop."""
    last = row.after or row.before
    return last is not None and last.verdict == "stop"


def _overall(rows: Sequence[Row]) -> str:
    real = [r for r in rows if r.change in ("changed", "words_changed")]
    same = sum(r.change in ("same", "words_same") for r in rows)
    better, worse = sum(r.better == "better" for r in rows), sum(r.better == "worse" for r in rows)
    gone = sum(r.change == "only_before" for r in rows)
    parts = [f"{len(real)} changed, {better} for the better and {worse} for the worse" if real else "nothing changed by more than the tools can tell"]
    parts += [f"{same} the same"] if same else []
    parts += [f"{gone} not read again"] if gone else []
    text = "; ".join(parts)
    return f"{_stopped(rows)}{text[:1].upper()}{text[1:]}."


def _stopped(rows: Sequence[Row]) -> str:
    """The places that say stop as they were last read, by name, before anything else is told."""
    named = [f"{r.name[:1].lower()}{r.name[1:]}{f' ({r.place})' if r.place else ''}{'' if r.after else ', not read again'}" for r in rows if stops(r)]
    return f"STOP: {'; '.join(named)}. " if named else ""


# -- plain values ------------------------------------------------------------------------------------------------


def to_dict(found: Comparison) -> dict[str, Any]:
    """The comparison as plain values for JSON; numbers are decimals."""

    def side(s: Side | None) -> dict[str, Any] | None:
        return None if s is None else {"item": s.item_id, "told": s.told, "verdict": s.verdict, "give_or_take": s.doubt or None}

    return {
        "paper": "comparison", "engine": {"id": found.engine_id or None}, "units": found.system, "edition": found.edition, "text": found.text,
        "counts": dict(found.counts),
        "rows": [{"characteristic": r.characteristic, "name": r.name, "place": r.place or None, "assembly": r.assembly, "before": side(r.before),
                  "after": side(r.after), "change": r.change, "better": r.better or None,
                  "difference": None if r.difference is None else {"value": r.difference.value, "unit": r.difference.unit.token},
                  "give_or_take": r.by_doubt or None, "text": r.text} for r in found.rows],
    }  # fmt: skip
