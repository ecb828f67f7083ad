"""Spark and valve timing: by how many degrees, and how far that is round the rim."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from halfthou_specdb.rules import Open
from halfthou_specdb.units import UNITS

from ..observed import HALF_TURN_PI
from ._telling import practical
from .case import INCH, MM, Case, Family
from .model import Amount, Remedy

SPARK = frozenset({"igniter-timing", "igniter-timing-start", "igniter-timing-slow"})
VALVES = frozenset({"exhaust-valve-opening", "exhaust-valve-closing", "inlet-valve-opening", "inlet-valve-closing"})
TURN = UNITS["turn"]
MARGIN = Fraction(2)
"""Degrees past the dead centre that a start setting is brought beyond the tool's doubt: our judgement."""
WAY = ("Turn the wheel the way it runs, and take the play up.", "Ignition dead, fuel shut, exhaust held open.",
       "Mark the trip once it is right.")


def propose(case: Case) -> Iterator[Remedy]:
    """Degrees to move, and inches round the rim where the wheel is known."""
    if case.value is None or not case.side:
        return
    aim = _aim(case)
    if aim is None:
        return
    by = abs(aim - case.value)
    amount: list[Amount] = [("by", by, case.unit)]
    wheel = case.bench.engine.dimensions.get("flywheel")
    asks = () if wheel is not None else ("flywheel diameter",)
    if wheel is not None:
        told = MM if case.bench.rules.units == "metric" else INCH
        arc = by * case.unit.factor / TURN.factor * HALF_TURN_PI * wheel.canonical / told.factor
        grid = Fraction(1) if told is MM else Fraction(1, 20)
        amount.append(("round the rim about", round(arc / grid) * grid, told))
    later = (aim < case.value) == (case.what.sign == "before")
    if case.what.id in SPARK:
        start = case.what.id == "igniter-timing-start"
        title = f"{'Do not start it. ' if start else ''}Move the trip or lever stop {'later' if later else 'earlier'}"
        yield case.remedy("move-trip", title, "free", reversible=True, amount=amount, predicted=aim, steps=WAY, tools=("lamp", "rim tape"),
                          asks=asks,
                          cautions=("C021", "C024", "C048"), after=(case.what.id, "igniter-timing-start", "igniter-timing"),
                          risk="A spark before dead centre at the crank throws the crank back at you.")  # fmt: skip
        return
    gear = case.facts.gear.cam_gear_teeth
    note = ""
    if gear:
        tooth = Fraction(720, gear) * UNITS["deg"].factor / case.unit.factor
        note = f"One tooth of the cam gear is {case.say(tooth)} of the crank"
    lash = "valve-lash-inlet" if case.what.id.startswith("inlet") else "valve-lash-exhaust"
    yield case.remedy("lash-then-gear", f"Set the lash first, then look how far the cam gear must go {'later' if later else 'earlier'}",
                      "free", reversible=True, amount=amount,
                      predicted=aim, steps=(*WAY, "Lash first; then a worn cam; a tooth of the gear last.",
                                            "Prove it by the exhaust opening after any change of mesh."),
                      tools=("paper strip", "rim tape"), after=(lash, case.what.id, "cam-gear-index"), note=note,
                      asks=(*asks, *(() if gear else ("teeth of the cam gear",))), risk="A tooth out can make the engine kick back.",
                      cautions=("C021", "C048"))  # fmt: skip


def _aim(case: Case) -> Fraction | None:
    """The middle; for a spark the later quarter, since early is what breaks things."""
    if case.both is not None and case.what.id in SPARK:
        low, high = case.both
        quarter = (high - low) / 4
        return practical(low + quarter, low + quarter / 2, low + 2 * quarter)
    if case.both is not None:
        return case.aim
    if case.what.id == "igniter-timing-start" and not isinstance(case.low, Open):
        factor = UNITS["deg"].factor / case.unit.factor
        whole = -(-(2 * case.doubt / factor) // 1)
        return case.low + (whole + MARGIN) * factor
    return case.aim


FAMILY = Family("timing", SPARK | VALVES, propose)
