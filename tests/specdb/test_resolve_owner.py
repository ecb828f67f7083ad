"""The owner's figures: they win for the engine they are bound to, and make a safety limit tighter or nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from halfthou_specdb.overlay import read_overlay
from halfthou_specdb.quantity import parse_quantity
from halfthou_specdb.records import Limit, SizeRange
from halfthou_specdb.resolve import Resolved
from halfthou_specdb.rules import UNBOUNDED, Constant
from halfthou_specdb.table import Table

Ask = Callable[..., Resolved]
ROD, MAIN, RIM = "rod-bearing-running-clearance", "main-bearing-running-clearance", "flywheel-rim-speed"
PIN = {"crankpin": "2-1/4 in"}
OWN = """
[overlay]
engine = "H"
title = "My own book"
[[limit]]
id = "my-rim"
characteristic = "flywheel-rim-speed"
unit = "ft/min"
fit = { low = "none_on_file", high = 3900 }
wear = { low = "none_on_file", high = 4000 }
reasoning = "Page 3 of my book."
"""


def _interval(found: Resolved) -> tuple[Any, Any, Any, Any]:
    assert found.fit is not None
    assert found.wear is not None
    return found.fit.low, found.fit.high, found.wear.low, found.wear.high


def _owned(limit: Limit, **changes: Any) -> Limit:
    """An owner's figure shaped like an adopted limit."""
    return replace(limit, id=f"own-{limit.id}", owner=True, derivation={}, **changes)


def test_the_owners_figure_wins_and_is_graded_as_the_owners(table: Table, ask: Ask) -> None:
    own = _owned(table.limits["rod-clearance-poured"], wear_high=Constant(Decimal("0.0055")))
    found = ask(ROD, sizes=PIN | {"crankpin-length": "2-1/2 in"}, overlay=(own,))
    assert found.limit is own
    assert _interval(found)[3] == Fraction("0.0055")
    assert {(s.standing, s.grade) for s in found.standings.values()} == {("owner", "owner")}


def test_an_owners_figure_for_something_else_changes_nothing(table: Table, ask: Ask) -> None:
    own = _owned(table.limits["rod-clearance-poured"])
    assert ask(MAIN, sizes={"main-journal": "2 in"}, overlay=(own,)) == ask(MAIN, sizes={"main-journal": "2 in"})


def test_an_owners_figure_for_other_sizes_leaves_the_adopted_limit(table: Table, ask: Ask) -> None:
    narrow = SizeRange("crankpin", parse_quantity("1 in"), parse_quantity("2 in"))
    own = _owned(table.limits["rod-clearance-poured"], sizes=narrow)
    found = ask(ROD, sizes=PIN, overlay=(own,))
    assert found.limit is table.limits["rod-clearance-poured"]


@pytest.mark.parametrize(("figure", "wins"), [("0", True), ("4200", True), ("5000", True), ("5000.1", False), ("6000", False)])
def test_an_owners_figure_may_only_tighten_a_safety_limit_from_above(figure: str, wins: bool, table: Table, ask: Ask) -> None:
    rule = table.limits["rim-speed-one-piece"]
    tight = Constant(min(Decimal(figure), Decimal(4500)))
    own = _owned(rule, fit_high=tight, wear_high=Constant(Decimal(figure)))
    found = ask(RIM, overlay=(own,))
    assert found.limit is (own if wins else rule)
    assert _interval(found)[3] == min(Fraction(figure), 5000)


@pytest.mark.parametrize(("figure", "wins"), [("-1", False), ("0", True), ("5", True)])
def test_an_owners_figure_may_only_tighten_a_safety_limit_from_below(figure: str, wins: bool, table: Table, ask: Ask) -> None:
    rule = table.limits["start-spark-not-early"]
    own = _owned(rule, fit_low=Constant(Decimal(figure)), wear_low=Constant(Decimal(figure)))
    assert ask("igniter-timing-start", overlay=(own,)).limit is (own if wins else rule)


def test_an_owner_cannot_open_a_safety_limit_nor_run_a_jointed_wheel(table: Table, ask: Ask) -> None:
    rule = table.limits["rim-speed-one-piece"]
    opened = _owned(rule, fit_high=UNBOUNDED, wear_high=UNBOUNDED)
    assert ask(RIM, overlay=(opened,)).limit is rule
    tight = _owned(rule, fit_high=Constant(Decimal(900)), wear_high=Constant(Decimal(1000)))
    assert _interval(ask(RIM, features=["jointed-flywheel"], overlay=(tight,)))[3] == 0


def test_an_owner_cannot_move_the_warning_of_a_safety_limit_out(table: Table, ask: Ask) -> None:
    own = _owned(table.limits["rim-speed-one-piece"], fit_high=Constant(Decimal(4990)), wear_high=Constant(Decimal(5000)))
    fit_high = _interval(ask(RIM, overlay=(own,)))[1]
    assert fit_high <= 4500


def test_an_owners_file_is_read_into_figures_that_keep_a_safety_limit_a_safety_limit(table: Table, ask: Ask, tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text(OWN, encoding="utf-8")
    overlay = read_overlay(table, path)
    found = ask(RIM, overlay=overlay.limits_for("H"))
    assert found.limit is not None
    assert (found.limit.id, found.limit.kind, found.limit.owner) == ("my-rim", "safety", True)
    assert _interval(found)[3] == 4000
    assert ask(RIM, overlay=overlay.limits_for("another engine")).limit is table.limits["rim-speed-one-piece"]


def test_of_two_figures_of_the_owner_the_one_for_the_narrower_size_holds(table: Table, ask: Ask) -> None:
    wide = _owned(table.limits["rod-clearance-poured"], when=(), sizes=None, wear_high=Constant(Decimal("0.006")))
    pin = SizeRange("crankpin", parse_quantity("2 in"), parse_quantity("3 in"))
    narrow = replace(wide, id="z-narrow", sizes=pin, wear_high=Constant(Decimal("0.0055")))
    for overlay in ((wide, narrow), (narrow, wide)):
        assert ask(ROD, sizes=PIN, overlay=overlay).limit is narrow
        assert ask(ROD, sizes={"crankpin": "1-1/2 in"}, overlay=overlay).limit is wide
