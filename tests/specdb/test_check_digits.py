"""Statements and sums of figures per work, as check digits: a figure lost, doubled or mistyped shows here."""

from __future__ import annotations

import tomllib
from collections import defaultdict
from decimal import Decimal
from pathlib import Path
from typing import Any

from halfthou_specdb.table import Table

FILE = Path(__file__).with_name("check_digits.toml")


def _figures(rule: Any) -> Decimal:
    """The sum of every number written in a bound: a constant, or all numbers of a rule, steps included."""
    if isinstance(rule, (bool, str)):
        return Decimal(0)
    if isinstance(rule, (int, Decimal)):
        return Decimal(rule)
    parts = rule.values() if isinstance(rule, dict) else rule
    return sum((_figures(part) for part in parts), Decimal(0))


def counted(table: Table) -> dict[str, tuple[int, Decimal]]:
    """Work (or grade, where no work is named) -> number of statements, sum of the figures of ``low`` and ``high``."""
    statements: dict[str, int] = defaultdict(int)
    figures: dict[str, Decimal] = defaultdict(Decimal)
    for record in table.raw("evidence"):
        owner = record.raw.get("work") or f"grade: {record.raw['grade']}"
        statements[owner] += 1
        figures[owner] += _figures(record.raw["low"]) + _figures(record.raw["high"])
    return {owner: (statements[owner], figures[owner]) for owner in sorted(statements)}


def test_statements_and_sums_of_every_work_are_the_committed_ones(table: Table) -> None:
    committed = tomllib.loads(FILE.read_text(encoding="utf-8"), parse_float=Decimal)["work"]
    expected = {owner: (digits["statements"], Decimal(digits["sum"])) for owner, digits in committed.items()}
    now = counted(table)
    changed = {w: {"committed": expected.get(w), "now": now.get(w)} for w in sorted({*expected, *now}) if expected.get(w) != now.get(w)}
    assert changed == {}, "\n".join(f"{w}: {both}" for w, both in changed.items())


def test_every_work_is_cited_and_every_citation_has_a_work(table: Table) -> None:
    cited = {r.raw["work"] for kind in ("evidence", "caution", "material") for r in table.raw(kind) if r.raw.get("work")}
    assert cited <= set(table.works)
