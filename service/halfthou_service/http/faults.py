"""Faults of a request: where, a stable code, a sentence, near matches. Many are gathered before anything is refused."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Any

from halfthou_specdb.errors import QuantityError, UnitError

NEAR_LOOKUPS = 60
"""Near matches looked for in one request; every further fault goes without, so that a bad sheet cannot keep the service busy."""
SHOWN = 40


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault. ``pointer``: JSON pointer in the body; ``parameter``: name in the query; ``line``, ``column``: place in a CSV body."""

    code: str
    detail: str
    pointer: str = ""
    parameter: str = ""
    near: tuple[str, ...] = ()
    allowed: tuple[str, ...] = ()
    line: int = 0
    column: str = ""

    def under(self, prefix: str) -> Fault:
        """The same fault, its pointer put under ``prefix``."""
        return replace(self, pointer=prefix + self.pointer)

    def to_json(self) -> dict[str, Any]:
        """The entry of a problem's ``errors``; empty parts left out."""
        parts: dict[str, Any] = {
            "pointer": self.pointer, "parameter": self.parameter, "code": self.code, "detail": self.detail, "near": list(self.near),
            "allowed": list(self.allowed), "line": self.line, "column": self.column,
        }  # fmt: skip
        if self.parameter:
            del parts["pointer"]
        return {key: value for key, value in parts.items() if value or key == "pointer"}


class FaultError(Exception):
    """Raised where one fault ends the reading of a part; caught where faults are gathered."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.detail)
        self.fault = fault


def shown(text: object) -> str:
    """A client's word, short enough to repeat."""
    word = str(text)
    return repr(word if len(word) <= SHOWN else word[: SHOWN - 3] + "...")


def kind_of(value: object) -> str:
    """What a JSON value is, in words."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true or false"
    return {"str": "text", "dict": "an object", "list": "a list"}.get(type(value).__name__, "a number")


def token(key: str) -> str:
    """A key as one step of a JSON pointer (RFC 6901), cut where it is long."""
    return "/" + key[:80].replace("~", "~0").replace("/", "~1")


def of_quantity(error: QuantityError, pointer: str = "", parameter: str = "") -> Fault:
    """The fault behind a quantity that could not be read."""
    near = error.near if isinstance(error, UnitError) else ()
    return Fault(error.code, str(error), pointer, parameter, near)


class Near:
    """Looks for near matches, a bounded number of times."""

    __slots__ = ("left",)

    def __init__(self, lookups: int = NEAR_LOOKUPS) -> None:
        self.left = lookups

    def of(self, word: str, names: Iterable[str], cutoff: float = 0.55) -> tuple[str, ...]:
        """Up to three names that look like ``word``."""
        if self.left <= 0:
            return ()
        self.left -= 1
        return tuple(get_close_matches(word[:80].lower(), list(names), n=3, cutoff=cutoff))

    def unknown(self, code: str, kind: str, word: str, names: Iterable[str], pointer: str = "", parameter: str = "") -> Fault:
        """The fault of a word that is on no list; a short list is told whole."""
        known = list(names)
        near = self.of(word, known)
        hint = f"; did you mean {', '.join(near)}?" if near else ""
        allowed = tuple(known) if len(known) <= 30 else ()
        return Fault(code, f"no {kind} is called {shown(word)}{hint}", pointer, parameter, near, allowed)
