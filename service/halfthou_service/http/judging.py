"""A sheet as it came, judged: what ``/v1/verdicts`` and every paper made of readings share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from flask import request

from ..bench.papers.figures import System
from ..bench.readings import Reading, Units
from ..bench.remedies import Found
from ..bench.remedies.cracks import SCOPE, UNREAD
from ..bench.sheet import SheetAnswer, judge_one, judge_sheet
from ..bench.verdict import Bench
from . import jsonio
from .answers import JSON, body, sent_type
from .csv_readings import column_of
from .csv_sheet import DIMENSION, PARAMETERS, parse_csv
from .faults import Fault
from .parse_reading import Read, Refused
from .parse_sheet import Sheet, parse_sheet
from .parse_survey import ReadSurvey, RefusedSurvey
from .problem_kinds import HONEST
from .problems import ProblemError, refuse
from .query import Query
from .state import Shop

CSV = "text/csv"
FLAGS = ("true", "false")


@dataclass(frozen=True, slots=True)
class Judged:
    """A judged sheet."""

    bench: Bench
    sheet: Sheet
    answer: SheetAnswer
    readings: tuple[Reading, ...]

    @property
    def system(self) -> System:
        """Units of a paper: those asked for, otherwise inches."""
        return "metric" if self.bench.rules.units == "metric" else "inch"


def sent_sheet(shared: Shop, names: tuple[str, ...] = ()) -> tuple[Sheet, Query]:
    """The sheet of this request, and its query.

    Args:
        names: parameters this address takes beside those of a CSV sheet.
    """
    if sent_type((JSON, CSV)) == CSV:
        query = Query(request.args.items(multi=True), (*PARAMETERS, "remedies", *names), DIMENSION)
        query.gathered.in_body = True
        remedies = query.choice("remedies", FLAGS, "false") == "true"
        sheet = parse_csv(shared.table, body(), query, shared.settings.max_items, shared.own_table)
        return replace(sheet, remedies=remedies), query
    query = Query(request.args.items(multi=True), names)
    query.check()
    return parse_sheet(shared.table, sent_json(), shared.settings.max_items, shared.own_table), query


def sent_json() -> object:
    """The JSON body.

    Raises:
        ProblemError: it is none.
    """
    try:
        return jsonio.parse(body())
    except jsonio.NotJson as error:
        raise ProblemError(error.code, str(error)) from None


def judge(shared: Shop, sheet: Sheet, *, stage: str = "", units: Units = "") -> Judged:
    """The sheet judged; ``stage`` and ``units`` stand over its own."""
    engine = sheet.engine
    rules = replace(sheet.rules, stage=stage or sheet.rules.stage, units=units or sheet.rules.units)
    bench = Bench(shared.own_table(engine.id), engine, rules, shared.own_limits(engine.id))
    sheet = _with_what_stands(bench, sheet)
    readings = tuple(entry.reading for entry in sheet.entries if isinstance(entry, Read))
    unread = [entry.id for entry in (*sheet.entries, *sheet.surveys) if isinstance(entry, (Refused, RefusedSurvey))]
    answer = judge_sheet(bench, readings, [entry.survey for entry in sheet.surveys if isinstance(entry, ReadSurvey)], unread)
    return Judged(bench, sheet, _with_faults(sheet, answer), readings)


def _with_what_stands(bench: Bench, sheet: Sheet) -> Sheet:
    """A reading that could not be read whole is a stop all the same where what could be read of it is one.

    What else could not be read of cracks is told to the remedies: no work goes into a part that may be cracked.
    """
    entries = tuple(_standing(bench, entry) if isinstance(entry, Refused) else entry for entry in sheet.entries)
    unread = [Found(e.characteristic, UNREAD, "", e.place.partition(",")[0]) for e in entries
              if isinstance(e, Refused) and e.characteristic in SCOPE]  # fmt: skip
    return replace(sheet, entries=entries, facts=replace(sheet.facts, found=(*sheet.facts.found, *unread)))


def _standing(bench: Bench, entry: Refused) -> Read | Refused:
    if entry.rest is None or judge_one(bench, entry.rest.reading).verdict != "stop":
        return entry
    return replace(entry.rest, faults=entry.faults)


def _with_faults(sheet: Sheet, answer: SheetAnswer) -> SheetAnswer:
    """Stops that were not read whole say so."""
    read = [entry for entry in sheet.entries if isinstance(entry, Read)]
    told = tuple(replace(item, text=f"{item.text} Not all of it could be read: {entry.faults[0].detail.rstrip('.')}.") if entry.faults else item
                 for item, entry in zip(answer.items, read, strict=False))  # fmt: skip
    return replace(answer, items=(*told, *answer.items[len(told) :]))


def pointer_of(index: int, entry: Read, within: str) -> str:
    """The pointer of a bench problem: ``/value`` stands for whichever field the reading gave its value by."""
    if within.startswith("/value") and entry.value_at != "/value":
        within = entry.value_at + within.removeprefix("/value")
    return f"/readings/{index}{within}"


def survey_pointer_of(index: int, entry: ReadSurvey, within: str) -> str:
    """The pointer of a bench problem within a survey: ``/readings/3`` stands for the value of the fourth place."""
    head, _, place = within.rpartition("/")
    if head == "/readings" and place.isdigit() and int(place) < len(entry.value_at):
        within = entry.value_at[int(place)]
    return f"/surveys/{index}{within}"


def on_line(found: Judged, index: int, entry: Read, fault: Fault, within: str) -> Fault:
    """The fault of a reading with its line and column, where it came as CSV. ``within``: the bench's pointer."""
    if not found.sheet.lines.readings:
        return fault
    pointer = pointer_of(index, entry, within).removeprefix(f"/readings/{index}")
    return replace(fault, line=found.sheet.lines.readings[index], column=column_of(pointer))


def survey_on_line(found: Judged, index: int, entry: ReadSurvey, fault: Fault, within: str) -> Fault:
    """The fault of a survey with its line and column, where it came as CSV. ``within``: the bench's pointer."""
    if not found.sheet.lines.surveys:
        return fault
    pointer = survey_pointer_of(index, entry, within).removeprefix(f"/surveys/{index}")
    there = found.sheet.lines.surveys[index].placed(replace(fault, pointer=pointer))
    return replace(fault, line=there.line, column=there.column)


def refuse_if_nothing_reads(found: Judged) -> None:
    """Refuse the sheet where not one reading and not one survey could be used.

    Raises:
        ProblemError: every fault of every reading.
    """
    entries = list(_faults_by_entry(found))
    if all(entries) and not any(isinstance(entry, Read) and entry.faults for entry in found.sheet.entries):
        raise refuse([fault for faults in entries for fault in faults], in_body=True)


def refuse_if_any_fails(found: Judged) -> None:
    """Refuse the sheet where a reading or a survey cannot be read: a paper that left one out would mislead whoever works by it.

    Raises:
        ProblemError: every fault of every reading.
    """
    faults = [fault for entry in _faults_by_entry(found) for fault in entry]
    if faults:
        raise refuse(faults, in_body=True)


def _faults_by_entry(found: Judged) -> Iterator[list[Fault]]:
    """The faults of each reading, then of each survey; an empty list for one that was judged, or honestly not."""
    judged = iter(found.answer.items)
    for index, entry in enumerate(found.sheet.entries):
        if isinstance(entry, Refused):
            yield [fault.under(f"/readings/{index}") for fault in entry.faults]
            continue
        problem = next(judged).problem
        if entry.faults:
            yield [fault.under(f"/readings/{index}") for fault in entry.faults]
            continue
        if problem is None or problem.code in HONEST:
            yield []
            continue
        fault = Fault(problem.code, problem.detail, pointer_of(index, entry, problem.pointer), near=problem.near)
        yield [on_line(found, index, entry, fault, problem.pointer)]
    worked = iter(found.answer.surveys)
    for index, survey in enumerate(found.sheet.surveys):
        if isinstance(survey, RefusedSurvey):
            yield [fault.under(f"/surveys/{index}") for fault in survey.faults]
            continue
        problem = next(worked).problem
        if problem is None or problem.code in HONEST:
            yield []
        else:
            fault = Fault(problem.code, problem.detail, survey_pointer_of(index, survey, problem.pointer), near=problem.near)
            yield [survey_on_line(found, index, survey, fault, problem.pointer)]
