"""ISO 286 against an independent program's tables, over everything that program covers."""

from __future__ import annotations

from fractions import Fraction

import pytest
from pressfit import fit as other_fit
from pressfit.tables import GRADES, SHAFT_LETTERS

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.standards import fit

# every size step of the fine series, at both of its edges, and a size within it
EDGES = (3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315, 355, 400, 450, 500)
SIZES = [size for edge in EDGES for size in (Fraction(edge) - Fraction("1.5"), Fraction(edge))] + [
    Fraction(e) + Fraction("0.25") for e in EDGES[:-1]
]


def test_the_other_program_covers_what_is_compared() -> None:
    assert set(SHAFT_LETTERS) == set("c d e f g h js k m n p s u".split())
    assert list(GRADES) == [5, 6, 7, 8, 9, 10, 11]


@pytest.mark.parametrize("letter", SHAFT_LETTERS)
def test_every_fit_agrees(letter: str) -> None:
    compared = 0
    for size in SIZES:
        millimetres = float(size)
        quantity = Quantity.of(str(millimetres), "mm")
        for grade in GRADES:
            theirs = other_fit(f"H{grade}/{letter}{grade}", millimetres)
            ours = fit(f"H{grade}/{letter}{grade}", quantity)
            where = f"H{grade}/{letter}{grade} at {millimetres} mm"
            assert (ours.hole.upper, ours.hole.lower) == (theirs.hole_es_um, theirs.hole_ei_um), where
            assert (ours.shaft.upper, ours.shaft.lower) == (Fraction(str(theirs.shaft_es_um)), Fraction(str(theirs.shaft_ei_um))), where
            assert (ours.tightest, ours.loosest) == tuple(Fraction(str(c)) for c in theirs.clearance_um), where
            assert ours.kind == theirs.kind, where
            compared += 1
    assert compared == len(SIZES) * len(GRADES)


@pytest.mark.parametrize(("hole", "shaft"), [(h, s) for h in (5, 6, 7, 8, 9, 10, 11) for s in (5, 6, 7, 8, 9, 10, 11) if h != s])
def test_grades_mix_freely(hole: int, shaft: int) -> None:
    for size in (2.5, 25.0, 120.0, 400.0):
        theirs, ours = other_fit(f"H{hole}/f{shaft}", size), fit(f"H{hole}/f{shaft}", Quantity.of(str(size), "mm"))
        assert (ours.tightest, ours.loosest) == theirs.clearance_um
