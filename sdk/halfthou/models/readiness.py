"""What stands against putting an engine together or starting it, and what nobody looked at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from . import fields as f
from .table import raw_field


@dataclass(frozen=True, slots=True)
class Against:
    """One thing against it. ``clear`` is the way to clear it; ``stops_engine``: no repair of another part changes it."""

    item: str
    name: str
    place: str = ""
    assembly: str = ""
    text: str = ""
    clear: str = ""
    stops_engine: bool = False
    verdict: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Against:
        """From one of ``stops`` or ``doubts``."""
        raw = f.an_object(value, "a thing against it")
        return cls(f.text(raw, "item"), f.needed(raw, "name", "a thing against it"), f.text(raw, "place"), f.text(raw, "assembly"),
                   f.text(raw, "text"), f.text(raw, "clear"), f.flag(raw, "stops_engine"), f.text(raw, "verdict"), raw)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Superseded:
    """One thing found bad, and the id of the reading as made that answers it."""

    item: str
    text: str = ""
    by: str = ""

    @classmethod
    def from_json(cls, value: Any) -> Superseded:
        """From one of ``superseded``."""
        raw = f.an_object(value, "a thing answered by a later reading")
        return cls(f.text(raw, "item"), f.text(raw, "text"), f.text(raw, "by"))


@dataclass(frozen=True, slots=True)
class NotLookedAt:
    """One thing nobody looked at, and how to look."""

    characteristic: str
    name: str
    place: str = ""
    assembly: str = ""
    only_if: str = ""
    clear: str = ""
    start_critical: bool = False
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> NotLookedAt:
        """From one of ``not_looked_at``."""
        raw = f.an_object(value, "a thing not looked at")
        return cls(f.needed(raw, "characteristic", "a thing not looked at"), f.text(raw, "name"), f.text(raw, "place"), f.text(raw, "assembly"),
                   f.text(raw, "only_if"), f.text(raw, "clear"), f.flag(raw, "start_critical"), raw)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Check:
    """One line of the list to go through before the first start; ``caution`` is the id of what it guards against, or empty."""

    says: str
    caution: str = ""


@dataclass(frozen=True, slots=True)
class CheckGroup:
    """Lines of the list that belong together."""

    title: str
    lines: tuple[Check, ...] = ()

    @classmethod
    def from_json(cls, value: Any) -> CheckGroup:
        """From one of ``first_start``."""
        raw = f.an_object(value, "a group of checks")
        return cls(f.text(raw, "title"), tuple(Check(f.text(line, "says"), f.text(line, "caution")) for line in f.parts(raw, "lines")))


@dataclass(frozen=True, slots=True)
class Readiness:
    """What stands against a stage; it never says more than what was found and what nobody looked at.

    ``not_looked_at_count`` stands alone where the answer tells only how many (beside a judged sheet). ``superseded``: ids of bad readings
    as found that a later reading of the same place has answered. ``first_start`` is empty for the assembly stage.
    """

    stage: str
    text: str = ""
    stops: tuple[Against, ...] = ()
    doubts: tuple[Against, ...] = ()
    not_looked_at: tuple[NotLookedAt, ...] = ()
    not_looked_at_count: int = 0
    superseded: tuple[Superseded, ...] = ()
    first_start: tuple[CheckGroup, ...] = ()
    engine_id: str = ""
    units: str = ""
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()

    @property
    def nothing_found(self) -> bool:
        """True where nothing stops, nothing is in doubt and nothing on the list was left out. It says nothing of what is on no list."""
        return not (self.stops or self.doubts or self.not_looked_at_count)

    @property
    def stops_engine(self) -> bool:
        """True where something stands against running it at all, whatever else is repaired."""
        return any(entry.stops_engine for entry in self.stops)

    @classmethod
    def from_json(cls, value: Any) -> Readiness:
        """From ``POST /v1/readiness``, or from ``readiness`` of a judged sheet."""
        raw = f.an_object(value, "what stands against it")
        unseen = tuple(NotLookedAt.from_json(entry) for entry in f.parts(raw, "not_looked_at"))
        groups = tuple(CheckGroup.from_json(group) for group in f.parts(raw, "first_start"))
        return cls(
            f.needed(raw, "stage", "what stands against it"),
            f.text(raw, "text"),
            tuple(Against.from_json(entry) for entry in f.parts(raw, "stops")),
            tuple(Against.from_json(entry) for entry in f.parts(raw, "doubts")),
            unseen,
            len(unseen) or f.count(raw, "not_looked_at"),
            tuple(Superseded.from_json(entry) for entry in f.parts(raw, "superseded")),
            groups,
            f.text(f.part(raw, "engine"), "id"),
            f.text(raw, "units"),
            f.text(raw, "edition"),
            raw,
        )
