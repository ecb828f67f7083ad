"""Power inside the cylinder: mean pressure, length, area and the number of working strokes."""

from __future__ import annotations

import math

from ._shared import CYCLE, CYLINDERS, TURNS_PER_FIRING, needed, whole
from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def indicated_power(
    mean_effective_pressure: float,
    bore: float,
    stroke: float,
    cylinders: float = 1.0,
    cycle: str = "four-stroke",
    speed: float | None = None,
    firings: float | None = None,
    counted_over: float | None = None,
) -> Result:
    """Indicated power by the P L A N rule, counting the hits of an engine that does not fire every cycle.

    Equation:
        indicated_power = mean_effective_pressure stroke (pi / 4) bore^2 n cylinders,
        n = firings / counted_over where hits are counted, else speed / (turns per cycle)

    In:
        mean_effective_pressure [Pa]: mean indicated pressure over one working cycle
        bore [m]: cylinder bore
        stroke [m]: stroke
        cylinders [count]: number of cylinders
        cycle [choice]: four-stroke (two turns for each possible firing) or two-stroke (one)
        speed [rev/s]: crankshaft speed
        firings [count]: hits counted in one cylinder
        counted_over [s]: time over which they were counted

    Out:
        indicated_power [W]: power in all the cylinders
        firing_share [1]: hits over possible firings, where both hits and speed are given

    Valid:
        Single-acting cylinders. A hit-and-miss engine must be counted: speed alone takes every cycle as a hit.

    Worked:
        6 bar, 110 mm by 140 mm, 1000 rpm, two-stroke, one cylinder: 13.3 kW (quoted [1]).

        >>> answer = indicated_power(6e5, bore=0.11, stroke=0.14, cycle="two-stroke", speed=1000 / 60)
        >>> round(answer.values["indicated_power"] / 1000, 1)
        13.3

        5.64 bar, 270 mm by 450 mm, 3230 hits in 38.5 min: 20.3 kW (own arithmetic on the figures of [3]).

        >>> answer = indicated_power(5.64e5, bore=0.27, stroke=0.45, firings=3230, counted_over=38.5 * 60)
        >>> round(answer.values["indicated_power"] / 1000, 1)
        20.3

    References:
        1. R. K. Rajput, A Textbook of Internal Combustion Engines, ex. 17.1, p. 570, as keyed in an open textbook companion
           (quoted).
        2. H. L. Solberg, Elementary Heat Power, ex. 3.6, p. 143, as keyed in an open textbook companion (quoted).
        3. Internal-combustion engine textbook, ex. 18.10 of an open textbook companion: test of a slow hit-and-miss gas engine
           (inputs published, answer derived).
        4. J. B. Rathbun, Practical Hand Book of Gas, Oil and Steam Engines, text page 11: the rule, and explosions counted
           (published).
    """
    possible = None if speed is None else speed / TURNS_PER_FIRING[cycle]
    share = None
    flags: tuple[Flag, ...] = ()
    if firings is not None or counted_over is not None:
        why = "hits need both firings and counted_over"
        rate = needed("firings", firings, why) / needed("counted_over", counted_over, why)
        if possible is not None:
            share = rate / possible if possible > 0.0 else None
            if rate > possible * 1.02:
                raise CalculationError("firings", f"{rate * 60:.4g} a minute are more than a {cycle} engine at this speed can "
                                       f"make ({possible * 60:.4g}); count again or check cycle and speed", "impossible")  # fmt: skip
    else:
        if possible is None:
            raise CalculationError("speed", "is missing: give speed, or firings with counted_over", "missing-input")
        rate = possible
        flags = (Flag("every-cycle-fires", "Every cycle is taken as a hit. Count the hits of a hit-and-miss engine."),)
    power = mean_effective_pressure * stroke * math.pi / 4.0 * bore**2 * rate * whole("cylinders", cylinders)
    return Result({"indicated_power": power, "firing_share": share}, flags)


CALCULATION = Calculation(
    id="indicated-power",
    title="Indicated power",
    inputs=(
        Input("mean_effective_pressure", "pressure", "psi", "mean indicated pressure", low=0.0, high=5e6),
        Input("bore", "length", "in", "cylinder bore", low=0.005, high=2.0),
        Input("stroke", "length", "in", "stroke", low=0.005, high=3.0),
        CYLINDERS,
        CYCLE,
        Input("speed", "rotational_speed", "rpm", "crankshaft speed", low=0.0, high=100.0, open_low=True, required=False),
        Input("firings", "count", "count", "hits counted in one cylinder", low=0.0, required=False),
        Input("counted_over", "time", "min", "time over which the hits were counted", low=0.0, open_low=True, required=False),
    ),
    outputs=(
        Output("indicated_power", "power", "hp", "kW", "power in the cylinders"),
        Output("firing_share", "ratio", "percent", "percent", "hits as a share of the possible firings"),
    ),
    run=indicated_power,
    assumptions=("Single-acting cylinders, all alike.",
                 "The mean pressure is that of a cycle that fires; a period handbook's 75 psi is generous for small hopper engines."),
    references=("R. K. Rajput, A Textbook of Internal Combustion Engines, ex. 17.1, p. 570 (quoted)",
                "H. L. Solberg, Elementary Heat Power, ex. 3.6, p. 143 (quoted)",
                "Slow gas-engine test, ex. 18.10 of an open textbook companion (inputs published, answer derived)",
                "J. B. Rathbun, Practical Hand Book of Gas, Oil and Steam Engines, text page 11 (published)"),
)  # fmt: skip
