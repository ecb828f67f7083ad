"""A whole sheet: the envelope through its schema, the readings one by one. Faults of the envelope refuse it; a reading's own do not."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any, cast

from marshmallow import ValidationError

from halfthou_specdb.facts import Engine
from halfthou_specdb.table import Table

from ..bench.papers.order_case import Wish
from ..bench.papers.work_order import Letterhead
from ..bench.readings import DecisionRule, JudgedBy, Rules
from ..bench.remedies import RemedyFacts
from .csv_readings import Rows, read_rows
from .csv_surveys import Lines
from .faults import Fault, Near, kind_of
from .parse_engine import engine_of_body
from .parse_facts import facts_of, wishes_of
from .parse_reading import Read, ReadingReader, Refused
from .parse_survey import ReadSurvey, RefusedSurvey, SurveyReader
from .problems import Gathered, ProblemError
from .schemas import ENVELOPE, SheetSchema, faults_of
from .sheet_entries import read_all, told_apart, too_many

SHEET = SheetSchema()
HALF, ONE = Decimal("0.5"), Decimal(1)
MOST_RATIO = Decimal(100)
MOST_SURVEYS = 200


@dataclass(frozen=True, slots=True)
class Sheet:
    """An engine, the rules, and each reading and survey in the order sent: read, or refused with its faults; then what is told beside.

    ``lines``: where each stands in a CSV text; empty for JSON.
    """

    engine: Engine
    rules: Rules
    entries: tuple[Read | Refused, ...]
    surveys: tuple[ReadSurvey | RefusedSurvey, ...] = ()
    lines: Lines = field(default_factory=Lines)
    remedies: bool = False
    facts: RemedyFacts = field(default_factory=RemedyFacts)
    wishes: Mapping[str, Wish] = field(default_factory=dict)
    letterhead: Letterhead = field(default_factory=Letterhead)


def parse_sheet(table: Table, raw: Any, most: int, own_table: Callable[[str], Table] | None = None) -> Sheet:
    """The sheet of a JSON body.

    Args:
        own_table: the table with the owner's tools for an engine id; without it, the table as it is.

    Raises:
        ProblemError: every fault of the envelope: engine, rules, unknown fields, ids used twice, nothing to judge, too many.
    """
    if not isinstance(raw, dict):
        detail = f'a sheet is an object with "engine" and "readings", not {kind_of(raw)}'
        raise ProblemError("bad-field", detail, [Fault("bad-field", detail)])
    near, gathered = Near(), Gathered(in_body=True)
    envelope = {key: value for key, value in raw.items() if key not in ("readings", "surveys", "csv")}
    loaded, messages = _loaded(envelope)
    for fault in faults_of(messages, SHEET, near):
        gathered.add(fault)
    engine = engine_of_body(table, loaded["engine"], near, gathered) if "engine_class" in loaded.get("engine", {}) else None
    rules = rules_of(loaded, gathered)
    known = own_table(engine.id) if own_table is not None and engine is not None else table
    rows = _of_csv(known, raw, most, gathered) if "csv" in raw else _rows(known, raw, most, near, gathered)
    facts = facts_of(known, loaded["facts"], near, gathered) if "facts" in loaded and "facts" not in messages else RemedyFacts()
    wishes = wishes_of(loaded["wishes"], near, gathered) if "wishes" in loaded and "wishes" not in messages else {}
    gathered.check()
    assert engine is not None
    return Sheet(engine, rules, rows.entries, rows.surveys, rows.lines, loaded.get("remedies", False), facts, wishes,
                 Letterhead(**loaded.get("letterhead", {})))  # fmt: skip


def _rows(table: Table, raw: Mapping[str, Any], most: int, near: Near, gathered: Gathered) -> Rows:
    """The readings and surveys of a JSON sheet."""
    readings, surveys = _list(raw, "readings", gathered), _list(raw, "surveys", gathered)
    too_many(len(readings) + sum(_places(survey) for survey in surveys), most)
    if len(surveys) > MOST_SURVEYS:
        gathered.add(Fault("bad-field", f"a sheet holds at most {MOST_SURVEYS} surveys; this one holds {len(surveys)}", "/surveys"))
        surveys = []
    if "readings" not in raw and "surveys" not in raw:
        gathered.add(Fault("missing-field", "readings is missing", "/readings"))
    elif not (readings or surveys or gathered.faults):
        gathered.add(Fault("no-readings", "the sheet holds no reading", "/readings"))
    entries = read_all(ReadingReader(table, near), readings, gathered)
    surveyed = tuple(SurveyReader(table, near).read(one, f"s{index}") for index, one in enumerate(surveys, 1))
    told_apart(entries, surveyed, gathered)
    return Rows(entries, surveyed, Lines())


def _of_csv(table: Table, raw: Mapping[str, Any], most: int, gathered: Gathered) -> Rows:
    """The readings and surveys of a sheet that holds them as CSV text; its faults tell line and column."""
    text = raw["csv"]
    if not isinstance(text, str):
        gathered.add(Fault("bad-field", f"csv is the text of a CSV sheet, not {kind_of(text)}", "/csv"))
    elif "readings" in raw or "surveys" in raw:
        gathered.add(Fault("bad-field", "give csv, or readings and surveys, not both", "/csv"))
    else:
        try:
            return read_rows(table, text.removeprefix("\ufeff"), most)
        except ProblemError as error:
            if not error.faults:
                raise
            for fault in error.faults:
                gathered.add(fault if fault.pointer else replace(fault, pointer="/csv"))
    return Rows((), (), Lines())


def _list(raw: Mapping[str, Any], name: str, gathered: Gathered) -> list[Any]:
    found = raw.get(name, [])
    if isinstance(found, list):
        return found
    gathered.add(Fault("bad-field", f"{name} is a list, not {kind_of(found)}", f"/{name}"))
    return []


def _places(survey: Any) -> int:
    places = survey.get("readings") if isinstance(survey, dict) else None
    return len(places) if isinstance(places, list) else 1


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
    ratio = loaded.get("ratio")
    if ratio is not None and (loaded.get("decision_rule") != "simple_n_to_1" or not ONE <= ratio <= MOST_RATIO):
        detail = "ratio goes with decision_rule simple_n_to_1" if ONE <= ratio <= MOST_RATIO else f"ratio is {ratio}; it lies from 1 to {MOST_RATIO}"
        gathered.add(Fault("bad-field", detail, "" if parameter else "/ratio", "ratio" if parameter else ""))
    return Rules(
        ratio=4.0 if ratio is None else float(ratio),
        confidence=float(confidence), decision_rule=cast(DecisionRule, loaded.get("decision_rule", "guarded")),
        judged_by=cast(JudgedBy, loaded.get("judged_by", "adopted")), stage=loaded.get("stage", ""), units=loaded.get("units", ""),
    )  # fmt: skip
