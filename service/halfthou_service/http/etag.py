"""Strong entity tags and conditional requests (RFC 9110, sections 8.8.3 and 13.1.2)."""

from __future__ import annotations

import hashlib

from werkzeug.datastructures import ETags

DIGITS = 24


def etag_of(edition: str, body: bytes) -> str:
    """The opaque part of a strong tag: a digest over the edition and every byte of the body."""
    return hashlib.sha256(edition.encode() + b"\n" + body).hexdigest()[:DIGITS]


def unchanged(tag: str, if_none_match: ETags) -> bool:
    """True where If-None-Match names this tag: compared weakly, one of a list, or ``*``."""
    return bool(if_none_match) and if_none_match.contains_weak(tag)
