"""The remedies the table tells in words, as remedies without an amount; graded as the method text of their characteristic."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from ..texts import capital
from . import cracks
from ._costs import cost_of
from .case import Case
from .model import Remedy

SIDES = {"low": "If it is too little", "high": "If it is too much"}
NO_HEAT = frozenset({"fuel-tank-repair-method"})
"""Here the words speak of heat only to forbid it; the remedy is the characteristic's own: replace it, or line it cold."""
WORD = re.compile(r"[a-z]+")
ENDINGS = ("ing", "ed", "es", "s", "er", "e")
SMALL = frozenset(
    "a an and at by for from if in into is it its little of off on only or so than that the"
    " then there this to until with time evenly again".split()
)
NO_WORK = frozenset({"nothing to do", "none", "none needed"})


def of_side(case: Case, proposed: Iterable[Remedy] = ()) -> Iterator[Remedy]:
    """The text for the side the reading lies on; for both sides where no limit says which. Not where ``proposed`` tells the same work."""
    sides = (case.item.side or case.side,) if case.item.side or case.side else ("low", "high")
    texts = {side: case.what.remedies[side] for side in sides if case.what.remedies.get(side)}
    if len(set(texts.values())) == 1:
        side, text = next(iter(texts.items()))
        lead = SIDES[side] if len(sides) > 1 and len(texts) < len(case.what.remedies) else ""
        if lead or not told_already(text, proposed):
            yield _written(case, side, text, lead)
        return
    for side, text in texts.items():
        yield _written(case, side, text, SIDES[side] if len(sides) > 1 else "")


def of_finding(case: Case, proposed: Iterable[Remedy] = ()) -> Iterator[Remedy]:
    """The remedy of the word that was found, else of the characteristic. Not where ``proposed`` tells the same work."""
    if case.what.id in cracks.WHEEL and case.item.verdict == "stop":
        return
    word = next((w for w in case.what.words if w.word == case.item.finding), None)
    if word is not None and word.remedy and word.remedy.lower().rstrip(".") not in NO_WORK:
        text = case.what.remedies.get("high", "") if case.what.id in NO_HEAT else word.remedy
        if not told_already(text or word.remedy, proposed):
            yield _written(case, word.word, text or word.remedy, "")
        return
    if case.item.verdict != "usable":
        for side, text in case.what.remedies.items():
            yield _written(case, side, text, "")


def told_already(text: str, proposed: Iterable[Remedy]) -> bool:
    """Whether remedies that land tell every word of a text that matters: then it offers no other way."""
    mine = _words(text)
    theirs: set[str] = set()
    for one in proposed:
        if one.reaches == "fit" and one.amount:
            theirs |= _words(" ".join((one.text, *one.steps, one.risk)))
    return bool(mine) and mine <= theirs


def _words(text: str) -> set[str]:
    """The words that matter, without their endings."""
    out = set()
    for word in WORD.findall(text.lower()):
        if word not in SMALL:
            out.add(next((word.removesuffix(end) for end in ENDINGS if word.endswith(end) and len(word) > len(end) + 2), word))
    return out


def _written(case: Case, side: str, text: str, lead: str) -> Remedy:
    cost = cost_of(case.what.id, side, text)
    sentences = tuple(capital(s.strip()) + "." for s in text.rstrip(".").split(". "))
    title = f"{lead}: {text[:1].lower()}{text[1:]}" if lead else capital(text)
    return case.remedy(f"as-written-{side}" if lead else "as-written", title.rstrip("."), cost, reversible=cost == "free", steps=sentences,
                       grade=case.what.grade)  # fmt: skip
