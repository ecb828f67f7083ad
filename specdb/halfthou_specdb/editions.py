"""Editions of the table: snapshots of released ones stay in the tree, and two can be compared.

A snapshot holds what a verdict can turn on: every adopted limit, every evidence bound, the uncertainty of every instrument, what each word
of a finding means for a start, and a digest of every standard table. ``0.1.0`` names the snapshot ``snapshots/0.1.0.json``; ``current``
names the table as it stands.
"""

from __future__ import annotations

import hashlib
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
from .table import STANDARDS, Table

SNAPSHOTS = DATA / "snapshots"
CURRENT = "current"
LIMIT_KEYS = ("characteristic", "kind", "classes", "use", "when", "sizes", "unit", "basis", "fit", "wear", "derivation", "reasoning")
EVIDENCE_KEYS = ("characteristics", "kind", "unit", "low", "high", "grade", "work")
INSTRUMENT_KEYS = ("default_variant", "measures", "one_size", "blind_to")
VARIANT_KEYS = ("reads", "sizes", "resolution", "parts", "shared_error")
MEANING_KEYS = ("basis", "unit", "non_negative", "datum", "sign", "shaft", "wave", "usual_instrument")
PLACES = {"limit": "limits", "evidence": "evidence", "instrument": "instruments", "characteristic": "characteristics",
          "standard": "standards"}  # fmt: skip
"""Record -> where a snapshot keeps it."""
NUMBERS: Mapping[str, tuple[str, ...] | None] = {
    "limit": None, "evidence": ("unit", "low", "high"), "instrument": None, "characteristic": None, "standard": None,
}  # fmt: skip
"""Record -> the fields whose change must be told: None for all of them, added and removed records included."""
UNTOLD = {"limit": ("reasoning", "derivation")}
"""Fields that change no number."""


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
        fields = NUMBERS.get(self.record, ())
        return self.field in fields if fields is not None else self.field not in UNTOLD.get(self.record, ())


Snapshot = Mapping[str, Any]


def snapshot(table: Table) -> Snapshot:
    """The numbers of a table as plain data."""
    return {
        "edition": table.edition,
        "limits": {r.id: {k: r.raw[k] for k in LIMIT_KEYS if k in r.raw} for r in table.raw("limit")},
        "evidence": {r.id: {k: r.raw[k] for k in EVIDENCE_KEYS if k in r.raw} for r in table.raw("evidence")},
        "instruments": {r.id: _instrument(r.raw) for r in table.raw("instrument")},
        "characteristics": {r.id: _meaning(r.raw) for r in table.raw("characteristic")},
        "standards": {path.stem: {"digest": _digest(path)} for path in sorted(STANDARDS.glob("*.csv"))},
        "absences": sorted({r.raw["characteristic"] for r in table.raw("absence")}),
    }


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes().replace(b"\r\n", b"\n")).hexdigest()[:16]


def _instrument(raw: Mapping[str, Any]) -> dict[str, Any]:
    kept = {k: raw[k] for k in INSTRUMENT_KEYS if k in raw}
    return kept | {f"variant {v['id']}": {k: v[k] for k in VARIANT_KEYS if k in v} for v in raw["variant"]}


def _meaning(raw: Mapping[str, Any]) -> dict[str, Any]:
    """What a verdict on a characteristic turns on besides its limits: how it is read, what each side and each word means."""
    kept = {k: raw[k] for k in MEANING_KEYS if k in raw}
    kept |= {side: raw[side]["meaning"] for side in ("low_side", "high_side")}
    return kept | {f"word {w['word']}": f"{w['verdict']}, {w['veto']}" for w in raw.get("words", ())}


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
    """What changed from one edition to another: limits first, then evidence, instruments, characteristics, standard tables,
    absences."""
    changes: list[Change] = []
    for kind in PLACES:
        changes += _records(kind, old.get(PLACES[kind], {}), new.get(PLACES[kind], {}))
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


def newest_data(changelog: str) -> str:
    """The Data section of the newest release in a change log; empty where it has none."""
    releases = re.split(r"^## ", changelog, flags=re.MULTILINE)
    newest = releases[1] if len(releases) > 1 else ""
    found = re.search(r"^### Data\s*$(.*?)(?=^### |\Z)", newest, re.MULTILINE | re.DOTALL)
    return found[1] if found else ""


def untold(table: Table, changelog: str, folder: Path = SNAPSHOTS) -> tuple[str, ...]:
    """Ids of records whose numbers differ from the last release and that the newest Data section of the change log does not name."""
    names = released(folder)
    if not names:
        return ()
    changed = {c.id for c in diff(load(names[-1], table, folder), snapshot(table)) if c.is_number}
    data = newest_data(changelog)
    return tuple(sorted(i for i in changed if not re.search(rf"(?<![\w-]){re.escape(i)}(?![\w-])", data)))
