"""How warm a bearing without an oil cooler runs: heat made in the film against heat its housing sheds."""

from __future__ import annotations

import math
from collections.abc import Callable

from ._shared import needed
from .frame import Calculation, CalculationError, Flag, Input, Output, Result
from .journal_film import petroff_power

SHEDDING = {"still": 11.4, "stirred": 15.3, "moving": 33.5}
"""W/(m2 K); still air, air stirred by the shaft, moving air."""
KELVIN_40, KELVIN_100, KELVIN_15 = 313.15, 373.15, 288.15
DENSITY_FALL = 0.65
HOTTEST_FILM = (250.0 - 32.0) / 1.8 + 273.15
CEILING = 600.0
THIN_OIL = 2e-6


def bearing_heat_balance(
    journal_diameter: float,
    bearing_length: float,
    diametral_clearance: float,
    speed: float,
    shedding_area: float,
    air: str = "still",
    air_temperature: float = 293.15,
    film_factor: float = 1.0,
    viscosity: float | None = None,
    viscosity_at_40: float | None = None,
    viscosity_at_100: float | None = None,
    oil_density: float = 885.0,
) -> Result:
    """Film temperature at which a ring, drip or grease bearing sheds the heat it makes.

    Equation:
        heat = 8 pi^3 mu speed^2 bearing_length (journal_diameter/2)^3 / (diametral_clearance/2);
        heat = h shedding_area film_rise / (1 + film_factor);  housing_rise = film_rise / (1 + film_factor);
        log10 log10 (v + 0.7) = A - B log10 T through the two given viscosities, mu = v rho, rho falling 0.65 kg/m3 per kelvin

    In:
        journal_diameter [m]: journal diameter
        bearing_length [m]: bearing length
        diametral_clearance [m]: bore less journal
        speed [rev/s]: journal speed
        shedding_area [m2]: outside of the housing that air can reach
        air [choice]: still 11.4, stirred by the shaft 15.3, moving 33.5 W/m2K
        air_temperature [K]: temperature of the air
        film_factor [1]: how much further the film is above the housing than the housing above the air
        viscosity [Pa.s]: a viscosity that does not change, instead of an oil
        viscosity_at_40 [m2/s]: kinematic viscosity of the oil at 40 degC
        viscosity_at_100 [m2/s]: kinematic viscosity of the oil at 100 degC
        oil_density [kg/m3]: density of the oil at 15 degC

    Out:
        film_temperature [K]: mean temperature of the film
        film_rise [K]: film above air
        housing_rise [K]: housing above air
        heat [W]: heat made and shed
        film_viscosity [Pa.s]: viscosity at that temperature

    Valid:
        Light to middling load, film full, steady running. A loaded film makes somewhat more heat; a starved one less until it
        touches. The oil line holds from about 2 mm2/s upward.

    Worked:
        50 mm journal, c 0.025 mm, 20 rev/s, 7 mPa.s held, 30000 mm2 stirred air: housing 47.29 degC above air (quoted [1]).

        >>> found = bearing_heat_balance(0.05, 0.05, 0.00005, 20.0, 0.03, "stirred", 295.15, viscosity=0.007).values
        >>> round(found["housing_rise"], 2)
        47.29

    References:
        1. U. C. Jindal, Machine Design, ex. 17-1, p. 482, as keyed in an open textbook companion (quoted).
        2. Shedding coefficients and film factor as coded in a public student repository after a design textbook (quoted).
        3. Oil line of ASTM D341 as told in a spreadsheet report (published); density fall 0.65 kg/m3K, density 885 (from memory).
        4. Film no hotter than 250 degF: recalled (from memory).
    """
    flags: list[Flag] = []
    constant = SHEDDING[air] * shedding_area / (1.0 + film_factor)

    def made(mu: float) -> float:
        return petroff_power(journal_diameter, bearing_length, diametral_clearance, speed, mu)

    if viscosity is not None:
        if viscosity_at_40 is not None or viscosity_at_100 is not None:
            raise CalculationError("viscosity", "is one too many beside an oil: give it alone, or the oil at 40 and 100 degC", "too-many-inputs")
        mu, film = viscosity, air_temperature + made(viscosity) / constant
        flags.append(Flag("fixed-viscosity", "The viscosity was held; real oil thins as it warms, so a hot answer is too hot and a cool one, "
                          "from a viscosity read warm, too cool."))  # fmt: skip
    else:
        cold = needed("viscosity_at_40", viscosity_at_40, "give viscosity, or the oil by its viscosities at 40 and 100 degC")
        hot = needed("viscosity_at_100", viscosity_at_100, "the oil is told by two viscosities")
        if hot >= cold:
            raise CalculationError("viscosity_at_100", "must be under the viscosity at 40 degC", "impossible")
        slope = (_loglog(cold) - _loglog(hot)) / math.log10(KELVIN_100 / KELVIN_40)
        film = _balance(lambda t: made(_dynamic(t, cold, slope, oil_density)), constant, air_temperature)
        mu = _dynamic(film, cold, slope, oil_density)
        if _kinematic(film, cold, slope) < THIN_OIL:
            flags.append(Flag("oil-too-thin", "The oil would be under 2 mm2/s, where its line no longer holds; the film is far too hot anyway."))
    if film > HOTTEST_FILM:
        flags.append(Flag("film-too-hot", "Over 250 degF in the film, the recalled ceiling: oil, white metal or both give up. More clearance, "
                          "thinner oil or more air."))  # fmt: skip
    rise = film - air_temperature
    values = {"film_temperature": film, "film_rise": rise, "housing_rise": rise / (1.0 + film_factor), "heat": constant * rise,
              "film_viscosity": mu}  # fmt: skip
    return Result(values, tuple(flags))


def _loglog(kinematic: float) -> float:
    return math.log10(math.log10(kinematic * 1e6 + 0.7))


def _kinematic(kelvin: float, at_40: float, slope: float) -> float:
    """Kinematic viscosity [m2/s] on the oil's line."""
    return float(10.0 ** (10.0 ** (_loglog(at_40) - slope * math.log10(kelvin / KELVIN_40))) - 0.7) * 1e-6


def _dynamic(kelvin: float, at_40: float, slope: float, density: float) -> float:
    return _kinematic(kelvin, at_40, slope) * (density - DENSITY_FALL * (kelvin - KELVIN_15))


def _balance(made: Callable[[float], float], constant: float, air: float) -> float:
    """Film temperature [K] by halving: heat made falls with temperature, heat shed rises, so there is one meeting."""
    low, high = air, CEILING
    if made(high) > constant * (high - air):
        raise CalculationError("shedding_area", "is too small: no temperature under 620 degF sheds the heat", "no-answer")
    for _ in range(60):
        middle = (low + high) / 2.0
        if made(middle) > constant * (middle - air):
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


CALCULATION = Calculation(
    id="bearing-heat-balance",
    title="Running temperature of a self-contained bearing",
    inputs=(
        Input("journal_diameter", "length", "in", "journal diameter", low=0.003, high=0.5),
        Input("bearing_length", "length", "in", "bearing length", low=0.001, high=1.0),
        Input("diametral_clearance", "length", "thou", "bore less journal", low=0.0, high=0.005, open_low=True),
        Input("speed", "rotational_speed", "rpm", "journal speed", low=0.0, high=100.0, open_low=True),
        Input("shedding_area", "area", "in2", "outside of the housing that air reaches", low=0.0, high=10.0, open_low=True),
        Input("air", "choice", "", "how the air moves", default="still", choices=tuple(SHEDDING)),
        Input("air_temperature", "temperature", "degF", "temperature of the air", low=233.15, high=333.15, default=293.15),
        Input("film_factor", "ratio", "ratio", "film above housing over housing above air", low=0.0, high=2.0, default=1.0),
        Input("viscosity", "viscosity", "mPa.s", "viscosity held fast, instead of an oil", low=0.0005, high=10.0, required=False),
        Input("viscosity_at_40", "kinematic_viscosity", "cSt", "oil at 40 degC", low=2e-6, high=5e-3, required=False),
        Input("viscosity_at_100", "kinematic_viscosity", "cSt", "oil at 100 degC", low=2e-6, high=1e-3, required=False),
        Input("oil_density", "density", "g/cm3", "oil at 15 degC", low=700.0, high=1100.0, default=885.0),
    ),
    outputs=(
        Output("film_temperature", "temperature", "degF", "degC", "mean film temperature"),
        Output("film_rise", "temperature_difference", "delta_degF", "delta_degC", "film above air"),
        Output("housing_rise", "temperature_difference", "delta_degF", "delta_degC", "housing above air"),
        Output("heat", "power", "W", "W", "heat made and shed"),
        Output("film_viscosity", "viscosity", "mPa.s", "mPa.s", "viscosity at film temperature"),
    ),
    run=bearing_heat_balance,
    assumptions=(
        "All heat leaves through the housing; none goes down the shaft or comes from the cylinder, which on an engine it does.",
        "The film is full and lightly loaded (Petroff); a starved or loaded bearing differs.",
        "Density of oil 885 kg/m3 and its fall with warmth are recalled (from memory).",
    ),
    references=(
        "U. C. Jindal, Machine Design, ex. 17-1, p. 482 (quoted)",
        "Shedding coefficients and film factor, public student repository (quoted)",
        "Oil line of ASTM D341, spreadsheet report (published); density fall (from memory)",
        "Film ceiling 250 degF (from memory)",
    ),
    cautions=("A bearing too hot for the hand is stopped and looked into, whatever was worked out. Stop the engine before feeling it (C060).",),
)
