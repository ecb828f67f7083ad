"""What every request of one application shares: settings, the table, the metrics, records already told."""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, cast

from flask import current_app

from halfthou_specdb.overlay import Overlay, edition_with
from halfthou_specdb.records import Limit
from halfthou_specdb.table import Table

from .limiter import Buckets
from .logs import Log
from .metrics import Metrics
from .settings import Settings

KEY = "halfthou"
LEVELS: Mapping[str, int] = {name: getattr(logging, name.upper()) for name in ("debug", "info", "warning", "error")}


@dataclass(slots=True)
class Shop:
    """Shared by all requests. ``records`` keeps dumps of records, which do not change while the table is open."""

    settings: Settings
    table: Table
    overlay: Overlay | None
    log: Log
    metrics: Metrics
    buckets: Buckets | None
    records: dict[tuple[str, str], Any] = field(default_factory=dict)

    @property
    def edition(self) -> str:
        """Edition of the data, the overlay included."""
        return edition_with(self.table, self.overlay)

    @property
    def mark(self) -> str:
        """Twelve hexadecimal digits that stand for the edition."""
        return hashlib.sha256(self.edition.encode()).hexdigest()[:12]

    def own_limits(self, engine_id: str) -> tuple[Limit, ...]:
        """The owner's figures for an engine."""
        return self.overlay.limits_for(engine_id) if self.overlay is not None else ()

    def own_table(self, engine_id: str) -> Table:
        """The table with the owner's own tools for an engine."""
        overlay = self.overlay
        if overlay is None or not engine_id or engine_id != overlay.engine:
            return self.table
        found: Table = self.kept("own-table", overlay.digest, lambda: overlay.table_for(self.table, engine_id))
        return found

    def kept(self, kind: str, key: str, make: Callable[[], Any]) -> Any:
        """The dump of one record, made once."""
        found = self.records.get((kind, key))
        if found is None:
            found = self.records[(kind, key)] = make()
        return found


def shop() -> Shop:
    """The shared state of the application that answers now."""
    return cast(Shop, current_app.extensions[KEY])
