"""Fits and standard tables: every number with its grade and works."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from ..quantities import Quantity, quantity_in_answer
from . import fields as f
from .table import raw_field


@dataclass(frozen=True, slots=True)
class Cell:
    """One number of a standard table. ``unit`` is empty for a bare number; ``works`` are ids."""

    value: Decimal
    unit: str = ""
    grade: str = ""
    works: tuple[str, ...] = ()
    note: str = ""
    what: str = ""
    part: str = ""

    @classmethod
    def from_json(cls, value: Any) -> Cell:
        """From one number of an answer."""
        raw = f.an_object(value, "a cell")
        number = raw.get("value")
        told = Decimal(number) if isinstance(number, (int, Decimal)) and not isinstance(number, bool) else Decimal("NaN")
        return cls(
            told, f.text(raw, "unit"), f.text(raw, "grade"), f.texts(raw, "works"), f.text(raw, "note"), f.text(raw, "what"), f.text(raw, "part")
        )

    @property
    def from_memory(self) -> bool:
        """True where the number is recalled and nobody has checked it."""
        return self.grade == "from-memory"

    def __str__(self) -> str:
        return f"{self.value:f} {self.unit}".rstrip()


@dataclass(frozen=True, slots=True)
class FitPart:
    """A hole or a shaft: its limits of size, and its deviations from the nominal size."""

    zone: str
    low: Quantity | None = None
    high: Quantity | None = None
    lower_deviation: Quantity | None = None
    upper_deviation: Quantity | None = None
    grade: str = ""

    @classmethod
    def from_json(cls, value: Any) -> FitPart:
        """From ``hole`` or ``shaft`` of a fit."""
        raw = f.an_object(value, "a part of a fit")
        return cls(
            f.needed(raw, "zone", "a part of a fit"),
            quantity_in_answer(raw.get("low")),
            quantity_in_answer(raw.get("high")),
            quantity_in_answer(raw.get("lower_deviation")),
            quantity_in_answer(raw.get("upper_deviation")),
            f.text(raw, "grade"),
        )


@dataclass(frozen=True, slots=True)
class FitAnswer:
    """A fit at a size. ``tightest`` and ``loosest`` are clearances; below zero is an interference."""

    designation: str
    kind: str
    hole: FitPart
    shaft: FitPart
    tightest: Quantity | None = None
    loosest: Quantity | None = None
    system: str = ""
    size: Quantity | None = None
    grade: str = ""
    from_memory: tuple[str, ...] = ()
    use: str = ""
    text: str = ""
    cells: tuple[Cell, ...] = ()
    notes: tuple[str, ...] = ()
    within: bool = True
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> FitAnswer:
        """From ``GET /v1/fits``, or from one item of the fits that give a clearance."""
        raw = f.an_object(value, "a fit")
        clearance = f.part(raw, "clearance")
        return cls(
            f.needed(raw, "designation", "a fit"),
            f.text(raw, "kind"),
            FitPart.from_json(raw.get("hole")),
            FitPart.from_json(raw.get("shaft")),
            quantity_in_answer(clearance.get("tightest")),
            quantity_in_answer(clearance.get("loosest")),
            f.text(raw, "system"),
            quantity_in_answer(raw.get("size")),
            f.text(raw, "grade"),
            f.texts(raw, "from_memory"),
            f.text(raw, "use"),
            f.text(raw, "text"),
            tuple(Cell.from_json(cell) for cell in f.parts(raw, "cells")),
            f.texts(raw, "notes"),
            raw.get("within") is not False,
            f.text(raw, "edition"),
            raw,
        )


@dataclass(frozen=True, slots=True)
class StandardRow:
    """One row of a standard table: its words and its numbers by column."""

    words: Mapping[str, str] = field(default_factory=dict, hash=False)
    numbers: Mapping[str, Cell] = field(default_factory=dict, hash=False)
    grade: str = ""

    @classmethod
    def from_json(cls, value: Any) -> StandardRow:
        """From one entry of ``rows``."""
        raw = f.an_object(value, "a row")
        numbers = {str(name): Cell.from_json(cell) for name, cell in f.part(raw, "numbers").items()}
        return cls(f.words(raw, "words"), numbers, f.text(raw, "grade"))


@dataclass(frozen=True, slots=True)
class StandardAnswer:
    """The rows of a standard table that answer the question, or in a list of tables the table without its rows."""

    id: str
    title: str = ""
    standard: str = ""
    rows: tuple[StandardRow, ...] = ()
    notes: tuple[str, ...] = ()
    parameters: tuple[str, ...] = ()
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> StandardAnswer:
        """From ``GET /v1/standards/{table}``, or from one item of ``GET /v1/standards``."""
        raw = f.an_object(value, "a standard table")
        return cls(
            f.needed(raw, "id", "a standard table"),
            f.text(raw, "title"),
            f.text(raw, "standard"),
            tuple(StandardRow.from_json(row) for row in f.parts(raw, "rows")),
            f.texts(raw, "notes"),
            tuple(f.text(entry, "name") for entry in f.parts(raw, "parameters")),
            f.text(raw, "edition"),
            raw,
        )
