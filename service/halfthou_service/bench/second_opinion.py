"""A second opinion on a bearing clearance: the oil-film calculation beside the rule of thumb.

The verdict stays what the rule of thumb made it. The film is reckoned for a steady load and a bearing flooded with oil; an engine has neither, so
it is reckoned at a light and at a heavy load where none is stated, and at both ends of the doubt of the reading. Only where all of these agree
does it say anything. Between 0.001 and 0.002 in per inch they seldom part the good from the better: that is what the theory cannot tell.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Literal

from halfthou_specdb.facts import Engine, truth
from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.units import UNITS

from ..calculations import CALCULATIONS
from ..calculations.frame import CalculationError, Flag, Given, faults, si
from ..calculations.journal_film import STARVED, journal_film
from .basis import basis_of
from .decide import GOES_BACK
from .item import Item
from .readings import Reading
from .speak import say
from .verdict import Bench

Opinion = Literal["supports", "warns", "cannot_tell"]
PSI = 6894.757293168
USUAL = (0.001, 0.002)
"""Clearance per diameter between which film theory seldom parts one clearance from another (derived)."""
FIRING: tuple[tuple[float, float], ...] = ((3.0, 154.0), (4.0, 239.0), (5.0, 321.0))
"""Compression ratio -> highest pressure, psi; the table prints 144 for 154 at 3.0 (evidence L130)."""
FIRING_SOURCE = "V. W. Page, Aviation Engines, 1917, chapter III, Table III"
TAKEN_RATIO = 4.0
MEAN_EFFECTIVE = 75.0 * PSI
"""Mean effective pressure of a gasoline engine (evidence L219)."""
MEAN_SOURCE = "J. B. Rathbun, Practical Hand Book of Gas, Oil and Steam Engines, horse-power formula, chapter I"
STROKES = 4.0
TAKEN_VISCOSITY = 0.060
"""Pa.s; SAE 30 at about 117 degF (derived)."""
COVERAGE = 2.0
OILED: Mapping[str, str] = {
    "drip-oiled": "", "splash": "splash taken as starved, like drip: a dipper does not flood a bearing",
    "force-feed-oiled": "a mechanical oiler taken as starved, like drip: it feeds drops, not a flood",
}  # fmt: skip
"""Feature -> what is taken for it, and said. None of them floods a bearing; a feed can be stated."""
LIMITS = (
    "Reckoned for a steady load; an engine's hammers and turns. At its peak the answer is gloomy, at its mean rosy.",
    "Reckoned for a bearing flooded with oil. Fed by drops, cup or splash it runs starved: the film told is an upper bound, never a pass.",
)
"""Said with every second opinion."""


@dataclass(frozen=True, slots=True)
class Bearing:
    """What a clearance belongs to: dimensions of the journal and of its length, and its share of the piston's load."""

    diameter: str
    length: str
    share: float
    said: str = ""


BEARINGS: Mapping[str, Bearing] = {
    "rod-bearing-running-clearance": Bearing("crankpin", "crankpin-length", 1.0),
    "main-bearing-running-clearance": Bearing("main-journal", "main-bearing-length", 0.5,
                                              "each of two mains taken to carry half; weight of the wheels and belt pull left out"),
}


@dataclass(frozen=True, slots=True)
class Film:
    """The film at one load [N]: thickness [m], None past the end of the table, and what the calculation calls it."""

    case: Literal["stated load", "mean load", "load at firing"]
    load: float
    thickness: float | None
    regime: str
    thick: bool


@dataclass(frozen=True, slots=True)
class SecondOpinion:
    """What the film calculation says beside the verdict. ``needs``: facts without which nothing could be worked out.

    ``least`` is the recalled least film for a journal of this size [m]; ``per_inch`` the clearance over the diameter [-]; ``around`` the film at
    0.001 and at 0.002 per inch under the heaviest load taken [m].
    """

    opinion: Opinion
    text: str
    films: tuple[Film, ...] = ()
    least: float | None = None
    per_inch: float | None = None
    around: tuple[float | None, float | None] = (None, None)
    needs: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    flags: tuple[Flag, ...] = ()
    limits: tuple[str, ...] = LIMITS


@dataclass(frozen=True, slots=True)
class _Known:
    """SI sizes of the bearing and how it is oiled."""

    diameter: float
    length: float
    speed: float
    viscosity: float
    feed: str
    finish: tuple[float | None, float | None]

    def film(self, clearance: float, load: float) -> tuple[Mapping[str, float | str | bool | None], tuple[Flag, ...]]:
        return _film(self.diameter, self.length, clearance, self.speed, load, self.viscosity, self.feed, *self.finish)


@lru_cache(maxsize=512)
def _film(d: float, length: float, clearance: float, speed: float, load: float, viscosity: float, feed: str, journal: float | None,
          bearing: float | None) -> tuple[Mapping[str, float | str | bool | None], tuple[Flag, ...]]:  # fmt: skip
    found = journal_film(d, length, clearance, speed, load, viscosity, feed, journal, bearing)
    return found.values, found.flags


def second_opinion(bench: Bench, item: Item, reading: Reading) -> SecondOpinion | None:
    """The second opinion that a reading asks for; None where it asks for none, or is no bearing clearance."""
    asked, bearing = reading.second_opinion, BEARINGS.get(item.characteristic)
    if asked is None or bearing is None:
        return None
    if item.value is None or item.unit is None or item.u is None or item.verdict in ("not_judged", "stop"):
        return _nothing("The reading was not judged, so there is nothing to hold a film against.", ())
    engine, assumed, needs = bench.engine, [bearing.said] if bearing.said else [], []
    for name in (bearing.diameter, bearing.length, "rated-speed"):
        if name not in engine.dimensions:
            needs.append(name)
    loads = _loads(engine, bearing, reading, assumed, needs)
    if needs:
        return _nothing(f"The film needs more: state {', '.join(needs)}.", tuple(needs))
    known = _known(bench, bearing, reading, assumed)
    times = float(basis_of(reading, bench.table.characteristics[item.characteristic]).times)
    clearance, u = (float(v) * float(item.unit.factor) * times for v in (item.value, item.u))
    reason = _refused(known, clearance, loads)
    if reason:
        return _nothing(f"The film cannot be worked out: {reason}.", (), tuple(assumed))
    return _opinion(item, known, clearance, u, loads, tuple(assumed))


def _nothing(why: str, needs: tuple[str, ...], assumed: tuple[str, ...] = ()) -> SecondOpinion:
    return SecondOpinion("cannot_tell", f"Second opinion, oil film: cannot tell. {why}", needs=needs, assumed=assumed)


def _loads(engine: Engine, bearing: Bearing, reading: Reading, assumed: list[str], needs: list[str]) -> tuple[tuple[str, float], ...]:
    """The loads to reckon with, lightest first: the one stated, or the mean of a cycle and the one at firing."""
    asked = reading.second_opinion
    assert asked is not None
    if asked.load is not None:
        return (("stated load", si(asked.load)),)
    bore = engine.dimensions.get("bore")
    if bore is None:
        needs.append("bore or load")
        return ()
    area = math.pi / 4.0 * si(bore) ** 2 * bearing.share
    peak = si(asked.firing_pressure) if asked.firing_pressure is not None else _firing(engine, assumed)
    if peak is None:
        needs.append("load or firing_pressure (none on file for a compression ratio outside 3 to 5)")
        return ()
    assumed.append(f"mean load not stated: a quarter of 75 psi mean effective pressure on the piston (published: {MEAN_SOURCE})")
    return (("mean load", min(MEAN_EFFECTIVE / STROKES, peak) * area), ("load at firing", peak * area))


def _firing(engine: Engine, assumed: list[str]) -> float | None:
    """Highest pressure in the cylinder [Pa] from the compression ratio; None beyond the table."""
    given = engine.dimensions.get("compression-ratio")
    ratio = TAKEN_RATIO if given is None else float(given.canonical)
    for (low, a), (high, b) in pairwise(FIRING):
        if low <= ratio <= high:
            psi = a + (b - a) * (ratio - low) / (high - low)
            taken = "" if given is not None else "; compression ratio not stated: taken as 4 to 1"
            assumed.append(f"pressure at firing not stated: {psi:.0f} psi by compression ratio (published: {FIRING_SOURCE}){taken}")
            return psi * PSI
    return None


def _known(bench: Bench, bearing: Bearing, reading: Reading, assumed: list[str]) -> _Known:
    asked, sizes = reading.second_opinion, bench.engine.dimensions
    assert asked is not None
    viscosity = TAKEN_VISCOSITY if asked.viscosity is None else si(asked.viscosity)
    if asked.viscosity is None:
        assumed.append("viscosity not stated: 60 mPa.s, about SAE 30 at 117 degF")
    finish = tuple(None if given is None else si(given) for given in (asked.journal_roughness, asked.bearing_roughness))
    return _Known(si(sizes[bearing.diameter]), si(sizes[bearing.length]), si(sizes["rated-speed"]), viscosity,
                  asked.feed or _feed(bench, assumed), (finish[0], finish[1]))  # fmt: skip


def _feed(bench: Bench, assumed: list[str]) -> str:
    """How oil comes in, by the engine's features; drip where nobody says."""
    what = next(iter(bench.table.characteristics.values()))
    known = [says for feature, says in OILED.items() if truth(feature, bench.engine, what, bench.table.features)]
    assumed += [said for said in (known or ["oiling not stated: taken as drip"])[:1] if said]
    return "drip"


def _refused(known: _Known, clearance: float, loads: tuple[tuple[str, float], ...]) -> str:
    """Why the calculation would not take these sizes; empty where it would."""
    for _, load in loads:
        given: dict[str, Given] = {
            "journal_diameter": _q(known.diameter, "m"), "bearing_length": _q(known.length, "m"), "diametral_clearance": _q(clearance, "m"),
            "speed": _q(known.speed, "rev/s"), "load": _q(load, "N"), "viscosity": _q(known.viscosity, "Pa.s"), "feed": known.feed,
        }  # fmt: skip
        named = zip(("journal_roughness", "bearing_roughness"), known.finish, strict=True)
        given |= {name: _q(value, "m") for name, value in named if value is not None}
        found = faults(CALCULATIONS["journal-film"], given)
        if found:
            return str(found[0])
        try:
            known.film(clearance, load)
        except CalculationError as error:
            return str(error)
    return ""


def _q(value: float, unit: str) -> Quantity:
    exact = Fraction(value)
    return Quantity(decimal_of(exact), UNITS[unit], exact)


def _opinion(item: Item, known: _Known, clearance: float, u: float, loads: tuple[tuple[str, float], ...], assumed: tuple[str, ...]) -> SecondOpinion:
    ends = (max(clearance - COVERAGE * u, clearance / 10.0), clearance, clearance + COVERAGE * u)
    films: list[Film] = []
    flags: dict[str, Flag] = {}
    votes: set[bool] = set()
    for case, load in loads:
        values, found = known.film(clearance, load)
        enough = _thick(values)
        flags |= {flag.code: flag for flag in found if flag.code != "start-load" or case != "load at firing"}
        films.append(Film(case, load, _thickness(values), str(values["regime"]), enough))  # type: ignore[arg-type]
        votes |= {_thick(known.film(end, load)[0]) for end in ends}
    least = known.film(clearance, loads[0][1])[0]["least_film"]
    assert isinstance(least, float)
    per_inch = clearance / known.diameter
    heaviest = loads[-1][1]
    around = tuple(_thickness(known.film(share * known.diameter, heaviest)[0]) for share in USUAL)
    opinion, why = _decided(votes, item.verdict in GOES_BACK, len(loads) > 1, per_inch, around)
    starved = " An upper bound only: fed like this it cannot be kept full." if known.feed in STARVED else ""
    text = f"Second opinion, oil film: {LEADS[opinion]} {why} {_figures(item, films, least)}{starved}"
    return SecondOpinion(opinion, text, tuple(films), least, per_inch, (around[0], around[1]), (), assumed, tuple(flags.values()))


def _thick(values: Mapping[str, float | str | bool | None]) -> bool:
    return values["regime"] in ("full-film", "not-judged")


def _thickness(values: Mapping[str, float | str | bool | None]) -> float | None:
    found = values.get("film_thickness")
    return found if isinstance(found, float) else None


LEADS = {"supports": "it supports the verdict.", "warns": "it warns.", "cannot_tell": "it cannot tell."}


def _decided(votes: set[bool], goes_back: bool, several: bool, per_inch: float, around: tuple[float | None, ...]) -> tuple[Opinion, str]:
    """The opinion, and why in a sentence. ``votes``: whether the film is enough, over every load and both ends of the doubt."""
    usual = USUAL[0] <= per_inch <= USUAL[1]
    if len(votes) > 1:
        ends = "Light load leaves film enough, heavy load too little; the truth lies between."
        ends = ends if several else "The film is about as thin as it may be."
        return "cannot_tell", f"{ends} The rule stands."
    thick = True in votes
    where = f"Even at the {'heavy' if thick else 'light'} load" if several else "At the load stated"
    if not thick:
        if goes_back:
            return "warns", f"{where} the film is thinner than such a journal wants. Look to oil, load and finish before this goes back."
        return "supports", f"{where} the film is thinner than such a journal wants."
    if not goes_back:
        return "cannot_tell", "There would be film enough, but the theory knows nothing of knock, dirt and heat: it does not overrule the rule."
    if usual:
        return "cannot_tell", f"There is film enough, as for any clearance from 1 to 2 thou per inch{_change(around)}. Feed, finish and line decide."
    return "supports", f"{where} there is film enough."


def _change(around: tuple[float | None, ...]) -> str:
    low, high = around
    if low is None or high is None:
        return ""
    return f": between those ends it changes by {abs(high / low - 1.0):.0%}"


def _figures(item: Item, films: list[Film], least: float) -> str:
    told = [_length(item, film.thickness, "high") if film.thickness is not None else "none" for film in films]
    span = told[0] if len(set(told)) == 1 else " down to ".join(told)
    return (f"Thinnest film {span}; wanted for this size {_length(item, least, 'low')} (recalled). "
            "Reckoned for a steady load and a flooded bearing; an engine has neither.")  # fmt: skip


def _length(item: Item, metres: float, side: str) -> str:
    unit = UNITS["um" if item.unit is not None and item.unit.system == "metric" else "thou"]
    return say(_q(float(f"{metres:.9g}"), "m").to(unit).limit_denominator(10**9), unit, side)
