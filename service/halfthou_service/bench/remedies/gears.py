"""Backlash by the centres: j = 2 dC tan(pressure angle); what the centres cannot cure is said."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from ._telling import practical
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
    least, most = _met(case, case.value)
    if most - least >= high - low:
        case.as_written = False
        yield case.nothing(f"Nothing with the centres: a gear is out of true. It reads from {case.say(least)} to {case.say(most)} round it, as far "
                           f"apart as the whole range is wide, or further; what takes the slack out of one mesh bottoms another",
                           "Look for a bent stud or shaft, dirt in a tooth, a worn patch, a gear loose on its seat; else a new gear.")  # fmt: skip
        return
    aim = _aim(case, case.value, case.aim, low - least, high - most)
    gear = case.facts.gear
    angle = DEFAULT_ANGLE if gear.pressure_angle is None else float(gear.pressure_angle.canonical) * 2 * math.pi
    move = abs(spread_for(aim - case.value, angle)).limit_denominator(10**9)
    way = "closer" if case.side == "high" else "apart"
    amount: list[Amount] = [(f"centres {way} by", move, case.unit)]
    asks = (*(() if gear.pressure_angle is not None else ("pressure angle; 14.5 degrees was taken",)),
            *(() if gear.centres_adjust is not None else ("whether the centres can be moved",)))  # fmt: skip
    risk = "Closed until a tooth bottoms, a gear breaks: leave the tight place its backlash."
    tight = f"The tightest mesh known reads {case.say(least)} now and about {case.say(least + aim - case.value)} then" if most > least else ""
    if gear.centres_adjust is not False:
        yield case.remedy("move-centres", f"Bring the gear centres {way}, if they adjust", "free", reversible=True, amount=amount,
                          predicted=aim,
                          tools=("dial indicator",), steps=STEPS, risk=risk, after=AFTER, asks=asks, note=tight)  # fmt: skip
    if gear.centres_adjust is not True:
        yield case.remedy("eccentric-bush", f"Bush the cam-gear stud out of centre to bring it {way}", "machine", amount=amount,
                          predicted=aim,
                          tools=("lathe", "dial indicator"), steps=STEPS, risk=risk, after=(*AFTER, "camshaft-bearing-clearance"),
                          asks=asks, note=tight)  # fmt: skip
    if case.side == "high":
        yield _new_gear(case, "A new gear, where the teeth themselves are worn thin")


def _new_gear(case: Case, title: str) -> Remedy:
    return case.remedy("new-gear", title, "part", steps=STEPS, risk="Mark and prove the mesh.", after=AFTER, grade="common-practice")


def _met(case: Case, value: Fraction) -> tuple[Fraction, Fraction]:
    """The least and the greatest backlash known at any mesh: moved centres move them all."""
    known = [value, *case.measured("timing-gear-backlash", anywhere=True)]
    if case.reading is not None and case.reading.span is not None:
        known += [q.to(case.unit) for q in case.reading.span]
    return min(known), max(known)


def _aim(case: Case, value: Fraction, wanted: Fraction, least: Fraction, most: Fraction) -> Fraction:
    """What this mesh should read. ``least`` and ``most``: the change that leaves every mesh inside; kept clear of both by an eighth."""
    room = (most - least) / 8
    low, high = value + least + room, value + most - room
    return wanted if low <= wanted <= high else practical(min(max(wanted, low), high), low, high)


FAMILY = Family("gears", frozenset({"timing-gear-backlash"}), propose)
