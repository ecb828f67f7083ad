"""The list for the first start: before the wheel is touched, turning it over, the first ten minutes, and what ends the run.

Figures come from the table at this engine's sizes; every line that guards people names its caution.
"""

from __future__ import annotations

from dataclasses import dataclass

from halfthou_specdb.rules import Open

from ..readings import ReadingProblem
from ..verdict import Bench
from .figures import System, span
from .rim import rim_stop_rpm


@dataclass(frozen=True, slots=True)
class Check:
    """One line with a box to tick; ``caution`` is the id of the caution behind it."""

    says: str
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """Lines that belong together, in order."""

    title: str
    lines: tuple[Check, ...]


@dataclass(frozen=True, slots=True)
class FirstStart:
    """The whole list."""

    groups: tuple[Group, ...]


BEFORE = (
    Check("Out of doors, downwind of people; the exhaust points at nobody.", "C030"),
    Check("Nobody in the plane of the wheels, in front or behind. Rope or fence up, children held.", "C053"),
    Check("Extinguisher for liquid fuel within reach; no leak anywhere; fuel wiped up and dry.", "C018"),
    Check("Kill at arm's length: spark cut or grounded, tried ten times with the engine still.", "C029"),
    Check("Fuel shut-off reached from the same place, and the exhaust valve can be held open by hand.", "C067"),
    Check("Key witness mark: one scribed line across key head, hub and shaft end, both wheels.", "C028"),
    Check("Governor swung by hand to its stop and back; latch or throttle follows. Second stop tried.", "C029"),
    Check("Water over the cylinder. Oilers filled and opened, drops counted; grease cups turned; every bearing oiled by hand."),
    Check("Two whole turns by hand, spark dead, fuel shut: no tight place, nothing touches, nothing left inside.", "C048"),
    Check("No gloves, no loose sleeves or hair; tools and rags out of the wheels.", "C060"),
)
TURNING = (
    Check("Spark retarded to dead centre or after, seen with a lamp, not guessed.", "C021"),
    Check("Face away from plug hole, igniter and exhaust.", "C049"),
    Check("Hold the intake valve open until the wheel rolls, where it can be held; then let it breathe.", "C022"),
    Check("Pull the rim or crank up and towards you, a quarter turn; thumb on the finger side; never push down, never through spokes.", "C050"),
    Check("It kicks: stop. Look at the spark before the next pull.", "C023"),
    Check("No ether, no priming from an open can.", "C068"),
)

AFTER = (
    Check("Fuel shut, spark grounded, before a hand goes near the wheel.", "C048"),
    Check("Key witness marks: a line that moved ends the day, the key is refitted.", "C028"),
    Check("Cap nuts, head nuts, shims: once cold, by feel, evenly."),
    Check("Drain water where it may freeze, pump and hopper both.", "C037"),
    Check("Again after the first hour, and every day after."),
)


def first_start(bench: Bench, system: System) -> FirstStart:
    """The list for this engine."""
    return FirstStart((
        Group("Before anybody touches the wheel", BEFORE), Group("Turning it over", TURNING),
        Group("The first ten minutes", _ten_minutes(bench, system)), Group("Kill it at once if", _kill(bench, system)),
        Group("After it has stopped", AFTER),
    ))  # fmt: skip


def _new(bench: Bench, characteristic: str, system: System) -> str:
    """A new fit of the table, told; empty where none is on file."""
    what = bench.table.characteristics.get(characteristic)
    if what is None:
        return ""
    try:
        found = bench.limit_for(what)
    except ReadingProblem:
        return ""
    if found.fit is None or (isinstance(found.fit.low, Open) and isinstance(found.fit.high, Open)):
        return ""
    return str(span(found.fit.low, found.fit.high, found.fit.unit, system))


def _ten_minutes(bench: Bench, system: System) -> tuple[Check, ...]:
    governed = _new(bench, "governed-speed", system)
    return (
        Check("One hand on the kill until the governor has been seen to hold" + (f" ({governed})." if governed else "."), "C029"),
        Check("Minute 1: stop it. Key witness marks, both wheels. Nuts of rod and main caps. Feel every bearing, engine stopped.", "C028"),
        Check("Minute 3: slow and light, spark advanced a little at a time. Listen: a knock that goes when the spark is cut is load or spark."),
        Check("Oil drops counted again; oil seen at both edges of every bearing."),
        Check("Minute 10: stop it. Key witness marks again. Bearings: hand, then thermometer. Water level. Leaks, hot.", "C028"),
        Check("Never reach past a turning wheel; never leave it, not for a minute.", "C066"),
    )


def _kill(bench: Bench, system: System) -> tuple[Check, ...]:
    rpm = rim_stop_rpm(bench)
    heat = _new(bench, "bearing-running-temperature", system)
    fast = f"It passes {rpm} rpm (for a sound wheel cast in one piece; any other is not run)." if rpm else "It gains speed."
    return (
        Check(fast, "C027"),
        Check("The governor misses once, or the speed creeps.", "C029"),
        Check("A wheel wobbles more than it did by hand, a key head moves, anything rocks.", "C028"),
        Check("A knock begins or grows; a bearing smokes, smells" + (f" or rises past {heat.removeprefix('up to ')} over the air." if heat else ".")),
        Check("Fuel drips; flame anywhere; water or steam where there should be none.", "C018"),
        Check("Anybody steps inside the rope.", "C066"),
        Check("Kill the spark and hold the exhaust open: shutting the fuel alone lets it run on.", "C067"),
    )
