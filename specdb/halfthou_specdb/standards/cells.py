"""Cells of the standard tables: a number with its unit, grade and works, and the row it stands in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ..records import Grade, weakest


@dataclass(frozen=True, slots=True)
class Cell:
    """One number of a table. ``works`` are where it was read, or what a derived one was worked out from."""

    value: Decimal
    unit: str
    grade: Grade
    works: tuple[str, ...]
    note: str = ""

    @property
    def exact(self) -> Fraction:
        """The number as a fraction."""
        return Fraction(self.value)


@dataclass(frozen=True, slots=True)
class Used:
    """A cell and what it was used for, such as ``IT7`` or ``deviation of g``."""

    what: str
    cell: Cell


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its words and its numbers by column, and the line of the file it stands on (0: worked out)."""

    words: Mapping[str, str]
    cells: Mapping[str, Cell]
    line: int = 0
    stated: tuple[Grade, tuple[str, ...], str] = ("derived", (), "")
    """Grade, works and note of the row as a whole, for its words."""


def worked_out(value: Decimal, unit: str, parents: tuple[Cell, ...], note: str) -> Cell:
    """A cell worked out from others: ``derived``, or weaker where a parent is."""
    works = tuple(dict.fromkeys(work for parent in parents for work in parent.works))
    grade = weakest(["derived", *(parent.grade for parent in parents)])
    return Cell(value, unit, grade, () if grade == "from-memory" else works, note)
