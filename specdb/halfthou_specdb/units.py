"""The closed list of units: token, dimension, exact factor, UCUM code, pint name, symbol.

Factors are exact rationals to the canonical unit of the dimension (metre, kilogram, second, volt ..., and the turn for
angles). Only the radian is not rational; its factor carries 40 digits. Sources of the exact factors: the international
yard and pound of 1959 (1 in = 0.0254 m, 1 lb = 0.45359237 kg), standard gravity 9.80665 m/s2 (3rd CGPM, 1901), the US
gallon of 231 in3, the imperial gallon of 4.54609 L, conventional mercury and water columns of ISO 80000-4 usage.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction

from .errors import UnitError


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit token. canonical value = value * factor + offset (offset only for temperatures on a scale)."""

    token: str
    dimension: str
    factor: Fraction
    ucum: str
    pint: str
    symbol: str
    aliases: tuple[str, ...] = ()
    offset: Fraction = Fraction(0)
    system: str = "both"

    @property
    def exact(self) -> bool:
        """False only where pi enters the factor."""
        return self.token not in {"rad", "rad/s"}


F = Fraction
INCH = F("0.0254")
FOOT = 12 * INCH
LB = F("0.45359237")
G0 = F("9.80665")
LBF = LB * G0
PSI = LBF / INCH**2
USGAL = 231 * INCH**3
IMPGAL = F("0.00454609")
HP = 550 * FOOT * LBF
TURN_PER_RAD = F("0.1591549430918953357688837633725143620344596")

_ROWS: tuple[tuple[str, str, Fraction, str, str, str, str, str], ...] = (
    # token, dimension, factor, ucum, pint, symbol, aliases, system
    ("m", "length", F(1), "m", "meter", "m", "metre meter metres meters", "metric"),
    ("cm", "length", F(1, 100), "cm", "centimeter", "cm", "", "metric"),
    ("mm", "length", F(1, 1000), "mm", "millimeter", "mm", "millimetre millimeter millimetres millimeters", "metric"),
    ("um", "length", F(1, 10**6), "um", "micrometer", "µm", "µm μm micron microns micrometre micrometer", "metric"),
    ("nm", "length", F(1, 10**9), "nm", "nanometer", "nm", "", "metric"),
    ("in", "length", INCH, "[in_i]", "inch", "in", 'inch inches " in. ″', "inch"),
    ("ft", "length", FOOT, "[ft_i]", "foot", "ft", "foot feet ' ft. ′", "inch"),
    ("yd", "length", 3 * FOOT, "[yd_i]", "yard", "yd", "yard yards", "inch"),
    ("thou", "length", INCH / 1000, "[mil_i]", "thou", "thou", "thousandths thousandth thous mil mils", "inch"),
    ("uin", "length", INCH / 10**6, "10*-6.[in_i]", "microinch", "µin", "microinch microinches µin μin", "inch"),
    ("in2", "area", INCH**2, "[sin_i]", "inch ** 2", "in²", "sq-in", "inch"),
    ("ft2", "area", FOOT**2, "[sft_i]", "foot ** 2", "ft²", "sq-ft", "inch"),
    ("mm2", "area", F(1, 10**6), "mm2", "millimeter ** 2", "mm²", "", "metric"),
    ("cm2", "area", F(1, 10**4), "cm2", "centimeter ** 2", "cm²", "", "metric"),
    ("m2", "area", F(1), "m2", "meter ** 2", "m²", "", "metric"),
    ("in3", "volume", INCH**3, "[cin_i]", "inch ** 3", "in³", "cu-in", "inch"),
    ("ft3", "volume", FOOT**3, "[cft_i]", "foot ** 3", "ft³", "cu-ft", "inch"),
    ("ml", "volume", F(1, 10**6), "mL", "milliliter", "ml", "mL cc cm3", "both"),
    ("L", "volume", F(1, 1000), "L", "liter", "L", "l litre liter litres liters", "metric"),
    ("m3", "volume", F(1), "m3", "meter ** 3", "m³", "", "metric"),
    ("USgal", "volume", USGAL, "[gal_us]", "gallon", "US gal", "gal_us gallon gallons gal", "inch"),
    ("USqt", "volume", USGAL / 4, "[qt_us]", "quart", "US qt", "", "inch"),
    ("USpt", "volume", USGAL / 8, "[pt_us]", "pint", "US pt", "", "inch"),
    ("USfloz", "volume", USGAL / 128, "[foz_us]", "fluid_ounce", "US fl oz", "floz", "inch"),
    ("impgal", "volume", IMPGAL, "[gal_br]", "imperial_gallon", "imp gal", "", "inch"),
    ("imppt", "volume", IMPGAL / 8, "[pt_br]", "imperial_pint", "imp pt", "", "inch"),
    ("kg", "mass", F(1), "kg", "kilogram", "kg", "", "metric"),
    ("g", "mass", F(1, 1000), "g", "gram", "g", "gram grams", "metric"),
    ("lb", "mass", LB, "[lb_av]", "pound", "lb", "lbs pound pounds", "inch"),
    ("oz", "mass", LB / 16, "[oz_av]", "ounce", "oz", "ounce ounces", "inch"),
    ("N", "force", F(1), "N", "newton", "N", "newton newtons", "metric"),
    ("kN", "force", F(1000), "kN", "kilonewton", "kN", "", "metric"),
    ("lbf", "force", LBF, "[lbf_av]", "force_pound", "lbf", "", "inch"),
    ("ozf", "force", LBF / 16, "[lbf_av]/16", "force_ounce", "ozf", "", "inch"),
    ("kgf", "force", G0, "kgf", "force_kilogram", "kgf", "", "metric"),
    ("Pa", "pressure", F(1), "Pa", "pascal", "Pa", "", "metric"),
    ("kPa", "pressure", F(1000), "kPa", "kilopascal", "kPa", "", "metric"),
    ("MPa", "pressure", F(10**6), "MPa", "megapascal", "MPa", "N/mm2", "metric"),
    ("GPa", "pressure", F(10**9), "GPa", "gigapascal", "GPa", "", "metric"),
    ("bar", "pressure", F(10**5), "bar", "bar", "bar", "", "metric"),
    ("mbar", "pressure", F(100), "mbar", "millibar", "mbar", "", "metric"),
    ("psi", "pressure", PSI, "[psi]", "psi", "psi", "lbf/in2 lb/in2", "inch"),
    ("inHg", "pressure", F("3386.388640341"), "[in_i'Hg]", "inHg", "inHg", "", "inch"),
    ("inH2O", "pressure", F("249.08891"), "[in_i'H2O]", "", "inH2O", "", "inch"),
    ("kgf/cm2", "pressure", G0 * 10**4, "kgf/cm2", "force_kilogram / centimeter ** 2", "kgf/cm²", "", "metric"),
    ("atm", "pressure", F(101325), "atm", "atmosphere", "atm", "", "metric"),
    ("N.m", "torque", F(1), "N.m", "newton * meter", "N·m", "Nm N-m", "metric"),
    ("lbf.ft", "torque", LBF * FOOT, "[lbf_av].[ft_i]", "force_pound * foot", "lbf·ft", "lb-ft ft-lb lbf-ft", "inch"),
    ("lbf.in", "torque", LBF * INCH, "[lbf_av].[in_i]", "force_pound * inch", "lbf·in", "in-lb lb-in lbf-in", "inch"),
    ("J", "energy", F(1), "J", "joule", "J", "", "metric"),
    ("kJ", "energy", F(1000), "kJ", "kilojoule", "kJ", "", "metric"),
    ("mJ", "energy", F(1, 1000), "mJ", "millijoule", "mJ", "", "metric"),
    ("ft.lbf", "energy", LBF * FOOT, "[ft_i].[lbf_av]", "foot * force_pound", "ft·lbf", "ft-lbf", "inch"),
    ("Btu", "energy", F("1055.05585262"), "[Btu_IT]", "Btu_it", "Btu", "BTU", "inch"),
    ("W", "power", F(1), "W", "watt", "W", "", "metric"),
    ("kW", "power", F(1000), "kW", "kilowatt", "kW", "", "metric"),
    ("hp", "power", HP, "[HP]", "horsepower", "hp", "horsepower", "inch"),
    ("PS", "power", 75 * G0, "", "metric_horsepower", "PS", "", "metric"),
    ("m/s", "speed", F(1), "m/s", "meter / second", "m/s", "", "metric"),
    ("mm/s", "speed", F(1, 1000), "mm/s", "millimeter / second", "mm/s", "", "metric"),
    ("ft/min", "speed", FOOT / 60, "[ft_i]/min", "foot / minute", "ft/min", "fpm", "inch"),
    ("ft/s", "speed", FOOT, "[ft_i]/s", "foot / second", "ft/s", "", "inch"),
    ("mi/h", "speed", 5280 * FOOT / 3600, "[mi_i]/h", "mile / hour", "mi/h", "mph", "inch"),
    ("rpm", "rotational_speed", F(1, 60), "{rev}/min", "revolution / minute", "rpm", "rev/min r/min", "both"),
    ("rev/s", "rotational_speed", F(1), "{rev}/s", "revolution / second", "rev/s", "", "both"),
    ("turn/h", "rotational_speed", F(1, 3600), "{rev}/h", "revolution / hour", "turn/h", "turns/h rev/h", "both"),
    ("rad/s", "rotational_speed", TURN_PER_RAD, "rad/s", "radian / second", "rad/s", "", "both"),
    ("Hz", "frequency", F(1), "Hz", "hertz", "Hz", "", "both"),
    ("turn", "angle", F(1), "{rev}", "turn", "turn", "turns rev", "both"),
    ("deg", "angle", F(1, 360), "deg", "degree", "°", "° degree degrees", "both"),
    ("arcmin", "angle", F(1, 21600), "'", "arcminute", "arcmin", "", "both"),
    ("arcsec", "angle", F(1, 1296000), "''", "arcsecond", "arcsec", "", "both"),
    ("rad", "angle", TURN_PER_RAD, "rad", "radian", "rad", "radian radians", "both"),
    ("s", "time", F(1), "s", "second", "s", "sec second seconds", "both"),
    ("ms", "time", F(1, 1000), "ms", "millisecond", "ms", "", "both"),
    ("min", "time", F(60), "min", "minute", "min", "minute minutes", "both"),
    ("h", "time", F(3600), "h", "hour", "h", "hr hour hours", "both"),
    ("d", "time", F(86400), "d", "day", "d", "day days", "both"),
    ("V", "voltage", F(1), "V", "volt", "V", "volt volts", "both"),
    ("mV", "voltage", F(1, 1000), "mV", "millivolt", "mV", "", "both"),
    ("kV", "voltage", F(1000), "kV", "kilovolt", "kV", "", "both"),
    ("A", "current", F(1), "A", "ampere", "A", "amp amps ampere amperes", "both"),
    ("mA", "current", F(1, 1000), "mA", "milliampere", "mA", "", "both"),
    ("ohm", "resistance", F(1), "Ohm", "ohm", "Ω", "Ω ohms Ω", "both"),
    ("mohm", "resistance", F(1, 1000), "mOhm", "milliohm", "mΩ", "milliohm milliohms mΩ", "both"),
    ("kohm", "resistance", F(1000), "kOhm", "kiloohm", "kΩ", "kΩ", "both"),
    ("Mohm", "resistance", F(10**6), "MOhm", "megaohm", "MΩ", "megohm megohms MΩ", "both"),
    ("F", "capacitance", F(1), "F", "farad", "F", "farad", "both"),
    ("uF", "capacitance", F(1, 10**6), "uF", "microfarad", "µF", "µF μF mfd", "both"),
    ("nF", "capacitance", F(1, 10**9), "nF", "nanofarad", "nF", "", "both"),
    ("pF", "capacitance", F(1, 10**12), "pF", "picofarad", "pF", "", "both"),
    ("H", "inductance", F(1), "H", "henry", "H", "henry", "both"),
    ("mH", "inductance", F(1, 1000), "mH", "millihenry", "mH", "", "both"),
    ("T", "flux_density", F(1), "T", "tesla", "T", "tesla", "both"),
    ("mT", "flux_density", F(1, 1000), "mT", "millitesla", "mT", "", "both"),
    ("gauss", "flux_density", F(1, 10**4), "G", "", "G", "", "both"),
    ("N/m", "stiffness", F(1), "N/m", "newton / meter", "N/m", "", "metric"),
    ("N/mm", "stiffness", F(1000), "N/mm", "newton / millimeter", "N/mm", "", "metric"),
    ("lbf/in", "stiffness", LBF / INCH, "[lbf_av]/[in_i]", "force_pound / inch", "lbf/in", "lb/in", "inch"),
    ("Pa.s", "viscosity", F(1), "Pa.s", "pascal * second", "Pa·s", "", "metric"),
    ("mPa.s", "viscosity", F(1, 1000), "mPa.s", "millipascal * second", "mPa·s", "", "metric"),
    ("cP", "viscosity", F(1, 1000), "cP", "centipoise", "cP", "", "metric"),
    ("reyn", "viscosity", PSI, "[psi].s", "psi * second", "reyn", "lbf.s/in2", "inch"),
    ("m2/s", "kinematic_viscosity", F(1), "m2/s", "meter ** 2 / second", "m²/s", "", "metric"),
    ("cSt", "kinematic_viscosity", F(1, 10**6), "cSt", "centistokes", "cSt", "mm2/s", "metric"),
    ("kg/m3", "density", F(1), "kg/m3", "kilogram / meter ** 3", "kg/m³", "", "metric"),
    ("g/cm3", "density", F(1000), "g/cm3", "gram / centimeter ** 3", "g/cm³", "g/ml", "metric"),
    ("lb/in3", "density", LB / INCH**3, "[lb_av]/[cin_i]", "pound / inch ** 3", "lb/in³", "", "inch"),
    ("lb/ft3", "density", LB / FOOT**3, "[lb_av]/[cft_i]", "pound / foot ** 3", "lb/ft³", "", "inch"),
    ("1/K", "expansion", F(1), "K-1", "1 / kelvin", "1/K", "", "metric"),
    ("um/m/K", "expansion", F(1, 10**6), "um/m.K-1", "micrometer / meter / kelvin", "µm/(m·K)", "ppm/K", "metric"),
    ("1/degF", "expansion", F(9, 5), "[degF]-1", "1 / delta_degF", "1/°F", "", "inch"),
    ("m3/s", "flow", F(1), "m3/s", "meter ** 3 / second", "m³/s", "", "metric"),
    ("L/min", "flow", F(1, 60000), "L/min", "liter / minute", "L/min", "", "metric"),
    ("ml/min", "flow", F(1, 60 * 10**6), "mL/min", "milliliter / minute", "ml/min", "", "metric"),
    ("cfm", "flow", FOOT**3 / 60, "[cft_i]/min", "foot ** 3 / minute", "cfm", "ft3/min", "inch"),
    ("USgal/min", "flow", USGAL / 60, "[gal_us]/min", "gallon / minute", "US gal/min", "gpm", "inch"),
    ("USgal/h", "flow", USGAL / 3600, "[gal_us]/h", "gallon / hour", "US gal/h", "gph", "inch"),
    ("mesh", "linear_frequency", 1 / INCH, "[in_i]-1", "1 / inch", "mesh", "", "inch"),
    ("tpi", "linear_frequency", 1 / INCH, "[in_i]-1", "1 / inch", "tpi", "1/in", "inch"),
    ("1/mm", "linear_frequency", F(1000), "mm-1", "1 / millimeter", "1/mm", "", "metric"),
    ("USgal/hp", "volume_per_power", USGAL / HP, "[gal_us]/[HP]", "gallon / horsepower", "US gal/hp", "gal/hp", "inch"),
    ("L/kW", "volume_per_power", F(1, 10**6), "L/kW", "liter / kilowatt", "L/kW", "", "metric"),
    ("L/hp", "volume_per_power", F(1, 1000) / HP, "L/[HP]", "liter / horsepower", "L/hp", "", "metric"),
    ("ratio", "ratio", F(1), "1", "dimensionless", "", "1 in/in mm/mm :1", "both"),
    ("percent", "ratio", F(1, 100), "%", "percent", "%", "% pct", "both"),
    ("thou/in", "ratio", F(1, 1000), "[mil_i]/[in_i]", "thou / inch", "thou/in", "", "inch"),
    ("in/ft", "ratio", F(1, 12), "[in_i]/[ft_i]", "inch / foot", "in/ft", "", "inch"),
    ("mm/m", "ratio", F(1, 1000), "mm/m", "millimeter / meter", "mm/m", "um/mm", "metric"),
    ("ppm", "ratio", F(1, 10**6), "[ppm]", "ppm", "ppm", "um/m", "both"),
    ("count", "count", F(1), "{count}", "dimensionless", "", "off teeth tooth coats rings bounces leaves", "both"),
    ("drops", "count", F(1), "{drop}", "dimensionless", "drops", "drop", "both"),
    ("drops/min", "count_rate", F(1, 60), "{drop}/min", "1 / minute", "drops/min", "drop/min 1/min", "both"),
    ("bubbles/min", "count_rate", F(1, 60), "{bubble}/min", "1 / minute", "bubbles/min", "", "both"),
    ("drops/h", "count_rate", F(1, 3600), "{drop}/h", "1 / hour", "drops/h", "", "both"),
    ("lb/hp", "mass_per_power", LB / HP, "[lb_av]/[HP]", "pound / horsepower", "lb/hp", "", "inch"),
    ("kg/kW", "mass_per_power", F(1, 1000), "kg/kW", "kilogram / kilowatt", "kg/kW", "", "metric"),
    ("delta_degC", "temperature_difference", F(1), "Cel", "delta_degC", "°C", "delta_K", "metric"),
    ("delta_degF", "temperature_difference", F(5, 9), "[degF]", "delta_degF", "°F", "", "inch"),
)

_SCALES: tuple[Unit, ...] = (
    Unit("K", "temperature", F(1), "K", "kelvin", "K", ("kelvin",), F(0), "metric"),
    Unit("degC", "temperature", F(1), "Cel", "degC", "°C", ("°C", "℃", "C"), F("273.15"), "metric"),
    Unit("degF", "temperature", F(5, 9), "[degF]", "degF", "°F", ("°F", "℉"), F("459.67") * F(5, 9), "inch"),
)


def _build() -> dict[str, Unit]:
    units: dict[str, Unit] = {}
    for token, dimension, factor, ucum, pint, symbol, aliases, system in _ROWS:
        units[token] = Unit(token, dimension, factor, ucum, pint, symbol, tuple(aliases.split()), Fraction(0), system)
    units.update((unit.token, unit) for unit in _SCALES)
    return units


UNITS: dict[str, Unit] = _build()
"""Every unit by token."""

_BY_NAME: dict[str, Unit] = {name: unit for unit in UNITS.values() for name in (unit.token, *unit.aliases)}
_BY_FOLDED: dict[str, Unit | None] = {}
for _name, _unit in _BY_NAME.items():
    _folded = _name.lower()
    _BY_FOLDED[_folded] = _unit if _BY_FOLDED.get(_folded, _unit) is _unit else None


def unit_named(name: str) -> Unit:
    """The unit of a token or alias; capitals are forgiven where only one unit could be meant.

    Raises:
        UnitError: no such unit, with near matches.
    """
    unit = _BY_NAME.get(name) or _BY_FOLDED.get(name.lower())
    if unit is None:
        shown = name if len(name) <= 24 else name[:21] + "..."
        near = tuple(dict.fromkeys(
            u.token
            for word in get_close_matches(name[:24].lower(), list(_BY_FOLDED), n=4, cutoff=0.5)
            if (u := _BY_FOLDED[word])
        ))[:3]  # fmt: skip
        hint = f"; near it: {', '.join(near)}" if near else ""
        raise UnitError(f"no unit is called {shown!r}{hint}; the list is at /v1/units", near)
    return unit


def units_of(dimension: str) -> tuple[str, ...]:
    """Tokens of every unit of one dimension, in the order of the list."""
    return tuple(token for token, unit in UNITS.items() if unit.dimension == dimension)
