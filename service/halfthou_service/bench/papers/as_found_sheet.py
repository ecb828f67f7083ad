"""The as-found sheet: what to write down before anything is turned, because afterwards nothing can be found out again.

Shim leaves by side, marks and positions, findings with their words to tick, and the sizes that are lost with the first turn. It comes back
as CSV: the readings as the service takes them, leaves added up to packs, marks kept beside.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from halfthou_specdb.records import Characteristic
from halfthou_specdb.units import UNITS

from ..verdict import Bench
from .assemblies import STRIP_ORDER, applying, assembly_of, feature_words, how
from .figures import System, unit_shown
from .provable import tool_named, tools_named

LEAVES = 5
"""Boxes for leaves on each side of a cap; more go on the back."""


@dataclass(frozen=True, slots=True)
class Pack:
    """The shims of one side of one cap: boxes for leaves, from the one that touches the frame or rod."""

    characteristic: str
    instance: str
    leaves: int
    instrument: str = ""


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark to make or a position to write down. ``box``: what is written (a word, turns, a length)."""

    id: str
    says: str
    box: str


@dataclass(frozen=True, slots=True)
class Finding:
    """A thing to look at: the words to tick, one box for each place."""

    characteristic: str
    name: str
    where: tuple[str, ...]
    words: tuple[str, ...]
    how: str
    only_if: str


@dataclass(frozen=True, slots=True)
class Reading:
    """A size or force to read before it is disturbed. ``on_rim``: an angle, read as a length on the rim, before or after a dead centre."""

    characteristic: str
    name: str
    where: tuple[str, ...]
    unit: str
    tool: str
    how: str
    only_if: str
    instrument: str = ""
    on_rim: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """One assembly of the sheet."""

    id: str
    name: str
    packs: tuple[Pack, ...]
    marks: tuple[Mark, ...]
    findings: tuple[Finding, ...]
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True)
class AsFoundSheet:
    """The whole sheet, in the order the engine comes apart."""

    engine_id: str
    engine_class: str
    system: System
    edition: str
    sections: tuple[Section, ...]


ON_RIM: dict[System, str] = {"inch": "inches on the rim", "metric": "mm on the rim"}
"""Where an angle is read by a tape."""
BEFORE_AFTER = ("before", "after")
MARKS: dict[str, tuple[Mark, ...]] = {
    "whole-engine": (
        Mark("photographs", "Photographs from all four sides, from above, of every pipe and rod", "how many"),
        Mark("plate", "Maker's plate and casting numbers, copied letter by letter", "copy"),
        Mark("turning-way", "Which way it turns, seen from the gear side; arrow on the rim", "clock or against"),
        Mark("dead-centre", "Inner dead centre scribed on rim and frame, by a positive stop", "done"),
    ),
    "flywheels": (
        Mark("wheel-sides", "Each hub stamped gear side, pulley side, and its outer face", "stamp"),
        Mark("key-head-gaps", "Gap behind each key head, before it is drawn", "gear / pulley"),
        Mark("wheel-place", "How far each hub stands from the bearing", "gear / pulley"),
        Mark("key-witness", "Old witness lines across key, hub and shaft: there, moved, none", "word"),
    ),
    "valve-gear": (
        Mark("gear-marks", "Timing marks of crank and cam gear; none: punch two teeth and the space", "found or made"),
        Mark("gear-backlash-place", "Tooth that meshes at inner dead centre, numbered with paint", "done"),
        Mark("exhaust-events", "Rim marks where the exhaust opens and closes, before the lash is touched", ON_RIM["inch"]),
        Mark("lash-screw", "Lash screw: threads showing above its nut", "threads"),
    ),
    "governor": (
        Mark("governor-spring", "Which hole each spring sits in, and its length there", "hole / length"),
        Mark("speed-lever", "Where the speed lever stood", "notch"),
        Mark("weights", "Each weight and its pin marked 1, 2", "done"),
    ),
    "piston": (
        Mark("piston-way", "Top of the piston, head end and pin side marked inside the skirt", "mark"),
    ),
    "rings": (
        Mark("ring-order", "Rings by groove, with the side that faced the head, tied in order", "tags"),
        Mark("ring-gaps-place", "Where each ring's gap stood, by the clock", "1 / 2 / 3 / 4"),
    ),
    "rod": (
        Mark("rod-cap", "Rod and cap stamped on one side; the side that faces the gear", "stamp"),
        Mark("rod-shims-order", "Leaves of each side tied left and right, thick and thin in their order", "tags"),
        Mark("rod-nuts", "Each nut on its own bolt; what kept it on", "pin, wire, lock nut"),
    ),
    "crankshaft": (
        Mark("shaft-ends", "Both ends stamped: which wheel, which main", "stamp"),
        Mark("end-float-before", "Which collar or hub took the end thrust", "which"),
    ),
    "main-bearings": (
        Mark("main-caps", "Caps stamped left, right, front, rear, arrow toward the cylinder", "stamp"),
        Mark("main-shims-order", "Leaves tied by cap and side in their order", "tags"),
        Mark("main-nuts", "Nuts by stud; dowels and their holes", "done"),
    ),
    "head": (
        Mark("gasket-found", "Old gasket kept flat and wet: it may be asbestos. Thickness where crushed", "thickness"),
        Mark("head-nuts", "Which nut and stud stood where; lengths", "sketch"),
    ),
    "valves": (
        Mark("valves-places", "Inlet and exhaust valve, spring, collar and pin each in its own bag", "bags"),
    ),
    "fuel": (
        Mark("needle-turns", "Needle: turns and eighths to its seat", "turns"),
        Mark("pump-setting", "Pump rod and adjuster: threads showing", "threads"),
        Mark("pipe-run", "Run of every pipe, sketched or photographed, with slopes", "done"),
    ),
    "igniter": (
        Mark("igniter-trip", "Trip and igniter: place of every slotted hole scribed", "done"),
    ),
    "magneto": (
        Mark("magneto-timing", "Magneto gear or trip rod: mark on mark; rod's threads showing", "found or made"),
        Mark("leads", "Leads tagged at both ends", "tags"),
    ),
    "spark-and-wiring": (
        Mark("spark-rim-mark", "Rim mark where the spark comes, lever at start and at run", ON_RIM["inch"]),
    ),
    "oiling": (
        Mark("oiler-settings", "Oiler needles: turns open; grease cups: turns down", "turns"),
    ),
}  # fmt: skip
READ_FIRST = (
    "crankshaft-end-float", "flywheel-lateral-runout", "flywheel-radial-runout", "flywheel-key-head-standoff", "valve-lash-exhaust",
    "valve-lash-inlet",
    "exhaust-valve-lift", "exhaust-valve-opening", "exhaust-valve-closing", "timing-gear-backlash", "rod-side-clearance",
    "main-bearing-running-clearance", "rod-bearing-running-clearance", "igniter-timing", "igniter-timing-start", "magneto-magnet-pull",
    "detent-clearance", "detent-rest-gap", "needle-setting", "head-clearance", "cylinder-ridge",
)  # fmt: skip
"""Sizes that the first turn of a nut takes away."""
PACKS = ("rod-shim-pack", "main-shim-pack")


def as_found_sheet(bench: Bench, system: System = "inch") -> AsFoundSheet:
    """The blank sheet for the bench's engine."""
    applies = applying(bench.table, bench.engine)
    sections = tuple(s for a in STRIP_ORDER if (s := _section(bench, a.id, a.name, applies, system)) is not None)
    return AsFoundSheet(bench.engine.id, bench.engine.engine_class.name, system, bench.table.edition, sections)


def _section(bench: Bench, assembly: str, name: str, applies: Sequence[tuple[Characteristic, tuple[str, ...]]], system: System) -> Section | None:
    here = [(w, only) for w, only in applies if assembly_of(w).id == assembly]
    packs = tuple(Pack(w.id, place, LEAVES, w.usual_instrument) for w, _ in here if w.id in PACKS for place in w.instances or ("",))
    findings = tuple(Finding(w.id, w.name, w.instances, tuple(word.word for word in w.words), how(w), feature_words(only))
                     for w, only in here if w.value_kind == "finding" and w.stage == "as-found")  # fmt: skip
    readings = tuple(_reading(bench, w, only, system) for w, only in here if w.id in READ_FIRST)
    marks = tuple(replace(m, box=ON_RIM[system]) if m.box == ON_RIM["inch"] else m for m in MARKS.get(assembly, ()))
    return Section(assembly, name, packs, marks, findings, readings) if packs or marks or findings or readings else None


def _reading(bench: Bench, what: Characteristic, only_if: tuple[str, ...], system: System) -> Reading:
    tools = tools_named(bench, what)
    on_rim = bool(what.sign)
    shown = ON_RIM[system] if on_rim else unit_shown(UNITS[what.unit], system, Fraction(0))
    return Reading(what.id, what.name, what.instances, shown, tool_named(bench, what), how(what), feature_words(only_if),
                   tools[0].id if len(tools) == 1 else "", on_rim)  # fmt: skip


# -- plain values ------------------------------------------------------------------------------------------------


def to_dict(sheet: AsFoundSheet) -> dict[str, Any]:
    """The sheet as plain values for JSON."""
    return {
        "paper": "as-found-sheet", "edition": sheet.edition, "units": sheet.system,
        "engine": {"id": sheet.engine_id or None, "engine_class": sheet.engine_class},
        "sections": [{
            "assembly": s.id, "name": s.name,
            "shims": [{"characteristic": p.characteristic, "side": p.instance, "leaves": [None] * p.leaves} for p in s.packs],
            "marks": [{"id": m.id, "says": m.says, "box": m.box, "found": None} for m in s.marks],
            "findings": [{"characteristic": f.characteristic, "name": f.name, "where": list(f.where), "words": list(f.words), "how": f.how,
                          "only_if": f.only_if or None, "found": None} for f in s.findings],
            "readings": [{"characteristic": r.characteristic, "name": r.name, "where": list(r.where), "unit": r.unit, "tool": r.tool,
                          "instrument": r.instrument or None, "relative": list(BEFORE_AFTER) if r.on_rim else [], "how": r.how,
                          "only_if": r.only_if or None, "found": None} for r in s.readings],
        } for s in sheet.sections],
    }  # fmt: skip
