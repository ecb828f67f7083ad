"""Parts back from the machinist: his figures and mine against the order, each with its own doubt.

Two figures of one place whose difference is smaller than the two doubts added are the same figure, and nobody is wrong. Whether the part is
to the order is asked of my figure where there is one, of his where there is not; a doubt is told as a doubt.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Literal

from halfthou_specdb.quantity import decimal_of
from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import NONE_ON_FILE, Open
from halfthou_specdb.units import UNITS, Unit

from ..decide import decide
from ..readings import Reading, ReadingProblem
from ..uncertainty import Budget, budget
from ..verdict import Bench
from .back_form import WORKED_OUT, is_form, with_form
from .back_lines import BackLine, Figure, line_fault, order_lines
from .back_words import Said, in_words, line_text, moved, ordered_told, overall, told_value
from .figures import System, interval_dict

__all__ = ["BackLine", "BackVerdict", "Figure", "PartsBack", "line_fault", "order_lines", "ordered_told", "parts_back", "to_dict", "told_value"]

Answer = Literal["to_order", "not_to_order", "cannot_tell", "no_figure", "no_limit"]
Agreement = Literal["same", "differ", "only_mine", "only_his", "nobody"]
USUAL = {"bore": "telescoping-gauge-outside-micrometer", "runout": "v-blocks-dial-indicator", "fillet": "radius-gauge"}
USUAL_OF_KIND = {"length": "outside-micrometer", "voltage": "multimeter-on-magneto"}


@dataclass(frozen=True, slots=True)
class BackVerdict:
    """What came of one place. ``u`` are standard uncertainties in inches, or in the unit of the figure where it is no length."""

    line: BackLine
    answer: Answer
    agreement: Agreement
    chance: float | None
    u_his: float | None
    u_mine: float | None
    text: str
    assumed: tuple[str, ...]
    both_inside: bool = False
    """Both figures read inside the order, and the tool cannot prove it: no fault, and no pass."""
    worked_out: bool = False


@dataclass(frozen=True, slots=True)
class PartsBack:
    """The whole report, with one line on top."""

    lines: tuple[BackVerdict, ...]
    system: System
    text: str
    before_paying: tuple[str, ...]
    words: tuple[Said, ...]


BEFORE_PAYING = (
    "Let it reach shop temperature beside the micrometer; zero the micrometer.",
    "Measure at the same stations and on the same lines as before.",
    "Gauge every fillet against the light. A corner smaller than the one found goes back.",
    "Runout after grinding; roundness after boring; blue, and try the mating part.",
    "Count the oil holes and look through each.",
    "See that the marks still say which end and which side is which.",
    "Back it goes for: a sharp fillet, a tapered bore, the wrong finish, a pin fitted to the wrong rod, under size, a seat off its guide.",
)


def parts_back(bench: Bench, lines: Sequence[BackLine], system: System = "inch") -> PartsBack:
    """Judge a report of finished sizes against the order; form is worked out from the sizes and judged too."""
    whole = with_form(bench.table, lines, lambda line, figure: _random(bench, line, figure))
    judged = _moves(tuple(_judge(bench, line, system) for line in whole), system)
    return PartsBack(judged, system, overall(judged), BEFORE_PAYING, in_words(judged, system))


def _judge(bench: Bench, line: BackLine, system: System) -> BackVerdict:
    mine, his = line.measured, line.reported
    u_mine, said_mine = _doubt(bench, line, mine, "you")
    u_his, said_his = _doubt(bench, line, his, "he")
    agreement = _agreement(his, u_his, mine, u_mine)
    figure, u = (mine, u_mine) if mine.value is not None else (his, u_his)
    answer, chance, reads = _against(bench, line, figure, u)
    both = answer == "cannot_tell" and reads == "inside" and agreement == "same" and _inside(line, his)
    worked = is_form(line) and WORKED_OUT in (mine.words, his.words)
    found = BackVerdict(line, answer, agreement, chance, u_his, u_mine, "", (*said_his, *said_mine), both, worked)
    text = line_text(found, reads, system)
    if worked:
        text = f"{text.removesuffix('.')}; {WORKED_OUT}."
    if his.words and his.value is None:
        text += f' "{his.words}" is no figure: measure it yourself.'
    return replace(found, text=text)


def _inside(line: BackLine, figure: Figure) -> bool:
    assert figure.value is not None
    at = figure.value.canonical
    return (line.low is None or line.low.canonical <= at) and (line.high is None or at <= line.high.canonical)


def _moves(judged: tuple[BackVerdict, ...], system: System) -> tuple[BackVerdict, ...]:
    """What has no limit and was read before and after the work (a magneto's volts) is held against itself."""
    before = {(v.line.part, v.line.what): v for v in judged if v.line.station == "before"}
    found = []
    for v in judged:
        first = before.get((v.line.part, v.line.what)) if v.line.station == "after" else None
        found.append(v if first is None else replace(v, text=v.text + _moved(first, v, system)))
    return tuple(found)


def _moved(first: BackVerdict, last: BackVerdict, system: System) -> str:
    """By one party's figures alone, yours where you have both: two meters are never mixed."""
    for name, u_first, u_last in (("measured", first.u_mine, last.u_mine), ("reported", first.u_his, last.u_his)):
        one, two = getattr(first.line, name).value, getattr(last.line, name).value
        if one is not None and two is not None and u_first and u_last:
            return moved(one, two, 2.0 * math.hypot(u_first * float(one.unit.factor / two.unit.factor), u_last), system)
    return ""


def _doubt(bench: Bench, line: BackLine, figure: Figure, who: str) -> tuple[float | None, tuple[str, ...]]:
    """The standard uncertainty of a figure in its own unit, and what was assumed for it."""
    if figure.value is None:
        return None, ()
    tool = _tool(bench, line, figure)
    said: tuple[str, ...] = ()
    if not figure.instrument and figure.standard_uncertainty is None:
        name = bench.table.instruments[tool].name if tool in bench.table.instruments else tool
        said = (f"{line.what}: {who} named no tool; taken as {name}",)
    try:
        return _budget(bench, line, figure).u, said
    except ReadingProblem as fault:
        return None, (f"{line.what}: the doubt of {'your' if who == 'you' else 'his'} figure is not known ({fault})",)


def _tool(bench: Bench, line: BackLine, figure: Figure) -> str:
    assert figure.value is not None
    if figure.instrument or figure.standard_uncertainty is not None:
        return figure.instrument
    kind = figure.value.unit.dimension
    tool = next((i for word, i in USUAL.items() if word in line.what.lower()), "") if kind == "length" else ""
    return tool if tool in bench.table.instruments else USUAL_OF_KIND.get(kind, USUAL_OF_KIND["length"])


def _budget(bench: Bench, line: BackLine, figure: Figure) -> Budget:
    assert figure.value is not None
    read = Reading("back", line.what, (figure.value,), instrument=_tool(bench, line, figure), standard_uncertainty=figure.standard_uncertainty)
    return budget(bench.table, None, read, figure.value, figure.value)


def _random(bench: Bench, line: BackLine, figure: Figure) -> float | None:
    """What one tool does not repeat from place to place [its unit]; the whole doubt where only that is stated."""
    try:
        found = _budget(bench, line, figure)
    except ReadingProblem:
        return None
    return math.sqrt(math.fsum(part.u**2 for part in found.lines if part.random)) or found.u


def _agreement(his: Figure, u_his: float | None, mine: Figure, u_mine: float | None) -> Agreement:
    if his.value is None or mine.value is None:
        return "nobody" if his.value is mine.value else "only_mine" if his.value is None else "only_his"
    if his.value.unit.dimension != mine.value.unit.dimension:
        return "differ"
    scale = float(his.value.unit.factor / mine.value.unit.factor)
    apart = abs(float(his.value.to(mine.value.unit) - mine.value.exact))
    both = 2.0 * ((u_his or 0.0) * scale + (u_mine or 0.0))
    return "same" if apart <= both * (1.0 + 1e-9) else "differ"


def _against(bench: Bench, line: BackLine, figure: Figure, u: float | None) -> tuple[Answer, float | None, str]:
    """To the order or not, by the bench's own rules, and where the figure itself lies; the order is the whole of what is allowed."""
    if figure.value is None:
        return "no_figure", None, ""
    if line.low is None and line.high is None:
        return "no_limit", None, ""
    unit = figure.value.unit
    ends = [NONE_ON_FILE if q is None else q.to(unit) for q in (line.low, line.high)]
    if ends[0] == 0 and line.high is not None:  # "up to": nothing is less than none
        ends[0] = NONE_ON_FILE
    order = Interval(ends[0], ends[1], unit)
    nothing = Interval(NONE_ON_FILE, NONE_ON_FILE, unit)
    if not u:
        return "cannot_tell", None, ""
    decision = decide(figure.value.exact, u, float("inf"), order, nothing, order, None, bench.rules)
    chance = decision.fit.inside if decision.fit else None
    if decision.verdict == "within_fit":
        return "to_order", chance, "inside"
    reads = decision.fit.reads if decision.fit else ""
    return ("not_to_order" if decision.verdict in ("outside_fit", "beyond_limit") else "cannot_tell"), chance, reads


# -- plain values ------------------------------------------------------------------------------------------------


def to_dict(back: PartsBack) -> dict[str, Any]:
    """The report as plain values for JSON; numbers are decimals, in the unit each party used."""
    return {"paper": "parts-back", "units": back.system, "text": back.text, "lines": [_line_dict(v, back.system) for v in back.lines],
            "in_words": [{"part": w.part, "answer": w.answer, "both_inside": w.both_inside, "text": w.text, "places": w.places} for w in back.words],
            "before_paying": list(back.before_paying)}  # fmt: skip


def _line_dict(found: BackVerdict, system: System) -> dict[str, Any]:
    line = found.line
    unit = next((q.unit for q in (line.low, line.high) if q is not None), UNITS["in"])
    ends = [NONE_ON_FILE if q is None else q.to(unit) for q in (line.low, line.high)]
    return {
        "part": line.part, "what": line.what, "station": line.station or None, "axis": line.axis or None,
        "ordered": interval_dict(Interval(ends[0], ends[1], unit), system) if not all(isinstance(e, Open) for e in ends) else None,
        "reported": _figure_dict(line.reported, found.u_his), "measured": _figure_dict(line.measured, found.u_mine),
        "answer": found.answer, "agreement": found.agreement, "chance": None if found.chance is None else round(found.chance, 6),
        "text": found.text, "assumed": list(found.assumed), "both_inside": found.both_inside, "worked_out": found.worked_out,
    }  # fmt: skip


def _figure_dict(figure: Figure, u: float | None) -> dict[str, Any] | None:
    if figure.value is None:
        return {"words": figure.words} if figure.words else None
    unit: Unit = UNITS[figure.value.unit.token]
    return {"value": {"value": figure.value.value, "unit": unit.token}, "instrument": figure.instrument or None,
            "standard_uncertainty": None if u is None else {"value": decimal_of(Fraction(u), 4), "unit": unit.token}}  # fmt: skip
