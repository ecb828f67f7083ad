"""What every calculation declares, and how one is run: quantities in, quantities out, doubt carried through.

A calculation is a pure function of SI floats (angles in radians, rotational speed in rev/s, temperatures in kelvin) beside a declaration of
its inputs and outputs. The frame converts units exactly, refuses the wrong kind of unit and values out of range by name, and propagates
standard uncertainties to first order (JCGM 100:2008, 5.1.2) by central differences.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.units import UNITS, units_of

SI_SCALE = {"angle": 2.0 * math.pi}
"""Canonical unit of the table -> SI unit used inside, where they differ: the turn -> the radian."""


class CalculationError(Exception):
    """An input that is missing, of the wrong kind, out of range or impossible. ``name`` says which."""

    def __init__(self, name: str, message: str, code: str = "bad-input") -> None:
        super().__init__(f"{name}: {message}" if name else message)
        self.name, self.code = name, code


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
    """
    known = {i.name: i for i in what.inputs}
    for name in given:
        if name not in known:
            raise CalculationError(name, f"is not an input of {what.id}; it takes {', '.join(known)}", "unknown-input")
    values: dict[str, Value] = {}
    assumed: list[str] = []
    for item in what.inputs:
        if item.name in given:
            values[item.name] = _read(item, given[item.name])
        elif item.default is not None:
            values[item.name] = item.default
            assumed.append(f"{item.name} not given: taken as {_told_default(item)}")
        elif item.required:
            raise CalculationError(item.name, f"is missing: {item.says}", "missing-input")
        else:
            values[item.name] = None
    if what.check is not None:
        what.check({k: v for k, v in values.items() if isinstance(v, float)})
    result = what.run(**values)
    spread = _spread(what, values, uncertainties or {}, result)
    outputs = tuple(_tell(o, result.values.get(o.name), spread.get(o.name), system) for o in what.outputs)
    return Answer(what, outputs, result.flags, tuple(assumed))


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


def _spread(
    what: Calculation, values: Mapping[str, Value], doubts: Mapping[str, Quantity], result: Result
) -> dict[str, float]:
    squares: dict[str, float] = {}
    inputs = {i.name: i for i in what.inputs}
    for name, doubt in doubts.items():
        item = inputs.get(name)
        if item is None:
            raise CalculationError(name, f"is not an input of {what.id}", "unknown-input")
        centre = values[name]
        wanted = "temperature_difference" if item.dimension == "temperature" else item.dimension
        if not isinstance(centre, float) or doubt.unit.dimension != wanted:
            raise CalculationError(name, f"its uncertainty must be {wanted.replace('_', ' ')}", "wrong-dimension")
        u = si(doubt)
        if u < 0:
            raise CalculationError(name, "an uncertainty cannot be negative", "out-of-range")
        if u == 0:
            continue
        step = min(u, abs(centre) * 1e-4) or u * 1e-3
        up, down = (what.run(**{**values, name: centre + s}).values for s in (step, -step))
        for key, value in result.values.items():
            a, b = up.get(key), down.get(key)
            if isinstance(value, float) and isinstance(a, float) and isinstance(b, float):
                squares[key] = squares.get(key, 0.0) + ((a - b) / (2 * step) * u) ** 2
    return {key: math.sqrt(s) for key, s in squares.items()}


def _tell(output: Output, value: float | str | bool | None, u: float | None, system: str) -> Told:
    if value is None or isinstance(value, (str, bool)) or output.dimension in ("text", "flag"):
        return Told(output.name, output.says, value, "")
    unit = output.metric if system == "metric" else output.inch
    scale = float(UNITS[unit].factor) * SI_SCALE.get(UNITS[unit].dimension, 1.0)
    return Told(output.name, output.says, from_si(float(value), unit), unit, None if u is None else u / scale)
