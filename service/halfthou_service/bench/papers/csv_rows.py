"""Forms that come back as CSV: rows under known columns, with the line each begins on. Nothing in them is dropped without a word."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

RUNS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""First characters that make a spreadsheet run a cell; a cell of ours that begins so is written behind an apostrophe."""


class CsvProblem(ValueError):
    """A form that cannot be read; the message names line and column."""

    def __init__(self, line: int, column: str, detail: str) -> None:
        super().__init__(f"line {line}, {column}: {detail}" if column and line else f"line {line}: {detail}" if line else detail)
        self.line, self.column, self.detail = line, column, detail


def rows_under(text: str, columns: Sequence[str], wanted: str) -> Iterator[tuple[int, dict[str, str]]]:
    """Line and cells by column of each row that is not blank; commas between, or semicolons or tabs where the heading has no comma.

    Args:
        columns: those the form may have, in any order.
        wanted: the one it cannot do without.

    Raises:
        CsvProblem: no heading, an unknown or repeated column, ``wanted`` missing, more cells than headings, text that is not CSV.
    """
    text = text.removeprefix("\ufeff")
    if "\x00" in text:
        raise CsvProblem(0, "", "the form holds a NUL character")
    head = next((line for line in text.splitlines() if line.strip()), "")
    delimiter = next((d for d in ",;\t" if d in head), ",")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True, skipinitialspace=True)
    heading: list[str] = []
    begins = 1
    try:
        for cells in reader:
            line, begins = begins, reader.line_num + 1
            if not any(c.strip() for c in cells):
                continue
            if not heading:
                heading = _heading(cells, columns, wanted, line)
                continue
            if len(cells) > len(heading):
                says = "a number is written with a point, and any other comma in a cell needs quotes round it"
                raise CsvProblem(line, "", f"{len(cells)} cells under {len(heading)} headings: {says}")
            yield line, {name: unguarded(c) for name, c in zip(heading, cells, strict=False) if name}
    except csv.Error as error:
        raise CsvProblem(reader.line_num, "", str(error)) from None
    if not heading:
        raise CsvProblem(0, wanted, f"the heading has no column called {wanted}: the form is empty")


def _heading(cells: Sequence[str], columns: Sequence[str], wanted: str, line: int) -> list[str]:
    heading = [c.strip().lower() for c in cells]
    for name in heading:
        if name and name not in columns:
            raise CsvProblem(line, name[:40], f"no such column; there are {', '.join(columns)}")
        if name and heading.count(name) > 1:
            raise CsvProblem(line, name, "the column stands twice")
    if wanted not in heading:
        raise CsvProblem(line, wanted, f"the heading has no column called {wanted}")
    return heading


def unguarded(cell: str) -> str:
    """A cell without blanks round it, and without the apostrophe that keeps a spreadsheet from running it.

    >>> unguarded("'-"), unguarded("' =1"), unguarded("'tis cracked"), unguarded("-0.5")
    ('-', '=1', "'tis cracked", '-0.5')
    """
    cell = cell.strip()
    rest = cell[1:]
    guarded = cell[:1] == "'" and (rest.startswith(RUNS) or rest.strip(" \u00a0").startswith(RUNS))
    return rest.strip() if guarded else cell
