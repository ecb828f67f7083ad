"""How every calculation is run: quantities in, quantities out, doubt carried through.

A calculation is a pure function of SI floats (angles in radians, rotational speed in rev/s, temperatures in kelvin) beside a declaration of
its inputs and outputs. The frame converts units exactly, refuses the wrong kind of unit and values out of range by name, and propagates
standard uncertainties to first order (JCGM 100:2008, 5.1.2) by central differences.
"""

from __future__ import annotations

from collections.abc import Mapping

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.units import UNITS, units_of

from ._declare import (
    SI_SCALE,
    Answer,
    Calculation,
    CalculationError,
    Flag,
    Given,
    Input,
    Output,
    Result,
    Told,
    UncertaintyError,
    Value,
    from_si,
    si,
)
from ._spread import run, spread, uncertainty_dimension, uncertainty_faults

__all__ = [
    "Answer", "Calculation", "CalculationError", "Flag", "Given", "Input", "Output", "Result", "Told", "UncertaintyError", "Value",
    "calculate", "faults", "from_si", "si", "uncertainty_dimension",
]  # fmt: skip


def calculate(
    what: Calculation, given: Mapping[str, Given], uncertainties: Mapping[str, Quantity] | None = None, system: str = "inch"
) -> Answer:
    """Run a calculation.

    Args:
        given: input name -> quantity, choice or flag.
        uncertainties: input name -> standard uncertainty (k = 1), in a unit of the input's kind (differences for temperatures).
        system: ``inch`` or ``metric``: the units outputs are told in.

    Raises:
        CalculationError: unknown, missing, wrong kind, out of range, impossible geometry; names the input.
        UncertaintyError: the same of an uncertainty.
    """
    values, assumed, faults = _read_all(what, given)
    faults += uncertainty_faults(what, values, uncertainties or {})
    if faults:
        raise faults[0]
    if what.check is not None:
        what.check({k: v for k, v in values.items() if isinstance(v, float)})
    result = run(what, values)
    doubts = spread(what, values, uncertainties or {}, result)
    outputs = tuple(_tell(o, result.values.get(o.name), doubts.get(o.name), system) for o in what.outputs)
    return Answer(what, outputs, result.flags, tuple(assumed))


def faults(what: Calculation, given: Mapping[str, Given], uncertainties: Mapping[str, Quantity] | None = None) -> list[CalculationError]:
    """Everything wrong with inputs taken one by one, so that all can be told at once; what only clashes together shows when it is run."""
    values, _, found = _read_all(what, given)
    return found + uncertainty_faults(what, values, uncertainties or {})


def _read_all(what: Calculation, given: Mapping[str, Given]) -> tuple[dict[str, Value], list[str], list[CalculationError]]:
    """Values by name, what was assumed, and every fault."""
    known = {i.name for i in what.inputs}
    found = [CalculationError(name, f"is not an input of {what.id}; it takes {', '.join(i.name for i in what.inputs)}", "unknown-input")
             for name in given if name not in known]  # fmt: skip
    values: dict[str, Value] = {}
    assumed: list[str] = []
    for item in what.inputs:
        if item.name in given:
            try:
                values[item.name] = _read(item, given[item.name])
            except CalculationError as error:
                found.append(error)
        elif item.default is not None:
            values[item.name] = item.default
            assumed.append(f"{item.name} not given: taken as {_told_default(item)}")
        elif item.required:
            found.append(CalculationError(item.name, f"is missing: {item.says}", "missing-input"))
        else:
            values[item.name] = None
    return values, assumed, found


def _told_default(item: Input) -> str:
    if isinstance(item.default, (str, bool)) or item.dimension in ("choice", "flag"):
        return str(item.default)
    assert item.default is not None
    return f"{from_si(float(item.default), item.unit):.6g} {UNITS[item.unit].symbol or item.unit}"


def _read(item: Input, given: Given) -> Value:
    if item.many:
        if not isinstance(given, (list, tuple)):
            raise CalculationError(item.name, f"needs a list of values with a unit ({', '.join(units_of(item.dimension)[:6])})", "wrong-kind")
        if not 1 <= len(given) <= item.many:
            raise CalculationError(item.name, f"needs 1 to {item.many} values; {len(given)} were given", "out-of-range")
        return tuple(_number(item, each) for each in given)
    if item.dimension == "flag":
        if not isinstance(given, bool):
            raise CalculationError(item.name, "must be true or false", "wrong-kind")
        return given
    if item.dimension == "choice":
        if given not in item.choices:
            raise CalculationError(item.name, f"must be one of {', '.join(item.choices)}", "wrong-kind")
        return str(given)
    return _number(item, given)


def _number(item: Input, given: object) -> float:
    if not isinstance(given, Quantity):
        raise CalculationError(item.name, f"needs a value with a unit ({', '.join(units_of(item.dimension)[:6])})", "no-unit")
    if given.unit.dimension != item.dimension:
        raise CalculationError(item.name, f"is {item.dimension.replace('_', ' ')}; {given.unit.token} is "
                               f"{given.unit.dimension.replace('_', ' ')}", "wrong-dimension")  # fmt: skip
    value = si(given)
    if (item.low is not None and (value < item.low or (item.open_low and value == item.low))) or (item.high is not None and value > item.high):
        raise CalculationError(item.name, f"{given} is out of range ({_range(item)})", "out-of-range")
    return value


def _range(item: Input) -> str:
    symbol = UNITS[item.unit].symbol
    low = None if item.low is None else f"{'over ' if item.open_low else ''}{from_si(item.low, item.unit):.6g}"
    high = None if item.high is None else f"{from_si(item.high, item.unit):.6g}"
    text = f"{low} to {high}" if low and high else low or (f"up to {high}" if high else "any")
    return f"{text} {symbol}".strip()


def _tell(output: Output, value: float | str | bool | None, u: float | None, system: str) -> Told:
    if value is None or isinstance(value, (str, bool)) or output.dimension in ("text", "flag"):
        return Told(output.name, output.says, value, "")
    unit = output.metric if system == "metric" else output.inch
    scale = float(UNITS[unit].factor) * SI_SCALE.get(UNITS[unit].dimension, 1.0)
    return Told(output.name, output.says, from_si(float(value), unit), unit, None if u is None else u / scale)
