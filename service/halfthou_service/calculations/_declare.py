"""What a calculation declares and answers: inputs, outputs, flags, errors; and quantities as SI floats."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.units import UNITS

SI_SCALE = {"angle": 2.0 * math.pi}
"""Canonical unit of the table -> SI unit used inside, where they differ: the turn -> the radian."""


class CalculationError(Exception):
    """An input that is missing, of the wrong kind, out of range or impossible. ``name`` says which."""

    def __init__(self, name: str, message: str, code: str = "bad-input") -> None:
        super().__init__(f"{name}: {message}" if name else message)
        self.name, self.code = name, code


class UncertaintyError(CalculationError):
    """The same of a standard uncertainty; ``name`` is that of its input."""


@dataclass(frozen=True, slots=True)
class Input:
    """One input. ``dimension`` is a unit dimension, or ``choice`` with ``choices``, ``count`` or ``flag``.

    ``low`` and ``high`` bound it in SI units, both included unless ``open_low``; ``unit`` is the unit it is usually given in;
    ``default`` is used, and said, when it is left out (SI units, or a choice). ``many`` above 0 makes it a list of up to that many
    values of the dimension (stock thicknesses, sizes sold), handed to the function as a tuple of SI floats; the bounds hold for each.
    """

    name: str
    dimension: str
    unit: str
    says: str
    low: float | None = None
    high: float | None = None
    open_low: bool = False
    default: float | str | bool | None = None
    required: bool = True
    choices: tuple[str, ...] = ()
    many: int = 0


@dataclass(frozen=True, slots=True)
class Output:
    """One output: its kind, the units it is told in (inch and metric) and what it means. ``text`` outputs are words."""

    name: str
    dimension: str
    inch: str
    metric: str
    says: str


@dataclass(frozen=True, slots=True)
class Flag:
    """Something the reader must know before using the answer: outside validity, starved feed, an upper bound only."""

    code: str
    says: str


@dataclass(frozen=True, slots=True)
class Result:
    """SI values (or words) by output name, with flags."""

    values: Mapping[str, float | str | bool | None]
    flags: tuple[Flag, ...] = ()


@dataclass(frozen=True, slots=True)
class Calculation:
    """A declared calculation. ``run`` takes keyword arguments named as the inputs and returns a :class:`Result`."""

    id: str
    title: str
    inputs: tuple[Input, ...]
    outputs: tuple[Output, ...]
    run: Callable[..., Result]
    assumptions: tuple[str, ...]
    references: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    check: Callable[[Mapping[str, float]], None] | None = field(default=None)
    """Raises CalculationError for inputs that are each in range but impossible together."""

    @property
    def docs(self) -> str:
        """The docstring: what, equation, symbols with units, validity, a worked number, references."""
        return (self.run.__doc__ or "").strip()


@dataclass(frozen=True, slots=True)
class Told:
    """One output as a quantity: value and, where an input carried doubt, its standard uncertainty."""

    name: str
    says: str
    value: float | str | bool | None
    unit: str
    standard_uncertainty: float | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """What a calculation answers."""

    calculation: Calculation
    outputs: tuple[Told, ...]
    flags: tuple[Flag, ...]
    assumed: tuple[str, ...]


Given = Quantity | str | bool | int | Decimal | float | Sequence[Quantity]
Value = float | str | bool | tuple[float, ...] | None
"""What a function is handed for one input: an SI float, a word, true or false, a tuple of SI floats for a list, or nothing."""


def si(quantity: Quantity) -> float:
    """A quantity as an SI float."""
    return float(quantity.canonical) * SI_SCALE.get(quantity.unit.dimension, 1.0)


def from_si(value: float, unit: str) -> float:
    """An SI float in a unit token."""
    u = UNITS[unit]
    return (value / SI_SCALE.get(u.dimension, 1.0) - float(u.offset)) / float(u.factor)
