"""A whole sheet: the envelope through its schema, the readings one by one. Faults of the envelope refuse it; a reading's own do not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, cast

from marshmallow import ValidationError

from halfthou_specdb.facts import Engine
from halfthou_specdb.table import Table

from ..bench.readings import DecisionRule, JudgedBy, Rules
from .faults import Fault, Near, kind_of
from .parse_engine import engine_of_body
from .parse_reading import Read, ReadingReader, Refused
from .problems import Gathered, ProblemError
from .schemas import ENVELOPE, SheetSchema, faults_of

SHEET = SheetSchema()
HALF, ONE = Decimal("0.5"), Decimal(1)


@dataclass(frozen=True, slots=True)
class Sheet:
    """An engine, the rules, and each reading in the order sent: read, or refused with its faults."""

    engine: Engine
    rules: Rules
    entries: tuple[Read | Refused, ...]


def parse_sheet(table: Table, raw: Any, most: int) -> Sheet:
    """The sheet of a JSON body.

    Raises:
        ProblemError: every fault of the envelope: engine, rules, unknown fields, ids used twice, no readings, too many.
    """
    if not isinstance(raw, dict):
        detail = f'a sheet is an object with "engine" and "readings", not {kind_of(raw)}'
        raise ProblemError("bad-field", detail, [Fault("bad-field", detail)])
    near, gathered = Near(), Gathered(in_body=True)
    envelope = {key: value for key, value in raw.items() if key != "readings"}
    loaded, messages = _loaded(envelope)
    for fault in faults_of(messages, SHEET, near):
        gathered.add(fault)
    engine = engine_of_body(table, loaded["engine"], near, gathered) if "engine_class" in loaded.get("engine", {}) else None
    rules = rules_of(loaded, gathered)
    readings = _list(raw, most, gathered)
    entries = read_all(ReadingReader(table, near), readings, gathered)
    gathered.check()
    assert engine is not None
    return Sheet(engine, rules, entries)


def _loaded(envelope: Mapping[str, Any]) -> tuple[dict[str, Any], Any]:
    try:
        return cast("dict[str, Any]", ENVELOPE.load(envelope)), {}
    except ValidationError as error:
        valid = error.valid_data if isinstance(error.valid_data, dict) else {}
        return valid, error.messages


def rules_of(loaded: Mapping[str, Any], gathered: Gathered, parameter: str = "") -> Rules:
    """The rules of judging; a confidence out of range is a fault of the sheet."""
    confidence = loaded.get("confidence", Decimal("0.95"))
    if not HALF < confidence < ONE:
        pointer = "" if parameter else "/confidence"
        gathered.add(Fault("bad-field", f"confidence is {confidence}; it lies above 0.5 and below 1", pointer, parameter))
    return Rules(
        confidence=float(confidence), decision_rule=cast(DecisionRule, loaded.get("decision_rule", "guarded")),
        judged_by=cast(JudgedBy, loaded.get("judged_by", "adopted")), stage=loaded.get("stage", ""), units=loaded.get("units", ""),
    )  # fmt: skip


def _list(raw: Mapping[str, Any], most: int, gathered: Gathered) -> list[Any]:
    readings = raw.get("readings")
    if "readings" not in raw:
        gathered.add(Fault("missing-field", "readings is missing", "/readings"))
    elif not isinstance(readings, list):
        gathered.add(Fault("bad-field", f"readings is a list, not {kind_of(readings)}", "/readings"))
    else:
        too_many(len(readings), most)
        if not readings:
            gathered.add(Fault("no-readings", "the sheet holds no reading", "/readings"))
        return readings
    return []


def too_many(number: int, most: int) -> None:
    """Refuse a sheet that is too long, before anything in it is read.

    Raises:
        ProblemError: more readings than the service takes.
    """
    if number > most:
        raise ProblemError("too-many-items", f"the sheet holds {number:,} readings; at most {most:,} are taken at once, so send it in parts")


def read_all(reader: ReadingReader, readings: Sequence[Any], gathered: Gathered) -> tuple[Read | Refused, ...]:
    """Every reading; ids used twice are faults of the sheet."""
    entries = tuple(reader.read(raw, f"r{index}") for index, raw in enumerate(readings, 1))
    first: dict[str, int] = {}
    for index, entry in enumerate(entries):
        name = entry.reading.id if isinstance(entry, Read) else entry.id
        if name in first:
            detail = f"the id {name[:80]!r} is that of readings {first[name] + 1} and {index + 1}"
            gathered.add(Fault("duplicate-id", detail, f"/readings/{index}/id"))
        else:
            first[name] = index
    return entries
