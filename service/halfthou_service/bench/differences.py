"""A difference that two readings of one sheet make: the clearances of the two mains, the shims of the two sides.

The table names such differences beside what is read for each (``[[several]]``). Two readings sent alone say nothing of having one tool, so
nothing of their doubt is taken to cancel; in one survey it does.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Collection, Iterator, Sequence
from fractions import Fraction

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.survey_records import SurveyKind

from .basis import basis_of
from .extremes import range_at_most
from .item import Item
from .readings import Reading, ReadingProblem, State
from .surveys.figures import averaged
from .surveys.records import Figure
from .surveys.verdict import JudgedSurvey, judge_derived
from .uncertainty import Budget, Line, factor_ratio
from .verdict import Bench

TWO = 2
ROOT_2 = math.sqrt(2.0)


def differences(bench: Bench, items: Sequence[Item], readings: Sequence[Reading], surveys: Sequence[JudgedSurvey],
                taken: Collection[str] = ()) -> Iterator[Item]:  # fmt: skip
    """The verdict on each difference that follows from exactly two readings, where nobody read or surveyed it himself.

    Args:
        taken: ids that stand in the answer beside those of the readings and surveys given.
    """
    used = {*taken, *(reading.id for reading in readings)}
    used.update(name for judged in surveys for name in (judged.survey.id, *(item.id for item in judged.items)))
    for kind in bench.table.surveys.values():
        if not kind.difference:
            continue
        told = {r.state for r in readings if r.characteristic == kind.difference}
        told |= {judged.survey.state for judged in surveys if judged.survey.kind == kind.id}
        for state, pair in _pairs(bench, kind, items, readings).items():
            if state not in told:
                name = _unused(f"{kind.difference}{'' if state == 'as_found' else f'.{state}'}", used)
                used.add(name)
                yield _judged(bench, kind, name, state, pair)


def _unused(name: str, used: Collection[str]) -> str:
    """The name, with an ending where somebody called something else so."""
    endings = ("", ".derived", *(f".derived-{n}" for n in range(2, len(used) + 2)))
    return next(name + ending for ending in endings if name + ending not in used)


Pair = tuple[tuple[Item, Reading, Fraction], tuple[Item, Reading, Fraction]]


def _pairs(bench: Bench, kind: SurveyKind, items: Sequence[Item], readings: Sequence[Reading]) -> dict[State, Pair]:
    """State -> the readings of the two instances, each read once; with what its value is multiplied by."""
    what = bench.table.characteristics[kind.diameter]
    names = {name.lower() for name in what.instances}
    found: dict[State, list[tuple[Item, Reading, Fraction]]] = defaultdict(list)
    for item, reading in zip(items, readings, strict=False):
        if reading.characteristic != what.id or item.problem is not None or not item.u or reading.span is not None:
            continue
        if reading.place.instance.lower() in names and item.value is not None:
            try:
                found[reading.state].append((item, reading, basis_of(reading, what).times))
            except ReadingProblem:
                continue
    return {
        state: (pair[0], pair[1]) for state, pair in found.items()
        if len(pair) == TWO and pair[0][1].place.instance.lower() != pair[1][1].place.instance.lower()
    }  # fmt: skip


def _judged(bench: Bench, kind: SurveyKind, name: str, state: State, pair: Pair) -> Item:
    what = bench.table.characteristics[kind.difference]
    unit = pair[0][0].unit
    assert unit is not None
    values, doubts = [], []
    for item, _, times in pair:
        assert item.value is not None and item.unit is not None and item.u is not None
        exact = Fraction(item.value) * times
        values.append(Quantity(decimal_of(exact), item.unit, exact).to(unit))
        doubts.append(item.u * float(times) * factor_ratio(item.unit.token, unit.token))
    high, low = (0, 1) if values[0] >= values[1] else (1, 0)
    u, apart = math.hypot(*doubts), values[high] - values[low]
    where = [reading.place.instance for _, reading, _ in pair]
    how = f"{where[high]} less {where[low]}"
    dof = _dof([item.dof for item, _, _ in pair], doubts)
    lines = tuple(line for w, (item, _, _), d in zip(where, pair, doubts, strict=True) for line in _parts(w, item, d))
    figure = Figure("difference", what.id, apart, u, unit, how, _chance([float(v) for v in values], u, dof), dof=dof, lines=lines)
    tools = {item.instrument for item, _, _ in pair}
    said = [f"worked out from {pair[0][0].id} and {pair[1][0].id}, nothing of their doubt taken to cancel; "
            f"sent as one survey ({kind.id}), what one micrometer or indicator gets wrong alike cancels"]  # fmt: skip
    said += ["the two were read with different tools; take both with one tool and one hand"] if len(tools) > 1 else []
    reading = Reading(name, what.id, (Quantity(decimal_of(apart), unit, apart),), state=state)
    return judge_derived(bench, figure, what, reading, how, Budget(unit, u, dof, lines, tools.pop() if len(tools) == 1 else "", tuple(said)))


def _parts(where: str, item: Item, u: float) -> Iterator[Line]:
    """What repeats would average out of one reading's doubt, and what they would not."""
    whole = math.sqrt(math.fsum(line.u**2 for line in item.lines))
    for random, name in ((True, "random part"), (False, "what its repeats share")):
        part = math.sqrt(math.fsum(line.u**2 for line in item.lines if line.random is random))
        if part:
            yield Line(f"{where}: {name}", u * part / whole, "derived", random)


def _chance(values: list[float], u: float, dof: float) -> Callable[[float], float]:
    """Of a largest less smallest of two, whose difference has the standard uncertainty ``u``."""
    return averaged(lambda x, s: range_at_most(values, u * s / ROOT_2, x), dof)


def _dof(each: Sequence[float | None], doubts: Sequence[float]) -> float:
    """Degrees of freedom of both together (Welch-Satterthwaite)."""
    spread = math.fsum(d**4 / n for n, d in zip(each, doubts, strict=True) if n is not None and not math.isinf(n))
    return math.inf if not spread else math.fsum(d * d for d in doubts) ** 2 / spread
