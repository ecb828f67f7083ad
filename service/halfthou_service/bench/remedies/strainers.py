"""Strainer cloth: 80-mesh brass, its openings, and whether the screen passes more than its pipe."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from halfthou_specdb.units import UNITS

from .case import Case, Family
from .model import Amount, Remedy

MESH = Fraction(80)
"""Openings per inch of the cloth restorers use (common practice)."""
STEPS = ("Away from the tank, engine cold: a strainer drips when it is opened.",
         "Roll the cloth round the frame and bind it with brass wire, cold.",
         "Wash the tank that fed it the dirt, cold.")  # fmt: skip
BAD = frozenset({"torn", "blocked", "missing"})


def propose(case: Case) -> Iterator[Remedy]:
    """The cloth to fit and what passes through it."""
    if case.what.id == "fuel-strainer-condition" and case.item.finding not in BAD:
        return
    if case.what.id == "fuel-strainer-mesh" and (case.value is None or not case.side):
        return
    facts, amount = case.facts.strainer, []
    mesh = UNITS["mesh"]
    cloth: list[Amount] = [("cloth", MESH, mesh)]
    note = ""
    if facts.wire is not None:
        opening = 1 / (MESH * mesh.factor) - facts.wire.canonical
        if opening <= 0:
            yield case.nothing("Wire as thick as that leaves no opening at 80 to the inch", "Thinner wire.")
            return
        share = (opening * MESH * mesh.factor) ** 2
        cloth.append(("each opening", opening / UNITS["thou"].factor, UNITS["thou"]))
        if facts.screen_area is not None and facts.pipe_bore is not None and facts.pipe_bore.canonical > 0:
            pipe = Fraction(math.pi).limit_denominator(10**12) / 4 * facts.pipe_bore.canonical**2
            worth = share * facts.screen_area.canonical / pipe
            cloth.append(("clear area over that of the pipe", worth.limit_denominator(10**6), UNITS["ratio"]))
            if worth < 1:
                note = "Even clean it is narrower than the pipe: give it more cloth"
    amount = cloth
    asks = () if facts.wire is not None else ("wire of the cloth", "area of the screen", "bore of the pipe")
    yield case.remedy("new-cloth", "New brass cloth for the strainer", "part", amount=amount,
                      predicted=None if case.value is None else MESH * mesh.factor / case.unit.factor,
                      steps=STEPS, tools=("shears", "brass wire"), asks=asks,
                      note=note, cautions=("C010",),
                      after=("fuel-strainer-condition", "fuel-check-hold"),
                      risk="Long thin dirt passes an opening narrower than its length.", grade="common-practice")  # fmt: skip


FAMILY = Family("strainers", frozenset({"fuel-strainer-mesh", "fuel-strainer-condition"}), propose)
