"""The service's unit tokens beside their pint names, for conversion on request.

The service's own list is at ``/v1/units``; a test compares the two. pint is imported only inside the functions.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from .errors import NotInstalled, QuantityError

PINT_NAMES: dict[str, str] = {
    "m": "meter", "cm": "centimeter", "mm": "millimeter", "um": "micrometer", "nm": "nanometer", "in": "inch",
    "ft": "foot", "yd": "yard", "thou": "thou", "uin": "microinch", "in2": "inch ** 2", "ft2": "foot ** 2",
    "mm2": "millimeter ** 2", "cm2": "centimeter ** 2", "m2": "meter ** 2", "in3": "inch ** 3", "ft3": "foot ** 3",
    "ml": "milliliter", "L": "liter", "m3": "meter ** 3", "USgal": "gallon", "USqt": "quart", "USpt": "pint",
    "USfloz": "fluid_ounce", "impgal": "imperial_gallon", "imppt": "imperial_pint", "kg": "kilogram", "g": "gram",
    "lb": "pound", "oz": "ounce", "N": "newton", "kN": "kilonewton", "lbf": "force_pound", "ozf": "force_ounce",
    "kgf": "force_kilogram", "Pa": "pascal", "kPa": "kilopascal", "MPa": "megapascal", "GPa": "gigapascal",
    "bar": "bar", "mbar": "millibar", "psi": "psi", "inHg": "inHg", "kgf/cm2": "force_kilogram / centimeter ** 2",
    "atm": "atmosphere", "N.m": "newton * meter", "lbf.ft": "force_pound * foot", "lbf.in": "force_pound * inch",
    "J": "joule", "kJ": "kilojoule", "mJ": "millijoule", "ft.lbf": "foot * force_pound", "Btu": "Btu_it", "W": "watt",
    "kW": "kilowatt", "hp": "horsepower", "PS": "metric_horsepower", "m/s": "meter / second",
    "mm/s": "millimeter / second", "ft/min": "foot / minute", "ft/s": "foot / second", "mi/h": "mile / hour",
    "rpm": "revolution / minute", "rev/s": "revolution / second", "turn/h": "revolution / hour",
    "rad/s": "radian / second", "Hz": "hertz", "turn": "turn", "deg": "degree", "arcmin": "arcminute",
    "arcsec": "arcsecond", "rad": "radian", "s": "second", "ms": "millisecond", "min": "minute", "h": "hour",
    "d": "day", "V": "volt", "mV": "millivolt", "kV": "kilovolt", "A": "ampere", "mA": "milliampere", "ohm": "ohm",
    "mohm": "milliohm", "kohm": "kiloohm", "Mohm": "megaohm", "F": "farad", "uF": "microfarad", "nF": "nanofarad",
    "pF": "picofarad", "H": "henry", "mH": "millihenry", "T": "tesla", "mT": "millitesla", "N/m": "newton / meter",
    "N/mm": "newton / millimeter", "lbf/in": "force_pound / inch", "Pa.s": "pascal * second",
    "mPa.s": "millipascal * second", "cP": "centipoise", "reyn": "psi * second", "m2/s": "meter ** 2 / second",
    "cSt": "centistokes", "kg/m3": "kilogram / meter ** 3", "g/cm3": "gram / centimeter ** 3",
    "lb/in3": "pound / inch ** 3", "lb/ft3": "pound / foot ** 3", "1/K": "1 / kelvin",
    "um/m/K": "micrometer / meter / kelvin", "1/degF": "1 / delta_degF", "m3/s": "meter ** 3 / second",
    "L/min": "liter / minute", "ml/min": "milliliter / minute", "cfm": "foot ** 3 / minute",
    "USgal/min": "gallon / minute", "USgal/h": "gallon / hour", "mesh": "1 / inch", "tpi": "1 / inch",
    "1/mm": "1 / millimeter", "USgal/hp": "gallon / horsepower", "L/kW": "liter / kilowatt",
    "L/hp": "liter / horsepower", "ratio": "dimensionless", "percent": "percent", "thou/in": "thou / inch",
    "in/ft": "inch / foot", "mm/m": "millimeter / meter", "ppm": "ppm", "count": "dimensionless",
    "drops": "dimensionless", "drops/min": "1 / minute", "bubbles/min": "1 / minute", "drops/h": "1 / hour",
    "lb/hp": "pound / horsepower", "kg/kW": "kilogram / kilowatt", "delta_degC": "delta_degC",
    "delta_degF": "delta_degF", "K": "kelvin", "degC": "degC", "degF": "degF",
}  # fmt: skip
"""Unit token -> pint expression. Tokens that pint has no exact unit for are left out."""

_ALSO = {"revolutions_per_minute": "rpm"}


def to_pint(value: Any, token: str, registry: Any = None) -> Any:
    """A pint quantity; ``value`` becomes the registry's own number type (float unless it was made otherwise).

    Raises:
        NotInstalled: pint is not installed.
        QuantityError: pint has no unit that equals this one.
    """
    name = PINT_NAMES.get(token)
    if name is None:
        raise QuantityError(f"pint has no unit that is exactly {token!r}", "no-pint-unit")
    if registry is None:
        try:
            import pint
        except ImportError:
            raise NotInstalled("pint is not installed; get it with: pip install pint") from None
        registry = pint.application_registry.get()  # type: ignore[no-untyped-call]
    number = getattr(registry, "non_int_type", float)
    return registry.Quantity(number(value), registry.Unit(name))


def token_of(quantity: Any) -> str:
    """The service's token for the unit of a pint quantity.

    Raises:
        QuantityError: the unit is not one of the service's; convert it first.
    """
    registry = quantity._REGISTRY
    name = str(quantity.units)
    token = _tokens(registry).get(name) or _ALSO.get(name)
    if token is None:
        raise QuantityError(
            f"the service has no unit called {name!r}; convert it first, for example with .to('inch')", "unknown-unit"
        )
    return token


@lru_cache(maxsize=8)
def _tokens(registry: Any) -> dict[str, str]:
    out: dict[str, str] = {}
    for token, name in PINT_NAMES.items():
        out.setdefault(str(registry.Unit(name)), token)
    return out
