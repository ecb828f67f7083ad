"""``POST /v1/parts-back``: finished sizes, his and yours, against the order; JSON, or the filled report as CSV."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from flask import Blueprint, Response, request

from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS as ALL_UNITS

from ..bench.papers import parts_back as papers
from ..bench.papers import parts_back_csv
from ..bench.papers.csv_rows import CsvProblem
from ..bench.readings import Rules
from ..bench.tools import measures
from ..bench.verdict import Bench
from ..pages import parts_back_csv_text, parts_back_markdown, parts_back_page
from .answers import JSON, body, sent_type
from .csv_sheet import number_of
from .csv_text import text_of
from .faults import Fault, FaultError, Near
from .judging import CSV
from .paper import Paper, answered, asked_form
from .parse_fields import FieldReader, uncertainty
from .parse_paper import loaded_body
from .parse_sheet import rules_of
from .problems import Gathered, ProblemError
from .quantities import a, read_quantity
from .query import Query
from .schemas.requests import DECISION_RULES, OPEN, UNITS, PartsBackSchema
from .state import Shop, shop

SCHEMA = PartsBackSchema()
PARAMETERS = ("engine", "units", "confidence", "decision_rule", "ratio")
FIELDS = {
    "what": "/what", "ordered_low": "/ordered/low", "ordered_high": "/ordered/high", "reported": "/reported/value",
    "measured": "/measured/value", "reported_uncertainty": "/reported/standard_uncertainty",
    "measured_uncertainty": "/measured/standard_uncertainty",
}  # fmt: skip
blueprint = Blueprint("parts_back", __name__)


@blueprint.post("/v1/parts-back")
def parts_back() -> Response:
    """Each place: to the order or not, and whether he and you say the same."""
    shared = shop()
    if sent_type((JSON, CSV)) == CSV:
        form, rules, engine_id, lines = _of_csv()
    else:
        query = Query(request.args.items(multi=True), ("format",))
        form = asked_form(query)
        query.check()
        rules, engine_id, lines = _of_json(shared)
    _known_tools(shared.own_table(engine_id), lines)
    back = papers.parts_back(_bench(shared, engine_id, rules), lines, "metric" if rules.units == "metric" else "inch")
    return answered(Paper(lambda: papers.to_dict(back), lambda: parts_back_page(back), lambda: parts_back_markdown(back),
                          lambda: parts_back_csv_text(back)), form)  # fmt: skip


def _bench(shared: Shop, engine_id: str, rules: Rules) -> Bench:
    """A bench for its tools and rules alone: a report is judged against its order, and no limit of any class is asked for."""
    table = shared.own_table(engine_id)
    some = next(c for c in table.classes.values() if c.kind == "class")
    return Bench(table, Engine(some, "work", engine_id, frozenset(), frozenset(), {}), rules)


def _of_csv() -> tuple[str, Rules, str, tuple[papers.BackLine, ...]]:
    query = Query(request.args.items(multi=True), (*PARAMETERS, "format"))
    form = asked_form(query)
    loaded: dict[str, Any] = {
        "confidence": number_of(query, "confidence", "0.95"), "decision_rule": query.choice("decision_rule", DECISION_RULES, "guarded"),
        "units": query.choice("units", UNITS, ""),
    }  # fmt: skip
    if query.one("ratio"):
        loaded["ratio"] = number_of(query, "ratio", "4")
    rules = rules_of(loaded, query.gathered, "confidence")
    query.check()
    try:
        lines = parts_back_csv.read(text_of(body()))
    except CsvProblem as fault:
        raise ProblemError("bad-csv", str(fault), [Fault("bad-csv", fault.detail, line=fault.line, column=fault.column)]) from None
    if not lines:
        raise ProblemError("no-readings", "the report holds no line below its heading")
    return form, rules, query.one("engine"), lines


def _of_json(shared: Shop) -> tuple[Rules, str, tuple[papers.BackLine, ...]]:
    loaded, gathered = loaded_body(SCHEMA, "a report")
    rules = rules_of(loaded, gathered)
    gathered.check()
    reader = _LineReader(shared.table, Near(), gathered)
    lines = tuple(reader.line(line, f"/lines/{index}") for index, line in enumerate(loaded["lines"]))
    gathered.check()
    return rules, loaded.get("engine_id", ""), lines


class _LineReader(FieldReader):
    """Reads the lines of a report; faults are gathered under their pointers."""

    def __init__(self, table: Table, near: Near, gathered: Gathered) -> None:
        super().__init__(table, near)
        self.gathered = gathered

    def line(self, loaded: Mapping[str, Any], pointer: str) -> papers.BackLine:
        """One place."""
        part, what, station, axis = (loaded.get(name) or "" for name in ("part", "what", "station", "axis"))
        ordered = loaded.get("ordered") or {}
        low, high = (self._end(ordered.get(side), f"{pointer}/ordered/{side}") for side in ("low", "high"))
        reported, measured = (self._figure(loaded.get(who) or {}, f"{pointer}/{who}") for who in ("reported", "measured"))
        line = papers.BackLine(part, what, station, axis, low, high, reported, measured, self._unit(loaded.get("unit") or "", pointer))
        fault = papers.line_fault(line)
        if fault is not None:
            self.gathered.add(Fault("wrong-dimension" if " is wanted (" in fault[1] else "bad-field", fault[1], pointer + FIELDS[fault[0]]))
        return line

    def _unit(self, token: str, pointer: str) -> str:
        """The unit of a line that holds no length; a length says nothing that its figures do not."""
        if token and token not in ALL_UNITS:
            self.gathered.add(self.near.unknown("unknown-unit", "unit", token, ALL_UNITS, f"{pointer}/unit"))
            return ""
        return "" if not token or ALL_UNITS[token].dimension == "length" else token

    def _end(self, raw: Any, pointer: str) -> Quantity | None:
        if raw is None or raw in OPEN:
            return None
        try:
            return read_quantity(raw, self.near)
        except FaultError as error:
            self.gathered.add(error.fault.under(pointer))
            return None

    def _figure(self, loaded: Mapping[str, Any], pointer: str) -> papers.Figure:
        value, words = loaded.get("value"), loaded.get("words", "")
        if value is not None and words:
            self.gathered.add(Fault("several-values", "a figure has a value or words, not both", pointer))
        faults: list[Fault] = []
        found = {key: loaded[key] for key in ("standard_uncertainty", "expanded_uncertainty", "coverage_factor") if key in loaded}
        factor: Decimal = found.get("coverage_factor", Decimal(2))
        if factor <= 0:
            faults.append(Fault("not-positive", "a coverage factor is above zero", "/coverage_factor"))
        u = uncertainty(loaded, found, faults) if not faults else None
        for fault in faults:
            self.gathered.add(fault.under(pointer))
        return papers.Figure(value, u, loaded.get("instrument", "").strip(), words)


def _known_tools(table: Table, lines: tuple[papers.BackLine, ...]) -> None:
    """Refuse a tool nobody knows: its doubt would be nobody's guess.

    Raises:
        ProblemError: every such tool.
    """
    gathered, near = Gathered(in_body=True), Near()
    for index, line in enumerate(lines):
        for who, figure in (("reported", line.reported), ("measured", line.measured)):
            tool = figure.instrument.partition("/")[0]
            pointer = f"/lines/{index}/{who}/instrument"
            known = table.instruments.get(tool)
            variant = figure.instrument.partition("/")[2]
            if tool and known is None:
                gathered.add(near.unknown("unknown-instrument", "instrument", tool, table.instruments, pointer))
            elif known is not None and variant and variant not in (v.id for v in known.variants):
                gathered.add(near.unknown("unknown-instrument", f"variant of {tool}", variant, [v.id for v in known.variants], pointer))
            elif known is not None and figure.value is not None and not measures(known, figure.value.unit):
                gathered.add(Fault("wrong-instrument", f"{known.name} does not measure {a(figure.value.unit.dimension)}", pointer))
    gathered.check()
