"""The speed at which the rim of this engine's wheel reaches the line where the table stops."""

from __future__ import annotations

import math

from halfthou_specdb.rules import Open
from halfthou_specdb.units import UNITS

from ..decide import hard_interval
from ..readings import ReadingProblem
from ..verdict import Bench


def rim_stop_rpm(bench: Bench) -> int | None:
    """Rev/min, rounded down; None without a wheel or a limit. It holds for a sound wheel cast in one piece and no other."""
    what = bench.table.characteristics.get("flywheel-rim-speed")
    wheel = bench.engine.dimensions.get("flywheel")
    if what is None or wheel is None:
        return None
    try:
        found = bench.limit_for(what)
    except ReadingProblem:
        return None
    if found.fit is None or found.wear is None:
        return None
    high = hard_interval(found.fit, found.wear).high
    if isinstance(high, Open):
        return None
    speed = float(high * found.fit.unit.factor / UNITS["m/s"].factor)
    return int(speed * 60.0 / (math.pi * float(wheel.canonical)))
