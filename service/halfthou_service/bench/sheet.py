"""A whole sheet: every item judged on its own, then what the items say together and what nobody looked at."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from halfthou_specdb.facts import all_known
from halfthou_specdb.records import STAGES, Characteristic

from .contradictions import Contradiction, contradictions
from .decide import GOES_BACK, VERDICTS, VerdictWord
from .differences import differences
from .hands import with_hands
from .item import Item
from .past import worst_of
from .readings import Reading
from .surveys.survey import Survey
from .surveys.verdict import JudgedSurvey, judge_surveys
from .verdict import Bench


@dataclass(frozen=True, slots=True)
class Missing:
    """A characteristic that applies, belongs to the stage asked for, and was not looked at."""

    characteristic: Characteristic
    instance: str
    only_if: tuple[str, ...]

    @property
    def text(self) -> str:
        """One line: what, where, and how."""
        where = f" ({self.instance})" if self.instance else ""
        doubt = f" if your engine has {' and '.join(self.only_if)}" if self.only_if else ""
        return f"{self.characteristic.name}{where}{doubt}: {self.characteristic.how_to_measure}"


@dataclass(frozen=True, slots=True)
class Overall:
    """The sheet in numbers and one line."""

    counts: dict[str, int]
    by_component: dict[str, dict[str, int]]
    stops: int
    not_looked_at: int
    wrong_pass_bound: float
    text: str


@dataclass(frozen=True, slots=True)
class SheetAnswer:
    """Items in the order sent, and what they say together."""

    items: tuple[Item, ...]
    overall: Overall
    missing: tuple[Missing, ...]
    contradictions: tuple[Contradiction, ...]
    cautions: tuple[str, ...]
    surveys: tuple[JudgedSurvey, ...] = ()


def judge_sheet(bench: Bench, readings: Sequence[Reading], surveys: Sequence[Survey] = (), taken: Collection[str] = ()) -> SheetAnswer:
    """Judge every reading and every survey; the order of readings changes nothing but the order of items.

    The items of the surveys follow those of the readings, and differences that two readings make follow both. ``taken``: ids of what
    could not be read, which no other item may bear.
    """
    judged = judge_surveys(bench, surveys)
    read = tuple(judge_one(bench, reading) for reading in readings)
    against = contradictions(bench, read, readings, judged)
    asked = [(reading.place, reading.state) for reading in readings]
    asked += [(item.at, item.state) for survey in judged for item in survey.items]
    derived = tuple(differences(bench, read, readings, judged, taken))
    asked += [(item.at, item.state) for item in derived]
    items = _beside_stops(with_hands(bench, (*read, *(item for survey in judged for item in survey.items), *derived), asked))
    missing, waiting = _missing(bench, readings, items, judged)
    counts = Counter(item.verdict for item in items)
    by_component: dict[str, Counter[str]] = defaultdict(Counter)
    for item in items:
        by_component[item.component or "your own"][item.verdict] += 1
    bound = min(1.0, math.fsum(item.wrong_pass for item in items))
    overall = Overall(
        {v: counts[v] for v in VERDICTS if counts[v]}, {c: dict(v) for c, v in sorted(by_component.items())}, counts["stop"], waiting,
        round(bound, 6), _overall_text(counts, len(items), waiting, bound),
    )  # fmt: skip
    cautions = tuple(dict.fromkeys(c for item in items for c in item.cautions if c in bench.table.cautions))
    return SheetAnswer(items, overall, missing, tuple(against), cautions, judged)


def judge_one(bench: Bench, reading: Reading) -> Item:
    """One reading; a range is judged at both ends and the worse end stands."""
    if reading.span is None:
        return bench.judge(reading)
    each = [replace(reading, values=(v,), span=None) for v in reading.span]
    ends = [bench.judge(one) for one in each]
    worst = ends[worst_of(ends, each, bench.table.characteristics.get(reading.characteristic))]
    low, high = reading.span
    return replace(worst, assumed=(f"read {low} to {high}: the worse end stands", *worst.assumed))


def _beside_stops(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Nothing is told to go back without the stop that stands against its part being told in the same breath."""
    stops = {(item.component, item.name) for item in items if item.verdict == "stop" and item.component}
    stopped = dict(sorted(stops, reverse=True))  # the first by name, whatever the order they were sent in

    def told(item: Item) -> Item:
        if item.verdict not in GOES_BACK or item.component not in stopped:
            return item
        name = stopped[item.component]
        return replace(item, text=f"{item.text} But a stop stands against this assembly: {name[:1].lower()}{name[1:]}.")

    return tuple(map(told, items))


def _overall_text(counts: Counter[VerdictWord], total: int, waiting: int, bound: float) -> str:
    back = counts["within_fit"] + counts["usable"]
    parts = [f"{counts['stop']} thing{' stops' if counts['stop'] == 1 else 's stop'} it"] if counts["stop"] else []
    parts += [f"{back} of {total} may go back"] if back else []
    refused = counts["beyond_limit"] + counts["outside_fit"]
    parts += [f"{refused} may not"] if refused else []
    parts += [f"{counts['undecided']} cannot be told with the tool used"] if counts["undecided"] else []
    parts += [f"{counts['not_judged']} not judged"] if counts["not_judged"] else []
    parts += [f"{counts['typical']} usual"] if counts["typical"] else []
    parts += [f"{counts['unusual']} out of the usual"] if counts["unusual"] else []
    text = "; ".join(parts) if parts else "nothing was judged"
    if counts["within_fit"] + counts["usable"] > 1 and bound >= 0.005:
        told = f"at most {min(100, math.ceil(100 * bound))} in 100"
        text += f"; by the doubt of the tools alone, the chance that at least one of those going back should not is {told}"
    if waiting:
        text += f"; {waiting} thing{'s' if waiting > 1 else ''} that matter{'' if waiting > 1 else 's'} for starting nobody looked at"
    return text[:1].upper() + text[1:] + "."


def _missing(
    bench: Bench, readings: Sequence[Reading], items: Sequence[Item], surveys: Sequence[JudgedSurvey] = ()
) -> tuple[tuple[Missing, ...], int]:
    """What the stage asked for and nobody read, start-critical first; and how many start-critical things were not looked at."""
    seen: dict[str, list[str]] = defaultdict(list)
    for reading in readings:
        seen[reading.characteristic].append(reading.place.instance)
    for item in items[len(readings) :]:
        if item.problem is None:
            seen[item.characteristic].append(item.at.instance)
    for survey in surveys:
        if survey.answer is not None:
            seen[survey.answer.kind.diameter].extend(survey.answer.instances)
    last = STAGES.index(bench.rules.stage) if bench.rules.stage in STAGES else -1
    found: list[Missing] = []
    waiting = 0
    for what in bench.table.characteristics.values():
        applies = all_known(what.applies_if, bench.engine, what, bench.table.features)
        if applies is False:
            continue
        gaps = _gaps(what, seen.get(what.id))
        waiting += int(bool(gaps) and what.start_critical)
        if gaps and (STAGES.index(what.stage) <= last or (last >= 0 and what.start_critical)):
            doubt = () if applies else tuple(f.removeprefix("not ") for f in what.applies_if)
            found += [Missing(what, gap, doubt) for gap in gaps]
    found.sort(key=lambda m: (not m.characteristic.start_critical, STAGES.index(m.characteristic.stage), m.characteristic.component))
    return tuple(found), waiting


def _gaps(what: Characteristic, seen: Sequence[str] | None) -> list[str]:
    """Instances not read; ``[""]`` for the whole characteristic.

    A look that names none of the known instances covers them all, except before a start: there one look covers one wheel, and which is
    not told, so that the rest stand together as one gap.
    """
    if seen is None:
        return [""]
    named = {name.lower() for name in seen}
    left = [i for i in what.instances if i.lower() not in named]
    if len(what.instances) < 2 or not left:
        return []
    loose = sum(name.lower() not in {i.lower() for i in what.instances} for name in seen)
    if not loose:
        return left
    return [] if not what.start_critical or loose >= len(left) else [" or ".join(left)]


__all__ = ["Contradiction", "Missing", "Overall", "SheetAnswer", "judge_one", "judge_sheet"]
