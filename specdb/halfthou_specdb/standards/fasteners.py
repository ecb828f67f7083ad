"""Threads, bolt strengths and tightening. Torque = nut factor x diameter x clamp load, at three quarters of the proof load.

The same torque clamps harder on an oiled thread than on a dry one. No figure is given for threads in old grey iron.
"""

from __future__ import annotations

import re
from decimal import Decimal

from ..errors import UnknownId
from .cells import Row
from .choosing import Answer, by_word, rows_of
from .errors import NotPublished, OutsideTable

INTO = ("steel", "grey-iron", "other")
SURFACES = ("dry", "oiled", "zinc")
STRENGTHS = ("1", "2", "5", "8")
SERIES = ("UNC", "UNF")
STEEL_NOTE = "for a steel bolt in a steel nut, at 75 % of the proof load; a thread in anything softer may strip before this"
ASSUMED_NOTE = "a steel nut is assumed; say into=grey-iron if the thread is in the casting: there is no figure for that, and why is told"
SURFACE_NOTE = "for the same clamp an oiled thread (nut factor 0.15) takes a quarter less torque than a dry one (0.20); zinc is plated and dry"
OLD_BOLT_NOTE = ("strength 1 is worked out from a proof strength that is from memory: a ceiling for an unmarked old bolt, never a target; "
                 "an old iron bolt may bear less")  # fmt: skip
STRENGTH_NOTE = "figures marked from-memory are unchecked; an old iron bolt belongs to no grade"
NO_GREY_IRON = "No tightening torque for threads in old grey iron was found in any work, so none is given."
INSTEAD = ("Clean and oil the thread, look for cracks at the boss, see that the stud has a good length of thread in the hole, and draw up by "
           "hand in small even steps with a short spanner. A doubtful hole goes to the machinist for a thread insert.")  # fmt: skip
NO_OTHER = "No tightening torque for a thread in anything but steel was found in any work, so none is given."


def threads(*, size: str = "", series: str = "", tpi: Decimal | None = None) -> Answer:
    """Unified threads by size.

    Raises:
        UnknownId: no such size or series.
        OutsideTable: the size has no thread of this pitch.
    """
    rows = rows_of("threads", diameter="diameter_in", threads_per_inch="threads_per_in", tensile_area="tensile_area_in2")
    rows = by_word(_sized(rows, size), "series", series, "thread series")
    return Answer(_pitched(rows, tpi), ("old engines often have threads of no series: count the threads and measure before you buy a tap",))


def bolt_strength(*, strength: str = "") -> Answer:
    """Proof, yield and tensile strength of SAE J429 bolts.

    Raises:
        UnknownId: no such strength.
    """
    rows = rows_of("bolt-strength", diameter_from="diameter_from_in", diameter_upto="diameter_upto_in", proof="proof_psi", yield_strength="yield_psi",
                   tensile="tensile_psi")  # fmt: skip
    return Answer(_strong(rows, strength), ("strength is the grade of SAE J429; a bolt without marks on its head is not a strong one", STRENGTH_NOTE))


def tightening(*, size: str = "", tpi: Decimal | None = None, strength: str = "", surface: str = "", into: str = "") -> Answer:
    """Tightening torque by size, strength and surface.

    Raises:
        NotPublished: the thread is in old grey iron, or in anything but steel.
        UnknownId: no such size, strength or surface.
        OutsideTable: the size has no thread of this pitch, or this strength is not on file for it.
    """
    if into == "grey-iron":
        raise NotPublished(NO_GREY_IRON, INSTEAD)
    if into == "other":
        raise NotPublished(NO_OTHER, INSTEAD)
    rows = rows_of("tightening", threads_per_inch="threads_per_in", nut_factor="nut_factor", clamp_load="clamp_lbf",
                   torque="torque_lbf_in|torque_lbf_ft")  # fmt: skip
    rows = by_word(_strong(_pitched(_sized(rows, size), tpi), strength), "surface", surface, "surface")
    notes = [STEEL_NOTE, SURFACE_NOTE]
    if not into:
        notes.insert(0, ASSUMED_NOTE)
    if any(row.words["strength"] == "1" for row in rows):
        notes.append(OLD_BOLT_NOTE)
    return Answer(rows, tuple(notes))


def _strong(rows: tuple[Row, ...], strength: str) -> tuple[Row, ...]:
    if not strength:
        return rows
    wanted = re.sub(r"^(sae\s*)?(j429\s*)?(grade\s*)?", "", strength.strip().casefold())
    if wanted not in STRENGTHS:
        raise UnknownId("bolt strength", strength.strip(), STRENGTHS)
    kept = tuple(row for row in rows if row.words["strength"] == wanted)
    if not kept:
        raise OutsideTable(f"strength {wanted} is on file for other sizes, not this one: coarse threads of 1/4 to 1-1/2 in for strength 1, "
                           "1/4 to 1 in for 2, 5 and 8", "strength")  # fmt: skip
    return kept


def _sized(rows: tuple[Row, ...], size: str) -> tuple[Row, ...]:
    if not size:
        return rows
    wanted = re.sub(r"\s*(in\.?|inch|\")$", "", size.strip()).replace("-", " ").removeprefix("No. ").strip()
    kept = tuple(row for row in rows if row.words["size"].lstrip("#") == wanted.lstrip("#"))
    if not kept:
        raise UnknownId("thread size", size.strip(), dict.fromkeys(row.words["size"] for row in rows))
    return kept


def _pitched(rows: tuple[Row, ...], tpi: Decimal | None) -> tuple[Row, ...]:
    if tpi is None:
        return rows
    kept = tuple(row for row in rows if row.cells["threads_per_inch"].value == tpi)
    if not kept:
        there = sorted({int(row.cells["threads_per_inch"].value) for row in rows})
        raise OutsideTable(f"threads per inch on file here: {', '.join(map(str, there))}; not {tpi:f}", "tpi")
    return kept
