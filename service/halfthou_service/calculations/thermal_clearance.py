"""Clearance cold and hot of one part running in another."""

from __future__ import annotations

from collections.abc import Mapping

from ._shared import exactly_one
from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def thermal_clearance(
    diameter: float,
    outer_expansion: float,
    inner_expansion: float,
    outer_temperature: float,
    inner_temperature: float,
    cold_clearance: float | None = None,
    hot_clearance: float | None = None,
    cold_temperature: float = 293.15,
) -> Result:
    """Hot clearance from cold, or the cold clearance that leaves a wanted hot one.

    Equation:
        hot_clearance = cold_clearance + change;
        change = diameter outer_expansion (outer_temperature - cold_temperature)
               - diameter inner_expansion (inner_temperature - cold_temperature)

    In:
        diameter [m]: diameter of the fit, cold
        outer_expansion [1/K]: expansion of the outer part (bore, housing)
        inner_expansion [1/K]: expansion of the inner part (piston, shaft)
        outer_temperature [K]: outer part, running
        inner_temperature [K]: inner part, running, where the fit is
        cold_clearance [m]: diametral clearance cold; negative for an interference
        hot_clearance [m]: diametral clearance wanted hot, instead
        cold_temperature [K]: both parts when measured

    Out:
        cold_clearance [m]: diametral clearance cold
        hot_clearance [m]: diametral clearance running
        change [m]: hot less cold; negative where the fit tightens

    Valid:
        Each part at one temperature and free to grow; expansion a mean over the span. Real pistons are hotter at the crown.

    Worked:
        4.5 in iron piston in iron, skirt 300, bore 210, cold 70 degF, 0.001 in wanted hot: 0.00339 in cold (derived [1]).

        >>> k = lambda f: (f - 32) / 1.8 + 273.15
        >>> found = thermal_clearance(4.5 * 0.0254, 5.9e-6 * 1.8, 5.9e-6 * 1.8, k(210), k(300), None, 0.0000254, k(70))
        >>> round(found.values["cold_clearance"] / 0.0254, 5)
        0.00339

    References:
        1. Own worked case; expansion 0.00059 in/in per 100 degF for gray cast iron as printed in a shop text (derived).
    """
    outer = diameter * outer_expansion * (outer_temperature - cold_temperature)
    inner = diameter * inner_expansion * (inner_temperature - cold_temperature)
    change = outer - inner
    if exactly_one({"cold_clearance": cold_clearance, "hot_clearance": hot_clearance}) == "cold_clearance":
        cold = cold_clearance or 0.0
        hot = cold + change
    else:
        hot = hot_clearance or 0.0
        cold = hot - change
    flags = []
    if hot <= 0.0:
        flags.append(Flag("seizes", "No clearance is left at these temperatures: a running fit binds."))
    if outer_temperature < cold_temperature or inner_temperature < cold_temperature:
        flags.append(Flag("colder-than-measured", "A part is told as running colder than it was measured; check the temperatures."))
    return Result({"cold_clearance": cold, "hot_clearance": hot, "change": change}, tuple(flags))


def _check(values: Mapping[str, float]) -> None:
    for name in ("cold_clearance", "hot_clearance"):
        if abs(values.get(name, 0.0)) >= values["diameter"] / 2.0:
            raise CalculationError(name, "cannot be half the diameter", "impossible")


CALCULATION = Calculation(
    id="thermal-clearance",
    title="Clearance cold and hot",
    inputs=(
        Input("diameter", "length", "in", "diameter of the fit, cold", low=0.001, high=1.0),
        Input("outer_expansion", "expansion", "um/m/K", "expansion of the outer part", low=0.0, high=2e-4),
        Input("inner_expansion", "expansion", "um/m/K", "expansion of the inner part", low=0.0, high=2e-4),
        Input("outer_temperature", "temperature", "degF", "outer part, running", low=200.0, high=900.0),
        Input("inner_temperature", "temperature", "degF", "inner part, running", low=200.0, high=900.0),
        Input("cold_clearance", "length", "thou", "diametral clearance cold", low=-0.01, high=0.01, required=False),
        Input("hot_clearance", "length", "thou", "diametral clearance wanted hot", low=-0.01, high=0.01, required=False),
        Input("cold_temperature", "temperature", "degF", "both parts when measured", low=200.0, high=350.0, default=293.15),
    ),
    outputs=(
        Output("cold_clearance", "length", "thou", "um", "diametral clearance cold"),
        Output("hot_clearance", "length", "thou", "um", "diametral clearance running"),
        Output("change", "length", "thou", "um", "hot less cold"),
    ),
    run=thermal_clearance,
    assumptions=("Each part has one temperature; a piston is hotter at the crown than at the skirt, so ask for each place.",
                 "Expansion is the mean over the span of temperature; aluminium's rises with it.",
                 "Running temperatures are guesses unless measured; carry their doubt as an uncertainty."),
    references=("Own worked case; expansion of gray iron from a shop text (derived)",),
    check=_check,
)  # fmt: skip
