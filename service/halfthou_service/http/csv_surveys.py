"""Surveys in a CSV sheet: rows with one word in the ``survey`` column are the places of one survey.

What holds for the whole survey (feature, instrument, state ...) may stand on any of its rows, or on all of them alike.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any, Protocol

from halfthou_specdb.quantity import Quantity

from .faults import Fault, shown
from .parse_survey import ReadSurvey, RefusedSurvey, SurveyReader

SURVEY_ONLY = ("feature", "shared_uncertainty", "new", "new_uncertainty", "same_tool")
"""Columns that say nothing on a row that is a reading by itself."""
OF_PLACE = ("value", "repeats", "station", "axis", "note")
WARMTH = ("temperature", "instrument_temperature")
SIZES = ("standard_uncertainty", "expanded_uncertainty", "shared_uncertainty", "new", "new_uncertainty")
WORDS = ("feature", "instance", "instrument", "state", "material")
FLAGGED = ("same_tool", "confirmed")
WHOLE = (*WORDS, *WARMTH, *SIZES, *FLAGGED, "coverage_factor")
"""Columns that hold for the survey as a whole, so that its rows agree on them."""
TAKEN = ("survey", "unit", *OF_PLACE, *WHOLE)


class HasUnit(Protocol):
    """A column: the unit its heading carries."""

    @property
    def unit(self) -> str:
        """Its token, or the empty string."""


Given = Mapping[str, tuple[HasUnit, str]]
"""Column name -> column and cell, blank cells left out."""


class Cells(Protocol):
    """Reads single cells of a sheet; what cannot be read becomes a fault."""

    def given(self, cells: list[str], faults: list[Fault]) -> Given:
        """The cells of a row that hold something."""
    def measured(self, cell: str, default: str, pointer: str, faults: list[Fault]) -> Quantity | None:
        """A quantity."""

    def repeats(self, cell: str, default: str, faults: list[Fault]) -> list[Quantity | None]:
        """The repeats of one cell."""

    def plain_number(self, cell: str, name: str, faults: list[Fault]) -> Decimal | None:
        """A number without a unit."""

    def yes_no(self, cell: str) -> Any:
        """Yes or no."""


@dataclass(frozen=True, slots=True)
class SurveyLines:
    """Where a survey stands in the sheet: the line of each place, and of each field of the whole."""

    rows: tuple[int, ...]
    fields: Mapping[str, int]

    def placed(self, fault: Fault) -> Fault:
        """The fault with its line and column, from its pointer within the survey."""
        parts = [part for part in fault.pointer.split("/") if part]
        if not parts:
            return replace(fault, line=self.rows[0])
        if parts[0] != "readings":
            return replace(fault, line=self.fields.get(parts[0], self.rows[0]), column="unit" if parts[-1] == "unit" else parts[0])
        index = int(parts[1]) if len(parts) > 1 and parts[1].isdigit() else 0
        named = parts[2] if len(parts) > 2 else ""
        column = {"values": "repeats", "": "survey" if len(parts) < 2 else ""}.get(named, "unit" if parts[-1] == "unit" else named)
        return replace(fault, line=self.rows[min(index, len(self.rows) - 1)], column=column)


@dataclass(frozen=True, slots=True)
class Lines:
    """The line each reading of a sheet begins on, and where each survey stands."""

    readings: tuple[int, ...] = ()
    surveys: tuple[SurveyLines, ...] = ()


@dataclass(slots=True)
class _Rows:
    id: str
    rows: list[tuple[int, Given]] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


class SurveyRows:
    """Gathers the rows of each survey of a sheet."""

    def __init__(self, cells: Cells, reader: SurveyReader) -> None:
        self._cells, self._reader = cells, reader
        self._surveys: dict[str, _Rows] = {}

    def takes(self, line: int, cells: list[str]) -> bool:
        """Whether a row is the place of a survey; if so it is kept."""
        faults: list[Fault] = []
        given = self._cells.given(cells, faults)
        if "survey" not in given:
            return False
        self._add(line, given, faults)
        return True

    def _add(self, line: int, given: Given, faults: Sequence[Fault]) -> None:
        name = given["survey"][1]
        found = self._surveys.setdefault(name, _Rows(name))
        found.faults += [replace(fault, line=line) for fault in faults]
        for column in given:
            if column not in TAKEN:
                detail = f"a row of a survey has no {column}; it may have {', '.join(TAKEN)}"
                found.faults.append(Fault("bad-csv", detail, line=line, column=column, allowed=TAKEN))
        found.rows.append((line, given))

    def read(self) -> tuple[tuple[ReadSurvey | RefusedSurvey, ...], tuple[SurveyLines, ...]]:
        """Every survey in the order its first row was met, and where each stands."""
        both = [self._read(found) for found in self._surveys.values()]
        return tuple(survey for survey, _ in both), tuple(lines for _, lines in both)

    def _read(self, found: _Rows) -> tuple[ReadSurvey | RefusedSurvey, SurveyLines]:
        whole, at = self._whole(found)
        kind = self._reader.table.surveys.get(str(whole.get("feature", "")))
        apart = kind is None or kind.each == "instance"
        if not apart:
            self._agrees(found, "instance", whole, at)
        places = [self._place(line, given, apart, found.faults) for line, given in found.rows]
        lines = SurveyLines(tuple(line for line, _ in found.rows), at)
        entry = self._reader.read({"id": found.id, **whole, "readings": places}, found.id)
        faults = list(found.faults)
        if isinstance(entry, RefusedSurvey):
            faults += [f for f in map(lines.placed, entry.faults) if not any((f.line, f.column) == (g.line, g.column) for g in found.faults)]
        if not faults:
            return entry, lines
        instance = str(whole.get("instance", ""))
        return RefusedSurvey(found.id, kind.id if kind else "", instance, tuple(faults)), lines

    def _whole(self, found: _Rows) -> tuple[dict[str, Any], dict[str, int]]:
        whole: dict[str, Any] = {}
        at: dict[str, int] = {}
        for name in WHOLE:
            if name != "instance":
                self._agrees(found, name, whole, at)
        return whole, at

    def _agrees(self, found: _Rows, name: str, whole: dict[str, Any], at: dict[str, int]) -> None:
        """The one value that the rows of a survey give a field; a row may leave it out, none may differ."""
        first = ""
        for line, given in found.rows:
            if name not in given:
                continue
            value = self._value(name, given, line, found.faults)
            if name not in at:
                whole[name], at[name], first = value, line, given[name][1]
            elif not _same(value, whole[name]):
                detail = f"{name} of the survey {shown(found.id)} is {shown(first)} on line {at[name]} and {shown(given[name][1])} here; it has one"
                found.faults.append(Fault("bad-csv", detail, line=line, column=name))
        if whole.get(name, "") is None:
            del whole[name]

    def _value(self, name: str, given: Given, line: int, faults: list[Fault]) -> Any:
        column, cell = given[name]
        if name in WORDS:
            return cell
        if name in FLAGGED:
            return self._cells.yes_no(cell)
        own: list[Fault] = []
        unit = column.unit if name in WARMTH or "unit" not in given else given["unit"][1]
        value = (
            self._cells.plain_number(cell, name, own) if name == "coverage_factor" else self._cells.measured(cell, unit, f"/{name}", own)
        )
        faults += [replace(fault, line=line, column=name) for fault in own]
        return value

    def _place(self, line: int, given: Given, apart: bool, faults: list[Fault]) -> dict[str, Any]:
        place: dict[str, Any] = {name: given[name][1] for name in ("station", "axis", *(("instance",) if apart else ())) if name in given}
        for name, key in (("value", "value"), ("repeats", "values")):
            if name not in given:
                continue
            column, cell = given[name]
            unit = given["unit"][1] if "unit" in given else column.unit
            own: list[Fault] = []
            place[key] = self._cells.measured(cell, unit, "", own) if name == "value" else self._cells.repeats(cell, unit, own)
            faults += [replace(fault, pointer="", line=line, column=name) for fault in own]
        return place


def _same(a: Any, b: Any) -> bool:
    """Whether two cells say the same: 0.1 thou is 0.0001 in."""
    if isinstance(a, Quantity) and isinstance(b, Quantity):
        return a.unit.dimension == b.unit.dimension and a.canonical == b.canonical
    return bool(a is None or b is None or a == b)
