"""From a worn bore to the oversize that cleans it, the finished bore, and the size to bore before honing."""

from __future__ import annotations

from ._sizes import CLEAN_UP, SHARED, TRIED, next_size, no_offset_flag
from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def rebore(
    standard_bore: float,
    largest_bore: float,
    sizes: tuple[float, ...],
    axis_offset: float = 0.0,
    score_depth: float = 0.0,
    margin: float = 0.0000254,
    tried: float | None = None,
    piston_diameter: float | None = None,
    piston_clearance: float | None = None,
    honing_allowance: float | None = None,
    wall_thickness: float | None = None,
    least_wall: float | None = None,
) -> Result:
    """The next oversize that cleans a cylinder up, and what to bore it to.

    Equation:
        clean_up = largest_bore + 2 axis_offset + 2 score_depth + margin;
        oversize = the smallest of sizes with standard_bore + oversize >= clean_up;
        finish = piston_diameter + piston_clearance;  bore_to = finish - honing_allowance;
        wall_left = wall_thickness - oversize / 2 - axis_offset

    In:
        standard_bore [m]: bore as built
        largest_bore [m]: largest diameter found anywhere in the ring travel
        sizes [m]: oversizes of piston to be had
        axis_offset [m]: how far the boring bar's axis lies from the worn one
        score_depth [m]: depth of the deepest score below the measured wall
        margin [m]: extra on the diameter to be sure of clean metal
        tried [m]: an oversize already bored that did not clean up
        piston_diameter [m]: the new piston, measured
        piston_clearance [m]: clearance wanted, on the diameter
        honing_allowance [m]: left on the diameter for the hone
        wall_thickness [m]: thinnest wall, from the standard bore outward
        least_wall [m]: thinnest wall you will leave

    Out:
        answer [text]: what to do
        clean_up [m]: diameter that just cleans up
        oversize [m]: oversize to take
        nominal_bore [m]: standard bore plus oversize
        finish [m]: finished bore for the piston in hand
        bore_to [m]: diameter to bore before honing
        wall_left [m]: thinnest wall afterwards

    Valid:
        Diameters from a survey of the whole ring travel. Past the last size: a sleeve, bored to standard.

    Worked:
        Piston 78.46, clearance 0.03, honing 0.02 mm: bore 78.47, finish 78.49 mm (derived; rule and allowance published [1]).

        >>> v = rebore(0.078, 0.0783, (0.0005,), piston_diameter=0.07846, piston_clearance=3e-5, honing_allowance=2e-5).values
        >>> round(v["bore_to"] * 1000, 2), round(v["finish"] * 1000, 2)
        (78.47, 78.49)

        2.913 in bore, 0.012 worn, 0.002 margin, sizes 0.020 and 0.040: 0.020, 2.933 in (derived; limits and sizes published [2]).

        >>> v = rebore(2.913 * 0.0254, 2.925 * 0.0254, (0.02 * 0.0254, 0.04 * 0.0254), margin=0.002 * 0.0254).values
        >>> round(v["nominal_bore"] / 0.0254, 3)
        2.933

    References:
        1. Service manual of a light car, cylinder block inspection, steps 3 and 4 (published).
        2. Motor-cycle instruction book, inspection of cylinder and rings (published).
        3. Magazine account of a rebuild: 0.020 in did not clean the scoring, 0.030 did (published).
    """
    clean_up = largest_bore + 2.0 * axis_offset + 2.0 * score_depth + margin
    flags = no_offset_flag(axis_offset)
    finish = None if piston_diameter is None or piston_clearance is None else piston_diameter + piston_clearance
    values: dict[str, float | str | bool | None] = {
        "clean_up": clean_up, "finish": finish, "bore_to": None if finish is None or honing_allowance is None else finish - honing_allowance,
    }  # fmt: skip
    if largest_bore < standard_bore - 0.001:
        raise CalculationError("largest_bore", "is well under the standard bore; check both", "impossible")
    oversize = next_size(sizes, clean_up - standard_bore, tried)
    if oversize is None:
        flags.append(Flag("past-last-size", "No oversize to be had cleans this up."))
        return Result(values | {"answer": "Past the last size: fit a sleeve and bore it to standard."}, tuple(flags))
    values |= {"oversize": oversize, "nominal_bore": standard_bore + oversize}
    if finish is not None and finish < clean_up:
        flags.append(Flag("piston-too-small", "The finished bore for this piston does not clean the cylinder; measure the piston and its size."))
    answer = "Bore to this oversize; have the piston in hand and measured before the last cut."
    if wall_thickness is None:
        flags.append(Flag("wall-not-judged", "No wall thickness was given. Hopper castings vary and rust from the water side: sound the wall."))
    else:
        left = wall_thickness - oversize / 2.0 - axis_offset
        values["wall_left"] = left
        if left <= 0.0:
            raise CalculationError("wall_thickness", "is used up by this oversize", "impossible")
        if least_wall is not None and left < least_wall:
            flags.append(Flag("wall-too-thin", "The wall left is under the least you named."))
            answer = "Too little wall is left for this oversize: sleeve instead."
    return Result(values | {"answer": answer}, tuple(flags))


CALCULATION = Calculation(
    id="rebore",
    title="Next oversize and finished bore",
    inputs=(
        Input("standard_bore", "length", "in", "bore as built", low=0.02, high=1.0),
        Input("largest_bore", "length", "in", "largest diameter found", low=0.02, high=1.0),
        Input("sizes", "length", "thou", "oversizes to be had", low=0.0, high=0.02, open_low=True, many=20),
        *SHARED, TRIED,
        Input("piston_diameter", "length", "in", "the new piston, measured", low=0.02, high=1.0, required=False),
        Input("piston_clearance", "length", "thou", "clearance wanted, on the diameter", low=0.0, high=0.002, required=False),
        Input("honing_allowance", "length", "thou", "left on the diameter for the hone", low=0.0, high=0.001, required=False),
        Input("wall_thickness", "length", "in", "thinnest wall from the standard bore outward", low=0.0, high=0.1, required=False),
        Input("least_wall", "length", "in", "thinnest wall you will leave", low=0.0, high=0.1, required=False),
    ),
    outputs=(
        Output("answer", "text", "", "", "what to do"),
        CLEAN_UP,
        Output("oversize", "length", "thou", "mm", "oversize to take"),
        Output("nominal_bore", "length", "in", "mm", "standard bore plus oversize"),
        Output("finish", "length", "in", "mm", "finished bore for the piston in hand"),
        Output("bore_to", "length", "in", "mm", "diameter to bore before honing"),
        Output("wall_left", "length", "in", "mm", "thinnest wall afterwards"),
    ),
    run=rebore,
    assumptions=("The largest diameter was looked for over the whole ring travel, both ways across.",
                 "A margin of 0.001 in is taken where none is given: our judgement; hand honing leaves 0.002 to 0.003 in (from memory).",
                 "Sizes are what you can buy; no full published series of oversizes was found."),
    references=("Service manual of a light car, cylinder block inspection (published)", "Motor-cycle instruction book (published)",
                "Magazine account of a rebuild (published)"),
    cautions=("A bored wall cannot be put back: sound it in several places first, water side and valve pocket above all.",),
)  # fmt: skip
