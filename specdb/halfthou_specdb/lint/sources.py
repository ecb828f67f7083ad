"""Sources: every reference row is used or left out with a reason, every work is cited, and no maker is named."""

from __future__ import annotations

import csv
import hashlib
import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

from ..load import DATA, RawRecord
from ..standards.load import cited_works, faults
from ..table import Table

Found = Iterator[tuple[RawRecord, str]]
_ROW = re.compile(r"^[LS]\d{3}")
_WORDS = re.compile(r"[a-z][a-z&'.-]*")
HASHES = Path(__file__).parent / "names.txt"


def row_faults(table: Table, root: Path = DATA) -> list[str]:
    """Used + not used = all rows of the manifest, and no row is both."""
    manifest = root / "reference-rows.csv"
    left_out = root / "not-used.toml"
    if not manifest.exists() or not left_out.exists():
        return []
    with manifest.open(encoding="utf-8", newline="") as handle:
        rows = [row["row_id"] for row in csv.DictReader(handle)]
    unused = [str(r["id"]) for r in tomllib.loads(left_out.read_text(encoding="utf-8"))["row"]]
    used = {m[0] for i in table.evidence_ids() if (m := _ROW.match(i))}
    faults = [f"not-used.toml:1: {i}: stands twice" for i, n in Counter(unused).items() if n > 1]
    faults += [f"reference-rows.csv:1: {i}: neither used nor left out with a reason" for i in rows if i not in used and i not in unused]
    faults += [f"not-used.toml:1: {i}: is used as evidence all the same" for i in unused if i in used]
    return faults + [f"reference-rows.csv:1: {i}: used but not in the manifest" for i in (*used, *unused) if i not in rows]


def standards_faults(table: Table, root: Path = DATA) -> list[str]:
    """Every cell of the standard tables is in order and cites works that are described; for our own data files only."""
    return faults(frozenset(table.works)) if root == DATA else []


def works_cited(table: Table) -> Found:
    """Every work is cited by some record, or by some cell of the standard tables."""
    kinds = ("evidence", "caution", "material", "instrument")
    cited = {str(w) for kind in kinds for record in table.raw(kind) for w in _values(record.raw, "work")} | cited_works()
    for record in table.raw("work"):
        if record.id not in cited:
            yield record, "no record cites this work"


def _values(raw: Any, key: str) -> Iterator[Any]:
    if isinstance(raw, dict):
        for name, value in raw.items():
            if name == key:
                yield value
            else:
                yield from _values(value, key)
    elif isinstance(raw, list):
        for value in raw:
            yield from _values(value, key)


def hashed(phrase: str) -> str:
    """What the list of names keeps of a name: sixteen hexadecimal digits."""
    return hashlib.sha256(f"halfthou:{phrase}".encode()).hexdigest()[:16]


def named(text: str, hashes: frozenset[str]) -> Iterator[str]:
    """Words, and pairs of words, whose hash is on the list."""
    words = [w.strip(".'-") for w in _WORDS.findall(text.lower())]
    for phrase in (*words, *(f"{a} {b}" for a, b in pairwise(words))):
        if hashed(phrase) in hashes:
            yield phrase


def names(table: Table) -> Found:
    """No maker of engines, magnetos or the like is named; the list holds hashes, so it names none either."""
    hashes = frozenset(HASHES.read_text(encoding="ascii").split())
    kinds = ("work", "class", "feature", "instrument", "caution", "characteristic", "evidence", "limit", "absence", "material", "typical")
    for kind in kinds:
        for record in table.raw(kind):
            found = next(named(" ".join(map(str, _leaves(record.raw))), hashes), "")
            if found:
                yield record, f"names a maker: {found!r}"


def _leaves(raw: Any) -> Iterator[Any]:
    if isinstance(raw, dict):
        for value in raw.values():
            yield from _leaves(value)
    elif isinstance(raw, list):
        for value in raw:
            yield from _leaves(value)
    else:
        yield raw
