"""A fit at a size: limits of both parts, the clearance or interference between them, and where each number comes from."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from ..quantity import Quantity
from ..records import Grade, weakest
from ..units import Unit
from .cells import Used

Kind = Literal["clearance", "transition", "interference"]
EDITIONS = {"iso-286": "tables of the 1988 edition of ISO 286; the text of 2010 was not read",
            "ansi-b4.1": "after ANSI B4.1-1967; basic hole: the smallest hole is the nominal size"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Part:
    """A hole or a shaft. Deviations from the nominal size are in the unit of the fit; ``used`` are the cells they follow from."""

    zone: str
    hole: bool
    upper: Fraction
    lower: Fraction
    used: tuple[Used, ...]
    notes: tuple[str, ...] = ()

    @property
    def grade(self) -> Grade:
        """The weakest grade of its cells."""
        return weakest([used.cell.grade for used in self.used])


@dataclass(frozen=True, slots=True)
class Fit:
    """A hole and a shaft of one nominal size.

    ``unit``: of deviations and clearances [um or thou]; ``base``: of sizes [mm or in], 1000 times larger.
    ``over``, ``upto``: the size step the fit was read in [base]. A clearance below zero is an interference.
    """

    designation: str
    system: Literal["iso-286", "ansi-b4.1"]
    size: Quantity
    unit: Unit
    base: Unit
    over: Fraction
    upto: Fraction
    hole: Part
    shaft: Part
    printed: tuple[Used, ...] = ()
    says: str = ""
    says_works: tuple[str, ...] = ()

    @property
    def tightest(self) -> Fraction:
        """Smallest hole less largest shaft [unit]."""
        return self.hole.lower - self.shaft.upper

    @property
    def loosest(self) -> Fraction:
        """Largest hole less smallest shaft [unit]."""
        return self.hole.upper - self.shaft.lower

    @property
    def kind(self) -> Kind:
        """``clearance`` where no pair interferes, ``interference`` where no pair has play, ``transition`` otherwise."""
        if self.tightest >= 0:
            return "clearance"
        return "interference" if self.loosest <= 0 else "transition"

    @property
    def used(self) -> tuple[Used, ...]:
        """Every cell the fit follows from."""
        return (*self.hole.used, *self.shaft.used, *self.printed)

    @property
    def grade(self) -> Grade:
        """The weakest grade of its cells."""
        return weakest([used.cell.grade for used in self.used])

    @property
    def from_memory(self) -> tuple[str, ...]:
        """What in it is recalled and unchecked."""
        return tuple(used.what for used in self.used if used.cell.grade == "from-memory")

    @property
    def notes(self) -> tuple[str, ...]:
        """What to know about both parts, and which edition was read."""
        return (*dict.fromkeys((*self.hole.notes, *self.shaft.notes)), EDITIONS[self.system])

    def limits(self, part: Part) -> tuple[Fraction, Fraction]:
        """The smallest and the largest size of a part [base]."""
        nominal = self.size.to(self.base)
        return nominal + part.lower / 1000, nominal + part.upper / 1000
