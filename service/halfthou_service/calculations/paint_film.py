"""Paint: wet and dry film, and how much paint an area takes."""

from __future__ import annotations

from halfthou_specdb.units import UNITS

from ._shared import exactly_one, needed, whole
from .frame import Calculation, Flag, Input, Output, Result

_US_GALLON = float(UNITS["USgal"].factor)
_THOU = float(UNITS["thou"].factor)


def paint_film(
    volume_solids: float,
    dry_film: float | None = None,
    wet_film: float | None = None,
    coats: float = 1.0,
    thinner: float = 0.0,
    loss: float = 0.0,
    area: float | None = None,
) -> Result:
    """Wet film for a dry one and back, and paint for an area.

    Equation:
        s = volume_solids / (1 + thinner);  dry_film = wet_film s;
        litre_covers = 0.001 volume_solids (1 - loss) / dry_film;  paint_needed = area coats dry_film / (volume_solids (1 - loss))

    In:
        volume_solids [1]: share of the paint's volume that stays, from its sheet
        dry_film [m]: wanted dry film of one coat
        wet_film [m]: wet film read by comb, instead of dry_film
        coats [count]: coats alike
        thinner [1]: volume of thinner for one of paint
        loss [1]: share of the paint that does not land on the work
        area [m2]: area to cover

    Out:
        dry_film [m]: dry film of one coat
        wet_film [m]: wet film of one coat, thinned as said
        all_coats [m]: dry film of all coats
        litre_covers [m2]: area one litre of unthinned paint covers, one coat
        gallon_covers [m2]: area one US gallon covers, one coat
        paint_needed [m3]: unthinned paint for the area and all coats

    Valid:
        Smooth metal; rough castings take more. The thinner is taken to leave altogether.

    Worked:
        42.5 per cent solids, 1 thou dry, no loss: 682 sq ft a US gallon; an industrial enamel's sheet says 675 to 690
        (common practice).

        >>> answer = paint_film(volume_solids=0.425, dry_film=25.4e-6)
        >>> round(answer.values["gallon_covers"] / 0.3048**2)
        682

    References:
        1. Sheet of an industrial alkyd enamel: 1.5 to 2.5 thou dry from 3.5 to 6.0 wet, 675 to 690 sq ft a gallon at 1 thou,
           230 to 390 in practice with 15 per cent loss (common practice).
        2. Technical manual TM 43-0139, table 3-2: oil paint on medium steel 350 to 500 sq ft a gallon, first coat (published).
    """
    thinned = volume_solids / (1.0 + thinner)
    if exactly_one({"dry_film": dry_film, "wet_film": wet_film}) == "dry_film":
        dry = needed("dry_film", dry_film, "give dry_film or wet_film")
        wet = dry / thinned
    else:
        wet = needed("wet_film", wet_film, "give dry_film or wet_film")
        dry = wet * thinned
    landed = volume_solids * (1.0 - loss)
    number = whole("coats", coats)
    flags: list[Flag] = []
    if not 1.5 <= dry / _THOU <= 2.5:
        flags.append(Flag("unusual-film", f"{dry / _THOU:.2g} thou a coat; an industrial enamel asks for 1.5 to 2.5. Thin primer is "
                          "less, and the paint's own sheet goes before this."))  # fmt: skip
    values = {"dry_film": dry, "wet_film": wet, "all_coats": dry * number, "litre_covers": 1e-3 * landed / dry,
              "gallon_covers": _US_GALLON * landed / dry,
              "paint_needed": None if area is None else area * number * dry / landed}  # fmt: skip
    return Result(values, tuple(flags))


CALCULATION = Calculation(
    id="paint-film",
    title="Paint film and coverage",
    inputs=(
        Input("volume_solids", "ratio", "percent", "solids by volume, from the paint's sheet", low=0.0, high=1.0, open_low=True),
        Input("dry_film", "length", "thou", "dry film of one coat", low=0.0, high=0.005, open_low=True, required=False),
        Input("wet_film", "length", "thou", "wet film of one coat", low=0.0, high=0.005, open_low=True, required=False),
        Input("coats", "count", "count", "coats alike", low=1.0, high=20.0, default=1.0),
        Input("thinner", "ratio", "percent", "thinner for one volume of paint", low=0.0, high=2.0, default=0.0),
        Input("loss", "ratio", "percent", "paint that misses the work", low=0.0, high=0.9, default=0.0),
        Input("area", "area", "ft2", "area to cover", low=0.0, required=False),
    ),
    outputs=(
        Output("dry_film", "length", "thou", "um", "dry film of one coat"),
        Output("wet_film", "length", "thou", "um", "wet film of one coat"),
        Output("all_coats", "length", "thou", "um", "dry film of all coats"),
        Output("litre_covers", "area", "ft2", "m2", "area one litre covers, one coat"),
        Output("gallon_covers", "area", "ft2", "m2", "area one US gallon covers, one coat"),
        Output("paint_needed", "volume", "USgal", "L", "unthinned paint for the area and all coats"),
    ),
    run=paint_film,
    assumptions=("Smooth metal; a rough casting takes more.", "All the thinner leaves; only the paint's solids stay.",
                 "Faces that carry the ground current, and bolt-hole faces, stay bare and are not in the area."),
    references=("Sheet of an industrial alkyd enamel (common practice)", "Technical manual TM 43-0139, table 3-2 (published)"),
    cautions=("Take old paint for lead paint: work wet, no dry sanding or blasting (C040).",
              "Ordinary alkyd gives up at about 200 to 212 F: not for an exhaust or a bare head (C045).",
              "Thinner burns and its vapour creeps along the floor: moving air, no flame, no pilot light (C012)."),
)  # fmt: skip
