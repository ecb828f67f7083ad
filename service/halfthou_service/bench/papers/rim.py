"""The speed at which the rim of this engine's wheel reaches the line where the table stops."""

from __future__ import annotations

import math

from halfthou_specdb.rules import Open
from halfthou_specdb.units import UNITS

from ..decide import hard_interval
from ..readings import ReadingProblem
from ..verdict import Bench

NOT_WHOLE = ("STOP. The engine is said to have a flywheel in halves, jointed, welded or repaired: no speed is on file at which such a wheel is run. "
             "Do not run it.")  # fmt: skip
RETIRE = "Replace it with a sound one-piece wheel, or retire it."


def rim_forbidden(bench: Bench) -> bool:
    """Whether the table runs this engine's wheel at no speed at all, as it does not run a jointed or repaired one."""
    rpm = rim_stop_rpm(bench)
    return rpm == 0 or (rpm is None and "jointed-flywheel" in bench.engine.features)


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
