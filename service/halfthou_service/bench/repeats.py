"""Repeats of one reading: what they average out, what they show of their own scatter, and what they leave.

Repeats add a Type A part only from four on: fewer know their own scatter too badly.
"""

from __future__ import annotations

import math
from dataclasses import replace

from halfthou_specdb.units import Unit

from .lines import Budget, Line, mean_of, scale_of, whole
from .readings import Reading, ReadingProblem

ENOUGH_REPEATS = 4
MOST_APART = 4.0
"""Two readings of one thing lie further apart than this many standard uncertainties less than once in two hundred times."""


def with_pooled(reading: Reading, base: Budget, unit: Unit) -> Budget:
    """Scatter pooled from earlier surveys counts where it is larger than what the tool's own random parts make."""
    if reading.pooled is None:
        return base
    given = reading.pooled.scatter
    if given.unit.dimension != unit.dimension:
        raise ReadingProblem("wrong-dimension", f"the pooled scatter is in {given.unit.token}, the reading in {unit.token}", "/pooled_scatter")
    n = max(len(reading.values), 1)
    pooled = float(given.exact) * scale_of(given.unit, unit) / math.sqrt(n)
    own = math.sqrt(math.fsum(line.u**2 for line in base.lines if line.random))
    if pooled <= own:
        return base
    shared = tuple(line for line in base.lines if not line.random)
    lines = (*shared, Line(f"pooled scatter, mean of {n}" if n > 1 else "pooled scatter", pooled, "owner", True))
    u = math.sqrt(math.fsum(line.u**2 for line in lines))
    return replace(base, u=u, dof=reading.pooled.degrees_of_freedom * (u / pooled) ** 4, lines=lines, own_scatter=False)


def scattered(reading: Reading, base: Budget, unit: Unit) -> Budget:
    """A stated doubt beside repeats that scatter by more than it explains: their scatter is added, never hidden."""
    values = [float(v.to(unit)) for v in reading.values]
    return _disagreeing(base, values) if len(values) > 1 else base


def _disagreeing(base: Budget, values: list[float]) -> Budget:
    """Repeats further apart than the doubt explains: half of what lies between the furthest counts as doubt too."""
    apart = max(values) - min(values)
    if apart <= MOST_APART * base.u:
        return base
    line = Line(f"{len(values)} repeats that disagree", apart / 2.0, "owner", False)
    note = "the repeats lie further apart than the tool explains: look for the reason before you trust their mean"
    return replace(base, u=math.hypot(base.u, line.u), lines=(*base.lines, line), assumed=(*base.assumed, note))


def with_repeats(reading: Reading, base: Budget, unit: Unit, scale: float) -> Budget:
    """The budget of the mean of the repeats. ``scale`` turns their unit into ``unit`` where they were read in another kind."""
    n = len(reading.values)
    if n < 2:
        return base
    own_unit = unit if scale == 1.0 else reading.values[0].unit
    values = [float(v.to(own_unit)) * scale for v in reading.values]
    if n < ENOUGH_REPEATS:
        note = f"{n} repeats are too few to know their scatter: averaged, and the tool's own uncertainty kept"
        return _disagreeing(replace(base, assumed=(*base.assumed, note)), values)
    mean = math.fsum(values) / n
    scatter = math.sqrt(math.fsum((v - mean) ** 2 for v in values) / (n - 1) / n)
    shared = tuple(line for line in base.lines if not line.random)
    averaged = mean_of(tuple(line for line in base.lines if line.random), n)
    own = whole(averaged)
    if scatter > own:  # the scatter seen holds the tool's own: the larger of the two counts, never both
        averaged = (Line(f"scatter of {n} repeats", scatter, "owner", True),)
    u = whole((*shared, *averaged))
    dof = (n - 1) * (u / scatter) ** 4 if scatter > own else math.inf
    return replace(base, u=u, dof=dof, lines=(*shared, *averaged), repeats=n, own_scatter=scatter > own)
