"""Guesses by power, the owner's overlay, and what changed between two editions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..quantities import Quantity, plain, quantity_in_answer
from . import fields as f
from .table import raw_field


@dataclass(frozen=True, slots=True)
class Guess:
    """A usual size: something to expect, never something to judge by. ``one_engine``: met on one engine only."""

    dimension: str
    name: str
    engine_class: str
    low: Quantity
    high: Quantity
    grade: str = ""
    note: str = ""
    one_engine: bool = False
    for_power: tuple[Quantity | None, Quantity | None] = (None, None)
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Guess:
        """From one item of ``/v1/typical-dimensions``.

        Raises:
            UnexpectedAnswer: no dimension, or ends that are no quantities.
        """
        raw = f.an_object(value, "a guess")
        band = f.part(raw, "for_power")
        return cls(
            f.needed(raw, "dimension", "a guess"), f.text(raw, "name"), f.text(raw, "engine_class"), f.a_quantity(raw, "low", "a guess"),
            f.a_quantity(raw, "high", "a guess"), f.text(raw, "grade"), f.text(raw, "note"), f.flag(raw, "one_engine"),
            (quantity_in_answer(band.get("low")), quantity_in_answer(band.get("high"))), raw,
        )  # fmt: skip

    def __str__(self) -> str:
        if self.low == self.high:
            return str(self.low)
        return f"{plain(self.low.value)} to {self.high}" if self.low.unit == self.high.unit else f"{self.low} to {self.high}"


@dataclass(frozen=True, slots=True)
class Guesses:
    """What is usual for a power. ``text`` says that all of it is a guess, and what else to know."""

    text: str
    power: Quantity | None
    items: tuple[Guess, ...]
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Guesses:
        """From ``/v1/typical-dimensions``."""
        raw = f.an_object(value, "an answer of guesses")
        items = tuple(Guess.from_json(item) for item in f.parts(raw, "items"))
        return cls(f.text(raw, "text"), quantity_in_answer(raw.get("power")), items, f.text(raw, "edition"), raw)


@dataclass(frozen=True, slots=True)
class OverlayFault:
    """One fault of an overlay: its line, the figure, what is wrong."""

    line: int
    id: str
    detail: str


@dataclass(frozen=True, slots=True)
class OverlayChange:
    """One figure of an overlay: whether it ``counts`` (``yes``, ``no``, ``where_tighter``), and the table's ``ours`` beside it."""

    id: str
    characteristic: str
    counts: str
    says: str
    yours: str
    ours: tuple[str, ...] = ()
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> OverlayChange:
        """From one entry of ``changes``."""
        raw = f.an_object(value, "a change by an overlay")
        ours = tuple(f"{f.text(m, 'limit_id')}: {f.text(m, 'says')}" for m in f.parts(raw, "ours"))
        return cls(f.needed(raw, "id", "a change by an overlay"), f.text(raw, "characteristic"), f.text(raw, "counts"), f.text(raw, "says"),
                   f.text(raw, "yours"), ours, raw)  # fmt: skip


@dataclass(frozen=True, slots=True)
class OverlayCheck:
    """Whether an overlay can be used; its faults, or what it would change."""

    ok: bool
    text: str
    faults: tuple[OverlayFault, ...] = ()
    changes: tuple[OverlayChange, ...] = ()
    engine: str = ""
    title: str = ""
    edition: str = ""
    tools: tuple[str, ...] = ()
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> OverlayCheck:
        """From ``/v1/overlays/check``."""
        raw = f.an_object(value, "the check of an overlay")
        faults = tuple(OverlayFault(f.count(item, "line"), f.text(item, "id"), f.text(item, "detail")) for item in f.parts(raw, "items"))
        changes = tuple(OverlayChange.from_json(item) for item in f.parts(raw, "changes"))
        tools = tuple(f"{f.text(tool, 'id')}: {f.text(tool, 'name')}" + (", in place of ours" if f.flag(tool, "takes_place") else "")
                      for tool in f.parts(raw, "tools"))  # fmt: skip
        return cls(f.flag(raw, "ok"), f.text(raw, "text"), faults, changes, f.text(raw, "engine"), f.text(raw, "title"), f.text(raw, "edition"),
                   tools, raw)  # fmt: skip


@dataclass(frozen=True, slots=True)
class OverlayInUse:
    """The overlay a service answers with: bound to one ``engine``."""

    engine: str
    title: str
    digest: str
    figures: int
    tools: int = 0


@dataclass(frozen=True, slots=True)
class EditionChange:
    """One thing that differs between two editions; ``number`` where a verdict could change by it."""

    record: str
    id: str
    field: str
    old: str
    new: str
    number: bool
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> EditionChange:
        """From one item of ``/v1/editions/{old}/diff/{new}``."""
        raw = f.an_object(value, "a change of edition")
        return cls(f.text(raw, "record"), f.needed(raw, "id", "a change of edition"), f.text(raw, "field"), f.text(raw, "old"),
                   f.text(raw, "new"), f.flag(raw, "number"), raw)  # fmt: skip
