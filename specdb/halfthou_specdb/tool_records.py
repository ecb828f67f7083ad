"""Records of tools: what they read, over what range, and the parts of their uncertainty."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from .quantity import Quantity
from .records import Grade
from .units import Unit


@dataclass(frozen=True, slots=True)
class UncertaintyPart:
    """One standard uncertainty (k = 1) of an instrument: ``constant`` [unit], ``percent`` of the reading, ``counts`` of the
    resolution (divided by the square root of 3), ``percent-of-span`` (divided by the square root of 3)."""

    name: str
    kind: Literal["constant", "percent", "counts", "percent-of-span"]
    value: Decimal
    unit: Unit | None
    span: Quantity | None
    grade: Grade
    random: bool
    """True where repeats average it out; False where every repeat shares it."""
    step: bool = False
    """The step the tool reads to: it differs from place to place, but repeats that all fall on one mark leave it whole."""


@dataclass(frozen=True, slots=True)
class Variant:
    """One size or make-up of an instrument. ``reads``: range of the reading; ``sizes``: range of the part measured."""

    id: str
    name: str
    reads: tuple[Quantity, Quantity] | None
    sizes: tuple[Quantity, Quantity] | None
    resolution: Quantity | None
    parts: tuple[UncertaintyPart, ...]
    shared_error: str
    note: str
    work: str
    locator: str


@dataclass(frozen=True, slots=True)
class Instrument:
    """A tool, what it measures, what it cannot see, and its variants.

    ``one_size``: it shows the size of one place at a time, so that a difference takes two readings of it. ``blind_to``: forms of which it
    says nothing whatever it reads.
    """

    id: str
    name: str
    measures: str
    cannot_see: str
    cost_class: int
    default_variant: str
    variants: tuple[Variant, ...]
    one_size: bool = False
    blind_to: tuple[str, ...] = ()
