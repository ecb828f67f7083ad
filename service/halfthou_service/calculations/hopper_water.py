"""Water an open hopper boils away."""

from __future__ import annotations

from ._shared import needed
from .frame import Calculation, CalculationError, Flag, Input, Output, Result

_LATENT = 2.26e6
_SPECIFIC = 4181.3
_WATER = 998.0
"""J/kg, J/(kg K), kg/m3: the first two common practice, the density of cold water recalled."""


def hopper_water(
    power: float,
    jacket_share: float = 0.30,
    brake_efficiency: float = 0.20,
    water_temperature: float = 294.26,
    boiling_point: float = 373.15,
    running_time: float = 3600.0,
    hopper_volume: float | None = None,
    usable_volume: float | None = None,
) -> Result:
    """Water boiled away from an open hopper under load, and how long a filling lasts.

    Equation:
        jacket_heat = power jacket_share / brake_efficiency;
        water_mass = jacket_heat running_time / (h + c (boiling_point - water_temperature)), h = 2.26e6, c = 4181.3;
        time_to_boil = rho c hopper_volume (boiling_point - water_temperature) / jacket_heat;
        lasts = rho usable_volume h / jacket_heat

    In:
        power [W]: brake power, mean over the time
        jacket_share [1]: share of the fuel's heat that goes to the water
        brake_efficiency [1]: brake power over the fuel's heat
        water_temperature [K]: of the water poured in
        boiling_point [K]: of water where the engine stands; lower in the hills
        running_time [s]: time under load
        hopper_volume [m3]: water in hopper and jacket, if the time to boil is wanted
        usable_volume [m3]: water that may go before the level nears the top of the cylinder, if the time is wanted

    Out:
        jacket_heat [W]: heat that goes to the water
        water_mass [kg]: water boiled away, topped up cold
        water_volume [m3]: the same as cold water
        time_to_boil [s]: from cold, nothing lost through the iron
        lasts [s]: from boiling until the usable water is gone

    Valid:
        A boiling hopper under steady load. It is an upper estimate: iron and surface lose heat too, and an engine that idles
        boils away far less. The share of heat is known to a third either way at best.

    Worked:
        30 per cent to the jacket, 20 per cent efficiency, water at 70 F: 3.4 lb a horsepower-hour (own arithmetic).

        >>> answer = hopper_water(power=745.69987, water_temperature=294.26)
        >>> round(answer.values["water_mass"] / 0.45359237, 1)
        3.4

    References:
        1. Heat of evaporation 2260 J/g and of water 4.1813 J/(g K), general tables (common practice).
        2. Internal-combustion engine textbook, ex. 18.10 of an open textbook companion: slow gas engine, 27.9 per cent of the heat
           in the water, 28.8 per cent brake efficiency (inputs published, shares derived).
        3. 30 to 35 per cent of the heat to cooling (common practice); 20 per cent efficiency (from memory).
    """
    if jacket_share + brake_efficiency > 1.0:
        raise CalculationError("jacket_share", "and brake_efficiency together are more than all the heat of the fuel", "impossible")
    if boiling_point <= water_temperature:
        raise CalculationError("water_temperature", "is at or above the boiling point", "impossible")
    heat = power * jacket_share / brake_efficiency
    warming = _SPECIFIC * (boiling_point - water_temperature)
    mass = heat * running_time / (_LATENT + warming)
    to_boil = None if hopper_volume is None else _WATER * hopper_volume * warming / heat
    lasts = None
    if usable_volume is not None:
        held = needed("hopper_volume", hopper_volume, "usable_volume is part of it")
        if usable_volume > held:
            raise CalculationError("usable_volume", "is more than the hopper holds", "impossible")
        lasts = _WATER * usable_volume * _LATENT / heat
    flags = (
        Flag("upper-estimate", "All the heat is taken to boil water. Watch the level, not the clock: never let it near the top of the "
             "cylinder."),
    )  # fmt: skip
    values = {"jacket_heat": heat, "water_mass": mass, "water_volume": mass / _WATER, "time_to_boil": to_boil, "lasts": lasts}
    return Result(values, flags)


CALCULATION = Calculation(
    id="hopper-water",
    title="Water a hopper boils away",
    inputs=(
        Input("power", "power", "hp", "mean brake power", low=0.0, high=1e6, open_low=True),
        Input("jacket_share", "ratio", "percent", "share of the fuel's heat to the water", low=0.05, high=0.6, default=0.30),
        Input("brake_efficiency", "ratio", "percent", "brake efficiency", low=0.03, high=0.45, default=0.20),
        Input("water_temperature", "temperature", "degF", "water poured in", low=273.15, high=373.15, default=294.26),
        Input("boiling_point", "temperature", "degF", "boiling point where it stands", low=350.0, high=375.0, default=373.15),
        Input("running_time", "time", "h", "time under load", low=0.0, high=864000.0, default=3600.0),
        Input("hopper_volume", "volume", "USgal", "water in hopper and jacket", low=0.0, open_low=True, required=False),
        Input("usable_volume", "volume", "USgal", "water that may go", low=0.0, required=False),
    ),
    outputs=(
        Output("jacket_heat", "power", "hp", "kW", "heat that goes to the water"),
        Output("water_mass", "mass", "lb", "kg", "water boiled away"),
        Output("water_volume", "volume", "USgal", "L", "the same as cold water"),
        Output("time_to_boil", "time", "min", "min", "time from cold to boiling"),
        Output("lasts", "time", "h", "h", "time from boiling until the usable water is gone"),
    ),
    run=hopper_water,
    assumptions=("All the jacket heat boils water; iron and surface lose none.",
                 "Share of heat and efficiency are usual figures, not those of this engine."),
    references=("General tables of water (common practice)", "Slow gas-engine test, ex. 18.10 of an open textbook companion "
                "(inputs published, shares derived)", "Heat shares (common practice); efficiency (from memory)"),
    cautions=("Never pour cold water into a hot dry jacket: stop, and let it cool (C038).",
              "A boiling hopper spits: keep faces and visitors away from its mouth (C039).",
              "Drain all of it before frost (C037)."),
)  # fmt: skip
