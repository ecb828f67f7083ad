"""How a fit is written: ``H7/g6`` (ISO 286) or ``RC5`` (ANSI B4.1)."""

from __future__ import annotations

import re
from difflib import SequenceMatcher, get_close_matches
from functools import cache

from .errors import UnknownDesignation
from .layout import GRADES, HOLE_COLUMNS, SHAFT_COLUMNS

SHAFT_LETTERS = (*dict.fromkeys(column.partition(":")[0] for column in SHAFT_COLUMNS), "js")
HOLE_LETTERS = (*dict.fromkeys(column.partition(":")[0] for column in HOLE_COLUMNS), "JS")
CLASSES = tuple(f"{family}{n}" for family, last in (("RC", 9), ("LC", 11), ("LT", 6), ("LN", 3), ("FN", 5)) for n in range(1, last + 1))
USUAL = range(5, 12)
"""Grades of holes that are proposed and searched; finer ones are for gauges, coarser ones for raw castings."""
MAX_TEXT = 24
_ZONE = r"([A-Za-z]{1,3})\s?(0?[0-9]{1,2})"
_ISO = re.compile(rf"{_ZONE}\s*[/ -]\s*{_ZONE}", re.ASCII)
_B41 = re.compile(r"([A-Za-z]{2})[ -]?([0-9]{1,2})", re.ASCII)

Zone = tuple[str, str]
"""Letter and tolerance grade."""


def parse_iso(text: str) -> tuple[Zone, Zone]:
    """The hole and the shaft of ``H7/g6``.

    Raises:
        UnknownDesignation: not written so, an unknown letter or grade; carries near matches.
    """
    body = text.strip()
    match = _ISO.fullmatch(body) if len(body) <= MAX_TEXT else None
    if match is None:
        raise UnknownDesignation(f"no fit is called {_shown(body)}; write one like H7/g6 or RC5", near(body))
    hole, shaft = (match[1], match[2]), (match[3], match[4])
    for grade in (hole[1], shaft[1]):
        if grade not in GRADES:
            raise UnknownDesignation(f"{_shown(body)}: no tolerance grade is {grade}; they run 01, 0, 1 to 18", near(body))
    if hole[0] not in HOLE_LETTERS or shaft[0] not in SHAFT_LETTERS:
        mends = _mends(hole, shaft)
        if hole[0] in SHAFT_LETTERS and shaft[0] in HOLE_LETTERS:
            raise UnknownDesignation(f"{_shown(body)}: the hole comes first, in capitals, then the shaft", mends)
        kind, letter = ("hole", hole[0]) if hole[0] not in HOLE_LETTERS else ("shaft", shaft[0])
        why = f"; {'capitals are holes' if kind == 'hole' else 'small letters are shafts'}" if mends else ""
        raise UnknownDesignation(f"{_shown(body)}: no {kind} letter is {letter}{why}", mends or near(body))
    return hole, shaft


def _mends(hole: Zone, shaft: Zone) -> tuple[str, ...]:
    """What was meant where only capitals, order or one letter are wrong."""
    found = []
    for first, second in ((hole, shaft), (shaft, hole)):
        big, small = (first[0].upper(), first[1]), (second[0].lower(), second[1])
        if big[0] in HOLE_LETTERS and small[0] in SHAFT_LETTERS:
            found.append(f"{big[0]}{big[1]}/{small[0]}{small[1]}")
    return tuple(dict.fromkeys(found)) if hole[0].islower() or shaft[0].isupper() else ()


def parse_b41(text: str) -> str:
    """The class of ``RC5``, ``rc 5`` or ``RC-5``, or the empty string where the text is no such thing.

    Raises:
        UnknownDesignation: written like a class, but there is none; carries near matches.
    """
    match = _B41.fullmatch(text.strip())
    if match is None or match[1].upper() not in {"RC", "LC", "LT", "LN", "FN"}:
        return ""
    found = f"{match[1].upper()}{match[2]}"
    if found not in CLASSES:
        family = [name for name in CLASSES if name.startswith(found[:2])]
        raise UnknownDesignation(f"no fit is called {found}; {found[:2]} runs from {family[0]} to {family[-1]}", (family[-1],))
    return found


def near(text: str) -> tuple[str, ...]:
    """Up to three fits that look like a text; of several alike, those whose letters stand nearest in the alphabet."""
    body = text.strip()[:MAX_TEXT].replace(" ", "")
    found = get_close_matches(body, candidates(), n=12, cutoff=0.6) or get_close_matches(body.upper(), CLASSES, n=3, cutoff=0.6)
    likeness = {name: round(SequenceMatcher(None, body, name).ratio(), 6) for name in found}
    return tuple(sorted(found, key=lambda name: (-likeness[name], _apart(body, name)))[:3])


def _apart(one: str, other: str) -> int:
    return sum(abs(ord(a) - ord(b)) for a, b in zip(one, other, strict=False))


@cache
def candidates() -> tuple[str, ...]:
    """Fits worth proposing: hole basis with the shaft of the hole's grade or the next finer, shaft basis likewise, and every class."""
    found = [f"H{n}/{letter}{m}" for n in USUAL for letter in SHAFT_LETTERS for m in (n - 1, n)]
    found += [f"{letter}{n}/h{m}" for n in USUAL for letter in HOLE_LETTERS if letter != "H" for m in (n - 1, n)]
    return (*found, *CLASSES)


def _shown(text: str) -> str:
    return repr(text if len(text) <= MAX_TEXT else text[: MAX_TEXT - 3] + "...")
