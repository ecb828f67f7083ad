"""The verdict under each comparable work, nearest kin first; told in a sentence, never voted on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from halfthou_specdb.records import Characteristic
from halfthou_specdb.resolve import Interval, Resolved
from halfthou_specdb.rules import NONE_ON_FILE, Open, Value
from halfthou_specdb.said import Said, evidence_said
from halfthou_specdb.table import Table

from .decide import GOES_BACK, Decision, VerdictWord, capped, decide
from .readings import Rules
from .speak import convert, say
from .texts import manner

WORDS = {
    "within_fit": "as_new", "usable": "back", "beyond_limit": "not_back",
}  # fmt: skip
"""Verdict -> the word of the manner in which the thing is spoken of."""
HARMLESS = "harmless"
SIDES = {"low": "too little", "high": "too much"}
SILENT = {("low", "too-tight"): "too tight", ("high", "worn"): "worn out"}
"""Side and what it means -> what a work without a figure there says nothing of."""


@dataclass(frozen=True, slots=True)
class SourceVerdict:
    """What one work (or one trade rule) would say of this reading."""

    work: str
    written_for: str
    verdict: VerdictWord
    p_fit: float | None
    p_serviceable: float | None
    evidence: tuple[str, ...]
    text: str


def by_each_source(table: Table, resolved: Resolved, value: Fraction, u: float, dof: float, rules: Rules) -> tuple[SourceVerdict, ...]:
    """One verdict for each comparable work."""
    what, result = resolved.characteristic, []
    for one in _lines(table, resolved):
        decision = decide(value, u, dof, one.new, one.worn, one.back, what, rules)
        verdict, silent = _as_far_as_told(decision.verdict, one.new, one.back, what)
        text = f"{one.says}: {_says(verdict, manner(what), silent)}"
        result.append(SourceVerdict(one.work, one.written_for, verdict, *_chances(decision, verdict), one.evidence, text))
    return tuple(result)


@dataclass(frozen=True, slots=True)
class _Work:
    """The lines one work draws at this engine's size, in the limit's unit, and how they are told."""

    work: str
    written_for: str
    new: Interval
    worn: Interval
    back: Interval
    evidence: tuple[str, ...]
    says: str


MOST_KEPT = 256
_LINES: dict[int, tuple[Resolved, tuple[_Work, ...]]] = {}
"""By the limit's identity, which each entry keeps alive: many readings share one."""


def _lines(table: Table, resolved: Resolved) -> tuple[_Work, ...]:
    kept = _LINES.get(id(resolved))
    if kept is None:
        if len(_LINES) > MOST_KEPT:
            _LINES.clear()
        kept = _LINES[id(resolved)] = (resolved, tuple(_drawn(table, resolved)))
    return kept[1]


def _drawn(table: Table, resolved: Resolved) -> Iterator[_Work]:
    assert resolved.fit is not None
    for name, group in _works(table, resolved):
        new, worn = _pair(group, resolved.fit)
        back = replace(resolved, fit=new, wear=worn).serviceable
        assert back is not None
        first = group[0].evidence
        parts = [f"new {_span(new)}"] if _told(new) else []
        parts += [f"worn out {_span(worn)}"] if _told(worn) else []
        says = f"{name} (written for {first.written_for}: {', '.join(parts)})"
        yield _Work(name, first.written_for, new, worn, back, tuple(s.evidence.id for s in group), says)


def _as_far_as_told(verdict: VerdictWord, new: Interval, back: Interval, what: Characteristic) -> tuple[VerdictWord, str]:
    """A pass no further than a work goes, and the side it says nothing about: one with only a least clearance calls none of them good.

    A side that is harmless needs no figure, nor does one on which the work says that nothing bad happens.
    """
    if verdict not in GOES_BACK:
        return verdict, ""
    for side, meaning, of_new, of_back in (("low", what.low_side, new.low, back.low), ("high", what.high_side, new.high, back.high)):
        if meaning.meaning == HARMLESS or of_new is not NONE_ON_FILE:
            continue
        if not isinstance(of_back, Open):  # worn out is told there, a new fit is not
            return ("usable" if verdict == "within_fit" else verdict), ""
        return ("undecided" if verdict == "within_fit" else verdict), SILENT.get((side, meaning.meaning), SIDES[side])
    return verdict, ""


def _chances(decision: Decision, verdict: VerdictWord) -> tuple[float | None, float | None]:
    """(of a new fit, of going back), the first never above the second; none where the work is silent on a side that counts."""
    if verdict == "undecided" and decision.verdict == "within_fit":
        return None, None
    fit, back = capped(decision.fit.inside if decision.fit else None), capped(decision.serviceable.inside if decision.serviceable else None)
    if verdict != decision.verdict:
        fit = None
    return fit if fit is None or back is None else min(fit, back), back


def _says(verdict: VerdictWord, words: dict[str, str], silent: str) -> str:
    if verdict == "outside_fit":
        return f"not {words['made']}"
    if verdict == "undecided":
        return f"inside as far as it goes; it says nothing of {silent}" if silent else "too close to tell"
    said = words[WORDS[verdict]] if verdict in WORDS else verdict
    return f"{said}; it says nothing of {silent}" if silent else said


def _works(table: Table, resolved: Resolved) -> Iterator[tuple[str, list[Said]]]:
    comparable = [s for s in evidence_said(table, resolved) if s.comparable and s.evidence.kind != "typical"]
    order: dict[tuple[str, str], int] = {}
    for s in comparable:
        order.setdefault((s.evidence.work or s.evidence.grade, s.evidence.written_for), len(order))
    ranked = sorted(comparable, key=lambda s: order[(s.evidence.work or s.evidence.grade, s.evidence.written_for)])
    for (work, _), group in groupby(ranked, key=lambda s: (s.evidence.work or s.evidence.grade, s.evidence.written_for)):
        yield table.works[work].title if work in table.works else work.replace("-", " "), list(group)


def _pair(group: list[Said], fit: Interval) -> tuple[Interval, Interval]:
    """The tightest fit and the tightest wear interval of one work, in the limit's unit."""
    ends: dict[str, tuple[Value, Value]] = {"fit": (NONE_ON_FILE, NONE_ON_FILE), "wear": (NONE_ON_FILE, NONE_ON_FILE)}
    for said in group:
        assert said.interval is not None
        low, high = (convert(v, said.interval.unit, fit.unit) for v in (said.interval.low, said.interval.high))
        old_low, old_high = ends[said.evidence.kind]
        ends[said.evidence.kind] = (_pick(old_low, low, max), _pick(old_high, high, min))
    return Interval(*ends["fit"], fit.unit), Interval(*ends["wear"], fit.unit)


def _pick(a: Value, b: Value, better: Callable[[Fraction, Fraction], Fraction]) -> Value:
    if isinstance(a, Open):
        return b if not isinstance(b, Open) or a is NONE_ON_FILE else a
    return a if isinstance(b, Open) else better(a, b)


def _told(interval: Interval) -> bool:
    return not (isinstance(interval.low, Open) and isinstance(interval.high, Open))


def _span(interval: Interval) -> str:
    low, high = interval.low, interval.high
    if isinstance(low, Open):
        return f"up to {say(high, interval.unit, 'high')}" if not isinstance(high, Open) else "no figure"
    if isinstance(high, Open):
        return f"from {say(low, interval.unit, 'low')}"
    return f"{say(low, interval.unit, 'low')} to {say(high, interval.unit, 'high')}"
