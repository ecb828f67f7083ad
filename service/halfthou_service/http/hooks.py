"""Before and after every request: request id, rate limit, headers for all answers, log line, metrics."""

from __future__ import annotations

import re
import secrets
import time

from flask import Flask, Response, g, request

from .problems import ProblemError
from .state import Shop

REQUEST_ID = "Request-Id"
EDITION = "Spec-Edition"
OPEN_ALWAYS = frozenset({"/livez", "/readyz", "/metrics"})
"""Never limited: whoever watches the service must always get through."""
_ID = re.compile(r"[A-Za-z0-9._-]{1,64}", re.ASCII)
HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Content-Security-Policy": "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
    "Referrer-Policy": "no-referrer",
}


def request_id() -> str:
    """The id of this request: the client's own where it is a plain word, otherwise a new one."""
    found: str | None = g.get("request_id")
    if found is None:
        given = request.headers.get(REQUEST_ID, "")
        found = g.request_id = given if _ID.fullmatch(given) else secrets.token_hex(8)
    return found


def install(app: Flask, shop: Shop) -> None:
    """Hang the hooks on an application."""

    @app.before_request
    def begin() -> None:
        g.began = time.perf_counter()
        request_id()
        if shop.buckets is not None and request.path not in OPEN_ALWAYS:
            wait = shop.buckets.wait(request.remote_addr or "")
            if wait:
                raise ProblemError("too-many-requests", f"wait {wait} s", headers={"Retry-After": str(wait)})

    @app.after_request
    def finish(response: Response) -> Response:
        if request.method == "OPTIONS" and response.status_code == 200:
            response.status_code = 204
            response.headers.remove("Content-Type")
            response.headers.remove("Content-Length")
        for name, text in HEADERS.items():
            response.headers.setdefault(name, text)
        response.headers[REQUEST_ID] = request_id()
        response.headers[EDITION] = shop.edition
        _note(shop, response)
        return response


def _note(shop: Shop, response: Response) -> None:
    seconds = time.perf_counter() - g.get("began", time.perf_counter())
    route = request.url_rule.rule if request.url_rule else "none"
    shop.metrics.request(request.method, route, response.status_code, seconds)
    shop.log.info("request", request_id=request_id(), method=request.method[:20], path=request.path[:200], route=route,
                  status=response.status_code, ms=round(1000 * seconds, 2), edition=shop.edition)  # fmt: skip
