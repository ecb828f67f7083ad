"""Query parameters, read strictly: unknown and repeated ones refused, every fault told at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from halfthou_specdb.errors import QuantityError
from halfthou_specdb.quantity import Quantity, parse_quantity

from .faults import Fault, Near, of_quantity, shown
from .problems import Gathered

MAX_TEXT = 200
MAX_WORDS = 60
MAX_LIST = 2000
"""Characters of a list of words, which ``features`` alone is."""
LISTS = ("features",)
_WHOLE = re.compile(r"[0-9]{1,9}", re.ASCII)


class Query:
    """The parameters of one request.

    Args:
        pairs: name and text of each parameter, in the order sent.
        names: the names this address takes.
        prefix: a prefix whose names are taken too, such as ``dimension.``.
    """

    def __init__(self, pairs: Iterable[tuple[str, str]], names: Sequence[str], prefix: str = "") -> None:
        self.near = Near()
        self.gathered = Gathered()
        self.texts: dict[str, str] = {}
        self._repeated: set[str] = set()
        known = (*names, f"{prefix}<name>") if prefix else tuple(names)
        for name, text in pairs:
            if name not in names and not (prefix and name.startswith(prefix) and len(name) > len(prefix)):
                self._unknown(name, known)
            elif name in self.texts:
                if name not in self._repeated:
                    self.fault("repeated-parameter", name, f"{name[:60]} stands twice; each parameter is taken once")
                self._repeated.add(name)
            elif len(text) > (most := MAX_LIST if name in LISTS else MAX_TEXT):
                self.fault("bad-parameter", name, f"{name[:60]} is longer than {most} characters")
            elif not text.strip():
                self.fault("bad-parameter", name, f"{name[:60]} is empty; leave it out or give it a value")
            else:
                self.texts[name] = text

    def _unknown(self, name: str, known: tuple[str, ...]) -> None:
        near = self.near.of(name, known)
        hint = f"; did you mean {', '.join(near)}?" if near else ""
        allowed = known if known else ()
        self.gathered.add(
            Fault("unknown-parameter", f"no parameter is called {shown(name)}{hint}", parameter=name[:80], near=near, allowed=allowed)
        )

    def fault(self, code: str, name: str, detail: str, near: tuple[str, ...] = (), allowed: tuple[str, ...] = ()) -> None:
        """Keep one fault of a parameter."""
        self.gathered.add(Fault(code, detail, parameter=name[:80], near=near, allowed=allowed))

    def check(self) -> None:
        """Refuse the request if anything was wrong.

        Raises:
            ProblemError: every fault met so far.
        """
        self.gathered.check()

    def one(self, name: str, default: str = "") -> str:
        """The text of a parameter."""
        return self.texts.get(name, default).strip()

    def required(self, name: str, hint: str = "") -> str:
        """The text of a parameter that must be there; a fault and the empty string where it is not."""
        if name not in self.texts:
            if not any(f.parameter == name for f in self.gathered.faults):
                self.fault("missing-parameter", name, f"{name} is missing{f'; {hint}' if hint else ''}")
            return ""
        return self.one(name)

    def choice(self, name: str, allowed: Sequence[str], default: str) -> str:
        """One of a few words."""
        text = self.one(name, default)
        if text not in allowed and text != default:
            near = self.near.of(text, allowed)
            self.fault("bad-parameter", name, f"{name} is {shown(text)}; it may be {', '.join(allowed)}", near, tuple(allowed))
            return default
        return text

    def words(self, name: str) -> list[str]:
        """A list with commas between."""
        found = [word.strip() for word in self.one(name).split(",") if word.strip()]
        if len(found) > MAX_WORDS:
            self.fault("bad-parameter", name, f"{name} holds more than {MAX_WORDS} words")
        return found[:MAX_WORDS]

    def quantity(self, name: str) -> Quantity | None:
        """A number with its unit, in text; None where it is missing or cannot be read."""
        if name not in self.texts:
            return None
        try:
            return parse_quantity(self.texts[name])
        except QuantityError as error:
            self.gathered.add(of_quantity(error, parameter=name[:80]))
            return None

    def prefixed(self, prefix: str) -> dict[str, str]:
        """Parameters under a prefix: the rest of the name -> the whole name."""
        return {name[len(prefix) :]: name for name in self.texts if name.startswith(prefix)}

    def whole(self, name: str, low: int, high: int, default: int) -> int:
        """A whole number."""
        text = self.one(name)
        if not text:
            return default
        if not _WHOLE.fullmatch(text) or not low <= int(text) <= high:
            self.fault("bad-parameter", name, f"{name} is {shown(text)}; it may be a whole number from {low} to {high}")
            return default
        return int(text)
