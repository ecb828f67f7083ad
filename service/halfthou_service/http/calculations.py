"""``/v1/calculations``: listed, described, and worked out. Pure: nothing is kept."""

from __future__ import annotations

from flask import Blueprint, Response, request

from ..calculations import CALCULATIONS
from ..calculations.frame import Calculation, CalculationError, calculate
from . import dump_calculation as dump
from . import jsonio
from .answers import JSON, accepted, body, once, sent_type, told
from .handlers import not_found
from .paging import PARAMETERS as PAGING
from .paging import page
from .parse_calculation import fault_of, parse_calculation
from .problems import ProblemError, refuse
from .query import Query
from .state import shop

PATH = "/v1/calculations"
blueprint = Blueprint("calculations", __name__)


@blueprint.get(PATH)
def listed() -> Response:
    """Every calculation, in short."""
    accepted(JSON)
    shared = shop()
    query = Query(request.args.items(multi=True), PAGING)
    items = [shared.kept("calculation-in-short", what.id, lambda w=what: dump.in_short(w)) for what in CALCULATIONS.values()]  # type: ignore[misc]
    found, headers = page(PATH, query, items, shared.mark)
    return told(found, shared.edition, headers=headers)


@blueprint.get(f"{PATH}/<calculation_id>")
def one(calculation_id: str) -> Response:
    """What a calculation takes and answers, where it holds, and what it rests on."""
    accepted(JSON)
    shared = shop()
    Query(request.args.items(multi=True), ()).check()
    what = _named(calculation_id)
    return told(shared.kept("calculation", what.id, lambda: dump.in_full(shared, what)), shared.edition)


@blueprint.post(f"{PATH}/<calculation_id>")
def work_out(calculation_id: str) -> Response:
    """Work one out."""
    accepted(JSON)
    shared = shop()
    what = _named(calculation_id)
    sent_type((JSON,))
    Query(request.args.items(multi=True), ()).check()
    try:
        raw = jsonio.parse(body())
    except jsonio.NotJson as error:
        raise ProblemError(error.code, str(error)) from None
    asked = parse_calculation(what, raw)
    try:
        answer = calculate(what, asked.given, asked.uncertainties, asked.system)
    except CalculationError as error:
        raise refuse([fault_of(error, {item.name: item for item in what.inputs})], in_body=True) from None
    return once(dump.answer(shared, answer))


def _named(calculation_id: str) -> Calculation:
    what = CALCULATIONS.get(calculation_id)
    if what is None:
        raise not_found("calculation", calculation_id, CALCULATIONS)
    return what
