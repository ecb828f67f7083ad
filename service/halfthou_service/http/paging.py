"""Pages of a list: ``limit``, an opaque ``cursor``, and ``next`` where there is more."""

from __future__ import annotations

import base64
import binascii
import re
from collections.abc import Sequence
from typing import Any
from urllib.parse import urlencode

from .query import Query

MOST = 500
PARAMETERS = ("limit", "cursor")
_PLACE = re.compile(r"from ([0-9]{1,6}) of ([0-9a-f]{12})", re.ASCII)


def _cursor(start: int, mark: str) -> str:
    return base64.urlsafe_b64encode(f"from {start} of {mark}".encode()).decode().rstrip("=")


def _start(query: Query, mark: str) -> int:
    text = query.one("cursor")
    if not text:
        return 0
    try:
        raw = base64.urlsafe_b64decode(text.encode() + b"=" * (-len(text) % 4)).decode()
    except (binascii.Error, ValueError):
        raw = ""
    match = _PLACE.fullmatch(raw)
    if match is None or match[2] != mark:
        query.fault("bad-parameter", "cursor", "this cursor was not given for this list; start again without it")
        return 0
    return int(match[1])


def page(path: str, query: Query, items: Sequence[Any], mark: str) -> tuple[dict[str, Any], dict[str, str]]:
    """One page of ``items`` and the headers that go with it. ``mark``: 12 hexadecimal digits of the list's edition.

    Raises:
        ProblemError: a bad limit or cursor, or any fault of the query met before.
    """
    limit = query.whole("limit", 1, MOST, MOST)
    start = _start(query, mark)
    query.check()
    body: dict[str, Any] = {"items": list(items[start : start + limit])}
    if start + limit >= len(items):
        return body, {}
    kept = [(name, text) for name, text in query.texts.items() if name != "cursor"]
    body["next"] = f"{path}?{urlencode([*kept, ('cursor', _cursor(start + limit, mark))])}"
    return body, {"Link": f'<{body["next"]}>; rel="next"'}
