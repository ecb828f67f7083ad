"""``POST /v1/verdicts``: readings in, verdicts out. Pure: nothing is kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, request

from ..bench.sheet import SheetAnswer, judge_sheet
from ..bench.verdict import Bench, Item
from . import dump_survey, dump_verdict, jsonio
from .answers import JSON, accepted, body, once, sent_type
from .csv_sheet import DIMENSION, PARAMETERS, parse_csv
from .csv_surveys import Lines
from .faults import Fault
from .parse_reading import Read, Refused
from .parse_sheet import Sheet, parse_sheet
from .parse_survey import ReadSurvey, RefusedSurvey
from .problem_kinds import HONEST
from .problems import ProblemError, refuse
from .query import Query
from .state import Shop, shop

CSV = "text/csv"
blueprint = Blueprint("verdicts", __name__)


@blueprint.post("/v1/verdicts")
def judge() -> Response:
    """Judge a sheet of readings."""
    accepted(JSON)
    shared = shop()
    sheet, lines = _sheet(shared)
    bench = Bench(shared.own_table(sheet.engine.id), sheet.engine, sheet.rules, shared.own_limits(sheet.engine.id))
    readings = [entry.reading for entry in sheet.entries if isinstance(entry, Read)]
    answer = judge_sheet(bench, readings, [entry.survey for entry in sheet.surveys if isinstance(entry, ReadSurvey)])
    _all_faulty(sheet, answer, lines)
    told = _told(shared, bench, sheet, answer, lines)
    shared.metrics.verdicts(told["overall"]["counts"])
    return once(told)


def _sheet(shared: Shop) -> tuple[Sheet, Lines]:
    if sent_type((JSON, CSV)) == CSV:
        query = Query(request.args.items(multi=True), PARAMETERS, DIMENSION)
        query.gathered.in_body = True
        return parse_csv(shared.table, body(), query, shared.settings.max_items, shared.own_table)
    Query(request.args.items(multi=True), ()).check()
    try:
        raw = jsonio.parse(body())
    except jsonio.NotJson as error:
        raise ProblemError(error.code, str(error)) from None
    return parse_sheet(shared.table, raw, shared.settings.max_items, shared.own_table), Lines()


def _pointer(index: int, entry: Read, within: str) -> str:
    """The pointer of a bench problem: ``/value`` stands for whichever field the reading gave its value by."""
    if within.startswith("/value") and entry.value_at != "/value":
        within = entry.value_at + within.removeprefix("/value")
    return f"/readings/{index}{within}"


def _survey_pointer(index: int, entry: ReadSurvey, within: str) -> str:
    """The pointer of a bench problem within a survey: ``/readings/3`` stands for the value of the fourth place."""
    head, _, place = within.rpartition("/")
    if head == "/readings" and place.isdigit() and int(place) < len(entry.value_at):
        within = entry.value_at[int(place)]
    return f"/surveys/{index}{within}"


def _all_faulty(sheet: Sheet, answer: SheetAnswer, lines: Lines) -> None:
    """Refuse the sheet where not one reading and not one survey could be used.

    Raises:
        ProblemError: every fault of every reading.
    """
    faults: list[Fault] = []
    judged = iter(answer.items)
    for index, entry in enumerate(sheet.entries):
        if isinstance(entry, Refused):
            faults += [fault.under(f"/readings/{index}") for fault in entry.faults]
            continue
        problem = next(judged).problem
        if problem is None or problem.code in HONEST:
            return
        fault = Fault(problem.code, problem.detail, _pointer(index, entry, problem.pointer), near=problem.near)
        faults.append(replace(fault, line=lines.readings[index]) if lines.readings else fault)
    worked = iter(answer.surveys)
    for index, survey in enumerate(sheet.surveys):
        if isinstance(survey, RefusedSurvey):
            faults += [fault.under(f"/surveys/{index}") for fault in survey.faults]
            continue
        problem = next(worked).problem
        if problem is None or problem.code in HONEST:
            return
        fault = Fault(problem.code, problem.detail, _survey_pointer(index, survey, problem.pointer), near=problem.near)
        faults.append(_on_line(fault, index, survey, problem.pointer, lines))
    raise refuse(faults, in_body=True)


def _on_line(fault: Fault, index: int, survey: ReadSurvey, within: str, lines: Lines) -> Fault:
    """The fault of a survey with its line and column, where it came as CSV."""
    if not lines.surveys:
        return fault
    there = lines.surveys[index].placed(replace(fault, pointer=_survey_pointer(index, survey, within).removeprefix(f"/surveys/{index}")))
    return replace(fault, line=there.line, column=there.column)


def _told(shared: Shop, bench: Bench, sheet: Sheet, answer: SheetAnswer, lines: Lines) -> dict[str, Any]:
    items: list[dict[str, Any]] = []
    judged = iter(answer.items)
    for index, entry in enumerate(sheet.entries):
        if isinstance(entry, Refused):
            items.append(dump_verdict.refused_item(shared, entry, f"/readings/{index}"))
            continue
        found = next(judged)
        pointer = _pointer(index, entry, found.problem.pointer) if found.problem else ""
        items.append(dump_verdict.item(found, entry.reading, pointer, bench))
        if lines.readings and found.problem:
            items[-1]["problem"]["line"] = lines.readings[index]
    surveys = _surveys(shared, bench, sheet, answer, judged, items, lines)
    items += [dump_verdict.item(found, None, "", bench) for found in judged]
    refused = [e for e in (*sheet.entries, *sheet.surveys) if isinstance(e, (Refused, RefusedSurvey))]
    return dump_verdict.sheet(shared, bench, answer, items, refused, surveys)


def _surveys(
    shared: Shop, bench: Bench, sheet: Sheet, answer: SheetAnswer, judged: Iterator[Item], items: list[dict[str, Any]], lines: Lines
) -> list[dict[str, Any]]:
    """Each survey told; its items are put behind those of the readings."""
    told: list[dict[str, Any]] = []
    worked = iter(answer.surveys)
    for index, entry in enumerate(sheet.surveys):
        if isinstance(entry, RefusedSurvey):
            stand_in = Refused(entry.id, dump_survey.diameter_of(shared, entry.feature), entry.instance, entry.faults)
            items.append(dump_verdict.refused_item(shared, stand_in, f"/surveys/{index}"))
            told.append(dump_survey.refused(entry, items[-1]["problem"]))
            continue
        survey = next(worked)
        for _ in survey.items:
            found = next(judged)
            pointer = _survey_pointer(index, entry, found.problem.pointer) if found.problem else ""
            items.append(dump_verdict.item(found, None, pointer, bench))
            if lines.surveys and found.problem:
                fault = _on_line(Fault(found.problem.code, found.problem.detail), index, entry, found.problem.pointer, lines)
                items[-1]["problem"] |= {"line": fault.line, **({"column": fault.column} if fault.column else {})}
        told.append(dump_survey.survey(survey, bench.rules.units, items[-1]["problem"] if survey.problem else None))
    return told
