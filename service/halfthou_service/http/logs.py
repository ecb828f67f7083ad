"""Logs: one line of JSON to standard error for each event. Nothing global is configured, so an embedding program keeps its own."""

from __future__ import annotations

import logging
import sys
from functools import cached_property
from typing import Any


class StandardError:
    """Writes a line to whatever ``sys.stderr`` is at that moment."""

    def msg(self, message: str) -> None:
        """Write one line."""
        print(message, file=sys.stderr, flush=True)

    debug = info = warning = error = critical = msg


class Log:
    """Drops everything below ``level``; the logging library is imported with the first line that is written."""

    def __init__(self, level: int) -> None:
        self.level = level

    def info(self, event: str, **fields: Any) -> None:
        """Something that happened."""
        self._say(logging.INFO, event, fields)

    def error(self, event: str, **fields: Any) -> None:
        """Something that should not have happened."""
        self._say(logging.ERROR, event, fields)

    def _say(self, level: int, event: str, fields: dict[str, Any]) -> None:
        if level >= self.level:
            getattr(self._logger, logging.getLevelName(level).lower())(event, **fields)

    @cached_property
    def _logger(self) -> Any:
        import structlog

        return structlog.wrap_logger(
            StandardError(),
            processors=[
                structlog.processors.add_log_level,
                structlog.processors.TimeStamper(fmt="iso", utc=True),
                structlog.processors.ExceptionRenderer(structlog.tracebacks.ExceptionDictTransformer(show_locals=False)),
                structlog.processors.JSONRenderer(sort_keys=True),
            ],
        )


def make_log(level: int) -> Log:
    """A logger that drops everything below ``level``."""
    return Log(level)
