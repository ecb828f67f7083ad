"""The records of the table, frozen. Data files, SQLite and answers all speak of these and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from .quantity import Quantity
from .rules import Bound
from .units import Unit

Grade = Literal["published", "quoted", "derived", "common-practice", "from-memory", "owner"]
GRADES: tuple[Grade, ...] = ("owner", "published", "quoted", "derived", "common-practice", "from-memory")
"""Grades, best first. The weakest of several is the one furthest to the right."""
GRADE_WORDS: Mapping[Grade, str] = {
    "published": "book", "quoted": "book, at second hand", "derived": "worked out", "common-practice": "trade",
    "from-memory": "from memory, unchecked", "owner": "yours",
}  # fmt: skip
"""Each grade in shop words."""
SOURCED: frozenset[str] = frozenset({"published", "quoted"})

Standing = Literal["stated", "carried-over", "our-judgement", "owner"]
Kind = Literal["limit", "guide", "safety"]
Use = Literal["work", "demonstrate", "show"]
USES: tuple[Use, ...] = ("work", "demonstrate", "show")
STAGES = ("as-found", "machine-shop", "assembly", "first-start", "running")
BASES = ("diametral", "radial", "total-indicator", "difference-of-diameters", "plain")
MEANINGS = ("too-tight", "worn", "harmless", "stop", "poor")
ENDS = ("fit_low", "fit_high", "wear_low", "wear_high")


@dataclass(frozen=True, slots=True)
class Work:
    """A publication; one handbook is one work however many records cite it."""

    id: str
    title: str
    citation: str


@dataclass(frozen=True, slots=True)
class EngineClass:
    """A kind of engine by crankcase, oiling and speed (``class``), or a kind that evidence was written for (``kin``)."""

    id: str
    kind: Literal["class", "kin"]
    name: str
    description: str
    implies: tuple[str, ...]
    nearest_kin: tuple[str, ...]
    max_rated_speed: Quantity | None
    min_rated_speed: Quantity | None


@dataclass(frozen=True, slots=True)
class Dimension:
    """A nominal size of an engine; nobody passes or fails it."""

    id: str
    name: str
    unit: str


@dataclass(frozen=True, slots=True)
class Feature:
    """What an engine has. Of one group an engine has one; the empty group stands alone."""

    id: str
    group: str
    says: str


@dataclass(frozen=True, slots=True)
class Fact:
    """A condition worked out from dimensions, usable wherever a feature is."""

    id: str
    says: str


@dataclass(frozen=True, slots=True)
class SizeRange:
    """From and to, both included, of one dimension."""

    of: str
    low: Quantity
    high: Quantity

    def covers(self, size: Quantity) -> bool:
        """Whether a size lies in the range, ends included."""
        if self.low.unit is self.high.unit is size.unit:
            return self.low.exact <= size.exact <= self.high.exact
        return self.low.canonical <= size.canonical <= self.high.canonical

    def __str__(self) -> str:
        return f"{self.of.replace('-', ' ')} {self.low.value:f} to {self.high}"


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard and the usual caution."""

    id: str
    hazard: str
    when: str
    says: str
    grade: Grade
    work: str
    locator: str


@dataclass(frozen=True, slots=True)
class Word:
    """One allowed word of a finding, with what it means and whether it stops the part or the engine."""

    word: str
    aliases: tuple[str, ...]
    meaning: str
    verdict: Literal["within_fit", "usable", "undecided", "beyond_limit", "stop"]
    veto: Literal["stops-engine", "stops-part", "none"]
    remedy: str


@dataclass(frozen=True, slots=True)
class Side:
    """What one side of a characteristic means: ``too-tight``, ``worn``, ``harmless``, ``stop`` or ``poor``."""

    meaning: str
    says: str


@dataclass(frozen=True, slots=True)
class Characteristic:
    """A measurable or observable thing with one definition."""

    id: str
    name: str
    component: str
    synonyms: tuple[str, ...]
    definition: str
    how_to_measure: str
    instruments: tuple[str, ...]
    usual_instrument: str
    scales_with: tuple[str, ...]
    value_kind: Literal["quantity", "count", "range", "finding"]
    unit: str
    basis: str
    non_negative: bool
    datum: str
    sign: str
    shaft: str
    wave: str
    low_side: Side
    high_side: Side
    consequence: str
    remedies: Mapping[str, str]
    mistakes: tuple[str, ...]
    stage: str
    start_critical: bool
    applies_if: tuple[str, ...]
    instances: tuple[str, ...]
    cautions: tuple[str, ...]
    grade: Grade
    words: tuple[Word, ...] = ()


@dataclass(frozen=True, slots=True)
class Evidence:
    """One statement by one work, as it states it, never edited to agree with others."""

    id: str
    characteristics: tuple[str, ...]
    kin: str
    written_for: str
    says: str
    kind: Literal["fit", "wear", "typical"]
    basis: str
    unit: Unit | None
    low: Bound
    high: Bound
    when: tuple[str, ...]
    sizes: SizeRange | None
    grade: Grade
    work: str
    locator: str
    note: str
    second_reading: str
    scan_doubt: bool


@dataclass(frozen=True, slots=True)
class Derivation:
    """How one end of an adopted limit follows from evidence."""

    op: Literal["equals", "envelope", "arithmetic", "judgement"]
    parents: tuple[str, ...]
    how: str = ""
    times: Decimal = Decimal(1)
    plus: Decimal = Decimal(0)
    pick: str = ""
    outside: str = ""


@dataclass(frozen=True, slots=True)
class Limit:
    """The interval this table recommends, with its derivation and the reason."""

    id: str
    kind: Kind
    characteristic: str
    classes: tuple[str, ...]
    use: str
    when: tuple[str, ...]
    sizes: SizeRange | None
    unit: Unit
    basis: str
    fit_low: Bound
    fit_high: Bound
    wear_low: Bound
    wear_high: Bound
    derivation: Mapping[str, Derivation]
    reasoning: str
    differs: tuple[str, ...]
    cautions: tuple[str, ...]
    owner: bool = field(default=False)

    def bound(self, end: str) -> Bound:
        """The bound of one of ``fit_low``, ``fit_high``, ``wear_low``, ``wear_high``."""
        bound: Bound = getattr(self, end)
        return bound


@dataclass(frozen=True, slots=True)
class Absence:
    """An honest "nobody publishes this": what was looked for, and what to do instead."""

    characteristic: str
    classes: tuple[str, ...]
    reason: str
    instead: str


@dataclass(frozen=True, slots=True)
class Material:
    """A material and its linear expansion [1e-6 per K], with the span that tables give."""

    id: str
    name: str
    expansion: Decimal | None
    expansion_low: Decimal | None
    expansion_high: Decimal | None
    grade: Grade
    work: str
    locator: str
    note: str


@dataclass(frozen=True, slots=True)
class Typical:
    """A usual nominal size by horsepower band: a guess to start from, never used for a verdict."""

    id: str
    hp_from: Decimal
    hp_to: Decimal
    engine_class: str
    dimension: str
    low: Decimal
    high: Decimal
    unit: str
    grade: Grade
    note: str


def weakest(grades: list[Grade]) -> Grade:
    """The weakest of several grades."""
    return max(grades, key=GRADES.index)
