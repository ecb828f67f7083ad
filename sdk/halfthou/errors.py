"""Errors of the SDK, and the pure function that turns an answer into a value or one of them.

HalfthouError
├── UsageError              the call itself is wrong; nothing was sent
│   ├── QuantityError       text or a value that is not one number and one unit
│   └── SheetError          a sheet file that cannot be read
├── NotInstalled            the part that was asked for is not installed here
├── Unreachable             no answer came
│   ├── TimedOut            not within the time allowed
│   └── AnswerTooBig        the answer is longer than the bound
├── UnexpectedAnswer        an answer came that is not what the service sends (not JSON, a redirect, a field missing)
└── ServiceError            the service said no: ``status``, ``problem`` (RFC 9457)
    ├── Refused             400, 405, 406, 415, 422 and other 4xx: something in the question
    │   ├── NotFound        404: no such thing; ``problem.near`` lists near matches
    │   ├── TooLarge        413
    │   └── Unauthorised    401, 403
    ├── TooManyRequests     429; ``retry_after`` in seconds
    └── ServerFault         5xx
        └── Unavailable     503; ``retry_after`` in seconds
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from http import HTTPStatus
from typing import Any

from . import jsonio


class HalfthouError(Exception):
    """Root of every error raised by halfthou."""


class UsageError(HalfthouError, ValueError):
    """The call itself is wrong; nothing was sent."""


class QuantityError(UsageError):
    """Not one number and one unit. ``code`` is a stable word for the kind of fault."""

    def __init__(self, message: str, code: str = "bad-quantity") -> None:
        super().__init__(message)
        self.code = code


class SheetError(UsageError):
    """A sheet or engine file that cannot be read."""


class NotInstalled(HalfthouError):
    """The part that was asked for is not installed here."""


class Unreachable(HalfthouError):
    """No answer came."""


class TimedOut(Unreachable):
    """No answer within the time allowed."""


class AnswerTooBig(Unreachable):
    """The answer is longer than the bound that was set for it."""


class UnexpectedAnswer(HalfthouError):
    """An answer came, but not one that the service sends."""


@dataclass(frozen=True, slots=True)
class ProblemEntry:
    """One fault of a refused request: where (JSON pointer or parameter; line and column of a CSV sheet), a stable code, a sentence."""

    pointer: str
    code: str
    detail: str
    line: int = 0
    column: str = ""

    @property
    def where(self) -> str:
        """``line 2, value`` in a CSV sheet (``after, line 2`` where two were sent), else the pointer."""
        sheet = self.pointer.removeprefix("/").partition("/")[0]
        parts = (sheet if sheet in ("before", "after") else "", f"line {self.line}", self.column)
        return ", ".join(part for part in parts if part) if self.line else self.pointer

    def __str__(self) -> str:
        return f"{self.where}: {self.detail}" if self.where else self.detail


@dataclass(frozen=True, slots=True)
class ProblemDocument:
    """An RFC 9457 problem. ``near`` lists near matches; the whole body is in ``raw``."""

    type: str
    title: str
    status: int
    detail: str
    instance: str = ""
    errors: tuple[ProblemEntry, ...] = ()
    near: tuple[str, ...] = ()
    raw: Mapping[str, Any] = field(default_factory=dict, repr=False, compare=False, hash=False)

    @property
    def slug(self) -> str:
        """The last part of ``type``, such as ``unknown-characteristic``."""
        return self.type.rstrip("/").rpartition("/")[2]


class ServiceError(HalfthouError):
    """The service said no."""

    def __init__(self, problem: ProblemDocument, request_id: str = "", retry_after: float | None = None) -> None:
        self.problem = problem
        self.status = problem.status
        self.request_id = request_id
        self.retry_after = retry_after
        lines = [problem.detail or problem.title or f"the service answered {problem.status}"]
        for entry in problem.errors[:10]:
            if str(entry) == problem.detail:
                continue
            if entry.detail != problem.detail or entry.line:
                lines.append(f"  {entry}")
            elif entry.pointer.startswith("/"):
                lines.append(f"  at {entry.pointer}")
        if problem.near and not any(near in lines[0] for near in problem.near):
            lines.append(f"  near it: {', '.join(problem.near)}")
        super().__init__("\n".join(lines))


class Refused(ServiceError):
    """Something in the question: 4xx."""


class NotFound(Refused):
    """404: no such thing."""


class TooLarge(Refused):
    """413: the body is larger than the service takes."""


class Unauthorised(Refused):
    """401 or 403."""


class TooManyRequests(ServiceError):
    """429; wait ``retry_after`` seconds where it is given."""


class ServerFault(ServiceError):
    """5xx: the service failed."""


class Unavailable(ServerFault):
    """503; try again after ``retry_after`` seconds where it is given."""


@dataclass(frozen=True, slots=True)
class Answer:
    """A good answer: ``data`` is a JSON value, text or bytes by media type."""

    status: int
    data: Any
    media_type: str = ""
    etag: str = ""
    edition: str = ""
    request_id: str = ""


def interpret(
    status: int, headers: Mapping[str, str], body: bytes, *, cached: tuple[str, bytes] | None = None
) -> Answer:
    """Turn status, headers and body into an answer or a typed error. Pure: no I/O.

    Args:
        status: HTTP status code.
        headers: header fields, any capitals.
        body: the whole body, decoded from any content coding.
        cached: media type and body kept from before, used when the status is 304.

    Raises:
        UnexpectedAnswer: not JSON where JSON was announced, a redirect, a 304 that nothing was kept for.
        ServiceError: 4xx and 5xx, by status.
    """
    fields = {name.lower(): value for name, value in headers.items()}
    media_type = fields.get("content-type", "").partition(";")[0].strip().lower()
    request_id = fields.get("request-id", "")
    if status == HTTPStatus.NOT_MODIFIED:
        if cached is None:
            raise UnexpectedAnswer("the service says 'not modified', but nothing was kept from before")
        return Answer(
            status,
            _decoded(*cached),
            media_type,
            fields.get("etag", ""),
            fields.get("spec-edition", ""),
            request_id,
        )
    if 200 <= status < 300:
        data = None if not body else _decoded(media_type, body)
        return Answer(status, data, media_type, fields.get("etag", ""), fields.get("spec-edition", ""), request_id)
    if 300 <= status < 400:
        raise UnexpectedAnswer(
            f"the service answered {status} and points to {fields.get('location', 'nowhere')[:200]!r};"
            " give that address as the URL"
        )
    if not 400 <= status < 600:
        raise UnexpectedAnswer(f"the service answered with status {status}, which means nothing here")
    problem = _problem(status, media_type, body)
    raise _kind(status)(problem, request_id, retry_after_seconds(fields.get("retry-after", "")))


def retry_after_seconds(text: str, now: datetime | None = None) -> float | None:
    """Seconds of a Retry-After field (a number, or a date of RFC 9110), or None where it says nothing usable."""
    text = text.strip()
    if text.isascii() and text.isdigit() and len(text) <= 9:
        return float(text)
    try:
        date = parsedate_to_datetime(text)
    except (ValueError, TypeError, IndexError, OverflowError):
        return None
    if date.tzinfo is None:
        date = date.replace(tzinfo=UTC)
    return max(0.0, (date - (now or datetime.now(UTC))).total_seconds())


def _kind(status: int) -> type[ServiceError]:
    exact: dict[int, type[ServiceError]] = {
        401: Unauthorised,
        403: Unauthorised,
        404: NotFound,
        413: TooLarge,
        429: TooManyRequests,
        503: Unavailable,
    }
    return exact.get(status) or (ServerFault if status >= 500 else Refused)


def _is_json(media_type: str) -> bool:
    return media_type == "application/json" or media_type.endswith("+json")


def _decoded(media_type: str, body: bytes) -> Any:
    if _is_json(media_type):
        try:
            return jsonio.loads(body)
        except jsonio.NotJson as error:
            start = body[:60].decode("utf-8", "replace")
            raise UnexpectedAnswer(
                f"the answer says it is JSON but cannot be read: {error}; it starts {start!r}"
            ) from None
    if media_type.startswith("text/"):
        return body.decode("utf-8", "replace")
    return body


def _problem(status: int, media_type: str, body: bytes) -> ProblemDocument:
    raw: Any = None
    if _is_json(media_type):
        try:
            raw = jsonio.loads(body)
        except jsonio.NotJson:
            raw = None
    if not isinstance(raw, Mapping):
        try:
            title = HTTPStatus(status).phrase
        except ValueError:
            title = "Error"
        return ProblemDocument(
            "about:blank", title, status, f"the service answered {status} {title}, without saying more"
        )
    entries = tuple(_entry(entry) for entry in _list(raw.get("errors")) if isinstance(entry, Mapping))
    near = tuple(str(word) for key in ("near", "near_matches", "did_you_mean") for word in _list(raw.get(key)))
    return ProblemDocument(
        _word(raw, "type") or "about:blank",
        _word(raw, "title"),
        status,
        _word(raw, "detail"),
        _word(raw, "instance"),
        entries,
        near,
        raw,
    )


def _entry(raw: Mapping[str, Any]) -> ProblemEntry:
    where = _word(raw, "pointer") or _word(raw, "parameter") or _word(raw, "name")
    line = raw.get("line")
    told = (_word(raw, "code"), _word(raw, "detail") or _word(raw, "message"))
    return ProblemEntry(where, *told, line if isinstance(line, int) else 0, _word(raw, "column"))


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def _word(raw: Mapping[str, Any], key: str) -> str:
    value = raw.get(key)
    return value if isinstance(value, str) else ""
