"""Build the SQLite file from the data files: tables, foreign keys, indexes, full-text search, readable views.

Digits are stored as text. The file is built when the wheel is built, and on first use from a source tree, into a cache.
"""

from __future__ import annotations

import csv
import hashlib
import os
import tempfile
from pathlib import Path
from typing import Any

from .errors import RecordError, TableError
from .load import DATA, RawRecord, data_files, first_refusal, read_all
from .rules import in_words
from .table import DATA_VERSION, SCHEMA_VERSION, STANDARDS, Table, digest_of, encode, standards_digest

PACKAGED = Path(__file__).parent / "specdb.sqlite"

VIEWS = {
    "limits_readable": """
        select l.id, c.name as what, c.component, l.classes, l.use, l.conditions, l.fit_low, l.fit_high, l.wear_low, l.wear_high,
               l.unit, l.reasoning
        from limits l join characteristics c on c.id = l.characteristic order by c.component, c.name, l.id""",
    "evidence_readable": """
        select c.name as what, e.says, e.written_for, k.name as kind_of_engine, e.grade, w.citation, e.locator, e.note, e.id
        from evidence e join evidence_characteristics ec on ec.evidence = e.id join characteristics c on c.id = ec.characteristic
        join engine_classes k on k.id = e.kin left join works w on w.id = e.work order by c.name, e.id""",
    "works_counted": """
        select w.id, w.title, count(e.id) as statements from works w left join evidence e on e.work = w.id
        group by w.id order by statements desc, w.id""",
}


def _text(value: Any) -> Any:
    return ", ".join(map(str, value)) if isinstance(value, (list, tuple)) else value


def _rows(table: Table) -> dict[str, list[dict[str, Any]]]:
    limits = [
        {"id": m.id, "kind": m.kind, "characteristic": m.characteristic, "classes": _text(m.classes), "use": m.use,
         "conditions": _text(m.when), "sizes": str(m.sizes) if m.sizes else "", "unit": m.unit.token, "basis": m.basis,
         **{end: in_words(m.bound(end), m.unit) for end in ("fit_low", "fit_high", "wear_low", "wear_high")}, "reasoning": m.reasoning}
        for m in table.limits.values()
    ]  # fmt: skip
    limit_evidence = [
        {"limit_id": m.id, "end": end, "evidence": ref.rpartition(".")[0], "side": ref.rpartition(".")[2], "op": d.op}
        for m in table.limits.values() for end, d in m.derivation.items() for ref in d.parents
    ]  # fmt: skip
    evidence, links = [], []
    for evidence_id in table.evidence_ids():
        e = table.evidence(evidence_id)
        links += [{"evidence": e.id, "characteristic": c} for c in e.characteristics]
        unit = e.unit.token if e.unit else None
        evidence.append({
            "id": e.id, "kin": e.kin, "written_for": e.written_for, "says": e.says, "kind": e.kind, "basis": e.basis, "unit": unit,
            "low": in_words(e.low, e.unit) if e.unit else None, "high": in_words(e.high, e.unit) if e.unit else None,
            "conditions": _text(e.when), "sizes": str(e.sizes) if e.sizes else "", "grade": e.grade, "work": e.work or None,
            "locator": e.locator, "note": e.note, "second_reading": e.second_reading, "scan_doubt": int(e.scan_doubt),
        })  # fmt: skip
    characteristics = [
        {"id": c.id, "name": c.name, "component": c.component, "synonyms": _text(c.synonyms), "definition": c.definition,
         "how_to_measure": c.how_to_measure, "value_kind": c.value_kind, "unit": c.unit, "basis": c.basis, "stage": c.stage,
         "start_critical": int(c.start_critical), "low_side": c.low_side.meaning, "high_side": c.high_side.meaning}
        for c in table.characteristics.values()
    ]  # fmt: skip
    return {
        "works": [{"id": w.id, "title": w.title, "citation": w.citation} for w in table.works.values()],
        "engine_classes": [{"id": k.id, "kind": k.kind, "name": k.name, "description": k.description} for k in table.classes.values()],
        "characteristics": characteristics,
        "cautions": [{"id": c.id, "hazard": c.hazard, "applies": c.when, "says": c.says, "grade": c.grade, "work": c.work or None}
                     for c in table.cautions.values()],
        "evidence": evidence, "evidence_characteristics": links, "limits": limits, "limit_evidence": limit_evidence,
        "absences": [{"characteristic": a.characteristic, "classes": _text(a.classes), "reason": a.reason, "instead": a.instead}
                     for group in table.absences_of.values() for a in group],
    }  # fmt: skip


KEYS = {
    "evidence": [("kin", "engine_classes", "id"), ("work", "works", "id")],
    "evidence_characteristics": [("evidence", "evidence", "id"), ("characteristic", "characteristics", "id")],
    "limits": [("characteristic", "characteristics", "id")],
    "limit_evidence": [("limit_id", "limits", "id"), ("evidence", "evidence", "id")],
    "absences": [("characteristic", "characteristics", "id")],
    "cautions": [("work", "works", "id")],
}
INDEXES = {"evidence_characteristics": ["characteristic"], "limits": ["characteristic"], "limit_evidence": ["evidence"]}


def build(target: Path, root: Path = DATA) -> str:
    """Validate everything and write the SQLite file; returns the edition.

    Raises:
        RecordError: a record was refused; nothing is written.
        TableError: a citation that leads nowhere.
    """
    records, refused = read_all(root)
    first_refusal(refused)
    edition = f"{DATA_VERSION}+{digest_of(records, standards_digest())}"
    rows = _rows(Table(records, edition))
    target.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=target.parent, suffix=".tmp")
    os.close(handle)
    try:
        _write(Path(name), records, rows, edition)
        os.chmod(name, 0o644)
        os.replace(name, target)
    finally:
        Path(name).unlink(missing_ok=True)
    return edition


def _write(path: Path, records: list[RawRecord], rows: dict[str, list[dict[str, Any]]], edition: str) -> None:
    import sqlite_utils

    path.unlink()
    db = sqlite_utils.Database(path)
    db.table("meta").insert_all(
        [{"key": "edition", "value": edition}, {"key": "schema_version", "value": str(SCHEMA_VERSION)},
         {"key": "standards_digest", "value": standards_digest()}], pk="key"
    )
    db.table("record").insert_all(
        {"kind": r.kind, "id": r.id, "record": encode(r.raw), "file": r.file, "line": r.line} for r in records
    )
    for name, items in rows.items():
        if not items:
            continue
        pk = "id" if "id" in items[0] else None
        db.table(name).insert_all(items, pk=pk, foreign_keys=[k for k in KEYS.get(name, []) if rows[k[1]]])
        for column in INDEXES.get(name, []):
            db.table(name).create_index([column])
    for csv_file in sorted(STANDARDS.glob("*.csv")):
        with csv_file.open(encoding="utf-8", newline="") as handle:
            db.table(f"standard_{csv_file.stem.replace('-', '_')}").insert_all(dict(line) for line in csv.DictReader(handle))
    if rows["characteristics"]:
        db.table("characteristics").enable_fts(["name", "synonyms", "definition", "component", "how_to_measure"], tokenize="porter")
    for name, sql in VIEWS.items():
        if all(rows[t] for t in ("limits", "evidence", "works", "limit_evidence")):
            db.create_view(name, sql)
    broken = db.execute("pragma foreign_key_check").fetchall()
    if broken:
        table, rowid, parent, _ = broken[0]
        raise TableError(f"{len(broken)} references lead nowhere; first: row {rowid} of {table} to {parent}")
    db.vacuum()
    db.close()


def cached_path(root: Path = DATA) -> Path:
    """Where the file built from these data files is kept: one per state of the files."""
    stamp = hashlib.sha256(f"{SCHEMA_VERSION}".encode())
    for path in (*data_files(root), *sorted(STANDARDS.glob("*.csv")), Path(__file__)):
        stat = path.stat()
        stamp.update(f"{path.name} {stat.st_size} {stat.st_mtime_ns}\n".encode())
    home = os.environ.get("HALFTHOU_CACHE") or os.environ.get("XDG_CACHE_HOME") or os.path.join(os.path.expanduser("~"), ".cache")
    return Path(home) / "halfthou" / f"specdb-{stamp.hexdigest()[:16]}.sqlite"


def open_table() -> Table:
    """The table, from the file shipped or kept; a damaged kept file is built again once.

    Raises:
        RecordError: the data files do not validate.
        TableError: the file is damaged and cannot be built anew.
    """
    path = ensure_built()
    try:
        return Table.open(path)
    except TableError:
        if path == PACKAGED:
            raise
        path.unlink(missing_ok=True)
        return Table.open(ensure_built())


def ensure_built() -> Path:
    """The file to open: the one shipped in the wheel, or the cached one, built now if need be.

    Raises:
        RecordError: the data files do not validate.
        TableError: the cache folder cannot be written.
    """
    if PACKAGED.exists():
        return PACKAGED
    path = cached_path()
    if not path.exists():
        try:
            build(path)
        except RecordError:
            raise
        except OSError as error:
            raise TableError(f"the table could not be built into its cache folder: {error.strerror}; set HALFTHOU_CACHE") from error
    return path
