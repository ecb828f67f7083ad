"""Things that are set by a screw, a bend or a move: how far to the middle of what is wanted, and nothing is cut."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from halfthou_specdb.rules import Open
from halfthou_specdb.units import UNITS

from ._packs import up_to_one_figure
from .case import Case, Family
from .model import Amount, CostClass, Remedy


@dataclass(frozen=True, slots=True)
class Setting:
    """How one thing is set: what to do on each side, with what, and what to look at afterwards."""

    low: str
    high: str
    tools: tuple[str, ...]
    steps: tuple[str, ...]
    risk: str
    after: tuple[str, ...] = ()
    cost: CostClass = "free"


FEELER = ("feeler gauge",)
TIMING = ("igniter-timing", "igniter-timing-start")
LASH_STEPS = ("Set it with the valve shut and the roller on the back of the cam.", "Lock the screw and measure again.",
              "Check once more after the first hot run.")
SETTINGS: dict[str, Setting] = {
    "valve-lash-exhaust": Setting("Back the screw off and lock it", "Take up the screw and lock it", FEELER, LASH_STEPS,
                                  "No lash holds the valve open and burns it; much lash shortens its opening.",
                                  ("valve-lash-exhaust", "exhaust-valve-opening")),
    "valve-lash-inlet": Setting("Back the screw off and lock it", "Take up the screw and lock it", FEELER, LASH_STEPS,
                                "No lash holds the valve open.", ("valve-lash-inlet", "inlet-valve-opening")),
    "spark-plug-gap": Setting("Bend the side electrode out", "Bend the side electrode in", ("wire gauge",),
                              ("Never bend the middle electrode.", "A burnt plug is renewed."),
                              "A bent middle electrode cracks the insulator."),
    "hightension-point-gap": Setting("Open it at the adjusting contact", "Close it at the adjusting contact", FEELER,
                                     ("Set it with the points full open.", "Check the timing afterwards: it moves with the gap."),
                                     "Timing moves with the gap.",
                                     ("hightension-point-gap", "igniter-timing")),
    "igniter-point-gap": Setting("Open it at the stop screw", "Close it at the stop screw", FEELER,
                                 ("Dress pitted points flat first.", "Snap it by hand, away from fuel, and look."),
                                 "A narrow gap makes a thin spark.",
                                 ("igniter-point-gap", "igniter-snap-spark")),
    "vibrator-rest-gap": Setting("Bend the spring up", "Bend the spring down", ("rule",), ("A little at a time, battery off.",),
                                 "A kinked spring breaks.",
                                 ("vibrator-rest-gap", "buzz-coil-current")),
    "coil-test-gap": Setting("", "Close the gap before switching on", ("rule",), ("Battery off while you set it.",),
                             "An open coil punctures; its spark is dangerous."),
    "trip-finger-play": Setting("Back the screw off", "Take up the screw, or build up the finger", FEELER,
                                ("Lock it; measure the timing again.",),
                                "The spark moves with the play.", ("trip-finger-play", *TIMING)),
    "magneto-armature-swing": Setting("Lengthen the link or move the trip", "Shorten the link or move the trip",
                                      ("degree wheel or rim tape",),
                                      ("Look that the springs bring it home.",), "Timing moves with it.",
                                      ("magneto-armature-swing", "lowtension-mag-output", *TIMING)),
    "detent-clearance": Setting("Shorten the rod's adjustment", "Lengthen the rod's adjustment; turn or square a worn block", FEELER,
                                ("Hook it up by hand and try it ten times.",), "A latch that slips lets the engine run away.",
                                ("detent-clearance", "detent-rest-gap", "governor-overspeed-travel")),
    "detent-rest-gap": Setting("Adjust the governor arm screw", "Adjust the governor arm screw; look for a worn spindle end", FEELER,
                               ("Move the weights out by hand and see it hook.",), "A latch that cannot hook lets the engine run away.",
                               ("detent-rest-gap", "detent-clearance", "governor-overspeed-travel")),
    "mixer-overflow-level": Setting("Lower the overflow or bend the float arm", "Raise the overflow; clear the pump", ("rule",),
                                    ("No flame near; wipe up first.",),
                                    "A level too high drips fuel."),
    "buzz-coil-current": Setting("Tighten the spring a little", "Ease the spring; dress the points", ("ammeter",),
                                 ("A small turn, then read again.",),
                                 "Too much current burns the points."),
    "intake-valve-lift": Setting("Free the stem; set nut, pin or lash", "Set the stop, or nut and pin", ("rule or dial indicator",),
                                 ("Lock the nut by its pin.",),
                                 "A nut that runs off drops the valve.", ("intake-valve-lift", "suction-valve-opening-suction")),
    "fuel-lift-height": Setting("", "Raise the tank or the level in it", ("rule",), ("Never above the mixer on a suction-fed engine.",),
                                "Fuel runs down to a high mixer by itself."),
    "oiler-fill-gap": Setting("", "Fill it", (), ("Before every run.",), "A dry oiler seizes the piston."),
    "cylinder-oil-drip": Setting("Open the needle by trial, hot", "Close the needle a little at a time", ("watch",),
                                 ("Until only a trace of blue shows at the exhaust.",),
                                 "Too little scuffs the bore.", ("cylinder-oil-drip",)),
    "barrier-distance": Setting("Move the engine or the fence", "", ("tape",), ("Wheels in line with the fence, not facing the crowd.",),
                                "None.", (), "free"),
    "refuel-distance": Setting("Stop pouring, cap the can, and move away", "", ("tape",), ("Let it cool first.",),
                               "Vapour travels along the ground."),
    "flywheel-rail-distance": Setting("Move the rail out", "Move the rail in, or close the wheel in", ("tape",), ("Both wheels.",),
                                      "None."),
    "paint-recoat-time": Setting("Wait longer", "", ("watch",), ("Longer still when it is cold or damp.",),
                                 "A coat put on too soon wrinkles."),
    "instrument-zero-check": Setting("Reset the tool, or add this to every reading", "Reset the tool, or take this off every reading",
                                     ("gauge block or setting rod",),
                                     ("Wipe both faces first.",), "Readings taken before are off by as much."),
    "head-clearance": Setting("Fit a thicker gasket, or find what was changed: rod, head, piston", "", ("lead wire", "micrometer"),
                              ("Turn it through by hand, lead on the piston, before any start.",),
                              "A piston that touches the head breaks it.",
                              ("head-clearance", "compression-ratio", "turnover-freedom"), "part"),
    "piston-top-land-clearance": Setting("Turn the top land down", "", ("lathe", "micrometer"), ("Take it off evenly round.",),
                                         "The top land runs hottest and seizes first.",
                                         (), "machine"),
    "governed-speed": Setting("Take up the spring or lever, when power is wanted",
                              "Stop; free the governor, then weaken the spring or move the lever", ("tachometer",),
                              ("Try the weights and latch by hand, engine still.",
                               "A way to kill the spark and one to shut the fuel within reach."),
                              "A governor that sticks lets the engine run away.",
                              ("governed-speed", "governor-overspeed-travel", "flywheel-rim-speed")),
}  # fmt: skip
SAFE_BY = 2
"""Doubts (k) by which a safety limit is cleared: doubt counts against it."""


def propose(case: Case) -> Iterator[Remedy]:
    """The change to the middle of what is wanted; for one bound alone, to the bound and past the tool's doubt."""
    setting, value = SETTINGS[case.what.id], case.value
    aim = _aim(case)
    if value is None or aim is None or not case.side:
        return
    title = setting.low if case.side == "low" else setting.high
    if not title:
        return
    amount: list[Amount] = [("by", abs(aim - value), case.unit)]
    note = ""
    threads = case.facts.valve.screw_threads
    if case.what.id.startswith("valve-lash") and threads is not None and case.unit.dimension == "length":
        turns = abs(aim - value) * case.unit.factor * threads.canonical
        amount.append(("which is", turns, UNITS["turn"]))
        note = "That is at the screw; a rocker with unequal arms multiplies it"
    yield case.remedy("set", title, setting.cost, reversible=setting.cost == "free", amount=amount, predicted=aim,
                      tools=setting.tools, steps=setting.steps, risk=setting.risk, after=setting.after or (case.what.id,), note=note,
                      asks=("threads of the screw",) if case.what.id.startswith("valve-lash") and threads is None else ())  # fmt: skip


def _aim(case: Case) -> Fraction | None:
    """The middle of the loose half; past a lone bound by the tool's doubt, rounded up, and never on it."""
    if case.both is not None:
        return case.aim
    u = case.doubt
    bound = case.low if not isinstance(case.low, Open) else case.high
    if isinstance(bound, Open):
        return None
    room = max(up_to_one_figure(SAFE_BY * u), case.room(bound))
    if bound is case.low:
        return bound + room
    return max(bound - room, Fraction(0)) if case.what.non_negative else bound - room


FAMILY = Family("settings", frozenset(SETTINGS), propose)
