"""Search of the characteristics by the words a restorer would use: both sides of the Atlantic, run-together words, typos.

Candidates come from the full-text index (tokens quoted, nothing of the client's is parsed as a query); they are ranked by the index,
by how much of the question they answer, and by usefulness (what stops a start and what has a limit comes first).
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property, lru_cache
from weakref import WeakKeyDictionary

from .load import DATA
from .records import Characteristic
from .table import Table

_WORD = re.compile(r"[a-z0-9]+")
_SMALL = frozenset(
    (
        "a an and any are at be by can do does for from get got have how i if in is it its me much my need no not of on or our out should so"
        " that the them there this to too up use what when where which who why will with you your"
    ).split()
)
MOST_WORDS = 12
CANDIDATES = 60
STEM = 5


@lru_cache(maxsize=4096)
def stem(word: str) -> str:
    """A rough stem, good enough to compare two shop words."""
    for ending in ("iness", "ings", "ing", "ies", "ness", "es", "ed", "s", "y"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: len(word) - len(ending)]
    return word


@dataclass(frozen=True)
class Lexicon:
    """Words of the table and the groups of words that mean the same."""

    table: Table

    @cached_property
    def groups(self) -> dict[str, tuple[str, ...]]:
        """Each word or phrase of the glossary -> the others of its group."""
        rows = tomllib.loads((DATA / "glossary.toml").read_text(encoding="utf-8"))["same"]
        return {word: tuple(w for w in row["words"] if w != word) for row in rows for word in row["words"]}

    @cached_property
    def words(self) -> frozenset[str]:
        """Every word of names, synonyms and the glossary."""
        found: set[str] = set()
        for what in self.table.characteristics.values():
            found.update(tokens(f"{what.name} {' '.join(what.synonyms)} {what.component}"))
        found.update(token for phrase in self.groups for token in tokens(phrase))
        return frozenset(found)

    @cached_property
    def stems(self) -> frozenset[str]:
        """Stems of those words."""
        return frozenset(map(stem, self.words))

    @cached_property
    def about(self) -> dict[str, frozenset[str]]:
        """Characteristic id -> stems of its name and synonyms."""
        return {c.id: frozenset(stem(t) for t in tokens(f"{c.name} {' '.join(c.synonyms)}")) for c in self.table.characteristics.values()}

    @cached_property
    def phrases(self) -> dict[str, tuple[frozenset[str], ...]]:
        """Characteristic id -> the stems of its name and of each synonym, one set a phrase."""
        return {
            c.id: tuple(frozenset(stem(t) for t in tokens(p) if t not in _SMALL) for p in (c.name, *c.synonyms))
            for c in self.table.characteristics.values()
        }

    def mended(self, word: str) -> tuple[str, ...]:
        """The word itself if the table knows it, two words run together taken apart, or the nearest word."""
        if word in self.words or stem(word) in self.stems or len(word) < 4 or word.isdigit():
            return (word,)
        for cut in range(3, len(word) - 2):
            if word[:cut] in self.words and word[cut:] in self.words:
                return (word[:cut], word[cut:])
        near = get_close_matches(word, self.words, n=1, cutoff=0.74)
        return (near[0],) if near else (word,)


def tokens(text: str) -> list[str]:
    """Lower-case words and numbers."""
    return _WORD.findall(text.lower())


_LEXICONS: WeakKeyDictionary[Table, Lexicon] = WeakKeyDictionary()


def _lexicon(table: Table) -> Lexicon:
    found = _LEXICONS.get(table)
    if found is None:
        found = _LEXICONS[table] = Lexicon(table)
    return found


def search(table: Table, text: str, limit: int = 20) -> tuple[str, ...]:
    """Ids of the characteristics that best answer ``text``, best first.

    Raises:
        TableError: the table has no built file.
    """
    lexicon = _lexicon(table)
    asked = [m for word in tokens(text[:400]) if word not in _SMALL for m in lexicon.mended(word)][:MOST_WORDS]
    if not asked:
        return ()
    same = _same(asked, lexicon)
    query = " OR ".join(f'"{w}"*' if len(w) > 3 else f'"{w}"' for w in dict.fromkeys((*asked, *(t for ts in same.values() for t in ts))))
    rows = table.connection().execute(
        "select c.id, bm25(characteristics_fts, 8.0, 6.0, 1.0, 2.0, 0.5) as score from characteristics_fts f"
        " join characteristics c on c.rowid = f.rowid where characteristics_fts match ? order by score, c.id limit ?",
        (query, CANDIDATES),
    )
    ranked = sorted((_worth(lexicon, asked, same, i, -score), i) for i, score in rows)
    return tuple(i for _, i in sorted(ranked, key=lambda r: (-r[0], r[1])))[:limit]


def _same(asked: list[str], lexicon: Lexicon) -> dict[str, tuple[str, ...]]:
    """Word asked -> words that mean the same, from the groups of single words and of pairs."""
    found: dict[str, tuple[str, ...]] = {}
    for i, word in enumerate(asked):
        for phrase in (word, " ".join(asked[i : i + 2])):
            for other in lexicon.groups.get(phrase, ()):
                for part in phrase.split():
                    found[part] = (*found.get(part, ()), *tokens(other))
    return found


def _worth(lexicon: Lexicon, asked: list[str], same: dict[str, tuple[str, ...]], found: str, score: float) -> float:
    """Score of one candidate: higher is better."""
    about = lexicon.about[found]
    covered = sum(1.0 if stem(w) in about else 0.8 if _any(same.get(w, ()), about) else 0.0 for w in asked) / len(asked)
    stems = frozenset(stem(w) for w in asked)
    whole = max(len(p & stems) / len(p | stems) for p in lexicon.phrases[found] if p)
    return score * (0.25 + covered) * (1.0 + 1.5 * whole) * _use(lexicon.table, lexicon.table.characteristics[found])


def _any(words: Iterable[str], about: frozenset[str]) -> bool:
    return any(stem(w) in about for w in words)


def _use(table: Table, what: Characteristic) -> float:
    limits = table.limits_of.get(what.id, ())
    return 1.0 + 0.12 * what.start_critical + 0.12 * any(m.kind != "guide" for m in limits)
