"""How hot to make the outer part, or how cold the inner, so that a fit drops together."""

from __future__ import annotations

from .frame import Calculation, CalculationError, Flag, Input, Output, Result

MELTING = 200.0 + 273.15
LIQUID_NITROGEN, DRY_ICE = 77.4, 194.7
HOTTEST = 400.0 + 273.15


def shrink_fit(
    fit_diameter: float,
    interference: float,
    expansion: float,
    assembly_gap: float = 0.0,
    room_temperature: float = 293.15,
    part: str = "heat-outer",
) -> Result:
    """Temperature at which an interference opens into a gap to assemble with.

    Equation:
        temperature_change = (interference + assembly_gap) / (expansion fit_diameter), warmer for the outer part, colder for
        the inner;  fit_strain = interference / fit_diameter, and a thin tyre on a stiff wheel is stressed by its stiffness times that

    In:
        fit_diameter [m]: diameter of the fit, not of the outside
        interference [m]: interference on the diameter, cold
        expansion [1/K]: expansion of the part heated or cooled
        assembly_gap [m]: gap wanted while it goes together, on the diameter
        room_temperature [K]: temperature of the other part
        part [choice]: heat-outer or cool-inner

    Out:
        temperature_change [K]: warming, or cooling as a negative figure
        part_temperature [K]: temperature the part must still have when it goes on
        fit_strain [1]: interference over diameter

    Valid:
        Even heat, one expansion over the span, refused over 400 degC and under liquid nitrogen. It tells the least temperature
        at assembly, not at the torch: the part cools while it is carried.

    Worked:
        Steel tyre, 48 in wheel, 6 ton/in2 at E 13000 ton/in2, 6.2e-6 per degF: 74.4 degF (quoted [1]).

        >>> found = shrink_fit(48 * 0.0254, 48 * 0.0254 * 6 / 13000, 6.2e-6 * 1.8)
        >>> round(found.values["temperature_change"] * 1.8, 1)
        74.4

    References:
        1. S. B. Junnarkar, Mechanics of Structures, ex. 14, p. 19, as keyed in an open textbook companion (quoted).
        2. Solidus of tin and lead white metals 240 degC, material data base (published).
    """
    change = (interference + assembly_gap) / (expansion * fit_diameter)
    flags = []
    if part == "heat-outer":
        temperature = room_temperature + change
        if temperature > HOTTEST:
            raise CalculationError("interference", "would need the outer part over 400 degC: it scales, softens or cracks; ease the fit", "refused")
        if temperature > MELTING:
            flags.append(Flag("over-200-degC", "Past 200 degC solder, seals and temper go, and white metal starts to melt near 240."))
    else:
        change, temperature = -change, room_temperature - change
        if temperature < LIQUID_NITROGEN:
            raise CalculationError("interference", "would need the inner part colder than liquid nitrogen; heat the outer part too", "refused")
        if temperature < DRY_ICE:
            flags.append(Flag("colder-than-dry-ice", "Dry ice does not get this cold; liquid nitrogen needs training, gloves and moving air. "
                              "Cast iron turns brittle: do not strike it."))  # fmt: skip
    if assembly_gap == 0.0:
        flags.append(Flag("no-assembly-gap", "No gap was allowed to assemble with: at this temperature the parts are size for size."))
    return Result({"temperature_change": change, "part_temperature": temperature, "fit_strain": interference / fit_diameter}, tuple(flags))


CALCULATION = Calculation(
    id="shrink-fit",
    title="Heat for a shrunk fit",
    inputs=(
        Input("fit_diameter", "length", "in", "diameter of the fit", low=0.001, high=3.0),
        Input("interference", "length", "thou", "interference on the diameter, cold", low=0.0, high=0.02),
        Input("expansion", "expansion", "um/m/K", "expansion of the part heated or cooled", low=0.0, high=1e-4, open_low=True),
        Input("assembly_gap", "length", "thou", "gap wanted while it goes together", low=0.0, high=0.01, default=0.0),
        Input("room_temperature", "temperature", "degF", "temperature of the other part", low=233.15, high=333.15, default=293.15),
        Input("part", "choice", "", "which part is brought to temperature", default="heat-outer", choices=("heat-outer", "cool-inner")),
    ),
    outputs=(
        Output("temperature_change", "temperature_difference", "delta_degF", "delta_degC", "warming, or cooling as a negative figure"),
        Output("part_temperature", "temperature", "degF", "degC", "temperature when it goes on"),
        Output("fit_strain", "ratio", "thou/in", "mm/m", "interference over diameter"),
    ),
    run=shrink_fit,
    assumptions=("The part has one temperature throughout; uneven heat cracks a casting.",
                 "Expansion is the mean over the span; it falls off in deep cold, so a cooled part shrinks less than told."),
    references=("S. B. Junnarkar, Mechanics of Structures, ex. 14, p. 19 (quoted)", "White metal solidus, material data base (published)"),
    cautions=(
        "No flame near fuel, a tank or solvent. Degrease and dry first; old paint and plating give off poison when hot (C001, C010, C040).",
        "Never heat a closed hollow part: drill or vent it first (C065).",
        "Heat a spoked wheel hub slowly and evenly, or not at all: spokes and rim crack.",
    ),
)  # fmt: skip
