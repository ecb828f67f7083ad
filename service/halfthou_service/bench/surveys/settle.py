"""What would settle a doubt about a figure of a survey: repeats at every place, a finer tool, a hand test, or nothing."""

from __future__ import annotations

import math
from fractions import Fraction

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.resolve import Resolved
from halfthou_specdb.table import Table

from ..between import LOOSE
from ..decide import best_possible, decide_at, gaps
from ..readings import ReadingProblem, Rules
from ..settle import MOST_REPEATS, Settles, by_hand, tools
from ..tools import pick_variant
from ..uncertainty import ENOUGH_REPEATS, factor_ratio, lines_of
from .records import Figure, SurveyAnswer


def settle_figure(
    table: Table, resolved: Resolved, value: Fraction, u: float, figure: Figure, answer: SurveyAnswer | None, rules: Rules, side: str = ""
) -> Settles:
    """Look for the cheapest way to a verdict, supposing the figure stays where it is.

    Args:
        value: in the limit's unit, as ``u``.
        answer: the survey, for a figure of one tool; None for a clearance, which has two.
        side: the side in doubt.
    """
    fit, wear, back, what = resolved.fit, resolved.wear, resolved.serviceable, resolved.characteristic
    assert fit is not None and wear is not None and back is not None
    capable = best_possible(u, figure.dof, back, what.non_negative) >= rules.confidence
    to_fit, to_back = gaps(value, fit.low, fit.high), gaps(value, back.low, back.high)
    random = math.sqrt(math.fsum(line.u**2 for line in figure.lines if line.random))
    shared = math.sqrt(math.fsum(line.u**2 for line in figure.lines if not line.random))
    whole = math.hypot(random, shared)
    step = math.sqrt(math.fsum(line.u**2 for line in figure.lines if line.step and line.random))

    def decides(random_part: float, shared_part: float, dof: float = math.inf) -> bool:
        both = math.hypot(random_part, shared_part)
        finer = u * both / whole
        told = dof * (both / random_part) ** 4 if random_part else math.inf
        return 0 < finer < u and decide_at(to_fit, to_back, finer, told, wear, what, rules).verdict != "undecided"

    if answer is None or answer.survey.standard_uncertainty is None:
        repeats = 1 if answer is None else min(len(cell) for cell in answer.survey.cells.values())
        tried = range(max(ENOUGH_REPEATS, repeats + 1), MOST_REPEATS + 1)

        def enough(n: int) -> bool:
            mean = math.hypot(step, math.sqrt(max(random**2 - step**2, 0.0)) * math.sqrt(repeats / n))
            return decides(mean, shared, _dof(figure.dof * (random / figure.u) ** 4, repeats, n))

        if tried and enough(tried[-1]):  # where the most would not do, none would
            return Settles("repeats", capable, repeats=next(n for n in tried if enough(n)))
    if answer is not None and whole:
        found = _finer(table, resolved, answer, random, shared, decides, figure.name in ("smallest", "largest"))
        if found is not None:
            return Settles("instrument", capable, *found)
    return by_hand(table, what, side, capable)


def _dof(known: float, repeats: int, n: int) -> float:
    """Degrees of freedom of scatter that was pooled over places read ``repeats`` times, were each read ``n`` times."""
    return known * (n - 1) / (repeats - 1) if repeats > 1 else known


def _finer(
    table: Table, resolved: Resolved, answer: SurveyAnswer, random: float, shared: float, decides: object, sized: bool
) -> tuple[str, str] | None:
    """(id, name) of the cheapest tool for these readings that would do, in place of the one used. ``sized``: what it shares stays in the
    figure."""
    several = bool(answer.kind.each)
    size = max(answer.sizes.values(), key=abs) if several else next(iter(answer.sizes.values()))
    diameter = Quantity(decimal_of(size), answer.unit, size)
    assert callable(decides)
    own = answer.doubts
    for tool in tools(table, resolved):
        try:
            variant = pick_variant(tool, "", diameter, None if several else diameter)
        except ReadingProblem:
            continue
        scale = factor_ratio(diameter.unit.token, answer.unit.token)
        lines = lines_of(variant, float(size), diameter.unit)
        loose = math.sqrt(math.fsum(line.u**2 for line in lines if line.random)) * scale
        fixed = math.sqrt(math.fsum(line.u**2 for line in lines if not line.random)) * scale
        if not loose or (several and variant.shared_error in LOOSE):
            loose, fixed = math.hypot(loose, fixed), 0.0
        stays = shared * fixed / own.shared if own.shared else fixed if several and sized else 0.0
        if decides(random * loose / own.random, stays):
            return f"{tool.id}/{variant.id}", f"{tool.name} ({variant.name})"
    return None
