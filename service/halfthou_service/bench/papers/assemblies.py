"""The assemblies of an engine in the order it comes apart, and which characteristic belongs to which."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from halfthou_specdb.facts import Engine, all_known
from halfthou_specdb.records import STAGES, Characteristic
from halfthou_specdb.table import Table

TEN = 10


@dataclass(frozen=True, slots=True)
class Assembly:
    """One page of the sheet: what comes off together. ``only``: stages it takes; ``ids``: characteristics named one by one."""

    id: str
    name: str
    components: tuple[str, ...] = ()
    ids: tuple[str, ...] = ()
    only: tuple[str, ...] = STAGES


BEFORE_RUNNING = ("as-found", "machine-shop", "assembly")
VALVE_GEAR = (
    "valve-lash-exhaust", "valve-lash-inlet", "exhaust-valve-lift", "intake-valve-lift", "rocker-pin-clearance", "cam-follower-guide-clearance",
)  # fmt: skip
WHITE_METAL = (
    "main-shim-pack", "main-shim-side-difference", "main-shim-count-difference", "babbitt-thickness", "babbitt-bond", "babbitt-pour-temperature",
    "babbitt-mandrel-temperature", "babbitt-alloy", "bearing-oil-groove", "bearing-oil-path",
)  # fmt: skip
POINTS = (
    "igniter-point-gap", "igniter-contact-resistance", "igniter-insulation", "igniter-shaft-clearance", "igniter-gas-leak",
    "igniter-points-condition",
    "igniter-mica-condition", "igniter-snap-spark", "igniter-closed-time", "igniter-max-speed", "trip-finger-play", "spark-plug-gap",
    "hightension-point-gap", "magneto-point-resistance", "spark-length-test", "secondary-voltage",
)  # fmt: skip

STRIP_ORDER: tuple[Assembly, ...] = (
    Assembly("whole-engine", "Whole engine, before a nut is turned", ("whole-engine", "measuring", "safety"), only=("as-found",)),
    Assembly("flywheels", "Flywheels and keys", ("flywheel",)),
    Assembly("head", "Head", ("head",)),
    Assembly("valves", "Valves, guides and springs", ("valve",)),
    Assembly("valve-gear", "Valve gear, cam and valve timing", ("cam", "valve-timing"), VALVE_GEAR),
    Assembly("governor", "Governor", ("governor",)),
    Assembly("piston", "Piston", ("piston",)),
    Assembly("rings", "Piston rings", ("piston-ring",)),
    Assembly("rod", "Connecting rod", ("connecting-rod",)),
    Assembly("wrist-pin", "Wrist pin and bush", ("wrist-pin",)),
    Assembly("crankshaft", "Crankshaft", ("crankshaft",)),
    Assembly("main-bearings", "Main bearings", ("main-bearing",)),
    Assembly("white-metal", "White metal, shims and oil ways", (), WHITE_METAL),
    Assembly("cylinder", "Cylinder", ("cylinder",)),
    Assembly("cooling", "Hopper and cooling", ("cooling",)),
    Assembly("fuel", "Tank, pipe, pump and mixer", ("fuel-tank", "fuel-supply")),
    Assembly("igniter", "Igniter, plug and points", (), POINTS),
    Assembly("magneto", "Magneto and coil", ("low-tension-ignition", "high-tension-ignition")),
    Assembly("spark-and-wiring", "Spark timing and wiring", ("spark-timing", "wiring")),
    Assembly("oiling", "Oiling", ("lubrication",)),
    Assembly("paint-and-belt", "Paint and belt", ("paint", "belt")),
    Assembly("running", "First start and running", ("whole-engine", "safety", "measuring")),
)
"""A characteristic belongs to the first assembly that takes it; one named by id goes there before any other."""


def assembly_of(what: Characteristic) -> Assembly:
    """The page a characteristic stands on; the last one takes what no other does."""
    for assembly in STRIP_ORDER:
        if what.id in assembly.ids:
            return assembly
    for assembly in STRIP_ORDER:
        if what.component in assembly.components and what.stage in assembly.only:
            return assembly
    return STRIP_ORDER[-1]


def pages(whats: Iterable[Characteristic]) -> tuple[tuple[Assembly, tuple[Characteristic, ...]], ...]:
    """The characteristics by assembly in strip order, by stage within each; empty assemblies left out."""
    grouped: dict[str, list[Characteristic]] = {a.id: [] for a in STRIP_ORDER}
    for what in whats:
        grouped[assembly_of(what).id].append(what)
    return tuple(
        (a, tuple(sorted(grouped[a.id], key=lambda c: STAGES.index(c.stage)))) for a in STRIP_ORDER if grouped[a.id]
    )  # fmt: skip


def applying(table: Table, engine: Engine) -> tuple[tuple[Characteristic, tuple[str, ...]], ...]:
    """Every characteristic that applies to an engine, with the features it would need where that is not known."""
    found = []
    for what in table.characteristics.values():
        applies = all_known(what.applies_if, engine, what, table.features)
        if applies is not False:
            found.append((what, () if applies else what.applies_if))
    return tuple(found)


@cache
def _ten_words() -> Mapping[str, str]:
    return {k: str(v) for k, v in tomllib.loads(files(__package__).joinpath("ten_words.toml").read_text("utf-8")).items()}


def how(what: Characteristic) -> str:
    """How to measure, in at most ten words."""
    found = _ten_words().get(what.id)
    if found is not None:
        return found
    clause = what.how_to_measure.replace(";", ".").partition(".")[0].split()
    return " ".join(clause[:TEN]).rstrip(",:") + ("." if len(clause) <= TEN else " …")


def feature_words(features: Iterable[str]) -> str:
    """``low tension magneto and not air cooled``."""
    return " and ".join(f.replace("-", " ") for f in features)


WHOSE: Mapping[str, str] = {
    "book": "a standard, handbook or manual says so, for this kind of engine",
    "book, carried": "a book says so of another kind of engine; the rule is carried over",
    "ours": "our own line, drawn between what several say",
    "trade": "the trade says so; nobody in particular is named",
    "memory": "recalled and never checked; take it as a hint",
    "guess": "worked out from a size that was not measured: a guess; no verdict rests on it",
    "yours": "your own figure",
}
"""The words of the grade column and what they mean."""


def whose_word(grade: str, standing: str) -> str:
    """The grade of a figure as one word of :data:`WHOSE`; a line of ours never reads as a book's."""
    if grade == "owner":
        return "yours"
    if grade == "from-memory":
        return "memory"
    if standing == "our-judgement":
        return "ours"
    if grade == "common-practice":
        return "trade"
    return "book, carried" if standing == "carried-over" else "book"
