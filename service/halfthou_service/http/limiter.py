"""A rate limit by address: one token bucket each, off unless a setting asks for it."""

from __future__ import annotations

import math
import threading
import time
from collections import OrderedDict
from collections.abc import Callable

MOST_ADDRESSES = 10_000


class Buckets:
    """``per_minute`` tokens a minute for each address, as many in store; the addresses unheard of longest are forgotten first."""

    def __init__(self, per_minute: int, clock: Callable[[], float] = time.monotonic) -> None:
        self._rate = per_minute / 60.0
        self._full = float(per_minute)
        self._clock = clock
        self._lock = threading.Lock()
        self._seen: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def wait(self, address: str) -> int:
        """Take a token: 0, or the whole seconds until there is one."""
        now = self._clock()
        with self._lock:
            tokens, then = self._seen.pop(address, (self._full, now))
            tokens = min(self._full, tokens + (now - then) * self._rate)
            short = tokens < 1.0
            self._seen[address] = (tokens if short else tokens - 1.0, now)
            if len(self._seen) > MOST_ADDRESSES:
                self._seen.popitem(last=False)
        return max(1, math.ceil((1.0 - tokens) / self._rate)) if short else 0
