"""What a flywheel stores, how far one cycle swings its speed, and what it can lend."""

from __future__ import annotations

import math

from .frame import Calculation, CalculationError, Flag, Input, Output, Result

WIDE_SWING = 0.2


def swing_energy(power: float, speed: float, expansion_ratio: float) -> float:
    """Energy [J] a four-stroke single stores and gives back, firing every cycle, with a triangular torque on the power stroke.

    >>> round(swing_energy(20e3, 5.0, 1.5))
    10083
    """
    cycle = 2.0 * power / speed
    expansion = expansion_ratio * cycle
    peak, mean = 2.0 * expansion / math.pi, cycle / (4.0 * math.pi)
    return expansion * ((peak - mean) / peak) ** 2


def flywheel_energy(
    speed: float,
    mass: float | None = None,
    radius_of_gyration: float | None = None,
    energy_swing: float | None = None,
    power: float | None = None,
    expansion_ratio: float = 1.5,
    wanted_swing: float | None = None,
    energy_drawn: float | None = None,
) -> Result:
    """Energy in a flywheel, its swing of speed over a cycle, the wheel needed for a wanted swing, and speed after a draw.

    Equation:
        I = mass radius_of_gyration^2, w = 2 pi speed;  energy_stored = I w^2 / 2;  swing_coefficient = energy_swing / (I w^2);
        fastest, slowest = speed (1 +- swing_coefficient / 2);  mass_needed = energy_swing / (w^2 radius_of_gyration^2 wanted_swing);
        speed_after = sqrt(w^2 - 2 energy_drawn / I) / 2 pi;  four-stroke single, triangular power stroke of work
        E = 2 power expansion_ratio / speed and peak torque 2 E / pi over a mean power / w: energy_swing = E (1 - mean/peak)^2

    In:
        speed [rev/s]: mean speed, or the speed before the draw
        mass [kg]: mass of the wheel or wheels together
        radius_of_gyration [m]: radius of gyration; for a heavy rim, about the middle of the rim
        energy_swing [J]: energy stored and given back in a cycle, if known
        power [W]: power of a four-stroke single, from which the swing is worked out instead
        expansion_ratio [1]: work of the power stroke over net work of the cycle
        wanted_swing [1]: wanted (fastest less slowest) over mean
        energy_drawn [J]: energy taken out in one go

    Out:
        energy_stored [J]: energy in the wheel
        energy_swing [J]: energy stored and given back in a cycle
        swing_coefficient [1]: (fastest less slowest) over mean, all of it and not plus-or-minus
        fastest [rev/s]: fastest in the cycle
        slowest [rev/s]: slowest in the cycle
        mass_needed [kg]: mass at that radius of gyration for the wanted swing
        speed_after [rev/s]: speed after the draw

    Valid:
        Stiff shaft, small swing. Hit-and-miss running coasts over many turns between hits: draw the coasting as energy_drawn.

    Worked:
        6500 kg at 1.8 m, 120 rpm, 56 kJ: 121 to 119 rpm (quoted [1]).

        >>> found = flywheel_energy(2.0, 6500.0, 1.8, energy_swing=56e3).values
        >>> round(found["fastest"] * 60), round(found["slowest"] * 60)
        (121, 119)

        20 kW at 300 rpm, swing 0.04, expansion 1.5 times net: 255.4 kg m2 (quoted [2]).

        >>> round(flywheel_energy(5.0, None, 1.0, power=20e3, wanted_swing=0.04).values["mass_needed"], 1)
        255.4

    References:
        1. R. S. Khurmi and J. K. Gupta, Theory of Machines, ex. 16.1 and 16.2, p. 573, and ex. 16.21, p. 604, as keyed in an open
           textbook companion (quoted).
        2. The same, ex. 16.9, p. 582 (quoted).
    """
    if energy_swing is not None and power is not None:
        raise CalculationError("power", "is one too many beside energy_swing: give only one of them", "too-many-inputs")
    omega = 2.0 * math.pi * speed
    flags: list[Flag] = []
    if power is not None:
        energy_swing = swing_energy(power, speed, expansion_ratio)
        flags.append(Flag("triangular-torque", "The swing was taken from a triangular power stroke, four-stroke, one cylinder, firing every "
                          "cycle; a hit-and-miss engine swings more."))  # fmt: skip
    inertia = None if mass is None or radius_of_gyration is None else mass * radius_of_gyration**2
    values: dict[str, float | str | bool | None] = {"energy_swing": energy_swing}
    if inertia is not None:
        values["energy_stored"] = inertia * omega**2 / 2.0
        if energy_swing is not None:
            coefficient = energy_swing / (inertia * omega**2)
            values |= {"swing_coefficient": coefficient, "fastest": speed * (1.0 + coefficient / 2.0), "slowest": speed * (1.0 - coefficient / 2.0)}
            if coefficient > WIDE_SWING:
                flags.append(Flag("wide-swing", "Speed swings by more than a fifth: the small-swing formula is rough here."))
        if energy_drawn is not None:
            left = omega**2 - 2.0 * energy_drawn / inertia
            if left < 0.0:
                raise CalculationError("energy_drawn", "is more than the wheel holds", "impossible")
            values["speed_after"] = math.sqrt(left) / (2.0 * math.pi)
    elif energy_drawn is not None or wanted_swing is None:
        name = "mass" if mass is None else "radius_of_gyration"
        raise CalculationError(name, "is missing: a wheel is told by its mass and radius of gyration", "missing-input")
    if wanted_swing is not None:
        if energy_swing is None or radius_of_gyration is None:
            name = "energy_swing" if energy_swing is None else "radius_of_gyration"
            raise CalculationError(name, "is missing: the mass needed follows from the swing of energy and the radius of gyration", "missing-input")
        values["mass_needed"] = energy_swing / (omega * radius_of_gyration) ** 2 / wanted_swing
    return Result(values, tuple(flags))


CALCULATION = Calculation(
    id="flywheel-energy",
    title="Flywheel energy and steadiness",
    inputs=(
        Input("speed", "rotational_speed", "rpm", "mean speed, or speed before the draw", low=0.0, high=200.0, open_low=True),
        Input("mass", "mass", "lb", "mass of the wheels together", low=0.0, high=1e5, open_low=True, required=False),
        Input("radius_of_gyration", "length", "in", "radius of gyration", low=0.0, high=5.0, open_low=True, required=False),
        Input("energy_swing", "energy", "ft.lbf", "energy stored and given back in a cycle", low=0.0, high=1e8, required=False),
        Input("power", "power", "hp", "power of a four-stroke single, instead", low=0.0, high=1e6, open_low=True, required=False),
        Input("expansion_ratio", "ratio", "ratio", "work of the power stroke over net work", low=1.0, high=3.0, default=1.5),
        Input("wanted_swing", "ratio", "ratio", "wanted swing over mean speed", low=0.0, high=1.0, open_low=True, required=False),
        Input("energy_drawn", "energy", "ft.lbf", "energy taken out in one go", low=0.0, high=1e9, required=False),
    ),
    outputs=(
        Output("energy_stored", "energy", "ft.lbf", "kJ", "energy in the wheel"),
        Output("energy_swing", "energy", "ft.lbf", "kJ", "energy stored and given back in a cycle"),
        Output("swing_coefficient", "ratio", "percent", "percent", "fastest less slowest, over mean"),
        Output("fastest", "rotational_speed", "rpm", "rpm", "fastest in the cycle"),
        Output("slowest", "rotational_speed", "rpm", "rpm", "slowest in the cycle"),
        Output("mass_needed", "mass", "lb", "kg", "mass for the wanted swing"),
        Output("speed_after", "rotational_speed", "rpm", "rpm", "speed after the draw"),
    ),
    run=flywheel_energy,
    assumptions=("The swing is all of it, fastest less slowest over mean; some works quote half of that as plus-or-minus.",
                 "A heavier or faster wheel stores more to burst with: see flywheel-rim before adding mass or speed."),
    references=("R. S. Khurmi and J. K. Gupta, Theory of Machines, ex. 16.1, 16.2, 16.9 and 16.21 (quoted)",),
    cautions=("A turning wheel holds this energy until it stands still: keep hands, belts and cranks away until then (C025).",),
)  # fmt: skip
