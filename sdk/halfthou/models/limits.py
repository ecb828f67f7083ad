"""An adopted limit worked out for one engine, with the evidence for and against it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from ..quantities import Quantity, quantity_in_answer
from . import fields as f
from .table import Caution, raw_field


@dataclass(frozen=True, slots=True)
class Bound:
    """One end of an interval: at a quantity, ``unbounded`` (nothing bad there) or ``none_on_file`` (nobody says)."""

    kind: Literal["at", "unbounded", "none_on_file"]
    quantity: Quantity | None = None

    @classmethod
    def from_json(cls, value: Any) -> Bound:
        """From ``{"value", "unit"}`` or one of the two words. Anything else is told as ``none_on_file``."""
        quantity = quantity_in_answer(value)
        if quantity is not None:
            return cls("at", quantity)
        return cls("unbounded") if value == "unbounded" else cls("none_on_file")

    def __str__(self) -> str:
        return str(self.quantity) if self.quantity else self.kind.replace("_", " ")


NOBODY_SAYS = Bound("none_on_file")


@dataclass(frozen=True, slots=True)
class Interval:
    """From ``low`` to ``high``, both counted in."""

    low: Bound = NOBODY_SAYS
    high: Bound = NOBODY_SAYS

    @classmethod
    def from_json(cls, value: Any) -> Interval:
        """From ``{"low": bound, "high": bound}``."""
        raw = value if isinstance(value, Mapping) else {}
        return cls(Bound.from_json(raw.get("low")), Bound.from_json(raw.get("high")))

    @property
    def said(self) -> bool:
        """True where at least one end has a number."""
        return self.low.kind == "at" or self.high.kind == "at"

    def __str__(self) -> str:
        low, high = self.low, self.high
        if low.quantity and high.quantity:
            if low == high:
                return str(low)
            if low.quantity.unit == high.quantity.unit:
                return f"{low.quantity.value:f} to {high}"
            return f"{low} to {high}"
        if high.quantity:
            return f"up to {high}" + ("" if low.kind == "unbounded" else ", no low end on file")
        if low.quantity:
            return f"{low} or more" + ("" if high.kind == "unbounded" else ", no high end on file")
        return "no number on file"


@dataclass(frozen=True, slots=True)
class Evidence:
    """One statement by one work, as it states it. ``stance`` is ``supports`` or ``differs``."""

    id: str
    work: str = ""
    locator: str = ""
    grade: str = ""
    written_for: str = ""
    says: str = ""
    comparable: bool = False
    interval: Interval = field(default_factory=Interval)
    stance: str = ""
    why_not: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Evidence:
        """From one entry of a limit's ``evidence``, which may be no more than an id."""
        if isinstance(value, str):
            return cls(value)
        raw = f.an_object(value, "an evidence entry")
        why = next((f.text(raw, key) for key in ("why_not", "why_not_comparable", "why") if f.text(raw, key)), "")
        return cls(
            f.needed(raw, "id", "an evidence entry"),
            f.text(raw, "work"),
            f.text(raw, "locator"),
            f.text(raw, "grade"),
            f.text(raw, "written_for"),
            f.text(raw, "says"),
            f.flag(raw, "comparable"),
            Interval.from_json(raw.get("interval")),
            f.text(raw, "stance"),
            why,
            raw,
        )


@dataclass(frozen=True, slots=True)
class LimitAnswer:
    """The limit that applies, or the honest answer that none is adopted (then ``limit_id`` is empty)."""

    characteristic: str
    limit_id: str = ""
    kind: str = ""
    engine_class: str = ""
    use: str = ""
    size: Quantity | None = None
    fit: Interval = field(default_factory=Interval)
    wear: Interval = field(default_factory=Interval)
    basis: str = ""
    rule_text: str = ""
    reasoning: str = ""
    standing: Mapping[str, str] = field(default_factory=dict, hash=False)
    grade: str = ""
    side_meaning: Mapping[str, str] = field(default_factory=dict, hash=False)
    evidence: tuple[Evidence, ...] = ()
    cautions: tuple[Caution, ...] = ()
    asks_for: tuple[str, ...] = ()
    text: str = ""
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()

    @property
    def found(self) -> bool:
        """True where a limit is adopted."""
        return bool(self.limit_id)

    @classmethod
    def from_json(cls, value: Any, limit_id: str = "") -> LimitAnswer:
        """From ``GET /v1/limits`` or from one entry of ``limits`` in a sheet's answer."""
        raw = f.an_object(value, "a limit")
        evidence = raw.get("evidence")
        cautions = raw.get("cautions")
        return cls(
            f.text(raw, "characteristic"),
            f.text(raw, "limit_id") or f.text(raw, "id") or limit_id,
            f.text(raw, "kind"),
            f.text(raw, "engine_class"),
            f.text(raw, "use"),
            quantity_in_answer(raw.get("size")),
            Interval.from_json(raw.get("fit")),
            Interval.from_json(raw.get("wear")),
            f.text(raw, "basis"),
            f.text(raw, "rule_text"),
            f.text(raw, "reasoning"),
            f.words(raw, "standing"),
            _grade(raw.get("grade")),
            f.words(raw, "side_meaning"),
            tuple(Evidence.from_json(entry) for entry in evidence) if isinstance(evidence, list) else (),
            tuple(Caution.from_json(entry) for entry in cautions) if isinstance(cautions, list) else (),
            f.texts(raw, "asked"),
            f.text(raw, "text"),
            f.text(raw, "edition"),
            raw,
        )


def _grade(value: Any) -> str:
    if isinstance(value, Mapping):
        return ", ".join(f"{name.replace('_', ' ')} {grade}" for name, grade in value.items())
    return value if isinstance(value, str) else ""
