"""Paint: coats still to come, and how thick to lay them wet."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from .case import Case, Family
from .model import Amount, Remedy

COATS = {"paint-primer-coats": "Another thinned coat of primer", "paint-finish-coats": "Another finish coat, after several days"}
FILMS = frozenset({"paint-dry-film", "paint-wet-film"})
BARE = "Bolt-hole and mounting faces that carry the ground current stay bare."
CAUTIONS = ("C012", "C045")


def propose(case: Case) -> Iterator[Remedy]:
    """Whole coats for a count; film for a film."""
    if case.value is None or not case.side:
        return
    if case.what.id in COATS and case.side == "low" and case.aim is not None:
        want = case.aim if case.both is None else case.both[0]
        yield case.remedy("more-coats", COATS[case.what.id], "hand", amount=[("coats to come", want - case.value, case.unit)],
                          predicted=want,
                          steps=("Let each coat harden first.", "A third coat of primer where water and oil stand.", BARE),
                          tools=("brush or gun",), cautions=CAUTIONS,
                          after=(case.what.id, "paint-ground-faces", "paint-dry-film"), risk="None.", grade="common-practice")  # fmt: skip
    elif case.what.id in FILMS and case.aim is not None:
        yield from _film(case, case.value, case.aim)


def _film(case: Case, value: Fraction, aim: Fraction) -> Iterator[Remedy]:
    dry = case.what.id == "paint-dry-film"
    if case.side == "high":
        title = "Let it harden, then rub it down wet" if dry else "Brush it out, and thin a little"
        yield case.remedy("thinner-film", title, "hand", amount=[("too thick by", value - aim, case.unit)], predicted=aim,
                          steps=("Wet paper, never dry on old paint.", BARE),
                          tools=("film gauge",), cautions=("C040", *CAUTIONS), after=(case.what.id,), risk="Take old paint for lead paint.",
                          grade="common-practice")  # fmt: skip
        return
    amount: list[Amount] = [("more to come" if dry else "lay it thicker by", aim - value, case.unit)]
    solids, thinner = case.facts.coating.volume_solids, case.facts.coating.thinner
    asks = () if solids is not None else ("solids by volume from the paint's sheet",)
    if dry and solids is not None and solids.canonical > 0:
        mixed = 1 + (thinner.canonical if thinner is not None else Fraction(0))
        amount.append(("laid wet at", (aim - value) * mixed / solids.canonical, case.unit))
    yield case.remedy("another-coat" if dry else "slower-pass", "Another coat" if dry else "A slower pass", "hand", amount=amount,
                      predicted=aim, asks=asks,
                      steps=("Let it harden before it is judged.", BARE), tools=("wet film comb",), cautions=CAUTIONS,
                      after=("paint-dry-film",), risk="None.",
                      grade="common-practice")  # fmt: skip


FAMILY = Family("paint", FILMS | frozenset(COATS), propose)
