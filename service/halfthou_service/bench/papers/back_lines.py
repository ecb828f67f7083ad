"""The lines of a report of finished sizes: what was ordered at a place, his figure and mine; and the blank ones of an order."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.units import UNITS, Unit, units_of

from .order_case import INCH
from .recipes import recipes
from .work_order import WorkOrder

MOST_DOUBT = Fraction(1, 10)
"""In; no finished size is told with a larger doubt than that."""

MM = UNITS["mm"]
USUAL_UNITS = {"length": "in, thou, mm"}


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
    unit: str = ""
    """Unit of its figures where that is no length (``V``)."""


def order_lines(order: WorkOrder) -> tuple[BackLine, ...]:
    """The places of an order with empty figures, in the order's own unit: the form a report is written on."""
    found = []
    unit = INCH if order.system == "inch" else MM
    for part in order.parts:
        for box in (*part.boxes, *part.form_boxes):
            low, high = (None if v is None else _in_unit(v, unit) for v in (box.low, box.high))
            found.append(BackLine(part.id, box.box.what, box.box.station, box.box.axis, low, high, unit=box.box.unit))
    return tuple(found)


def _in_unit(inches: Fraction, unit: Unit) -> Quantity:
    exact = inches * INCH.factor / unit.factor
    return Quantity(decimal_of(exact, 20), unit, exact)


def unit_of(part: str, what: str) -> str:
    """The unit of a box of the order that holds no length; empty elsewhere."""
    return next((box.unit for r in recipes() if r.id == part for box in r.boxes if box.unit and box.what == what), "")


def kind_of(line: BackLine) -> str:
    """The kind of quantity a line holds: a length, unless its box or its own unit says otherwise."""
    unit = unit_of(line.part, line.what) or line.unit
    return UNITS[unit].dimension if unit in UNITS else "length"


def line_fault(line: BackLine) -> tuple[str, str] | None:
    """What is wrong with a line, if anything: the field, and why. Figures are above zero and of one kind; the order is not upside down."""
    if not line.what.strip():
        return "what", "say what was measured: crankpin, cylinder bore ..."
    kind = kind_of(line)
    for field, size in (("ordered_low", line.low), ("ordered_high", line.high), ("reported", line.reported.value), ("measured", line.measured.value)):
        if size is None:
            continue
        if size.unit.dimension != kind:
            return field, f"a {kind} is wanted ({USUAL_UNITS.get(kind) or ', '.join(units_of(kind)[:3])}), not {size.unit.token}"
        if size.exact < 0:
            return field, f"{size} is below zero; no size is"
    if line.low is not None and line.high is not None and line.low.canonical > line.high.canonical:
        return "ordered_low", "the low end of the order is above its high end"
    for who, figure in (("reported", line.reported), ("measured", line.measured)):
        u = figure.standard_uncertainty
        if u is not None and (u.unit.dimension != kind or u.exact <= 0):
            return f"{who}_uncertainty", f"a doubt is a {kind} above zero; every tool has some"
        if u is not None and kind == "length" and u.to(INCH) > MOST_DOUBT:
            return f"{who}_uncertainty", f"a doubt of {u} says nothing of a finished size; is it in the right unit?"
    return None
