"""Woven wire cloth for strainers: opening, open area, and whether the screen lets enough through."""

from __future__ import annotations

import math

from ._shared import exactly_one, needed
from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def screen_cloth(
    mesh: float,
    wire_diameter: float | None = None,
    opening: float | None = None,
    screen_area: float | None = None,
    pipe_bore: float | None = None,
) -> Result:
    """Opening and open area of plain square wire cloth; free area of a screen against the pipe it feeds.

    Equation:
        opening = 1 / mesh - wire_diameter;  open_share = (opening mesh)^2;  free_area = open_share screen_area;
        pipes_worth = free_area / (pi / 4 pipe_bore^2)

    In:
        mesh [1/m]: openings along a length, told as openings per inch
        wire_diameter [m]: wire
        opening [m]: clear distance between wires, instead of wire_diameter
        screen_area [m2]: area of cloth the fluid goes through
        pipe_bore [m]: bore of the pipe behind it

    Out:
        wire_diameter [m]: given or found
        opening [m]: side of one square opening; a round grain larger than this stays out
        open_share [1]: open area over whole area
        free_area [m2]: open area of the screen
        pipes_worth [1]: how many times the bore of the pipe

    Valid:
        Plain square weave, same wire and count both ways. A long thin splinter slips through a square it could not lie across.
        A clean screen; dirt closes it.

    Worked:
        80 mesh of 0.0055 in wire: openings of 0.0070 in, 31.4 per cent open (trade figures, from memory).

        >>> answer = screen_cloth(mesh=80 / 0.0254, wire_diameter=0.0055 * 0.0254)
        >>> round(answer.values["opening"] / 0.0254, 4), round(answer.values["open_share"], 3)
        (0.007, 0.314)

    References:
        1. Geometry of a square weave (own arithmetic).
        2. Restorers' usual 80-mesh brass for suction strainers (common practice).
    """
    pitch = 1.0 / mesh
    if exactly_one({"wire_diameter": wire_diameter, "opening": opening}) == "wire_diameter":
        wire = needed("wire_diameter", wire_diameter, "give wire_diameter or opening")
        gap = pitch - wire
        if gap <= 0.0:
            raise CalculationError("wire_diameter", "is as thick as the wires are apart: no opening would be left", "impossible")
    else:
        gap = needed("opening", opening, "give wire_diameter or opening")
        wire = pitch - gap
        if wire <= 0.0:
            raise CalculationError("opening", "is as wide as the wires are apart: no wire would be left", "impossible")
    share = (gap * mesh) ** 2
    free = None if screen_area is None else share * screen_area
    if pipe_bore is not None and free is None:
        raise CalculationError("screen_area", "is missing: pipe_bore is compared with it", "missing-input")
    worth = None if free is None or pipe_bore is None else free / (math.pi / 4.0 * pipe_bore**2)
    flags = [Flag("splinters", "Long thin dirt passes an opening narrower than its length.")]
    if worth is not None and worth < 1.0:
        flags.append(Flag("chokes-the-pipe", "Even clean, the screen is narrower than the pipe: give it more cloth."))
    values = {"wire_diameter": wire, "opening": gap, "open_share": share, "free_area": free, "pipes_worth": worth}
    return Result(values, tuple(flags))


CALCULATION = Calculation(
    id="screen-cloth",
    title="Wire cloth for a strainer",
    inputs=(
        Input("mesh", "linear_frequency", "mesh", "openings per inch", low=39.0, high=40000.0),
        Input("wire_diameter", "length", "in", "wire", low=0.0, high=0.02, open_low=True, required=False),
        Input("opening", "length", "in", "clear distance between wires", low=0.0, high=0.03, open_low=True, required=False),
        Input("screen_area", "area", "in2", "area of cloth used", low=0.0, open_low=True, required=False),
        Input("pipe_bore", "length", "in", "bore of the pipe behind it", low=0.0, high=0.5, open_low=True, required=False),
    ),
    outputs=(
        Output("wire_diameter", "length", "thou", "um", "wire"),
        Output("opening", "length", "thou", "um", "side of one opening"),
        Output("open_share", "ratio", "percent", "percent", "open area"),
        Output("free_area", "area", "in2", "mm2", "open area of the screen"),
        Output("pipes_worth", "ratio", "ratio", "ratio", "free area over the bore of the pipe"),
    ),
    run=screen_cloth,
    assumptions=("Plain square weave, the same both ways; the cloth is clean.",),
    references=("Geometry of a square weave (own arithmetic)", "80-mesh brass in suction strainers (common practice)"),
    cautions=("A strainer drips fuel when it is opened: engine cold and stopped, no flame or spark in the room (C010).",),
)  # fmt: skip
