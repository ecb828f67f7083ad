"""The rest of the table: engine classes, works, instruments, materials, cautions, units, dimensions, features, editions."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from flask import Blueprint, Response, request

from halfthou_specdb import editions
from halfthou_specdb.errors import UnknownId
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS

from . import dump_records as records
from .answers import JSON, accepted, told
from .handlers import not_found
from .paging import PARAMETERS as PAGING
from .paging import page
from .query import Query
from .state import Shop, shop


@dataclass(frozen=True, slots=True)
class Resource:
    """One list of records: its path, what one is called, where they come from, how one is told, and whether each has an address."""

    name: str
    kind: str
    read: Callable[[Table], Mapping[str, Any]]
    dump: Callable[[Any], dict[str, Any]]
    single: bool = True

    @property
    def path(self) -> str:
        """The path of the list."""
        return f"/v1/{self.name}"


RESOURCES = (
    Resource("engine-classes", "engine class", lambda t: t.classes, records.engine_class),
    Resource("works", "work", lambda t: t.works, records.work),
    Resource("instruments", "instrument", lambda t: t.instruments, records.instrument),
    Resource("materials", "material", lambda t: t.materials, records.material),
    Resource("cautions", "caution", lambda t: t.cautions, records.caution),
    Resource("units", "unit", lambda t: UNITS, records.unit, single=False),
    Resource("dimensions", "dimension", lambda t: t.dimensions, records.dimension, single=False),
    Resource("features", "feature", lambda t: t.features, records.feature, single=False),
    Resource("facts", "fact", lambda t: t.facts, records.fact, single=False),
)
blueprint = Blueprint("reference", __name__)


def _list_view(resource: Resource) -> Callable[[], Response]:
    def listed() -> Response:
        accepted(JSON)
        shared = shop()
        query = Query(request.args.items(multi=True), PAGING)
        found = resource.read(shared.table).items()
        items = [shared.kept(resource.name, key, lambda r=record: resource.dump(r)) for key, record in found]  # type: ignore[misc]
        body, headers = page(resource.path, query, items, shared.mark)
        return told(body, shared.edition, headers=headers)

    return listed


def _single_view(resource: Resource) -> Callable[[str], Response]:
    def one(record_id: str) -> Response:
        accepted(JSON)
        shared = shop()
        Query(request.args.items(multi=True), ()).check()
        known = resource.read(shared.table)
        if record_id not in known:
            raise not_found(resource.kind, record_id, known)
        return told(shared.kept(resource.name, record_id, lambda: resource.dump(known[record_id])), shared.edition)

    return one


for _resource in RESOURCES:
    blueprint.get(_resource.path, endpoint=_resource.name)(_list_view(_resource))
    if _resource.single:
        blueprint.get(f"{_resource.path}/<record_id>", endpoint=f"{_resource.name}-one")(_single_view(_resource))


@blueprint.get("/v1/editions")
def listed_editions() -> Response:
    """The editions of the data that this service can compare, the current one first."""
    accepted(JSON)
    shared = shop()
    query = Query(request.args.items(multi=True), PAGING)
    items: list[dict[str, Any]] = [{"id": shared.edition, "edition": shared.edition, "current": True} | _own(shared)]
    items += [{"id": name, "edition": name, "current": False} for name in reversed(editions.released())]
    body, headers = page("/v1/editions", query, items, shared.mark)
    return told(body, shared.edition, headers=headers)


def _own(shared: Shop) -> dict[str, Any]:
    own = shared.overlay
    if own is None:
        return {}
    return {"overlay": {"engine": own.engine, "title": own.title, "digest": own.digest, "figures": len(own.limits),
                        "tools": len(own.instruments)}}  # fmt: skip


@blueprint.get("/v1/editions/<old>/diff/<new>")
def compared(old: str, new: str) -> Response:
    """What changed from one edition to another. The owner's overlay is left out of it: it is nobody else's."""
    accepted(JSON)
    shared = shop()
    query = Query(request.args.items(multi=True), PAGING)
    changes = editions.diff(_edition(shared, old), _edition(shared, new))
    items = [{"record": c.record, "id": c.id, "field": c.field, "old": c.old, "new": c.new, "number": c.is_number} for c in changes]
    body, headers = page(f"/v1/editions/{quote(old)}/diff/{quote(new)}", query, items, shared.mark)
    return told(body, shared.edition, headers=headers)


def _edition(shared: Shop, name: str) -> editions.Snapshot:
    try:
        return editions.load(editions.CURRENT if name == shared.edition else name, shared.table)
    except UnknownId:
        raise not_found("edition", name, (*editions.released(), editions.CURRENT)) from None
