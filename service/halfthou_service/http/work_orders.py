"""``POST /v1/work-orders``: what each machinist must be told of each part, from a judged sheet and the owner's decisions."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response

from ..bench.papers import work_order as papers
from ..bench.papers.parts_back import order_lines
from ..bench.papers.recipes import recipes
from ..bench.papers.work_order_dict import to_dict
from ..pages import work_order_csv, work_order_markdown, work_order_page
from .dump_back import blank
from .faults import Fault
from .judging import judge, refuse_if_any_fails, sent_sheet
from .paper import Paper, answered, asked_form
from .problems import ProblemError
from .query import Query
from .state import shop

PARTS = tuple(recipe.id for recipe in recipes())
OWNERS_ALONE = ("decide_first", "proposals", "cannot_prove")
blueprint = Blueprint("work_orders", __name__)


@blueprint.post("/v1/work-orders")
def work_order() -> Response:
    """The order that follows from a sheet; with ``part``, the machinist's copy of that part alone."""
    shared = shop()
    sheet, query = sent_sheet(shared, ("format", "part"))
    form = asked_form(query)
    part = query.choice("part", PARTS, "")
    query.check()
    found = judge(shared, sheet, units=sheet.rules.units or "inch")
    refuse_if_any_fails(found)
    order = papers.work_order(found.bench, found.answer, found.readings, found.system, wishes=sheet.wishes, letterhead=sheet.letterhead,
                              facts=found.sheet.facts)  # fmt: skip
    _on_order(order, part, query)
    return answered(Paper(lambda: _told(order, part), lambda: work_order_page(order, part), lambda: work_order_markdown(order, part),
                          lambda: work_order_csv(order, part)), form)  # fmt: skip


def _on_order(order: papers.WorkOrder, part: str, query: Query) -> None:
    """Refuse a part that is not on the order, with the reason where it was kept at home.

    Raises:
        ProblemError: it is not on the order.
    """
    here = tuple(p.id for p in order.parts)
    if not part or part in here:
        return
    kept = next((w.why for w in order.withheld if w.id == part), "nothing on the sheet sends it out")
    detail = f"{part} is not on this order: {kept}"
    raise ProblemError("bad-parameter", detail, [Fault("bad-parameter", detail, parameter="part", allowed=here)])


def _told(order: papers.WorkOrder, part: str) -> dict[str, Any]:
    told = to_dict(order)
    told["report"] = [blank(line) for line in order_lines(order) if part in ("", line.part)]
    if part:  # his copy: nothing of other parts, and nothing the owner must still decide
        told["withheld"] = []
        told["parts"] = [{k: v for k, v in p.items() if k not in OWNERS_ALONE} for p in told["parts"] if p["id"] == part]
    return told
