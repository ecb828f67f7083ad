"""``POST /v1/comparisons``: two sheets of one engine, or one sheet as found against as made; what changed, and whether it really did."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from flask import Blueprint, Response

from ..bench.papers import comparison as papers
from ..bench.readings import Units
from ..pages import comparison_csv, comparison_markdown, comparison_page
from .faults import Fault, Near, kind_of, token
from .judging import Judged, judge, refuse_if_any_fails, sent_json
from .paper import Paper, answered
from .parse_paper import form_of_json
from .parse_sheet import Sheet, parse_sheet
from .problems import Gathered, ProblemError, refuse
from .schemas.requests import UNITS
from .state import Shop, shop

FIELDS = ("before", "after", "sheet", "units")
blueprint = Blueprint("comparisons", __name__)


@blueprint.post("/v1/comparisons")
def comparison() -> Response:
    """What changed between two sheets."""
    shared = shop()
    form = form_of_json()
    raw = _body()
    units: Units = raw.get("units", "")
    if "sheet" in raw:
        one = _judged(shared, raw, ("sheet",), units)[0]
        before, after = papers.by_state(one.answer, one.readings)
        bench, system = one.bench, one.system
    else:
        first, second = _judged(shared, raw, ("before", "after"), units)
        _one_engine(first, second)
        before, after = (first.answer, first.readings), (second.answer, second.readings)
        bench, system = second.bench, second.system
    found = papers.compare(bench, before, after, system)
    return answered(Paper(lambda: papers.to_dict(found), lambda: comparison_page(found), lambda: comparison_markdown(found),
                          lambda: comparison_csv(found)), form)  # fmt: skip


def _body() -> dict[str, Any]:
    raw = sent_json()
    if not isinstance(raw, dict):
        detail = f'a comparison is an object with "before" and "after", or with "sheet", not {kind_of(raw)}'
        raise ProblemError("bad-field", detail, [Fault("bad-field", detail)])
    gathered, near = Gathered(in_body=True), Near()
    for name in raw:
        if name not in FIELDS:
            gathered.add(near.unknown("unknown-field", "field", name, FIELDS, token(name)))
    if "sheet" in raw and ("before" in raw or "after" in raw):
        gathered.add(Fault("bad-field", "give before and after, or one sheet, not both", "/sheet"))
    elif "sheet" not in raw:
        for name in ("before", "after"):
            if name not in raw:
                gathered.add(Fault("missing-field", f"{name} is missing: a comparison takes before and after, or one sheet", f"/{name}"))
    if raw.get("units", "inch") not in UNITS:
        gathered.add(Fault("bad-field", f"units may be {' or '.join(UNITS)}", "/units", allowed=UNITS))
    gathered.check()
    return raw


def _judged(shared: Shop, raw: dict[str, Any], names: tuple[str, ...], units: Units) -> list[Judged]:
    """The sheets named, judged; the faults of all are told together, each under its sheet.

    Raises:
        ProblemError: a sheet that cannot be read whole.
    """
    faults: list[Fault] = []
    sheets: dict[str, Sheet] = {}
    for name in names:
        with _gathering(faults, name):
            sheets[name] = parse_sheet(shared.table, raw[name], shared.settings.max_items, shared.own_table)
    # Both are told in one system: that asked for, otherwise that of the later sheet.
    system = units or next((sheet.rules.units for sheet in reversed(sheets.values())), "") or "inch"
    found = {name: judge(shared, sheet, units=system) for name, sheet in sheets.items()}
    for name, one in found.items():
        with _gathering(faults, name):
            refuse_if_any_fails(one)
    if faults:
        raise refuse(faults, in_body=True)
    return list(found.values())


@contextmanager
def _gathering(faults: list[Fault], name: str) -> Iterator[None]:
    """Keeps the faults of one sheet, each under its name; a refusal without a place of its own stands."""
    try:
        yield
    except ProblemError as error:
        if not error.faults:
            raise
        faults += [fault.under(f"/{name}") for fault in error.faults]


def _one_engine(before: Judged, after: Judged) -> None:
    """Refuse two sheets that name two engines, or one engine by two classes.

    Raises:
        ProblemError: they do.
    """
    one, two = before.bench.engine, after.bench.engine
    gathered = Gathered(in_body=True)
    if one.id and two.id and one.id != two.id:
        gathered.add(Fault("bad-field", f"the sheets are of two engines: {one.id[:40]} before, {two.id[:40]} after", "/after/engine/id"))
    if one.engine_class.id != two.engine_class.id:
        detail = f"one engine is of one class: {one.engine_class.id} before, {two.engine_class.id} after"
        gathered.add(Fault("bad-field", detail, "/after/engine/engine_class"))
    gathered.check()
