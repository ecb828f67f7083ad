"""From a worn journal to the undersize that cleans it."""

from __future__ import annotations

from ._sizes import CLEAN_UP, SHARED, TRIED, next_size, no_offset_flag
from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def regrind(
    standard_journal: float,
    smallest_journal: float,
    sizes: tuple[float, ...] | None = None,
    axis_offset: float = 0.0,
    score_depth: float = 0.0,
    margin: float = 0.0000254,
    tried: float | None = None,
    least_journal: float | None = None,
) -> Result:
    """The next undersize that cleans a journal up; with poured bearings, just the size that cleans.

    Equation:
        clean_up = smallest_journal - 2 axis_offset - 2 score_depth - margin;
        undersize = the smallest of sizes with standard_journal - undersize <= clean_up; none sold: grind to clean_up

    In:
        standard_journal [m]: journal as built
        smallest_journal [m]: smallest diameter found anywhere on it
        sizes [m]: undersizes of bearing to be had; left out for a bearing poured to suit
        axis_offset [m]: how far the grinder's axis lies from the worn one
        score_depth [m]: depth of the deepest score below the measured face
        margin [m]: extra on the diameter to be sure of clean metal
        tried [m]: an undersize already ground that did not clean up
        least_journal [m]: smallest journal you will run

    Out:
        answer [text]: what to do
        clean_up [m]: diameter that just cleans up
        undersize [m]: undersize to take
        finish [m]: journal after grinding

    Valid:
        Diameters from a survey along and round the journal. The fillet is ground to its old radius, never smaller.

    Worked:
        2.000 in journal, 1.994 smallest, offset 0.001, margin 0.001, sizes 0.010 0.020 0.030: 1.991 cleans, 0.010 (derived [1]).

        >>> i = 0.0254
        >>> v = regrind(2.0 * i, 1.994 * i, (0.01 * i, 0.02 * i, 0.03 * i), 0.001 * i, 0.0, 0.001 * i).values
        >>> round(v["clean_up"] / i, 4), round(v["undersize"] / i, 3)
        (1.991, 0.01)

    References:
        1. Own case (derived).
        2. Undersizes 0.010, 0.020 and 0.030 in of one engine class, TM 5-3805-262-34, crankshaft inspection, p. 4-24 (published).
        3. Fillet radii are never reduced when regrinding: AC 43.13-1B, para 8-3 (published).
    """
    if smallest_journal > standard_journal + 0.001:
        raise CalculationError("smallest_journal", "is well over the standard journal; check both", "impossible")
    clean_up = smallest_journal - 2.0 * axis_offset - 2.0 * score_depth - margin
    if clean_up <= 0.0:
        raise CalculationError("score_depth", "leaves no journal", "impossible")
    flags = no_offset_flag(axis_offset)
    values: dict[str, float | str | bool | None] = {"clean_up": clean_up}
    answer = "Grind to this size, fillets at their old radius; then fit the bearing to the journal."
    if sizes is None:
        finish: float | None = clean_up
        flags.append(Flag("no-sizes", "No sizes were given: the journal is ground just clean and the bearing poured or bored to suit it."))
    else:
        undersize = next_size(sizes, standard_journal - clean_up, tried)
        finish = None if undersize is None else standard_journal - undersize
        values["undersize"] = undersize
    if finish is None:
        flags.append(Flag("past-last-size", "No undersize to be had cleans this up."))
        answer = "Past the last size: pour the bearing to suit, or build the journal up and grind it back."
    elif least_journal is not None and finish < least_journal:
        flags.append(Flag("journal-too-small", "The journal would be under the least you named."))
        answer = "Too small a journal would be left: build it up and grind it back, or find another shaft."
    return Result(values | {"finish": finish, "answer": answer}, tuple(flags))


CALCULATION = Calculation(
    id="regrind",
    title="Next undersize of a journal",
    inputs=(
        Input("standard_journal", "length", "in", "journal as built", low=0.003, high=0.5),
        Input("smallest_journal", "length", "in", "smallest diameter found", low=0.003, high=0.5),
        Input("sizes", "length", "thou", "undersizes to be had", low=0.0, high=0.02, open_low=True, many=20, required=False),
        *SHARED, TRIED,
        Input("least_journal", "length", "in", "smallest journal you will run", low=0.0, high=0.5, required=False),
    ),
    outputs=(
        Output("answer", "text", "", "", "what to do"),
        CLEAN_UP,
        Output("undersize", "length", "thou", "mm", "undersize to take"),
        Output("finish", "length", "in", "mm", "journal after grinding"),
    ),
    run=regrind,
    assumptions=("The smallest diameter was looked for along and round the whole journal.",
                 "A margin of 0.001 in is taken where none is given: our judgement."),
    references=("Own case (derived)", "TM 5-3805-262-34, crankshaft inspection, p. 4-24 (published)", "AC 43.13-1B, para 8-3 (published)"),
    cautions=("A small or nicked fillet breaks the shaft: keep its radius and polish it. Crack-test before spending money on grinding.",),
)  # fmt: skip
