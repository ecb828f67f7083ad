"""Surveys: several diameters of one feature, and what follows from them: smallest, largest, mean, out-of-round, taper, wear, clearance.

Each derived figure has a doubt of its own. The parts stand in modules of their own: what is sent and answered (``records``), the
doubts (``doubts``), the figures (``figures``), clearances (``pairs``), what cannot be seen (``notes``), several
things of one kind (``several``).
"""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.survey_records import SurveyKind
from halfthou_specdb.table import Table
from halfthou_specdb.units import Unit

from ..between import OVAL, blind
from ..readings import ReadingProblem
from ..slips import ODD, size_slip
from ..wording import with_article
from .doubts import doubts
from .figures import Worked, where
from .notes import notes
from .pairs import clearances
from .records import Clearance, Doubts, Figure, Spot, Survey, SurveyAnswer
from .several import named, notes_of, sizes_of


def work_out(table: Table, survey: Survey, nominal: Quantity | None = None) -> SurveyAnswer:
    """Derive everything a survey can say. ``nominal``: the size the engine states for this feature, to catch slips by; or that of the part
    several things belong to, for which a tool may be made.

    Raises:
        ReadingProblem: unknown kind of survey, no readings, mixed kinds of unit, a slip, an instrument that cannot read it.
    """
    kind = table.surveys.get(survey.kind)
    if kind is None:
        raise ReadingProblem("unknown-survey", f"no survey is called {survey.kind[:60]!r}; there are {', '.join(table.surveys)}", "/feature",
                             tuple(table.surveys))  # fmt: skip
    if not survey.cells:
        raise ReadingProblem("no-value", "a survey needs readings", "/readings")
    if kind.each:
        return _several(table, named(table, survey, kind), kind, nominal)
    unit = next(iter(survey.cells.values()))[0].unit
    sizes = _sizes(survey, unit)
    middle = _middle(sizes)
    _no_slip(sizes, float(middle), unit, nominal)
    _new(survey)
    found, factor = doubts(table, survey, kind, middle, unit)
    if factor != 1:
        sizes = _brought(sizes, factor, found.whole)
        survey = _new_as_warm(survey, unit, factor)
    running, unworn = _apart(kind, sizes)
    unseen = _blind(table, survey, kind)
    worked = Worked(survey, kind, running, unworn, unit, found, unseen)
    return SurveyAnswer(survey, kind, unit, found.budget, found.random, found.shared, tuple(worked.figures()),
                        notes(survey, kind, running, unit, found, unseen), running, found, unworn)  # fmt: skip


def _blind(table: Table, survey: Survey, kind: SurveyKind) -> str:
    """Why the tool named says nothing of an oval; empty where it sees one."""
    tool = table.instruments.get(survey.instrument.partition("/")[0])
    if tool is None or OVAL not in tool.blind_to:
        return ""
    what = table.characteristics.get(kind.out_of_round or kind.joint)
    return blind(table, what, tool) if what is not None else f"{with_article(tool.name)} cannot see an oval, whatever it reads"


def _several(table: Table, survey: Survey, kind: SurveyKind, part: Quantity | None) -> SurveyAnswer:
    unit = next(iter(survey.cells.values()))[0].unit
    sizes = sizes_of(survey, unit)
    found, factor = doubts(table, survey, kind, max(sizes.values(), key=abs), unit, part)
    if factor != 1:
        sizes = _brought(sizes, factor, found.whole)
    worked = Worked(survey, kind, sizes, {}, unit, found)
    return SurveyAnswer(survey, kind, unit, found.budget, found.random, found.shared, tuple(worked.figures()),
                        tuple(notes_of(sizes, unit, found)), sizes, found)  # fmt: skip


def _sizes(survey: Survey, unit: Unit) -> dict[Spot, Fraction]:
    sizes: dict[Spot, Fraction] = {}
    for index, (spot, cell) in enumerate(survey.cells.items()):
        if any(v.unit.dimension != "length" for v in cell):
            raise ReadingProblem("wrong-dimension", "diameters are lengths (in, thou, mm)", f"/readings/{index}")
        size = sum((v.to(unit) for v in cell), Fraction(0)) / len(cell) if len(cell) > 1 else cell[0].to(unit)
        if size <= 0:
            raise ReadingProblem("negative", "a diameter is more than nothing", f"/readings/{index}")
        sizes[spot] = size
    return sizes


def _brought(sizes: dict[Spot, Fraction], factor: Fraction, u: float) -> dict[Spot, Fraction]:
    """Sizes at 20 degC, to a thousandth of their doubt: an expansion known to a tenth makes no more digits than that."""
    step = Fraction(10) ** math.floor(math.log10(u / 1000.0))
    return {spot: round(size * factor / step) * step for spot, size in sizes.items()}


def _new_as_warm(survey: Survey, unit: Unit, factor: Fraction) -> Survey:
    """A size when new that the same tool read was read as warm as the part; one from a book holds at 20 degC as it stands."""
    if survey.new is None or not survey.measured_by_same_tool:
        return survey
    exact = survey.new.to(unit) * factor
    return replace(survey, new=Quantity(decimal_of(exact), unit, exact))


def _apart(kind: SurveyKind, sizes: dict[Spot, Fraction]) -> tuple[dict[Spot, Fraction], dict[Spot, Fraction]]:
    """(where the part runs, where nothing ever ran); a bore's unworn end belongs to the bore all the same."""
    if kind.inside or not kind.unworn:
        return sizes, {}
    running = {spot: size for spot, size in sizes.items() if spot[0] not in kind.unworn}
    if not running:
        raise ReadingProblem("no-value", f"nothing was read where it runs, only at: {', '.join(kind.unworn)}", "/readings")
    return running, {spot: size for spot, size in sizes.items() if spot[0] in kind.unworn}


def _new(survey: Survey) -> None:
    for given, field in ((survey.new, "new"), (survey.new_uncertainty, "new_uncertainty"), (survey.shared_uncertainty, "shared_uncertainty")):
        if given is not None and given.unit.dimension != "length":
            raise ReadingProblem("wrong-dimension", f"{field} is a length (in, thou, mm), not {given.unit.token}", f"/{field}/unit")
    if survey.new_uncertainty is not None and survey.new_uncertainty.exact < 0:
        raise ReadingProblem("zero-uncertainty", "an uncertainty cannot be negative", "/new_uncertainty")


def _middle(sizes: dict[Spot, Fraction]) -> Fraction:
    """A size with as many under it as over it."""
    rough = sorted((float(size), spot) for spot, size in sizes.items())
    return sizes[rough[len(rough) // 2][1]]


def _no_slip(sizes: dict[Spot, Fraction], middle: float, unit: Unit, nominal: Quantity | None) -> None:
    for index, (spot, size) in enumerate(sizes.items()):
        if not middle / ODD <= float(size) <= middle * ODD:
            raise ReadingProblem("suspected-slip", f"{float(size):g} {unit.token} ({where(spot) or 'the first place'}) is far from the others: "
                                 f"{size_slip(float(size) / middle)}. Look again", f"/readings/{index}")  # fmt: skip
    if nominal is not None and nominal.unit.dimension == "length":
        stated = float(nominal.to(unit))
        if not stated / ODD <= middle <= stated * ODD:
            raise ReadingProblem("suspected-slip", f"the readings are about {middle:g} {unit.token}, but the engine states {nominal}: "
                                 f"{size_slip(middle / stated)}. Look again", "/readings")  # fmt: skip


__all__ = ["Clearance", "Doubts", "Figure", "Spot", "Survey", "SurveyAnswer", "clearances", "work_out"]
