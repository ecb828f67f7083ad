"""Conventions: the gap on one side or the whole, a radius or a diameter, an indicator's swing. Converted where that is exact, else refused."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Characteristic
from halfthou_specdb.resolve import Resolved
from halfthou_specdb.rules import Open

from .decide import Decision
from .readings import Reading, ReadingProblem
from .speak import convert, say

ROUND_ABOUT = frozenset({"crankshaft-runout", "flywheel-radial-runout", "valve-face-runout"})
"""Runouts that an indicator reads square to the axis: its swing is twice the eccentricity."""
OVAL = "a roundness told as a radius, doubled: exact for an oval, not for three lobes"
TWO, HALF = Fraction(2), Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Basis:
    """By how much a reading is multiplied, and what is said of it."""

    times: Fraction = Fraction(1)
    said: str = ""


PLAIN = Basis()
WAYS: dict[tuple[str, str], Basis] = {
    ("radial", "diametral"): Basis(TWO, "told for one side and doubled: exact where both sides are alike"),
    ("radial", "difference-of-diameters"): Basis(TWO, "told as a radius and doubled"),
    ("radial", "total-indicator"): Basis(TWO, "told as an eccentricity and doubled to the indicator's swing"),
    ("diametral", "difference-of-diameters"): PLAIN,
    ("difference-of-diameters", "diametral"): PLAIN,
    ("total-indicator", "diametral"): Basis(said="the indicator's whole swing from side to side is the whole gap"),
    ("diametral", "radial"): Basis(HALF, "told as the whole and halved: exact where both sides are alike"),
    ("difference-of-diameters", "radial"): Basis(HALF, "told as the whole and halved"),
    ("total-indicator", "radial"): Basis(HALF, "told as an indicator's swing and halved"),
}
"""(as read, as the limit is told) -> what is done."""


def basis_of(reading: Reading, what: Characteristic | None) -> Basis:
    """How a reading comes to the convention of the limit.

    Raises:
        ReadingProblem: the two conventions cannot be turned into one another exactly.
    """
    if not reading.basis or (what is not None and reading.basis == what.basis):
        return PLAIN
    if reading.limit is not None or what is None:
        raise ReadingProblem("wrong-basis", "with a limit of your own leave basis out and tell both alike", "/basis")
    if what.basis == "plain":
        raise ReadingProblem("wrong-basis", f"{what.name.lower()} is told neither by the side nor by the diameter; leave basis out", "/basis")
    if what.basis == "total-indicator" and what.id not in ROUND_ABOUT:
        raise ReadingProblem("wrong-basis", f"{what.name.lower()} is what an indicator shows in all; {reading.basis} cannot be turned into that",
                             "/basis")  # fmt: skip
    found = WAYS.get((reading.basis, what.basis))
    if found is None:
        raise ReadingProblem("wrong-basis", f"{reading.basis.replace('-', ' ')} cannot be turned into {what.basis.replace('-', ' ')}: an indicator's "
                             "swing depends on what the part turns in and on its lobes", "/basis")  # fmt: skip
    return Basis(TWO, OVAL) if found.times == TWO and what.id.endswith("out-of-round") else found


def one_side_only(reading: Reading, resolved: Resolved, value: Quantity, decision: Decision) -> str:
    """A reading that would be a new fit if it were the gap on one side: a slip between radial and diametral, suspected and said."""
    fit, what = resolved.fit, resolved.characteristic
    if what.basis != "diametral" or reading.basis or reading.limit is not None or decision.side != "low" or decision.verdict == "within_fit":
        return ""
    if fit is None or isinstance(fit.low, Open) or isinstance(fit.high, Open):
        return ""
    exact = value.to(fit.unit)
    if exact >= fit.low or not fit.low <= 2 * exact <= fit.high:
        return ""
    whole = convert(2 * exact, fit.unit, value.unit)
    assert not isinstance(whole, Open)
    told = "the gap on" if what.low_side.meaning == "too-tight" else "told for"
    return f"if this is {told} one side only, say basis: radial; {say(whole, value.unit)} in all would be a new fit"


WRONG_PLACE: dict[str, tuple[tuple[str, ...], str]] = {
    "ring-end-gap": (
        ("top", "worn", "head end", "head-end"),
        "read where the bore is worn, so it tells of the bore as much as of the ring: the gap is told below ring travel; read it again there",
    ),
}
"""Words of a place that say a characteristic was read where its definition does not want it, and what to say."""


def wrong_place(reading: Reading) -> str:
    """What is wrong with where it was read, if anything."""
    words, says = WRONG_PLACE.get(reading.characteristic, ((), ""))
    there = f"{reading.place.station} {reading.place.axis}".lower()
    return says if says and "below" not in there and any(word in there for word in words) else ""
