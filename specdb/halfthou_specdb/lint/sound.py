"""Which records can be made frozen at all, so that one bad record does not hide the others."""

from __future__ import annotations

from collections.abc import Callable

from .. import reading
from ..errors import RecordError, SpecdbError
from ..load import RawRecord
from ..table import Table

MAKERS: dict[str, Callable[[RawRecord, Table], object]] = {
    "work": lambda r, _: reading.work(r.raw),
    "class": lambda r, _: reading.engine_class(r.raw),
    "dimension": lambda r, _: reading.dimension(r.raw),
    "feature": lambda r, _: reading.feature(r.raw),
    "fact": lambda r, _: reading.fact(r.raw),
    "instrument": lambda r, _: reading.instrument(r.raw),
    "caution": lambda r, _: reading.caution(r.raw),
    "material": lambda r, _: reading.material(r.raw),
    "typical": lambda r, _: reading.typical(r.raw),
    "survey": lambda r, _: reading.survey(r.raw),
    "several": lambda r, _: reading.several(r.raw),
    "pair": lambda r, _: reading.pair(r.raw),
    "absence": lambda r, _: reading.absence(r.raw),
    "characteristic": lambda r, _: reading.characteristic(r.raw),
    "evidence": lambda r, table: [
        reading.evidence(r.raw, table.scale(c), table.dimension_units) for c in r.raw["characteristics"]
    ],
    "limit": lambda r, table: reading.limit(r.raw, table.scale(r.raw["characteristic"]), table.dimension_units),
}


def sound(records: list[RawRecord]) -> tuple[Table, list[RecordError]]:
    """The records that can be made frozen, as a table, and the refusal of each that cannot."""
    good: list[RawRecord] = []
    refused: list[RecordError] = []
    for kind, make in MAKERS.items():
        so_far = Table(good, "lint")
        for record in (r for r in records if r.kind == kind):
            try:
                make(record, so_far)
            except (SpecdbError, KeyError, TypeError, ValueError, ArithmeticError) as error:
                refused.append(record.refuse(str(error)))
            else:
                good.append(record)
    return Table(good, "lint"), refused
