"""Readings and surveys as CSV: one heading line of known columns, one reading, or one place of a survey, a line."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from typing import Any

from halfthou_specdb.errors import QuantityError
from halfthou_specdb.quantity import Quantity, checked_decimal, parse_quantity
from halfthou_specdb.table import Table

from ..bench.papers.csv_rows import unguarded
from .csv_comma import torn_number
from .csv_surveys import SURVEY_ONLY, Lines, SurveyRows
from .faults import Fault, FaultError, Near, of_quantity, shown
from .parse_fields import MOST_REPEATS
from .parse_reading import Read, ReadingReader, Refused
from .parse_survey import ReadSurvey, RefusedSurvey, SurveyReader
from .problems import Gathered, ProblemError, refuse
from .quantities import known_unit, read_unit
from .schemas.requests import OPEN
from .sheet_entries import read_all, told_apart, too_many

SIZES = (
    "value", "low", "high", "goes", "does_not_go", "standard_uncertainty", "expanded_uncertainty", "pooled_scatter", "shared_uncertainty", "new",
    "new_uncertainty",
)  # fmt: skip
"""Columns that hold a quantity in the unit of the reading."""
WARMTH = ("temperature", "instrument_temperature")
BOUNDS = {"fit_low": ("fit", "low"), "fit_high": ("fit", "high"), "wear_low": ("wear", "low"), "wear_high": ("wear", "high")}
"""Columns of the caller's own limit: a quantity in the unit of the reading, or the word for an open side."""
MEASURED = (*SIZES, *WARMTH, "repeats", *BOUNDS)
"""Columns that hold quantities; all but temperatures take the unit of the ``unit`` column."""
NUMBERS = ("coverage_factor", "degrees_of_freedom", "pooled_degrees_of_freedom")
PLACES = ("instance", "station", "axis")
COLUMNS = (
    "id", "characteristic", "value", "repeats", "low", "high", "goes", "does_not_go", "unit", "finding", "instrument", *PLACES, "state",
    *WARMTH, "material", "basis", "standard_uncertainty", "expanded_uncertainty", "coverage_factor", "degrees_of_freedom", "pooled_scatter",
    "pooled_degrees_of_freedom", "relative", "along", *BOUNDS, "confirmed", "note", "survey", *SURVEY_ONLY,
)  # fmt: skip
BETWEEN = "|"
"""Stands between the repeats of one cell."""
FLAGS = {"yes": True, "true": True, "no": False, "false": False}
_UNIT = re.compile(r"^[\s0-9.,+\-/eE\u2212\u2044]*")
_HEADING = re.compile(r"\s*([^()]*?)\s*(?:\(([^()]*)\))?\s*")


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name, its heading as written, the unit the heading carries."""

    name: str
    heading: str
    unit: str


@dataclass(frozen=True, slots=True)
class Rows:
    """The readings and surveys of a CSV text, in order, and where each stands in it."""

    entries: tuple[Read | Refused, ...]
    surveys: tuple[ReadSurvey | RefusedSurvey, ...]
    lines: Lines


def read_rows(table: Table, text: str, most: int) -> Rows:
    """Every reading and survey of a CSV text.

    Raises:
        ProblemError: not CSV, unknown columns, no readings, too many, ids used twice.
    """
    near = Near()
    rows: list[tuple[int, list[str]]] = []
    columns: tuple[Column, ...] | None = None
    for line, cells in _lines(text):
        if columns is None:
            columns = _columns(cells, line, near)
            continue
        too_many(len(rows) + 1, most)
        rows.append((line, [unguarded(cell) for cell in cells]))
    if not rows:
        detail = "the sheet holds no reading below its heading" if columns else "the sheet is empty"
        raise ProblemError("no-readings", detail, [Fault("no-readings", detail, line=1)])
    reader = _RowReader(table, near, columns or (), _delimiter(text) == ",")
    surveyed = SurveyRows(reader, SurveyReader(table, near))
    alone = [row for row in rows if not surveyed.takes(*row)] if "survey" in (c.name for c in columns or ()) else rows
    gathered = Gathered(in_body=True)
    entries = read_all(reader, alone, gathered)
    surveys, at = surveyed.read()
    told_apart(entries, surveys, gathered)
    if gathered.faults:
        where = [(f, f.pointer.split("/")) for f in gathered.faults]
        placed = [replace(f, line=at[int(n)].rows[0], column="survey") if kind == "surveys" else replace(f, line=alone[int(n)][0], column="id")
                  for f, (_, kind, n, _) in where]  # fmt: skip
        raise ProblemError("duplicate-id", faults=placed)
    return Rows(entries, surveys, Lines(tuple(line for line, _ in alone), at))


def plain_decimal(text: str) -> Decimal:
    """A plain number, written with a point.

    Raises:
        QuantityError: anything else.
    """
    try:
        return checked_decimal(Decimal(text) if text.isascii() and len(text) < 30 else Decimal("nan"))
    except InvalidOperation:
        return checked_decimal(Decimal("nan"))


def _delimiter(text: str) -> str:
    head = next((line for line in text.splitlines() if line.strip()), "")
    return next((d for d in ",;\t" if d in head), ",")


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Line number and cells of each line that is not blank. Commas, or semicolons or tabs where the heading has no comma."""
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True, skipinitialspace=True)
    begins = 1
    try:
        for cells in rows:
            if any(cell.strip() for cell in cells):
                yield begins, cells
            begins = rows.line_num + 1
    except csv.Error as error:
        detail = f"line {rows.line_num}: {error}"
        raise ProblemError("bad-csv", detail, [Fault("bad-csv", detail, line=rows.line_num)]) from None


def _columns(cells: list[str], line: int, near: Near) -> tuple[Column, ...]:
    columns: list[Column] = []
    faults: list[Fault] = []
    while cells and not cells[-1].strip():
        cells = cells[:-1]
    for heading in cells[:60]:
        match = _HEADING.fullmatch(heading[:200])
        name = (match[1] if match else heading).strip().lower().replace(" ", "_")
        unit = (match[2] or "").strip() if match else ""
        if name not in COLUMNS:
            unknown = near.unknown("bad-csv", "column", heading.strip()[:80], COLUMNS)
            faults.append(replace(unknown, line=line, column=heading.strip()[:80], allowed=COLUMNS))
        elif name in (c.name for c in columns):
            faults.append(Fault("bad-csv", f"the column {name} stands twice", line=line, column=name))
        elif unit and name not in MEASURED:
            faults.append(Fault("bad-csv", f"the column {name} holds no quantity, so its heading carries no unit", line=line, column=name))
        elif unit:
            try:
                read_unit(unit, near)
            except FaultError as error:
                faults.append(replace(error.fault, line=line, column=name))
        columns.append(Column(name, heading.strip(), unit))
    if not faults and not {"characteristic", "survey"} & {c.name for c in columns}:
        detail = "the heading has no column called characteristic, and none called survey"
        faults.append(Fault("bad-csv", detail, line=line, column="characteristic", allowed=COLUMNS))
    if faults:
        raise refuse(faults, in_body=True)
    return tuple(columns)


class _RowReader(ReadingReader):
    """Makes an object of each row, then reads it as any other reading; faults gain line and column."""

    def __init__(self, table: Table, near: Near, columns: tuple[Column, ...], commas: bool = True) -> None:
        super().__init__(table, near)
        self._columns, self._commas = columns, commas

    def read(self, raw: Any, default_id: str) -> Read | Refused:
        line, cells = raw
        before, torn = self._torn(cells)
        if torn is not None:
            return Refused(before.get("id") or default_id, before.get("characteristic", ""), "", (replace(torn, line=line),))
        faults: list[Fault] = []
        made = self._made_of(cells, faults)
        faults = self.with_units(made.get("characteristic", ""), faults, "{} {}")
        entry = super().read(made, default_id)
        if isinstance(entry, Refused):
            faults += [f for f in entry.faults if not any(f.pointer.startswith(g.pointer) for g in faults)]
        if not faults:
            return entry
        placed = tuple(replace(f, line=line, column=column_of(f.pointer)) for f in faults)
        if isinstance(entry, Refused):
            rest = entry.rest if entry.rest and self._stands(entry.rest, faults) else None
            return Refused(entry.id, entry.characteristic, entry.place, placed, rest)
        rest = entry if self._stands(entry, faults) else None
        return Refused(entry.reading.id, entry.reading.characteristic, str(entry.reading.place), placed, rest)

    def _stands(self, rest: Read, faults: list[Fault]) -> bool:
        """Whether what was read stands although the line is faulty; cells that may have slid along leave no number standing."""
        what = self.table.characteristics.get(rest.reading.characteristic)
        given = {name for name in ("finding", "relative") if getattr(rest.reading, name)}
        return what is not None and self.may_stop(what, given, faults)

    def _torn(self, cells: list[str]) -> tuple[dict[str, str], Fault | None]:
        """The fault of a decimal comma that tore a number in two, and the cells before it, which are where they belong."""
        names = [c.name for c in self._columns]
        said = [cell.strip()[:80] for cell in cells]
        what = self.table.characteristics.get(dict(zip(names, said, strict=False)).get("characteristic", ""))
        torn = torn_number(names, cells, MEASURED, NUMBERS, what.instances if what else ()) if self._commas else None
        if torn is None:
            return {}, None
        return dict(zip(names[: torn[0]], said, strict=False)), replace(torn[1], column=names[torn[0]])

    def given(self, cells: list[str], faults: list[Fault]) -> dict[str, tuple[Column, str]]:
        """The cells of a row that hold something, by column."""
        torn = self._torn(cells)[1]
        if torn is not None:
            faults.append(torn)
        elif any(cell.strip() for cell in cells[len(self._columns) :]):
            detail = f"the line has {len(cells)} cells under {len(self._columns)} headings; a comma in a cell needs quotes round it"
            faults.append(Fault("bad-csv", detail))
        return {c.name: (c, cell.strip()) for c, cell in zip(self._columns, cells, strict=False) if cell.strip()}

    def _made_of(self, cells: list[str], faults: list[Fault]) -> dict[str, Any]:
        given = self.given(cells, faults)
        unit = given["unit"][1] if "unit" in given else ""
        made: dict[str, Any] = {}
        for name, (column, cell) in given.items():
            if name in SURVEY_ONLY:
                faults.append(Fault("bad-csv", f"{name} belongs to a row of a survey: name the survey in the column survey", f"/{name}"))
            elif name in MEASURED:
                self._measurement(made, name, cell, unit if unit and name not in WARMTH else column.unit, faults)
            elif name in PLACES:
                made.setdefault("place", {})[name] = cell
            elif name == "confirmed":
                made[name] = self.yes_no(cell)
            elif name in NUMBERS:
                made[name] = self.plain_number(cell, name, faults)
            elif name != "unit":
                made[name] = cell
        self._pooled_of(made, faults)
        return made

    def _measurement(self, made: dict[str, Any], name: str, cell: str, default: str, faults: list[Fault]) -> None:
        if name in BOUNDS:
            part, side = BOUNDS[name]
            word = cell.lower().replace(" ", "_")
            made.setdefault("limit", {}).setdefault(part, {})[side] = (
                word if word in OPEN else self.measured(cell, default, f"/limit/{part}/{side}", faults)
            )
        elif name == "repeats":
            made["values"] = self.repeats(cell, default, faults)
        else:
            made[name] = self.measured(cell, default, f"/{name}", faults)

    def yes_no(self, cell: str) -> Any:
        """Yes or no; another word is left for its reader to refuse."""
        return FLAGS.get(cell.lower(), cell)

    def repeats(self, cell: str, default: str, faults: list[Fault]) -> list[Quantity | None]:
        """The repeats of one cell."""
        return [self.measured(one.strip(), default, "/values", faults) for one in cell.split(BETWEEN)[: MOST_REPEATS + 1]]

    def plain_number(self, cell: str, name: str, faults: list[Fault]) -> Decimal | None:
        """A number without a unit."""
        try:
            return plain_decimal(cell)
        except QuantityError as error:
            faults.append(Fault(error.code, f"{name} is {shown(cell)}; a plain number is wanted", f"/{name}"))
            return None

    def _pooled_of(self, made: dict[str, Any], faults: list[Fault]) -> None:
        """The scatter and its degrees of freedom stand in two cells and are one field."""
        scatter, dof = made.get("pooled_scatter"), made.pop("pooled_degrees_of_freedom", None)
        if scatter is not None:
            made["pooled_scatter"] = {"value": scatter.value, "unit": scatter.unit.token} | ({} if dof is None else {"degrees_of_freedom": dof})
        elif dof is not None and "pooled_scatter" not in made:
            faults.append(Fault("missing-field", "pooled_degrees_of_freedom goes with pooled_scatter", "/pooled_scatter"))

    def measured(self, cell: str, default: str, pointer: str, faults: list[Fault]) -> Quantity | None:
        """A quantity; ``default``: the unit of a cell without one."""
        try:
            if self.near.left <= 0 and not known_unit(_UNIT.sub("", cell) or default):
                raise FaultError(Fault("unknown-unit", f"the unit of {shown(cell)} is not on the list at /v1/units", pointer))
            return parse_quantity(cell, default or None)
        except FaultError as error:
            faults.append(error.fault)
        except QuantityError as error:
            self.near.left -= 1
            faults.append(of_quantity(error, pointer))
        return None


def column_of(pointer: str) -> str:
    """The column a field of a reading stands in, from its JSON pointer."""
    parts = [part for part in pointer.split("/") if part]
    if not parts:
        return ""
    if parts[0] == "place" and len(parts) > 1:
        return parts[1]
    if parts[0] == "limit":
        return f"{parts[1]}_{parts[2]}" if len(parts) > 2 else ""
    if parts[0] == "values":
        return "repeats"
    if parts[0] == "pooled_scatter" and parts[-1] == "degrees_of_freedom":
        return "pooled_degrees_of_freedom"
    return "unit" if parts[-1] == "unit" else parts[0]
