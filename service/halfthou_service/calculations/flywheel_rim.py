"""Rim speed and rim stress of a sound one-piece cast wheel; every other wheel is refused."""

from __future__ import annotations

import math

from .frame import Calculation, CalculationError, Flag, Input, Output, Result

FOOT_A_MINUTE = 0.3048 / 60.0
WARN_RIM_SPEED = 4500.0 * FOOT_A_MINUTE
STOP_RIM_SPEED = 5000.0 * FOOT_A_MINUTE
SOUND = "one-piece-sound"
REFUSALS = {
    "jointed": "a jointed or split rim can be a quarter as strong as a solid one, and no figure can see the joint",
    "cracked": "a cracked wheel has no safe speed; a crack in rim, spoke, hub or keyway grows with every turn",
    "welded-or-repaired": "the strength of a weld or repair in old cast iron is not known, and no figure can see it",
}


def flywheel_rim(diameter: float, speed: float, construction: str, density: float = 7200.0, section: str = "rim", poisson: float = 0.27) -> Result:
    """Rim speed and hoop stress of a wheel, and the speeds at which to worry and to stop.

    Equation:
        rim_speed = pi diameter speed;  hoop_stress = density rim_speed^2 for any rim section;
        at the middle of a solid disc, density rim_speed^2 (3 + poisson) / 8;  stop_speed = 5000 ft/min / (pi diameter)

    In:
        diameter [m]: outside diameter of the wheel
        speed [rev/s]: speed, the greatest it can reach and not only the governed one
        construction [choice]: one-piece-sound, jointed, cracked or welded-or-repaired; only the first is answered
        density [kg/m3]: density of the wheel
        section [choice]: rim on spokes, or solid-disc
        poisson [1]: Poisson's ratio, for a disc

    Out:
        rim_speed [m/s]: speed of the rim
        hoop_stress [Pa]: stress from spinning alone
        warn_speed [rev/s]: speed of this wheel at 4500 ft/min
        stop_speed [rev/s]: speed of this wheel at 5000 ft/min
        answer [text]: what to do

    Valid:
        A one-piece cast wheel found sound. Stress from spokes, keys, casting and shock comes on top and is not told; there is no
        burst speed here on purpose. Twice the speed is four times the stress.

    Worked:
        7 MPa in a 0.744 m rim of 7200 kg/m3 at 800 rpm (quoted [1]).

        >>> found = flywheel_rim(0.744, 800 / 60, "one-piece-sound").values
        >>> round(found["hoop_stress"] / 1e6, 1), found["answer"].split(":")[0]
        (7.0, 'Stop')

        Solid disc, 0.364 m radius, 250 rpm, 7800 kg/m3: 0.29 MPa (quoted [2]).

        >>> round(flywheel_rim(0.728, 250 / 60, "one-piece-sound", 7800.0, "solid-disc", 0.3).values["hoop_stress"] / 1e6, 2)
        0.29

    References:
        1. R. S. Khurmi and J. K. Gupta, Theory of Machines, ex. 16.14, p. 592, as keyed in an open textbook companion (quoted).
        2. U. C. Jindal, Machine Design, ex. 19-5, p. 533, as keyed in an open textbook companion (quoted).
        3. Four rim speeds were met: 5000, 5280, 5500 and 6000 ft/min; the lowest stops, 4500 to warn is our judgement (derived).
        4. Newspaper summary of a government inspection report, 1921: some rim joints have a quarter of the strength (published).
    """
    if construction != SOUND:
        raise CalculationError("construction", f"no speed is told: {REFUSALS[construction]}. Do not run this wheel at any speed", "refused")
    rim = math.pi * diameter * speed
    stress = density * rim**2 * ((3.0 + poisson) / 8.0 if section == "solid-disc" else 1.0)
    flags = []
    if rim >= STOP_RIM_SPEED:
        flags.append(Flag("stop", "At or over 5000 ft/min at the rim: do not run at this speed."))
        answer = "Stop: the rim would be at or over 5000 ft/min. Do not run it so fast; see to the governor first."
    elif rim >= WARN_RIM_SPEED:
        flags.append(Flag("warn", "Over 4500 ft/min at the rim: a governor that sticks takes it past 5000."))
        answer = "Slow it down: the rim is over 4500 ft/min, and a governor that sticks takes it past 5000."
    else:
        answer = "Under the speed at which this table warns. It knows nothing of cracks, keys or loose hubs: look and ring the wheel first."
    values: dict[str, float | str | bool | None] = {
        "rim_speed": rim, "hoop_stress": stress, "warn_speed": WARN_RIM_SPEED / (math.pi * diameter),
        "stop_speed": STOP_RIM_SPEED / (math.pi * diameter), "answer": answer,
    }  # fmt: skip
    return Result(values, tuple(flags))


CALCULATION = Calculation(
    id="flywheel-rim",
    title="Flywheel rim speed and stress",
    inputs=(
        Input("diameter", "length", "in", "outside diameter of the wheel", low=0.05, high=6.0),
        Input("speed", "rotational_speed", "rpm", "the greatest speed it can reach", low=0.0, high=200.0),
        Input("construction", "choice", "", "how the wheel is made and what was found on it", choices=(SOUND, *REFUSALS)),
        Input("density", "density", "g/cm3", "density of the wheel", low=1000.0, high=9000.0, default=7200.0),
        Input("section", "choice", "", "rim on spokes or solid disc", default="rim", choices=("rim", "solid-disc")),
        Input("poisson", "ratio", "ratio", "Poisson's ratio, for a disc", low=0.0, high=0.5, default=0.27),
    ),
    outputs=(
        Output("answer", "text", "", "", "what to do"),
        Output("rim_speed", "speed", "ft/min", "m/s", "speed of the rim"),
        Output("hoop_stress", "pressure", "psi", "MPa", "stress from spinning alone"),
        Output("warn_speed", "rotational_speed", "rpm", "rpm", "speed of this wheel at 4500 ft/min"),
        Output("stop_speed", "rotational_speed", "rpm", "rpm", "speed of this wheel at 5000 ft/min"),
    ),
    run=flywheel_rim,
    assumptions=("You looked at the wheel clean and dry, rang it, and found no crack in rim, spokes, hub and keyway.",
                 "Spokes, keys, shock and the stresses left from casting come on top and are not told."),
    references=("R. S. Khurmi and J. K. Gupta, Theory of Machines, ex. 16.14, p. 592 (quoted)",
                "U. C. Jindal, Machine Design, ex. 19-5, p. 533 (quoted)",
                "Lowest of four rim speeds met, 5000 ft/min; warning from 4500 (derived)",
                "Government inspection report, newspaper summary, 1921 (published)"),
    cautions=(
        "A bursting flywheel kills. Nobody stands in the plane of the wheels while the engine is brought up to speed (C053).",
        "No formula passes a cracked, welded or jointed wheel (C027, C051).",
        "Check the keys before every run: a wheel can walk off its shaft (C028).",
        "Keep people, sleeves and children outside rails or covers: a turning spoke is not seen (C025, C026).",
    ),
)  # fmt: skip
