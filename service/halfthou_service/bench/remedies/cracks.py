"""A cracked part gets nothing but replacing or retiring; a crack that is not settled is settled first."""

from __future__ import annotations

from .case import Case
from .model import Remedy

SCOPE: dict[str, tuple[str, frozenset[str]]] = {
    "flywheel-hub-crack": ("wheel", frozenset({"flywheel"})),
    "flywheel-construction": ("wheel", frozenset({"flywheel"})),
    "crankshaft-crack": ("crankshaft", frozenset({"crankshaft"})),
    "connecting-rod-crack": ("rod", frozenset({"connecting-rod"})),
    "piston-crack": ("piston", frozenset({"piston"})),
    "cylinder-wall-crack": ("cylinder", frozenset({"cylinder"})),
    "head-crack": ("head", frozenset({"head", "valve-seat-width", "valve-seat-contact", "valve-seat-leak", "valve-seat-insert-fit"})),
}
"""Finding -> the part, and the components or characteristics that get no other remedy while it stands as a stop."""
WHEEL = frozenset({"flywheel-hub-crack", "flywheel-construction"})
SETTLE_WORDS = ("line not settled", "line, not proved")
UNREAD = "not_judged"
"""The verdict of such a finding that could not be read: nobody knows yet whether the part is cracked."""


def withheld(case: Case) -> Remedy | None:
    """What stands in place of every other remedy; None where no crack stands against the part."""
    own = case.what.id
    if own in WHEEL and case.item.verdict == "stop":
        return wheel(case, case.item.finding)
    if own in SCOPE and own not in WHEEL:
        return None
    for verdict in ("stop", UNREAD):
        standing = [(first, part) for name, (part, covers) in SCOPE.items() if case.what.component in covers or own in covers
                    if (first := case.known.first(name, verdict, case.instance))]  # fmt: skip
        if standing:
            (_, found), part = min(standing, key=lambda one: one[0][0])
            if verdict == UNREAD:
                return _unread(case, part, found.characteristic)
            return wheel(case, found.word) if part == "wheel" else _part(case, part, found.word)
    return None


def wheel(case: Case, word: str) -> Remedy:
    """A cracked, joined or mended wheel: another wheel, or retire it. Nothing is offered that would let it run."""
    first = ("Clean the hub to bright iron and dye it, or have it tested with magnetic particles.",) if word in SETTLE_WORDS else ()
    title = "Do not run this wheel. Replace it with a sound one-piece wheel, or retire it"
    return case.remedy(
        "retire-the-wheel", title, "part", cautions=("C051", "C027", "C053"), grade="common-practice", after=("flywheel-hub-crack",),
        steps=(*first, "Take the wheel off with a straight-line puller.", "Mark it so that nobody fits it again.",
               "Dye the other wheel and the shaft end as well."),
        risk="A wheel that lets go kills. No key, sleeve, weld or lower speed makes a cracked one fit to run.",
        note="Until a crack test shows otherwise it counts as cracked" if first else "")  # fmt: skip


def _part(case: Case, part: str, word: str) -> Remedy:
    unsettled = word in SETTLE_WORDS
    title = f"Settle the crack first: no work is put into this {part}" if unsettled else f"No work is put into a cracked {part}: replace it"
    steps = ("Have it crack-tested by penetrant or magnetic particles.",) if unsettled else (f"Look for another {part}.",)
    after = tuple(c for c, (name, _) in SCOPE.items() if name == part)
    return case.remedy("crack-first", title, "part", steps=steps, after=after, grade="common-practice",
                       risk="Work put into a cracked part is lost, and it may let go in use.")  # fmt: skip


def _unread(case: Case, part: str, name: str) -> Remedy:
    """The finding was written so that it cannot be read: nothing is done to the part until it can."""
    what = case.bench.table.characteristics[name]
    unknown = "how it is made" if name == "flywheel-construction" else "the crack"
    steps = (f"Look for it again: {what.how_to_measure}", f"Write it in one of these words: {'; '.join(w.word for w in what.words)}.")
    return case.remedy("crack-first", f"Settle {unknown} first: no work is put into this {part}", "free", reversible=True,
                       steps=steps, after=(name,), grade="common-practice", note=f"{what.name} is on the sheet but could not be read",
                       risk="Work put into a cracked part is lost, and it may let go in use.")  # fmt: skip
