"""Fits that give a wanted clearance at a size, ranked.

First come fits that lie wholly within what is wanted; among them those that rest on no remembered figure, then the widest (they are the
easiest to make), then hole basis before shaft basis, then inch fits for a size in inches and ISO 286 for one in millimetres. Where
nothing lies within, the fits that overhang least, and of those the best centred, are told, and told as such.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from typing import Literal

from ..errors import QuantityError
from ..quantity import Quantity, decimal_of, plain
from . import b41, iso286
from .designation import CLASSES, HOLE_LETTERS, SHAFT_LETTERS, USUAL
from .errors import OutsideTable
from .fits import Fit, Part

System = Literal["any", "iso-286", "ansi-b4.1"]
MOST = 20
MOST_NEAR = 5


@dataclass(frozen=True, slots=True)
class Found:
    """A fit that gives the wanted clearance, or comes near it.

    ``within``: all of it lies within what is wanted. ``overhang``: how much of it lies outside [unit of the fit].
    ``share``: how much of the wanted range it takes up, from 0 to 1; 0 where a single figure was wanted.
    """

    fit: Fit
    within: bool
    overhang: Fraction
    share: Fraction


def fits_giving(low: Quantity, high: Quantity, size: Quantity, system: System = "any", most: int = MOST) -> tuple[Found, ...]:
    """Fits whose clearance lies from ``low`` to ``high`` at a size; below zero is an interference.

    Raises:
        QuantityError: low is above high, or one of them is not a length.
        OutsideTable: the size lies outside every table that was asked.
    """
    wanted = low.to(iso286.UM), high.to(iso286.UM)
    if wanted[0] > wanted[1]:
        raise QuantityError(f"the tightest clearance ({low}) is above the loosest ({high})", "upside-down")
    fits = _candidates(size, system)
    inch = size.unit.system == "inch"
    ranked = sorted((_found(fit, wanted) for fit in fits), key=lambda found: _rank(found, wanted, inch))
    within = [found for found in ranked if found.within]
    return tuple(within[:most] if within else ranked[: min(most, MOST_NEAR)])


def _found(fit: Fit, wanted: tuple[Fraction, Fraction]) -> Found:
    ratio = fit.unit.factor / iso286.UM.factor
    tightest, loosest = fit.tightest * ratio, fit.loosest * ratio
    low, high = wanted
    below = max(min(low, loosest) - tightest, Fraction(0))
    above = max(loosest - max(high, tightest), Fraction(0))
    apart = max(low - loosest, tightest - high, Fraction(0))
    overhang = below + above + apart
    common = max(min(loosest, high) - max(tightest, low), Fraction(0))
    return Found(fit, overhang == 0, overhang / ratio, common / (high - low) if high > low else Fraction(0))


def _rank(found: Found, wanted: tuple[Fraction, Fraction], inch: bool) -> tuple[object, ...]:
    fit = found.fit
    ratio = fit.unit.factor / iso286.UM.factor
    width = (fit.loosest - fit.tightest) * ratio
    off_centre = Fraction(0) if found.within else abs((fit.loosest + fit.tightest) * ratio - sum(wanted))
    hole_basis = fit.system == "ansi-b4.1" or fit.hole.zone.startswith("H")
    return (not found.within, found.overhang * ratio, off_centre, bool(fit.from_memory), -width, not hole_basis,
            (fit.system == "ansi-b4.1") != inch, fit.designation)  # fmt: skip


def _candidates(size: Quantity, system: System) -> list[Fit]:
    found: list[Fit] = []
    refused = ""
    if system != "ansi-b4.1":
        try:
            nominal = iso286.checked(size.to(iso286.MM))
            over, upto, pairs = _iso_pairs(nominal)
            found += [Fit(f"{hole.zone}/{shaft.zone}", "iso-286", size, iso286.UM, iso286.MM, over, upto, hole, shaft) for hole, shaft in pairs]
        except OutsideTable as error:
            refused = str(error)
    if system != "iso-286":
        for name in CLASSES:
            try:
                found.append(b41.fit(name, size))
            except OutsideTable:
                continue
    if not found:
        shown = plain(decimal_of(size.to(b41.INCH), 6))
        raise OutsideTable(refused or f"ANSI B4.1 is on file for sizes over 0, up to and including 7.09 in; {shown} in lies outside")
    return found


def _iso_pairs(nominal: Fraction) -> tuple[Fraction, Fraction, tuple[tuple[Part, Part], ...]]:
    over, upto = iso286.step(nominal)
    return over, upto, _pairs(upto if nominal > 1 else nominal)


@lru_cache(maxsize=64)
def _pairs(nominal: Fraction) -> tuple[tuple[Part, Part], ...]:
    """Hole basis with the shaft of the hole's grade or the next finer, and shaft basis likewise, where the tables give them."""
    zones = [((letter, str(n)), (shaft, str(m))) for n in USUAL for m in (n - 1, n) for letter, shaft in _letters()]
    found = []
    for hole, shaft in zones:
        try:
            found.append((iso286.part(hole, nominal), iso286.part(shaft, nominal)))
        except OutsideTable:
            continue
    return tuple(found)


@cache
def _letters() -> tuple[tuple[str, str], ...]:
    return tuple([("H", letter) for letter in SHAFT_LETTERS] + [(letter, "h") for letter in HOLE_LETTERS if letter != "H"])
