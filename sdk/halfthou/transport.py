"""A requests adapter that calls a WSGI application in this process: no socket, same code path."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any
from urllib.parse import unquote_to_bytes, urlsplit

from requests.adapters import HTTPAdapter
from urllib3 import HTTPHeaderDict, HTTPResponse

from .errors import NotInstalled, ProblemDocument, ServerFault, UsageError

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication
    from requests import PreparedRequest, Response

EMBEDDED_URL = "http://embedded.invalid"
"""The address the embedded service goes by; ``.invalid`` never resolves, so nothing leaves the process."""


class EmbeddedAdapter(HTTPAdapter):
    """Answers every request from one WSGI application.

    Raises, from :meth:`send`:
        ServerFault: the application itself failed; the cause is chained.
    """

    def __init__(self, app: WSGIApplication) -> None:
        super().__init__()
        self._app = app

    def send(
        self,
        request: PreparedRequest,
        stream: bool = False,
        timeout: Any = None,
        verify: Any = True,
        cert: Any = None,
        proxies: Mapping[str, str] | None = None,
    ) -> Response:
        """Run the application once; timeouts do not apply in process."""
        from werkzeug.test import run_wsgi_app

        try:
            body, status, headers = run_wsgi_app(self._app, environ_of(request), buffered=True)
        except Exception as error:
            problem = ProblemDocument(
                "about:blank", "Internal error", 500, f"the embedded service failed: {type(error).__name__}"
            )
            raise ServerFault(problem) from error
        code, _, reason = status.partition(" ")
        answer = HTTPResponse(
            body=io.BytesIO(b"".join(body)),
            headers=HTTPHeaderDict(headers),
            status=int(code),
            reason=reason,
            preload_content=False,
            decode_content=False,
            request_method=request.method,
        )
        return self.build_response(request, answer)


def environ_of(request: PreparedRequest) -> dict[str, Any]:
    """The WSGI environment (PEP 3333) of a prepared request."""
    parts = urlsplit(request.url or EMBEDDED_URL)
    body = _bytes(request.body)
    environ: dict[str, Any] = {
        "REQUEST_METHOD": request.method or "GET",
        "SCRIPT_NAME": "",
        "PATH_INFO": unquote_to_bytes(parts.path or "/").decode("latin-1"),
        "QUERY_STRING": parts.query,
        "SERVER_NAME": parts.hostname or "embedded.invalid",
        "SERVER_PORT": str(parts.port or 80),
        "SERVER_PROTOCOL": "HTTP/1.1",
        "REMOTE_ADDR": "127.0.0.1",
        "HTTP_HOST": parts.netloc.rpartition("@")[2],
        "CONTENT_LENGTH": str(len(body)),
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": parts.scheme,
        "wsgi.input": io.BytesIO(body),
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": True,
        "wsgi.multiprocess": False,
        "wsgi.run_once": False,
    }
    for name, value in request.headers.items():
        key = name.upper().replace("-", "_")
        if key not in {"CONTENT_TYPE", "CONTENT_LENGTH", "HOST", "TRANSFER_ENCODING", "CONNECTION"}:
            environ[f"HTTP_{key}"] = _text(value)
        elif key == "CONTENT_TYPE":
            environ[key] = _text(value)
    return environ


def embedded_app(overlay: str | os.PathLike[str] | None = None) -> WSGIApplication:
    """The service's own application, with its settings from the environment; ``overlay`` stands over the one named there.

    Raises:
        NotInstalled: the service part is not installed here, or cannot start.
        UsageError: settings or an overlay that cannot be used.
    """
    try:
        from halfthou_service.http import CannotStart, Settings, SettingsError, create_app
    except ImportError as error:
        raise NotInstalled(
            f"the service part is not installed here ({error}); get it with: pip install 'halfthou[service]'\n"
            "  or name a running service: Client('http://shop.local:8070'), --url or HALFTHOU_URL"
        ) from error
    try:
        settings = Settings.from_environment()
        app: WSGIApplication = create_app(settings if overlay is None else replace(settings, overlay=os.fspath(overlay)))
    except SettingsError as error:
        raise UsageError(str(error)) from error
    except CannotStart as error:
        if overlay is None:
            raise NotInstalled(f"the service installed here cannot start: {error}") from error
        raise UsageError(f"the overlay cannot be used: {error}; see all its faults with: halfthou overlay check FILE") from error
    return app


def _bytes(body: Any) -> bytes:
    if body is None:
        return b""
    if isinstance(body, str):
        return body.encode()
    if isinstance(body, (bytes, bytearray)):
        return bytes(body)
    read = getattr(body, "read", None)
    if read is not None:
        return _bytes(read())
    if isinstance(body, Iterable):
        return b"".join(_bytes(part) for part in body)
    raise TypeError(f"a body of {type(body).__name__} cannot be sent")


def _text(value: Any) -> str:
    return value.decode("latin-1") if isinstance(value, bytes) else str(value)
