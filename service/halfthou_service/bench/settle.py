"""What would settle a doubt if the reading stayed put: the cheapest instrument on the list, repeats, a hand test, or neither."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.records import Characteristic
from halfthou_specdb.resolve import Resolved
from halfthou_specdb.table import Table
from halfthou_specdb.tool_records import Instrument

from .decide import best_possible, decide_at, gaps
from .hand_tests import offered
from .readings import Reading, ReadingProblem, Rules
from .tools import measures, pick_variant
from .uncertainty import ENOUGH_REPEATS, Budget, doubt_with

MOST_REPEATS = 10


@dataclass(frozen=True, slots=True)
class Settles:
    """``how``: instrument, repeats, hands or neither. ``capable``: whether any reading could pass with the tool used."""

    how: Literal["instrument", "repeats", "hands", "neither"]
    capable: bool
    instrument: str = ""
    tool: str = ""
    repeats: int = 0
    test: str = ""


def settle(table: Table, resolved: Resolved, value: Fraction, u: float, found: Budget, rules: Rules, reading: Reading, side: str = "",
           times: float = 1.0) -> Settles:  # fmt: skip
    """Look for the cheapest way to a verdict, supposing the reading and its scatter stay as they are.

    Args:
        side: the side in doubt.
        times: by how much the reading was multiplied.
    """
    fit, wear, back, what = resolved.fit, resolved.wear, resolved.serviceable, resolved.characteristic
    assert fit is not None and wear is not None and back is not None
    capable = best_possible(u, found.dof, back, what.non_negative) >= rules.confidence

    to_fit, to_back = gaps(value, fit.low, fit.high), gaps(value, back.low, back.high)

    def decides(with_u: float, dof: float = math.inf) -> bool:
        return with_u > 0 and decide_at(to_fit, to_back, with_u, dof, wear, what, rules).verdict != "undecided"

    whole = math.sqrt(math.fsum(line.u**2 for line in found.lines))
    repeated = _repeated(found)
    if repeated and decides(u * repeated[-1][1] / whole, repeated[-1][2]):  # where the most would not do, none would
        n = next(n for n, u_n, dof in repeated if decides(u * u_n / whole, dof))
        return Settles("repeats", capable, repeats=n)
    told = Quantity(decimal_of(value), fit.unit, value)
    for tool in tools(table, resolved):
        try:
            variant = pick_variant(tool, "", told, None)
        except ReadingProblem:
            continue
        finer = doubt_with(table, what, tool, variant, float(value) / times, fit.unit, reading) * times
        if finer < u and decides(finer):
            return Settles("instrument", capable, f"{tool.id}/{variant.id}", f"{tool.name} ({variant.name})")
    return by_hand(table, what, side, capable)


def _repeated(found: Budget) -> list[tuple[int, float, float]]:
    """(n, standard uncertainty, effective degrees of freedom) of the mean of more repeats, scattered as those before or as the tool does.

    The step of the tool stays whole. Scatter seen in n repeats is known with n - 1 degrees of freedom, however small it grows.
    """
    shared = math.sqrt(math.fsum(line.u**2 for line in found.lines if not line.random))
    random = math.sqrt(math.fsum(line.u**2 for line in found.lines if line.random))
    if not random:
        return []
    known = found.dof * (random / found.u) ** 4
    loose = random if found.own_scatter else math.sqrt(max(random**2 - found.step**2, 0.0))
    means = []
    for n in range(max(ENOUGH_REPEATS, found.repeats + 1), MOST_REPEATS + 1):
        mean = loose * math.sqrt(found.repeats / n)
        mean = max(mean, found.step) if found.own_scatter else math.hypot(mean, found.step)
        u = math.hypot(shared, mean)
        means.append((n, u, ((n - 1) if found.own_scatter else known) * (u / mean) ** 4))
    return means


def by_hand(table: Table, what: Characteristic, side: str, capable: bool, done: frozenset[str] = frozenset()) -> Settles:
    """The test by hand that would count, where there is one that was not ``done`` yet."""
    test = next((t for t in offered(table, what, side) if t.id not in done), None)
    return Settles("neither", capable) if test is None else Settles("hands", capable, test=test.name.lower())


def tools(table: Table, resolved: Resolved) -> list[Instrument]:
    """Instruments suitable for the characteristic (or, failing any, of the right kind), cheapest first."""
    what, fit = resolved.characteristic, resolved.fit
    assert fit is not None
    suitable = [table.instruments[i] for i in what.instruments if i in table.instruments]
    pool = suitable or list(table.instruments.values())
    return sorted((t for t in pool if measures(t, fit.unit)), key=lambda t: t.cost_class)

