"""Read the data files: TOML with digits kept, every record validated, refusals with file, line, id and reason."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from marshmallow import Schema, ValidationError

from .errors import RecordError

DATA = Path(__file__).parent / "data"
FOLDERS = ("characteristics", "evidence", "limits")
FILES = ("works", "classes", "dimensions", "features", "instruments", "cautions", "materials", "typical", "surveys")


@dataclass(frozen=True, slots=True)
class RawRecord:
    """One validated raw record and where it stands."""

    kind: str
    id: str
    raw: dict[str, Any]
    file: str
    line: int

    def refuse(self, reason: str) -> RecordError:
        """The error that names this record and where it stands."""
        return RecordError(self.file, self.line, self.id, reason)


def data_files(root: Path = DATA) -> list[Path]:
    """Every data file, in a fixed order."""
    single = [root / f"{name}.toml" for name in FILES]
    return [p for p in single if p.exists()] + [p for folder in FOLDERS for p in sorted((root / folder).glob("*.toml"))]


def read_file(path: Path, root: Path = DATA) -> Iterator[RawRecord | RecordError]:
    """Yield each record of a file, or the refusal of it; one bad record does not hide the others."""
    name = str(path.relative_to(root)) if path.is_relative_to(root) else path.name
    text = path.read_text(encoding="utf-8")
    yield from read_text(text, name)


@cache
def _schema(kind: str) -> Schema | None:
    from .schemas import SCHEMAS

    return SCHEMAS.get(kind)


def read_text(text: str, name: str) -> Iterator[RawRecord | RecordError]:
    """Yield each record of a TOML text; ``name`` stands for the file in refusals."""
    try:
        tables = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        line = int(m[1]) if (m := re.search(r"line (\d+)", str(error))) else 1
        yield RecordError(name, line, "(file)", f"not TOML: {error}")
        return
    for kind, rows in tables.items():
        lines = header_lines(text, kind)
        if _schema(kind) is None or not isinstance(rows, list):
            yield RecordError(name, 1, kind, "no record kind is called so")
            continue
        for index, raw in enumerate(rows):
            line = lines[index] if index < len(lines) else 1
            record_id = str(raw.get("id") or raw.get("characteristic") or raw.get("clearance") or f"{kind} {index + 1}")
            reason = _faults(kind, raw)
            yield RecordError(name, line, record_id, reason) if reason else RawRecord(kind, record_id, raw, name, line)


def header_lines(text: str, kind: str) -> list[int]:
    """Line of each ``[[kind]]`` heading."""
    return [i for i, line in enumerate(text.splitlines(), 1) if line.split("#")[0].strip() == f"[[{kind}]]"]


def _faults(kind: str, raw: dict[str, Any]) -> str:
    schema = _schema(kind)
    assert schema is not None
    try:
        schema.load(raw)
    except ValidationError as error:
        return "; ".join(f"{where}: {what}" for where, what in flat_messages(error.messages))
    return ""


def flat_messages(messages: Any, prefix: str = "") -> Iterator[tuple[str, str]]:
    """Marshmallow's nested messages as (where, what) pairs."""
    if isinstance(messages, dict):
        for key, value in messages.items():
            name = "record" if key == "_schema" else str(key)
            yield from flat_messages(value, f"{prefix}.{name}" if prefix else name)
    else:
        for message in messages if isinstance(messages, list) else [messages]:
            yield prefix, str(message)


def read_all(root: Path = DATA) -> tuple[list[RawRecord], list[RecordError]]:
    """All records of all files, and all refusals; ids are unique within a kind."""
    records: list[RawRecord] = []
    refused: list[RecordError] = []
    seen: dict[tuple[str, str], RawRecord] = {}
    for path in data_files(root):
        for item in read_file(path, root):
            if isinstance(item, RecordError):
                refused.append(item)
                continue
            key = (item.kind, item.id)
            if item.kind != "absence" and key in seen:
                first = seen[key]
                refused.append(item.refuse(f"the id stands already at {first.file}:{first.line}"))
                continue
            seen[key] = item
            records.append(item)
    return records, refused


def first_refusal(refused: list[RecordError]) -> None:
    """Raise the first refusal, if any, with the count of the others.

    Raises:
        RecordError: the data may not be used.
    """
    if refused:
        first = refused[0]
        more = f" (and {len(refused) - 1} more)" if len(refused) > 1 else ""
        raise RecordError(first.file, first.line, first.record_id, first.reason + more)


