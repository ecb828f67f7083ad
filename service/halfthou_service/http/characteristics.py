"""``/v1/characteristics``: what can be measured or looked at, listed, searched, and told one by one."""

from __future__ import annotations

from flask import Blueprint, Response, request

from halfthou_specdb.records import STAGES, Characteristic
from halfthou_specdb.search import search

from . import dump_records as records
from .answers import JSON, accepted, told
from .handlers import not_found
from .paging import PARAMETERS as PAGING
from .paging import page
from .query import Query
from .state import Shop, shop

PATH = "/v1/characteristics"
PARAMETERS = ("q", "component", "stage", *PAGING)
MOST_FOUND = 200
blueprint = Blueprint("characteristics", __name__)


@blueprint.get(PATH)
def listed() -> Response:
    """All characteristics, or those that answer ``q``, best first."""
    accepted(JSON)
    shared = shop()
    query = Query(request.args.items(multi=True), PARAMETERS)
    stage = query.choice("stage", STAGES, "")
    component = _component(shared, query)
    found = _found(shared, query.one("q"))
    kept = [what for what in found if (not stage or what.stage == stage) and (not component or what.component == component)]
    items = [shared.kept("in short", what.id, lambda w=what: records.characteristic_in_short(w)) for what in kept]  # type: ignore[misc]
    body, headers = page(PATH, query, items, shared.mark)
    return told(body, shared.edition, headers=headers)


@blueprint.get(f"{PATH}/<characteristic_id>")
def one(characteristic_id: str) -> Response:
    """Everything about one characteristic, with the ids of its limits."""
    accepted(JSON)
    shared = shop()
    Query(request.args.items(multi=True), ()).check()
    what = shared.table.characteristics.get(characteristic_id)
    if what is None:
        raise not_found("characteristic", characteristic_id, shared.table.characteristics)
    return told(shared.kept("characteristic", what.id, lambda: _whole(shared, what)), shared.edition)


def _whole(shared: Shop, what: Characteristic) -> dict[str, object]:
    limits = [{"id": m.id, "kind": m.kind, "classes": list(m.classes), "use": m.use, "when": list(m.when),
               "sizes": str(m.sizes) if m.sizes else ""} for m in shared.table.limits_of.get(what.id, ())]  # fmt: skip
    absences = [{"classes": list(a.classes), "reason": a.reason, "instead": a.instead} for a in shared.table.absences_of.get(what.id, ())]
    return records.characteristic(what) | {"limits": limits, "none_published": absences}


def _component(shared: Shop, query: Query) -> str:
    wanted = query.one("component")
    known = tuple(dict.fromkeys(what.component for what in shared.table.characteristics.values()))
    return query.choice("component", known, "") if wanted else ""


def _found(shared: Shop, text: str) -> list[Characteristic]:
    known = shared.table.characteristics
    if not text:
        return list(known.values())
    if text in known:
        return [known[text], *(known[i] for i in search(shared.table, text, MOST_FOUND) if i != text)]
    return [known[i] for i in search(shared.table, text, MOST_FOUND)]
