"""Verdicts on what a survey shows: each derived figure is judged by its own distribution, not by one z."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.records import Characteristic
from halfthou_specdb.resolve import Interval, Resolved
from halfthou_specdb.rules import Open
from halfthou_specdb.survey_records import SurveyKind

from ..basis import wrong_place
from ..decide import Chances, Decision, capped, decide_chances, gaps
from ..item import Item
from ..observed import Observed
from ..readings import Place, Problem, Reading, ReadingProblem, State
from ..say_verdict import Sayer
from ..slips import suspected_slip
from ..sources import SourceVerdict, by_each_source
from ..uncertainty import Budget
from ..verdict import Bench
from .figures import where
from .notes import of_wear
from .settle import settle_figure
from .survey import Clearance, Figure, Survey, SurveyAnswer, clearances, work_out

JUDGED = frozenset({"out-of-round", "signed-out-of-round", "taper", "wear", "spread"})
SIGNED = "signed-out-of-round"
NAMED = "across load"
OF_SEVERAL = {"smallest": "smallest", "largest": "largest", "spread": "largest less smallest"}
JOINT = "the joint of the cap is taken to lie across the load; where it does not, name the axes 'across load' and 'loaded line'"


@dataclass(frozen=True, slots=True)
class JudgedSurvey:
    """A survey worked out, with the verdicts on its figures; or the problem that kept it from being worked out.

    ``clearances``: of this bore on the shafts that were surveyed too. ``name``: what one reading of several things is called.
    """

    survey: Survey
    answer: SurveyAnswer | None
    items: tuple[Item, ...]
    problem: Problem | None = None
    clearances: tuple[Clearance, ...] = ()
    name: str = ""

    @property
    def figures(self) -> tuple[Figure, ...]:
        """Every figure, clearances last."""
        own = self.answer.figures if self.answer else ()
        return (*own, *(figure for c in self.clearances for figure in (c.smallest, c.largest)))


def judge_surveys(bench: Bench, surveys: Sequence[Survey]) -> tuple[JudgedSurvey, ...]:
    """Every survey, and the clearance of every bore whose shaft was surveyed on the same instance."""
    judged: list[JudgedSurvey] = []
    for survey in surveys:
        kind = bench.table.surveys.get(survey.kind)
        try:
            answer = work_out(bench.table, survey, _nominal(bench, kind) if kind else None)
            if answer.kind.each and not survey.confirmed:
                _no_slip(bench, answer)
        except ReadingProblem as fault:
            judged.append(JudgedSurvey(survey, None, (_refused(bench, survey, fault.problem),), fault.problem))
            continue
        of = bench.table.characteristics[answer.kind.diameter].name if answer.kind.each else ""
        judged.append(JudgedSurvey(answer.survey, answer, tuple(_judge(bench, answer)), name=of))
    shafts: dict[str, list[JudgedSurvey]] = {}
    for one in judged:
        if one.answer is not None and not one.answer.kind.inside:
            shafts.setdefault(one.survey.kind, []).append(one)
    return tuple(_with_clearances(bench, one, shafts) for one in judged)


def _nominal(bench: Bench, kind: SurveyKind) -> Quantity | None:
    """The size the engine states for the feature, or for the part that several things belong to."""
    if not kind.each:
        return bench.engine.dimensions.get(kind.new)
    scales = bench.table.characteristics[kind.diameter].scales_with
    return bench.engine.dimensions.get(scales[0]) if scales else None


def _no_slip(bench: Bench, answer: SurveyAnswer) -> None:
    """Each of several readings is looked at for a slip as if it were alone.

    Raises:
        ReadingProblem: the first that looks like one.
    """
    what = bench.table.characteristics[answer.kind.diameter]
    try:
        resolved = bench.limit_for(what)
    except ReadingProblem:
        return  # told with the verdicts
    for index, size in enumerate(answer.sizes.values()):
        slip = suspected_slip(resolved, Quantity(decimal_of(size), answer.unit, size))
        if slip:
            raise ReadingProblem("suspected-slip", slip, f"/readings/{index}")


def _refused(bench: Bench, survey: Survey, problem: Problem) -> Item:
    kind = bench.table.surveys.get(survey.kind)
    what = bench.table.characteristics.get(kind.diameter) if kind else None
    name = kind.name if kind else survey.kind[:80]
    reading = Reading(survey.id, kind.diameter or kind.id if kind else survey.kind, place=Place(survey.instance))
    item = bench.not_judged(reading, what, problem)
    head = f"Survey of the {name}"
    return replace(item, name=head, text=f"{head}: not judged. {problem.detail}.", at=reading.place, state=survey.state)


def _judge(bench: Bench, answer: SurveyAnswer) -> Iterator[Item]:
    for figure in answer.figures:
        if not figure.characteristic or not _asked(answer.kind, figure.name):
            continue
        what = bench.table.characteristics[figure.characteristic]
        if figure.name == SIGNED or answer.kind.each or what.non_negative:  # the others have no sign, so they say nothing of what has one
            yield judge_figure(bench, answer, figure, what, answer.survey.state, tuple(_said(answer, figure)))


def _asked(kind: SurveyKind, name: str) -> bool:
    """Whether a figure is held against a limit: of several things the smallest and the largest, never their mean."""
    return name in JUDGED or (bool(kind.each) and name in (("smallest", "largest") if kind.judged == "both" else (kind.judged,)))


def _said(answer: SurveyAnswer, figure: Figure) -> Iterator[str]:
    """What a figure rests on beyond the survey's own assumptions."""
    if figure.name == SIGNED and NAMED not in figure.where:
        yield JOINT
    elif figure.name == "spread":
        yield from answer.notes
    elif figure.name in ("wear", "out-of-round"):
        of_its_wear = tuple(of_wear(answer.survey, answer.kind, answer.sizes)) if answer.kind.wear else ()
        yield from of_its_wear if figure.name == "wear" else (note for note in answer.notes if note not in of_its_wear)


def _with_clearances(bench: Bench, bore: JudgedSurvey, shafts: dict[str, list[JudgedSurvey]]) -> JudgedSurvey:
    if bore.answer is None or not bore.answer.kind.inside:
        return bore
    found, items = [], list(bore.items)
    for pair in bench.table.pairs.values():
        shaft = _mate(bore.survey, shafts.get(pair.shaft, ()), bench.table.characteristics[pair.clearance]) if pair.bore == bore.survey.kind else None
        if shaft is None or shaft.answer is None:
            continue
        clearance = clearances(bench.table, pair, bore.answer, shaft.answer)
        found.append(clearance)
        what = bench.table.characteristics[pair.clearance]
        state: State = "as_made" if "as_made" in (bore.survey.state, shaft.survey.state) else "as_found"
        assumed = (*clearance.assumed, *(a for a in shaft.answer.doubts.assumed if a not in bore.answer.doubts.assumed))
        for figure in (clearance.smallest, clearance.largest):
            if pair.judged == "both" or figure.name.startswith(pair.judged):
                items.append(judge_figure(bench, bore.answer, figure, what, state, assumed, shaft.answer))
    return replace(bore, items=tuple(items), clearances=tuple(found))


def _mate(bore: Survey, shafts: Sequence[JudgedSurvey], what: Characteristic) -> JudgedSurvey | None:
    """The shaft of the same instance, in the same state where there is one, else the last sent.

    Where the engine has only one such clearance the names need not agree: a rod runs on the crankpin.
    """
    only = len(what.instances) < 2
    fits = [s for s in shafts if only or s.survey.instance.lower() == bore.instance.lower() or not (s.survey.instance and bore.instance)]
    return next((s for s in reversed(fits) if s.survey.state == bore.state), fits[-1] if fits else None)


def judge_figure(bench: Bench, answer: SurveyAnswer, figure: Figure, what: Characteristic, state: State, said: tuple[str, ...] = (),
                 shaft: SurveyAnswer | None = None) -> Item:  # fmt: skip
    """The verdict on one derived figure. ``said``: what the figure rests on beyond the survey's own assumptions."""
    value = Quantity(decimal_of(figure.value), figure.unit, figure.value)
    place = _place(answer, figure)
    reading = Reading(f"{answer.survey.id}.{figure.name}", what.id, (value,), place=place, state=state)
    count = len(answer.sizes) + (len(shaft.sizes) if shaft else 0)
    how = f"{OF_SEVERAL[figure.name]} of {count}" if answer.kind.each else f"from {count} reading{'' if count == 1 else 's'}"
    hint = wrong_place(reading) if answer.kind.each else ""
    assumed = tuple(dict.fromkeys((*answer.doubts.assumed, *said, *((hint,) if hint else ()))))
    found = Budget(figure.unit, figure.u, figure.dof, figure.lines, answer.budget.instrument, assumed)
    return judge_derived(bench, figure, what, reading, how, found, None if shaft else answer)


def judge_derived(bench: Bench, figure: Figure, what: Characteristic, reading: Reading, how: str, found: Budget,
                  one: SurveyAnswer | None = None) -> Item:  # fmt: skip
    """The verdict on a figure that was worked out. ``how``: what from, in words. ``one``: the survey it is from, where it is from one."""
    place, state = reading.place, reading.state
    try:
        resolved = bench.limit_for(what)
    except ReadingProblem as fault:
        return replace(bench.not_judged(reading, what, fault.problem), at=place, state=state)
    value = reading.values[0]
    observed = Observed(value, value, value, Sayer.said_value(value, how, bench.rules.units))
    if resolved.limit is None or resolved.fit is None or resolved.wear is None or resolved.serviceable is None:
        return replace(bench.without_limit(reading, what, observed, found, resolved), at=place, state=state)
    if resolved.limit.kind != "limit":  # a guide or a safety limit: by the figure's own doubt, as any reading
        return replace(bench.told(reading, what, observed, found, resolved), at=place, state=state)
    return _told(bench, figure, what, resolved, observed, found, reading, one)


def _place(answer: SurveyAnswer, figure: Figure) -> Place:
    """Where a figure was met; of several things, the one that is the smallest or the largest."""
    if not answer.kind.each:
        return Place(answer.survey.instance, figure.where)
    return next((answer.place(spot) for spot in answer.sizes if where(spot) == figure.where), Place(answer.survey.instance))


def _told(bench: Bench, figure: Figure, what: Characteristic, resolved: Resolved, observed: Observed, found: Budget, reading: Reading,
          one: SurveyAnswer | None) -> Item:  # fmt: skip
    fit, wear, back = resolved.fit, resolved.wear, resolved.serviceable
    assert fit is not None and wear is not None and back is not None and resolved.limit is not None
    scale = fit.unit.factor / figure.unit.factor
    value, u = figure.value / scale, figure.u / float(scale)
    to_fit, to_back = gaps(value, fit.low, fit.high), gaps(value, back.low, back.high)
    new, serviceable = _chances(figure, fit), _chances(figure, back)
    decision = decide_chances(new, serviceable, to_fit, to_back, u, wear, what, bench.rules)
    settles = settle_figure(bench.table, resolved, value, u, figure, one, bench.rules, decision.side) if decision.verdict == "undecided" else None
    text = Sayer(bench.table, resolved, reading, observed, found, bench.rules).say(decision, settles, u)
    sources: tuple[SourceVerdict, ...] = ()
    if bench.rules.judged_by == "each-source":
        sources = by_each_source(bench.table, resolved, value, u, figure.dof, bench.rules)
    return Item(
        reading.id, what.id, what.name, what.component, str(reading.place), decision.verdict, decision.side, decision.as_new,
        _capped(decision.fit), _capped(decision.serviceable), observed.shown.value, "", figure.unit, figure.u, figure.dof, found.lines,
        found.instrument, resolved.limit.id, text, (*found.assumed, *bench.asked(resolved)), settles, sources,
        cautions=resolved.limit.cautions, wrong_pass=_wrong(decision), at=reading.place,
        state=reading.state,
    )  # fmt: skip


def _capped(found: Chances | None) -> float | None:
    return None if found is None else capped(found.inside)


def _wrong(decision: Decision) -> float:
    if decision.verdict not in ("within_fit", "usable"):
        return 0.0
    found = decision.serviceable or decision.fit
    return 1.0 - found.inside if found else 0.0


def _chances(figure: Figure, interval: Interval) -> Chances | None:
    """Chances from the figure's own distribution."""
    scale = interval.unit.factor / figure.unit.factor
    gap = gaps(figure.value / scale, interval.low, interval.high)
    if gap is None:
        return None
    below = 0.0 if isinstance(interval.low, Open) else figure.under(float(interval.low * scale))
    above = 0.0 if isinstance(interval.high, Open) else figure.over(float(interval.high * scale))
    return Chances(below, max(1.0 - below - above, 0.0), above, gap.reads)
