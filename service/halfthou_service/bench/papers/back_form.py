"""Form of a part that came back, worked out from the sizes of the report: out of round and taper, his and mine, each with its doubt.

The lines of form stand in the report with their limits and empty boxes. Out of round is the largest less the smallest at one station, the
worst station; taper that of the means along the part, ends or all stations as the survey of the table defines it. A figure that somebody
wrote into such a box counts only where it is the worse one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.survey_records import SurveyKind
from halfthou_specdb.table import Table

from .back_lines import BackLine, Figure
from .order_boxes import OUT_OF_ROUND, TAPER
from .order_case import INCH
from .recipes import recipes, surveyed

Doubt = Callable[[BackLine, Figure], float | None]
"""The random part of the standard uncertainty of a figure [its own unit], what one tool does not repeat."""
Sizes = Mapping[tuple[str, str], tuple[Fraction, float]]
"""Station and line -> size and its random doubt [in]."""
WORKED_OUT = "worked out from the sizes above"
SHORTEST = 2
"""Sizes that a difference takes."""


def with_form(table: Table, lines: Sequence[BackLine], doubt: Doubt) -> tuple[BackLine, ...]:
    """The lines, those of form with the figures that follow from the sizes; a line of form without sizes stays as it is."""
    return tuple(_filled(table, line, lines, doubt) for line in lines)


def is_form(line: BackLine) -> bool:
    """Whether a line is out of round or taper of sizes, and not a size."""
    return line.what.endswith((OUT_OF_ROUND, TAPER)) and not line.station and not line.axis


def _filled(table: Table, line: BackLine, lines: Sequence[BackLine], doubt: Doubt) -> BackLine:
    if not is_form(line):
        return line
    word = OUT_OF_ROUND if line.what.endswith(OUT_OF_ROUND) else TAPER
    of = [other for other in lines if other.part == line.part and other.what == line.what.removesuffix(word)]
    kind = _survey(table, line.part, line.what.removesuffix(word))
    return replace(line, reported=_worse(line.reported, _worked(kind, word, of, "reported", doubt)),
                   measured=_worse(line.measured, _worked(kind, word, of, "measured", doubt)))  # fmt: skip


def _survey(table: Table, part: str, what: str) -> SurveyKind | None:
    return next((kind for r in recipes() if r.id == part for name, kind in surveyed(table, r) if name == what), None)


def _worse(given: Figure, worked: Figure | None) -> Figure:
    if worked is None or worked.value is None:
        return given
    if given.value is not None and given.value.unit.dimension == "length" and given.value.canonical > worked.value.canonical:
        return given
    return worked


def _worked(kind: SurveyKind | None, word: str, lines: Sequence[BackLine], who: str, doubt: Doubt) -> Figure | None:
    sizes: dict[tuple[str, str], tuple[Fraction, float]] = {}
    for line in lines:
        figure: Figure = getattr(line, who)
        if figure.value is None or figure.value.unit.dimension != "length":
            continue
        u = doubt(line, figure)
        if u is None:
            return None
        sizes[line.station, line.axis] = figure.value.to(INCH), u * float(figure.value.unit.factor / INCH.factor)
    value = _out_of_round(sizes) if word == OUT_OF_ROUND else _taper(kind, sizes)
    if value is None:
        return None
    u = math.sqrt(2.0) * max(u for _, u in sizes.values())
    return Figure(Quantity(decimal_of(value, 20), INCH, value), Quantity(decimal_of(Fraction(u), 20), INCH, Fraction(u)), words=WORKED_OUT)


def _stations(sizes: Sizes) -> dict[str, dict[str, Fraction]]:
    found: dict[str, dict[str, Fraction]] = {}
    for (station, axis), (size, _) in sizes.items():
        found.setdefault(station, {})[axis] = size
    return found


def _out_of_round(sizes: Sizes) -> Fraction | None:
    rounds = [at for at in _stations(sizes).values() if len(at) >= SHORTEST]
    return max((max(at.values()) - min(at.values()) for at in rounds), default=None)


def _taper(kind: SurveyKind | None, sizes: Sizes) -> Fraction | None:
    """Means over the lines that every station has, so that a line left out is not taken for taper."""
    stations = _stations(sizes)
    if kind is not None and kind.taper_between == "ends":
        stations = {name: at for name, at in stations.items() if name in (kind.stations[0], kind.stations[-1])}
    if len(stations) < SHORTEST:
        return None
    shared = set.intersection(*(set(at) for at in stations.values()))
    if not shared:
        return None
    means = [sum((at[axis] for axis in shared), Fraction(0)) / len(shared) for at in stations.values()]
    return max(means) - min(means)
