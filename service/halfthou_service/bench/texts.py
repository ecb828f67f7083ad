"""The one-line texts, written once. Each says first what the person may do, then the doubt; plain words, the reader's own unit.

``{head}`` is the thing, its place, the reading and the tool. Edges come rounded toward the strict side. Safety texts say the rule first
and carry no percentage.
"""

from __future__ import annotations

from halfthou_specdb.records import Characteristic
from halfthou_specdb.units import UNITS

RUNS = frozenset({"first-start", "running"})
"""Stages of an engine that is not in pieces."""
NO_SIDE = "It was not said on which side of dead centre it lies, so the worse was taken: say before or after."
TEMPLATES: dict[str, str] = {
    "within_fit": "{head}: {back}. {As_new} ({fit}).",
    "within_fit.as_made": "{head}: to the order, {as_new} ({fit}).",
    "within_fit.past": "{head}: {back}. It reads {over} {fit_edge}, where {a_new_one} ends, by less than can be proved.",
    "within_fit.past.as_made": "{head}: to the order ({fit}): it reads {over} {fit_edge} by less than can be proved.",
    "usable.no": "{head}: {back}. {Past} than {new} ({fit_edge}){short_of}.",
    "usable.cannot_tell": "{head}: {back}. {Past} than {fresh} perhaps ({fit_edge}){short_of}.",
    "usable.cannot_tell.inside": "{head}: {back}. Reads {within} {a_new_one} ({up_to}), too near to prove{and_short_of}.",
    "usable.no_fit": "{head}: {back}. No figure for {a_new_one} is on file{short_of}.",
    "usable.as_made": "{head}: not to the order. It would run, but new work should be {made} ({fit}).",
    "usable.as_made.cannot_tell": "{head}: not shown to be to the order. It would run, but this reading cannot prove {made} ({fit}).",
    "beyond_limit.wear": "{head}: {not_back}. {Over} the limit of {edge} ({whose}): {says}.",
    "beyond_limit.fit": "{head}: {not_back}. {Past} than {may_be} ({edge}, {whose}): {says}.",
    "outside_fit": "{head}: not {made}: {over} {edge} ({whose}). How far is too far nobody says; judge it by what else you find.",
    "undecided": "{head}: cannot tell. {near}: {odds} that it may {go}. {settle}",
    "undecided.tool": "{head}: this tool cannot tell. The limits ({fit}) are closer together than its doubt of about +/-{doubt}. {settle}",
    "undecided.ratio": "{head}: cannot tell by the {ratio}:1 rule. The limits would have to lie {ratio} times the width of the tool's doubt "
    "(+/-{doubt}) apart, and do not. {settle}",
    "typical": "{head}: usual ({fit}). A guide; nothing passes or fails on it.",
    "typical.near": "{head}: about usual: it reads {over} {fit_edge}, where the usual range ends, by less than the tool can prove. A guide only.",
    "typical.no_range": "{head}: noted. No usual range is on file.",
    "unusual": "{head}: {over} the usual ({fit}). A guide, not a limit: look for the reason before you go on.",
    "stop": "STOP. {rule}. {head}: {why}; do not run it.",
    "safe_side": "{rule}. {head}: within the rule as read. The rule stays.",
    "safe_side.warn": "{rule}. {head}: within the rule, but {over} {edge}, where care starts. The rule stays.",
    "finding.stop": "STOP. {head}: {meaning}.{remedy}",
    "finding.beyond_limit": "{head}: do not put it back. {Meaning}.{remedy}",
    "finding.undecided": "{head}: cannot tell yet. {Meaning}.{remedy}",
    "finding.usable": "{head}: it may stay so, but mind it. {Meaning}.{remedy}",
    "finding.within_fit": "{head}: good. {Meaning}.",
    "not_judged": "{head}: not judged. {reason}",
}

STANDING_WORDS = {
    "stated": "stated for this kind of engine",
    "carried-over": "carried over from {kin}",
    "our-judgement": "our judgement",
    "owner": "your own figure",
}
GRADE_WORDS = {
    "published": "book",
    "quoted": "book, at second hand",
    "derived": "worked out",
    "common-practice": "trade",
    "from-memory": "from memory, unchecked",
    "owner": "yours",
}
PART = {"back": "put it back", "not_back": "do not put it back", "go": "go back", "As_new": "As good as a new fit", "as_new": "as good as a new fit",
        "new": "a new fit", "fresh": "a fresh fit", "a_new_one": "a new fit", "made": "a new fit", "may_be": "a new fit may be"}  # fmt: skip
"""What is said of a part that is put back: it fits or it is worn."""
STANDS = {"back": "leave it as it is", "not_back": "do not leave it so", "go": "stay", "As_new": "As wanted", "as_new": "as wanted",
          "new": "is wanted", "fresh": "is wanted", "a_new_one": "what is wanted", "made": "as wanted", "may_be": "is wanted"}  # fmt: skip
"""The same of what is set, runs or is only read: a spark advance, a speed, a resistance is not put back."""
PAST = {("low", "too-tight"): "Tighter", ("high", "clearance"): "Looser", ("low", ""): "Less", ("high", ""): "More"}
NEXT_STEP = {
    "instrument": "{Tool} would settle it if the reading stayed put.",
    "repeats": "{n} readings in the same place, averaged, would settle it if they stayed put.",
    "hands": "No tool on the list would settle it; a hand test may: {test}.",
    "neither": "Nothing on the list would settle it: the reading is too near the line.",
}


OVER = {("low", False): "under", ("high", False): "over", ("low", True): "short of", ("high", True): "past"}
"""By side, and whether it is told from a dead centre: 20 degrees is past 15, never over it."""


def manner(what: Characteristic) -> dict[str, str]:
    """How a thing is spoken of, by its own record.

    A size of a part that fits or wears before the engine first runs is put back. What belongs to a running engine, is told in another kind
    of unit, or is only poorly set on some side, stands as it is or does not.
    """
    sides = (what.low_side.meaning, what.high_side.meaning)
    stands = what.stage in RUNS or not what.unit or UNITS[what.unit].dimension != "length" or "poor" in sides or sides[1] == "stop"
    return STANDS if stands else PART


def odds(p: float) -> str:
    """A chance in plain words, never certain: ``about 62 in 100``."""
    n = round(100 * p)
    if n >= 100 or p > 0.99:
        return "more than 99 in 100"
    return "less than 1 in 100" if n <= 0 or p < 0.01 else f"about {n} in 100"


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]
