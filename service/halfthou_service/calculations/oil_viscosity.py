"""Oil viscosity at another temperature: two measured points (the double-logarithm law) or an SAE grade (a fit)."""

from __future__ import annotations

import math
from collections.abc import Mapping

from halfthou_specdb.units import UNITS

from ._shared import needed
from .frame import Calculation, CalculationError, Flag, Input, Output, Result

_REYN = float(UNITS["reyn"].factor)
_CST = 1e-6
_T100, _T15 = 373.15, 288.15
_THINNING_OF_DENSITY = 0.65
"""kg/m3 lost for each kelvin; recalled."""

GRADE_FIT: Mapping[str, tuple[float, float]] = {
    "SAE 10": (0.0158, 1157.5), "SAE 20": (0.0136, 1271.6), "SAE 30": (0.0141, 1360.0), "SAE 40": (0.0121, 1474.4),
    "SAE 50": (0.0170, 1509.6), "SAE 60": (0.0187, 1564.0),
}  # fmt: skip
"""Grade -> (microreyn, degrees Fahrenheit) of the fit, 100 to 300 F."""

GRADES: tuple[tuple[str, float, float], ...] = (
    ("SAE 20", 6.9, 9.3), ("SAE 30", 9.3, 12.5), ("SAE 40", 12.5, 16.3), ("SAE 50", 16.3, 21.9), ("SAE 60", 21.9, 26.1),
)  # fmt: skip
"""Grade, from, to but not including: mm2/s at 100 degC, SAE J300 of 2015."""


def oil_viscosity(
    temperature: float,
    method: str = "two-points",
    temperature_1: float | None = None,
    viscosity_1: float | None = None,
    temperature_2: float | None = None,
    viscosity_2: float | None = None,
    grade: str | None = None,
    density_15: float | None = None,
) -> Result:
    """Viscosity of an oil at a temperature, from two points of its data sheet or from its SAE grade.

    Equation:
        two points: log10(log10(v + 0.7)) = A - B log10(T), v in mm2/s, T in kelvin;
        grade: mu = mu0 exp(b / (F + 95)), F in degrees Fahrenheit, constants by grade;
        mu = v rho, rho = density_15 - 0.65 (T - 288.15)

    In:
        temperature [K]: temperature at which the viscosity is wanted
        method [choice]: two-points or sae-grade
        temperature_1 [K]: temperature of the first point, usually 40 degC
        viscosity_1 [m2/s]: kinematic viscosity at the first point
        temperature_2 [K]: temperature of the second point, usually 100 degC
        viscosity_2 [m2/s]: kinematic viscosity at the second point
        grade [choice]: SAE grade, for the fit
        density_15 [kg/m3]: density at 15 degC, to go between kinematic and dynamic viscosity

    Out:
        kinematic [m2/s]: kinematic viscosity at the temperature
        dynamic [Pa.s]: dynamic viscosity at the temperature, the one a bearing sum wants
        at_100 [m2/s]: kinematic viscosity at 100 degC, two points only
        grade [text]: SAE grade that viscosity falls in, two points only
        constant_a [1]: A
        constant_b [1]: B

    Valid:
        Two points: mineral oil, 2 mm2/s and thicker; between the two temperatures well, outside them worse: flagged. Near and
        below the pour point not at all. Grade fit: 100 to 300 F; outside it the answer is flagged, and a multigrade oil does
        not follow it.

    Worked:
        32 mm2/s at 40 degC and 5.4 at 100: 8.5 at 80 degC (published [1]).

        >>> answer = oil_viscosity(353.15, "two-points", 313.15, 32e-6, 373.15, 5.4e-6)
        >>> round(answer.values["kinematic"] * 1e6, 1)
        8.5

        SAE 30 at 150 F by the fit: 25.03 mPa.s (own arithmetic on the constants of [3]).

        >>> round(oil_viscosity((150 + 459.67) / 1.8, "sae-grade", grade="SAE 30").values["dynamic"] * 1000, 2)
        25.03

    References:
        1. Worksheet on the equation of ASTM D341, main table (published; it takes 273 where this takes 273.15).
        2. SAE J300 of January 2015, table as printed by an oil company (quoted). The 1999 issue lets SAE 20 begin at 5.6.
        3. Seireg and Dandage fit of viscosity by SAE grade, constants as coded in a public student repository (quoted).
        4. Fall of density with temperature, 0.65 kg/m3 for each kelvin (from memory).
    """
    rho = None if density_15 is None else density_15 - _THINNING_OF_DENSITY * (temperature - _T15)
    if method == "sae-grade":
        if grade is None:
            raise CalculationError("grade", f"is missing: give one of {', '.join(GRADE_FIT)}", "missing-input")
        return _by_grade(temperature, grade, rho)
    if grade is not None:
        raise CalculationError("grade", "belongs to method sae-grade; two points know nothing of it", "too-many-inputs")
    why = "two temperatures and two kinematic viscosities are needed"
    t1, v1 = needed("temperature_1", temperature_1, why), needed("viscosity_1", viscosity_1, why) / _CST
    t2, v2 = needed("temperature_2", temperature_2, why), needed("viscosity_2", viscosity_2, why) / _CST
    if abs(t1 - t2) < 1.0:
        raise CalculationError("temperature_2", "is the same as temperature_1; two points apart are needed", "impossible")
    if (v1 - v2) * (t1 - t2) >= 0.0:
        raise CalculationError("viscosity_2", "does not fit: oil thins as it warms. Are the two points swapped?", "impossible")
    b = (_double_log(v1) - _double_log(v2)) / (math.log10(t2) - math.log10(t1))
    a = _double_log(v1) + b * math.log10(t1)
    cst, hot = _undo(a - b * math.log10(temperature)), _undo(a - b * math.log10(_T100))
    flags: list[Flag] = []
    if not min(t1, t2) - 0.01 <= temperature <= max(t1, t2) + 0.01:
        flags.append(Flag("extrapolated", "The temperature lies outside the two points; the further out, the worse. Cold oil near "
                          "its pour point is much stiffer than this."))  # fmt: skip
    if cst < 2.0:
        flags.append(Flag("too-thin-for-the-law", "Under 2 mm2/s the short form of the law no longer holds."))
    values = {"kinematic": cst * _CST, "dynamic": None if rho is None else cst * _CST * rho, "at_100": hot * _CST,
              "grade": _grade(hot), "constant_a": a, "constant_b": b}  # fmt: skip
    return Result(values, tuple(flags))


def _by_grade(temperature: float, grade: str, rho: float | None) -> Result:
    mu0, b = GRADE_FIT[grade]
    fahrenheit = temperature * 1.8 - 459.67
    if fahrenheit <= 0.0:
        raise CalculationError("temperature", "is far below anything the grade fit was made for (100 to 300 F)", "out-of-range")
    dynamic = mu0 * 1e-6 * math.exp(b / (fahrenheit + 95.0)) * _REYN
    flags = [Flag("typical-oil", "The fit is for a typical straight oil of the grade; a given can has its own figures: use its data "
                  "sheet where there is one.")]  # fmt: skip
    if not 99.9 <= fahrenheit <= 300.1:
        flags.append(Flag("outside-the-fit", "The fit was made for 100 to 300 F; outside it this is a guess."))
    values = {"kinematic": None if rho is None else dynamic / rho, "dynamic": dynamic, "at_100": None, "grade": grade,
              "constant_a": None, "constant_b": None}  # fmt: skip
    return Result(values, tuple(flags))


def _double_log(cst: float) -> float:
    return math.log10(math.log10(cst + 0.7))


def _undo(double_log: float) -> float:
    return float(10.0 ** (10.0**double_log) - 0.7)


def _grade(cst: float) -> str:
    for name, low, high in GRADES:
        if low <= cst < high:
            return name
    return "thinner than SAE 20" if cst < GRADES[0][1] else "thicker than SAE 60"


def _warm(name: str, unit: str, says: str, required: bool) -> Input:
    return Input(name, "temperature", unit, says, low=243.15, high=473.15, required=required)


def _thick(name: str, says: str) -> Input:
    return Input(name, "kinematic_viscosity", "cSt", says, low=2e-6, high=0.1, required=False)


CALCULATION = Calculation(
    id="oil-viscosity",
    title="Oil viscosity",
    inputs=(
        _warm("temperature", "degF", "temperature at which it is wanted", True),
        Input("method", "choice", "", "two measured points, or the SAE grade", default="two-points",
              choices=("two-points", "sae-grade")),
        _warm("temperature_1", "degC", "temperature of the first point", False),
        _thick("viscosity_1", "viscosity at the first point"),
        _warm("temperature_2", "degC", "temperature of the second point", False),
        _thick("viscosity_2", "viscosity at the second point"),
        Input("grade", "choice", "", "SAE grade", required=False, choices=tuple(GRADE_FIT)),
        Input("density_15", "density", "g/cm3", "density at 15 degC", low=700.0, high=1100.0, required=False),
    ),
    outputs=(
        Output("kinematic", "kinematic_viscosity", "cSt", "cSt", "kinematic viscosity at the temperature"),
        Output("dynamic", "viscosity", "reyn", "mPa.s", "dynamic viscosity at the temperature"),
        Output("at_100", "kinematic_viscosity", "cSt", "cSt", "kinematic viscosity at 100 degC"),
        Output("grade", "text", "", "", "SAE grade by viscosity at 100 degC"),
        Output("constant_a", "ratio", "ratio", "ratio", "A of the law"),
        Output("constant_b", "ratio", "ratio", "ratio", "B of the law"),
    ),
    run=oil_viscosity,
    assumptions=("A straight mineral oil at low shear; grades by the 2015 issue of J300.",
                 "Density falls by 0.65 kg/m3 for each kelvin (recalled)."),
    references=("Worksheet on ASTM D341, main table (published)", "SAE J300 of January 2015 (quoted)",
                "Seireg and Dandage fit by SAE grade (quoted)", "Fall of density with temperature (from memory)"),
)  # fmt: skip
