"""Search of the characteristics by the words a restorer would use."""

from __future__ import annotations

import re

from .table import Table

_WORD = re.compile(r"[a-z0-9]+")
_SMALL = frozenset("a an and are at be do for how i in is it my of on or should the to what when which with".split())


def search(table: Table, text: str, limit: int = 20) -> tuple[str, ...]:
    """Ids of the characteristics that best answer ``text``, best first. Tokens are quoted; nothing is parsed as a query.

    Raises:
        TableError: the table has no built file.
    """
    words = [w for w in _WORD.findall(text.lower()) if w not in _SMALL][:12]
    if not words:
        return ()
    query = " OR ".join(f'"{w}"*' for w in words)
    rows = table.connection().execute(
        "select c.id from characteristics_fts f join characteristics c on c.rowid = f.rowid"
        " where characteristics_fts match ? order by bm25(characteristics_fts, 8.0, 6.0, 1.0, 2.0, 0.5), c.id limit ?",
        (query, limit),
    )
    return tuple(row[0] for row in rows)
