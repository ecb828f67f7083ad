"""Figures typed a second time from the works, against what the table works out from its own records."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from halfthou_specdb.errors import OutsideRange
from halfthou_specdb.quantity import parse_quantity
from halfthou_specdb.rules import Open, Value
from halfthou_specdb.said import stated_at
from halfthou_specdb.table import Table
from halfthou_specdb.units import unit_named

FILE = Path(__file__).with_name("published_values.toml")
VALUES: list[dict[str, Any]] = tomllib.loads(FILE.read_text(encoding="utf-8"))["value"]
FOUR_PLACES = Fraction(1, 20_000)
"""Half of the fourth decimal: what a shop fraction may lose when a table writes it as a decimal."""


def _label(value: dict[str, Any]) -> str:
    return f"{value['evidence']}-{value['characteristic']}"


def _said(table: Table, value: dict[str, Any], make_engine: Callable[..., Any]) -> Any:
    """What the work says for an engine of the stated size, whatever limit the table adopts."""
    what = table.characteristic(value["characteristic"])
    engine = make_engine("slow-open-crank", sizes=value.get("at"))
    return stated_at(table, table.evidence(value["evidence"], what.id), what, engine)


def _same(got: Value, typed: str | None) -> bool:
    if typed is None:
        return isinstance(got, Open)
    if isinstance(got, Open):
        return False
    return abs(got - Fraction(typed)) <= (FOUR_PLACES if "/" in typed else 0)


@pytest.mark.parametrize("value", VALUES, ids=_label)
def test_the_table_works_out_the_figure_that_was_typed_again(
    value: dict[str, Any], table: Table, make_engine: Callable[..., Any]
) -> None:
    interval = _said(table, value, make_engine)
    assert interval is not None, f"{value['stated']}: the table works out nothing"
    assert interval.unit is unit_named(value["unit"])
    assert _same(interval.low, value.get("low")), f"low of {value['stated']!r}: {interval.low}"
    assert _same(interval.high, value.get("high")), f"high of {value['stated']!r}: {interval.high}"


@pytest.mark.parametrize("value", VALUES, ids=_label)
def test_the_citation_is_the_one_that_was_typed_again(value: dict[str, Any], table: Table) -> None:
    record = table.evidence(value["evidence"], value["characteristic"])
    assert value["characteristic"] in record.characteristics
    assert (record.grade, record.work, record.locator) == (value["grade"], value.get("work", ""), value.get("locator", ""))


def test_enough_was_typed_again_and_no_statement_twice() -> None:
    assert len(VALUES) >= 75
    twice = [key for key, n in Counter(map(_label, VALUES)).items() if n > 1]
    assert twice == []


def test_every_component_with_sourced_figures_has_some_typed_again(table: Table) -> None:
    sourced = {
        table.characteristics[c].component
        for i in table.evidence_ids()
        if (e := table.evidence(i)).unit is not None and e.grade in {"published", "quoted"} and not isinstance(e.high, Open)
        for c in e.characteristics
    }
    typed = {table.characteristics[v["characteristic"]].component for v in VALUES}
    assert sourced - typed == set()


def test_every_start_critical_quantity_with_sourced_figures_is_typed_again(table: Table) -> None:
    typed = {v["characteristic"] for v in VALUES}
    missing = [
        c.id
        for c in table.characteristics.values()
        if c.start_critical
        and c.value_kind != "finding"
        and any(e.unit is not None and e.grade in {"published", "quoted"} for e in table.evidence_of(c.id))
        and c.id not in typed
    ]
    assert missing == []


def test_sourced_figures_carry_work_and_locator_and_the_rest_carry_neither() -> None:
    for value in VALUES:
        sourced = value["grade"] in {"published", "quoted"}
        assert (bool(value.get("work")), bool(value.get("locator"))) == (sourced, sourced), _label(value)


# Sizes that the source itself prints, with the figure it prints there.
PRINTED = [
    # characteristic, evidence, dimension, size, low, high (as printed)
    ("rod-bearing-running-clearance", "C-rod-bearing-running-clearance-1", "crankpin", "2 in", ".002", ".0025"),
    ("piston-to-bore-clearance", "L302", "bore", "5 in", ".005", ".005"),
    ("piston-to-bore-clearance", "L301-top", "bore", "5 in", ".0075", ".0075"),
    ("ring-end-gap", "R-1", "bore", "4 in", ".014", None),
    ("flywheel-lateral-runout", "L135", "flywheel", "16 in", None, ".008"),
    ("flywheel-lateral-runout", "L135", "flywheel", "12 in", None, ".006"),
    ("flywheel-key-width", "L191-b", "flywheel-bore", "1 in", "3/8", "3/8"),
    ("flywheel-key-width", "L191-b", "flywheel-bore", "2 in", "5/8", "5/8"),
    ("flywheel-key-thickness", "L190", "flywheel-bore", "3 in", None, "7/16"),
    ("cranking-pressure", "L052-a", "compression-ratio", "5 ratio", None, "99"),
]


@pytest.mark.parametrize(("characteristic", "evidence", "dimension", "size", "low", "high"), PRINTED)
def test_a_per_size_rule_gives_the_figure_printed_at_that_size(
    characteristic: str, evidence: str, dimension: str, size: str, low: str | None, high: str | None,
    table: Table, make_engine: Callable[..., Any],
) -> None:  # fmt: skip
    value = {"characteristic": characteristic, "evidence": evidence, "at": {dimension: size}}
    interval = _said(table, value, make_engine)
    assert interval is not None
    for got, printed in ((interval.low, low), (interval.high, high)):
        if printed is not None:
            assert _same(got, printed)


def test_a_step_table_takes_the_upper_size_into_the_lower_step(table: Table, make_engine: Callable[..., Any]) -> None:
    value = {"characteristic": "flywheel-key-width", "evidence": "K001"}
    at = {size: _said(table, value | {"at": {"flywheel-bore": size}}, make_engine) for size in ("1-1/4 in", "1.2501 in")}
    assert at["1-1/4 in"].low == Fraction(1, 4)
    assert at["1.2501 in"].low == Fraction(5, 16)
    assert parse_quantity("1-1/4 in").exact == Fraction(5, 4)
    with pytest.raises(OutsideRange):
        _said(table, value | {"at": {"flywheel-bore": "7/8 in"}}, make_engine)
