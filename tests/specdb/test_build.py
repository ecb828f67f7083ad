"""The SQLite file: tables, keys, search, views, digits as text; the same edition whatever the order; read-only; damage noticed."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from decimal import Decimal
from pathlib import Path

import pytest

from halfthou_specdb.build import build, cached_path, ensure_built
from halfthou_specdb.errors import SpecdbError, TableError
from halfthou_specdb.load import DATA, data_files
from halfthou_specdb.search import search
from halfthou_specdb.table import Table, digest_of, standards_digest

TABLES = {"meta", "record", "works", "engine_classes", "characteristics", "cautions", "evidence", "evidence_characteristics", "limits",
          "limit_evidence", "absences"}  # fmt: skip
VIEWS = {"limits_readable", "evidence_readable", "works_counted"}
KINDS = ("works", "classes", "dimensions", "features", "facts", "instruments", "cautions", "characteristics", "materials", "typical",
         "limits", "absences_of")  # fmt: skip


@pytest.fixture
def db(built: Path) -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(f"file:{built}?mode=ro", uri=True)) as connection:
        yield connection


def test_tables_and_views_are_there_and_hold_rows(db: sqlite3.Connection) -> None:
    names = {kind: {n for n, k in db.execute("select name, type from sqlite_master") if k == kind} for kind in ("table", "view")}
    assert names["table"] >= TABLES
    assert names["view"] >= VIEWS
    for name in TABLES | VIEWS:
        assert db.execute(f"select count(*) from {name}").fetchone()[0] > 0, name


def test_foreign_keys_are_declared_and_lead_somewhere(db: sqlite3.Connection) -> None:
    assert db.execute("pragma foreign_key_check").fetchall() == []
    assert db.execute("pragma integrity_check").fetchall() == [("ok",)]
    wanted = {"evidence": {"engine_classes", "works"}, "evidence_characteristics": {"evidence", "characteristics"},
              "limits": {"characteristics"}, "absences": {"characteristics"}}  # fmt: skip
    for name, parents in wanted.items():
        assert {row[2] for row in db.execute(f"pragma foreign_key_list({name})")} >= parents, name


def test_what_a_limit_rests_on_is_in_the_file(db: sqlite3.Connection, opened: Table) -> None:
    rows = set(db.execute("select limit_id, end, evidence || '.' || side from limit_evidence"))
    assert rows == {(m.id, end, ref) for m in opened.limits.values() for end, d in m.derivation.items() for ref in d.parents}
    assert db.execute("select count(*) from limit_evidence where evidence not in (select id from evidence)").fetchone() == (0,)


def test_digits_are_text_with_every_place_kept(db: sqlite3.Connection) -> None:
    columns = {row[1]: row[2] for name in ("evidence", "limits") for row in db.execute(f"pragma table_info({name})")}
    assert {columns[c] for c in ("low", "high", "fit_low", "fit_high", "wear_low", "wear_high")} == {"TEXT"}
    assert db.execute("select low, high from evidence where id = 'L313'").fetchone() == ("0.0010 in", "0.0030 in")
    (record,) = db.execute("select record from record where kind = 'evidence' and id = 'L313'").fetchone()
    assert '"low": 0.0010' in record
    assert db.execute("select typeof(fit_high) from limits where fit_high is not null group by 1").fetchall() == [("text",)]


def test_views_read_like_sentences(db: sqlite3.Connection) -> None:
    row = db.execute("select what, fit_high, wear_high from limits_readable where id = 'rod-clearance-poured'").fetchone()
    assert row == ("Connecting-rod bearing running clearance", "0.0015 in per inch of crankpin plus 0.0005 in", "0.003 in per inch of crankpin")
    said = db.execute("select says, grade, locator from evidence_readable where id = 'L008'").fetchall()
    assert ("in service maximum 0.004 in per inch", "published", "Table 2, General Specification") in said
    counts = dict(db.execute("select id, statements from works_counted"))
    assert counts["rathbun-handbook"] > 10


def test_search_finds_by_shop_words_and_takes_no_query_language(opened: Table) -> None:
    assert "rod-bearing-running-clearance" in search(opened, "how loose should the big end be")[:5]
    for odd in ('"', "* OR (", "name:", "NEAR(a b)", "'; drop table record; --", "\x00", "", "the of"):
        assert isinstance(search(opened, odd), tuple)


def test_the_file_read_back_equals_the_files_it_was_built_from(opened: Table, table: Table) -> None:
    assert opened.edition == table.edition
    for kind in KINDS:
        assert getattr(opened, kind) == getattr(table, kind), kind
    assert opened.evidence_ids() == table.evidence_ids()
    for evidence_id in table.evidence_ids():
        assert str(opened.evidence(evidence_id)) == str(table.evidence(evidence_id))


def test_digits_survive_the_trip_through_the_file(opened: Table, table: Table) -> None:
    def digits(value: object) -> object:
        if isinstance(value, dict):
            return {k: digits(v) for k, v in value.items()}
        if isinstance(value, list):
            return [digits(v) for v in value]
        return str(value) if isinstance(value, (Decimal, int)) else value

    for kind in ("evidence", "limit", "instrument", "material", "typical"):
        assert [digits(r.raw) for r in opened.raw(kind)] == [digits(r.raw) for r in table.raw(kind)]


def test_the_edition_does_not_depend_on_the_order_of_records(table: Table) -> None:
    records = [r for kind in list(table._by_kind) for r in table.raw(kind)]
    assert table.edition.endswith("+" + digest_of(records, standards_digest()))
    for seed in range(3):
        shuffled = random.Random(seed).sample(records, len(records))
        assert digest_of(shuffled, "x") == digest_of(records, "x")


def test_the_edition_does_not_depend_on_layout_but_on_every_digit(tmp_path: Path, table: Table) -> None:
    for path in data_files():
        target = tmp_path / path.relative_to(DATA)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text("# a remark\n\n" + path.read_text(encoding="utf-8").replace("\n[[", "\n\n\n[["), encoding="utf-8")
    assert Table.from_files(tmp_path).edition == table.edition
    rod = tmp_path / "evidence" / "connecting-rod.toml"
    text = rod.read_text(encoding="utf-8")
    assert "low = 0.0010\n" in text
    rod.write_text(text.replace("low = 0.0010\n", "low = 0.00100\n", 1), encoding="utf-8")
    assert Table.from_files(tmp_path).edition != table.edition


def test_building_twice_gives_the_same_edition_and_replaces_the_file_whole(tmp_path: Path, table: Table) -> None:
    target = tmp_path / "deep" / "specdb.sqlite"
    assert build(target) == build(target) == table.edition
    assert [p.name for p in target.parent.iterdir()] == ["specdb.sqlite"]


def test_the_file_is_opened_read_only(opened: Table) -> None:
    with pytest.raises(sqlite3.OperationalError, match="readonly"):
        opened.connection().execute("delete from record")


def test_a_table_without_a_file_has_nothing_to_search(table: Table) -> None:
    with pytest.raises(TableError):
        table.connection()


# -- damage ----------------------------------------------------------------------------------------------------------


@pytest.fixture
def copy(built: Path, tmp_path: Path) -> Path:
    path = tmp_path / "copy.sqlite"
    path.write_bytes(built.read_bytes())
    return path


def _change(path: Path, statement: str) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute(statement)


def test_a_missing_file_is_a_table_error(tmp_path: Path) -> None:
    with pytest.raises(TableError):
        Table.open(tmp_path / "nothing.sqlite")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("content", [b"", b"not a database at all", b"SQLite format 3\x00", b"\x00" * 8192])
def test_a_file_that_is_no_table_is_a_table_error(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "odd.sqlite"
    path.write_bytes(content)
    with pytest.raises(TableError):
        Table.open(path)


@pytest.mark.parametrize("part", [0.01, 0.1, 0.25, 0.5, 0.75, 0.9])
def test_a_file_cut_short_is_a_table_error(part: float, copy: Path) -> None:
    content = copy.read_bytes()
    copy.write_bytes(content[: int(len(content) * part)])
    with pytest.raises(TableError):
        Table.open(copy)


def test_a_file_of_another_version_says_build_again(copy: Path) -> None:
    _change(copy, "update meta set value = '999' where key = 'schema_version'")
    with pytest.raises(TableError, match="another version"):
        Table.open(copy)


@pytest.mark.parametrize(
    "statement",
    [
        "update record set record = 'not json' where id = 'L008'",
        "update record set record = replace(record, '0.004', '0.040') where id = 'L008'",
        "delete from record where id = 'L008'",
        "delete from meta where key = 'edition'",
        "drop table record",
    ],
)
def test_a_changed_record_is_a_table_error(statement: str, copy: Path) -> None:
    _change(copy, statement)
    with pytest.raises(TableError):
        Table.open(copy)


def test_scrambled_bytes_never_give_another_table(copy: Path, opened: Table) -> None:
    content, rnd = copy.read_bytes(), random.Random(7)
    for _ in range(25):
        at, size = rnd.randrange(len(content) - 600), rnd.choice([1, 20, 600])
        copy.write_bytes(content[:at] + rnd.randbytes(size) + content[at + size :])
        try:
            found = Table.open(copy)
        except TableError:
            continue
        for kind in ("evidence", "limit", "characteristic", "caution"):
            assert [r.raw for r in found.raw(kind)] == [r.raw for r in opened.raw(kind)]


# -- where the file is kept ------------------------------------------------------------------------------------------


def test_the_cached_file_follows_the_state_of_the_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HALFTHOU_CACHE", str(tmp_path))
    (tmp_path / "data").mkdir()
    works = tmp_path / "data" / "works.toml"
    works.write_text("", encoding="utf-8")
    before = cached_path(tmp_path / "data")
    works.write_text("# more\n", encoding="utf-8")
    assert cached_path(tmp_path / "data") != before
    assert before.is_relative_to(tmp_path)


def test_first_use_builds_into_the_cache_and_a_cache_that_cannot_be_written_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, table: Table
) -> None:
    monkeypatch.setattr("halfthou_specdb.build.PACKAGED", tmp_path / "none.sqlite")
    monkeypatch.setenv("HALFTHOU_CACHE", str(tmp_path / "cache"))
    path = ensure_built()
    assert path == ensure_built()
    assert Table.open(path).edition == table.edition
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    monkeypatch.setenv("HALFTHOU_CACHE", str(tmp_path / "file"))
    with pytest.raises(SpecdbError, match="HALFTHOU_CACHE"):
        ensure_built()
