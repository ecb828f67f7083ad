"""``POST /v1/readiness``: what stands against putting it together or starting it, and what nobody looked at."""

from __future__ import annotations

from collections.abc import Iterator

from flask import Blueprint, Response

from ..bench import texts
from ..bench.papers import readiness as papers
from ..bench.papers.assemblies import assembly_of
from ..pages import readiness_csv, readiness_markdown, readiness_page
from . import dump_survey
from .faults import Fault
from .judging import Judged, judge, refuse_if_nothing_reads, sent_sheet
from .paper import Paper, answered, asked_form
from .parse_reading import Refused
from .parse_survey import RefusedSurvey
from .problems import ProblemError
from .state import Shop, shop

STAGES: tuple[papers.Stage, ...] = ("assembly", "first-start")
MEND = "Write it so that it can be read, and send the sheet again."
blueprint = Blueprint("readiness", __name__)


@blueprint.post("/v1/readiness")
def readiness() -> Response:
    """What was found against a stage."""
    shared = shop()
    sheet, query = sent_sheet(shared, ("format",))
    form = asked_form(query)
    stage = sheet.rules.stage or "first-start"
    if stage not in STAGES:
        detail = f"readiness is asked for {' or '.join(STAGES)}, not for {stage}"
        in_query = query.one("stage") != ""
        fault = Fault("bad-field", detail, "" if in_query else "/stage", "stage" if in_query else "", allowed=STAGES)
        raise ProblemError("bad-field", detail, [fault])
    query.check()
    found = judge(shared, sheet, stage=stage, units=sheet.rules.units or "inch")
    refuse_if_nothing_reads(found)
    paper = papers.readiness(found.bench, found.readings, (), stage, found.system, facts=found.sheet.facts, answer=found.answer,
                             unread=unread(shared, found))  # fmt: skip
    return answered(Paper(lambda: papers.to_dict(paper), lambda: readiness_page(paper), lambda: readiness_markdown(paper),
                          lambda: readiness_csv(paper)), form)  # fmt: skip


def unread(shared: Shop, found: Judged) -> tuple[papers.Against, ...]:
    """Readings and surveys that could not be read: each stands in doubt until it can."""
    return tuple(_unread(shared, found))


def _unread(shared: Shop, found: Judged) -> Iterator[papers.Against]:
    for entry in (*found.sheet.entries, *found.sheet.surveys):
        if isinstance(entry, Refused):
            characteristic, word, where = entry.characteristic, entry.characteristic, entry.place
        elif isinstance(entry, RefusedSurvey):
            characteristic, word, where = dump_survey.diameter_of(shared, entry.feature), entry.feature, entry.instance
        else:
            continue
        what = shared.table.characteristics.get(characteristic)
        name = what.name if what else word or entry.id
        text = f"{name}: could not be read. {texts.capital(entry.faults[0].detail)}."
        yield papers.Against(entry.id, name, where, assembly_of(what).name if what else "Your own", text, MEND, False)
