"""Small words of English: the article before the name of a tool."""

from __future__ import annotations

import re
from functools import lru_cache

_REST = re.compile(r",| \(| (?:and|or|of|with|against|as|by|in|on|across|beside|to|behind|through)\b")


@lru_cache(maxsize=512)
def with_article(name: str) -> str:
    """``a dial indicator``, ``an outside micrometer``; names of several things at once take none (``radius gauges``)."""
    words = _REST.split(name, maxsplit=1)[0].split()
    if any(word.endswith("s") and not word.endswith(("ss", "us", "'s")) for word in (words[:1] + words[-1:])):
        return name
    return f"{'an' if name[:1].lower() in 'aeio' else 'a'} {name}"
