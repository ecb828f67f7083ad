"""Records of the table: characteristics, instruments, engine classes, works, cautions, materials, units, editions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from . import fields as f


def raw_field() -> Any:
    """The dataclass field that keeps the whole decoded body; it takes no part in repr, comparison or hash."""
    return field(default_factory=dict, repr=False, compare=False, hash=False)


@dataclass(frozen=True, slots=True)
class Characteristic:
    """A measurable or observable thing with one definition. Search answers may fill only the first fields.

    ``sign``: ``before`` or ``after``, whichever counts upward, where it is told from a dead centre.
    """

    id: str
    name: str
    component: str
    synonyms: tuple[str, ...] = ()
    definition: str = ""
    how_to_measure: str = ""
    instruments: tuple[str, ...] = ()
    usual_instrument: str = ""
    scales_with: tuple[str, ...] = ()
    value_kind: str = ""
    unit: str = ""
    basis: str = ""
    consequence: str = ""
    mistakes: tuple[str, ...] = ()
    stage: str = ""
    start_critical: bool = False
    applies_if: tuple[str, ...] = ()
    instances: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    sign: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Characteristic:
        """From ``/v1/characteristics/{id}`` or one item of the list."""
        raw = f.an_object(value, "a characteristic")
        found = tuple(f.text(word, "word") for word in f.parts(raw, "words")) or f.texts(raw, "words")
        return cls(
            f.needed(raw, "id", "a characteristic"),
            f.text(raw, "name"),
            f.text(raw, "component"),
            f.texts(raw, "synonyms"),
            f.text(raw, "definition"),
            f.text(raw, "how_to_measure"),
            f.texts(raw, "instruments"),
            f.text(raw, "usual_instrument"),
            f.texts(raw, "scales_with"),
            f.text(raw, "value_kind"),
            f.text(raw, "unit"),
            f.text(raw, "basis"),
            f.text(raw, "consequence"),
            f.texts(raw, "mistakes"),
            f.text(raw, "stage"),
            f.flag(raw, "start_critical"),
            f.texts(raw, "applies_if"),
            f.texts(raw, "instances"),
            found,
            f.text(raw, "sign"),
            raw,
        )


@dataclass(frozen=True, slots=True)
class Instrument:
    """A measuring tool; its variants, with ranges and uncertainty parts, are in ``raw``."""

    id: str
    name: str
    measures: str = ""
    cannot_see: str = ""
    default_variant: str = ""
    variants: tuple[str, ...] = ()
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Instrument:
        """From one item of ``/v1/instruments``."""
        raw = f.an_object(value, "an instrument")
        return cls(
            f.needed(raw, "id", "an instrument"),
            f.text(raw, "name"),
            f.text(raw, "measures"),
            f.text(raw, "cannot_see"),
            f.text(raw, "default_variant"),
            f.texts(raw, "variants"),
            raw,
        )


@dataclass(frozen=True, slots=True)
class EngineClass:
    """A kind of engine. ``kind`` is ``class``, or ``kin`` for engines that evidence was written for."""

    id: str
    name: str
    kind: str = ""
    description: str = ""
    implies: tuple[str, ...] = ()
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> EngineClass:
        """From one item of ``/v1/engine-classes``."""
        raw = f.an_object(value, "an engine class")
        return cls(
            f.needed(raw, "id", "an engine class"),
            f.text(raw, "name"),
            f.text(raw, "kind"),
            f.text(raw, "description"),
            f.texts(raw, "implies"),
            raw,
        )


@dataclass(frozen=True, slots=True)
class Dimension:
    """A nominal size of an engine, as ``dimensions`` name it."""

    id: str
    name: str
    unit: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Dimension:
        """From one item of ``/v1/dimensions``."""
        raw = f.an_object(value, "a dimension")
        return cls(f.needed(raw, "id", "a dimension"), f.text(raw, "name"), f.text(raw, "unit"), raw)


@dataclass(frozen=True, slots=True)
class Feature:
    """What an engine has, as ``features`` name it; ``not:`` before the id states that it has not."""

    id: str
    group: str = ""
    says: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Feature:
        """From one item of ``/v1/features``."""
        raw = f.an_object(value, "a feature")
        return cls(f.needed(raw, "id", "a feature"), f.text(raw, "group"), f.text(raw, "says"), raw)


@dataclass(frozen=True, slots=True)
class Work:
    """A publication that evidence comes from."""

    id: str
    title: str
    citation: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Work:
        """From one item of ``/v1/works``."""
        raw = f.an_object(value, "a work")
        return cls(f.needed(raw, "id", "a work"), f.text(raw, "title"), f.text(raw, "citation"), raw)


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard and what to do about it."""

    id: str
    hazard: str = ""
    says: str = ""
    when: str = ""
    grade: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Caution:
        """From ``/v1/cautions`` or from another answer, where it may be no more than an id."""
        if isinstance(value, str):
            return cls(value)
        raw = f.an_object(value, "a caution")
        return cls(
            f.needed(raw, "id", "a caution"),
            f.text(raw, "hazard"),
            f.text(raw, "says"),
            f.text(raw, "when"),
            f.text(raw, "grade"),
            raw,
        )


@dataclass(frozen=True, slots=True)
class Material:
    """A material and its numbers, which are in ``raw``."""

    id: str
    name: str
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Material:
        """From one item of ``/v1/materials``."""
        raw = f.an_object(value, "a material")
        return cls(f.needed(raw, "id", "a material"), f.text(raw, "name"), raw)


@dataclass(frozen=True, slots=True)
class UnitRecord:
    """A unit the service takes: token, dimension, UCUM code, pint name, symbol; the exact factor is in ``raw``."""

    token: str
    dimension: str
    ucum: str = ""
    pint: str = ""
    symbol: str = ""
    aliases: tuple[str, ...] = ()
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> UnitRecord:
        """From one item of ``/v1/units``."""
        raw = f.an_object(value, "a unit")
        token = f.text(raw, "token") or f.needed(raw, "id", "a unit")
        return cls(
            token,
            f.text(raw, "dimension"),
            f.text(raw, "ucum"),
            f.text(raw, "pint"),
            f.text(raw, "symbol"),
            f.texts(raw, "aliases"),
            raw,
        )


@dataclass(frozen=True, slots=True)
class Edition:
    """One version of the data."""

    id: str
    current: bool = False
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Edition:
        """From one item of ``/v1/editions``."""
        if isinstance(value, str):
            return cls(value)
        raw = f.an_object(value, "an edition")
        return cls(f.text(raw, "id") or f.needed(raw, "edition", "an edition"), f.flag(raw, "current"), raw)
