"""The lines of an uncertainty budget, and what may be done with them: summed, replaced, averaged.

Parts are combined by the law of propagation for independent errors (JCGM 100:2008, 5.1.2) and effective degrees of freedom by the
Welch-Satterthwaite formula (JCGM 100:2008, G.4.1).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from halfthou_specdb.units import UNITS, Unit

from .readings import OwnLine, ReadingProblem
from .tools import TEMPERATURES


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the budget: name, standard uncertainty [reading's unit], grade, whether repeats average it out."""

    name: str
    u: float
    grade: str
    random: bool
    step: bool = False
    """The step the tool reads to: repeats that all read alike leave it whole."""


@dataclass(frozen=True, slots=True)
class Budget:
    """Standard uncertainty u [``unit``], its degrees of freedom, its lines, and what was assumed."""

    unit: Unit
    u: float
    dof: float
    lines: tuple[Line, ...]
    instrument: str
    assumed: tuple[str, ...]
    repeats: int = 1
    """Readings that were averaged into this u."""
    step: float = 0.0
    """The step of the tool within u, which no repeats average away [``unit``]."""
    own_scatter: bool = False
    """The degrees of freedom are those of the repeats' own scatter."""


def scale_of(given: Unit, wanted: Unit) -> float:
    """From one unit to another, as a float; offsets left out."""
    return 1.0 if given is wanted else factor_ratio(given.token, wanted.token)


@lru_cache(maxsize=4096)
def factor_ratio(given: str, wanted: str) -> float:
    """From one unit token to another, as a float; offsets left out (for differences and uncertainties)."""
    return float(UNITS[given].factor / UNITS[wanted].factor)


def whole(lines: tuple[Line, ...]) -> float:
    """Root-sum-square of lines."""
    return math.sqrt(math.fsum(line.u**2 for line in lines))


def own_lines(given: tuple[OwnLine, ...], unit: Unit) -> dict[str, Line]:
    """The caller's own lines by name [``unit``].

    Raises:
        ReadingProblem: a line in the wrong kind of unit, or below zero.
    """
    lines: dict[str, Line] = {}
    for index, line in enumerate(given):
        pointer = f"/budget/{index}/standard_uncertainty"
        if line.u.unit.dimension != unit.dimension and not {line.u.unit.dimension, unit.dimension} <= TEMPERATURES:
            raise ReadingProblem("wrong-dimension", f"the line {line.name!r} is in {line.u.unit.token}, the reading in {unit.token}", pointer)
        if line.u.exact < 0:
            raise ReadingProblem("zero-uncertainty", "an uncertainty cannot be negative", pointer)
        lines[line.name] = Line(line.name, float(line.u.exact) * scale_of(line.u.unit, unit), "owner", line.random)
    return lines


def with_lines(base: Budget, own: Mapping[str, Line]) -> Budget:
    """The budget with lines of the caller's own: each replaces the line of its name, or is added."""
    return summed(base, tuple(({line.name: line for line in base.lines} | dict(own)).values())) if own else base


def summed(base: Budget, lines: tuple[Line, ...]) -> Budget:
    """The budget of these lines, root-sum-square; degrees of freedom by Welch-Satterthwaite from the part that had them.

    Raises:
        ReadingProblem: nothing is left of the doubt.
    """
    u = math.sqrt(math.fsum(line.u**2 for line in lines))
    if not u > 0:
        raise ReadingProblem("zero-uncertainty", "an uncertainty must be above zero; every tool has some", "/budget")
    dof = base.dof if math.isinf(base.dof) else base.dof * (u / base.u) ** 4
    return replace(base, u=u, dof=dof, lines=lines)


def mean_of(lines: tuple[Line, ...], n: int) -> tuple[Line, ...]:
    """Random lines of the mean of n repeats. The step stays whole: repeats on one mark say nothing of what lies between two."""
    return tuple(line if line.step else replace(line, name=f"{line.name}, mean of {n}", u=line.u / math.sqrt(n)) for line in lines)
