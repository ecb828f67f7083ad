"""Findings: an observation in one of the allowed words."""

from __future__ import annotations

from difflib import get_close_matches

from halfthou_specdb.records import Characteristic, Word

from .readings import Reading, ReadingProblem


def judge_finding(reading: Reading, what: Characteristic) -> Word:
    """The word a reader used, by the word itself or an alias; capitals and blanks are forgiven, nothing else is guessed.

    Raises:
        ReadingProblem: a number where a word is wanted, or a word that is not on the list.
    """
    allowed = tuple(w.word for w in what.words)
    if not reading.finding:
        raise ReadingProblem("wrong-kind", f"{what.name} is told in words: {'; '.join(allowed)}", "/finding", allowed)
    said = _plain(reading.finding)
    for word in what.words:
        if said in (_plain(word.word), *map(_plain, word.aliases)):
            return word
    names = {_plain(n): w.word for w in what.words for n in (w.word, *w.aliases)}
    near = tuple(dict.fromkeys(names[n] for n in get_close_matches(said[:120], list(names), n=3, cutoff=0.4))) or allowed
    worst = " Until it is put in those words, treat it as the worst of them." if any(w.veto != "none" for w in what.words) else ""
    raise ReadingProblem("unknown-finding", f"{reading.finding[:60]!r} is not one of the words for this: {'; '.join(allowed)}.{worst}",
                         "/finding", near)  # fmt: skip


def _plain(text: str) -> str:
    return " ".join(text.lower().replace("-", " ").split())
