"""Editions: released numbers stay in the tree, a changed one must be told in the change log, two editions can be compared."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from halfthou_specdb import editions
from halfthou_specdb.errors import UnknownId
from halfthou_specdb.table import Table

CHANGELOG = (Path(__file__).parents[2] / "CHANGELOG.md").read_text(encoding="utf-8")
ROD = "rod-clearance-poured"
LOG = "# Changes\n\n## 0.2.0\n\n### Data\n\n- {told}\n\n### Code\n\n- rod-clearance-poured is shown in bold.\n\n## 0.1.0\n\n### Data\n\n- {before}\n"

Doctor = Callable[..., Table]


@pytest.fixture
def doctored(table: Table) -> Doctor:
    """The table with one record changed by a function of its raw form, or left out where that gives None."""

    def make(kind: str, record_id: str, change: Callable[[dict[str, Any]], Any]) -> Table:
        records = []
        for of_kind in table._by_kind.values():
            for record in of_kind:
                if (record.kind, record.id) == (kind, record_id):
                    raw = deepcopy(record.raw)
                    if change(raw) is None:
                        records.append(replace(record, raw=raw))
                else:
                    records.append(record)
        return Table(records, "0.1.0+doctored")

    return make


@pytest.fixture
def folder(table: Table, tmp_path: Path) -> Path:
    """A folder that holds the table of now as a released edition."""
    editions.write_snapshot(table, tmp_path)
    return tmp_path


def wider(raw: dict[str, Any]) -> None:
    raw["wear"]["high"] = {"per": Decimal("0.0035")}


def other(raw: dict[str, Any]) -> None:
    raw["fit"] = {"low": Decimal("0.1234"), "high": Decimal("0.5678")}


def test_a_released_edition_is_in_the_tree() -> None:
    assert editions.released()


def test_every_number_changed_since_the_last_release_is_told(table: Table) -> None:
    """Write it under Data in CHANGELOG.md: limit id, old -> new, source, why. When releasing: python -m halfthou_specdb release."""
    assert editions.untold(table, CHANGELOG) == ()


def test_a_changed_number_that_nobody_told_is_caught_by_the_change_log_of_this_tree(table: Table, doctored: Doctor, folder: Path) -> None:
    quiet = next(i for i in table.limits if i not in editions.newest_data(CHANGELOG))
    assert editions.untold(doctored("limit", quiet, other), CHANGELOG, folder) == (quiet,)


@pytest.mark.parametrize(
    ("told", "before", "caught"),
    [
        ("nothing", "first edition", True),
        (f"`{ROD}`: worn over 0.003 -> 0.0035 in per inch of crankpin; a handbook was read again", "first edition", False),
        ("nothing", f"`{ROD}`: 0.002 -> 0.003", True),  # told for an older release
        (f"`{ROD}-show`: 0.002 -> 0.003", "first edition", True),  # another limit whose id begins alike
    ],
)
def test_only_a_line_in_the_newest_data_section_that_names_it_will_do(doctored: Doctor, folder: Path, told: str, before: str, caught: bool) -> None:
    log = LOG.format(told=told, before=before)
    assert editions.untold(doctored("limit", ROD, wider), log, folder) == ((ROD,) if caught else ())


@pytest.mark.parametrize(
    ("kind", "record_id", "change"),
    [
        ("limit", ROD, lambda raw: raw.update(when=["drip-oiled"])),
        ("limit", ROD, lambda raw: "left out"),
        ("evidence", "L072", lambda raw: raw.update(low=Decimal("0.0009"))),
        ("instrument", "plastic-gauge-strip", lambda raw: raw["variant"][0]["parts"][0].update(value=Decimal(1))),
        ("characteristic", "flywheel-hub-crack", lambda raw: raw["words"][-1].update(verdict="usable", veto="none")),
        ("characteristic", "rod-bearing-running-clearance", lambda raw: raw["high_side"].update(meaning="harmless")),
    ],
    ids=["conditions", "left out", "evidence", "uncertainty", "veto", "meaning of a side"],
)
def test_whatever_a_verdict_can_turn_on_must_be_told(doctored: Doctor, folder: Path, kind: str, record_id: str, change: Any) -> None:
    assert editions.untold(doctored(kind, record_id, change), LOG.format(told="nothing", before="nothing"), folder) == (record_id,)


@pytest.mark.parametrize(
    ("kind", "record_id", "change"),
    [("limit", ROD, lambda raw: raw.update(reasoning="Said better.")), ("evidence", "L072", lambda raw: raw.update(note="Read again.")),
     ("characteristic", "rod-bend", lambda raw: raw.update(name="Bend of the rod"))],
)  # fmt: skip
def test_words_alone_need_not_be_told(doctored: Doctor, folder: Path, kind: str, record_id: str, change: Any) -> None:
    assert editions.untold(doctored(kind, record_id, change), LOG.format(told="nothing", before="nothing"), folder) == ()


def test_nothing_is_untold_before_the_first_release(table: Table, tmp_path: Path) -> None:
    assert editions.untold(table, "", tmp_path) == ()


def test_an_edition_compared_with_itself_differs_in_nothing(table: Table, folder: Path) -> None:
    assert editions.diff(editions.load("0.1.0", table, folder), editions.snapshot(table)) == ()


def test_two_editions_compared_tell_old_and_new(table: Table, doctored: Doctor, folder: Path) -> None:
    (change,) = editions.diff(editions.load("0.1.0", table, folder), editions.snapshot(doctored("limit", ROD, wider)))
    assert (change.record, change.id, change.field, change.is_number) == ("limit", ROD, "wear", True)
    assert ('"per": 0.003}' in change.old, '"per": 0.0035}' in change.new) == (True, True)


def test_a_record_that_came_or_went_is_told(table: Table, doctored: Doctor, folder: Path) -> None:
    without = doctored("limit", ROD, lambda raw: "left out")
    (gone,) = editions.diff(editions.load("0.1.0", table, folder), editions.snapshot(without))
    (come,) = editions.diff(editions.snapshot(without), editions.load("0.1.0", table, folder))
    assert (bool(gone.old), gone.new, come.old, bool(come.new)) == (True, "", "", True)


def test_a_snapshot_keeps_every_digit(table: Table, folder: Path) -> None:
    assert editions.load("0.1.0", table, folder)["limits"] == editions.snapshot(table)["limits"]


@pytest.mark.parametrize("name", ["", "9.9.9", "0.1.0+000000000000", "../0.1.0", "current/.."])
def test_an_edition_nobody_released_is_refused(table: Table, folder: Path, name: str) -> None:
    with pytest.raises(UnknownId):
        editions.load(name, table, folder)


def test_editions_are_listed_oldest_first(tmp_path: Path) -> None:
    for name in ("0.10.0", "0.2.0", "1.0.0"):
        (tmp_path / f"{name}.json").write_text("{}")
    assert editions.released(tmp_path) == ("0.2.0", "0.10.0", "1.0.0")
