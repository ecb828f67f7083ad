"""What the readings of a survey cannot see, and what a full one would hold."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

from halfthou_specdb.survey_records import SurveyKind
from halfthou_specdb.units import Unit

from ..speak import say_doubt, say_value
from ..uncertainty import factor_ratio
from .records import Doubts, Spot, Survey

TWO_AXES = 2
RANGE_FACTOR = {2: 1.128, 3: 1.693, 4: 2.059, 5: 2.326, 6: 2.534, 7: 2.704, 8: 2.847}
"""Mean apparent range of k readings of a perfect part, in random standard uncertainties (control-chart constant d2; derived)."""
SHOWN_FROM = {2: 2.772, 3: 3.314, 4: 3.633, 5: 3.858, 6: 4.030, 7: 4.170, 8: 4.286}
"""Range that k readings of a perfect part stay under 19 times in 20, in the same (derived: upper 5 % point of a normal range)."""
MOST = 8
TURN, NEAR, CLOSE = 0.025, 0.0025, 0.010
"""One turn of an inch micrometer's thimble, how near to it a slip lies, and how close the other readings are together [in]."""


def notes(survey: Survey, kind: SurveyKind, sizes: Mapping[Spot, Fraction], unit: Unit, doubts: Doubts, blind: str = "") -> tuple[str, ...]:
    """Everything to be said of the readings as a whole. ``blind``: why the tool says nothing of an oval."""
    stations: dict[str, list[float]] = {}
    for (station, _), size in sizes.items():
        stations.setdefault(station, []).append(float(size))
    axes = max((len(v) for v in stations.values()), default=0)
    oval = [f"no out-of-round is told: {blind}"] if blind else _round(kind, stations, axes, unit, doubts.random)
    told = [*oval, *_full(kind, stations, axes), *of_wear(survey, kind, sizes)]
    slip = _thimble(sizes, unit)
    return (*((slip,) if slip else ()), *told)


def _round(kind: SurveyKind, stations: Mapping[str, Sequence[float]], axes: int, unit: Unit, u: float) -> Iterator[str]:
    if axes < TWO_AXES:
        yield "one axis says nothing of out-of-round"
        return
    floor, shown = RANGE_FACTOR[min(axes, MOST)] * u, SHOWN_FROM[min(axes, MOST)] * u
    yield f"a perfectly round part would read about {say_doubt(floor, unit)} out of round on {axes} axes with this tool"
    if max(max(v) - min(v) for v in stations.values()) < shown:
        yield f"no out-of-round can be shown with this tool: all of it may be the tool's own scatter (up to {say_doubt(shown, unit)})"
    if axes == TWO_AXES:
        yield "two axes at right angles cannot see an oval that lies at 45 degrees to both: add a third axis"
    how = "with a three-point bore gauge" if kind.inside else "in a V-block under an indicator"
    yield f"a diameter reads the same all round a part with three lobes: look for those {how}"


def _full(kind: SurveyKind, stations: Mapping[str, Sequence[float]], axes: int) -> Iterator[str]:
    left = [name for name in kind.stations if name not in stations]
    if len(stations) < len(kind.stations):
        which = f" ({', '.join(left)} not read)" if len(left) < len(kind.stations) else ""
        yield f"a full survey has {len(kind.stations)} stations ({', '.join(kind.stations)}); this one has {len(stations)}{which}"
    if TWO_AXES <= axes < len(kind.axes) and axes != TWO_AXES:
        yield f"a full survey has {len(kind.axes)} axes ({', '.join(kind.axes)}); this one has {axes}"
    if len(stations) > 1 and len({len(v) for v in stations.values()}) > 1:
        yield "the stations were not all read on the same axes: taper is told from the axes they share"


def of_wear(survey: Survey, kind: SurveyKind, sizes: Mapping[Spot, Fraction]) -> Iterator[str]:
    """What the wear is told against, or why it is not told."""
    if not kind.wear:
        return
    if survey.new is None:
        if kind.unworn and any(spot[0] in kind.unworn for spot in survey.cells) and any(spot[0] not in kind.unworn for spot in sizes):
            yield f"wear is told against the part where nothing ran ({', '.join(kind.unworn)}), read with the same tool"
        else:
            yield "no size when new is stated (new), so no wear is told; a nominal size is not it unless you know so"
    elif survey.temperature is not None and survey.measured_by_same_tool:
        yield "the size when new is taken to have been read at the same temperature, with the same tool"
    if survey.new is not None and survey.new_uncertainty is None:
        yield "the doubt of the size when new is not stated (new_uncertainty): taken as that of one reading"


def _thimble(sizes: Mapping[Spot, Fraction], unit: Unit) -> str:
    """A reading one whole turn of the thimble off the others: the commonest slip with an inch micrometer."""
    if len(sizes) < 3 or unit.system == "metric":
        return ""
    inches = factor_ratio(unit.token, "in")
    ordered = sorted((float(size) * inches, spot) for spot, size in sizes.items())
    gaps = [b[0] - a[0] for a, b in pairwise(ordered)]
    for odd, gap, rest in ((ordered[-1], gaps[-1], ordered[:-1]), (ordered[0], gaps[0], ordered[1:])):
        near = sum(v for v, _ in rest) / len(rest)
        if gap > CLOSE and rest[-1][0] - rest[0][0] < CLOSE and abs(abs(odd[0] - near) - TURN) < NEAR:
            there = ", ".join(part for part in odd[1] if part)
            return f"{say_value(sizes[odd[1]], unit)} ({there}) lies one turn of the thimble, 25 thou, off the others: read it again"
    return ""
