"""Answers: JSON with a strong tag, complete 304s, and nothing in a form that the client did not accept."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from flask import Response, current_app, request
from werkzeug.exceptions import HTTPException, RequestEntityTooLarge

from . import jsonio
from .etag import etag_of, unchanged
from .problems import ProblemError

JSON = "application/json"


def accepted(*offered: str) -> str:
    """The media type to answer in: the client's best of those offered, the first where it does not say.

    Raises:
        ProblemError: Accept leaves out all of them.
    """
    accept = request.accept_mimetypes
    if not accept.provided:
        return offered[0]
    best = accept.best_match(offered)
    if best is None:
        raise ProblemError("not-acceptable", f"this address answers in {' or '.join(offered)}")
    return str(best)


def encoded(data: Any) -> bytes:
    """The body of a JSON answer."""
    return jsonio.dumps(data).encode("utf-8", "replace")


def tagged(body: bytes, media_type: str, edition: str, *, headers: dict[str, str] | None = None) -> Response:
    """The answer to a GET: 200, or 304 with every header the 200 would carry where the client has it already."""
    tag = etag_of(edition, body)
    same = unchanged(tag, request.if_none_match)
    answer = Response(b"" if same else body, 304 if same else 200, content_type=media_type)
    if same:
        del answer.headers["Content-Type"]
    answer.set_etag(tag)
    answer.headers["Cache-Control"] = "no-cache"
    answer.headers["Vary"] = "Accept"
    answer.headers.update(headers or {})
    return answer


def told(data: Any, edition: str, *, headers: dict[str, str] | None = None) -> Response:
    """A JSON answer to a GET."""
    return tagged(encoded(data), JSON, edition, headers=headers)


def once(data: Any, status: int = 200, media_type: str = JSON) -> Response:
    """A JSON answer that nobody keeps: to a POST, or about the state of the service."""
    answer = Response(encoded(data), status, content_type=media_type)
    answer.headers["Cache-Control"] = "no-store"
    answer.headers["Vary"] = "Accept"
    return answer


def body() -> bytes:
    """The whole body, bounded whether or not its length was announced.

    Raises:
        RequestEntityTooLarge: longer than the setting allows.
    """
    try:
        data = request.get_data(cache=False)
    except HTTPException:
        raise
    except Exception as error:  # the server's own reader gave up: a chunk that is none, a client that fell silent
        raise ProblemError("bad-request", "the body could not be read to its end") from error
    most = current_app.config["MAX_CONTENT_LENGTH"]
    # Werkzeug cuts a body of unannounced length at the bound without a word; half a sheet must never be judged as a whole one.
    if request.content_length is None and len(data) >= most and request.environ["wsgi.input"].read(1):
        raise RequestEntityTooLarge
    return data


def sent_type(allowed: Sequence[str]) -> str:
    """The media type of the body, one of those allowed, in UTF-8 and uncompressed.

    Raises:
        ProblemError: another one.
    """
    given = request.mimetype
    charset = str(request.mimetype_params.get("charset", "utf-8")).lower()
    coding = request.headers.get("Content-Encoding", "identity").strip().lower()
    if given not in allowed or charset not in ("utf-8", "utf8", "us-ascii") or coding not in ("", "identity"):
        what = "no Content-Type" if not given else given[:80]
        raise ProblemError("unsupported-media-type", f"{what} was sent; send {' or '.join(allowed)} in UTF-8, uncompressed",
                           headers={"Accept": ", ".join(allowed)})  # fmt: skip
    return given
