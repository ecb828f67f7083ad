"""``GET /v1/limits``: one limit, resolved for an engine."""

from __future__ import annotations

from dataclasses import replace
from typing import NoReturn

from flask import Blueprint, Response, request

from halfthou_specdb.errors import MissingDimension, OutsideRange
from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Characteristic
from halfthou_specdb.resolve import resolve, with_size
from halfthou_specdb.table import Table

from .answers import JSON, accepted, told
from .dump_limit import limit_in_full
from .faults import Fault, shown
from .parse_engine import DIMENSION, ENGINE_PARAMETERS, engine_of_query, size_fault
from .problems import ProblemError
from .query import Query
from .schemas.requests import UNITS
from .state import shop

EVIDENCE = ("full", "ids", "none")
PARAMETERS = ("characteristic", "engine", *ENGINE_PARAMETERS, "size", "units", "evidence")
blueprint = Blueprint("limits", __name__)


@blueprint.get("/v1/limits")
def one() -> Response:
    """The limit that holds for a characteristic of an engine, with who says so and who differs."""
    accepted(JSON)
    shared = shop()
    query = Query(request.args.items(multi=True), PARAMETERS, DIMENSION)
    what = _characteristic(shared.table, query)
    engine = engine_of_query(shared.table, query, query.one("engine"))
    size = query.quantity("size")
    units = query.choice("units", UNITS, "")
    evidence = query.choice("evidence", EVIDENCE, "full")
    if what is not None and size is not None:
        engine = _sized(shared.table, query, what, engine, size)
    query.check()
    assert what is not None and engine is not None
    try:
        resolved = resolve(shared.table, what, engine, shared.own_limits(engine.id))
    except MissingDimension as error:
        _missing(what, error.dimension)
    except OutsideRange as error:
        name = what.scales_with[0] if what.scales_with else ""
        raise ProblemError("outside-size-range", str(error), [Fault("outside-size-range", str(error), parameter=_where(what, name))]) from None
    system = units or (size.unit.system if size is not None else "")
    return told(limit_in_full(shared, resolved, system, evidence), shared.edition)


def _characteristic(table: Table, query: Query) -> Characteristic | None:
    name = query.required("characteristic", "search at /v1/characteristics?q=")
    found = table.characteristics.get(name)
    if name and found is None:
        fault = query.near.unknown("unknown-characteristic", "characteristic", name, table.characteristics, parameter="characteristic")
        query.gathered.add(fault)
    return found


def _sized(table: Table, query: Query, what: Characteristic, engine: Engine | None, size: Quantity) -> Engine | None:
    if not what.scales_with:
        query.fault("size-not-used", "size", f"{what.id} scales with no dimension; leave size out")
        return engine
    name = what.scales_with[0]
    fault = size_fault(table, name, size)
    if fault is not None:
        query.gathered.add(replace(fault, pointer="", parameter="size"))
        return engine
    if engine is None:
        return None
    given = engine.dimensions.get(name)
    if given is not None and given.canonical != size.canonical:
        query.fault("bad-parameter", "size", f"size ({shown(size)}) and {DIMENSION}{name} ({given}) are the same thing and differ")
    return with_size(engine, what, size)


def _where(what: Characteristic, dimension: str) -> str:
    return "size" if what.scales_with and what.scales_with[0] == dimension else f"{DIMENSION}{dimension}"


def _missing(what: Characteristic, dimension: str) -> NoReturn:
    where = _where(what, dimension)
    detail = f"this limit scales with {dimension}, which was not stated; add {where}= with a number and a unit, such as {where}=2-1/4 in"
    raise ProblemError("missing-dimension", detail, [Fault("missing-dimension", detail, parameter=where, allowed=(dimension,))])
