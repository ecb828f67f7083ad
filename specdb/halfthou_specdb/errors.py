"""Errors of the table.

SpecdbError
├── QuantityError      a number with a unit that could not be read
│   ├── UnitError      unknown unit; carries near matches
│   └── DimensionError right number, wrong kind of unit
├── RecordError        a data record refused at load: file, line, id, reason
├── RuleError          a rule that cannot be worked out
│   ├── MissingDimension   the engine's dimension is not known
│   └── OutsideRange       the dimension lies outside the rule's range
├── UnknownId          no such characteristic, class, feature ...; carries near matches
└── TableError         the built file is missing or damaged
"""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


class SpecdbError(Exception):
    """Root of every error raised by halfthou_specdb."""


class QuantityError(SpecdbError):
    """Text or JSON that is not a quantity. ``code`` is a stable word for the kind of fault."""

    def __init__(self, message: str, code: str = "bad-quantity") -> None:
        super().__init__(message)
        self.code = code


class UnitError(QuantityError):
    """A unit that is not on the list. ``near`` holds up to three tokens that look like it."""

    def __init__(self, message: str, near: tuple[str, ...] = ()) -> None:
        super().__init__(message, "unknown-unit")
        self.near = near


class DimensionError(QuantityError):
    """A unit of the wrong kind: volts where a length is wanted."""

    def __init__(self, message: str) -> None:
        super().__init__(message, "wrong-dimension")


class RecordError(SpecdbError):
    """A data record that was refused, with where it stands and why."""

    def __init__(self, file: str, line: int, record_id: str, reason: str) -> None:
        super().__init__(f"{file}:{line}: {record_id}: {reason}")
        self.file, self.line, self.record_id, self.reason = file, line, record_id, reason


class RuleError(SpecdbError):
    """A rule that cannot be worked out for this engine."""


class MissingDimension(RuleError):
    """The rule scales with a dimension that the engine does not state."""

    def __init__(self, dimension: str) -> None:
        super().__init__(f"the rule scales with {dimension}, which is not known")
        self.dimension = dimension


class OutsideRange(RuleError):
    """The engine's dimension lies outside every range on file; nothing is extrapolated."""


class UnknownId(SpecdbError):
    """No record has this id. ``near`` holds ids that look like it, ``allowed`` the whole list when it is short."""

    def __init__(self, kind: str, given: str, known: Iterable[str]) -> None:
        names = sorted(known)
        shown = given if len(given) <= 60 else given[:57] + "..."
        self.kind, self.given = kind, shown
        self.near = tuple(get_close_matches(given[:80], names, n=3, cutoff=0.55))
        self.allowed = tuple(names) if len(names) <= 60 else ()
        hint = f"; did you mean {', '.join(self.near)}?" if self.near else ""
        super().__init__(f"no {kind} is called {shown!r}{hint}")


class TableError(SpecdbError):
    """The built table is missing, damaged or of another version."""
