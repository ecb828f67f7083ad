"""Length of a parallel key for its torque, and the stress in one that is there."""

from __future__ import annotations

import math

from ._shared import exactly_one, needed
from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def key_strength(
    shaft_diameter: float,
    key_width: float,
    key_height: float,
    shear_strength: float,
    crushing_strength: float,
    safety_factor: float,
    torque: float | None = None,
    power: float | None = None,
    speed: float | None = None,
    key_length: float | None = None,
) -> Result:
    """Key length that carries a torque in shear and in crushing, with a factor.

    Equation:
        T = torque, or power / (2 pi speed);  length_for_shear = 2 T safety_factor / (shear_strength key_width shaft_diameter);
        length_for_crushing = 4 T safety_factor / (crushing_strength key_height shaft_diameter);
        shear_stress = 2 T / (shaft_diameter key_width key_length);  crushing_stress = 4 T / (shaft_diameter key_height key_length)

    In:
        shaft_diameter [m]: shaft diameter
        key_width [m]: key width
        key_height [m]: whole height of the key, half of it in the shaft
        shear_strength [Pa]: shear strength of the key
        crushing_strength [Pa]: compressive strength of the weakest of key, shaft and hub
        safety_factor [1]: factor wanted; an engine's impulses ask for a large one
        torque [N.m]: greatest torque, not the mean
        power [W]: power, instead of torque
        speed [rev/s]: speed, with power
        key_length [m]: length of the key that is there

    Out:
        torque [N.m]: torque used
        length_for_shear [m]: length that carries it in shear
        length_for_crushing [m]: length that carries it in crushing
        length_needed [m]: the longer of the two
        shear_stress [Pa]: shear in the key that is there
        crushing_stress [Pa]: crushing on the key that is there
        factor [1]: the smaller factor of the key that is there

    Valid:
        Snug parallel key, half in the shaft, torque one way. A loose or tapered key, a worn seat and hammering are not in it.

    Worked:
        5 hp at 1750 rpm, 1/2 in shaft, 1/8 in key, 30500 and 51000 psi, factor 2.5: 180 lbf.in, 0.47 and 0.56 in (quoted [1]).

        >>> i, psi = 0.0254, 6894.757293168
        >>> v = key_strength(i / 2, i / 8, i / 8, 30500 * psi, 51000 * psi, 2.5, power=5 * 745.69987158227, speed=1750 / 60).values
        >>> round(v["torque"] / (psi * i**3)), round(v["length_for_shear"] / i, 2), round(v["length_for_crushing"] / i, 2)
        (180, 0.47, 0.56)

    References:
        1. T. H. Wentzell, Machine Design, ex. 15.1, p. 332, as keyed in an open textbook companion (quoted).
    """
    flags = []
    if exactly_one({"torque": torque, "power": power}) == "torque":
        turning = needed("torque", torque, "give torque or power")
    else:
        turning = needed("power", power, "give torque or power") / (2.0 * math.pi * needed("speed", speed, "power alone tells no torque"))
        flags.append(Flag("mean-torque", "Power over speed is the mean torque; a single-cylinder engine peaks at ten times that or more."))
    if key_width >= shaft_diameter or key_height >= shaft_diameter:
        name = "key_width" if key_width >= shaft_diameter else "key_height"
        raise CalculationError(name, "must be under the shaft diameter", "impossible")
    per_shear = 2.0 * turning / (key_width * shaft_diameter)
    per_crushing = 4.0 * turning / (key_height * shaft_diameter)
    in_shear, in_crushing = per_shear * safety_factor / shear_strength, per_crushing * safety_factor / crushing_strength
    values: dict[str, float | str | bool | None] = {
        "torque": turning, "length_for_shear": in_shear, "length_for_crushing": in_crushing, "length_needed": max(in_shear, in_crushing),
    }  # fmt: skip
    if key_length is not None:
        shear, crushing = per_shear / key_length, per_crushing / key_length
        factor = min(shear_strength / shear, crushing_strength / crushing)
        values |= {"shear_stress": shear, "crushing_stress": crushing, "factor": factor}
        if key_length < max(in_shear, in_crushing):
            flags.append(Flag("key-too-short", "The key that is there is shorter than the factor asks for."))
    if max(in_shear, in_crushing) > 1.5 * shaft_diameter:
        flags.append(Flag("long-key", "Longer than one and a half shaft diameters: the far end carries little; a wider key or a second one."))
    return Result(values, tuple(flags))


CALCULATION = Calculation(
    id="key-strength",
    title="Key length and stress",
    inputs=(
        Input("shaft_diameter", "length", "in", "shaft diameter", low=0.003, high=0.5),
        Input("key_width", "length", "in", "key width", low=0.0005, high=0.1),
        Input("key_height", "length", "in", "whole height of the key", low=0.0005, high=0.1),
        Input("shear_strength", "pressure", "psi", "shear strength of the key", low=1e6, high=2e9),
        Input("crushing_strength", "pressure", "psi", "compressive strength of the weakest part", low=1e6, high=4e9),
        Input("safety_factor", "ratio", "ratio", "factor wanted", low=1.0, high=50.0),
        Input("torque", "torque", "lbf.ft", "greatest torque", low=0.0, high=1e6, open_low=True, required=False),
        Input("power", "power", "hp", "power, instead of torque", low=0.0, high=1e6, open_low=True, required=False),
        Input("speed", "rotational_speed", "rpm", "speed, with power", low=0.0, high=200.0, open_low=True, required=False),
        Input("key_length", "length", "in", "length of the key that is there", low=0.0, high=1.0, open_low=True, required=False),
    ),
    outputs=(
        Output("torque", "torque", "lbf.ft", "N.m", "torque used"),
        Output("length_for_shear", "length", "in", "mm", "length that carries it in shear"),
        Output("length_for_crushing", "length", "in", "mm", "length that carries it in crushing"),
        Output("length_needed", "length", "in", "mm", "the longer of the two"),
        Output("shear_stress", "pressure", "psi", "MPa", "shear in the key that is there"),
        Output("crushing_stress", "pressure", "psi", "MPa", "crushing on the key that is there"),
        Output("factor", "ratio", "ratio", "ratio", "the smaller factor of the key that is there"),
    ),
    run=key_strength,
    assumptions=("The key fits snugly on both sides; a loose one hammers its seat open whatever its strength.",
                 "Torque is the greatest the shaft sees. A taper key also holds by friction, which is not counted."),
    references=("T. H. Wentzell, Machine Design, ex. 15.1, p. 332 (quoted)",),
    cautions=("A strong enough key still has to be tight: a flywheel can walk off the shaft. Check it before every run (C028).",
              "A crack at the corner of a keyway in a wheel hub ends the wheel, not the key (C051)."),
)  # fmt: skip
