"""Several things of one kind, read one by one: which they are, and what may not be mixed with what.

The rings of a piston, the meshes of a gear, two valves, the places round one seat. Nothing is averaged: the smallest and the largest are
each held against the limit, so that one bad ring is never hidden by good ones.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from difflib import get_close_matches
from fractions import Fraction

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Characteristic
from halfthou_specdb.survey_records import SurveyKind
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS, Unit, units_of

from ..extremes import alike
from ..readings import ReadingProblem
from ..speak import say_doubt
from .records import Doubts, Spot, Survey

TWO = 2
_NUMBERED = re.compile(r"(.*\D)([1-9]\d?)")
ONE_PART = ("new", "new_uncertainty")
"""What belongs to the diameters of one part and says nothing of several."""


def named(table: Table, survey: Survey, kind: SurveyKind) -> Survey:
    """The survey with its places named as the table names them.

    Raises:
        ReadingProblem: one thing only, things of another kind, a place read twice, places that may not be mixed, wrong kinds of unit.
    """
    what = table.characteristics[kind.diameter]
    if len(survey.cells) < TWO:
        raise ReadingProblem("no-value", f"a survey of {kind.name} holds two or more places; send one alone as a reading of {what.id}", "/readings")
    for field in ONE_PART:
        if getattr(survey, field) is not None:
            raise ReadingProblem("wrong-place", f"{field} goes with a survey of one part's diameters; {kind.name} wear against their limit",
                                 f"/{field}")  # fmt: skip
    if survey.measured_by_same_tool:
        raise ReadingProblem("wrong-place", f"same_tool goes with a survey of diameters; {kind.name} have no mate here", "/same_tool")
    if kind.each == "station":
        survey = replace(survey, instance=_whose(survey.instance, what))
        cells = survey.cells
    else:
        cells = _by_instance(survey, kind, what)
    _of_one_kind(cells, what)
    return replace(survey, cells=cells)


def _whose(instance: str, what: Characteristic) -> str:
    """Which of several parts the places belong to; inlet and exhaust are not mixed."""
    if len(what.instances) < TWO:
        return instance
    if not instance:
        raise ReadingProblem("wrong-place", f"say which one this is: instance is {', '.join(what.instances)}", "/instance", what.instances)
    return _known(instance, what, "/instance")


def _by_instance(survey: Survey, kind: SurveyKind, what: Characteristic) -> Mapping[Spot, tuple[Quantity, ...]]:
    if survey.instance:
        raise ReadingProblem("wrong-place", f"each place of a survey of {kind.name} names its own instance, such as {what.instances[0]}", "/instance")
    cells: dict[Spot, tuple[Quantity, ...]] = {}
    first = next(iter(survey.cells))[1]
    for index, ((instance, station), values) in enumerate(survey.cells.items()):
        pointer = f"/readings/{index}"
        if station.lower() != first.lower():
            raise ReadingProblem("wrong-place", f"{kind.name} are told of one station; {first or 'none named'} and {station or 'none named'} are "
                                 "not mixed: send a survey for each", f"{pointer}/station")  # fmt: skip
        spot = (_known(instance, what, f"{pointer}/instance"), first)
        if spot in cells:
            raise ReadingProblem("wrong-place", f"{spot[0]} is read twice; put repeats in values", f"{pointer}/instance")
        cells[spot] = values
    return cells


def _known(instance: str, what: Characteristic, pointer: str) -> str:
    """An instance as the table spells it. Where they are numbered (ring 1, ring 2) an engine may have more of them than the table names."""
    word = " ".join(instance.lower().split())
    names = {name.lower(): name for name in what.instances}
    if word in names:
        return names[word]
    numbered = [m for m in map(_NUMBERED.fullmatch, names) if m]
    match = _NUMBERED.fullmatch(word)
    if match and len(numbered) == len(names) and match[1] == numbered[0][1]:
        return word
    near = tuple(get_close_matches(word[:80], list(names), n=3, cutoff=0.5))
    given = f"{instance[:60]!r}" if instance else "a place without an instance"
    more = " and so on" if len(numbered) == len(names) else ""
    raise ReadingProblem("wrong-place", f"{what.name.lower()} is read at {', '.join(what.instances)}{more}, not at {given}", pointer,
                         near or what.instances)  # fmt: skip


def _of_one_kind(cells: Mapping[Spot, tuple[Quantity, ...]], what: Characteristic) -> None:
    wanted = UNITS[what.unit].dimension
    for index, values in enumerate(cells.values()):
        for value in values:
            if value.unit.dimension != wanted:
                raise ReadingProblem("wrong-dimension", f"{what.id} is told in {', '.join(units_of(wanted)[:4])}, not in {value.unit.token}",
                                     f"/readings/{index}")  # fmt: skip
            if what.non_negative and value.exact < 0:
                raise ReadingProblem("negative", f"{what.name.lower()} cannot be negative", f"/readings/{index}")


def sizes_of(survey: Survey, unit: Unit) -> dict[Spot, Fraction]:
    """The exact value of each place, its repeats averaged."""
    return {spot: sum((v.to(unit) for v in cell), Fraction(0)) / len(cell) for spot, cell in survey.cells.items()}


def notes_of(sizes: Mapping[Spot, Fraction], unit: Unit, doubts: Doubts) -> Iterator[str]:
    """How far things exactly alike would read apart, and whether any difference can be shown."""
    n = len(sizes)
    mean, shown = (k * doubts.random for k in alike(n))
    yield f"{n} of them exactly alike would read about {say_doubt(mean, unit)} apart with this tool"
    if float(max(sizes.values()) - min(sizes.values())) < shown:
        yield f"no difference between them can be shown with this tool: all of it may be the tool's own scatter (up to {say_doubt(shown, unit)})"
