"""Parts back from the machinist: his figures and mine against the order, each with its own doubt.

Two figures of one place whose difference is smaller than the two doubts added are the same figure, and nobody is wrong. Whether the part is
to the order is asked of my figure where there is one, of his where there is not; a doubt is told as a doubt.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import NONE_ON_FILE, Open, Value
from halfthou_specdb.units import UNITS, Unit

from ..decide import decide
from ..readings import Reading, ReadingProblem
from ..speak import say_doubt
from ..uncertainty import budget
from ..verdict import Bench
from .figures import HALF_INCH, NOTHING, System, Told, interval_dict, ordered_sizes, reading, span
from .order_case import INCH
from .work_order import WorkOrder

Answer = Literal["to_order", "not_to_order", "cannot_tell", "no_figure", "no_limit"]
Agreement = Literal["same", "differ", "only_mine", "only_his", "nobody"]
SAYS: Mapping[Answer, str] = {
    "to_order": "to the order", "not_to_order": "not to the order", "cannot_tell": "too near the line for this tool",
    "no_figure": "nobody gave a figure", "no_limit": "no limit was ordered here",
}  # fmt: skip
AGREES: Mapping[Agreement, str] = {
    "same": "same", "differ": "differ: find out whose, before paying", "only_mine": "he gave no figure", "only_his": "not measured by you yet",
    "nobody": "nobody measured it",
}  # fmt: skip
MM = UNITS["mm"]
USUAL = {"bore": "telescoping-gauge-outside-micrometer", "runout": "v-blocks-dial-indicator", "fillet": "radius-gauge"}
ELSE = "outside-micrometer"


@dataclass(frozen=True, slots=True)
class Figure:
    """One party's figure: a value and its standard uncertainty or its tool; or words, which are no figure."""

    value: Quantity | None = None
    standard_uncertainty: Quantity | None = None
    instrument: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class BackLine:
    """One place: what was ordered there, his figure and mine."""

    part: str
    what: str
    station: str = ""
    axis: str = ""
    low: Quantity | None = None
    high: Quantity | None = None
    reported: Figure = Figure()
    measured: Figure = Figure()


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


@dataclass(frozen=True, slots=True)
class PartsBack:
    """The whole report, with one line on top."""

    lines: tuple[BackVerdict, ...]
    system: System
    text: str
    before_paying: tuple[str, ...]


BEFORE_PAYING = (
    "Let it reach shop temperature beside the micrometer; zero the micrometer.",
    "Measure at the same stations and on the same lines as before.",
    "Gauge every fillet against the light. A corner smaller than the one found goes back.",
    "Runout after grinding; roundness after boring; blue, and try the mating part.",
    "Count the oil holes and look through each.",
    "See that the marks still say which end and which side is which.",
    "Back it goes for: a sharp fillet, a tapered bore, the wrong finish, a pin fitted to the wrong rod, under size, a seat off its guide.",
)


def order_lines(order: WorkOrder) -> tuple[BackLine, ...]:
    """The places of an order with empty figures, in the order's own unit: the form a report is written on."""
    found = []
    unit = INCH if order.system == "inch" else MM
    for part in order.parts:
        for box in part.boxes:
            low, high = (None if v is None else _in_unit(v, unit) for v in (box.low, box.high))
            found.append(BackLine(part.id, box.box.what, box.box.station, box.box.axis, low, high))
    return tuple(found)


def _in_unit(inches: Fraction, unit: Unit) -> Quantity:
    exact = inches * INCH.factor / unit.factor
    return Quantity(decimal_of(exact, 20), unit, exact)


def line_fault(line: BackLine) -> tuple[str, str] | None:
    """What is wrong with a line, if anything: the field, and why. Sizes are lengths above zero; the order is not upside down."""
    if not line.what.strip():
        return "what", "say what was measured: crankpin, cylinder bore ..."
    for field, size in (("ordered_low", line.low), ("ordered_high", line.high), ("reported", line.reported.value), ("measured", line.measured.value)):
        if size is None:
            continue
        if size.unit.dimension != "length":
            return field, f"a length is wanted (in, thou, mm), not {size.unit.token}"
        if size.exact < 0:
            return field, f"{size} is below zero; no size is"
    if line.low is not None and line.high is not None and line.low.canonical > line.high.canonical:
        return "ordered_low", "the low end of the order is above its high end"
    for who, figure in (("reported", line.reported), ("measured", line.measured)):
        u = figure.standard_uncertainty
        if u is not None and (u.unit.dimension != "length" or u.exact <= 0):
            return f"{who}_uncertainty", "a doubt is a length above zero; every tool has some"
    return None


def parts_back(bench: Bench, lines: Sequence[BackLine], system: System = "inch") -> PartsBack:
    """Judge a report of finished sizes against the order."""
    judged = tuple(_judge(bench, line, system) for line in lines)
    return PartsBack(judged, system, _overall(judged), BEFORE_PAYING)


def _judge(bench: Bench, line: BackLine, system: System) -> BackVerdict:
    mine, his = line.measured, line.reported
    u_mine, said_mine = _doubt(bench, line, mine, "you")
    u_his, said_his = _doubt(bench, line, his, "he")
    agreement = _agreement(his, u_his, mine, u_mine)
    figure, u = (mine, u_mine) if mine.value is not None else (his, u_his)
    answer, chance, reads = _against(bench, line, figure, u)
    text = _text(line, answer, reads, agreement, system, u_his, u_mine)
    if his.words and his.value is None:
        text += f' "{his.words}" is no figure: measure it yourself.'
    return BackVerdict(line, answer, agreement, chance, u_his, u_mine, text, (*said_his, *said_mine))


def _doubt(bench: Bench, line: BackLine, figure: Figure, who: str) -> tuple[float | None, tuple[str, ...]]:
    """The standard uncertainty of a figure in its own unit, and what was assumed for it."""
    if figure.value is None:
        return None, ()
    tool = figure.instrument
    said: tuple[str, ...] = ()
    if not tool and figure.standard_uncertainty is None:
        tool = next((i for word, i in USUAL.items() if word in line.what.lower()), ELSE)
        tool = tool if tool in bench.table.instruments else ELSE
        name = bench.table.instruments[tool].name if tool in bench.table.instruments else tool
        said = (f"{line.what}: {who} named no tool; taken as {name}",)
    read = Reading("back", line.what, (figure.value,), instrument=tool, standard_uncertainty=figure.standard_uncertainty)
    try:
        found = budget(bench.table, None, read, figure.value, figure.value)
    except ReadingProblem as fault:
        return None, (f"{line.what}: the doubt of {'your' if who == 'you' else 'his'} figure is not known ({fault})",)
    return found.u, said


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


def _text(line: BackLine, answer: Answer, reads: str, agreement: Agreement, system: System, u_his: float | None,
          u_mine: float | None) -> str:  # fmt: skip
    where = ", ".join(p for p in (line.station, line.axis) if p)
    head = f"{line.what}{f' ({where})' if where else ''}"
    parts = [f"he says {_figure(line.reported, u_his, system)}"] if line.reported.value is not None else []
    parts += [f"you read {_figure(line.measured, u_mine, system)}"] if line.measured.value is not None else []
    parts += [f"ordered {ordered_told(line, system)}"] if line.low is not None or line.high is not None else []
    says = SAYS[answer]
    if answer == "cannot_tell" and reads:
        says += ", reads inside the order" if reads == "inside" else ", reads outside the order but not by more than its doubt"
    tail = f"; {AGREES[agreement]}" if agreement != "nobody" else ""
    told = f" ({'; '.join(parts)})" if parts else ""
    return f"{head}: {says}{tail}{told}."


def _figure(figure: Figure, u: float | None, system: System) -> str:
    assert figure.value is not None
    told = reading(figure.value, system)
    return f"{told}, give or take {say_doubt(2 * u, figure.value.unit)}" if u else str(told)


def ordered_told(line: BackLine, system: System) -> Told:
    """What was ordered at a place, as printed."""
    low, high = (NONE_ON_FILE if q is None else q.to(INCH) for q in (line.low, line.high))
    if isinstance(low, Open) and isinstance(high, Open):
        return NOTHING
    least = NONE_ON_FILE if not isinstance(low, Open) and low == 0 else low
    if not (isinstance(least, Open) or isinstance(high, Open)) and high >= HALF_INCH:
        return ordered_sizes(least, high, INCH, system)[0]
    return span(least, high, INCH, system)


def _overall(lines: Sequence[BackVerdict]) -> str:
    answers, agreements = Counter(v.answer for v in lines), Counter(v.agreement for v in lines)
    parts = [f"{answers[a]} {SAYS[a]}" for a in ("not_to_order", "cannot_tell", "to_order", "no_figure") if answers[a]]
    parts += [f"{agreements['same']} where you and he say the same"] if agreements["same"] else []
    parts += [f"{agreements['differ']} where you differ by more than both doubts"] if agreements["differ"] else []
    words = sum(1 for v in lines if v.line.reported.words and v.line.reported.value is None)
    parts += [f"{words} told in words, which is no figure"] if words else []
    return "; ".join(parts)[:1].upper() + "; ".join(parts)[1:] + "." if parts else "No line in the report."


# -- plain values ------------------------------------------------------------------------------------------------


def to_dict(back: PartsBack) -> dict[str, Any]:
    """The report as plain values for JSON; numbers are decimals, in the unit each party used."""
    return {"paper": "parts-back", "units": back.system, "text": back.text, "lines": [_line_dict(v, back.system) for v in back.lines],
            "before_paying": list(back.before_paying)}  # fmt: skip


def _line_dict(found: BackVerdict, system: System) -> dict[str, Any]:
    line = found.line
    ends: list[Value] = [NONE_ON_FILE if q is None else q.to(INCH) for q in (line.low, line.high)]
    return {
        "part": line.part, "what": line.what, "station": line.station or None, "axis": line.axis or None,
        "ordered": interval_dict(Interval(ends[0], ends[1], INCH), system) if not all(isinstance(e, Open) for e in ends) else None,
        "reported": _figure_dict(line.reported, found.u_his), "measured": _figure_dict(line.measured, found.u_mine),
        "answer": found.answer, "agreement": found.agreement, "chance": None if found.chance is None else round(found.chance, 6),
        "text": found.text, "assumed": list(found.assumed),
    }  # fmt: skip


def _figure_dict(figure: Figure, u: float | None) -> dict[str, Any] | None:
    if figure.value is None:
        return {"words": figure.words} if figure.words else None
    unit: Unit = UNITS[figure.value.unit.token]
    return {"value": {"value": figure.value.value, "unit": unit.token}, "instrument": figure.instrument or None,
            "standard_uncertainty": None if u is None else {"value": decimal_of(Fraction(u), 4), "unit": unit.token}}  # fmt: skip
