"""The data linter. Each check yields (record, reason); a clean table yields nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from ..errors import SpecdbError
from ..load import DATA, RawRecord, read_all
from ..table import Table
from .judged import recall_named, within_evidence
from .limits import derivations, gaps, intervals, kinds, ties
from .references import references, units
from .sound import sound
from .sources import names, row_faults, standards_faults, works_cited
from .twins import twins

Check = Callable[[Table], Iterator[tuple[RawRecord, str]]]
CHECKS: tuple[Check, ...] = (references, units, intervals, derivations, kinds, ties, gaps, twins, works_cited, names,
                           within_evidence, recall_named)  # fmt: skip


def faults(root: Path = DATA) -> list[str]:
    """Every fault of the data files as ``file:line: id: reason``; an empty list is clean."""
    records, refused = read_all(root)
    table, more = sound(records)
    lines = [str(error) for error in (*refused, *more)]
    for check in CHECKS:
        try:
            lines += [str(record.refuse(reason)) for record, reason in check(table)]
        except SpecdbError as error:
            lines.append(str(error))
    lines += row_faults(table, root)
    lines += standards_faults(table, root)
    return list(dict.fromkeys(lines))
