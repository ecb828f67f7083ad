"""Errors of the standard tables.

StandardsError
├── UnknownDesignation   no fit is written so; carries near matches
├── OutsideTable         the size, grade or pitch lies outside what the table gives; the message names the range
└── NotPublished         nobody publishes this figure; carries what to do instead
"""

from __future__ import annotations

from ..errors import SpecdbError


class StandardsError(SpecdbError):
    """Root of what the standard tables refuse."""


class UnknownDesignation(StandardsError):
    """No fit is written so. ``near`` holds up to three that look like it."""

    def __init__(self, message: str, near: tuple[str, ...] = ()) -> None:
        hint = f"; did you mean {', '.join(near)}?" if near else ""
        super().__init__(message + hint)
        self.near = near


class OutsideTable(StandardsError):
    """Outside what the table gives; nothing is extrapolated. ``about``: what lies outside, such as ``size`` or ``centres``."""

    def __init__(self, message: str, about: str = "size") -> None:
        super().__init__(message)
        self.about = about


class NotPublished(StandardsError):
    """An honest refusal: no work was found that states the figure. ``instead`` says what to do."""

    def __init__(self, reason: str, instead: str) -> None:
        super().__init__(f"{reason} {instead}")
        self.reason, self.instead = reason, instead
