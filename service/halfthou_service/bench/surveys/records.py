"""Surveys: what is sent, what is known of its doubt, and what follows from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.survey_records import Pair, SurveyKind
from halfthou_specdb.units import Unit

from ..readings import Place, State
from ..uncertainty import Budget, Line

Spot = tuple[str, str]
"""Station along the part, axis across it; or the instance and its station, where several things of one kind were read."""


@dataclass(frozen=True, slots=True)
class Survey:
    """Readings of one feature, or of several of one kind. ``cells``: place -> one reading or repeats. ``new``: the size when new, with its
    doubt. ``confirmed``: what looks like a slip stands (several of one kind only).

    ``standard_uncertainty`` replaces the instrument's parts and is taken as random; ``shared_uncertainty`` as common to all.
    """

    id: str
    kind: str
    cells: Mapping[Spot, tuple[Quantity, ...]]
    instance: str = ""
    instrument: str = ""
    standard_uncertainty: Quantity | None = None
    shared_uncertainty: Quantity | None = None
    new: Quantity | None = None
    new_uncertainty: Quantity | None = None
    state: State = "as_found"
    measured_by_same_tool: bool = False
    """One tool read this survey, the size when new and the mate (or set the gauge that did), so that its own error cancels."""
    temperature: Quantity | None = None
    instrument_temperature: Quantity | None = None
    material: str = ""
    confirmed: bool = False


@dataclass(frozen=True, slots=True)
class Doubts:
    """What is known of the doubt of one reading of a survey, repeats averaged [the survey's unit].

    ``shared`` is common to all readings; ``of_tool`` the part of it that another survey by the same tool has too. ``split`` is False where
    the caller gave one figure without saying how much of it is shared.
    """

    budget: Budget
    random: float
    shared: float
    of_tool: float
    dof: float
    random_lines: tuple[Line, ...]
    shared_lines: tuple[Line, ...]
    split: bool
    assumed: tuple[str, ...]

    @property
    def whole(self) -> float:
        """Standard uncertainty of one size."""
        return float((self.random**2 + self.shared**2) ** 0.5)


@dataclass(frozen=True, slots=True)
class Figure:
    """One derived figure [``unit``]: exact value, its standard uncertainty, where it was met, and its own distribution."""

    name: str
    characteristic: str
    value: Fraction
    u: float
    unit: Unit
    where: str
    at_most: Callable[[float], float] = field(compare=False)
    """Chance that the true figure is at most x [``unit``]."""
    at_worst_over: Callable[[float], float] | None = field(default=None, compare=False)
    """For a smallest size: how likely so small a reading would be if the true figure were over x, at worst. The smallest of several
    readings is small by their scatter alone; without this it would pass parts that nobody has shown to be small enough."""
    at_worst_under: Callable[[float], float] | None = field(default=None, compare=False)
    """The same for a largest size under x."""
    dof: float = float("inf")
    lines: tuple[Line, ...] = ()

    def under(self, x: float) -> float:
        """Chance that the true figure is under x, as it counts against a lower bound."""
        return self.at_most(x) if self.at_worst_under is None else self.at_worst_under(x)

    def over(self, x: float) -> float:
        """Chance that the true figure is over x, as it counts against an upper bound."""
        return 1.0 - self.at_most(x) if self.at_worst_over is None else self.at_worst_over(x)


@dataclass(frozen=True, slots=True)
class SurveyAnswer:
    """The derived figures of one survey, and what the readings cannot see. ``unworn``: sizes where nothing ran, on a shaft."""

    survey: Survey
    kind: SurveyKind
    unit: Unit
    budget: Budget
    u_random: float
    u_shared: float
    figures: tuple[Figure, ...]
    notes: tuple[str, ...]
    sizes: Mapping[Spot, Fraction]
    doubts: Doubts
    unworn: Mapping[Spot, Fraction] = field(default_factory=dict)

    @property
    def instances(self) -> tuple[str, ...]:
        """Which ones were read."""
        return tuple(instance for instance, _ in self.sizes) if self.kind.each == "instance" else (self.survey.instance,)

    def place(self, spot: Spot) -> Place:
        """Where on the engine a spot lies."""
        return Place(*spot) if self.kind.each == "instance" else Place(self.survey.instance, *spot)


@dataclass(frozen=True, slots=True)
class Clearance:
    """A bore on its shaft: the smallest and the largest clearance, and what was taken for granted."""

    pair: Pair
    shaft: SurveyAnswer
    smallest: Figure
    largest: Figure
    assumed: tuple[str, ...]
