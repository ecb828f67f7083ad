"""Editions of the table: snapshots of released ones stay in the tree, and two can be compared.

A snapshot holds the numbers: every adopted limit and every evidence bound. ``0.1.0`` names the snapshot ``snapshots/0.1.0.json``;
``current`` names the table as it stands.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import simplejson

from .errors import UnknownId
from .load import DATA
from .table import Table

SNAPSHOTS = DATA / "snapshots"
CURRENT = "current"
LIMIT_KEYS = ("characteristic", "kind", "classes", "use", "when", "sizes", "unit", "basis", "fit", "wear", "derivation", "reasoning")
EVIDENCE_KEYS = ("characteristics", "kind", "unit", "low", "high", "grade", "work")


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that differs between two editions. ``old`` or ``new`` is empty where the record was added or removed."""

    record: str
    id: str
    field: str
    old: str
    new: str

    @property
    def is_number(self) -> bool:
        """Whether a verdict could change by it, so that the change log must tell it."""
        return self.record == "limit" and self.field not in ("reasoning", "derivation")


Snapshot = Mapping[str, Any]


def snapshot(table: Table) -> Snapshot:
    """The numbers of a table as plain data."""
    return {
        "edition": table.edition,
        "limits": {r.id: {k: r.raw[k] for k in LIMIT_KEYS if k in r.raw} for r in table.raw("limit")},
        "evidence": {r.id: {k: r.raw[k] for k in EVIDENCE_KEYS if k in r.raw} for r in table.raw("evidence")},
        "absences": sorted({r.raw["characteristic"] for r in table.raw("absence")}),
    }


def write_snapshot(table: Table, folder: Path = SNAPSHOTS) -> Path:
    """Write the snapshot of a release; its name is the version before the digest."""
    path = folder / f"{table.edition.partition('+')[0]}.json"
    folder.mkdir(parents=True, exist_ok=True)
    lines = simplejson.dumps(snapshot(table), use_decimal=True, ensure_ascii=False, sort_keys=True, indent=0, separators=(",", ":"))
    path.write_text(lines + "\n", encoding="utf-8")
    return path


def released(folder: Path = SNAPSHOTS) -> tuple[str, ...]:
    """Names of the released editions, oldest first."""
    names = [p.stem for p in folder.glob("*.json")]
    return tuple(sorted(names, key=lambda n: tuple(int(part) for part in re.findall(r"\d+", n))))


def load(name: str, table: Table, folder: Path = SNAPSHOTS) -> Snapshot:
    """A snapshot by name, ``current``, or the current edition's own name.

    Raises:
        UnknownId: no such edition.
    """
    if name in (CURRENT, table.edition):
        return snapshot(table)
    names = released(folder)
    version = name.partition("+")[0]
    if version in names:
        found: Snapshot = json.loads((folder / f"{version}.json").read_text(encoding="utf-8"), parse_float=Decimal)
        if name in (version, found["edition"]):
            return found
    raise UnknownId("edition", name, (*names, CURRENT))


def diff(old: Snapshot, new: Snapshot) -> tuple[Change, ...]:
    """What changed from one edition to another: limits first, then evidence, then absences."""
    changes = [*_records("limit", old["limits"], new["limits"]), *_records("evidence", old["evidence"], new["evidence"])]
    gone, come = sorted(set(old["absences"]) - set(new["absences"])), sorted(set(new["absences"]) - set(old["absences"]))
    changes += [Change("absence", i, "", "nobody publishes this", "") for i in gone]
    changes += [Change("absence", i, "", "", "nobody publishes this") for i in come]
    return tuple(changes)


def _records(kind: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[Change]:
    for record_id in sorted(set(old) | set(new)):
        before, after = old.get(record_id), new.get(record_id)
        if before is None or after is None:
            yield Change(kind, record_id, "", _text(before), _text(after))
            continue
        for key in sorted(set(before) | set(after)):
            if _text(before.get(key)) != _text(after.get(key)):
                yield Change(kind, record_id, key, _text(before.get(key)), _text(after.get(key)))


def _text(value: Any) -> str:
    if value is None:
        return ""
    return value if isinstance(value, str) else simplejson.dumps(value, use_decimal=True, ensure_ascii=False, sort_keys=True)


def untold(table: Table, changelog: str, folder: Path = SNAPSHOTS) -> tuple[str, ...]:
    """Limits whose numbers differ from the last release and that the newest Data section of the change log does not name."""
    names = released(folder)
    if not names:
        return ()
    changed = {c.id for c in diff(load(names[-1], table, folder), snapshot(table)) if c.is_number}
    newest = re.split(r"^## ", changelog, flags=re.MULTILINE)[1] if "\n## " in changelog else ""
    data = re.split(r"^### |^\*\*Code", newest.partition("Data")[2], maxsplit=1, flags=re.MULTILINE)[0]
    return tuple(sorted(i for i in changed if i not in data))
