"""The report of finished sizes as CSV: written from an order with empty figures, read back when it is filled."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from halfthou_specdb.errors import QuantityError, SpecdbError
from halfthou_specdb.quantity import Quantity, parse_quantity, plain
from halfthou_specdb.units import UNITS

from .back_lines import BackLine, Figure, line_fault, unit_of
from .csv_rows import CsvProblem, rows_under

COLUMNS = ("part", "what", "station", "axis", "ordered_low", "ordered_high", "unit", "reported", "reported_uncertainty", "reported_tool",
           "measured", "measured_uncertainty", "measured_tool")  # fmt: skip
MOST_LINES = 5000


def rows(lines: Sequence[BackLine]) -> list[list[str]]:
    """The form as rows, heading first. An uncertainty is an expanded one (twice the standard); it may be left empty."""
    found = [list(COLUMNS)]
    for line in lines:
        unit = next((q.unit.token for q in (line.low, line.high) if q is not None), line.unit or "in")
        ends = ["" if q is None else plain(q.value) for q in (line.low, line.high)]
        found.append([line.part, line.what, line.station, line.axis, *ends, unit, *_cells(line.reported), *_cells(line.measured)])
    return found


def _cells(figure: Figure) -> list[str]:
    if figure.value is None:
        return [figure.words, "", figure.instrument]
    u = "" if figure.standard_uncertainty is None else f"{2 * figure.standard_uncertainty.value:f} {figure.standard_uncertainty.unit.token}"
    return [str(figure.value), u, figure.instrument]


def read(text: str) -> tuple[BackLine, ...]:
    """The lines of a filled report.

    A figure without a unit takes that of the ``unit`` column. Words in place of a figure are kept as words.

    Raises:
        CsvProblem: unknown columns, a figure that is neither a number nor words, too many lines.
    """
    found: list[BackLine] = []
    for number, cells in rows_under(text, COLUMNS, "what"):
        if len(found) >= MOST_LINES:
            raise CsvProblem(number, "", f"a report may have at most {MOST_LINES} lines")
        found.append(_line(cells, number))
        fault = line_fault(found[-1])
        if fault is not None:
            raise CsvProblem(number, *fault)
    return tuple(found)


def _line(cells: Mapping[str, str], number: int) -> BackLine:
    own = unit_of(cells.get("part", ""), cells["what"])
    unit = cells.get("unit", "") or own or "in"
    kept = own or ("" if unit not in UNITS or UNITS[unit].dimension == "length" else unit)
    low, high = (_quantity(cells.get(name, ""), unit, number, name) for name in ("ordered_low", "ordered_high"))
    return BackLine(cells.get("part", ""), cells["what"], cells.get("station", ""), cells.get("axis", ""), low, high,
                    _figure(cells, "reported", unit, number), _figure(cells, "measured", unit, number), kept)  # fmt: skip


def _figure(cells: Mapping[str, str], who: str, unit: str, number: int) -> Figure:
    given, tool = cells.get(who, ""), cells.get(f"{who}_tool", "")
    if not given:
        return Figure(instrument=tool)
    if not any(c.isdigit() for c in given):
        return Figure(words=given[:120], instrument=tool)
    value = _quantity(given, unit, number, who)
    expanded = _quantity(cells.get(f"{who}_uncertainty", ""), unit, number, f"{who}_uncertainty")
    if expanded is not None and expanded.exact <= 0:
        raise CsvProblem(number, f"{who}_uncertainty", "a doubt is above zero; every tool has some")
    standard = None if expanded is None else Quantity(expanded.value / 2, expanded.unit, expanded.exact / 2)
    return Figure(value, standard, tool)


def _quantity(cell: str, unit: str, number: int, column: str) -> Quantity | None:
    if not cell:
        return None
    try:
        return parse_quantity(cell, unit)
    except (QuantityError, SpecdbError) as error:
        raise CsvProblem(number, column, str(error)) from None
