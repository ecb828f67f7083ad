"""A difference told as one reading: the doubt of two readings by one tool, worked out as a survey works it out.

What two readings by one tool share (its calibration, its zero, its setting) cancels in their difference, and what differs from one to the
other counts twice, so sqrt 2 times (metrology practice: sqrt 2 u_r). A tool that reads the difference itself, such as an indicator
swept round a part, keeps its own budget.
"""

from __future__ import annotations

import math
from dataclasses import replace

from halfthou_specdb.records import Characteristic
from halfthou_specdb.table import Table
from halfthou_specdb.tool_records import Instrument, Variant

from .lines import Line
from .readings import Reading
from .wording import with_article

ROOT_2 = math.sqrt(2.0)
DIAMETERS = "difference-of-diameters"
LOOSE = frozenset({"", "feeler", "strip"})
"""What the errors of a tool hang on where each reading may be taken with another blade or strip, or nobody said: between several things
nothing of it is common."""
OVAL = "oval"


def takes_two(table: Table, what: Characteristic, instrument: Instrument) -> bool:
    """Whether this is a difference of which the tool reads each side by itself.

    Of two diameters by a tool that shows one size at a time; of two things of one kind (clearances, shim packs) by whatever read each.
    """
    return instrument.one_size if what.basis == DIAMETERS else what.id in _of_several(table)


def _of_several(table: Table) -> frozenset[str]:
    kept = table.kept("differences of several things")
    if "ids" not in kept:
        kept["ids"] = frozenset(kind.difference for kind in table.surveys.values() if kind.difference)
    found: frozenset[str] = kept["ids"]
    return found


def of_two(lines: tuple[Line, ...], what: Characteristic, variant: Variant, reading: Reading) -> tuple[tuple[Line, ...], str]:
    """The lines of a difference from those of one reading, and what is to be said of it."""
    random = tuple(line for line in lines if line.random)
    loose = what.basis != DIAMETERS and variant.shared_error in LOOSE
    if loose or not random:
        random = lines
    times = ROOT_2 / 2.0 if reading.basis == "radial" else ROOT_2
    cancels = () if random is lines else tuple(line.name for line in lines if not line.random)
    said = "taken as the difference of two readings by one tool, each with the tool's doubt: what differs between them counts twice (sqrt 2)"
    said += f", what they share cancels ({', '.join(cancels)})" if cancels else ", and nothing of it is known to cancel"
    return tuple(replace(line, u=line.u * times) for line in random), said


def oval_of(table: Table) -> frozenset[str]:
    """Characteristics that tell how far a part is from round, by two diameters across each other."""
    kept = table.kept("ovals")
    if "ids" not in kept:
        kept["ids"] = frozenset(name for kind in table.surveys.values() for name in (kind.out_of_round, kind.joint) if name)
    found: frozenset[str] = kept["ids"]
    return found


def blind(table: Table, what: Characteristic, instrument: Instrument) -> str:
    """Why a tool cannot tell an out-of-round, and which can."""
    names = (what.usual_instrument, *what.instruments)
    seen = (table.instruments[name] for name in names if name in table.instruments)
    better = next((f", such as {with_article(tool.name)}" for tool in seen if OVAL not in tool.blind_to), "")
    return f"{with_article(instrument.name)} cannot see an oval, whatever it reads; use a two-point gauge{better}"
