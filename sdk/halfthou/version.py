"""The version of the installed package."""

from __future__ import annotations


def version() -> str:
    """The installed version, or ``0+source`` in a tree that was never installed."""
    from importlib.metadata import PackageNotFoundError
    from importlib.metadata import version as installed

    try:
        return installed("halfthou")
    except PackageNotFoundError:
        return "0+source"
