"""Records of surveys: what is read many times, and what follows from the readings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class SurveyKind:
    """What is read several times on one sheet, and the characteristics that follow from the readings.

    Either the diameter of one feature at stations and on axes; or, where ``each`` is set, one characteristic (``diameter``) of several
    things of one kind (``instance``: rings, teeth, valves) or at several places of one thing (``station``).

    ``taper_between``: the two ends, or all stations (largest less smallest). ``unworn``: stations where nothing ever ran; they stand for
    the size when new, and on a shaft they lie outside its bearing and count for nothing else. ``across_joint``: axes of a split bearing
    at right angles to the load and on it, best first, for the signed out-of-round ``joint``. ``judged`` and ``difference`` belong to
    several: which figure its characteristic is defined by, and the characteristic of the largest less the smallest.
    """

    id: str
    name: str
    inside: bool
    diameter: str
    out_of_round: str
    taper: str
    wear: str
    new: str
    stations: tuple[str, ...]
    axes: tuple[str, ...]
    taper_between: Literal["ends", "all"] = "all"
    unworn: tuple[str, ...] = ()
    joint: str = ""
    across_joint: tuple[tuple[str, str], ...] = ()
    each: Literal["", "instance", "station"] = ""
    judged: Literal["smallest", "largest", "both"] = "both"
    difference: str = ""


@dataclass(frozen=True, slots=True)
class Pair:
    """A bore and the shaft in it, by survey id, and the clearance between them. ``judged``: smallest, largest or both."""

    clearance: str
    bore: str
    shaft: str
    judged: Literal["smallest", "largest", "both"]
