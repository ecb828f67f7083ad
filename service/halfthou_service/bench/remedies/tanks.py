"""Fuel tanks: a new one, or a liner put in cold; tested by its own head of liquid and a dry cloth. No heat, no air, ever."""

from __future__ import annotations

from collections.abc import Iterator

from .case import Case, Family
from .model import Remedy

TANK = frozenset({"fuel-tank-leak", "fuel-tank-inside", "fuel-tank-repair-method"})
TEST = ("Fill it to its normal mark and wipe the outside dry.",
        "Feel every seam and fitting with a dry cloth after ten minutes, one hour and 24 hours.",
        "Any wetness fails it.")  # fmt: skip
NEVER = "No flame, iron, grinder or drill on a tank that has held fuel; no air pressure, however low."
CAUTIONS = ("C001", "C002", "C003", "C005", "C007", "C008", "C010", "C012")
RISK = "A tank taken for empty goes off. People mending tanks at home have been killed that way."


def propose(case: Case) -> Iterator[Remedy]:
    """Replace; or line it cold while the seams still hold together."""
    found = case.item.finding
    if case.item.verdict not in ("stop", "beyond_limit"):
        return
    open_seam = case.what.id == "fuel-tank-leak" and found in ("drips", "runs")
    yield case.remedy("new-tank", "Drain it and fit a new tank; keep the old one whole as a pattern", "part",
                      steps=("Drain into a safety can, out of doors.", NEVER, *TEST),
                      after=("fuel-tank-leak", "fuel-tank-vent", "fuel-pipe-tightness"), cautions=CAUTIONS, risk=RISK,
                      grade="common-practice")  # fmt: skip
    if not open_seam:
        yield case.remedy("cold-liner", "Line it with a sealer made for fuel, put in cold, out of doors", "hand",
                          steps=("Drain, rinse and rake it cold until the rinse runs clear.",
                                 "Follow the liner's own sheet for the fuel you use; let it cure.", NEVER, *TEST),
                          after=("fuel-tank-leak", "fuel-tank-inside"), cautions=CAUTIONS, risk=RISK, asks=("which fuel it will carry",),
                          grade="common-practice")  # fmt: skip


FAMILY = Family("tanks", TANK, propose)
