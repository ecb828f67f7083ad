"""Paper sheets of one engine: every limit it has, what to write down before anything is turned, and that form filled in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from ..errors import UnexpectedAnswer
from ..quantities import Quantity
from . import fields as f
from .limits import Interval
from .table import Caution, raw_field


@dataclass(frozen=True, slots=True)
class LimitsLine:
    """One row of the limits sheet. ``new`` and ``stop`` are figures as printed, each with whose it is; ``guessed``: sizes not measured."""

    characteristic: str
    name: str
    stage: str = ""
    kind: str = ""
    where: tuple[str, ...] = ()
    new: str = ""
    new_grade: str = ""
    stop: str = ""
    stop_grade: str = ""
    fit: Interval | None = None
    wear: Interval | None = None
    tool: str = ""
    how: str = ""
    unit: str = ""
    counted: str = ""
    needs: str = ""
    guessed: tuple[str, ...] = ()
    start_critical: bool = False
    limit_id: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> LimitsLine:
        """From one of ``lines`` of a page."""
        raw = f.an_object(value, "a line of the limits sheet")
        new, stop = f.part(raw, "new"), f.part(raw, "stop")
        fit, wear = (Interval.from_json(raw[key]) if isinstance(raw.get(key), Mapping) else None for key in ("fit", "wear"))
        return cls(f.needed(raw, "characteristic", "a line of the limits sheet"), f.text(raw, "name"), f.text(raw, "stage"), f.text(raw, "kind"),
                   f.texts(raw, "where"), f.text(new, "text"), f.text(new, "grade"), f.text(stop, "text"), f.text(stop, "grade"), fit, wear,
                   f.text(raw, "tool"), f.text(raw, "how"), f.text(raw, "unit"), f.text(raw, "counted"), f.text(raw, "needs"),
                   f.texts(raw, "guessed"), f.flag(raw, "start_critical"), f.text(raw, "limit_id"), raw)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Look:
    """A thing told in words: the words allowed, best first, and those of them that stop the engine."""

    characteristic: str
    name: str
    where: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    stop_words: tuple[str, ...] = ()
    how: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Look:
        """From one of ``looks`` of a page, or of ``findings`` of the as-found form."""
        raw = f.an_object(value, "a thing to look at")
        told = f.parts(raw, "words")
        words = tuple(f.text(word, "word") for word in told) or f.texts(raw, "words")
        stops = tuple(f.text(word, "word") for word in told if f.flag(word, "stops_engine"))
        return cls(f.needed(raw, "characteristic", "a thing to look at"), f.text(raw, "name"), f.texts(raw, "where"), words, stops,
                   f.text(raw, "how"), raw)  # fmt: skip


@dataclass(frozen=True, slots=True)
class LimitsPage:
    """One assembly of the limits sheet."""

    assembly: str
    name: str
    red_flags: tuple[str, ...] = ()
    lines: tuple[LimitsLine, ...] = ()
    looks: tuple[Look, ...] = ()
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> LimitsPage:
        """From one of ``pages``."""
        raw = f.an_object(value, "a page of the limits sheet")
        return cls(f.text(raw, "assembly"), f.text(raw, "name"), f.texts(raw, "red_flags"),
                   tuple(LimitsLine.from_json(line) for line in f.parts(raw, "lines")), tuple(Look.from_json(look) for look in f.parts(raw, "looks")),
                   raw)  # fmt: skip


@dataclass(frozen=True, slots=True)
class SizeGuess:
    """A size nobody stated, taken from what such engines usually have; no verdict rests on it."""

    dimension: str
    taken: str = ""
    usual: str = ""
    grade: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class LimitsSheet:
    """Every limit that applies to one engine, by assembly in the order it comes apart. ``sizes`` and figures are told as printed."""

    pages: tuple[LimitsPage, ...]
    engine_id: str = ""
    engine_class: str = ""
    use: str = ""
    sizes: Mapping[str, str] = field(default_factory=dict, hash=False)
    guesses: tuple[SizeGuess, ...] = ()
    grades: Mapping[str, str] = field(default_factory=dict, hash=False)
    cautions: tuple[Caution, ...] = ()
    works: Mapping[str, str] = field(default_factory=dict, hash=False)
    units: str = ""
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> LimitsSheet:
        """From ``POST /v1/limits-sheets``.

        Raises:
            UnexpectedAnswer: it has no pages.
        """
        raw = f.an_object(value, "the limits sheet")
        if not isinstance(raw.get("pages"), list):
            raise UnexpectedAnswer("the limits sheet has no 'pages'")
        engine = f.part(raw, "engine")
        guesses = tuple(SizeGuess(f.text(g, "dimension"), f.text(g, "taken"), f.text(g, "usual"), f.text(g, "grade"), f.text(g, "note"))
                        for g in f.parts(raw, "guesses"))  # fmt: skip
        works = {f.text(work, "id"): f.text(work, "citation") for work in f.parts(raw, "works")}
        return cls(tuple(LimitsPage.from_json(page) for page in f.parts(raw, "pages")), f.text(engine, "id"), f.text(engine, "engine_class"),
                   f.text(engine, "use"), f.words(engine, "sizes"), guesses, f.words(raw, "grades"),
                   tuple(Caution.from_json(caution) for caution in f.parts(raw, "cautions")), works, f.text(raw, "units"), f.text(raw, "edition"),
                   raw)  # fmt: skip


@dataclass(frozen=True, slots=True)
class ToRead:
    """A size or force to read before it is disturbed. ``relative``: ``before`` and ``after``, where it needs its side of a dead centre."""

    characteristic: str
    name: str
    where: tuple[str, ...] = ()
    unit: str = ""
    tool: str = ""
    how: str = ""
    instrument: str = ""
    relative: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark to make or a position to write down; ``box`` is what is written."""

    id: str
    says: str
    box: str = ""


@dataclass(frozen=True, slots=True)
class AsFoundSection:
    """One assembly of the as-found form. ``shims``: characteristic and side of each pack, a box for each of ``leaves``."""

    assembly: str
    name: str
    shims: tuple[tuple[str, str], ...] = ()
    leaves: int = 0
    marks: tuple[Mark, ...] = ()
    findings: tuple[Look, ...] = ()
    readings: tuple[ToRead, ...] = ()

    @classmethod
    def from_json(cls, value: Any) -> AsFoundSection:
        """From one of ``sections``."""
        raw = f.an_object(value, "a section of the form")
        packs = f.parts(raw, "shims")
        leaves = max((len(pack["leaves"]) for pack in packs if isinstance(pack.get("leaves"), list)), default=0)
        marks = tuple(Mark(f.text(m, "id"), f.text(m, "says"), f.text(m, "box")) for m in f.parts(raw, "marks"))
        reads = tuple(ToRead(f.text(r, "characteristic"), f.text(r, "name"), f.texts(r, "where"), f.text(r, "unit"), f.text(r, "tool"),
                             f.text(r, "how"), f.text(r, "instrument"), f.texts(r, "relative")) for r in f.parts(raw, "readings"))  # fmt: skip
        return cls(f.text(raw, "assembly"), f.text(raw, "name"), tuple((f.text(p, "characteristic"), f.text(p, "side")) for p in packs), leaves,
                   marks, tuple(Look.from_json(look) for look in f.parts(raw, "findings")), reads)  # fmt: skip


@dataclass(frozen=True, slots=True)
class AsFoundSheet:
    """What to write down before anything is turned, by assembly. As CSV it is the form to fill."""

    sections: tuple[AsFoundSection, ...]
    engine_id: str = ""
    engine_class: str = ""
    units: str = ""
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> AsFoundSheet:
        """From ``POST /v1/as-found-sheets``.

        Raises:
            UnexpectedAnswer: it has no sections.
        """
        raw = f.an_object(value, "the as-found form")
        if not isinstance(raw.get("sections"), list):
            raise UnexpectedAnswer("the as-found form has no 'sections'")
        engine = f.part(raw, "engine")
        return cls(tuple(AsFoundSection.from_json(section) for section in f.parts(raw, "sections")), f.text(engine, "id"),
                   f.text(engine, "engine_class"), f.text(raw, "units"), f.text(raw, "edition"), raw)  # fmt: skip


@dataclass(frozen=True, slots=True)
class ShimPack:
    """The leaves of one side of one cap, added up."""

    characteristic: str
    instance: str
    value: Quantity


@dataclass(frozen=True, slots=True)
class FilledSheet:
    """An as-found form that came back. ``readings`` and ``facts`` go into a sheet as they stand; ``empty`` names the boxes left empty.

    ``not_fitted``: what the form says the engine has not; like an empty box it counts as not looked at.
    """

    readings: tuple[Mapping[str, Any], ...] = field(default=(), hash=False)
    facts: Mapping[str, Any] = field(default_factory=dict, hash=False)
    marks: Mapping[str, str] = field(default_factory=dict, hash=False)
    packs: tuple[ShimPack, ...] = ()
    empty: tuple[str, ...] = ()
    not_fitted: tuple[str, ...] = ()
    raw: Mapping[str, Any] = raw_field()

    def sheet(self, engine: Mapping[str, Any] | None = None) -> dict[str, Any]:
        """A sheet of this engine with these readings and facts, for :meth:`Client.judge_sheet` and the papers."""
        facts = {name: told for name, told in self.facts.items() if told}
        return {**({"engine": dict(engine)} if engine else {}), "readings": list(self.readings), **({"facts": facts} if facts else {})}

    @classmethod
    def from_json(cls, value: Any) -> FilledSheet:
        """From ``POST /v1/as-found-sheets/filled``.

        Raises:
            UnexpectedAnswer: it has no readings.
        """
        raw = f.an_object(value, "the filled form")
        if not isinstance(raw.get("readings"), list):
            raise UnexpectedAnswer("the filled form has no 'readings'")
        packs = tuple(ShimPack(f.text(pack, "characteristic"), f.text(pack, "instance"), f.a_quantity(pack, "value", "a shim pack"))
                      for pack in f.parts(raw, "packs"))  # fmt: skip
        return cls(f.parts(raw, "readings"), f.part(raw, "facts"), f.words(raw, "marks"), packs, f.texts(raw, "empty"),
                   f.texts(raw, "not_fitted"), raw)  # fmt: skip
