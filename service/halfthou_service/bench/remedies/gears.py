"""Backlash by the centres: j = 2 dC tan(pressure angle); what the centres cannot cure is said."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from .case import Case, Family
from .model import Amount, Remedy

DEFAULT_ANGLE = math.radians(14.5)
STEPS = ("Ignition dead, turn by hand: fingers go in with the teeth.", "Feel backlash at four places round, and set it at the tightest.",
         "Mark the mesh before anything is drawn off.")  # fmt: skip
AFTER = ("timing-gear-backlash", "cam-gear-index", "exhaust-valve-opening")


def spread_for(backlash: Fraction, pressure_angle: float) -> Fraction:
    """Change of centre distance that changes the backlash by so much (unit kept), for a small change.

    >>> float(round(spread_for(Fraction("0.00259"), math.radians(14.5)), 4))
    0.005
    """
    return backlash / Fraction(2.0 * math.tan(pressure_angle))


def propose(case: Case) -> Iterator[Remedy]:
    """Centres closer or apart; an eccentric bush where they do not move; a new gear."""
    if case.value is None or case.both is None or case.aim is None or not case.side:
        return
    low, high = case.both
    span = _span(case)
    if span is not None and span[1] - span[0] > high - low:
        yield case.nothing(f"It differs by {case.say(span[1] - span[0])} round the gear, more than the whole range; no centre distance cures that",
                           "Look for a bent stud or shaft, dirt in a tooth, or a worn patch; a new gear if the teeth are worn.")  # fmt: skip
        return
    aim = case.aim
    if span is not None and span[0] != span[1]:  # the tight place must stay in
        offset = case.value - span[0] if case.side == "high" else span[1] - case.value
        middle = (low + high - (span[1] - span[0])) / 2
        aim = middle + offset if case.side == "high" else middle
        aim = min(max(aim, low), high)
    gear = case.facts.gear
    angle = DEFAULT_ANGLE if gear.pressure_angle is None else float(gear.pressure_angle.canonical) * 2 * math.pi
    move = abs(spread_for(aim - case.value, angle)).limit_denominator(10**9)
    way = "closer" if case.side == "high" else "apart"
    amount: list[Amount] = [(f"centres {way} by", move, case.unit)]
    asks = (*(() if gear.pressure_angle is not None else ("pressure angle; 14.5 degrees was taken",)),
            *(() if gear.centres_adjust is not None else ("whether the centres can be moved",)))  # fmt: skip
    risk = "Closed until a tooth bottoms, a gear breaks: leave the tight place its backlash."
    if gear.centres_adjust is not False:
        yield case.remedy("move-centres", f"Bring the gear centres {way}, if they adjust", "free", reversible=True, amount=amount,
                          predicted=aim,
                          tools=("dial indicator",), steps=STEPS, risk=risk, after=AFTER, asks=asks)  # fmt: skip
    if gear.centres_adjust is not True:
        yield case.remedy("eccentric-bush", f"Bush the cam-gear stud out of centre to bring it {way}", "machine", amount=amount,
                          predicted=aim,
                          tools=("lathe", "dial indicator"), steps=STEPS, risk=risk, after=(*AFTER, "camshaft-bearing-clearance"),
                          asks=asks)  # fmt: skip
    if case.side == "high":
        yield case.remedy("new-gear", "A new gear, where the teeth themselves are worn thin", "part", steps=STEPS,
                          risk="Mark and prove the mesh.",
                          after=AFTER, grade="common-practice")  # fmt: skip


def _span(case: Case) -> tuple[Fraction, Fraction] | None:
    if case.reading is None or case.reading.span is None:
        return None
    low, high = (q.to(case.unit) for q in case.reading.span)
    return low, high


FAMILY = Family("gears", frozenset({"timing-gear-backlash"}), propose)
