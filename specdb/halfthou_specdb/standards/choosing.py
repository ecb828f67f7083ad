"""What the look-ups share: choosing rows by word, number or nearest size, and renaming columns for the answer."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ..errors import UnknownId
from ..quantity import Quantity, decimal_of, plain
from ..units import UNITS
from .cells import Cell, Row
from .load import table

MM, INCH = UNITS["mm"], UNITS["in"]


@dataclass(frozen=True, slots=True)
class Answer:
    """The rows that were asked for, and what to know about this choice of them."""

    rows: tuple[Row, ...]
    notes: tuple[str, ...] = ()


def rows_of(name: str, **columns: str) -> tuple[Row, ...]:
    """The rows of a data file under the names of an answer: ``answer_name="file_column"``, several with ``|`` between."""
    return tuple(renamed(row, **columns) for row in table(name))


def renamed(row: Row, **columns: str) -> Row:
    """A row with its numbers under other names; the first of several columns that is filled counts."""
    cells: dict[str, Cell] = {}
    for name, sources in columns.items():
        found = next((row.cells[source] for source in sources.split("|") if source in row.cells), None)
        if found is not None:
            cells[name] = found
    return Row(row.words, cells, row.line, row.stated)


def with_cells(row: Row, **cells: Cell | None) -> Row:
    """A row with more numbers."""
    return Row(row.words, dict(row.cells) | {name: cell for name, cell in cells.items() if cell is not None}, row.line, row.stated)


def by_word(rows: Iterable[Row], column: str, given: str, kind: str) -> tuple[Row, ...]:
    """Rows whose word is the one given, or holds it; all rows where none is given.

    Raises:
        UnknownId: no row has it; near matches and, where short, the whole list.
    """
    found = tuple(rows)
    if not given:
        return found
    wanted = _plain(given)
    exact = tuple(row for row in found if _plain(row.words[column]) == wanted)
    kept = exact or tuple(row for row in found if wanted in _plain(row.words[column]))
    if not kept:
        raise UnknownId(kind, given, dict.fromkeys(row.words[column] for row in found))
    return kept


def by_size(rows: Iterable[Row], column: str, given: Quantity | None) -> tuple[Row, ...]:
    """Rows whose number equals a size, where one is given; otherwise the next smaller and the next larger."""
    found = tuple(rows)
    if given is None:
        return found
    return nearest(found, lambda row: si(row.cells[column]), si_of(given))


def nearest(rows: Iterable[Row], key: Callable[[Row], Fraction], wanted: Fraction) -> tuple[Row, ...]:
    """The rows at a value, or those next below and next above it, in order."""
    ordered = sorted(rows, key=key)
    below = [row for row in ordered if key(row) <= wanted]
    above = [row for row in ordered if key(row) >= wanted]
    ends = ({key(below[-1])} if below else set()) | ({key(above[0])} if above else set())
    if wanted in ends:
        ends = {wanted}
    return tuple(row for row in ordered if key(row) in ends)


def in_step(rows: Sequence[Row], over: str, upto: str, wanted: Fraction) -> tuple[Row, ...]:
    """Rows over one number, up to and including another."""
    return tuple(row for row in rows if row.cells[over].exact < wanted <= row.cells[upto].exact)


def si(cell: Cell) -> Fraction:
    """A length of a table in metres."""
    return cell.exact * UNITS[cell.unit].factor


def si_of(given: Quantity) -> Fraction:
    """A length that was given, in metres.

    Raises:
        DimensionError: it is no length.
    """
    return given.to(UNITS["m"])


def shown(value: Fraction, digits: int = 6) -> str:
    """A number in a message."""
    return plain(decimal_of(value, digits))


def tidy(value: Fraction, digits: int = 6) -> Decimal:
    """A worked-out number for a cell, without an exponent."""
    found = decimal_of(value, digits)
    return found.quantize(Decimal(1)) if found == found.to_integral_value() else found


def _plain(text: str) -> str:
    return re.sub(r"[\s_-]+", " ", text.strip().casefold())
