"""What to do about a reading, by how much, and what it should read afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..quantities import Quantity, quantity_in_answer
from . import fields as f
from .limits import Interval
from .table import raw_field


@dataclass(frozen=True, slots=True)
class Amount:
    """One named figure of a remedy, such as how much to take out of each side."""

    name: str
    value: Quantity

    def __str__(self) -> str:
        return f"{self.name.replace('-', ' ').replace('_', ' ')} {self.value}"


@dataclass(frozen=True, slots=True)
class Remedy:
    """One way to mend a reading.

    ``cost_class``: ``free``, ``hand``, ``machine`` or ``part``. ``reversible``: nothing is cut and nothing is bought. ``amount`` is empty
    where no figure follows from the readings; ``asks`` then tells what would give one. ``predicted`` is what it should read afterwards,
    ``tolerance`` where the finished figure must lie. ``reaches``: ``fit``, ``not_known``, or ``none`` where nothing on the list will do.
    ``optional``: the part may go back as it is.
    """

    id: str
    title: str
    text: str = ""
    cost_class: str = ""
    reversible: bool = False
    amount: tuple[Amount, ...] = ()
    tolerance: Interval | None = None
    predicted: Quantity | None = None
    tools: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    risk: str = ""
    cautions: tuple[str, ...] = ()
    measure_after: tuple[str, ...] = ()
    asks: tuple[str, ...] = ()
    grade: str = ""
    optional: bool = False
    reaches: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Remedy:
        """From one of ``remedies`` of an item."""
        raw = f.an_object(value, "a remedy")
        amounts = tuple(Amount(f.text(entry, "name"), f.a_quantity(entry, "value", "an amount")) for entry in f.parts(raw, "amount"))
        tolerance = raw.get("tolerance")
        return cls(
            f.needed(raw, "id", "a remedy"),
            f.text(raw, "title"),
            f.text(raw, "text"),
            f.text(raw, "cost_class"),
            f.flag(raw, "reversible"),
            amounts,
            Interval.from_json(tolerance) if isinstance(tolerance, Mapping) else None,
            quantity_in_answer(raw.get("predicted")),
            f.texts(raw, "tools"),
            f.texts(raw, "steps"),
            f.text(raw, "risk"),
            f.texts(raw, "cautions"),
            f.texts(raw, "measure_after"),
            f.texts(raw, "asks"),
            f.text(raw, "grade"),
            f.flag(raw, "optional"),
            f.text(raw, "reaches"),
            raw,
        )
