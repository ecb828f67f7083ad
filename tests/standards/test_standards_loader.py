"""The loader: our tables are in order; a bad cell is refused with file, line, id and reason."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from halfthou_specdb.errors import RecordError
from halfthou_specdb.lint.sources import HASHES, named
from halfthou_specdb.standards.layout import LAYOUTS
from halfthou_specdb.standards.load import DATA, cited_works, faults, locators, read
from halfthou_specdb.table import Table


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    return Path(shutil.copytree(DATA, tmp_path / "standards"))


def test_our_tables_have_no_faults(table: Table) -> None:
    assert faults(frozenset(table.works)) == []


def test_every_cited_work_is_described_and_says_where() -> None:
    assert cited_works() <= set(locators())
    assert set(locators()) <= cited_works()
    described = set(Table.from_files().works)
    assert cited_works() <= described


def test_every_file_has_a_layout_and_every_layout_a_file() -> None:
    files = {path.stem for path in DATA.glob("*.csv")}
    assert files == set(LAYOUTS) | {"provenance", "locators"}


def test_no_maker_is_named() -> None:
    hashes = frozenset(HASHES.read_text(encoding="ascii").split())
    for path in DATA.glob("*.csv"):
        assert list(named(path.read_text(encoding="utf-8").replace(",", " "), hashes)) == [], path.name


def test_a_number_read_keeps_its_digits() -> None:
    rows = {row.words["class"] + str(row.cells["over_in"].value): row for row in read("b41-fits")}
    assert str(rows["RC1" + "0.4"].cells["shaft_low_thou"].value) == "-0.45"


# file, what stands there, what is put in its place, line, id, reason
SPOILT = [
    ("b41-fits", "RC1,0.12,0.24,H5,g4,0.2,", "RC1,0.12,0.24,H5,g4,O.2,", 3, "RC1 0.12", "hole_high_thou: 'O.2' is not a number"),
    (
        "b41-fits",
        "RC1,0.12,0.24,H5,g4,0.2,",
        "RC1,0.12,0.24,H5,g4,0.25,",
        3,
        "RC1 0.12",
        "loosest_thou is 0.5, but a hole of 0.25 less a shaft of -0.3 is 0.55",
    ),
    ("b41-fits", "RC1,0.12,0.24,", "RC1,0.13,0.24,", 3, "RC1 0.13", "over_in does not follow 0.12"),
    ("b41-fits", "RC1,0.12,0.24,", "RC1,0.12,0.12,", 3, "RC1 0.12", "over_in is not below upto_in"),
    ("b41-fits", "RC1,0.12,0.24,H5,g4,0.2,", "RC1,0.12,0.24,H5,g4,0.2~zz,", 3, "RC1 0.12", "hole_high_thou: no key 'zz' stands in provenance.csv"),
    ("b41-fits", "0.15,0.5,a\n", "0.15,0.5,zz\n", 3, "RC1 0.12", "no key 'zz' stands in provenance.csv"),
    ("b41-fits", "RC1,0.12,0.24,H5,g4,0.2,", "RC1,0.12,0.24,H5,g4,,", 3, "RC1 0.12", "hole_high_thou is empty"),
    ("b41-fits", "RC1,0.12,0.24,H5,g4,0.2,", "RC1,0.12,0.24,H5,g4,1e3,", 3, "RC1 0.12", "is not a number"),
    ("b41-fits", "RC1,0.12,0.24,H5,g4,0.2,", "RC1,0.12,0.24,H5,g4,nan,", 3, "RC1 0.12", "is not a number"),
    ("b41-fits", "RC1,0.12,0.24,H5,g4,0.2,", "RC1,0.12,0.24,H5,g4,-0,", 3, "RC1 0.12", "is not a number"),
    ("iso286-delta", "3,6,1,1.5,1,3,4,6,b", "3,6,1,1.5,1,3,,6,b", 3, "3", "IT7 is empty"),
    ("threads", "UNC,#6,", "UNC,#4,", 3, "UNC #4", "stands already on line 2"),
    ("roughness", "super-finishing,0.05,0.2,", "super-finishing,0.3,0.2,", 2, "super-finishing", "ra_low_um is above ra_high_um"),
    ("sieve-cloth", "sieve,opening_um", "sieve,opening_mm", 1, r"\(heading\)", "the columns are"),
    ("provenance", "roughness,a,published,ROUGHNESS-TABLE,", "roughness,a,published,,", None, "roughness a", "published needs a work"),
    (
        "provenance",
        "roughness,a,published,ROUGHNESS-TABLE,",
        "roughness,a,published,SOMEWHERE,",
        None,
        "roughness a",
        "needs a locator in locators.csv for SOMEWHERE",
    ),
    ("provenance", "roughness,a,published,ROUGHNESS-TABLE,", "roughness,a,sure,ROUGHNESS-TABLE,", None, "roughness a", "no grade is called 'sure'"),
    (
        "provenance",
        "roughness,a,published,ROUGHNESS-TABLE,",
        "roughness,a,from-memory,ROUGHNESS-TABLE,",
        None,
        "roughness a",
        "from memory names no work",
    ),
    ("locators", "ROUGHNESS-TABLE,table", "ROUGHNESS-TABLE,", None, "roughness a", "needs a locator"),
]


@pytest.mark.parametrize(("name", "old", "new", "line", "row_id", "reason"), SPOILT)
def test_a_bad_cell_is_refused_with_its_place(copy: Path, name: str, old: str, new: str, line: int | None, row_id: str, reason: str) -> None:
    path = copy / f"{name}.csv"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    found = faults(root=copy)
    file = "provenance" if name == "locators" else name
    place = rf"{file}\.csv:{line if line is not None else '[0-9]+'}: {row_id}: "
    assert any(re.match(place, fault) and reason in fault for fault in found), found


def test_one_bad_row_does_not_hide_another(copy: Path) -> None:
    path = copy / "roughness.csv"
    text = path.read_text(encoding="utf-8").replace("lapping,0.05", "lapping,x").replace("honing,0.1", "honing,y")
    path.write_text(text, encoding="utf-8")
    assert [fault.split(": ")[1] for fault in faults(root=copy)] == ["lapping", "honing"]
    with pytest.raises(RecordError, match=r"roughness\.csv:3: lapping: ra_low_um"):
        read("roughness", copy)


def test_a_missing_file_and_a_torn_row_are_refused(copy: Path) -> None:
    (copy / "threads.csv").unlink()
    (copy / "roughness-series.csv").write_text("ra_um,ra_uin,by\n0.025,1\n", encoding="utf-8")
    found = faults(root=copy)
    assert any(fault.startswith("threads.csv:1: (file): cannot be read") for fault in found)
    assert any(fault.startswith("roughness-series.csv:2: (row): a row has 3 columns") for fault in found)


def test_a_work_that_nobody_describes_is_a_fault() -> None:
    assert any("no work is called 'MD-213'" in fault for fault in faults(frozenset()))
