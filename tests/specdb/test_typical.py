"""Usual sizes by power: marked as guesses, never extrapolated, and out of reach of everything that decides a verdict."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import halfthou_service.bench as bench
import halfthou_specdb
from halfthou_specdb.errors import DimensionError, MissingDimension, OutsideRange
from halfthou_specdb.quantity import parse_quantity
from halfthou_specdb.table import Table
from halfthou_specdb.typical import Guesses, guesses

ROD = "rod-bearing-running-clearance"
OPEN = "slow-open-crank"


def ask(table: Table, power: str, engine_class: str = "", stroke: str = "") -> Guesses:
    return guesses(table, parse_quantity(power), engine_class, parse_quantity(stroke) if stroke else None)


def bands(found: Guesses) -> set[tuple[str, str]]:
    return {(str(g.band[0]), str(g.band[1])) for g in found.items if g.record.dimension == "crankpin"}


# Bands of reference engine classes, recalled: 1.5 to 1.75, 2 to 3.5, 4 to 6.5, 7 to 10, 12 to 16 hp.
@pytest.mark.parametrize(
    ("power", "stroke", "expected"),
    [
        ("1.5 hp", "", {("1.5", "1.75")}), ("5 hp", "", {("4", "6.5")}), ("6.5 hp", "", {("4", "6.5")}), ("16 hp", "", {("12", "16")}),
        ("3.7 kW", "", {("4", "6.5")}),  # 4.96 hp
        ("3.75 hp", "", {("2", "3.5"), ("4", "6.5")}),  # between two
        ("3.75 hp", "9 in", {("4", "6.5")}),  # usual in one of them
        ("3.75 hp", "6.5 in", {("2", "3.5"), ("4", "6.5")}),  # usual in both
        ("3.75 hp", "20 in", {("2", "3.5"), ("4", "6.5")}),  # usual in neither
    ],
)  # fmt: skip
def test_the_band_of_a_power_and_the_stroke_chooses_between_two(table: Table, power: str, stroke: str, expected: set) -> None:
    assert bands(ask(table, power, stroke=stroke)) == expected


def test_the_recalled_range_of_a_five_horse_crankpin(table: Table) -> None:
    (pin,) = [g for g in ask(table, "5 hp", OPEN).items if g.record.dimension == "crankpin"]
    assert (str(pin.low), str(pin.high), pin.record.grade) == ("1.5 in", "2.125 in", "from-memory")


def test_a_stroke_out_of_the_usual_makes_the_guess_doubtful(table: Table) -> None:
    assert "trust these guesses less" in " ".join(ask(table, "5 hp", stroke="20 in").remarks)
    assert "trust these guesses less" not in " ".join(ask(table, "5 hp", stroke="8 in").remarks)


def test_one_engine_met_is_told_as_one_engine(table: Table) -> None:
    found = ask(table, "1.5 hp").items
    assert {g.one_engine for g in found} == {True, False}
    assert all(g.low.exact == g.high.exact for g in found if g.one_engine)


@pytest.mark.parametrize("power", ["1 hp", "1.4 hp", "16.1 hp", "50 hp"])
def test_nothing_is_extrapolated(table: Table, power: str) -> None:
    with pytest.raises(OutsideRange, match=r"1\.5 to 16 hp"):
        ask(table, power)


def test_a_class_with_nothing_on_file_says_so(table: Table) -> None:
    found = ask(table, "5 hp", "medium-enclosed-crank")
    assert found.items == ()
    assert "No usual sizes are on file for medium-enclosed-crank" in found.remarks[0]


@pytest.mark.parametrize(("power", "stroke"), [("5 in", ""), ("5 hp", "3 hp")])
def test_another_kind_of_unit_is_refused(table: Table, power: str, stroke: str) -> None:
    with pytest.raises(DimensionError):
        ask(table, power, stroke=stroke)


def test_no_guess_stands_in_for_a_size_that_a_limit_asks_for(table: Table, ask: object, make_engine) -> None:
    from halfthou_specdb.resolve import resolve

    engine = make_engine(OPEN, {"rated-power": "5 hp", "stroke": "8 in"})
    with pytest.raises(MissingDimension, match="crankpin"):
        resolve(table, table.characteristic(ROD), engine)


def test_nothing_that_decides_reads_the_guesses() -> None:
    """Only the modules that tell guesses to people touch them."""
    word = re.compile(r"\btypical(?:\.|\s+import)|\.typical\b|\bTypical\b|guesses")
    table = Path(halfthou_specdb.__file__).parent
    readers = {p.name for p in table.glob("*.py") if word.search(p.read_text(encoding="utf-8"))}
    assert readers == {"typical.py", "pages.py", "records.py", "reading.py", "table.py"}
    for path in Path(bench.__file__).parent.glob("*.py"):  # what decides; the papers beside it print guesses and say that they are
        assert not re.search(r"halfthou_specdb\.typical|table\.typical|\bTypical\b|guesses\(", path.read_text(encoding="utf-8")), path.name
