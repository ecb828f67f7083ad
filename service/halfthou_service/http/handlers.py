"""Errors become problem documents; each kind of problem has a page."""

from __future__ import annotations

from html import escape
from typing import Any

from flask import Blueprint, Flask, Response, request
from werkzeug.exceptions import HTTPException, MethodNotAllowed, RequestEntityTooLarge

from . import problems
from .answers import JSON, accepted, encoded, tagged, told
from .faults import Fault, Near, shown
from .hooks import request_id
from .problems import KINDS, ProblemError
from .state import Shop, shop

HTML = "text/html; charset=utf-8"
BY_STATUS = {404: "not-found", 405: "method-not-allowed", 406: "not-acceptable", 413: "body-too-large", 415: "unsupported-media-type",
             429: "too-many-requests", 503: "not-ready"}  # fmt: skip
blueprint = Blueprint("problems", __name__)


def not_found(kind: str, given: str, names: Any) -> ProblemError:
    """The problem of an address that names a record which is not there."""
    near = Near().of(given, names)
    hint = f"; did you mean {', '.join(near)}?" if near else ""
    detail = f"no {kind} is called {shown(given)}{hint}"
    return ProblemError("not-found", detail, [Fault("not-found", detail, near=near)])


def answer(problem: ProblemError) -> Response:
    """The response of a problem."""
    body = encoded(problems.document(problem, request.path, request_id()))
    response = Response(body, problem.status, content_type=problems.MEDIA_TYPE)
    response.headers["Cache-Control"] = "no-store"
    response.headers.update(problem.headers)
    return response


def install(app: Flask, shared: Shop) -> None:
    """Hang the handlers on an application."""

    @app.errorhandler(ProblemError)
    def known(problem: ProblemError) -> Response:
        return answer(problem)

    @app.errorhandler(HTTPException)
    def of_http(error: HTTPException) -> Response | HTTPException:
        status = error.code or 500
        if status < 400:
            return error
        slug = BY_STATUS.get(status, "bad-request" if status < 500 else "internal-error")
        headers: dict[str, str] = {}
        detail = KINDS[slug].says
        if isinstance(error, MethodNotAllowed):
            headers["Allow"] = ", ".join(sorted(error.valid_methods or ()))
            detail = f"this address takes {headers['Allow'] or 'no method'}"
        elif isinstance(error, RequestEntityTooLarge):
            detail = f"a body may have at most {shared.settings.max_body:,} bytes; send the sheet in parts"
        elif status == 404:
            detail = f"nothing stands at {shown(request.path)}; the addresses are listed at /openapi.json"
        return answer(ProblemError(slug, detail, headers=headers, status=status))

    @app.errorhandler(Exception)
    def unforeseen(error: Exception) -> Response:
        shared.log.error("failed", request_id=request_id(), method=request.method[:20], path=request.path[:200], exc_info=error)
        return answer(ProblemError("internal-error", f"the service failed; the fault is logged under {request_id()}"))


def _page(kind: problems.Kind) -> dict[str, Any]:
    return {"type": f"/problems/{kind.slug}", "slug": kind.slug, "title": kind.title, "status": kind.status or None, "says": kind.says}


@blueprint.get("/problems")
def listed() -> Response:
    """Every kind of problem."""
    accepted(JSON)
    return told({"items": [_page(kind) for kind in KINDS.values()]}, shop().edition)


@blueprint.get("/problems/<slug>")
def one(slug: str) -> Response:
    """One kind of problem: JSON, or a short page for a browser."""
    if slug not in KINDS:
        raise not_found("kind of problem", slug, KINDS)
    kind = KINDS[slug]
    if accepted(JSON, "text/html") == JSON:
        return told(_page(kind), shop().edition)
    status = f"HTTP status {kind.status}." if kind.status else "Never refuses a request; it stands in an item of a sheet."
    html = (f"<!doctype html><html lang=en><meta charset=utf-8><title>{escape(kind.title)}</title><h1>{escape(kind.title)}</h1>"
            f"<p>{escape(kind.says)}</p><p>{escape(status)}</p></html>")  # fmt: skip
    return tagged(html.encode(), HTML, shop().edition)
