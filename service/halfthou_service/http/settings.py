"""Settings of the service: one frozen object, read from the environment, every bad name reported at once."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

PREFIX = "HALFTHOU_"
OTHERS = frozenset({"HALFTHOU_CACHE", "HALFTHOU_URL"})
"""Names that other parts of halfthou read."""
LOG_LEVELS = ("debug", "info", "warning", "error")


class SettingsError(ValueError):
    """One or more settings cannot be used. ``faults`` holds a line for each."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        super().__init__("; ".join(faults))
        self.faults = faults


@dataclass(frozen=True, slots=True)
class Settings:
    """How the service runs.

    ``overlay``: path of the owner's own figures, or empty. ``rate_limit``: requests a minute from one address, 0 for no limit.
    ``max_body``: bytes. ``max_items``: readings of one sheet.
    """

    host: str = "127.0.0.1"
    port: int = 8070
    overlay: str = ""
    rate_limit: int = 0
    max_body: int = 2 * 2**20
    max_items: int = 5_000
    log_level: str = "warning"

    @classmethod
    def from_environment(cls, environ: Mapping[str, str] | None = None) -> Settings:
        """Read every ``HALFTHOU_`` name of the environment.

        Raises:
            SettingsError: values that cannot be used, and names that look like a setting misspelt; all of them.
        """
        given = os.environ if environ is None else environ
        values: dict[str, Any] = {}
        faults: list[str] = []
        for name in sorted(n for n in given if n.startswith(PREFIX)):
            setting = SETTINGS.get(name)
            if setting is None:
                near = get_close_matches(name, SETTINGS, n=1, cutoff=0.8)
                if near and name not in OTHERS:
                    faults.append(f"{name} is not a setting; did you mean {near[0]}?")
                continue
            text = given[name].strip()
            if not text:
                continue
            try:
                values[setting.field] = setting.read(text)
            except ValueError as error:
                faults.append(f"{name}: {error}")
        if faults:
            raise SettingsError(tuple(faults))
        return cls(**values)


@dataclass(frozen=True, slots=True)
class Setting:
    """One name of the environment: the field it fills, how its text is read, what it means."""

    field: str
    read: Callable[[str], Any]
    says: str


def _number(low: int, high: int) -> Callable[[str], int]:
    def read(text: str) -> int:
        if not (text.isascii() and text.isdigit() and len(text) <= 12 and low <= int(text) <= high):
            raise ValueError(f"{text[:40]!r} is not a whole number from {low} to {high}")
        return int(text)

    return read


def _level(text: str) -> str:
    if text.lower() not in LOG_LEVELS:
        raise ValueError(f"{text[:40]!r} is not one of {', '.join(LOG_LEVELS)}")
    return text.lower()


def _host(text: str) -> str:
    if any(c.isspace() or c == "/" for c in text) or len(text) > 253:
        raise ValueError(f"{text[:40]!r} is not a host name or address")
    return text


def _file(text: str) -> str:
    if not os.path.isfile(text):
        raise ValueError(f"{text[:200]!r} is not a file")
    return text


SETTINGS: dict[str, Setting] = {
    "HALFTHOU_HOST": Setting("host", _host, "address to listen on; loopback unless you say otherwise"),
    "HALFTHOU_PORT": Setting("port", _number(1, 65_535), "port to listen on"),
    "HALFTHOU_OVERLAY": Setting("overlay", _file, "a TOML file of the owner's own figures for one engine"),
    "HALFTHOU_RATE_LIMIT": Setting("rate_limit", _number(0, 1_000_000), "requests a minute from one address; 0 for no limit"),
    "HALFTHOU_MAX_BODY": Setting("max_body", _number(1_024, 64 * 2**20), "largest request body, in bytes"),
    "HALFTHOU_MAX_ITEMS": Setting("max_items", _number(1, 50_000), "most readings of one sheet"),
    "HALFTHOU_LOG_LEVEL": Setting("log_level", _level, f"{', '.join(LOG_LEVELS)}; info gives a line for each request"),
}
"""Every setting by its name in the environment."""


def settings_help() -> str:
    """One line for each setting: name, default, meaning."""
    plain = Settings()
    return "\n".join(f"{name} (default {getattr(plain, s.field)!r}): {s.says}" for name, s in SETTINGS.items())
