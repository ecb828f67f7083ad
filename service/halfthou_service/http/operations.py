"""Operations: the OpenAPI document, liveness, readiness, metrics, and the data file itself."""

from __future__ import annotations

import sqlite3

from flask import Blueprint, Response, request

from . import metrics
from .answers import JSON, accepted, once, tagged
from .problems import ProblemError
from .query import Query
from .state import Shop, shop

SQLITE = "application/vnd.sqlite3"
RETRY_SECONDS = 5
blueprint = Blueprint("operations", __name__)


@blueprint.get("/openapi.json")
def openapi() -> Response:
    """The OpenAPI 3.1 document of this service."""
    from .openapi import document_text

    accepted(JSON)
    Query(request.args.items(multi=True), ()).check()
    return tagged(shop().kept("openapi", "", lambda: document_text().encode()), JSON, shop().edition)


@blueprint.get("/livez")
def alive() -> Response:
    """The process answers; nothing else is touched."""
    return once({"status": "alive"})


@blueprint.get("/readyz")
def ready() -> Response:
    """The data file opens and is of the edition in memory."""
    shared = shop()
    if not _opens(shared):
        raise ProblemError("not-ready", headers={"Retry-After": str(RETRY_SECONDS)})
    return once({"status": "ready", "edition": shared.edition})


def _opens(shared: Shop) -> bool:
    """Opened anew each time: a connection kept from before would still read a file that is gone."""
    try:
        db = sqlite3.connect(f"file:{shared.table.path}?mode=ro&immutable=1", uri=True)
        try:
            row = db.execute("select value from meta where key = 'edition'").fetchone()
        finally:
            db.close()
    except sqlite3.Error:
        return False
    return bool(row) and row[0] == shared.table.edition


@blueprint.get("/metrics")
def counted() -> Response:
    """Counts and times in the text format of Prometheus."""
    answer = Response(shop().metrics.text(), content_type=metrics.MEDIA_TYPE)
    answer.headers["Cache-Control"] = "no-store"
    return answer


@blueprint.get("/specdb.sqlite")
def data_file() -> Response:
    """The whole table as one SQLite file."""
    accepted(SQLITE)
    Query(request.args.items(multi=True), ()).check()
    path = shop().table.path
    try:
        content = path.read_bytes() if path is not None else b""
    except OSError:
        content = b""
    if not content:
        raise ProblemError("not-ready", headers={"Retry-After": str(RETRY_SECONDS)})
    return tagged(content, SQLITE, shop().edition, headers={"Content-Disposition": 'attachment; filename="specdb.sqlite"'})
