"""Verdicts on what a survey shows: each derived figure is judged by its own distribution, not by one z."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.records import Characteristic
from halfthou_specdb.resolve import Interval, Resolved
from halfthou_specdb.rules import Open

from .decide import Chances, capped, gaps, verdict_from
from .observed import Observed
from .readings import Place, Problem, Reading, ReadingProblem
from .say_verdict import Sayer
from .settle import Settles
from .survey import Figure, Survey, SurveyAnswer, clearances, work_out
from .uncertainty import Budget
from .verdict import Bench, Item

JUDGED = ("out-of-round", "taper", "wear")


@dataclass(frozen=True, slots=True)
class JudgedSurvey:
    """A survey worked out, with the verdicts on its figures; or the problem that kept it from being worked out."""

    survey: Survey
    answer: SurveyAnswer | None
    items: tuple[Item, ...]
    problem: Problem | None = None


def judge_surveys(bench: Bench, surveys: Sequence[Survey]) -> tuple[JudgedSurvey, ...]:
    """Every survey, and the clearance of every bore and shaft that were both surveyed on the same instance."""
    judged: list[JudgedSurvey] = []
    for survey in surveys:
        try:
            answer = work_out(bench.table, survey)
        except ReadingProblem as fault:
            judged.append(JudgedSurvey(survey, None, (), fault.problem))
            continue
        judged.append(JudgedSurvey(survey, answer, tuple(_judge(bench, answer))))
    return tuple(replace(j, items=(*j.items, *_clearances(bench, j, judged))) for j in judged)


def _judge(bench: Bench, answer: SurveyAnswer) -> Iterator[Item]:
    for figure in answer.figures:
        if figure.name in JUDGED and figure.characteristic:
            yield judge_figure(bench, answer, figure)


def _clearances(bench: Bench, bore: JudgedSurvey, others: Sequence[JudgedSurvey]) -> Iterator[Item]:
    if bore.answer is None or not bore.answer.kind.inside:
        return
    for pair in bench.table.pairs.values():
        if pair.bore != bore.survey.kind:
            continue
        for shaft in others:
            if shaft.answer is not None and shaft.survey.kind == pair.shaft and shaft.survey.instance == bore.survey.instance:
                for figure in clearances(pair, bore.answer, shaft.answer):
                    if pair.judged == "both" or figure.name.startswith(pair.judged):
                        yield judge_figure(bench, bore.answer, figure)


def judge_figure(bench: Bench, answer: SurveyAnswer, figure: Figure) -> Item:
    """The verdict on one derived figure."""
    what = bench.table.characteristics[figure.characteristic]
    value = Quantity(decimal_of(figure.value), figure.unit, figure.value)
    place = Place(answer.survey.instance, figure.where)
    reading = Reading(f"{answer.survey.id}.{figure.name}", what.id, (value,), place=place, state=answer.survey.state)
    try:
        resolved = bench.limit_for(what)
    except ReadingProblem as fault:
        return bench.not_judged(reading, what, fault.problem)
    told = f"{figure.name.replace('-', ' ')} of {len(answer.sizes)} readings"
    observed = Observed(value, value, value, Sayer.said_value(value, told))
    found = replace(answer.budget, u=figure.u * float(figure.unit.factor / answer.budget.unit.factor))
    if resolved.limit is None or resolved.limit.kind != "limit" or resolved.fit is None or resolved.wear is None or resolved.serviceable is None:
        return bench.without_limit(reading, what, observed, found, resolved)
    return _told(bench, answer, figure, what, resolved, observed, found, reading)


def _told(bench: Bench, answer: SurveyAnswer, figure: Figure, what: Characteristic, resolved: Resolved, observed: Observed,
          found: Budget, reading: Reading) -> Item:  # fmt: skip
    fit, wear, back = resolved.fit, resolved.wear, resolved.serviceable
    assert fit is not None
    assert wear is not None
    assert back is not None
    assert resolved.limit is not None
    decision = verdict_from(_chances(figure, fit), _chances(figure, back), wear, what, bench.rules)
    settles = Settles("neither", True) if decision.verdict == "undecided" else None
    u = figure.u * float(figure.unit.factor / fit.unit.factor)
    text = Sayer(bench.table, resolved, reading, observed, found, bench.rules).say(decision, settles, u)
    inside = decision.serviceable.inside if decision.serviceable else 1.0
    passed = decision.verdict in ("within_fit", "usable")
    return Item(
        reading.id, what.id, what.name, what.component, str(reading.place), decision.verdict, decision.side, decision.as_new,
        capped(decision.fit.inside) if decision.fit else None, capped(decision.serviceable.inside) if decision.serviceable else None,
        observed.shown.value, "", figure.unit, figure.u, math.inf, found.lines, found.instrument, resolved.limit.id, text,
        (*found.assumed, *answer.notes) if figure.name == "out-of-round" else found.assumed, settles,
        cautions=resolved.limit.cautions, wrong_pass=1.0 - inside if passed else 0.0,
    )  # fmt: skip


def _chances(figure: Figure, interval: Interval) -> Chances | None:
    """Chances from the figure's own distribution."""
    scale = interval.unit.factor / figure.unit.factor
    gap = gaps(figure.value / scale, interval.low, interval.high)
    if gap is None:
        return None
    below = 0.0 if isinstance(interval.low, Open) else figure.at_most(float(interval.low * scale))
    above = 0.0 if isinstance(interval.high, Open) else 1.0 - figure.at_most(float(interval.high * scale))
    return Chances(below, max(1.0 - below - above, 0.0), above, gap.reads)
