"""Keys and keyseats by shaft (ANSI B17.1), their fits, and Woodruff keys (B17.2)."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal, localcontext
from fractions import Fraction

from ..quantity import Quantity
from .cells import Cell, Row, worked_out
from .choosing import INCH, Answer, by_size, by_word, in_step, renamed, rows_of, shown, with_cells
from .errors import OutsideTable
from .load import table

FORMULA_FROM, FORMULA_TO = Fraction(1, 2), Fraction(4)
"""Shafts [in] for which depths are printed or worked out."""
FORMULA_NOTE = "by the formula that meets the printed rows within 0.0005 in"
HUB_CLEARANCE, TAPER_DRIVE = Fraction("0.005"), Fraction("0.020")
DEPTHS_NOTE = ("s: from the bottom of the shaft's keyseat to the far side of the shaft; t: from the bottom of the hub's keyseat to the far side of "
               "the bore (taper keys: at the deep end). Measure these, not the depth of the slot")  # fmt: skip
SQUARE_NOTE = "square keys are the usual choice up to 6-1/2 in of shaft"
OLD_NOTE = "an old hub may have been cut to none of this: measure the seat in shaft and hub first, and fit the key to them"
CLASS_2_NOTE = "class 2 is from memory, unchecked; no printed class 2 was read"


def keys(*, shaft: Quantity | None = None) -> Answer:
    """The key for a shaft, with the depths of both seats; without a shaft, every row.

    Raises:
        OutsideTable: the shaft lies outside 5/16 to 6-1/2 in.
        DimensionError: the shaft is not a length.
    """
    rows = rows_of("key-sizes", shaft_over="shaft_over_in", shaft_upto="shaft_upto_in", width="width_in", height_square="height_square_in",
                   height_rectangular="height_rectangular_in")  # fmt: skip
    if shaft is None:
        return Answer(rows, (SQUARE_NOTE, OLD_NOTE))
    size = shaft.to(INCH)
    found = in_step(rows, "shaft_over", "shaft_upto", size)
    if not found:
        low, high = rows[0].cells["shaft_over"].exact, rows[-1].cells["shaft_upto"].exact
        raise OutsideTable(f"keys are on file for shafts over {shown(low)}, up to and including {shown(high)} in; "
                           f"{shown(size)} in lies outside", "shaft")  # fmt: skip
    row = found[0]
    notes = [SQUARE_NOTE, OLD_NOTE]
    if FORMULA_FROM <= size <= FORMULA_TO:
        row = with_cells(row, **_depths(row, size))
        notes.insert(0, DEPTHS_NOTE)
    else:
        notes.insert(0, "depths s and t are on file for shafts of 1/2 to 4 in")
    return Answer((row,), tuple(notes))


def _depths(row: Row, size: Fraction) -> dict[str, Cell]:
    names = {name: f"{name}_in" for end in ("square", "rectangular") for name in (f"s_{end}", f"t_parallel_{end}", f"t_taper_{end}")}
    for printed in table("key-depths"):
        if printed.cells["shaft_in"].exact == size:
            return dict(renamed(printed, **names).cells)
    found = {}
    width = row.cells["width"]
    for end in ("square", "rectangular"):
        height = row.cells.get(f"height_{end}")
        if height is None:
            continue
        middle = size - chord_height(size, width.exact)
        half = height.exact / 2
        for name, value in ((f"s_{end}", middle - half), (f"t_parallel_{end}", middle + half + HUB_CLEARANCE),
                            (f"t_taper_{end}", middle + half - TAPER_DRIVE)):  # fmt: skip
            found[name] = worked_out(_ten_thousandths(value), "in", (width, height), FORMULA_NOTE)
    return found


def chord_height(shaft: Fraction, width: Fraction) -> Fraction:
    """Height of shaft lost above the flat of a keyseat: (D - sqrt(D^2 - W^2)) / 2 [in]; right to 24 figures."""
    with localcontext() as context:
        context.prec = 28
        under = shaft * shaft - width * width
        root = (Decimal(under.numerator) / Decimal(under.denominator)).sqrt()
    return (shaft - Fraction(root)) / 2


def _ten_thousandths(value: Fraction) -> Decimal:
    with localcontext() as context:
        context.prec = 28
        return (Decimal(value.numerator) / Decimal(value.denominator)).quantize(Decimal("0.0001"), ROUND_HALF_EVEN)


def key_fits(*, width: Quantity | None = None, shape: str = "", fit_class: str = "") -> Answer:
    """Tolerances of key and seat by width; class 1 is the free one.

    Raises:
        OutsideTable: no row reaches this width.
        UnknownId: no such shape or class.
    """
    names = [name for name in table("key-fits")[0].cells]
    rows = rows_of("key-fits", **{name.removesuffix("_in"): name for name in names})
    rows = by_word(by_word(rows, "shape", shape, "shape"), "fit_class", fit_class, "class of key fit")
    if width is not None:
        size = width.to(INCH)
        kept = in_step(rows, "width_over", "width_upto", size)
        if not kept:
            high = max(row.cells["width_upto"].exact for row in rows)
            raise OutsideTable(f"key fits are on file for widths up to and including {shown(high)} in; {shown(size)} in lies outside", "width")
        rows = kept
    remembered = any(row.words["fit_class"] == "2" for row in rows)
    return Answer(rows, ("deviations from the nominal size; a tightest fit below zero is an interference", *((CLASS_2_NOTE,) if remembered else ())))


def woodruff_keys(*, key: Decimal | None = None, width: Quantity | None = None, diameter: Quantity | None = None) -> Answer:
    """Woodruff keys by number, width or diameter.

    Raises:
        OutsideTable: no key has this number.
    """
    rows = rows_of("woodruff-keys", key_number="key_number", width="width_in", diameter="diameter_in", height_high="height_high_in",
                   height_low="height_low_in")  # fmt: skip
    if key is not None:
        rows = tuple(row for row in rows if row.cells["key_number"].value == key)
        if not rows:
            raise OutsideTable(f"no Woodruff key {shown(Fraction(key))} is on file; the list goes to 1-1/2 in of diameter", "key")
    rows = by_size(by_size(rows, "diameter", diameter), "width", width)
    return Answer(rows, ("the numbers are by the usual rule, from memory; widths, diameters and heights were read",))
