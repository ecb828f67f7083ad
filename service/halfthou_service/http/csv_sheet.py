"""A sheet as CSV: the readings in the body, the engine and the rules in the query."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from halfthou_specdb.errors import QuantityError
from halfthou_specdb.records import STAGES
from halfthou_specdb.table import Table

from .csv_readings import plain_decimal, read_rows
from .csv_text import text_of
from .faults import shown
from .parse_engine import DIMENSION, ENGINE_PARAMETERS, engine_of_query
from .parse_sheet import Sheet, rules_of
from .query import Query
from .schemas.requests import DECISION_RULES, JUDGED_BY, UNITS

PARAMETERS = ("engine", *ENGINE_PARAMETERS, "confidence", "decision_rule", "ratio", "judged_by", "stage", "units")


def parse_csv(table: Table, body: bytes, query: Query, most: int, own_table: Callable[[str], Table] | None = None) -> Sheet:
    """The sheet of a CSV body.

    Raises:
        ProblemError: not CSV, unknown columns, faults of the query, no readings, too many, ids used twice.
    """
    engine = engine_of_query(table, query, query.one("engine"))
    confidence = number_of(query, "confidence", "0.95")
    loaded: dict[str, Any] = {
        "confidence": confidence, "decision_rule": query.choice("decision_rule", DECISION_RULES, "guarded"),
        "judged_by": query.choice("judged_by", JUDGED_BY, "adopted"), "stage": query.choice("stage", STAGES, ""),
        "units": query.choice("units", UNITS, ""),
    }  # fmt: skip
    if query.one("ratio"):
        loaded["ratio"] = number_of(query, "ratio", "4")
    rules = rules_of(loaded, query.gathered, "confidence")
    query.check()
    assert engine is not None
    rows = read_rows(own_table(engine.id) if own_table is not None else table, text_of(body), most)
    return Sheet(engine, rules, rows.entries, rows.surveys, rows.lines)


def number_of(query: Query, name: str, usual: str) -> Decimal:
    """A number of the query; its fault and the usual one where it is none."""
    text = query.one(name, usual)
    try:
        return plain_decimal(text)
    except QuantityError:
        query.fault("not-a-number", name, f"{name} is {shown(text)}; a number such as {usual} is wanted")
        return Decimal(usual)


__all__ = ["DIMENSION", "PARAMETERS", "number_of", "parse_csv"]
