"""A CSV sheet as readings, for what CSV has no room for: facts, wishes, a letterhead, a second sheet beside it. Pure.

A CSV sheet alone is sent as it is, and the service reads it. Here the same columns are read by the same rules: a cell may carry its unit, or
the ``unit`` column, or the heading, in this order.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from typing import Any

from .errors import QuantityError, SheetError
from .quantities import parse
from .template import COLUMNS

WARMTH = ("temperature", "instrument_temperature")
BOUNDS = {"fit_low": ("fit", "low"), "fit_high": ("fit", "high"), "wear_low": ("wear", "low"), "wear_high": ("wear", "high")}
SIZES = ("value", "low", "high", "goes", "does_not_go", "standard_uncertainty", "expanded_uncertainty", "pooled_scatter")
MEASURED = (*SIZES, *WARMTH, "repeats", *BOUNDS)
NUMBERS = ("coverage_factor", "degrees_of_freedom", "pooled_degrees_of_freedom")
PLACES = ("instance", "station", "axis")
OPEN = ("unbounded", "none_on_file")
FLAGS = {"yes": True, "true": True, "no": False, "false": False}
_HEADING = re.compile(r"\s*([^()]*?)\s*(?:\(([^()]*)\))?\s*")

Column = tuple[str, str]
"""A column's name, and the unit its heading carries."""


def csv_readings(text: str, name: str = "the sheet") -> list[dict[str, Any]]:
    """The readings of a CSV sheet in the form of a JSON sheet.

    Raises:
        SheetError: no CSV, an unknown column, no reading; line and column are named.
        QuantityError: a cell that is no quantity; line and column are named.
    """
    columns: list[Column] = []
    readings: list[dict[str, Any]] = []
    for line, cells in _lines(text, name):
        if not columns:
            columns = _columns(cells, f"{name}, line {line}")
        elif any(cell.strip() for cell in cells[len(columns) :]):
            raise SheetError(f"{name}, line {line}: {len(cells)} cells under {len(columns)} headings; a comma in a cell needs quotes round it")
        else:
            readings.append(_reading(columns, cells, f"{name}, line {line}"))
    if not readings:
        raise SheetError(f"{name} holds no reading below its heading")
    return readings


def _lines(text: str, name: str) -> Iterator[tuple[int, list[str]]]:
    head = next((line for line in text.splitlines() if line.strip()), "")
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=next((d for d in ",;\t" if d in head), ","), strict=True, skipinitialspace=True)
    begins = 1
    try:
        for cells in rows:
            if any(cell.strip() for cell in cells):
                yield begins, cells
            begins = rows.line_num + 1
    except csv.Error as error:
        raise SheetError(f"{name}, line {rows.line_num}: {error}") from None


def _columns(cells: Sequence[str], where: str) -> list[Column]:
    found: list[Column] = []
    while cells and not cells[-1].strip():
        cells = cells[:-1]
    for heading in cells:
        match = _HEADING.fullmatch(heading)
        name, unit = (match[1], (match[2] or "").strip()) if match else (heading, "")
        name = name.strip().lower().replace(" ", "_")
        if name not in COLUMNS:
            raise SheetError(f"{where}: no column is called {heading.strip()[:80]!r}; halfthou sheet --template csv prints those there are")
        if name in (known for known, _ in found):
            raise SheetError(f"{where}: the column {name} stands twice")
        if unit and name not in MEASURED:
            raise SheetError(f"{where}: the column {name} holds no quantity, so its heading carries no unit")
        found.append((name, unit))
    if "characteristic" not in (name for name, _ in found):
        raise SheetError(f"{where}: the heading has no column called characteristic")
    return found


def _reading(columns: Sequence[Column], cells: Sequence[str], where: str) -> dict[str, Any]:
    given = {name: (unit, cell.strip()) for (name, unit), cell in zip(columns, cells, strict=False) if cell.strip()}
    own = given.pop("unit", ("", ""))[1]
    made: dict[str, Any] = {}
    for name, (unit, cell) in given.items():
        at = f"{where}, {name}"
        default = own if own and name not in WARMTH else unit
        if name in BOUNDS:
            part, side = BOUNDS[name]
            word = cell.lower().replace(" ", "_")
            made.setdefault("limit", {}).setdefault(part, {})[side] = word if word in OPEN else _quantity(cell, default, at)
        elif name == "repeats":
            made["values"] = [_quantity(one.strip(), default, at) for one in cell.split("|")]
        elif name in MEASURED:
            made[name] = _quantity(cell, default, at)
        elif name in PLACES:
            made.setdefault("place", {})[name] = cell
        elif name in NUMBERS:
            made[name] = _number(cell, at)
        else:
            made[name] = FLAGS.get(cell.lower(), cell) if name == "confirmed" else cell
    return _pooled(made)


def _pooled(made: dict[str, Any]) -> dict[str, Any]:
    """The scatter and its degrees of freedom stand in two cells and are one field."""
    dof = made.pop("pooled_degrees_of_freedom", None)
    if dof is not None:
        made["pooled_scatter"] = {**made.get("pooled_scatter", {}), "degrees_of_freedom": dof}
    return made


def _quantity(cell: str, default: str, where: str) -> Mapping[str, Any]:
    try:
        try:
            return parse(cell).to_json()
        except QuantityError as error:
            if error.code != "no-unit" or not default:
                raise
            return parse(f"{cell} {default}").to_json()
    except QuantityError as error:
        raise QuantityError(f"{where}: {error}", error.code) from None


def _number(cell: str, where: str) -> Decimal:
    try:
        return Decimal(cell)
    except InvalidOperation:
        raise SheetError(f"{where}: {cell[:40]!r} is no plain number") from None
