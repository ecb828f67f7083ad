"""Twins: a statement that prints inches and millimetres agrees with itself, and so do words and bound."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from ..load import RawRecord
from ..table import Table

_PAIR = re.compile(r"(\d*\.\d+|\d+)\s*(?:in|inch|inches)\b\.?\s*\((\d*\.\d+|\d+)\s*mm\)|(\d*\.\d+|\d+)\s*mm\s*\((\d*\.\d+|\d+)\s*in\b")
MM_PER_INCH = Fraction("25.4")


def twins(table: Table) -> Iterator[tuple[RawRecord, str]]:
    """Where a statement prints both units, they agree within one unit of the last digit of either, or its note says they do not."""
    for record in table.raw("evidence"):
        for match in _PAIR.finditer(str(record.raw["says"])):
            inch, mm = (match[1], match[2]) if match[1] else (match[4], match[3])
            gap = abs(Fraction(inch) * MM_PER_INCH - Fraction(mm))
            if gap > _last(inch) * MM_PER_INCH and gap > _last(mm) and "mm" not in str(record.raw.get("note", "")):
                yield record, f"{inch} in and {mm} mm disagree; say in the note which is printed wrong"


def _last(text: str) -> Fraction:
    return Fraction(1, 10 ** len(text.partition(".")[2]))
