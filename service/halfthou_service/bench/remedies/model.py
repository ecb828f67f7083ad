"""What a remedy is: what to do, by how much, at what cost and risk, what it should read afterwards and what to measure then."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from halfthou_specdb.records import Grade
from halfthou_specdb.resolve import Interval
from halfthou_specdb.units import Unit

CostClass = Literal["free", "hand", "machine", "part"]
COST_CLASSES: tuple[CostClass, ...] = ("free", "hand", "machine", "part")
"""Free adjustment, hand work, machine shop, new part: cheapest first."""
Reach = Literal["fit", "not_known", "none"]
Amount = tuple[str, Fraction, Unit]
"""A name, an exact number and its unit."""


@dataclass(frozen=True, slots=True)
class Remedy:
    """One thing to do about one reading.

    ``reversible``: it can be undone with the parts taken off; nothing is cut and nothing is bought. ``amount``: empty where the table
    knows the remedy but no figure follows from the readings. ``tolerance``: where the finished figure must lie, same quantity as
    ``predicted``. ``asks``: facts that would sharpen it. ``reaches``: ``fit`` where the predicted figure lies inside the table's own
    interval, ``not_known`` where nothing can be predicted, ``none`` where this says that nothing on the list will do.
    ``optional``: the part may go back as it is.
    """

    id: str
    title: str
    cost_class: CostClass
    reversible: bool
    text: str
    amount: tuple[Amount, ...] = ()
    tolerance: Interval | None = None
    predicted: tuple[Fraction, Unit] | None = None
    tools: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    risk: str = ""
    cautions: tuple[str, ...] = ()
    measure_after: tuple[str, ...] = ()
    asks: tuple[str, ...] = ()
    grade: Grade = "derived"
    optional: bool = False
    reaches: Reach = "not_known"

    @property
    def rank(self) -> tuple[bool, bool, int]:
        """The order of proposals: what can be undone first, then by cost; "nothing will do" comes last."""
        return self.reaches == "none", not self.reversible, COST_CLASSES.index(self.cost_class)
