"""A decimal comma in a line of comma-separated cells: ``3,8`` is two cells, and what follows slides along. Found, never guessed at."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence

from halfthou_specdb.errors import QuantityError
from halfthou_specdb.quantity import MAX_TEXT, parse_quantity

from .faults import Fault, of_quantity
from .quantities import known_unit

_WHOLE = re.compile(r"[+\-\u2212]?[0-9]{1,20}", re.ASCII)
_MORE = re.compile(r"[0-9]{1,20}\s*([^0-9].{0,40})?", re.ASCII)


def torn_number(
    names: Sequence[str], cells: Sequence[str], measured: Collection[str], numbers: Collection[str], instances: Collection[str]
) -> tuple[int, Fault] | None:
    """Where a number was torn in two, and the fault that says how to write it.

    Whole figures, then more of them where words belong or where no column is; a place that is called by a figure is left alone, and so is
    a second column of numbers in a line of the right length.

    Args:
        names: the column of each cell; ``cells`` may be longer.
        measured: columns of quantities; ``numbers``: columns of plain numbers; ``instances``: names an instance may bear.
    """
    said = [cell.strip() for cell in cells]
    longer = len(cells) > len(names)
    for index, name in enumerate(names[: max(len(cells) - 1, 0)]):
        more = _MORE.fullmatch(said[index + 1])
        if name not in measured or not _WHOLE.fullmatch(said[index]) or more is None or not known_unit(more[1] or ""):
            continue
        follows = names[index + 1] if index + 1 < len(names) else ""
        if not longer and (follows in measured or follows in numbers or (follows == "instance" and _named(said[index + 1], instances))):
            continue
        try:
            parse_quantity(f"{said[index]},{said[index + 1]}"[:MAX_TEXT])
        except QuantityError as error:
            return index, of_quantity(error, f"/{name}")
    return None


def _named(cell: str, instances: Collection[str]) -> bool:
    """Whether a figure names an instance: ``2`` for ``ring 2``."""
    return any(name.split()[-1:] == [cell] for name in instances)


__all__ = ["torn_number"]
