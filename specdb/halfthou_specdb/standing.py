"""Standing and grade of each end of an adopted limit: computed from its derivation, typed by nobody."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from .errors import RecordError, RuleError, SpecdbError
from .quantity import Quantity
from .records import ENDS, Derivation, Evidence, Grade, Limit, Standing, weakest
from .rules import Open, Sizes, Value, evaluate
from .table import Table


@dataclass(frozen=True, slots=True)
class EndStanding:
    """How near one end is to this engine, how far its number can be trusted, and whose it is."""

    standing: Standing
    grade: Grade
    carried_from: tuple[str, ...]
    """Kins the number was stated for, where it was carried over."""


def parent(table: Table, limit: Limit, reference: str) -> tuple[Evidence, str]:
    """The evidence record and the side (``low`` or ``high``) a derivation names as ``L007.high``.

    Raises:
        RuleError: the reference is not ``id.low`` or ``id.high``.
        UnknownId: no such evidence.
    """
    evidence_id, _, side = reference.rpartition(".")
    if side not in ("low", "high"):
        raise RuleError(f"{reference!r} must end in .low or .high")
    return table.evidence(evidence_id, limit.characteristic), side


def end_standings(table: Table, limit: Limit, engine_class: str) -> Mapping[str, EndStanding]:
    """Standing and grade of each numeric end of a limit, for one engine class."""
    if limit.owner:
        return {end: EndStanding("owner", "owner", ()) for end in ENDS if not isinstance(limit.bound(end), Open)}
    kept: dict[tuple[str, str], Mapping[str, EndStanding]] = table.kept("standings")
    found = kept.get((limit.id, engine_class))
    if found is None:
        found = kept[(limit.id, engine_class)] = _standings(table, limit, engine_class)
    return found


def _standings(table: Table, limit: Limit, engine_class: str) -> Mapping[str, EndStanding]:
    result = {}
    for end, derivation in limit.derivation.items():
        parents = [parent(table, limit, ref)[0] for ref in derivation.parents]
        grades: list[Grade] = [p.grade for p in parents]
        if derivation.op != "equals":
            grades.append("derived")
        away = tuple(dict.fromkeys(p.kin for p in parents if p.kin != engine_class))
        standing: Standing = "our-judgement" if derivation.op == "judgement" else "carried-over" if away else "stated"
        result[end] = EndStanding(standing, weakest(grades), away if standing == "carried-over" else ())
    return result


def parent_value(table: Table, limit: Limit, reference: str, sizes: Sizes) -> Fraction:
    """A parent bound worked out at a size, in the limit's unit.

    Raises:
        RuleError: the parent has no number there.
    """
    evidence, side = parent(table, limit, reference)
    value = evaluate(evidence.low if side == "low" else evidence.high, sizes, lambda name: bound_named(table, limit, name, sizes))
    if isinstance(value, Open) or evidence.unit is None:
        raise RuleError(f"{reference} has no number")
    if evidence.unit.dimension != limit.unit.dimension:
        raise RuleError(f"{reference} is in {evidence.unit.token}, the limit in {limit.unit.token}")
    return value * evidence.unit.factor / limit.unit.factor


def bound_named(table: Table, limit: Limit, name: str, sizes: Sizes) -> Value:
    """The value behind ``fit.high`` of the same limit or ``L123.low`` of an evidence record."""
    if name == "original":
        raise RuleError("the size when new is not known")
    part, _, side = name.partition(".")
    if part in ("fit", "wear"):
        return evaluate(limit.bound(f"{part}_{side}"), sizes, lambda n: bound_named(table, limit, n, sizes))
    return parent_value(table, limit, name, sizes)


def worked_out(table: Table, limit: Limit, sizes: Sizes) -> dict[str, Value]:
    """All four ends of a limit at a size, in its own unit.

    Raises:
        RuleError: an end that cannot be worked out there.
    """
    return {end: bound_named(table, limit, end.replace("_", "."), sizes) for end in ENDS}


def rederived(table: Table, limit: Limit, end: str, sizes: Sizes) -> tuple[Fraction, Fraction]:
    """What the derivation allows for an end at a size: (lowest, highest); equal where it leaves no choice.

    Raises:
        RuleError: a parent without a number, or an operation that does not fit its parents.
    """
    derivation: Derivation = limit.derivation[end]
    values = [parent_value(table, limit, ref, sizes) for ref in derivation.parents]
    match derivation.op:
        case "equals":
            if len(values) != 1:
                raise RuleError("equals has one parent")
            return values[0], values[0]
        case "envelope":
            widest = (min if end.endswith("low") else max)(values)
            tightest = (max if end.endswith("low") else min)(values)
            chosen = tightest if derivation.pick == "tightest" else widest
            return chosen, chosen
        case "arithmetic":
            if derivation.how not in ("sum", "difference", "product", "") or (derivation.how == "" and len(values) != 1):
                raise RuleError("arithmetic needs how = sum, difference or product, or one parent")
            total = values[0]
            for value in values[1:]:
                total = total + value if derivation.how == "sum" else total - value if derivation.how == "difference" else total * value
            total = Fraction(derivation.times) * total + Fraction(derivation.plus)
            return total, total
        case "judgement":
            return min(values), max(values)


def trial_sizes(table: Table, limit: Limit) -> list[dict[str, Quantity]]:
    """Five sizes across a limit's range (with every other dimension at a middling size), to work its rules at."""
    base = {d: Quantity.of(2, unit) for d, unit in table.dimension_units.items()}
    base["rated-speed"] = Quantity.of(450, "rpm")
    if limit.sizes is None:
        return [base]
    low, high = limit.sizes.low, limit.sizes.high
    steps = []
    for i in range(5):
        exact = low.exact + (high.to(low.unit) - low.exact) * i / 4
        steps.append(base | {limit.sizes.of: Quantity(low.value, low.unit, exact)})
    return steps


ORDER = ("wear_low", "fit_low", "fit_high", "wear_high")
"""The ends from the lowest to the highest: worn out, tight, loose, worn out."""


def upside_down(ends: Mapping[str, Value]) -> str:
    """Which end lies over which, where an interval is upside down or the wear bounds lie inside the fit; otherwise empty."""
    rising = [(end, value) for end in ORDER if not isinstance(value := ends[end], Open)]
    return next((f"{under} over {over}" for (under, low), (over, high) in pairwise(rising) if low > high), "")


def derivation_faults(table: Table, limit: Limit) -> list[str]:
    """What does not follow: each numeric end re-derived at five sizes across the range."""
    faults = []
    for end in limit.derivation:
        derivation = limit.derivation[end]
        for sizes in trial_sizes(table, limit):
            try:
                value = bound_named(table, limit, end.replace("_", "."), sizes)
                lowest, highest = rederived(table, limit, end, sizes)
            except SpecdbError as error:
                if isinstance(error, RecordError):
                    raise
                faults.append(f"{end}: {error}")
                break
            may_lie_outside = derivation.op == "judgement" and derivation.outside
            if isinstance(value, Open) or (not lowest <= value <= highest and not may_lie_outside):
                where = f" at {limit.sizes.of} {float(sizes[limit.sizes.of].exact):g}" if limit.sizes else ""
                got = value if isinstance(value, Open) else float(value)
                faults.append(f"{end}: {got} is not what its derivation gives{where}: {float(lowest):g} to {float(highest):g}")
                break
    return faults


