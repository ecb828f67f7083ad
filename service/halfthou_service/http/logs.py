"""Logs: one line of JSON to standard error for each event. Nothing global is configured, so an embedding program keeps its own."""

from __future__ import annotations

import sys
from typing import Any

import structlog

Log = Any
"""A bound structlog logger."""


class StandardError:
    """Writes a line to whatever ``sys.stderr`` is at that moment."""

    def msg(self, message: str) -> None:
        """Write one line."""
        print(message, file=sys.stderr, flush=True)

    debug = info = warning = error = critical = msg


def make_log(level: int) -> Log:
    """A logger that drops everything below ``level``."""
    return structlog.wrap_logger(
        StandardError(),
        processors=[
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.processors.ExceptionRenderer(structlog.tracebacks.ExceptionDictTransformer(show_locals=False)),
            structlog.processors.JSONRenderer(sort_keys=True),
        ],
        wrapper_class=structlog.make_filtering_bound_logger(level),
    )
