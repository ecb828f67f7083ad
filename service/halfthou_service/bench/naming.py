"""Names of characteristics as people write them: near ids, and misspelt ones."""

from __future__ import annotations

from halfthou_specdb.table import Table


def near_names(name: str, table: Table) -> tuple[str, ...]:
    """Ids of the table near a name."""
    from difflib import get_close_matches

    return tuple(get_close_matches(name[:80], list(table.characteristics), n=3, cutoff=0.5))


def misspelt(name: str, table: Table) -> bool:
    """Whether a name is a known id in other letters: own figures under such a name would slip past its safety rule."""
    from difflib import get_close_matches

    folded = {_folded(i) for i in table.characteristics}
    return _folded(name) in folded or bool(get_close_matches(name[:80].lower(), list(table.characteristics), n=1, cutoff=0.93))


def _folded(name: str) -> str:
    return "".join(letter for letter in name.lower() if letter.isascii() and letter.isalnum())
