"""``/v1/overlays``: a file of the owner's own figures, begun from a template and checked before it is used. Nothing is kept."""

from __future__ import annotations

from itertools import islice
from typing import Any

from flask import Blueprint, Response, request

from halfthou_specdb.errors import RecordError, SpecdbError
from halfthou_specdb.overlay import MOST_BYTES, Overlay, edition_with, overlay_faults, overlay_of, template
from halfthou_specdb.overlay_changes import OverlayChange, bounds_in_words, changes
from halfthou_specdb.records import Limit

from .answers import JSON, accepted, body, once, sent_type, tagged
from .problems import MAX_ERRORS, ProblemError
from .query import Query
from .state import Shop, shop

TOML = "application/toml"
TOML_TYPES = (TOML, "text/toml")
NAME = "overlay"
blueprint = Blueprint("overlays", __name__)


@blueprint.get("/v1/overlays/template")
def begun() -> Response:
    """An overlay to start from, for one engine; it changes nothing until its figures are filled in."""
    accepted(*TOML_TYPES)
    query = Query(request.args.items(multi=True), ("engine",))
    engine = query.required("engine", "your own name for the engine, the one you send with its readings")
    query.check()
    try:
        text = template(engine)
    except SpecdbError as error:
        query.fault("bad-parameter", "engine", str(error))
        query.check()
        raise
    return tagged(text.encode(), TOML, shop().edition, headers={"Content-Disposition": 'attachment; filename="overlay.toml"'})


@blueprint.post("/v1/overlays/check")
def checked() -> Response:
    """Every fault of an overlay with its line; or, where there is none, what it would change."""
    accepted(JSON)
    shared = shop()
    sent_type(TOML_TYPES)
    Query(request.args.items(multi=True), ()).check()
    raw = body()
    if len(raw) > MOST_BYTES:
        raise ProblemError("body-too-large", f"an overlay may have at most {MOST_BYTES:,} bytes")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return once(_faulty([RecordError(NAME, 1, "(file)", "not UTF-8 text")], shared))
    faults = list(islice(overlay_faults(shared.table, text, NAME), MAX_ERRORS))
    return once(_faulty(faults, shared) if faults else _good(overlay_of(shared.table, text, NAME), shared))


def _faulty(faults: list[RecordError], shared: Shop) -> dict[str, Any]:
    items = [{"line": f.line, "id": f.record_id, "detail": f.reason} for f in faults]
    many = f"at least {len(items)} faults" if len(items) == MAX_ERRORS else "1 fault" if len(items) == 1 else f"{len(items)} faults"
    return {"ok": False, "text": f"{many}; nothing in it counts until they are mended.", "items": items, "changes": [], "tools": [],
            "edition": shared.edition}  # fmt: skip


def _good(overlay: Overlay, shared: Shop) -> dict[str, Any]:
    found = changes(shared.table, overlay)
    counts = [f"{len(some)} {word}{'' if len(some) == 1 else 's'}" for some, word in ((found, "figure"), (overlay.instruments, "tool")) if some]
    changed = f"{' and '.join(counts)} of your own for {overlay.engine}."
    text = changed if counts else f"No fault, and no figure yet: nothing changes for {overlay.engine}."
    return {
        "ok": True, "text": text, "items": [], "engine": overlay.engine, "title": overlay.title, "digest": overlay.digest,
        "changes": [_change(c) for c in found],
        "tools": [{"id": i.id, "name": i.name, "takes_place": i.id in shared.table.instruments} for i in overlay.instruments],
        "edition": edition_with(shared.table, overlay),
    }  # fmt: skip


def _change(change: OverlayChange) -> dict[str, Any]:
    return {
        "id": change.limit.id, "characteristic": change.limit.characteristic, "use": change.limit.use, "counts": change.counts,
        "says": change.says, "yours": bounds_in_words(change.limit), "ours": [_ours(m) for m in change.ours],
    }  # fmt: skip


def _ours(limit: Limit) -> dict[str, Any]:
    sizes = str(limit.sizes) if limit.sizes else ""
    return {"limit_id": limit.id, "kind": limit.kind, "classes": list(limit.classes), "sizes": sizes, "says": bounds_in_words(limit)}
