"""Valve guides and stems: ease a tight guide; sleeve it or fit a larger stem; the seat is cut from the guide afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from .case import Case, Family
from .model import Amount, Remedy

GUIDES = {"inlet-valve-guide-clearance": ("intake-valve-stem", "inlet"), "exhaust-valve-guide-clearance": ("exhaust-valve-stem", "exhaust")}
SEAT = ("valve-seat-contact", "valve-seat-leak")


def propose(case: Case) -> Iterator[Remedy]:
    """Guide clearance, and a stem that is worn."""
    if case.value is None or case.aim is None or not case.side:
        return
    if case.what.id == "valve-stem-wear":
        yield case.remedy("new-valve", "Fit or make a new valve, or grind this stem true and make a guide to it", "part",
                          amount=[("worn off the stem", case.value, case.unit)], predicted=Fraction(0), tools=("micrometer", "lathe"),
                          steps=("Measure the stem at head end, middle and spring end.", "Guide first, then the seat from the guide."),
                          after=("valve-stem-wear", "exhaust-valve-guide-clearance", *SEAT),
                          risk="A stem ground smaller needs its own guide.")  # fmt: skip
        return
    stem_dimension, name = GUIDES[case.what.id]
    if case.side == "low":
        yield case.remedy("ream-guide", "Ream or hone the guide half a thou at a time", "hand",
                          amount=[("on the diameter", case.aim - case.value, case.unit)],
                          predicted=case.aim, tools=("guide reamer or hone", "small-hole gauge"),
                          steps=("Clean carbon out and read again first.", "Until a dry valve drops through by its own weight.",
                                 "An exhaust stem is never run at the inlet clearance: it grows with heat."),
                          after=(case.what.id, *SEAT), risk="A stem that sticks holds the valve open or bends the rod.")  # fmt: skip
        return
    stem = case.dimension(stem_dimension)
    amount: list[Amount] = [("clearance to leave", case.aim, case.unit)]
    if stem is not None:
        amount = [("ream the sleeve to, for a stem at its size when new", stem + case.aim, case.unit)]
    worn = "The stem is worn out as well: the valve first, then the guide to it" if case.stands("valve-stem-wear", "beyond_limit") else ""
    recut = "Recut the seat from the new guide, then lap."
    yield case.remedy("sleeve-guide", f"Sleeve or replace the {name} guide and ream it to the stem", "machine", amount=amount,
                      predicted=case.aim,
                      tools=("guide reamer", "press", "small-hole gauge"),
                      steps=("Measure the stem that will run.", "Press, then ream in place.", recut),
                      after=(case.what.id, *SEAT), asks=("stem as measured",), risk="A guide bored off its line moves the seat.",
                      note=worn if name == "exhaust" else "")  # fmt: skip
    yield case.remedy("larger-stem", f"Ream the {name} guide round and fit a valve with a larger stem", "part", predicted=case.aim,
                      amount=[("stem larger than the old one where it runs, by", case.value - case.aim, case.unit)],
                      steps=("Ream only until it is round.", "Turn the stem to the guide as measured.", recut),
                      tools=("guide reamer", "micrometer"),
                      after=(case.what.id, *SEAT), asks=("valves to be had",), risk="The guide is larger for good.")  # fmt: skip


FAMILY = Family("guides", frozenset({*GUIDES, "valve-stem-wear"}), propose)
