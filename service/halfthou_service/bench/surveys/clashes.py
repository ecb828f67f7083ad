"""Contradictions between what was read directly and what a survey gives."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence

from halfthou_specdb.quantity import decimal_of

from ..clashes import Contradiction, Seen, apart, inches, signed, slip_between
from ..item import Item
from ..readings import Reading, State
from .survey import Figure
from .verdict import JudgedSurvey

ALL = frozenset({"out-of-round", "signed-out-of-round", "taper", "wear", "spread"})


def seen_of_several(surveys: Sequence[JudgedSurvey]) -> Iterator[Seen]:
    """Each of several things that a survey read one by one, as if it had been read alone under the survey's id."""
    for judged in surveys:
        answer = judged.answer
        if answer is None or not answer.kind.each:
            continue
        factor, offset = float(answer.unit.factor), float(answer.unit.offset)
        for spot, size in answer.sizes.items():
            reading = Reading(judged.survey.id, answer.kind.diameter, place=answer.place(spot), state=judged.survey.state)
            own = next((i for i in judged.items if i.characteristic == reading.characteristic and i.at == reading.place), None)
            item = Item(judged.survey.id, reading.characteristic, judged.name, "", str(reading.place), own.verdict if own else "not_judged",
                        value=decimal_of(size), unit=answer.unit, instrument=answer.budget.instrument)  # fmt: skip
            yield Seen(item, reading, float(size) * factor + offset, answer.doubts.whole * factor, answer.unit)


def _same(a: str, b: str) -> bool:
    return not a or not b or a.lower() == b.lower()


def _state(judged: JudgedSurvey) -> State:
    made = any(c.shaft.survey.state == "as_made" for c in judged.clearances)
    return "as_made" if made else judged.survey.state


def against_subtraction(seen: Sequence[Seen], surveys: Sequence[JudgedSurvey]) -> Iterator[Contradiction]:
    """A clearance measured directly against bore less shaft of the surveys on the same sheet."""
    for judged in surveys:
        for clearance in judged.clearances:
            low, high = clearance.smallest, clearance.largest
            factor = float(low.unit.factor)
            least, most = float(low.value) * factor, float(high.value) * factor
            for s in seen:
                if s.item.characteristic != low.characteristic or s.reading.state != _state(judged):
                    continue
                if not _same(s.reading.place.instance, judged.survey.instance):
                    continue
                reach = 2 * math.hypot(s.u, low.u * factor)
                if not least - reach <= s.value <= most + reach:
                    hint = slip_between(s.value, least if s.value < least else most)
                    ids = (s.item.id, judged.survey.id, clearance.shaft.survey.id)
                    yield Contradiction(ids, f"{s.item.name}{f' ({s.item.place})' if s.item.place else ''}: {s.told}, but bore less shaft gives "
                                        f"{inches(least)} to {inches(most)}; {hint}find the fault, do not average.")  # fmt: skip


def against_surveys(seen: Sequence[Seen], surveys: Sequence[JudgedSurvey]) -> Iterator[Contradiction]:
    """Out-of-round, taper or wear written down as such, against the survey it should follow from."""
    for judged in surveys:
        for s in seen:
            if s.reading.state != judged.survey.state or not _same(s.reading.place.instance, judged.survey.instance):
                continue
            figure = _figure(judged, s)
            if figure is None:
                continue
            factor = float(figure.unit.factor)
            value, u = float(figure.value) * factor, figure.u * factor
            if apart(s.value, s.u, value, u):
                hint = slip_between(s.value, value)
                yield Contradiction((s.item.id, judged.survey.id), f"{s.item.name}{f' ({s.item.place})' if s.item.place else ''}: {s.told}, but the "
                                    f"survey gives {inches(value)}; {hint}work it out again.")  # fmt: skip


def _figure(judged: JudgedSurvey, s: Seen) -> Figure | None:
    """The figure a direct reading speaks of: that of its own station where it names one."""
    own = [f for f in judged.figures if f.name in ALL and f.characteristic == s.item.characteristic]
    if not own:
        return None
    station = s.reading.place.station.lower()
    if own[0].name != "out-of-round" or not station:
        return own[0]
    there = [f for f in judged.figures if f.name in ("out-of-round", "out-of-round-at-station") and f.where.lower() == station]
    return there[0] if there else None


def two_surveys(surveys: Sequence[JudgedSurvey]) -> Iterator[Contradiction]:
    """The same part surveyed twice in one state: the means over the places that both read."""
    groups: dict[tuple[str, str, str], list[JudgedSurvey]] = defaultdict(list)
    for judged in surveys:
        if judged.answer is not None:
            groups[(judged.survey.kind, judged.survey.instance.lower(), judged.survey.state)].append(judged)
    for group in groups.values():
        first = group[0].answer
        for other in (g.answer for g in group[1:]):
            assert first is not None and other is not None
            both = first.sizes.keys() & other.sizes.keys()
            if not both:
                continue
            a, b = (float(sum(x.sizes[spot] for spot in both) / len(both)) * float(x.unit.factor) for x in (first, other))
            u_a, u_b = (math.hypot(x.u_random / math.sqrt(len(both)), x.u_shared) * float(x.unit.factor) for x in (first, other))
            if apart(a, u_a, b, u_b):
                told = signed(b - a) if first.unit.dimension == "length" else f"{(b - a) / float(first.unit.factor):+.3g} {first.unit.token}"
                yield Contradiction((first.survey.id, other.survey.id), f"Two surveys of the {first.kind.name} differ by {told} on the "
                                    "mean, more than both tools' doubt: set both tools on one standard and read again.")  # fmt: skip


def ring_gap(seen: Sequence[Seen], surveys: Sequence[JudgedSurvey]) -> Iterator[Contradiction]:
    """A ring's gap opens by pi times the growth of the bore: its gap at the worn top against the bore's taper."""
    gaps: dict[tuple[str, str], list[Seen]] = defaultdict(list)
    for s in seen:
        if s.item.characteristic == "ring-end-gap" and s.reading.place.station:
            gaps[(s.reading.place.instance, s.reading.state)].append(s)
    tapers = [(s.item.id, s.reading.state, s.value, s.u, s.told) for s in seen if s.item.characteristic == "cylinder-taper"]
    if not tapers:
        for judged in surveys:
            for f in judged.figures:
                if f.name == "taper" and f.characteristic == "cylinder-taper":
                    factor = float(f.unit.factor)
                    value, u = float(f.value) * factor, f.u * factor
                    tapers.append((judged.survey.id, judged.survey.state, value, u, f"{inches(value)} (from the survey)"))
    for (instance, state), pair in gaps.items():
        own = [t for t in tapers if t[1] == state]
        if len(own) != 1 or len(pair) != 2 or pair[0].reading.place.station == pair[1].reading.place.station:
            continue
        taper_id, _, taper, u_taper, told = own[0]
        opened, u_opened = abs(pair[0].value - pair[1].value), math.hypot(pair[0].u, pair[1].u)
        if apart(opened, u_opened, math.pi * taper, math.pi * u_taper):
            yield Contradiction((pair[0].item.id, pair[1].item.id, taper_id),
                                f"Piston ring end gap ({instance}): it differs by {signed(opened)} between the two places; a bore taper of "
                                f"{told} would make {signed(math.pi * taper)} (pi times). Read both again, ring square.")  # fmt: skip
