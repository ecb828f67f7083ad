"""Running a calculation, and carrying standard uncertainties through it to first order (JCGM 100:2008, 5.1.2)."""

from __future__ import annotations

import math
from collections.abc import Mapping

from halfthou_specdb.quantity import Quantity

from ._declare import Calculation, CalculationError, Input, Result, UncertaintyError, Value, si


def uncertainty_dimension(item: Input) -> str:
    """The kind of unit an uncertainty of this input has: a difference for a temperature."""
    return "temperature_difference" if item.dimension == "temperature" else item.dimension


def uncertainty_faults(what: Calculation, values: Mapping[str, Value], doubts: Mapping[str, Quantity]) -> list[CalculationError]:
    """What is wrong with standard uncertainties."""
    inputs = {i.name: i for i in what.inputs}
    found: list[CalculationError] = []
    for name, doubt in doubts.items():
        item = inputs.get(name)
        if item is None:
            found.append(UncertaintyError(name, f"is not an input of {what.id}; it takes {', '.join(inputs)}", "unknown-input"))
        elif item.many or item.dimension in ("choice", "flag"):
            found.append(UncertaintyError(name, "is a list or a word, which has no uncertainty here", "wrong-kind"))
        elif doubt.unit.dimension != uncertainty_dimension(item):
            wanted = uncertainty_dimension(item).replace("_", " ")
            found.append(UncertaintyError(name, f"its uncertainty must be {wanted}; {doubt.unit.token} is "
                                          f"{doubt.unit.dimension.replace('_', ' ')}", "wrong-dimension"))  # fmt: skip
        elif doubt.canonical < 0:
            found.append(UncertaintyError(name, "an uncertainty cannot be negative", "out-of-range"))
        elif name in values and values[name] is None:
            found.append(UncertaintyError(name, "has an uncertainty but no value", "missing-input"))
    return found


def run(what: Calculation, values: Mapping[str, Value]) -> Result:
    """Run it; what overflows or divides by nothing is refused as impossible, and no answer is infinite or no number.

    Raises:
        CalculationError: what the calculation itself refuses, or no finite answer.
    """
    try:
        result = what.run(**values)
    except (ArithmeticError, ValueError):
        result = None
    if result is None or any(isinstance(v, complex) or (isinstance(v, float) and not math.isfinite(v)) for v in result.values.values()):
        raise CalculationError("", "these inputs together lead to no finite answer; check their size and their units", "impossible")
    return result


def spread(
    what: Calculation, values: Mapping[str, Value], doubts: Mapping[str, Quantity], result: Result
) -> dict[str, float]:
    """Standard uncertainty of each output [SI], by central differences.

    Raises:
        UncertaintyError: the input lies at the very end of what is possible (a dead centre), where no first-order answer is true.
    """
    squares: dict[str, float] = {}
    for name, doubt in doubts.items():
        centre, u = values[name], si(doubt)
        if not isinstance(centre, float) or u == 0:
            continue
        for key, slope in _slopes(what, values, name, centre, min(u, abs(centre) * 1e-4) or u * 1e-3, result).items():
            squares[key] = squares.get(key, 0.0) + (slope * u) ** 2
    return {key: math.sqrt(s) for key, s in squares.items()}


def _slopes(
    what: Calculation, values: Mapping[str, Value], name: str, centre: float, step: float, result: Result
) -> dict[str, float]:
    """How fast each output moves with one input. An output told on one side only is taken from there to the middle."""
    try:
        up, down = (run(what, {**values, name: x}).values for x in (centre + step, centre - step))
    except CalculationError as error:
        detail = f"no doubt can be carried through: a little further on, {error}"
        raise UncertaintyError(name, detail, "impossible") from None
    slopes: dict[str, float] = {}
    for key, value in result.values.items():
        if isinstance(value, float):
            ends = [(x, end) for x, end in ((centre + step, up.get(key)), (centre - step, down.get(key))) if isinstance(end, float)]
            ends += [(centre, value)] if len(ends) == 1 else []
            if len(ends) == 2:
                slopes[key] = (ends[0][1] - ends[1][1]) / (ends[0][0] - ends[1][0])
    return slopes
