"""Check balls and pumps: wash, a new ball, one light tap; packing and plunger only after the balls."""

from __future__ import annotations

from collections.abc import Iterator

from halfthou_specdb.rules import Open

from .case import Case, Family
from .model import Amount, Remedy

BALLS = frozenset({"fuel-check-hold", "fuel-check-ball-leak", "fuel-pump-check-ball-leak", "oiler-check-ball", "fuel-pump-delivery",
                   "fuel-pump-slip"})
BAD = frozenset({"beyond_limit", "stop", "outside_fit", "unusual"})
AFTER = {"oiler-check-ball": ("oiler-check-ball", "cylinder-oil-drip")}
WASH = ("Fuel shut and drained, no flame in the room.", "Wash ball and seat in a high-flash solvent; try the ball dry.",
        "Look in the strainer for the grit that did it.",
        "Look for air at the pipe joints.")  # fmt: skip


def propose(case: Case) -> Iterator[Remedy]:
    """Wash first; a new ball on a fresh narrow seat; then packing."""
    name, verdict = case.what.id, case.item.verdict
    if verdict not in BAD and not (verdict == "undecided" and case.side == "low"):
        return
    oiler = name == "oiler-check-ball"
    after = AFTER.get(name, (name, "fuel-pump-delivery", "fuel-check-hold"))
    cautions = () if oiler else ("C010", "C013")
    amount: list[Amount] = []
    if case.value is not None and not isinstance(case.low, Open) and case.side == "low":
        amount.append(("short by", case.low - case.value, case.unit))
    yield case.remedy("wash", "Wash ball and seat, and try it again", "free", reversible=True, amount=amount,
                      steps=WASH if not oiler else WASH[1:2], after=after,
                      cautions=cautions, risk="None.", grade="common-practice")  # fmt: skip
    yield case.remedy("new-ball", "A new steel ball of the same size, seated by one light tap through a brass drift", "part",
                      steps=("A pitted seat is faced with a square-ended cutter first, no more than cleans it.",
                             "One tap: a second makes the seat wide."), after=after,
                      tools=("brass drift", "square-ended cutter"), cautions=cautions, asks=("ball size",),
                      risk="A wide seat leaks sooner than a narrow one.",
                      grade="common-practice")  # fmt: skip
    if name in ("fuel-pump-delivery", "fuel-pump-slip"):
        yield case.remedy("repack", "Then new packing, then a plunger to the barrel", "hand",
                          steps=("Packing that fuel does not dissolve; nut finger tight and a little more.",),
                          after=("fuel-pump-packing-leak", "pump-plunger-clearance", name), cautions=cautions,
                          risk="A tight gland scores the plunger.",
                          grade="common-practice")  # fmt: skip


FAMILY = Family("checks", BALLS, propose)
