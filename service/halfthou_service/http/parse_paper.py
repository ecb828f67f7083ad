"""The request for a paper of one engine: its schema, its engine, the form it is wanted in."""

from __future__ import annotations

from typing import Any

from flask import request
from marshmallow import ValidationError

from ..bench.papers.figures import System
from ..bench.readings import Rules
from ..bench.verdict import Bench
from .answers import JSON, sent_type
from .faults import Fault, Near, kind_of
from .judging import sent_json
from .paper import asked_form
from .parse_engine import engine_of_body
from .problems import Gathered, ProblemError
from .query import Query
from .schemas.fields import Strict, faults_of
from .state import Shop


def form_of_json() -> str:
    """The form asked for, by an address that takes JSON alone.

    Raises:
        ProblemError: another parameter than ``format``, another body than JSON, a form nobody makes.
    """
    query = Query(request.args.items(multi=True), ("format",))
    form = asked_form(query)
    query.check()
    sent_type((JSON,))
    return form


def loaded_body(schema: Strict, what: str) -> tuple[dict[str, Any], Gathered]:
    """The body through its schema, with the faults so far.

    Raises:
        ProblemError: not an object.
    """
    raw = sent_json()
    if not isinstance(raw, dict):
        detail = f"{what} is asked for by an object, not {kind_of(raw)}"
        raise ProblemError("bad-field", detail, [Fault("bad-field", detail)])
    gathered = Gathered(in_body=True)
    try:
        return dict(schema.load(raw)), gathered
    except ValidationError as error:
        for fault in faults_of(error.messages, schema, Near()):
            gathered.add(fault)
        return error.valid_data if isinstance(error.valid_data, dict) else {}, gathered


def bench_for_paper(shared: Shop, schema: Strict, what: str) -> tuple[Bench, System, dict[str, Any]]:
    """A bench for the engine of the body, the units of the paper, and the body as loaded.

    Raises:
        ProblemError: every fault of the body.
    """
    loaded, gathered = loaded_body(schema, what)
    stated = loaded.get("engine", {})
    engine = engine_of_body(shared.table, stated, Near(), gathered) if "engine_class" in stated else None
    gathered.check()
    assert engine is not None
    system: System = "metric" if loaded.get("units") == "metric" else "inch"
    return Bench(shared.own_table(engine.id), engine, Rules(units=system), shared.own_limits(engine.id)), system, loaded
