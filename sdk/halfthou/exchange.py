"""Sending a request and reading its answer: timeouts, retries with back-off, a bound on length, an ETag cache."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode, urlsplit, urlunsplit

import requests
from urllib3.exceptions import HTTPError as TransportFault
from urllib3.exceptions import ReadTimeoutError

from .cache import EtagCache
from .errors import (
    Answer,
    AnswerTooBig,
    TimedOut,
    UnexpectedAnswer,
    Unreachable,
    UsageError,
    interpret,
    retry_after_seconds,
)
from .version import version

if TYPE_CHECKING:
    from requests.adapters import BaseAdapter

Params = Sequence[tuple[str, str]]
JSON = "application/json"
TRY_AGAIN = frozenset({429, 502, 503, 504})
CHUNK = 65_536


@dataclass(frozen=True, slots=True)
class Limits:
    """How long, how often, how much. Times in seconds, ``max_body`` in bytes."""

    connect: float = 3.0
    read: float = 30.0
    whole_answer: float = 120.0
    retries: int = 3
    back_off: float = 0.25
    retry_after_max: float = 30.0
    max_body: int = 32 * 2**20
    cache_entries: int = 128


class Exchange:
    """One service at one address. Safe to share between threads as far as a requests session is."""

    def __init__(
        self,
        url: str,
        limits: Limits,
        *,
        headers: Mapping[str, str] | None = None,
        adapter: BaseAdapter | None = None,
        sleep: Callable[[float], None] | None = None,
    ) -> None:
        self.url = checked_url(url)
        self.limits = limits
        self.edition = ""
        self._sleep = sleep or time.sleep
        self._cache = EtagCache(limits.cache_entries)
        self._session = requests.Session()
        self._session.headers["User-Agent"] = f"halfthou/{version()}"
        if adapter is not None:
            self._session.trust_env = False
            self._session.mount(self.url, adapter)
        for name, value in (headers or {}).items():
            self._session.headers[name] = value

    def close(self) -> None:
        """Close the connections and forget what was kept."""
        self._session.close()
        self._cache.clear()

    def get(self, path: str, params: Params = (), accept: str = JSON) -> Answer:
        """GET, from the cache where the service says that nothing changed.

        Raises:
            Unreachable, UnexpectedAnswer, ServiceError: see :mod:`halfthou.errors`.
        """
        url = self.address(path, params)
        kept = self._cache.get(url, accept)
        headers = {"Accept": f"{accept}, application/problem+json"} | ({"If-None-Match": kept.etag} if kept else {})
        status, fields, body = self._send("GET", url, headers, None, again=True)
        answer = interpret(status, fields, body, cached=(kept.media_type, kept.body) if kept else None)
        if status == 200 and answer.etag:
            self._cache.put(url, accept, answer.etag, answer.media_type, body)
        return self._noted(answer)

    def post(
        self,
        path: str,
        body: bytes,
        media_type: str = JSON,
        params: Params = (),
        *,
        pure: bool = False,
        accept: str = JSON,
    ) -> Answer:
        """POST. ``pure`` says that asking twice does no harm, so that it may be tried again.

        Raises:
            Unreachable, UnexpectedAnswer, ServiceError: see :mod:`halfthou.errors`.
        """
        headers = {"Accept": f"{accept}, application/problem+json", "Content-Type": media_type}
        return self._noted(interpret(*self._send("POST", self.address(path, params), headers, body, again=pure)))

    def address(self, path: str, params: Params = ()) -> str:
        """The full address of a path, or of a link the service gave; a link that leads to another host is refused.

        Raises:
            UnexpectedAnswer: the link leads elsewhere.
        """
        if path.startswith(("http://", "https://")):
            url = path
            if _origin(url) != _origin(self.url):
                raise UnexpectedAnswer(f"the service gave a link that leads elsewhere: {_shown(url)}")
        else:
            below = urlsplit(self.url).path
            if below and path.startswith(f"{below}/"):
                path = path.removeprefix(below)
            url = f"{self.url}/{path.lstrip('/')}"
        if params:
            url += ("&" if "?" in url else "?") + urlencode(list(params))
        return url

    def _noted(self, answer: Answer) -> Answer:
        self.edition = answer.edition or self.edition
        return answer

    def _send(
        self, method: str, url: str, headers: dict[str, str], body: bytes | None, *, again: bool
    ) -> tuple[int, Mapping[str, str], bytes]:
        last = self.limits.retries if again else 0
        for attempt in range(last + 1):
            wait = self.limits.back_off * 2**attempt * random.uniform(0.8, 1.2)
            try:
                status, fields, content = self._once(method, url, headers, body)
            except AnswerTooBig:
                raise
            except Unreachable:
                if attempt == last:
                    raise
            else:
                if status not in TRY_AGAIN or attempt == last:
                    return status, fields, content
                asked = retry_after_seconds(
                    {name.lower(): value for name, value in fields.items()}.get("retry-after", "")
                )
                if asked is not None and asked > self.limits.retry_after_max:
                    return status, fields, content
                wait = max(wait, asked or 0.0)
            self._sleep(wait)
        raise AssertionError("unreachable")

    def _once(
        self, method: str, url: str, headers: dict[str, str], body: bytes | None
    ) -> tuple[int, Mapping[str, str], bytes]:
        limits = self.limits
        shown = _shown(self.url)
        began = time.monotonic()
        try:
            with self._session.request(
                method,
                url,
                headers=headers,
                data=body,
                timeout=(limits.connect, limits.read),
                stream=True,
                allow_redirects=False,
            ) as response:
                content = bytearray()
                for chunk in response.iter_content(CHUNK):
                    content += chunk
                    if len(content) > limits.max_body:
                        raise AnswerTooBig(f"the answer from {shown} is longer than {limits.max_body:,} bytes")
                    if time.monotonic() - began > limits.whole_answer:
                        raise TimedOut(f"{shown} was still sending after {limits.whole_answer:g} s")
                return response.status_code, response.headers, bytes(content)
        except requests.ConnectTimeout as error:
            raise TimedOut(f"no service answered at {shown} within {limits.connect:g} s") from error
        except requests.Timeout as error:
            raise TimedOut(f"{shown} sent nothing for {limits.read:g} s") from error
        except (requests.exceptions.ContentDecodingError, requests.exceptions.ChunkedEncodingError) as error:
            raise Unreachable(f"the answer from {shown} broke off or was garbled") from error
        except requests.exceptions.InvalidHeader as error:
            raise UsageError(f"a header cannot be sent: {error}") from error
        except (requests.ConnectionError, TransportFault) as error:
            if any(isinstance(part, ReadTimeoutError) for part in (error, *error.args)):
                raise TimedOut(f"{shown} stopped sending for {limits.read:g} s") from error
            raise Unreachable(
                f"no answer from {shown}; is a service running there? (start one with: halfthou serve)"
            ) from error
        except requests.RequestException as error:
            raise Unreachable(f"the request to {shown} failed: {type(error).__name__}") from error


def checked_url(url: str) -> str:
    """An http or https address without query or fragment, without the slash at its end.

    Raises:
        UsageError: anything else.
    """
    text = url.strip() if isinstance(url, str) else ""
    try:
        parts = urlsplit(text)
        port_is_fine = parts.port is None or parts.port > 0
    except ValueError:
        raise UsageError(f"{url!r} is not an address; write it like 'http://shop.local:8070'") from None
    if parts.scheme not in {"http", "https"} or not parts.hostname or parts.query or parts.fragment or not port_is_fine:
        raise UsageError(f"{url!r} is not an address; write it like 'http://shop.local:8070'")
    return text.rstrip("/")


def _origin(url: str) -> tuple[str, str | None, int | None]:
    parts = urlsplit(url)
    return parts.scheme, parts.hostname, parts.port or {"http": 80, "https": 443}.get(parts.scheme)


def _shown(url: str) -> str:
    """The address without a name and password."""
    parts = urlsplit(url)
    return urlunsplit((parts.scheme, parts.netloc.rpartition("@")[2], parts.path, "", ""))
