"""The drawing of a fit: sound XML, told in words too, black on white."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree

import pytest

from halfthou_specdb.quantity import parse_quantity
from halfthou_specdb.standards import fit
from halfthou_specdb.standards.diagram import HEIGHT, WIDTH, describe, draw
from halfthou_specdb.units import UNITS

SVG = "{http://www.w3.org/2000/svg}"
FITS = [
    ("H7/g6", "25 mm"),
    ("RC5", "2-1/4 in"),
    ("H7/u6", "50 mm"),
    ("JS7/h6", "20 mm"),
    ("H01/h01", "2 mm"),
    ("A13/h9", "500 mm"),
    ("K6/h5", "8 mm"),
    ("FN5", "7 in"),
    ("LT1", "0.1 in"),
]


@pytest.mark.parametrize(("designation", "size"), FITS)
def test_a_drawing_has_a_title_and_a_description_and_no_colour(designation: str, size: str) -> None:
    root = ElementTree.fromstring(draw(fit(designation, parse_quantity(size))))
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "fit-title fit-desc"
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert description is not None
    assert designation in (title.text or "")
    assert (description.text or "").startswith("hole ")
    paints = {element.get(name) for element in root.iter() for name in ("fill", "stroke")} - {None}
    assert paints <= {"black", "white"}
    assert not {element.tag.removeprefix(SVG) for element in root.iter()} & {"script", "style", "image", "use", "a"}


@pytest.mark.parametrize(("designation", "size"), FITS)
def test_everything_stands_within_the_sheet(designation: str, size: str) -> None:
    root = ElementTree.fromstring(draw(fit(designation, parse_quantity(size))))
    for element in root.iter():
        for name, most in (("x", WIDTH), ("x1", WIDTH), ("x2", WIDTH), ("y", HEIGHT), ("y1", HEIGHT), ("y2", HEIGHT)):
            if (text := element.get(name)) is not None:
                assert 0 <= float(text) <= most, ElementTree.tostring(element)


def test_the_zones_are_drawn_to_one_scale_with_larger_up() -> None:
    root = ElementTree.fromstring(draw(fit("H7/g6", parse_quantity("25 mm"))))
    hole, shaft = [rect for rect in root.iter(f"{SVG}rect") if rect.get("stroke")]
    assert float(hole.get("y", 0)) < float(shaft.get("y", 0))
    assert float(hole.get("height", 0)) / float(shaft.get("height", 0)) == pytest.approx(21 / 13, rel=0.01)
    lines = [line for line in root.iter(f"{SVG}line") if line.get("stroke-dasharray")]
    assert float(lines[0].get("y1", 0)) == pytest.approx(float(hole.get("y", 0)) + float(hole.get("height", 0)), abs=0.2)


def test_the_words_say_what_the_drawing_shows_in_the_unit_asked_for() -> None:
    found = fit("H7/g6", parse_quantity("25.4 mm"))
    assert describe(found) == "hole H7 from 0 to +21 µm; shaft g6 from -20 to -7 µm; always play, clearance +7 to +41 µm. Deviations from 25.4 mm."
    assert "hole H7 from 0 to +0.8268 thou" in describe(found, UNITS["thou"])
