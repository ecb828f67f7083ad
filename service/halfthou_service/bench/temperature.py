"""Sizes to the reference temperature of 20 degC (ISO 1), with the doubt of the correction.

L20 = L [1 + a_i (t_i - 20) - a_p (t_p - 20)]: L as read by an instrument at t_i with expansion a_i, on a part at t_p with expansion a_p. Where
part and tool share one temperature only the difference of the expansions matters (the form of JCGM 100:2008, H.1).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from halfthou_specdb.quantity import TOO_COLD, Quantity, decimal_of
from halfthou_specdb.resolve import Resolved
from halfthou_specdb.rules import Open
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS

from .observed import Observed
from .readings import Reading, ReadingProblem
from .speak import unit_for
from .uncertainty import Line

REFERENCE = 20.0
SIZE = Fraction("0.00635")
"""A quarter of an inch [m]: below it heat moves a reading by less than any tool here can see."""
PART, TOOL = "grey-cast-iron", "carbon-steel"
U_TEMPERATURE = 1.0
"""Standard uncertainty of a part's or tool's temperature in a shop [K]; from memory."""
U_APART = 0.5
"""The same of the difference where both lay together [K]; from memory."""
LEAST_U_EXPANSION = 1e-6
"""Tables for one steel differ by more than this [1/K]: no table value is better known (metrology practice)."""
AT_REFERENCE = {"degF": "68 degF", "K": "293.15 K"}
"""20 degC in the unit in which a temperature was told."""
MOST_MORE = 4
"""Digits that a corrected size may be told with beyond those it was read with."""
HOT = 15.0
"""Kelvin from 20 degC beyond which a part is called hot or cold."""


@dataclass(frozen=True, slots=True)
class Corrected:
    """The size at 20 degC, the lines its correction adds to the budget [same unit as the reading], and what to say."""

    value: Quantity
    lines: tuple[Line, ...]
    said: tuple[str, ...]


def corrected(table: Table, reading: Reading, value: Quantity) -> Corrected | None:
    """Correct a size read at a stated temperature; None where no temperature is stated or the reading is no length.

    Raises:
        ReadingProblem: an unknown material, or a temperature that is none.
    """
    if reading.temperature is None or value.unit.dimension != "length":
        return None
    part_at = _celsius(reading.temperature, "/temperature")
    if abs(value.canonical) < SIZE:
        far = abs(part_at - REFERENCE) > HOT
        warm = f"taken at {reading.temperature}: clearances of unlike metals change with heat; read it again at shop temperature"
        return Corrected(value, (), (warm,) if far else ())
    together = reading.instrument_temperature is None
    tool_at = part_at if reading.instrument_temperature is None else _celsius(reading.instrument_temperature, "/instrument_temperature")
    a_part, u_part = _expansion(table, reading.material or PART)
    a_tool, u_tool = _expansion(table, TOOL)
    factor = 1.0 + a_tool * (tool_at - REFERENCE) - a_part * (part_at - REFERENCE)
    exact = value.exact * Fraction(factor)
    size = abs(float(value.exact))
    if together:
        terms = (size * abs(part_at - REFERENCE) * math.hypot(u_part, u_tool), size * a_part * U_APART)
    else:
        terms = (size * math.hypot(abs(part_at - REFERENCE) * u_part, abs(tool_at - REFERENCE) * u_tool),
                 size * U_TEMPERATURE * math.hypot(a_part, a_tool))  # fmt: skip
    lines = (Line("expansion not known exactly", terms[0], "derived", False), Line("temperature not known exactly", terms[1], "from-memory", False))
    said = [f"corrected from {reading.temperature} to 20 degC (68 degF)"]
    if not reading.material:
        said.append(f"material not stated: taken as {table.materials[PART].name.lower()}")
    if together:
        said.append("tool taken to be as warm as the part: let both lie together overnight")
    elif abs(tool_at - part_at) > U_TEMPERATURE * 3:
        said.append("part and tool were apart in temperature: let both lie together and read again")
    if abs(part_at - REFERENCE) > HOT:
        said.append("the part was far from shop temperature; read it again when it has settled")
    return Corrected(Quantity(decimal_of(exact), value.unit, exact), lines, tuple(said))


def corrected_said(observed: Observed, value: Quantity, at: Quantity, resolved: Resolved, system: str = "") -> str:
    """The reading and what it is at 20 degC: ``5.2561 in at 110 degF, 5.2548 in at 68 degF``; with more digits where a limit lies between.

    ``system``: of the units it is told in; the reader's own where empty.
    """
    own, value, at = value.unit, _in_system(value, system), _in_system(at, system)
    ends = [b for i in (resolved.fit, resolved.wear) if i is not None for b in (i.low, i.high) if not isinstance(b, Open)]
    unit = resolved.fit.unit if resolved.fit is not None else value.unit
    exact = value.to(unit)
    written = -min(int(observed.shown.value.normalize().as_tuple().exponent), 0) if own is value.unit else 0
    first = max(written, 3 if value.unit.token == "in" or own is not value.unit else 0)
    for digits in range(first, first + MOST_MORE + 1):
        told = Quantity.of(f"{float(value.exact):.{digits}f}", value.unit)
        if all((told.to(unit) > b) == (exact > b) and (told.to(unit) < b) == (exact < b) for b in ends):
            break
    warm = at.value if own is value.unit else round(at.value, 1)
    reference = AT_REFERENCE.get(at.unit.token, "20 degC")
    return f"{observed.said} at {warm.normalize():f} {at.unit.token}, {told.value:f} {value.unit.symbol or value.unit.token} at {reference}"


def _in_system(given: Quantity, system: str) -> Quantity:
    unit = unit_for(given.unit, system)
    if unit is given.unit:
        return given
    exact = given.to(unit)
    return Quantity(decimal_of(exact, 12), unit, exact)


def _celsius(temperature: Quantity, pointer: str) -> float:
    if temperature.unit.dimension != "temperature":
        raise ReadingProblem("wrong-dimension", f"{temperature} is no temperature; use degF, degC or K", pointer)
    if temperature.too_cold:
        raise ReadingProblem("impossible", f"{temperature} is {TOO_COLD}", pointer)
    return float(temperature.to(UNITS["degC"]))


def _expansion(table: Table, material: str) -> tuple[float, float]:
    """(expansion, its standard uncertainty) [1/K]."""
    found = table.materials.get(material)
    if found is None or found.expansion is None:
        names = tuple(m.id for m in table.materials.values() if m.expansion is not None)[:12]
        raise ReadingProblem("unknown-material", f"no material with a known expansion is called {material[:60]!r}", "/material", names)
    low, high = found.expansion_low or found.expansion, found.expansion_high or found.expansion
    spread = float(high - low) / 2.0 / math.sqrt(3.0) * 1e-6
    return float(found.expansion) * 1e-6, max(spread, LEAST_U_EXPANSION)
