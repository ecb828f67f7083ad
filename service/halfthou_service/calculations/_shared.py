"""What several calculations share: the working cycle, and the words for inputs that are missing, too many or not whole."""

from __future__ import annotations

from collections.abc import Mapping

from .frame import CalculationError, Input

STANDARD_ATMOSPHERE = 101325.0
"""Pa; the atmosphere taken where none is given."""

GRAVITY = 9.80665
"""m/s2; standard gravity, exact by definition."""

CYCLE = Input("cycle", "choice", "", "working cycle of the engine", default="four-stroke", choices=("four-stroke", "two-stroke"))
"""Turns between two possible firings depend on it."""

TURNS_PER_FIRING: Mapping[str, float] = {"four-stroke": 2.0, "two-stroke": 1.0}

CYLINDERS = Input("cylinders", "count", "count", "number of cylinders, all alike", low=1.0, high=24.0, default=1.0)


def exactly_one(values: Mapping[str, float | str | None]) -> str:
    """The name of the one value that is given.

    Raises:
        CalculationError: none is given, or more than one.
    """
    names = ", ".join(values)
    found = [name for name, value in values.items() if value is not None]
    if not found:
        raise CalculationError(next(iter(values)), f"is missing: give one of {names}", "missing-input")
    if len(found) > 1:
        raise CalculationError(found[1], f"is one too many beside {found[0]}: give only one of {names}", "too-many-inputs")
    return found[0]


def needed(name: str, value: float | None, why: str) -> float:
    """The value, where another input makes it necessary.

    Raises:
        CalculationError: it is not given.
    """
    if value is None:
        raise CalculationError(name, f"is missing: {why}", "missing-input")
    return value


def whole(name: str, value: float) -> float:
    """A count that must be a whole number.

    Raises:
        CalculationError: it is not.
    """
    if value != round(value):
        raise CalculationError(name, f"must be a whole number, not {value:g}", "out-of-range")
    return value
