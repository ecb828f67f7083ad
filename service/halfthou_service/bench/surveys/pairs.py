"""The clearance of a bore on its shaft, from a survey of each."""

from __future__ import annotations

import math
from fractions import Fraction

from halfthou_specdb.survey_records import Pair
from halfthou_specdb.table import Table

from ..extremes import gap_at_most
from ..uncertainty import Line
from .doubts import shared_error
from .figures import averaged
from .records import Clearance, Doubts, Figure, SurveyAnswer

APART = 3.0
"""Kelvin that two parts may differ when they were measured, before it is said."""
SAY_SAME_TOOL = "if one micrometer read the shaft and set the gauge for the bore, say same_tool for both: its own error then cancels"


def clearances(table: Table, pair: Pair, bore: SurveyAnswer, shaft: SurveyAnswer) -> Clearance:
    """Smallest and largest clearance of a bore on its shaft. Where one micrometer served both, its error cancels."""
    unit = bore.unit
    exact = shaft.unit.factor / unit.factor
    scale = float(exact)
    bores = [float(v) for v in bore.sizes.values()]
    shafts = [float(v) * scale for v in shaft.sizes.values()]
    u_b, u_s = bore.u_random, shaft.u_random * scale
    shared, said = _left_over(table, bore, shaft, scale)
    dof = _dof(bore.doubts, shaft.doubts, u_b, u_s)
    u = math.sqrt(u_b**2 + u_s**2 + shared**2)
    whole_dof = math.inf if math.isinf(dof) else dof * (u / math.hypot(u_b, u_s)) ** 4
    lines = (Line("bore: random part", u_b, "derived", True), Line("shaft: random part", u_s, "derived", True),
             *((Line("tools, zero and warmth of both", shared, "derived", False),) if shared else ()))  # fmt: skip
    n_b, n_s = len(bores), len(shafts)

    def at(b: list[float], s: list[float], x: float, factor: float, smallest: bool) -> float:
        return gap_at_most(b, u_b * factor, s, u_s * factor, shared, x, smallest)

    def figure(name: str, value: Fraction, where: str, smallest: bool) -> Figure:
        seen = float(value)
        at_worst = averaged(lambda x, f: at([x] * n_b, [0.0] * n_s, seen, f, smallest), dof)
        worst_under = None if smallest else (lambda x: 1.0 - at_worst(x))
        return Figure(name, pair.clearance, value, u, unit, where, averaged(lambda x, f: at(bores, shafts, x, f, smallest), dof),
                      at_worst if smallest else None, worst_under, whole_dof, lines)  # fmt: skip

    least = min(bore.sizes.values()) - max(shaft.sizes.values()) * exact
    most = max(bore.sizes.values()) - min(shaft.sizes.values()) * exact
    return Clearance(pair, shaft, figure("smallest-clearance", least, "least bore on greatest shaft", True),
                     figure("largest-clearance", most, "greatest bore on least shaft", False), (*said, *_warmth(bore, shaft)))  # fmt: skip


def _left_over(table: Table, bore: SurveyAnswer, shaft: SurveyAnswer, scale: float) -> tuple[float, tuple[str, ...]]:
    """Shared errors that do not cancel [bore's unit], and what to say of it. Only what the caller says was one tool cancels."""
    own, other = bore.u_shared, shaft.u_shared * scale
    (kind_b, part_b), (kind_s, part_s) = shared_error(table, bore.doubts), shared_error(table, shaft.doubts)
    if not kind_b or kind_b != kind_s:
        return math.hypot(own, other), ()
    if not (bore.survey.measured_by_same_tool and shaft.survey.measured_by_same_tool):
        return math.hypot(own, other), (SAY_SAME_TOOL,)
    common = min(part_b, part_s * scale)
    return math.sqrt(max(own**2 - common**2, 0.0) + max(other**2 - common**2, 0.0)), ()


def _dof(bore: Doubts, shaft: Doubts, u_b: float, u_s: float) -> float:
    """Degrees of freedom of the random parts together (Welch-Satterthwaite)."""
    spread = (0.0 if math.isinf(bore.dof) else u_b**4 / bore.dof) + (0.0 if math.isinf(shaft.dof) else u_s**4 / shaft.dof)
    return math.inf if not spread else (u_b**2 + u_s**2) ** 2 / spread


def _warmth(bore: SurveyAnswer, shaft: SurveyAnswer) -> tuple[str, ...]:
    first, second = bore.survey.temperature, shaft.survey.temperature
    if (first is None) != (second is None):
        return (f"the {'shaft' if second is None else 'bore'}'s temperature is not stated: a warm part on a cold one fools; let both lie together",)
    if first is not None and second is not None and abs(float(first.canonical - second.canonical)) > APART:
        return ("bore and shaft were measured at different temperatures; both were brought to 20 degC (68 degF)",)
    return ()
