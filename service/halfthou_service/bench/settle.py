"""What would settle a doubt if the reading stayed put: the cheapest instrument on the list, repeats, a hand test, or neither."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.records import Instrument
from halfthou_specdb.resolve import Resolved
from halfthou_specdb.table import Table

from .decide import best_possible, decide_at, gaps
from .readings import ReadingProblem, Rules
from .tools import measures, pick_variant
from .uncertainty import ENOUGH_REPEATS, Budget, variant_u

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


def settle(table: Table, resolved: Resolved, value: Fraction, u: float, found: Budget, rules: Rules, times: float = 1.0) -> Settles:
    """Look for the cheapest way to a verdict, supposing the reading stays where it is. ``times``: by how much the reading was multiplied."""
    fit, wear, back, what = resolved.fit, resolved.wear, resolved.serviceable, resolved.characteristic
    assert fit is not None and wear is not None and back is not None
    capable = best_possible(u, found.dof, back, what.non_negative) >= rules.confidence

    to_fit, to_back = gaps(value, fit.low, fit.high), gaps(value, back.low, back.high)

    def decides(with_u: float) -> bool:
        return with_u > 0 and decide_at(to_fit, to_back, with_u, math.inf, wear, what, rules).verdict != "undecided"

    shared = math.sqrt(math.fsum(line.u**2 for line in found.lines if not line.random))
    random = math.sqrt(math.fsum(line.u**2 for line in found.lines if line.random))
    whole = math.hypot(shared, random)
    if random and whole:
        for n in range(max(ENOUGH_REPEATS, found.repeats + 1), MOST_REPEATS + 1):
            if decides(u * math.hypot(shared, random * math.sqrt(found.repeats / n)) / whole):
                return Settles("repeats", capable, repeats=n)
    reading = Quantity(decimal_of(value), fit.unit, value)
    for tool in tools(table, resolved):
        try:
            variant = pick_variant(tool, "", reading, None)
        except ReadingProblem:
            continue
        finer = variant_u(variant, float(value) / times, fit.unit) * times
        if finer < u and decides(finer):
            return Settles("instrument", capable, f"{tool.id}/{variant.id}", f"{tool.name} ({variant.name})")
    for word in HAND_TESTS.get(what.component, ()):
        if word in table.characteristics:
            return Settles("hands", capable, test=table.characteristics[word].name.lower())
    return Settles("neither", capable)


HAND_TESTS = {
    "main-bearing": ("main-bearing-contact", "bearing-drag", "turnover-freedom"),
    "connecting-rod": ("bearing-drag", "turnover-freedom"),
    "wrist-pin": ("turnover-freedom",),
    "crankshaft": ("turnover-freedom",),
}
"""Tests by hand that the trade takes as evidence, by component."""


def tools(table: Table, resolved: Resolved) -> list[Instrument]:
    """Instruments suitable for the characteristic (or, failing any, of the right kind), cheapest first."""
    what, fit = resolved.characteristic, resolved.fit
    assert fit is not None
    suitable = [table.instruments[i] for i in what.instruments if i in table.instruments]
    pool = suitable or list(table.instruments.values())
    return sorted((t for t in pool if measures(t, fit.unit)), key=lambda t: t.cost_class)

