"""``POST /v1/as-found-sheets``: the form to fill before anything is turned; and ``/filled``, which takes it back as CSV."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, Response, request

from halfthou_specdb.quantity import Quantity, parse_quantity

from ..bench.papers import as_found_csv
from ..bench.papers import as_found_sheet as papers
from ..bench.papers.csv_rows import CsvProblem
from ..bench.remedies import Shims
from ..pages import as_found_csv_text, as_found_markdown, as_found_page
from ..pages.cells import csv_text
from . import dump_records as records
from .answers import JSON, accepted, body, once, sent_type
from .csv_text import text_of
from .faults import Fault
from .paper import Paper, answered
from .parse_paper import bench_for_paper, form_of_json
from .problems import ProblemError
from .query import Query
from .schemas.requests import PaperSchema
from .state import shop

CSV = "text/csv"
WORDS = ("id", "characteristic", "state", "finding", "relative", "along", "instrument", "note")
SCHEMA = PaperSchema()
blueprint = Blueprint("as_found_sheets", __name__)


@blueprint.post("/v1/as-found-sheets")
def as_found_sheet() -> Response:
    """What to write down before anything is turned."""
    form = form_of_json()
    bench, system, _ = bench_for_paper(shop(), SCHEMA, "an as-found sheet")
    sheet = papers.as_found_sheet(bench, system)
    return answered(Paper(lambda: papers.to_dict(sheet), lambda: as_found_page(sheet), lambda: as_found_markdown(sheet),
                          lambda: as_found_csv_text(sheet)), form)  # fmt: skip


@blueprint.post("/v1/as-found-sheets/filled")
def filled() -> Response:
    """A filled form: readings as ``/v1/verdicts`` takes them, leaves added up, marks, and the boxes left empty."""
    query = Query(request.args.items(multi=True), ("format",))
    word = query.choice("format", ("json", "csv"), "")
    form = word or {JSON: "json", CSV: "csv"}[accepted(JSON, CSV)]
    query.check()
    sent_type((CSV,))
    sided = frozenset(what.id for what in shop().table.characteristics.values() if what.sign)
    try:
        found = as_found_csv.read(text_of(body()), sided)
    except CsvProblem as fault:
        raise ProblemError("bad-csv", str(fault), [Fault("bad-csv", fault.detail, line=fault.line, column=fault.column)]) from None
    if form == "csv":
        answer = Response(csv_text([as_found_csv.COLUMNS, *found.readings]).encode(), content_type=f"{CSV}; charset=utf-8")
        answer.headers["Cache-Control"] = "no-store"
        answer.headers["Vary"] = "Accept"
        return answer
    return once(_told(found))


def _told(found: as_found_csv.Filled) -> dict[str, Any]:
    packs = [{"characteristic": what, "instance": instance or None, "value": _quantity(pack)} for (what, instance), pack in found.packs.items()]
    return {
        "paper": "as-found-sheet", "readings": [_reading(dict(zip(as_found_csv.COLUMNS, row, strict=True))) for row in found.readings],
        "facts": {"shims": [_shims(one) for one in found.shims()]}, "packs": packs, "marks": dict(found.marks), "empty": list(found.empty),
        "not_fitted": list(found.not_fitted),
    }  # fmt: skip


def _reading(row: Mapping[str, str]) -> dict[str, Any]:
    """A row as a reading; its number was read once already, so it can be read again."""
    told: dict[str, Any] = {name: row[name] for name in WORDS if row[name]}
    place = {name: row[name] for name in ("instance", "station", "axis") if row[name]}
    if row["value"]:
        told["value"] = _quantity(parse_quantity(row["value"], row["unit"] or None))
    return told | ({"place": place} if place else {})


def _shims(found: Shims) -> dict[str, Any]:
    told: dict[str, Any] = {"bearing": found.bearing} | ({"instance": found.instance} if found.instance else {})
    sides = (("left", found.left), ("right", found.right))
    return told | {side: [_quantity(leaf) for leaf in leaves] for side, leaves in sides if leaves is not None}


def _quantity(found: Quantity) -> dict[str, Any]:
    return {"value": records.number(found.value), "unit": found.unit.token}
