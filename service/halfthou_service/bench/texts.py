"""The one-line texts, written once. Each says first what the person may do, then the doubt; plain words, the reader's own unit.

``{head}`` is the thing, its place, the reading and the tool. Edges come rounded toward the strict side. Safety texts say the rule first
and carry no percentage.
"""

from __future__ import annotations

TEMPLATES: dict[str, str] = {
    "within_fit": "{head}: put it back. As good as a new fit ({fit}).",
    "within_fit.as_made": "{head}: to the order, as good as a new fit ({fit}).",
    "usable.no": "{head}: put it back. {Past} than a new fit ({fit_edge}){short_of}.",
    "usable.cannot_tell": "{head}: put it back. {Past} than a fresh fit perhaps ({fit_edge}){short_of}.",
    "usable.no_fit": "{head}: put it back. No figure for a new fit is on file{short_of}.",
    "usable.as_made": "{head}: not to the order. It would run, but new work should be a new fit ({fit}).",
    "usable.as_made.cannot_tell": "{head}: not shown to be to the order. It would run, but this reading cannot prove a new fit ({fit}).",
    "beyond_limit.wear": "{head}: do not put it back. Past the limit of {edge} ({whose}): {says}.",
    "beyond_limit.fit": "{head}: do not put it back. {Past} than a new fit may be ({edge}, {whose}): {says}.",
    "outside_fit": "{head}: not a new fit ({edge}, {whose}). How far is too far nobody says; judge it by what else you find.",
    "undecided": "{head}: cannot tell. {near} {edge} by less than the tool can prove: {odds} that it may go back. {settle}",
    "undecided.tool": "{head}: this tool cannot tell. The limits ({fit}) are closer together than its doubt of about +/-{doubt}. {settle}",
    "undecided.ratio": "{head}: cannot tell by the {ratio}:1 rule. The limits would have to lie {ratio} times the width of the tool's doubt "
    "(+/-{doubt}) apart, and do not. {settle}",
    "typical": "{head}: usual ({fit}). A guide; nothing passes or fails on it.",
    "typical.near": "{head}: about usual: it reads past {fit_edge}, where the usual range ends, by less than the tool can prove. A guide only.",
    "typical.no_range": "{head}: noted. No usual range is on file.",
    "unusual": "{head}: out of the usual ({fit}). A guide, not a limit: look for the reason before you go on.",
    "stop": "STOP. {rule}. {head}: {why}; do not run it.",
    "safe_side": "{rule}. {head}: inside the rule as read. The rule stays.",
    "safe_side.warn": "{rule}. {head}: inside the rule, but past {edge}, where care starts. The rule stays.",
    "finding.stop": "STOP. {head}: {meaning}.{remedy}",
    "finding.beyond_limit": "{head}: do not put it back. {Meaning}.{remedy}",
    "finding.undecided": "{head}: cannot tell yet. {Meaning}.{remedy}",
    "finding.usable": "{head}: put it back. {Meaning}.",
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
PAST = {("low", "too-tight"): "Tighter", ("high", "clearance"): "Looser", ("low", ""): "Less", ("high", ""): "More"}
NEXT_STEP = {
    "instrument": "A {tool} would settle it if the reading stayed put.",
    "repeats": "{n} readings in the same place, averaged, would settle it if they stayed put.",
    "hands": "No tool on the list would settle it; a hand test may: {test}.",
    "neither": "Nothing on the list would settle it: the reading is too near the line.",
}


def odds(p: float) -> str:
    """A chance in plain words, never certain: ``about 62 in 100``."""
    n = round(100 * p)
    if n >= 100 or p > 0.99:
        return "more than 99 in 100"
    return "less than 1 in 100" if n <= 0 or p < 0.01 else f"about {n} in 100"


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]
