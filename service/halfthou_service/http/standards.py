"""``/v1/standards``: the standard tables, listed, and each looked up by its own parameters."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from flask import Blueprint, Response, request

from halfthou_specdb.standards import TABLES, Parameter

from . import dump_standard as dump
from .answers import JSON, accepted, told
from .faults import shown
from .handlers import not_found
from .paging import PARAMETERS as PAGING
from .paging import page
from .quantities import wrong_dimension
from .query import Query
from .standard_faults import Refused, problem_of
from .state import shop

PATH = "/v1/standards"
_NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9}", re.ASCII)
blueprint = Blueprint("standards", __name__)


@blueprint.get(PATH)
def listed() -> Response:
    """Every table: its columns, and what it may be asked by."""
    accepted(JSON)
    shared = shop()
    query = Query(request.args.items(multi=True), PAGING)
    body, headers = page(PATH, query, [dump.table_in_short(table) for table in TABLES.values()], shared.mark)
    return told(body, shared.edition, headers=headers)


@blueprint.get(f"{PATH}/<table_id>")
def one(table_id: str) -> Response:
    """The rows of one table that answer the parameters; without parameters, all of them."""
    accepted(JSON)
    shared = shop()
    table = TABLES.get(table_id)
    if table is None:
        raise not_found("standard table", table_id, TABLES)
    query = Query(request.args.items(multi=True), [p.name for p in table.parameters])
    asked = {p.name: _read(query, p) for p in table.parameters if p.name in query.texts}
    query.check()
    try:
        answer = table.find(**asked)
    except Refused as error:
        raise problem_of(error, query, next(iter(asked), "")) from None
    return told(dump.table_answer(shared.table, table, answer, shared.edition), shared.edition)


def _read(query: Query, parameter: Parameter) -> Any:
    name = parameter.name
    if parameter.kind == "length":
        found = query.quantity(name)
        if found is not None and found.unit.dimension != "length":
            query.gathered.add(wrong_dimension(found.unit, "length", parameter=name))
        return found
    if parameter.kind == "number":
        text = query.one(name)
        if not _NUMBER.fullmatch(text):
            query.fault("bad-parameter", name, f"{name} is {shown(text)}; it is a bare number: {parameter.says}")
            return None
        return Decimal(text)
    return query.choice(name, parameter.allowed, "") if parameter.kind == "word" else query.one(name)
