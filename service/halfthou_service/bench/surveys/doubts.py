"""The doubt of a survey's readings: the tool's own parts, split into what is random and what all readings share; scatter; warmth.

Scatter is pooled over all places where repeats were taken (s^2 = sum nu_i s_i^2 / sum nu_i). It counts where it is larger than what the
tool's own random parts make, never below them: few repeats know their own scatter badly.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.survey_records import SurveyKind
from halfthou_specdb.table import Table
from halfthou_specdb.units import Unit

from ..between import LOOSE
from ..readings import Reading, ReadingProblem
from ..temperature import corrected
from ..tools import usual_tool
from ..uncertainty import ENOUGH_REPEATS, MOST_APART, STATED, Budget, Line, budget, factor_ratio, mean_of
from .records import Doubts, Spot, Survey

FEW_DEGREES = 3
SMALL_HOLE = Fraction(13, 1000)
"""Bores up to here [m] are read with a small-hole gauge."""
SMALL, LARGE, OUTSIDE = "small-hole-gauge-micrometer", "telescoping-gauge-outside-micrometer", "outside-micrometer"


def doubts(
    table: Table, survey: Survey, kind: SurveyKind, middle: Fraction, unit: Unit, part: Quantity | None = None
) -> tuple[Doubts, Fraction]:
    """The doubts, and the exact factor that brings sizes to 20 degC.

    Args:
        middle: a size near the middle of those read, or the largest of several things; the tool's parts are worked out there.
        part: the size of the part that several things belong to, which a tool may be made for; the diameter itself is its own.

    Raises:
        ReadingProblem: unknown instrument or material, one of the wrong kind, an uncertainty of the wrong kind.
    """
    size = Quantity(decimal_of(middle), unit, middle)
    tool, said = _tool(table, survey, kind, size)
    reading = Reading(survey.id, kind.diameter or kind.id, (size,), instrument=tool, standard_uncertainty=survey.standard_uncertainty,
                      temperature=survey.temperature, instrument_temperature=survey.instrument_temperature, material=survey.material)  # fmt: skip
    found = budget(table, None, reading, size, part if kind.each else size)
    loose = bool(kind.each) and survey.standard_uncertainty is None and hangs_on(table, found) in LOOSE
    own = _callers(survey, found, unit) if survey.standard_uncertainty is not None else _tools(survey, found, unit, loose)
    own = _scattered(survey, own, unit, loose)
    own = replace(own, assumed=(*said, *(() if said else found.assumed), *own.assumed))
    heat = corrected(table, reading, size) if survey.temperature is not None else None
    if heat is None:
        return own, Fraction(1)
    if heat.value is size:
        return replace(own, assumed=(*own.assumed, *heat.said)), Fraction(1)
    shared = math.sqrt(own.shared**2 + math.fsum(line.u**2 for line in heat.lines))
    warm = replace(own, shared=shared, shared_lines=(*own.shared_lines, *heat.lines), assumed=(*own.assumed, *heat.said))
    return warm, heat.value.exact / middle


def _tool(table: Table, survey: Survey, kind: SurveyKind, size: Quantity) -> tuple[str, tuple[str, ...]]:
    """The tool named, or the usual one and that it was assumed."""
    if survey.instrument or survey.standard_uncertainty is not None:
        return survey.instrument, ()
    what = table.characteristics.get(kind.diameter)
    if what is not None:
        usual, instead = usual_tool(table, what, size, size)
    else:
        usual, instead = (SMALL if size.canonical <= SMALL_HOLE else LARGE) if kind.inside else OUTSIDE, ""
    if usual not in table.instruments:
        raise ReadingProblem("no-uncertainty", "no instrument and no standard_uncertainty is given, and none is usual for this", "/instrument")
    return usual, (f"no instrument named: taken as {table.instruments[usual].name}{instead}",)


def _callers(survey: Survey, found: Budget, unit: Unit) -> Doubts:
    random = found.u * factor_ratio(found.unit.token, unit.token)
    shared = 0.0 if survey.shared_uncertainty is None else _length(survey.shared_uncertainty, unit, "/shared_uncertainty")
    lines = (Line("stated with the survey", random, "owner", True),)
    both = (Line("stated as shared by all readings", shared, "owner", False),) if shared else ()
    return Doubts(found, random, shared, shared, math.inf, lines, both, survey.shared_uncertainty is not None, ())


def _length(given: Quantity, unit: Unit, pointer: str) -> float:
    if given.unit.dimension != unit.dimension:
        raise ReadingProblem("wrong-dimension", f"{given.unit.token} is no {unit.dimension.replace('_', ' ')}", f"{pointer}/unit")
    if given.exact < 0:
        raise ReadingProblem("zero-uncertainty", "an uncertainty cannot be negative", pointer)
    return float(given.to(unit))


def _tools(survey: Survey, found: Budget, unit: Unit, loose: bool = False) -> Doubts:
    """The tool's parts. ``loose``: what repeats leave stays whole, yet is not the same for two things."""
    scale = factor_ratio(found.unit.token, unit.token)
    lines = tuple(replace(line, u=line.u * scale) for line in found.lines) if scale != 1.0 else found.lines
    random = tuple(line for line in lines if line.random)
    shared = tuple(line for line in lines if not line.random)
    if not random:  # a tool whose parts are not split: all of it may differ from reading to reading, so nothing of it cancels
        random, shared = shared, ()
    fixed = math.sqrt(math.fsum(line.u**2 for line in shared))
    n = min(len(cell) for cell in survey.cells.values())
    said: tuple[str, ...] = ()
    if loose:
        random, shared, fixed = (*random, *shared), (), 0.0
        said = ("each reading may have been taken with another piece of the tool, so none of its doubt is taken to cancel between them",)
    if n >= ENOUGH_REPEATS:
        stays = tuple(line for line in random if not line.random) if loose else ()
        random = (*mean_of(tuple(line for line in random if line not in stays), n), *stays)
    elif n > 1:
        said = (*said, f"{n} repeats in a place: averaged, and the tool's own doubt kept")
    own = math.sqrt(math.fsum(line.u**2 for line in random))
    return Doubts(found, own, fixed, fixed, math.inf, random, shared, not loose, said)


def _scattered(survey: Survey, own: Doubts, unit: Unit, loose: bool = False) -> Doubts:
    """Repeats that scatter by more than the doubt explains count, whoever stated it; a few that disagree outright count too.

    What a loose piece of the tool has wrong shows in no repeat of one place, so no scatter takes its place.
    """
    scatter, dof, places = _pooled(survey.cells, unit)
    scatter /= math.sqrt(min(len(cell) for cell in survey.cells.values()))
    if dof >= FEW_DEGREES:
        kept = tuple(line for line in own.random_lines if not line.random) if loose else ()
        left = math.sqrt(math.fsum(line.u**2 for line in kept))
        if math.hypot(scatter, left) <= own.random:
            return own
        line = Line(f"scatter of repeats, pooled over {places} place{'' if places == 1 else 's'}", scatter, "owner", True)
        random = math.hypot(scatter, left)
        return replace(own, random=random, dof=dof * (random / scatter) ** 4, random_lines=(line, *kept))
    repeated = [[v.to(unit) for v in cell] for cell in survey.cells.values() if len(cell) > 1]
    apart = max((float(max(values) - min(values)) for values in repeated), default=0.0)
    if apart <= MOST_APART * own.random:
        return own
    line = Line("repeats that disagree", apart / 2.0, "owner", True)
    note = "the repeats lie further apart than the tool explains: look for the reason before you trust their mean"
    return replace(own, random=math.hypot(own.random, line.u), random_lines=(*own.random_lines, line), assumed=(*own.assumed, note))


def _pooled(cells: Mapping[Spot, tuple[Quantity, ...]], unit: Unit) -> tuple[float, int, int]:
    """Standard deviation of single readings pooled over the places that were read more than once, its degrees of freedom, the places."""
    squares, dof, places = 0.0, 0, 0
    for cell in cells.values():
        if len(cell) > 1:
            values = [float(v.to(unit)) for v in cell]
            mean = math.fsum(values) / len(values)
            squares += math.fsum((v - mean) ** 2 for v in values)
            dof += len(values) - 1
            places += 1
    return (math.sqrt(squares / dof) if dof else 0.0), dof, places


def hangs_on(table: Table, found: Budget) -> str:
    """The word that readings by tools with the same error share, such as ``micrometer``; empty where the tool has none."""
    tool, _, wanted = found.instrument.partition("/")
    instrument = table.instruments.get(tool)
    return next((v.shared_error for v in instrument.variants if v.id == wanted), "") if instrument is not None else ""


def shared_error(table: Table, found: Doubts) -> tuple[str, float]:
    """What the tool's own error hangs on (``micrometer``, ``ring``) and how large that part is [the survey's unit].

    A gauge carried to a micrometer shares that micrometer's error with whatever else it reads, not its own tilt.
    """
    if not found.of_tool:
        return "", 0.0
    if found.budget.lines[0].name == STATED:
        return STATED, found.of_tool
    kind = hangs_on(table, found.budget)
    carried = [line.u for line in found.shared_lines if kind and kind in line.name]
    return kind, math.sqrt(math.fsum(u * u for u in carried)) if carried else found.of_tool
