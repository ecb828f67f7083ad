"""Whose the figures of a sheet are: the rule in words, the works it rests on, and why this line was drawn. For the back of the page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Protocol

from halfthou_specdb.records import Evidence, Limit
from halfthou_specdb.resolve import Resolved
from halfthou_specdb.rules import Bound, Open, in_words
from halfthou_specdb.standing import parent
from halfthou_specdb.table import Table
from halfthou_specdb.units import Unit


@dataclass(frozen=True, slots=True)
class Cited:
    """One place in a work."""

    id: str
    locator: str


@dataclass(frozen=True, slots=True)
class WorkCited:
    """A publication and its short name on the sheet."""

    id: str
    citation: str


@dataclass(frozen=True, slots=True)
class Source:
    """Where one row comes from. ``new`` and ``stop``: whose each figure is."""

    name: str
    rule: str
    new: str
    stop: str
    reasoning: str
    works: tuple[Cited, ...]


class _Sourced(Protocol):
    @property
    def sources(self) -> tuple[Source, ...]: ...


def source_of(table: Table, resolved: Resolved, name: str, new: str, stop: str) -> Source:
    """The source of one row; of a row without a limit, what was looked for and what to do instead."""
    limit = resolved.limit
    if limit is None:
        absence = resolved.absence
        told = "Nobody on file gives a limit for this engine."
        if absence is not None:
            told = f"{absence.reason.rstrip('.')}. Instead: {absence.instead.rstrip('.')}."
        return Source(name, "none known", new, stop, told, ())
    parents = parents_of(table, limit)
    cited = dict.fromkeys(Cited(e.work, e.locator) for e in parents if e.work)
    return Source(name, rule_text(limit), new, stop, limit.reasoning, tuple(cited))


def parents_of(table: Table, limit: Limit) -> tuple[Evidence, ...]:
    """The statements an adopted limit rests on, each once; none for the owner's own figure."""
    if limit.owner:
        return ()
    found = [parent(table, limit, ref)[0] for derivation in limit.derivation.values() for ref in derivation.parents]
    return tuple({e.id: e for e in found}.values())


def rule_text(limit: Limit) -> str:
    """Both intervals as rules, in words."""
    first = {"guide": "usual", "safety": "care from"}.get(limit.kind, "new")
    fit = _pair(limit.fit_low, limit.fit_high, limit.unit)
    parts = [f"{first}: {fit}"] if fit else []
    for side, word in (("low", "under"), ("high", "over")):
        bound = limit.bound(f"wear_{side}")
        if not isinstance(bound, Open):
            parts.append(f"stop {word} {in_words(bound, limit.unit)}")
    return "; ".join(parts) or "none known"


def _pair(low: Bound, high: Bound, unit: Unit) -> str:
    if low == high and not isinstance(low, Open):
        return in_words(low, unit)
    if isinstance(low, Open):
        return "" if isinstance(high, Open) else f"up to {in_words(high, unit)}"
    return f"{in_words(low, unit)} or more" if isinstance(high, Open) else f"{in_words(low, unit)} to {in_words(high, unit)}"


def works_cited(table: Table, pages: Iterable[_Sourced]) -> tuple[WorkCited, ...]:
    """Every work the pages cite, once, by id."""
    ids: set[str] = {work.id for page in pages for source in page.sources for work in source.works}
    return tuple(WorkCited(i, table.works[i].citation or table.works[i].title) for i in sorted(ids) if i in table.works)


def to_dict(source: Source) -> dict[str, Any]:
    """A source as plain values."""
    return {"name": source.name, "rule": source.rule, "new": source.new, "stop": source.stop, "reasoning": source.reasoning,
            "works": [{"id": w.id, "locator": w.locator} for w in source.works]}  # fmt: skip
