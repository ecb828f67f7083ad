"""``GET /v1/fits``: the limits of a fit at a size, or the fits that give a wanted clearance; JSON, or a page with a drawing."""

from __future__ import annotations

from flask import Blueprint, Response, request

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.standards import fit, fits_giving

from . import dump_standard as dump
from .answers import JSON, accepted, tagged, told
from .fit_page import fit_page, giving_page
from .handlers import HTML
from .quantities import wrong_dimension
from .query import Query
from .schemas.requests import UNITS
from .standard_faults import Refused, problem_of
from .state import Shop, shop

PARAMETERS = ("designation", "size", "low", "high", "system", "units")
SYSTEMS = ("any", "iso-286", "ansi-b4.1")
blueprint = Blueprint("fits", __name__)


@blueprint.get("/v1/fits")
def fits() -> Response:
    """A fit at a size, or with ``low`` and ``high`` the fits that give this clearance."""
    form = accepted(JSON, "text/html")
    shared = shop()
    query = Query(request.args.items(multi=True), PARAMETERS)
    query.required("size", "the nominal size, such as size=25 mm or size=2-1/4 in")
    size, low, high = (_length(query, name) for name in ("size", "low", "high"))
    units = query.choice("units", UNITS, "")
    system = query.choice("system", SYSTEMS, "any")
    _one_question(query)
    query.check()
    assert size is not None
    told_in = dump.system_of(size, units)
    if low is not None and high is not None:
        return _giving(shared, query, (low, high), size, system, told_in, form)
    designation = query.one("designation")
    try:
        found = fit(designation, size)
    except Refused as error:
        raise problem_of(error, query, "designation") from None
    body = dump.fit_in_full(shared.table, found, told_in, shared.edition)
    if form == JSON:
        return told(body, shared.edition)
    return tagged(fit_page(found, body, dump.SMALL[told_in]).encode(), HTML, shared.edition)


def _giving(shared: Shop, query: Query, wanted: tuple[Quantity, Quantity], size: Quantity, system: str, told_in: str, form: str) -> Response:
    try:
        found = fits_giving(*wanted, size, system)  # type: ignore[arg-type]
    except Refused as error:
        raise problem_of(error, query, "low") from None
    body = dump.fits_giving(found, wanted, size, told_in, shared.edition)
    if form == JSON:
        return told(body, shared.edition)
    return tagged(giving_page(body).encode(), HTML, shared.edition)


def _length(query: Query, name: str) -> Quantity | None:
    found = query.quantity(name)
    if found is not None and found.unit.dimension != "length":
        query.gathered.add(wrong_dimension(found.unit, "length", parameter=name))
        return None
    return found


def _one_question(query: Query) -> None:
    """Either a designation, or both ends of a clearance."""
    ends = [name for name in ("low", "high") if name in query.texts]
    if "designation" in query.texts:
        for name in (*ends, *(["system"] if "system" in query.texts else [])):
            query.fault("bad-parameter", name, f"{name} goes with low and high, in place of a designation; send one or the other")
    elif not ends:
        query.required("designation", "write it like H7/g6 or RC5; or send low and high, the clearance wanted")
    elif len(ends) == 1:
        other = "high" if ends == ["low"] else "low"
        query.required(other, "low and high go together: the tightest and the loosest clearance, below zero for interference")
