"""Readings as the bench takes them: exact, already checked for shape, nothing web about them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.resolve import Interval

State = Literal["as_found", "as_made"]
Units = Literal["", "inch", "metric"]
Side = Literal["", "before", "after"]
DecisionRule = Literal["guarded", "simple", "guarded_rejection", "simple_n_to_1"]
JudgedBy = Literal["adopted", "each-source"]
Basis = Literal["", "radial", "diametral", "total-indicator", "difference-of-diameters"]


@dataclass(frozen=True, slots=True)
class Place:
    """Where on the engine a reading was taken: which instance, which station along it, which axis across it."""

    instance: str = ""
    station: str = ""
    axis: str = ""

    def __str__(self) -> str:
        return ", ".join(part for part in (self.instance, self.station, self.axis) if part)


@dataclass(frozen=True, slots=True)
class InlineLimit:
    """The caller's own limit for one reading; grade ``owner``."""

    fit: Interval
    wear: Interval


@dataclass(frozen=True, slots=True)
class OwnLine:
    """One line of the budget as the caller knows it: it replaces the line of that name, or is added."""

    name: str
    u: Quantity
    random: bool = False


@dataclass(frozen=True, slots=True)
class Pooled:
    """Scatter of single readings known from earlier surveys with the same tool: a standard deviation and its degrees of freedom."""

    scatter: Quantity
    degrees_of_freedom: float


@dataclass(frozen=True, slots=True)
class FilmAsked:
    """A second opinion by oil film is asked for. What is left out is worked out from the engine or taken, and said."""

    load: Quantity | None = None
    firing_pressure: Quantity | None = None
    viscosity: Quantity | None = None
    feed: str = ""
    journal_roughness: Quantity | None = None
    bearing_roughness: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading. Exactly one of ``values``, ``span``, ``go`` and ``finding`` is given.

    ``values``: one value, or repeats in the same place. ``span``: lowest and highest met round the part. ``go``: the largest
    gauge that goes and the smallest that does not; the size lies between. ``relative``: before or after the dead centre.
    ``along``: how an angle was read as a length on the flywheel rim.
    """

    id: str
    characteristic: str
    values: tuple[Quantity, ...] = ()
    span: tuple[Quantity, Quantity] | None = None
    go: tuple[Quantity | None, Quantity | None] | None = None
    finding: str = ""
    instrument: str = ""
    place: Place = field(default_factory=Place)
    state: State = "as_found"
    standard_uncertainty: Quantity | None = None
    degrees_of_freedom: float | None = None
    relative: Side = ""
    along: Literal["", "rim-arc", "rim-chord"] = ""
    temperature: Quantity | None = None
    limit: InlineLimit | None = None
    confirmed: bool = False
    note: str = ""
    instrument_temperature: Quantity | None = None
    material: str = ""
    own_lines: tuple[OwnLine, ...] = ()
    pooled: Pooled | None = None
    basis: Basis = ""
    """How the reader tells it where that is not as the limit does: the gap on one side, the whole, an indicator's swing."""

    second_opinion: FilmAsked | None = None

    @property
    def unit_of_first(self) -> str:
        """Token of the unit the reader used, or the empty string for a finding."""
        given = self.values[0] if self.values else None
        if given is None and self.span:
            given = self.span[0]
        if given is None and self.go:
            given = self.go[0] or self.go[1]
        return given.unit.token if given else ""


@dataclass(frozen=True, slots=True)
class Rules:
    """How a sheet is to be judged."""

    confidence: float = 0.95
    decision_rule: DecisionRule = "guarded"
    judged_by: JudgedBy = "adopted"
    stage: str = ""
    units: Units = ""
    ratio: float = 4.0
    """N of the N:1 rule: the limits must lie at least N times the full width of the uncertainty (2 U, U = 2 u) apart."""


@dataclass(frozen=True, slots=True)
class Problem:
    """Why a reading was not judged: a stable code, a sentence, where (JSON pointer within the reading) and near matches."""

    code: str
    detail: str
    pointer: str = ""
    near: tuple[str, ...] = ()


class ReadingProblem(Exception):
    """Raised inside the bench for one reading; the sheet turns it into that item's problem."""

    def __init__(self, code: str, detail: str, pointer: str = "", near: tuple[str, ...] = ()) -> None:
        super().__init__(detail)
        self.problem = Problem(code, detail, pointer, near)
