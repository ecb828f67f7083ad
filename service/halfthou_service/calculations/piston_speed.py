"""Mean piston speed."""

from __future__ import annotations

from ._shared import exactly_one, needed
from .frame import Calculation, Flag, Input, Output, Result

_FEET_PER_MINUTE = 0.3048 / 60.0


def piston_speed(stroke: float, speed: float | None = None, mean_piston_speed: float | None = None) -> Result:
    """Mean speed of the piston, or the crank speed that gives one.

    Equation:
        mean_piston_speed = 2 stroke speed

    In:
        stroke [m]: stroke
        speed [rev/s]: crankshaft speed
        mean_piston_speed [m/s]: wanted mean piston speed, instead of speed

    Out:
        mean_piston_speed [m/s]: distance the piston travels in a second, both ways
        speed [rev/s]: the crankshaft speed that goes with it

    Valid:
        Any crank; the greatest speed within a stroke is about 1.6 times the mean. Rules for slow engines are
        for 300 to 500 ft/min or so.

    Worked:
        4.5 in stroke at 1600 rpm: 1200 ft/min (quoted [1]).

        >>> round(piston_speed(stroke=4.5 * 0.0254, speed=1600 / 60).values["mean_piston_speed"] / (0.3048 / 60), 6)
        1200.0

    References:
        1. E. J. Kates, Diesel and High Compression Gas Engines: Fundamentals, ch. 4 ex. 3, p. 63, as keyed in an open textbook
           companion (quoted).
    """
    if exactly_one({"speed": speed, "mean_piston_speed": mean_piston_speed}) == "speed":
        turning = needed("speed", speed, "give speed or mean_piston_speed")
        mean = 2.0 * stroke * turning
    else:
        mean = needed("mean_piston_speed", mean_piston_speed, "give speed or mean_piston_speed")
        turning = mean / (2.0 * stroke)
    flags: tuple[Flag, ...] = ()
    if mean > 1000.0 * _FEET_PER_MINUTE:
        flags = (Flag("fast", "Over 1000 ft/min: faster than any rule here for slow engines was meant for. Check the flywheel rim "
                      "speed before the engine is ever run so."),)  # fmt: skip
    return Result({"mean_piston_speed": mean, "speed": turning}, flags)


CALCULATION = Calculation(
    id="piston-speed",
    title="Mean piston speed",
    inputs=(
        Input("stroke", "length", "in", "stroke", low=0.005, high=3.0),
        Input("speed", "rotational_speed", "rpm", "crankshaft speed", low=0.0, high=100.0, required=False),
        Input("mean_piston_speed", "speed", "ft/min", "mean piston speed, to find the crank speed", low=0.0, high=30.0,
              required=False),
    ),
    outputs=(
        Output("mean_piston_speed", "speed", "ft/min", "m/s", "mean speed of the piston"),
        Output("speed", "rotational_speed", "rpm", "rpm", "crankshaft speed"),
    ),
    run=piston_speed,
    assumptions=("Mean over the whole stroke, not the greatest speed in it.",),
    references=("E. J. Kates, Diesel and High Compression Gas Engines: Fundamentals, ch. 4 ex. 3, p. 63 (quoted)",),
    cautions=("A speed found here is no leave to run it: rim speed and wheel come first (C027).",),
)  # fmt: skip
