"""Surveys: several diameters of one feature, and what follows from them: smallest, largest, mean, out-of-round, taper, wear, clearance.

Each derived figure has a doubt of its own. Errors shared by one instrument (its own limit of error, its setting) cancel in differences
within one survey and stay in sizes; what repeats average out does not cancel. Out-of-round and taper here are differences of diameters
(the shop's convention): twice the roundness of ISO 1101, which two-point readings cannot show.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.records import Pair, SurveyKind
from halfthou_specdb.table import Table
from halfthou_specdb.units import Unit

from .extremes import gap_at_most, largest_at_most, range_at_most, with_shared, worn_at_most
from .readings import Reading, ReadingProblem, State
from .speak import say_doubt
from .uncertainty import Budget, budget

TWO_AXES, THREE_LOBES = 2, 3
RANGE_FACTOR = {2: 1.128, 3: 1.693, 4: 2.059, 5: 2.326, 6: 2.534}
"""Mean apparent range of k readings of a perfect part, in random standard uncertainties (control-chart constant d2; derived)."""


@dataclass(frozen=True, slots=True)
class Survey:
    """Readings of one feature. ``cells``: (station, axis) -> one reading or repeats. ``new``: the size when new, with its doubt.

    ``standard_uncertainty`` replaces the instrument's parts and is taken as random; ``shared_uncertainty`` as common to all.
    """

    id: str
    kind: str
    cells: Mapping[tuple[str, str], tuple[Quantity, ...]]
    instance: str = ""
    instrument: str = ""
    standard_uncertainty: Quantity | None = None
    shared_uncertainty: Quantity | None = None
    new: Quantity | None = None
    new_uncertainty: Quantity | None = None
    state: State = "as_found"
    measured_by_same_tool: bool = False
    """The size when new was read with the same tool, so that its shared error cancels in the wear."""
    temperature: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Figure:
    """One derived figure [``unit``]: exact value, its standard uncertainty, where it was met, and its own distribution."""

    name: str
    characteristic: str
    value: Fraction
    u: float
    unit: Unit
    where: str
    at_most: Callable[[float], float] = field(compare=False)
    """Chance that the true figure is at most x [``unit``]."""


@dataclass(frozen=True, slots=True)
class SurveyAnswer:
    """The derived figures of one survey, and what the readings cannot see."""

    survey: Survey
    kind: SurveyKind
    unit: Unit
    budget: Budget
    u_random: float
    u_shared: float
    figures: tuple[Figure, ...]
    notes: tuple[str, ...]
    sizes: Mapping[tuple[str, str], Fraction]


def work_out(table: Table, survey: Survey) -> SurveyAnswer:
    """Derive everything a survey can say.

    Raises:
        ReadingProblem: unknown kind of survey, no readings, mixed kinds of unit, an instrument that cannot read it.
    """
    kind = table.surveys.get(survey.kind)
    if kind is None:
        raise ReadingProblem("unknown-survey", f"no survey is called {survey.kind[:60]!r}; there are {', '.join(table.surveys)}", "/feature")
    if not survey.cells:
        raise ReadingProblem("no-value", "a survey needs readings", "/readings")
    unit = next(iter(survey.cells.values()))[0].unit
    if any(v.unit.dimension != "length" for cell in survey.cells.values() for v in cell):
        raise ReadingProblem("wrong-dimension", "diameters are lengths", "/readings")
    sizes = {place: sum((v.to(unit) for v in cell), Fraction(0)) / len(cell) for place, cell in survey.cells.items()}
    if any(size <= 0 for size in sizes.values()):
        raise ReadingProblem("negative", "a diameter is more than nothing", "/readings")
    found, u_random, u_shared = _doubts(table, survey, kind, sizes, unit)
    repeats = min(len(cell) for cell in survey.cells.values())
    u_random /= math.sqrt(repeats)
    figures = tuple(_figures(survey, kind, sizes, unit, u_random, u_shared))
    return SurveyAnswer(survey, kind, unit, found, u_random, u_shared, figures, _notes(sizes, u_random, unit), sizes)


def _doubts(
    table: Table, survey: Survey, kind: SurveyKind, sizes: Mapping[tuple[str, str], Fraction], unit: Unit
) -> tuple[Budget, float, float]:
    middle = sorted(sizes.values())[len(sizes) // 2]
    size = Quantity(decimal_of(middle), unit, middle)
    name = survey.instrument or ("telescoping-gauge-outside-micrometer" if kind.inside else "outside-micrometer")
    reading = Reading(survey.id, kind.diameter or kind.id, (size,), instrument=name, standard_uncertainty=survey.standard_uncertainty)
    found = budget(table, None, reading, size, size)
    scale = float(found.unit.factor / unit.factor)
    if survey.standard_uncertainty is not None:
        shared = 0.0 if survey.shared_uncertainty is None else float(survey.shared_uncertainty.to(unit))
        return found, found.u * scale, shared
    random = math.sqrt(math.fsum(line.u**2 for line in found.lines if line.random)) * scale
    fixed = math.sqrt(math.fsum(line.u**2 for line in found.lines if not line.random)) * scale
    return found, random or found.u * scale, fixed


def _figures(
    survey: Survey, kind: SurveyKind, sizes: Mapping[tuple[str, str], Fraction], unit: Unit, u: float, u_shared: float
) -> list[Figure]:
    values = [float(v) for v in sizes.values()]
    low_at, high_at = min(sizes, key=lambda k: sizes[k]), max(sizes, key=lambda k: sizes[k])
    whole = math.hypot(u, u_shared)
    mean = sum(sizes.values(), Fraction(0)) / len(sizes)
    u_mean = math.hypot(u / math.sqrt(len(sizes)), u_shared)
    figures = [
        Figure("smallest", kind.diameter, sizes[low_at], whole, unit, _where(low_at),
               lambda x: with_shared(lambda s: 1.0 - largest_at_most([-v for v in values], u, s - x), u_shared)),
        Figure("largest", kind.diameter, sizes[high_at], whole, unit, _where(high_at),
               lambda x: with_shared(lambda s: largest_at_most(values, u, x - s), u_shared)),
        Figure("mean", kind.diameter, mean, u_mean, unit, "", lambda x: largest_at_most([float(mean)], u_mean, x)),
    ]  # fmt: skip
    figures += _out_of_round(kind, sizes, unit, u)
    figures += _taper(kind, sizes, unit, u)
    figures += _wear(survey, kind, sizes, unit, u, u_shared)
    return figures


def _where(place: tuple[str, str]) -> str:
    return ", ".join(p for p in place if p)


def _grouped(sizes: Mapping[tuple[str, str], Fraction], by: int) -> dict[str, list[Fraction]]:
    groups: dict[str, list[Fraction]] = defaultdict(list)
    for place, size in sizes.items():
        groups[place[by]].append(size)
    return groups


def _out_of_round(kind: SurveyKind, sizes: Mapping[tuple[str, str], Fraction], unit: Unit, u: float) -> list[Figure]:
    """Largest less smallest across one station; the part's is the worst station's. Shared errors cancel."""
    stations = {name: values for name, values in _grouped(sizes, 0).items() if len(values) >= TWO_AXES}
    if not stations:
        return []
    worst = max(stations, key=lambda name: max(stations[name]) - min(stations[name]))
    groups = [[float(v) for v in values] for values in stations.values()]

    def at_most(x: float) -> float:
        return math.prod(range_at_most(values, u, x) for values in groups)

    value = max(stations[worst]) - min(stations[worst])
    return [Figure("out-of-round", kind.out_of_round, value, u * math.sqrt(2.0), unit, worst, at_most)]


def _taper(kind: SurveyKind, sizes: Mapping[tuple[str, str], Fraction], unit: Unit, u: float) -> list[Figure]:
    """Largest less smallest of the mean diameters at the stations; signed: first station less last. Shared errors cancel."""
    stations = _grouped(sizes, 0)
    counts = {len(values) for values in stations.values()}
    if len(stations) < TWO_AXES or len(counts) != 1:
        return []
    means = {name: sum(values, Fraction(0)) / len(values) for name, values in stations.items()}
    names = list(means)
    u_mean = u / math.sqrt(counts.pop())
    values = [float(m) for m in means.values()]
    signed = means[names[0]] - means[names[-1]]
    value = max(means.values()) - min(means.values())
    return [
        Figure("taper", kind.taper, value, u_mean * math.sqrt(2.0), unit, f"{names[0]} to {names[-1]}", lambda x: range_at_most(values, u_mean, x)),
        Figure("signed-taper", "", signed, u_mean * math.sqrt(2.0), unit, f"{names[0]} less {names[-1]}",
               lambda x: largest_at_most([float(signed)], u_mean * math.sqrt(2.0), x)),
    ]  # fmt: skip


def _wear(
    survey: Survey, kind: SurveyKind, sizes: Mapping[tuple[str, str], Fraction], unit: Unit, u: float, u_shared: float
) -> list[Figure]:
    """A bore's largest size less the size when new, or a shaft's size when new less its smallest."""
    if survey.new is None or not kind.wear:
        return []
    new = survey.new.to(unit)
    u_new = float(survey.new_uncertainty.to(unit)) if survey.new_uncertainty else u
    rest = u_new if survey.measured_by_same_tool else math.hypot(u_new, u_shared)
    sign = 1 if kind.inside else -1
    values = [sign * float(v) for v in sizes.values()]
    place = max(sizes, key=lambda k: sign * sizes[k])
    value = sign * (sizes[place] - new)
    at_most: Callable[[float], float] = lambda x: worn_at_most(values, u, rest, sign * float(new), x)  # noqa: E731
    return [Figure("wear", kind.wear, value, math.hypot(u, rest), unit, _where(place), at_most)]


def _notes(sizes: Mapping[tuple[str, str], Fraction], u: float, unit: Unit) -> tuple[str, ...]:
    axes = max((len(v) for v in _grouped(sizes, 0).values()), default=0)
    notes = []
    if axes >= TWO_AXES:
        floor = RANGE_FACTOR.get(axes, RANGE_FACTOR[6]) * u
        notes.append(f"a perfectly round part would read about {say_doubt(floor, unit)} out of round on {axes} axes with this tool")
    if axes == TWO_AXES:
        notes.append("two axes at right angles cannot see an oval that lies at 45 degrees to both: add a third axis")
    if axes < TWO_AXES:
        notes.append("one axis says nothing of out-of-round")
    notes.append("a diameter reads the same all round a three-lobed part: rule that out in a V-block or with a ring of blue")
    return tuple(notes)


def clearances(pair: Pair, bore: SurveyAnswer, shaft: SurveyAnswer) -> tuple[Figure, ...]:
    """Smallest and largest clearance of a bore on its shaft. Where one micrometer set both tools, its error cancels."""
    unit = bore.unit
    scale = float(shaft.unit.factor / unit.factor)
    bores = [float(v) for v in bore.sizes.values()]
    shafts = [float(v) * scale for v in shaft.sizes.values()]
    u_b, u_s = bore.u_random, shaft.u_random * scale
    shared = _left_over(bore, shaft, scale)
    exact = shaft.unit.factor / unit.factor
    least = min(bore.sizes.values()) - max(shaft.sizes.values()) * exact
    most = max(bore.sizes.values()) - min(shaft.sizes.values()) * exact
    u = math.sqrt(u_b**2 + u_s**2 + shared**2)
    return (
        Figure("smallest-clearance", pair.clearance, least, u, unit, "least bore on greatest shaft",
               lambda x: gap_at_most(bores, u_b, shafts, u_s, shared, x, True)),
        Figure("largest-clearance", pair.clearance, most, u, unit, "greatest bore on least shaft",
               lambda x: gap_at_most(bores, u_b, shafts, u_s, shared, x, False)),
    )  # fmt: skip


def _left_over(bore: SurveyAnswer, shaft: SurveyAnswer, scale: float) -> float:
    """Shared errors that do not cancel. Lines called micrometer in both budgets are one micrometer when both name the same tool."""
    mic = _micrometer(bore)
    common = mic if mic and _outside_micrometer(shaft) else 0.0
    rest = max(bore.u_shared**2 - common**2, 0.0)
    other = shaft.u_shared * scale
    return math.sqrt(rest + max(other**2 - (common if common else 0.0) ** 2, 0.0))


def _micrometer(answer: SurveyAnswer) -> float:
    scale = float(answer.budget.unit.factor / answer.unit.factor)
    return math.sqrt(math.fsum(line.u**2 for line in answer.budget.lines if "micrometer" in line.name and not line.random)) * scale


def _outside_micrometer(answer: SurveyAnswer) -> bool:
    return answer.budget.instrument.startswith("outside-micrometer")


__all__: Sequence[str] = ("Figure", "Survey", "SurveyAnswer", "clearances", "work_out")
