"""A judged report in words: faults line by line; what is alike of one kind of place told once, with the figures from least to most."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.rules import NONE_ON_FILE
from halfthou_specdb.units import Unit

from .back_lines import BackLine, Figure
from .figures import NOTHING, System, Told, doubt, figure_beside, sizes_or_span, to_doubt

if TYPE_CHECKING:
    from .parts_back import Agreement, Answer, BackVerdict

SAYS: Mapping[Answer, str] = {
    "to_order": "to the order", "not_to_order": "not to the order", "cannot_tell": "too near the line for this tool",
    "no_figure": "nobody gave a figure", "no_limit": "no limit was ordered here",
}  # fmt: skip
AGREES: Mapping[Agreement, str] = {
    "same": "same", "differ": "differ: find out whose, before paying", "only_mine": "he gave no figure", "only_his": "not measured by you yet",
    "nobody": "nobody measured it",
}  # fmt: skip
INSIDE = "both of you read inside; your tool cannot prove it"
TOLD_ONCE = frozenset({"to_order", "no_figure"})
"""Answers that are told once for all places of one kind."""


@dataclass(frozen=True, slots=True)
class Said:
    """One sentence of the report, and the places it speaks of."""

    part: str
    answer: Answer
    both_inside: bool
    text: str
    places: int


def in_words(lines: Sequence[BackVerdict], system: System) -> tuple[Said, ...]:
    """Every place in words, in the order of the report; like places of one kind together."""
    groups: dict[tuple[object, ...], list[BackVerdict]] = {}
    for n, v in enumerate(lines):
        alike = v.both_inside or (v.answer in TOLD_ONCE and v.agreement != "differ" and not v.worked_out)
        key = (v.line.part, v.line.what, v.answer, v.agreement, v.line.low, v.line.high) if alike else (n,)
        groups.setdefault(key, []).append(v)
    return tuple(_said(members, system) for members in groups.values())


def _said(members: Sequence[BackVerdict], system: System) -> Said:
    first = members[0]
    text = first.text if len(members) == 1 else _together(members, system)
    return Said(first.line.part, first.answer, first.both_inside, text, len(members))


def _together(members: Sequence[BackVerdict], system: System) -> str:
    first = members[0]
    told = [f"{who} {_least_to_most(members, name, system)}" for who, name in (("he says", "reported"), ("you read", "measured"))
            if getattr(first.line, name).value is not None]  # fmt: skip
    told += [f"ordered {ordered_told(first.line, system)}"] if first.line.low is not None or first.line.high is not None else []
    figures = f" ({'; '.join(told)})" if told else ""
    says = INSIDE if first.both_inside else SAYS[first.answer]
    tail = f"; {AGREES[first.agreement]}" if not first.both_inside and first.agreement != "nobody" else ""
    return f"{first.line.what}, {len(members)} places: {says}{tail}{figures}."


def _least_to_most(members: Sequence[BackVerdict], name: str, system: System) -> str:
    found = [(getattr(v.line, name), v.u_his if name == "reported" else v.u_mine, v.line) for v in members]
    given = [(figure, u, line) for figure, u, line in found if figure.value is not None]
    given.sort(key=lambda one: one[0].value.canonical)
    least, most = (told_value(figure, line, system) for figure, _, line in (given[0], given[-1]))
    worst = max(((u or 0.0) * float(figure.value.unit.factor), figure.value.unit) for figure, u, _ in given)
    words = str(most) if str(least) == str(most) else f"{least} to {most}"
    return f"{words}, give or take {doubt(worst[0] / float(worst[1].factor), worst[1], system)}" if worst[0] else words


def line_text(v: BackVerdict, reads: str, system: System) -> str:
    """One place in a sentence: what it is against the order, who agrees, and the figures."""
    line = v.line
    where = ", ".join(p for p in (line.station, line.axis) if p)
    head = f"{line.what}{f' ({where})' if where else ''}"
    parts = [f"he says {told_figure(line.reported, v.u_his, line, system)}"] if line.reported.value is not None else []
    parts += [f"you read {told_figure(line.measured, v.u_mine, line, system)}"] if line.measured.value is not None else []
    parts += [f"ordered {ordered_told(line, system)}"] if line.low is not None or line.high is not None else []
    says = INSIDE if v.both_inside else SAYS[v.answer]
    if v.answer == "cannot_tell" and reads and not v.both_inside:
        says += ", reads inside the order" if reads == "inside" else ", reads outside the order but not by more than its doubt"
    tail = f"; {AGREES[v.agreement]}" if v.agreement != "nobody" and not v.both_inside else ""
    told = f" ({'; '.join(parts)})" if parts else ""
    return f"{head}: {says}{tail}{told}."


def told_figure(figure: Figure, u: float | None, line: BackLine, system: System) -> str:
    """A figure with its doubt."""
    assert figure.value is not None
    told = told_value(figure, line, system)
    return f"{told}, give or take {doubt(u, figure.value.unit, system)}" if u else str(told)


def told_value(figure: Figure, line: BackLine, system: System) -> Told:
    """A figure in the units of the paper, with the digits that keep it on its side of what was ordered."""
    assert figure.value is not None
    return figure_beside(figure.value, [q for q in (line.low, line.high) if q is not None], system)


def ordered_told(line: BackLine, system: System) -> Told:
    """What was ordered at a place, as printed."""
    known = [q for q in (line.low, line.high) if q is not None]
    if not known:
        return NOTHING
    unit: Unit = known[0].unit
    low, high = (NONE_ON_FILE if q is None else q.to(unit) for q in (line.low, line.high))
    return sizes_or_span(NONE_ON_FILE if low == 0 and line.high is not None else low, high, unit, system)


def overall(lines: Sequence[BackVerdict]) -> str:
    """The report in one line, faults first; what both read inside is counted apart from what is in doubt."""
    answers = Counter("both_inside" if v.both_inside else v.answer for v in lines)
    agreements = Counter(v.agreement for v in lines)
    says = {**{str(word): text for word, text in SAYS.items()}, "both_inside": "where both of you read inside and your tool cannot prove it"}
    parts = [f"{answers[a]} {says[a]}" for a in ("not_to_order", "cannot_tell", "both_inside", "to_order", "no_figure") if answers[a]]
    parts += [f"{agreements['same']} where you and he say the same"] if agreements["same"] else []
    parts += [f"{agreements['differ']} where you differ by more than both doubts"] if agreements["differ"] else []
    words = sum(1 for v in lines if v.line.reported.words and v.line.reported.value is None)
    parts += [f"{words} told in words, which is no figure"] if words else []
    return "; ".join(parts)[:1].upper() + "; ".join(parts)[1:] + "." if parts else "No line in the report."


def moved(before: Quantity, after: Quantity, both: float, system: System) -> str:
    """How a figure that has no limit moved while the part was away. ``both``: doubt (2 u) of the difference [unit of ``after``]."""
    by = after.exact - before.to(after.unit)
    if abs(float(by)) <= both:
        return f" As before it went, as far as the tool can tell (give or take {doubt(both / 2, after.unit, system)})."
    word = "More" if by > 0 else "Less"
    return f" {word} than before it went by {to_doubt(abs(by), both, after.unit, system)}, give or take {doubt(both / 2, after.unit, system)}."
