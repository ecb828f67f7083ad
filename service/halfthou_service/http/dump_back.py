"""The lines of a report of finished sizes, blank: as ``/v1/parts-back`` takes them when they are filled."""

from __future__ import annotations

from typing import Any

from halfthou_specdb.quantity import Quantity

from ..bench.papers.parts_back import BackLine


def blank(line: BackLine) -> dict[str, Any]:
    """One line with the limits ordered and no figure."""
    ends = (line.low, line.high)
    return {
        "part": line.part, "what": line.what, "station": line.station or None, "axis": line.axis or None, "unit": line.unit or None,
        "ordered": None if ends == (None, None) else {"low": _end(line.low), "high": _end(line.high)}, "reported": None, "measured": None,
    }  # fmt: skip


def _end(found: Quantity | None) -> dict[str, Any] | None:
    return None if found is None else {"value": found.value, "unit": found.unit.token}
