"""Quantities from text, SI numbers out of answers, and the shape of a worked example."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from halfthou_service.calculations import CALCULATIONS, calculate
from halfthou_service.calculations.frame import Answer, Given, si
from halfthou_specdb.quantity import Quantity, decimal_of, parse_quantity
from halfthou_specdb.units import UNITS, Unit


@dataclass(frozen=True, slots=True)
class Example:
    """Inputs and answers as a work prints them. ``relative`` comes from the digits printed; ``note`` says what the work rounds.

    grade: published (read), quoted (read in another text), from-memory, derived (own arithmetic: a regression only).
    """

    id: str
    calculation: str
    work: str
    locator: str
    grade: str
    given: Mapping[str, str]
    expected: Mapping[str, str]
    relative: float
    note: str = ""


def given(calculation: str, texts: Mapping[str, str]) -> dict[str, Given]:
    """The inputs as quantities and choices."""
    kinds = {item.name: item.dimension for item in CALCULATIONS[calculation].inputs}
    return {name: text if kinds.get(name) == "choice" else parse_quantity(text) for name, text in texts.items()}


def ask(calculation: str, system: str = "inch", /, **texts: str) -> Answer:
    """An answer to inputs given as text."""
    return calculate(CALCULATIONS[calculation], given(calculation, texts), system=system)


def told(answer: Answer, name: str) -> float:
    """One output as an SI float."""
    found = next(o for o in answer.outputs if o.name == name)
    assert isinstance(found.value, float), f"{name} has no number: {found.value!r}"
    unit = UNITS[found.unit]
    # float back through the unit it was told in: what a reader gets
    return si(Quantity.of(decimal_of(Fraction(found.value), 20), unit))


def si_of(text: str) -> float:
    return si(parse_quantity(text))


def in_unit(quantity: Quantity, unit: Unit) -> Quantity:
    """The same quantity, exactly, in another unit."""
    exact = quantity.to(unit)
    return Quantity(decimal_of(exact, 20), unit, exact)


def flags(answer: Answer) -> set[str]:
    return {flag.code for flag in answer.flags}
