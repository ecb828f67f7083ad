"""Where the piston stands for a crank angle, and the crank angle for a piston travel."""

from __future__ import annotations

import math

from ._shared import GRAVITY, exactly_one, needed
from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def piston_position(
    stroke: float, rod_length: float, crank_angle: float | None = None, travel: float | None = None, speed: float | None = None
) -> Result:
    """Piston travel from inner dead centre by crank angle, and back; with speed also how fast and how hard.

    Equation:
        r = stroke / 2;  q = sqrt(rod_length^2 - r^2 sin^2 a);  travel = r (1 - cos a) + rod_length - q;
        back: s = r + rod_length - travel, cos a = (s^2 + r^2 - rod_length^2) / (2 r s);
        velocity = w (r sin a + r^2 sin a cos a / q),
        acceleration = w^2 (r cos a + r^2 cos 2a / q + r^4 sin^2 2a / (4 q^3)) / g,  w = 2 pi speed

    In:
        stroke [m]: stroke
        rod_length [m]: connecting rod, centre to centre
        crank_angle [rad]: a, crank angle past inner dead centre
        travel [m]: piston travel from inner dead centre, instead of the angle
        speed [rev/s]: crankshaft speed, if velocity and acceleration are wanted

    Out:
        travel [m]: piston travel from inner dead centre
        crank_angle [rad]: crank angle; the one under half a turn where travel is given
        share_of_stroke [1]: travel over stroke
        velocity [m/s]: piston speed, away from the head counted positive
        acceleration [1]: piston acceleration in multiples of standard gravity

    Valid:
        Wrist pin and crank in line with the cylinder; rod longer than the crank radius. Within about 10 degrees of a dead
        centre travel hardly tells an angle: find dead centre with a stop on both sides.

    Worked:
        Crank 60 mm, rod 240 mm, 12 mm of travel: 32 degrees read off a drawing (quoted [1]); 33.1 exactly.

        >>> round(math.degrees(piston_position(0.12, 0.24, travel=0.012).values["crank_angle"]), 1)
        33.1

        Crank 0.3 m, rod 1.5 m, 180 rpm, 40 degrees: 4.19 m/s by the short form (quoted [2]); 4.20 exactly.

        >>> round(piston_position(0.6, 1.5, crank_angle=math.radians(40), speed=3.0).values["velocity"], 2)
        4.2

    References:
        1. B. K. Sarkar, Theory of Machines, ch. 5, petrol-engine illustration, as keyed in an open textbook companion (quoted).
        2. R. S. Khurmi and J. K. Gupta, Theory of Machines, ex. 15.4, p. 528, as keyed in an open textbook companion (quoted).
    """
    r = stroke / 2.0
    if rod_length <= r:
        raise CalculationError("rod_length", "must be longer than half the stroke, or the crank could not pass", "impossible")
    flags: list[Flag] = []
    if exactly_one({"crank_angle": crank_angle, "travel": travel}) == "travel":
        a = _angle(r, rod_length, needed("travel", travel, "give crank_angle or travel"))
        flags.append(Flag("under-half-a-turn", "The travel is the same before and after dead centre; the angle is told as if after."))
        if min(a, math.pi - a) < math.radians(10.0):
            flags.append(Flag("near-dead-centre", "So near a dead centre a small slip in the travel is a large one in the angle. "
                              "Set a stop and halve the rim distance between the two touches instead."))  # fmt: skip
    else:
        a = needed("crank_angle", crank_angle, "give crank_angle or travel")
    q = math.sqrt(rod_length**2 - (r * math.sin(a)) ** 2)
    moved = r * (1.0 - math.cos(a)) + rod_length - q
    velocity = acceleration = None
    if speed is not None:
        w = 2.0 * math.pi * speed
        velocity = w * (r * math.sin(a) + r**2 * math.sin(a) * math.cos(a) / q)
        bend = r * math.cos(a) + r**2 * math.cos(2.0 * a) / q + r**4 * math.sin(2.0 * a) ** 2 / (4.0 * q**3)
        acceleration = w**2 * bend / GRAVITY
    if rod_length / r < 3.0:
        flags.append(Flag("short-rod", "Rod under three crank radii: possible, but check that rod_length is centre to centre."))
    values = {"travel": moved, "crank_angle": a, "share_of_stroke": moved / stroke, "velocity": velocity, "acceleration": acceleration}
    return Result(values, tuple(flags))


def _angle(r: float, rod: float, travel: float) -> float:
    if not 0.0 <= travel <= 2.0 * r * (1.0 + 1e-12):
        raise CalculationError("travel", "must lie between nothing and the whole stroke; at a dead centre it cannot carry an "
                               "uncertainty either, for it no longer tells the angle", "impossible")  # fmt: skip
    s = r + rod - travel
    return math.acos(max(-1.0, min(1.0, (s**2 + r**2 - rod**2) / (2.0 * r * s))))


CALCULATION = Calculation(
    id="piston-position",
    title="Piston position and crank angle",
    inputs=(
        Input("stroke", "length", "in", "stroke", low=0.005, high=3.0),
        Input("rod_length", "length", "in", "connecting rod, centre to centre", low=0.005, high=10.0),
        Input("crank_angle", "angle", "deg", "crank angle past inner dead centre", low=0.0, high=2.0 * math.pi, required=False),
        Input("travel", "length", "in", "piston travel from inner dead centre", low=0.0, high=3.0, required=False),
        Input("speed", "rotational_speed", "rpm", "crankshaft speed", low=0.0, high=100.0, required=False),
    ),
    outputs=(
        Output("travel", "length", "in", "mm", "piston travel from inner dead centre"),
        Output("crank_angle", "angle", "deg", "deg", "crank angle past inner dead centre"),
        Output("share_of_stroke", "ratio", "percent", "percent", "share of the stroke"),
        Output("velocity", "speed", "ft/min", "m/s", "piston speed at that angle"),
        Output("acceleration", "ratio", "ratio", "ratio", "piston acceleration as a multiple of gravity"),
    ),
    run=piston_position,
    assumptions=("Crankshaft and wrist pin lie on the centre line of the cylinder.", "Bearing slack is nothing; in a worn engine it "
                 "hides part of the travel at each dead centre.", "Speed is steady through the turn."),
    references=("B. K. Sarkar, Theory of Machines, ch. 5, petrol-engine illustration (quoted)",
                "R. S. Khurmi and J. K. Gupta, Theory of Machines, ex. 15.4, p. 528 (quoted)"),
    cautions=("Ignition dead, fuel shut, exhaust held open before the engine is turned to an angle (C048).",),
)  # fmt: skip
