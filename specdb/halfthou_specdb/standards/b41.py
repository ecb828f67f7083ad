"""Fits after ANSI B4.1, sizes over 0 up to and including 7.09 in. The hole begins at the nominal size (basic hole)."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from fractions import Fraction
from functools import cache

from ..quantity import Quantity, decimal_of, plain
from ..units import UNITS
from .cells import Row, Used
from .designation import near, parse_b41
from .errors import OutsideTable, UnknownDesignation
from .fits import Fit, Part
from .load import table

INCH, THOU = UNITS["in"], UNITS["thou"]


@cache
def _rows(name: str) -> tuple[tuple[Row, ...], tuple[Fraction, ...]]:
    rows = tuple(row for row in table("b41-fits") if row.words["class"] == name)
    return rows, tuple(row.cells["upto_in"].exact for row in rows)


@cache
def classes() -> Mapping[str, Row]:
    """Every class, with its family and what it is for."""
    return {row.words["class"]: row for row in table("b41-classes")}


@cache
def _parts(name: str, step: int) -> tuple[Part, Part, tuple[Used, ...]]:
    row = _rows(name)[0][step]
    cells = row.cells
    hole_zone, shaft_zone = row.words["hole_zone"] or name, row.words["shaft_zone"] or name
    hole = Part(hole_zone, True, cells["hole_high_thou"].exact, Fraction(0), (Used("upper limit of the hole", cells["hole_high_thou"]),))
    high, low = cells["shaft_high_thou"], cells["shaft_low_thou"]
    shaft = Part(shaft_zone, False, high.exact, low.exact, (Used("upper limit of the shaft", high), Used("lower limit of the shaft", low)))
    return hole, shaft, (Used("tightest", cells["tightest_thou"]), Used("loosest", cells["loosest_thou"]))


def fit(designation: str, size: Quantity) -> Fit:
    """A fit such as ``RC5`` at a size.

    Raises:
        UnknownDesignation: no such class.
        OutsideTable: the class is not given at this size.
        DimensionError: the size is not a length.
    """
    name = parse_b41(designation)
    if not name:
        raise UnknownDesignation(f"no class is called {designation.strip()[:24]!r}; write one like RC5", near(designation))
    rows, ends = _rows(name)
    nominal = size.to(INCH)
    start = rows[0].cells["over_in"].exact
    step = bisect_left(ends, nominal)
    if nominal <= start or step == len(rows):
        raise OutsideTable(f"{name} is on file for sizes over {_inch(start)}, up to and including {_inch(ends[-1])} in; "
                           f"{_inch(nominal)} in lies outside")  # fmt: skip
    cells, what = rows[step].cells, classes()[name]
    hole, shaft, printed = _parts(name, step)
    return Fit(name, "ansi-b4.1", size, THOU, INCH, cells["over_in"].exact, cells["upto_in"].exact, hole, shaft, printed,
               says=f"{what.words['family']}: {what.words['use']}", says_works=what.stated[1])  # fmt: skip


def _inch(value: Fraction) -> str:
    return plain(decimal_of(value, 6))
