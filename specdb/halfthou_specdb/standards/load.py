"""Read the standard tables. A bad cell is refused with file, line, id and reason; one bad row does not hide the others."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import cache
from pathlib import Path

from ..errors import RecordError
from ..records import GRADES, SOURCED, Grade
from .cells import Cell, Row
from .layout import LAYOUTS, Layout

DATA = Path(__file__).parent / "data"
_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]{0,9})(?:\.[0-9]{1,9})?", re.ASCII)
_CELL = re.compile(r"(?P<number>[^~]*)(?:~(?P<key>[a-z]{1,3}))?", re.ASCII)
_GRADES: Mapping[str, Grade] = {grade: grade for grade in GRADES if grade not in ("owner", "common-practice")}

Provenance = tuple[Grade, tuple[str, ...], str]
Raw = tuple[int, dict[str, str]]


def read(name: str, root: Path = DATA) -> tuple[Row, ...]:
    """The rows of one table.

    Raises:
        RecordError: the first row that was refused.
        KeyError: no table has this name.
    """
    rows: list[Row] = []
    for item in read_each(LAYOUTS[name], provenance(root), root):
        if isinstance(item, RecordError):
            raise item
        rows.append(item)
    return tuple(rows)


@cache
def table(name: str) -> tuple[Row, ...]:
    """The rows of one of our own tables, read once.

    Raises:
        RecordError: the table may not be used.
    """
    return read(name)


def faults(known_works: frozenset[str] | None = None, root: Path = DATA) -> list[str]:
    """Every fault of every table as ``file:line: id: reason``; with ``known_works`` also works that nobody describes."""
    try:
        keys = provenance(root)
    except RecordError as error:
        return [str(error)]
    found = [str(item) for layout in LAYOUTS.values() for item in read_each(layout, keys, root) if isinstance(item, RecordError)]
    for (name, key), (_, works, _) in keys.items():
        found += [f"provenance.csv:1: {name} {key}: no work is called {work!r}" for work in works
                  if known_works is not None and work not in known_works]  # fmt: skip
    return found


def cited_works(root: Path = DATA) -> frozenset[str]:
    """Ids of every work that some cell cites."""
    return frozenset(work for _, works, _ in provenance(root).values() for work in works)


@cache
def locators(root: Path = DATA) -> Mapping[str, str]:
    """Where in each work the tables were read."""
    return {row["work"]: row["locator"] for _, row in _lines("locators.csv", {"work", "locator"}, root)}


@cache
def provenance(root: Path = DATA) -> Mapping[tuple[str, str], Provenance]:
    """Grade, works and note by table and key.

    Raises:
        RecordError: no such grade; a sourced grade without work and locator; a remembered figure with a work.
    """
    where, found = locators(root), {}
    for line, row in _lines("provenance.csv", {"table", "key", "grade", "works", "note"}, root):
        grade, works = _GRADES.get(row["grade"]), tuple(row["works"].split())
        reason = ""
        if grade is None:
            reason = f"no grade is called {row['grade']!r}; it may be {', '.join(_GRADES)}"
        elif grade in SOURCED and not works:
            reason = f"{grade} needs a work"
        elif grade in SOURCED and any(not where.get(work) for work in works):
            reason = f"{grade} needs a locator in locators.csv for {next(w for w in works if not where.get(w))}"
        elif grade == "from-memory" and works:
            reason = "a figure from memory names no work"
        elif row["table"] not in LAYOUTS:
            reason = f"no table is called {row['table']!r}"
        elif (row["table"], row["key"]) in found:
            reason = "the key stands twice"
        if reason or grade is None:
            raise RecordError("provenance.csv", line, f"{row['table']} {row['key']}", reason)
        found[row["table"], row["key"]] = (grade, works, row["note"])
    return found


def read_each(layout: Layout, keys: Mapping[tuple[str, str], Provenance], root: Path = DATA) -> Iterator[Row | RecordError]:
    """Each row of a table, or the refusal of it."""
    file = f"{layout.name}.csv"
    seen: dict[tuple[str, ...], int] = {}
    ends: dict[tuple[str, ...], Decimal] = {}
    try:
        lines = list(_lines(file, layout.columns, root))
    except RecordError as error:
        yield error
        return
    for line, raw in lines:
        name = " ".join(raw[column].partition("~")[0] for column in layout.names)
        key = tuple(raw[column] for column in layout.names)
        try:
            row = _row(layout, keys, line, raw)
            if key in seen:
                raise ValueError(f"stands already on line {seen[key]}")
            _sound(layout, row, ends)
        except ValueError as error:
            yield RecordError(file, line, name, str(error))
        else:
            seen[key] = line
            yield row


def _lines(file: str, columns: frozenset[str] | set[str], root: Path) -> Iterator[Raw]:
    try:
        with (root / file).open(encoding="utf-8", newline="") as handle:
            reader = csv.DictReader(handle, strict=True)
            if set(reader.fieldnames or ()) != columns or len(reader.fieldnames or ()) != len(columns):
                raise RecordError(file, 1, "(heading)", f"the columns are {', '.join(sorted(columns))}")
            for row in reader:
                if None in row or any(value is None for value in row.values()):
                    raise RecordError(file, reader.line_num, "(row)", f"a row has {len(columns)} columns")
                yield reader.line_num, row
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise RecordError(file, 1, "(file)", f"cannot be read: {error}") from error


def _row(layout: Layout, keys: Mapping[tuple[str, str], Provenance], line: int, raw: Mapping[str, str]) -> Row:
    words = {column: raw[column].strip() for column in layout.words}
    for column, word in words.items():
        if not word and column not in layout.optional:
            raise ValueError(f"{column} is empty")
    cells: dict[str, Cell] = {}
    for column, unit in layout.numbers.items():
        if raw[column]:
            cells[column] = _cell(layout.name, column, unit or words.get("unit", ""), raw[column], raw["by"], keys)
        elif column not in layout.optional:
            raise ValueError(f"{column} is empty")
    stated = keys.get((layout.name, raw["by"]))
    if stated is None:
        raise ValueError(f"by: no key {raw['by']!r} stands in provenance.csv")
    return Row(words, cells, line, stated)


def _cell(name: str, column: str, unit: str, text: str, by: str, keys: Mapping[tuple[str, str], Provenance]) -> Cell:
    match = _CELL.fullmatch(text)
    if match is None or not _NUMBER.fullmatch(match["number"]) or (match["number"][0] == "-" and not Decimal(match["number"])):
        raise ValueError(f"{column}: {text[:24]!r} is not a number, or a number, ~ and a key")
    found = keys.get((name, match["key"] or by))
    if found is None:
        raise ValueError(f"{column}: no key {match['key'] or by!r} stands in provenance.csv")
    return Cell(Decimal(match["number"]), unit, *found)


def _sound(layout: Layout, row: Row, ends: dict[tuple[str, ...], Decimal]) -> None:
    """What must hold in a row, and between it and the row before it."""
    for low, high in layout.ordered:
        if low in row.cells and high in row.cells and row.cells[low].value > row.cells[high].value:
            raise ValueError(f"{low} is above {high}")
    over, upto = layout.bands
    if over:
        if row.cells[over].value >= row.cells[upto].value:
            raise ValueError(f"{over} is not below {upto}")
        group = tuple(row.words[column] for column in layout.group)
        before = ends.get(group)
        ends[group] = row.cells[upto].value
        if before is not None and before != row.cells[over].value:
            raise ValueError(f"{over} does not follow {before}, where the row before it ends")
    if layout.closes:
        _closes(row)


def _closes(row: Row) -> None:
    hole, high, low = (row.cells[column].value for column in ("hole_high_thou", "shaft_high_thou", "shaft_low_thou"))
    tightest, loosest = row.cells["tightest_thou"].value, row.cells["loosest_thou"].value
    if hole <= 0:
        raise ValueError("hole_high_thou is not above zero")
    if -high != tightest:
        raise ValueError(f"tightest_thou is {tightest}, but a hole of 0 less a shaft of {high} is {-high}")
    if hole - low != loosest:
        raise ValueError(f"loosest_thou is {loosest}, but a hole of {hole} less a shaft of {low} is {hole - low}")
