"""What a machinist is told of each part beside its sizes: read once from ``parts.toml``."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from halfthou_specdb.survey_records import SurveyKind
from halfthou_specdb.table import Table

from .figures import System, placed


@dataclass(frozen=True, slots=True)
class Note:
    """One line of an order, and whose its figure is (empty where it holds none)."""

    says: str
    whose: str = ""

    def __str__(self) -> str:
        return f"{self.says} ({self.whose})" if self.whose else self.says


@dataclass(frozen=True, slots=True)
class Boxes:
    """Where a size is to be written: a survey of the table by id, or named stations and lines."""

    what: str
    stations: tuple[str, ...]
    axes: tuple[str, ...]
    instances: tuple[str, ...]
    survey: str
    unit: str = ""
    limit: str = ""
    """``unit``: of what is no length. ``limit``: the characteristic whose new fit is ordered here, whether or not it sends the part out."""


@dataclass(frozen=True, slots=True)
class Recipe:
    """The standing text of one part; see the head of ``parts.toml`` for the fields."""

    id: str
    name: str
    trade: str
    quantity: int
    sends: tuple[str, ...]
    instances: tuple[str, ...]
    shows: tuple[str, ...]
    form: tuple[str, ...]
    identify: str
    datum: str
    fillet: str
    work: tuple[str, ...]
    finish: tuple[str, ...]
    do_not_cut: tuple[str, ...]
    first: tuple[str, ...]
    after: tuple[str, ...]
    returns: tuple[str, ...]
    report: tuple[str, ...]
    stop: tuple[str, ...]
    check: tuple[str, ...]
    cautions: tuple[str, ...]
    boxes: tuple[Boxes, ...]


LISTS = ("sends", "instances", "shows", "form", "work", "finish", "do_not_cut", "first", "after", "returns", "report", "stop", "check", "cautions")


@cache
def recipes() -> tuple[Recipe, ...]:
    """Every part there is a text for, in the order of the work."""
    raw = tomllib.loads(files(__package__).joinpath("parts.toml").read_text("utf-8"))["part"]
    return tuple(_recipe(part) for part in raw)


def _recipe(raw: Mapping[str, Any]) -> Recipe:
    lists = {name: tuple(map(str, raw.get(name, ()))) for name in LISTS}
    boxes = tuple(Boxes(str(b.get("what", "")), tuple(b.get("stations", ())), tuple(b.get("axes", ())), tuple(b.get("instances", ())),
                        str(b.get("survey", "")), str(b.get("unit", "")), str(b.get("limit", ""))) for b in raw["box"])  # fmt: skip
    words: dict[str, Any] = {name: str(raw[name]) for name in ("id", "name", "trade", "identify", "datum", "fillet")}
    return Recipe(**(words | lists), quantity=int(raw.get("quantity", 1)), boxes=boxes)


def note(text: str, system: System) -> Note:
    """A line of a recipe: its figures in the units of the order, and whose they are."""
    says, _, whose = text.partition(" | ")
    return Note(placed(says.strip(), system), whose.strip())


def notes(texts: tuple[str, ...], system: System) -> tuple[Note, ...]:
    """Several lines."""
    return tuple(note(text, system) for text in texts)


@dataclass(frozen=True, slots=True)
class Box:
    """One place where a size is written: by the machinist, and beside it by the owner."""

    what: str
    station: str
    axis: str
    unit: str = ""
    limit: str = ""


def group_name(what: str, instance: str) -> str:
    """The heading of a group of boxes: ``Main bearing bore, cap tight, left main``."""
    name = f"{what}, {instance}" if instance else what
    return name[:1].upper() + name[1:]


def boxes_of(table: Table, recipe: Recipe) -> tuple[Box, ...]:
    """Every box of a part; the stations and lines are those of the survey, so that both measure in the same places."""
    found: list[Box] = []
    for group in recipe.boxes:
        survey = table.surveys.get(group.survey)
        what = group.what or (survey.name if survey else "")
        stations, axes = group.stations, group.axes
        if survey is not None:
            stations, axes = survey.stations, survey.axes
        for instance in group.instances or ("",):
            name = group_name(what, instance)
            found += [Box(name, station, axis, group.unit, group.limit) for station in stations for axis in axes or ("",)]
    return tuple(found)


def surveyed(table: Table, recipe: Recipe) -> tuple[tuple[str, SurveyKind], ...]:
    """The groups of boxes that are the diameters of a survey, by heading."""
    found: list[tuple[str, SurveyKind]] = []
    for group in recipe.boxes:
        survey = table.surveys.get(group.survey)
        if survey is not None:
            found += [(group_name(group.what or survey.name, instance), survey) for instance in group.instances or ("",)]
    return tuple(found)
