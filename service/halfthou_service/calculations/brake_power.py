"""Power at the shaft: arm brake, rope brake, torque, and what they say of mean pressure and friction."""

from __future__ import annotations

import math

from ._shared import CYCLE, TURNS_PER_FIRING, exactly_one, needed
from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def brake_power(
    speed: float,
    load: float | None = None,
    torque: float | None = None,
    power: float | None = None,
    slack_reading: float = 0.0,
    tare: float = 0.0,
    arm: float | None = None,
    drum_diameter: float | None = None,
    rope_diameter: float = 0.0,
    displacement: float | None = None,
    cycle: str = "four-stroke",
    indicated_power: float | None = None,
) -> Result:
    """Brake power, torque, brake mean effective pressure and mechanical efficiency.

    Equation:
        torque = (load - slack_reading - tare) R,  R = arm, or (drum_diameter + rope_diameter) / 2 for a rope;
        brake_power = 2 pi speed torque;  mean_effective_pressure = brake_power (turns per cycle) / (displacement speed);
        mechanical_efficiency = brake_power / indicated_power

    In:
        speed [rev/s]: crankshaft speed while the load was read
        load [N]: force at the end of the arm, or on the tight end of the rope
        torque [N.m]: torque, if it is known instead of a load
        power [W]: brake power, if torque or mean pressure is wanted from it
        slack_reading [N]: spring reading on the slack end of the rope
        tare [N]: what the scale reads with the brake slack
        arm [m]: from shaft centre square to the line of the load
        drum_diameter [m]: brake drum, for a rope
        rope_diameter [m]: rope; its middle runs half of it outside the drum
        displacement [m3]: swept volume of all cylinders, if mean pressure is wanted
        cycle [choice]: four-stroke or two-stroke
        indicated_power [W]: power in the cylinders, if the efficiency is wanted

    Out:
        brake_power [W]: power at the shaft
        torque [N.m]: turning moment at the shaft
        mean_effective_pressure [Pa]: brake mean effective pressure, every cycle firing
        mechanical_efficiency [1]: brake power over indicated power

    Valid:
        Steady speed and a steady load reading. With missed cycles the mean pressure is the mean over all of them,
        not that of a hit.

    Worked:
        4 ft arm, 60 lbf, 300 rpm: 13.709 hp (quoted [1]).

        >>> answer = brake_power(speed=5.0, load=60 * 4.4482216152605, arm=4 * 0.3048)
        >>> round(answer.values["brake_power"] / 745.69987158227, 2)
        13.71

        Net 1500 N on a 1.8 m drum with 20 mm rope, 300 rpm: 42.88 kW (quoted [2]).

        >>> answer = brake_power(speed=5.0, load=1500.0, drum_diameter=1.8, rope_diameter=0.02)
        >>> round(answer.values["brake_power"] / 1000, 2)
        42.88

    References:
        1. H. L. Solberg, Elementary Heat Power, ex. 3.7, p. 144, as keyed in an open textbook companion (quoted).
        2. R. K. Rajput, A Textbook of Internal Combustion Engines, ex. 17.9, p. 575, as keyed in an open textbook companion
           (quoted).
        3. E. J. Kates, Diesel and High Compression Gas Engines: Fundamentals, ch. 7 ex. 2, p. 111 and ch. 8 ex. 1, p. 125, as
           keyed in an open textbook companion (quoted).
        4. Technical manual TM 9-8000, para 2-31: arm brake (published).
        5. W. C. Runciman, Gas and Oil Engines Simply Explained, text page 29: rope brake (published).
    """
    which = exactly_one({"load": load, "torque": torque, "power": power})
    if which == "load" and load is not None:
        turning = _net(load, slack_reading, tare) * _radius(arm, drum_diameter, rope_diameter)
        made = 2.0 * math.pi * speed * turning
    elif which == "torque" and torque is not None:
        turning, made = torque, 2.0 * math.pi * speed * torque
    else:
        made = needed("power", power, "give load, torque or power")
        turning = made / (2.0 * math.pi * speed)
    flags: list[Flag] = []
    pressure = None
    if displacement is not None:
        pressure = made * TURNS_PER_FIRING[cycle] / (displacement * speed)
        flags.append(Flag("mean-over-all-cycles", "Mean pressure over all cycles; a hit-and-miss engine that missed some had more "
                          "in each hit."))  # fmt: skip
    efficiency = None if indicated_power is None else made / indicated_power
    if efficiency is not None and efficiency > 1.0:
        flags.append(Flag("more-out-than-in", "Brake power above indicated power cannot be: one of the two is measured wrong."))
    values = {"brake_power": made, "torque": turning, "mean_effective_pressure": pressure, "mechanical_efficiency": efficiency}
    return Result(values, tuple(flags))


def _net(load: float, slack: float, tare: float) -> float:
    net = load - slack - tare
    if net < 0.0:
        raise CalculationError("load", "is less than slack_reading and tare together; tight and slack end are swapped, or the tare "
                               "is wrong", "impossible")  # fmt: skip
    return net


def _radius(arm: float | None, drum: float | None, rope: float) -> float:
    if exactly_one({"arm": arm, "drum_diameter": drum}) == "arm":
        return needed("arm", arm, "a load needs arm or drum_diameter")
    return (needed("drum_diameter", drum, "a load needs arm or drum_diameter") + rope) / 2.0


CALCULATION = Calculation(
    id="brake-power",
    title="Brake power",
    inputs=(
        Input("speed", "rotational_speed", "rpm", "crankshaft speed", low=0.0, high=100.0, open_low=True),
        Input("load", "force", "lbf", "force on the arm or tight end", low=0.0, required=False),
        Input("torque", "torque", "lbf.ft", "torque, instead of a load", low=0.0, required=False),
        Input("power", "power", "hp", "brake power, to find torque or mean pressure", low=0.0, required=False),
        Input("slack_reading", "force", "lbf", "spring reading on the slack end", low=0.0, default=0.0),
        Input("tare", "force", "lbf", "reading with the brake slack", low=0.0, default=0.0),
        Input("arm", "length", "in", "arm, square to the load", low=0.0, high=10.0, open_low=True, required=False),
        Input("drum_diameter", "length", "in", "brake drum", low=0.0, high=10.0, open_low=True, required=False),
        Input("rope_diameter", "length", "in", "rope", low=0.0, high=0.2, default=0.0),
        Input("displacement", "volume", "in3", "swept volume of all cylinders", low=0.0, open_low=True, required=False),
        CYCLE,
        Input("indicated_power", "power", "hp", "power in the cylinders", low=0.0, open_low=True, required=False),
    ),
    outputs=(
        Output("brake_power", "power", "hp", "kW", "power at the shaft"),
        Output("torque", "torque", "lbf.ft", "N.m", "torque at the shaft"),
        Output("mean_effective_pressure", "pressure", "psi", "bar", "brake mean effective pressure over all cycles"),
        Output("mechanical_efficiency", "ratio", "percent", "percent", "brake power over indicated power"),
    ),
    run=brake_power,
    assumptions=("Speed and load steady, arm square to the pull.", "All the power goes into the brake: its drum gets hot fast."),
    references=("H. L. Solberg, Elementary Heat Power, ex. 3.7, p. 144 (quoted)",
                "R. K. Rajput, A Textbook of Internal Combustion Engines, ex. 17.9, p. 575 (quoted)",
                "E. J. Kates, Diesel and High Compression Gas Engines: Fundamentals, pp. 111 and 125 (quoted)",
                "Technical manual TM 9-8000, para 2-31 (published)",
                "W. C. Runciman, Gas and Oil Engines Simply Explained, text page 29 (published)"),
    cautions=("Stop the arm both ways and rope it down: a brake that grabs, or an engine that kicks, throws it.",
              "Nobody in the plane of the wheels or of the drum while the load is on (C053).",
              "Never brake on a cracked, welded or split wheel (C051)."),
)  # fmt: skip
