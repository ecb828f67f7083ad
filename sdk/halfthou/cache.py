"""A bounded store of answers by their ETag."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock


@dataclass(frozen=True, slots=True)
class Kept:
    """A body that may be used again when the service says 'not modified'."""

    etag: str
    media_type: str
    body: bytes


class EtagCache:
    """Keeps the most recently used answers; bounded in number and in bytes, safe between threads."""

    def __init__(self, entries: int = 128, total_bytes: int = 8 * 2**20) -> None:
        self._entries = entries
        self._total = total_bytes
        self._held = 0
        self._kept: OrderedDict[tuple[str, str], Kept] = OrderedDict()
        self._lock = Lock()

    def get(self, url: str, accept: str) -> Kept | None:
        """What was kept for this address and media type, or None."""
        with self._lock:
            kept = self._kept.get((url, accept))
            if kept is not None:
                self._kept.move_to_end((url, accept))
            return kept

    def put(self, url: str, accept: str, etag: str, media_type: str, body: bytes) -> None:
        """Keep a body; one larger than a quarter of the room is not kept. The least used go first."""
        if not etag or len(body) > self._total // 4 or self._entries < 1:
            return
        with self._lock:
            old = self._kept.pop((url, accept), None)
            self._held += len(body) - (len(old.body) if old else 0)
            self._kept[(url, accept)] = Kept(etag, media_type, body)
            while len(self._kept) > self._entries or self._held > self._total:
                _, dropped = self._kept.popitem(last=False)
                self._held -= len(dropped.body)

    def clear(self) -> None:
        """Forget everything."""
        with self._lock:
            self._kept.clear()
            self._held = 0

    def __len__(self) -> int:
        return len(self._kept)
