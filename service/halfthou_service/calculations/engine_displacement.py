"""Swept volume of an engine, and the old rating formula that takes only the bore."""

from __future__ import annotations

import math

from halfthou_specdb.units import UNITS

from ._shared import CYLINDERS, whole
from .frame import Calculation, Flag, Input, Output, Result

_INCH = float(UNITS["in"].factor)
_HORSEPOWER = float(UNITS["hp"].factor)


def engine_displacement(bore: float, stroke: float, cylinders: float = 1.0) -> Result:
    """Volume the pistons sweep, from bore and stroke.

    Equation:
        swept_volume = (pi / 4) bore^2 stroke;  displacement = swept_volume cylinders;
        rated power in horsepower = (bore in inches)^2 cylinders / 2.5

    In:
        bore [m]: cylinder bore, measured where it is least worn for the engine as built
        stroke [m]: travel of the piston from dead centre to dead centre (twice the crank radius)
        cylinders [count]: number of cylinders

    Out:
        swept_volume [m3]: volume swept in one cylinder
        displacement [m3]: volume swept in all of them
        rated_power [W]: the old bore rating, which never looks at stroke or speed

    Valid:
        Any piston engine with the crank in line with the cylinder. The rating takes a piston speed of 1000 ft/min
        and so overstates slow engines, which run at a third to a half of that.

    Worked:
        3 in by 4 in sweeps 28.26 in3 (quoted [1]; the work takes 0.785 for pi/4, hence 28.27 here).

        >>> round(engine_displacement(bore=3 * 0.0254, stroke=4 * 0.0254).values["swept_volume"] / 0.0254**3, 2)
        28.27

    References:
        1. E. J. Kates, Diesel and High Compression Gas Engines: Fundamentals, ch. 4 ex. 2, p. 62, as keyed in an open
           textbook companion (quoted).
        2. Rating formula bore^2 cylinders / 2.5 as told on a page of motoring history, with its assumptions (common practice).
    """
    swept = math.pi / 4.0 * bore**2 * stroke
    count = whole("cylinders", cylinders)
    rated = (bore / _INCH) ** 2 * count / 2.5 * _HORSEPOWER
    flags = (
        Flag("rating-overstates", "The bore rating takes 1000 ft/min of piston speed; a slow engine makes a good deal less. "
             "It is a tax figure, not a power."),
    )  # fmt: skip
    return Result({"swept_volume": swept, "displacement": swept * count, "rated_power": rated}, flags)


CALCULATION = Calculation(
    id="engine-displacement",
    title="Swept volume of an engine",
    inputs=(
        Input("bore", "length", "in", "cylinder bore", low=0.005, high=2.0),
        Input("stroke", "length", "in", "stroke, twice the crank radius", low=0.005, high=3.0),
        CYLINDERS,
    ),
    outputs=(
        Output("swept_volume", "volume", "in3", "L", "volume swept in one cylinder"),
        Output("displacement", "volume", "in3", "L", "volume swept in all cylinders"),
        Output("rated_power", "power", "hp", "kW", "the old rating by bore alone"),
    ),
    run=engine_displacement,
    assumptions=("The crank lies in line with the cylinder, so the stroke is twice its radius.",
                 "A worn bore sweeps more than the engine was built with; use the bore the question is about."),
    references=("E. J. Kates, Diesel and High Compression Gas Engines: Fundamentals, ch. 4 ex. 2, p. 62 (quoted)",
                "Rating formula by bore, page of motoring history (common practice)"),
)  # fmt: skip
