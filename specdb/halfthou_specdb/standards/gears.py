"""Backlash of gears by pitch. Diametral pitch is teeth to an inch of pitch diameter; a module in millimetres is 25.4 over it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from ..errors import QuantityError
from ..quantity import Quantity
from .cells import Row
from .choosing import INCH, MM, Answer, in_step, rows_of, shown
from .errors import OutsideTable

MM_PER_INCH = Fraction("25.4")
NEW_NOTE = "for machine-cut gears; no printed figure for old cast teeth was found"
RANGE_NOTE = "kind range: by pitch and centre distance; kind average: by pitch alone, from memory, unchecked"
EDGE_NOTE = "the pitch stands at the edge of two rows, and the text does not say which it belongs to: both are told"


def gear_backlash(*, pitch: Decimal | None = None, module: Quantity | None = None, centres: Quantity | None = None) -> Answer:
    """Backlash of spur, helical and herringbone gears by pitch and centre distance.

    Raises:
        OutsideTable: no row for this pitch or centre distance; names what there is.
        QuantityError: both pitch and module, or one that is not above zero.
    """
    rows = rows_of("gear-backlash", pitch_from="pitch_from", pitch_to="pitch_to", centres_over="centres_over_in",
                   centres_upto="centres_upto_in", backlash_low="backlash_low_in", backlash_high="backlash_high_in")  # fmt: skip
    wanted = _pitch(pitch, module)
    kept = rows if wanted is None else tuple(row for row in rows if _has(rows, row, wanted))
    if not kept and wanted is not None:
        raise OutsideTable(f"gear backlash is on file for diametral pitches of 0.5 to 64; {shown(wanted)} lies outside or between its rows", "pitch")
    if centres is not None:
        size = centres.to(INCH)
        ranged = [row for row in kept if "centres_upto" in row.cells]
        found = in_step(ranged, "centres_over", "centres_upto", size)
        if not found:
            spans = sorted({(row.cells["centres_over"].exact, row.cells["centres_upto"].exact) for row in ranged})
            told = f"over {shown(spans[0][0])}, up to {shown(spans[-1][1])} in" if spans else "none"
            raise OutsideTable(f"centre distances on file at this pitch: {told}; {shown(size)} in lies outside", "centres")
        kept = (*found, *(row for row in kept if "centres_upto" not in row.cells))
    return Answer(kept, (RANGE_NOTE, NEW_NOTE))


def bevel_backlash(*, pitch: Decimal | None = None, module: Quantity | None = None) -> Answer:
    """Backlash of bevel and hypoid gears by pitch, for quality numbers 7 to 13 and 3 to 6.

    Raises:
        OutsideTable: no row for this pitch.
        QuantityError: both pitch and module, or one that is not above zero.
    """
    names = {name: f"{name}_in" for q in ("7_13", "3_6") for name in (f"quality_{q}_low", f"quality_{q}_high")}
    rows = rows_of("bevel-backlash", pitch_from="pitch_from", pitch_to="pitch_to", **names)
    wanted = _pitch(pitch, module)
    if wanted is None:
        return Answer(rows, (NEW_NOTE,))
    kept = tuple(row for row in rows if row.cells["pitch_from"].exact <= wanted <= row.cells["pitch_to"].exact)
    if not kept:
        raise OutsideTable(f"bevel backlash is on file for diametral pitches of 1 to 80; {shown(wanted)} lies outside", "pitch")
    return Answer(kept, (EDGE_NOTE, NEW_NOTE) if len(kept) > 1 else (NEW_NOTE,))


def _pitch(pitch: Decimal | None, module: Quantity | None) -> Fraction | None:
    if pitch is not None and module is not None:
        raise QuantityError("give the diametral pitch or the module, not both")
    if pitch is None and module is None:
        return None
    given = Fraction(pitch) if pitch is not None else module.to(MM) if module is not None else Fraction(0)
    if given <= 0:
        raise QuantityError("a pitch or module is above zero", "not-positive")
    return given if pitch is not None else MM_PER_INCH / given


def _has(rows: tuple[Row, ...], row: Row, wanted: Fraction) -> bool:
    """Ranges print their end as 1.99 where the next begins at 2.0: a pitch between belongs to the row below."""
    start, end = row.cells["pitch_from"].exact, row.cells["pitch_to"].exact
    if row.words["kind"] == "average":
        return start <= wanted <= end
    later = [r.cells["pitch_from"].exact for r in rows if r.words["kind"] == "range" and r.cells["pitch_from"].exact > start]
    return start <= wanted and (wanted < min(later) if later else wanted <= end)
