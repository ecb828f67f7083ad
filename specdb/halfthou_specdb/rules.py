"""Bounds and the closed set of rules that a bound may follow.

A bound is a rule, ``unbounded`` (nothing bad on that side) or ``none_on_file`` (unknown). A rule is worked out for an
engine's dimensions as an exact rational in the record's own unit; nothing is extrapolated.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from functools import lru_cache

from .errors import MissingDimension, OutsideRange, RuleError
from .quantity import Quantity, plain
from .units import UNITS, Unit


class Open(Enum):
    """A side without a number."""

    UNBOUNDED = "unbounded"
    NONE_ON_FILE = "none_on_file"


UNBOUNDED, NONE_ON_FILE = Open.UNBOUNDED, Open.NONE_ON_FILE


@dataclass(frozen=True, slots=True)
class Constant:
    """A fixed figure in the record's unit."""

    value: Decimal


@dataclass(frozen=True, slots=True)
class Linear:
    """offset + per x dimension, kept between floor and ceiling where they are given."""

    per: Decimal
    of: str
    of_unit: str
    offset: Decimal = Decimal(0)
    floor: Decimal | None = None
    ceiling: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Steps:
    """A step table: over ``start``, each value holds up to and including its ``to``."""

    of: str
    of_unit: str
    start: Decimal
    steps: tuple[tuple[Decimal, Decimal], ...]


@dataclass(frozen=True, slots=True)
class Relative:
    """times x another bound + plus + plus_per x dimension. ``bound`` is ``fit.high``, ``L123.low``, or ``original``."""

    bound: str
    times: Decimal = Decimal(1)
    plus: Decimal = Decimal(0)
    plus_per: Decimal = Decimal(0)
    of: str = ""
    of_unit: str = ""


@dataclass(frozen=True, slots=True)
class PerSpeed:
    """offset + per_speed for every ``per_rpm`` rpm of rated speed."""

    per_speed: Decimal
    per_rpm: Decimal
    offset: Decimal = Decimal(0)


Rule = Constant | Linear | Steps | Relative | PerSpeed
Bound = Rule | Open
Value = Fraction | Open
Sizes = Mapping[str, Quantity]
Lookup = Callable[[str], Value]
"""Gives the value of a named other bound; raises RuleError when it cannot."""


exact = lru_cache(maxsize=8192)(Fraction)
"""A decimal of the table as the rational it is; the same few thousand are asked for again and again."""


def _size(dimensions: Sizes, name: str, unit: str) -> Fraction:
    quantity = dimensions.get(name)
    if quantity is None:
        raise MissingDimension(name)
    return quantity.to(UNITS[unit])


def _no_lookup(name: str) -> Value:
    raise RuleError(f"{name} is not known here")


def evaluate(bound: Bound, dimensions: Sizes, lookup: Lookup = _no_lookup) -> Value:
    """Work a bound out for an engine: an exact value in the record's unit, or the open side itself.

    Raises:
        MissingDimension: the rule needs a dimension that is not known.
        OutsideRange: a step table does not reach this size.
        RuleError: a relative rule whose other bound has no number.
    """
    if isinstance(bound, Open):
        return bound
    if isinstance(bound, Constant):
        return exact(bound.value)
    match bound:
        case Linear():
            result = exact(bound.per) * _size(dimensions, bound.of, bound.of_unit)
            if bound.offset:
                result += exact(bound.offset)
            if bound.floor is not None:
                result = max(result, Fraction(bound.floor))
            if bound.ceiling is not None:
                result = min(result, Fraction(bound.ceiling))
            return result
        case Steps():
            return _step(bound, _size(dimensions, bound.of, bound.of_unit))
        case PerSpeed():
            speed = _size(dimensions, "rated-speed", "rpm")
            return Fraction(bound.offset) + Fraction(bound.per_speed) * speed / Fraction(bound.per_rpm)
        case Relative():
            base = lookup(bound.bound)
            if isinstance(base, Open):
                raise RuleError(f"{bound.bound} has no number to start from")
            extra = Fraction(bound.plus)
            if bound.plus_per:
                extra += Fraction(bound.plus_per) * _size(dimensions, bound.of, bound.of_unit)
            return Fraction(bound.times) * base + extra


def _step(rule: Steps, size: Fraction) -> Fraction:
    if size <= Fraction(rule.start):
        raise OutsideRange(f"the table starts over {plain(rule.start)} {rule.of_unit} of {rule.of}")
    for to, value in rule.steps:
        if size <= Fraction(to):
            return Fraction(value)
    raise OutsideRange(f"the table ends at {plain(rule.steps[-1][0])} {rule.of_unit} of {rule.of}")


def needs(bound: Bound) -> frozenset[str]:
    """Names of the dimensions a bound cannot be worked out without."""
    match bound:
        case Linear(of=of) | Steps(of=of):
            return frozenset({of})
        case PerSpeed():
            return frozenset({"rated-speed"})
        case Relative(of=of, plus_per=per) if per:
            return frozenset({of})
        case _:
            return frozenset()


def in_words(bound: Bound, unit: Unit) -> str:
    """The rule as a person would say it: ``0.0015 x crankpin + 0.0005 in, never under 0.001 in``."""
    u = f" {unit.symbol}" if unit.symbol else ""
    match bound:
        case Open():
            return "no bound" if bound is UNBOUNDED else "none known"
        case Constant(value):
            return f"{plain(value)}{u}"
        case Linear():
            slope = f"{plain(bound.per)} {_per(unit, bound.of_unit)} of {_spoken(bound.of)}"
            text = slope if not bound.offset else f"{slope} {'plus' if bound.offset > 0 else 'less'} {plain(abs(bound.offset))}{u}"
            text += f", never under {plain(bound.floor)}{u}" if bound.floor is not None else ""
            return text + (f", never over {plain(bound.ceiling)}{u}" if bound.ceiling is not None else "")
        case Steps():
            parts = "; ".join(f"up to {plain(to)} {bound.of_unit}: {plain(value)}{u}" for to, value in bound.steps)
            return f"by {_spoken(bound.of)}: {parts}"
        case PerSpeed():
            head = f"{plain(bound.offset)}{u} plus " if bound.offset else ""
            return f"{head}{plain(bound.per_speed)}{u} for every {plain(bound.per_rpm)} rpm"
        case Relative():
            base = {"fit.high": "the loose end of a new fit", "fit.low": "the tight end of a new fit",
                    "original": "the size when new"}.get(bound.bound, bound.bound)  # fmt: skip
            text = base if bound.times == 1 else f"{plain(bound.times)} x {base}"
            text += f" plus {plain(bound.plus)}{u}" if bound.plus else ""
            return text + (f" plus {plain(bound.plus_per)} x {_spoken(bound.of)}" if bound.plus_per else "")


def _spoken(dimension: str) -> str:
    return dimension.replace("-", " ")


def _per(unit: Unit, of_unit: str) -> str:
    names = {"in": "in per inch", "mm": "mm per mm"}
    if unit.token == of_unit and unit.token in names:
        return names[unit.token]
    return f"{unit.symbol or unit.token} per {of_unit}"


def parse_bound(raw: object, unit: Unit, scale: str, dimension_units: Mapping[str, str]) -> Bound:
    """Read a bound as it stands in a data file.

    Args:
        raw: a number, a string, or a table of one of the rule kinds.
        unit: the record's unit.
        scale: the dimension rules scale with when they name none.
        dimension_units: dimension id -> its own unit.

    Raises:
        RuleError: not one of the rule kinds, or a key it does not know.
    """
    if isinstance(raw, str):
        try:
            return Open(raw)
        except ValueError:
            raise RuleError(f"{raw!r} is neither a number, 'unbounded' nor 'none_on_file'") from None
    if isinstance(raw, bool) or not isinstance(raw, (int, Decimal, dict)):
        raise RuleError(f"{raw!r} is not a bound")
    if isinstance(raw, (int, Decimal)):
        return Constant(Decimal(raw))
    table = dict(raw)
    of = str(table.pop("of", scale))
    of_unit = str(table.pop("of_unit", "")) or _of_unit(of, unit, dimension_units)
    numbers = {k: Decimal(v) for k, v in table.items() if isinstance(v, (int, Decimal)) and not isinstance(v, bool)}
    keys = set(table)
    if "steps" in keys and keys <= {"steps", "from"}:
        steps = tuple((Decimal(s["to"]), Decimal(s["value"])) for s in table["steps"])
        if [to for to, _ in steps] != sorted({to for to, _ in steps}):
            raise RuleError("the steps of a table must rise")
        return Steps(_known(of, dimension_units), of_unit, numbers.get("from", Decimal(0)), steps)
    if keys != set(numbers) | ({"bound"} & keys):
        raise RuleError(f"a rule may hold numbers only; look at {', '.join(sorted(keys - set(numbers)))}")
    if "bound" in keys and keys <= {"bound", "times", "plus", "plus_per"}:
        numbers.pop("bound", None)
        return Relative(str(table["bound"]), **numbers, of=of if "plus_per" in keys else "", of_unit=of_unit)
    if "per" in keys and keys <= {"per", "offset", "floor", "ceiling"}:
        return Linear(of=_known(of, dimension_units), of_unit=of_unit, **numbers)
    if {"per_speed", "per_rpm"} <= keys and keys <= {"per_speed", "per_rpm", "offset"}:
        return PerSpeed(**numbers)
    raise RuleError(f"no rule kind has just these keys: {', '.join(sorted(keys))}")


def _known(of: str, dimension_units: Mapping[str, str]) -> str:
    if of not in dimension_units:
        raise RuleError(f"a rule scales with {of!r}, which is not a dimension")
    return of


def _of_unit(of: str, unit: Unit, dimension_units: Mapping[str, str]) -> str:
    own = UNITS.get(dimension_units.get(of, ""), None)
    if own is None:
        return unit.token
    return unit.token if own.dimension == unit.dimension else own.token


def needs_text(missing: frozenset[str]) -> str:
    """The dimensions a person must state, in words."""
    return ", ".join(sorted(missing))


