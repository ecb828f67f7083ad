"""The linter's look at our own judgement: an end beyond all that works say needs a reason, and recall is called recall."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from halfthou_specdb.lint.judged import recall_named, within_evidence
from halfthou_specdb.standing import derivation_faults, parent
from halfthou_specdb.table import Table

ROD = "rod-clearance-poured"


def doctored(table: Table, limit_id: str, change: Callable[[dict[str, Any]], None]) -> Table:
    records = []
    for record in (r for kind in table._by_kind.values() for r in kind):
        raw = deepcopy(record.raw)
        if (record.kind, record.id) == ("limit", limit_id):
            change(raw)
        records.append(replace(record, raw=raw))
    return Table(records, table.edition)


def far(raw: dict[str, Any]) -> None:
    """A worn bound no work comes near, with nobody named as disagreeing."""
    raw["wear"]["high"] = {"per": Decimal("0.05")}
    raw["differs"] = []


def test_the_table_is_clean(table: Table) -> None:
    assert list(within_evidence(table)) == []
    assert list(recall_named(table)) == []


def test_an_end_beyond_all_that_works_say_needs_a_reason(table: Table) -> None:
    found = [(record.id, reason) for record, reason in within_evidence(doctored(table, ROD, far))]
    assert [i for i, _ in found] == [ROD]
    assert found[0][1].startswith("wear_high is ")
    assert "outside all that" in found[0][1]


@pytest.mark.parametrize("reasoned", ["outside", "differs"])
def test_a_reason_or_a_named_dissenter_will_do(table: Table, reasoned: str) -> None:
    def change(raw: dict[str, Any]) -> None:
        far(raw)
        if reasoned == "outside":
            raw["derivation"]["wear_high"] |= {"outside": "a reason of four words"}
        else:
            raw["differs"] = ["L009"]

    assert list(within_evidence(doctored(table, ROD, change))) == []


def test_a_reason_does_not_excuse_arithmetic_that_is_wrong(table: Table) -> None:
    def change(raw: dict[str, Any]) -> None:
        raw["fit"]["high"] = 106  # the evidence's 100 and 5 are 105

    wrong = doctored(table, "fuel-strainer-mesh-any", change)
    assert "106" in derivation_faults(wrong, wrong.limits["fuel-strainer-mesh-any"])[0]


def test_a_limit_on_recall_alone_says_so(table: Table) -> None:
    recalled = next(
        m for m in table.limits.values()
        if m.derivation and all(parent(table, m, ref)[0].grade == "from-memory" for d in m.derivation.values() for ref in d.parents)
    )  # fmt: skip
    silent = doctored(table, recalled.id, lambda raw: raw.update(reasoning="Everybody does it so."))
    assert [record.id for record, _ in recall_named(silent)] == [recalled.id]
