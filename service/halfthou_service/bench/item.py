"""One judged reading, as every later step takes it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from halfthou_specdb.units import Unit

from .decide import VerdictWord
from .readings import Place, Problem, State
from .settle import Settles
from .sources import SourceVerdict
from .uncertainty import Line

NOWHERE = Place()


@dataclass(frozen=True, slots=True)
class Item:
    """One judged reading. ``value`` and ``u`` are in ``unit``, the reader's own."""

    id: str
    characteristic: str
    name: str
    component: str
    place: str
    verdict: VerdictWord
    side: str = ""
    as_new: str = ""
    p_fit: float | None = None
    p_serviceable: float | None = None
    value: Decimal | None = None
    finding: str = ""
    unit: Unit | None = None
    u: float | None = None
    dof: float | None = None
    lines: tuple[Line, ...] = ()
    instrument: str = ""
    limit_id: str | None = None
    text: str = ""
    assumed: tuple[str, ...] = ()
    settles: Settles | None = None
    by_source: tuple[SourceVerdict, ...] = ()
    veto: str = ""
    cautions: tuple[str, ...] = ()
    problem: Problem | None = None
    wrong_pass: float = 0.0
    """Chance that this item, told to go back, should not have been."""
    at: Place = NOWHERE
    """Where a figure of a survey was met, in parts; ``place`` is the same in words. ``state``: of that survey."""
    state: State = "as_found"
