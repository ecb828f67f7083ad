"""An oval journal in its bearing: how much tighter the clearance is on its largest diameter than where it was read."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction

from .case import Case
from .facts import same_place

CLEARANCES = {"rod-bearing-running-clearance": ("rod-shim-pack", "crankpin"),
              "main-bearing-running-clearance": ("main-shim-pack", "main-journal")}
"""A clearance -> the packs under its cap and the journal that runs in it."""


def too_oval(case: Case) -> bool:
    """Whether the journal is as far out of round as the whole fit is wide, or further: no one clearance is right all the way round it."""
    if case.value is None or case.both is None:
        return False
    return oval_of(case, case.value, CLEARANCES[case.what.id][1]).across >= case.both[1] - case.both[0]


@dataclass(frozen=True, slots=True)
class Oval:
    """What an oval journal does to a clearance. ``tight``: on its largest diameter; ``across``: how much wider it stands on its smallest.

    ``read``: seen in the clearances themselves. ``taken``: what had to be taken for want of an axis, empty where nothing was.
    """

    tight: Fraction
    across: Fraction
    read: bool = False
    taken: str = ""


def oval_of(case: Case, value: Fraction, journal: str) -> Oval:
    """The oval of this bearing's journal: from clearances read other ways across, from its diameters at one station, from its out-of-round."""
    here = case.place.axis
    across = case.across()
    seen, read = max([value, *across]) - min([value, *across]), min([value, *across])
    sets, oval = _ways_across(case, journal), out_of_round(case, journal)
    if oval == 0 or case.item.id.endswith("smallest-clearance") or (across and seen >= oval):
        return Oval(read, max(seen, oval), read=bool(across) and seen >= oval)
    station = case.place.station.lower()
    at = [sets[station]] if station in sets else list(sets.values())
    under = [max(ways.values()) - ways[_way(here)] for ways in at if _way(here) in ways]
    taken = "" if under else f"The journal is {case.say(oval)} out of round, and it is taken that the clearance was read on its smallest diameter"
    if not under and here:
        taken += f": no diameter was told {here}"
    tight = min(read, value - (max(under) if under else oval))
    return Oval(tight, max(oval, max([value, *across]) - tight), taken=taken)


def out_of_round(case: Case, journal: str) -> Fraction:
    """How far this bearing's journal is known to be out of round: told, or by its diameters at one station; nothing where it is not known."""
    told = max(case.measured(f"{journal}-out-of-round"), default=Fraction(0))
    return max([told, *(max(ways.values()) - min(ways.values()) for ways in _ways_across(case, journal).values())])


def _ways_across(case: Case, journal: str) -> dict[str, dict[frozenset[str], Fraction]]:
    """The diameters of the journal by station and axis, where more than one axis was read at the station."""
    return case.known.once(("ways", journal, case.instance, case.state, case.unit.token), lambda: _ways(case, journal))


def _ways(case: Case, journal: str) -> dict[str, dict[frozenset[str], Fraction]]:
    known = [m for m in case.known.of(f"{journal}-diameter") if m.axis and m.value.unit.dimension == "length"
             and same_place(m.instance, case.instance)]  # fmt: skip
    stations: dict[str, dict[frozenset[str], Fraction]] = defaultdict(dict)
    for one in [m for m in known if m.state == case.state] or known:
        stations[one.station.lower()][_way(one.axis)] = one.value.to(case.unit)
    return {station: ways for station, ways in stations.items() if len(ways) > 1}


def _way(axis: str) -> frozenset[str]:
    """An axis by its words: ``in line of throw`` and ``line of the throw`` are one."""
    return frozenset(axis.lower().replace("-", " ").split()) - {"in", "with", "of", "the", "throw"}
