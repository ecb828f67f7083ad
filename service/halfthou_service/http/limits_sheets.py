"""``POST /v1/limits-sheets``: every limit of one engine on paper; it needs no readings."""

from __future__ import annotations

from flask import Blueprint, Response

from ..bench.papers import limits_sheet as papers
from ..pages import limits_csv, limits_markdown, limits_page
from .paper import Paper, answered
from .parse_paper import bench_for_paper, form_of_json
from .schemas.requests import LimitsSheetSchema
from .state import shop

SCHEMA = LimitsSheetSchema()
blueprint = Blueprint("limits_sheets", __name__)


@blueprint.post("/v1/limits-sheets")
def limits_sheet() -> Response:
    """Every limit that applies to an engine, at its sizes."""
    form = form_of_json()
    bench, system, loaded = bench_for_paper(shop(), SCHEMA, "a limits sheet")
    sheet = papers.limits_sheet(bench, system, loaded.get("guess", True))
    return answered(Paper(lambda: papers.to_dict(sheet), lambda: limits_page(sheet), lambda: limits_markdown(sheet), lambda: limits_csv(sheet)), form)
