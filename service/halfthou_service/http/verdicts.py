"""``POST /v1/verdicts``: readings in, verdicts out. Pure: nothing is kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast

from flask import Blueprint, Response

from ..bench.item import Item
from ..bench.papers import readiness as papers
from ..bench.remedies import Remedy, remedies_by_item
from . import dump_remedy, dump_survey, dump_verdict
from .answers import JSON, accepted, once
from .faults import Fault
from .judging import (
    Judged,
    judge,
    on_line,
    pointer_of,
    refuse_if_nothing_reads,
    sent_sheet,
    survey_on_line,
    survey_pointer_of,
)
from .parse_reading import Refused
from .parse_survey import RefusedSurvey
from .readiness import STAGES, unread
from .state import Shop, shop

blueprint = Blueprint("verdicts", __name__)
Remedies = Mapping[str, Sequence[Remedy]]


@blueprint.post("/v1/verdicts")
def judge_readings() -> Response:
    """Judge a sheet of readings."""
    accepted(JSON)
    shared = shop()
    sheet, query = sent_sheet(shared)
    query.check()
    found = judge(shared, sheet)
    refuse_if_nothing_reads(found)
    told = _Teller(shared, found).told()
    shared.metrics.verdicts(told["overall"]["counts"])
    return once(told)


def _line_of(fault: Fault) -> dict[str, Any]:
    """Line and column of a fault, where it has them."""
    return {name: told for name, told in (("line", fault.line), ("column", fault.column)) if told}


@dataclass(slots=True)
class _Teller:
    """Tells a judged sheet: the items in the order sent, those of surveys behind them."""

    shared: Shop
    found: Judged

    def told(self) -> dict[str, Any]:
        bench, sheet, answer = self.found.bench, self.found.sheet, self.found.answer
        staged = bench.rules.stage in STAGES
        remedies = remedies_by_item(bench, answer, self.found.readings, sheet.facts) if sheet.remedies or staged else {}
        items: list[dict[str, Any]] = []
        judged = iter(answer.items)
        for index, entry in enumerate(sheet.entries):
            if isinstance(entry, Refused):
                items.append(dump_verdict.refused_item(self.shared, entry, f"/readings/{index}"))
                continue
            item = next(judged)
            items.append(dump_verdict.item(item, entry.reading, pointer_of(index, entry, item.problem.pointer) if item.problem else "", bench))
            if entry.faults:
                items[-1]["problem"] = dump_verdict.problem(entry.faults[0].under(f"/readings/{index}"))
            elif item.problem:
                fault = Fault(item.problem.code, item.problem.detail)
                items[-1]["problem"] |= _line_of(on_line(self.found, index, entry, fault, item.problem.pointer))
        surveys = self._surveys(judged, items)
        items += [dump_verdict.item(item, None, "", bench) for item in judged]
        if sheet.remedies:
            for told in items:
                told["remedies"] = [dump_remedy.remedy(one, bench.rules.units) for one in remedies.get(told["id"], ())]
        refused = [e for e in (*sheet.entries, *sheet.surveys) if isinstance(e, (Refused, RefusedSurvey))]
        whole = dump_verdict.sheet(self.shared, bench, answer, items, refused, surveys)
        return whole | ({"readiness": self._readiness(remedies)} if staged else {})

    def _surveys(self, judged: Iterator[Item], items: list[dict[str, Any]]) -> list[dict[str, Any]]:
        """Each survey told; its items are put behind those of the readings."""
        told: list[dict[str, Any]] = []
        bench, worked = self.found.bench, iter(self.found.answer.surveys)
        for index, entry in enumerate(self.found.sheet.surveys):
            if isinstance(entry, RefusedSurvey):
                stand_in = Refused(entry.id, dump_survey.diameter_of(self.shared, entry.feature), entry.instance, entry.faults)
                items.append(dump_verdict.refused_item(self.shared, stand_in, f"/surveys/{index}"))
                told.append(dump_survey.refused(entry, items[-1]["problem"]))
                continue
            survey = next(worked)
            for _ in survey.items:
                item = next(judged)
                pointer = survey_pointer_of(index, entry, item.problem.pointer) if item.problem else ""
                items.append(dump_verdict.item(item, None, pointer, bench))
                if item.problem:
                    fault = Fault(item.problem.code, item.problem.detail)
                    items[-1]["problem"] |= _line_of(survey_on_line(self.found, index, entry, fault, item.problem.pointer))
            told.append(dump_survey.survey(survey, bench.rules.units, items[-1]["problem"] if survey.problem else None))
        return told

    def _readiness(self, remedies: Remedies) -> dict[str, Any]:
        """What stands against the stage, in short: the paper itself is at ``/v1/readiness``."""
        found = self.found
        paper = papers.readiness(found.bench, found.readings, (), cast(papers.Stage, found.bench.rules.stage), found.system, answer=found.answer,
                                 remedies=remedies, unread=unread(self.shared, found))  # fmt: skip
        whole = papers.to_dict(paper)
        return {key: whole[key] for key in ("stage", "text", "stops", "doubts")} | {"not_looked_at": len(paper.not_looked)}
