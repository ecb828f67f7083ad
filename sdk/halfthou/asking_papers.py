"""From arguments to the requests that the papers' routes take: facts, wishes, reports, sheets. Pure: nothing is sent here."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

from . import asking, jsonio
from .errors import QuantityError, UsageError
from .quantities import QuantityLike, quantity

SheetLike: TypeAlias = "Mapping[str, Any] | str | os.PathLike[str] | asking.Sheet"
"""A sheet: a mapping, a path to JSON or CSV, JSON text or CSV text, or one that was read already."""
ReportLike: TypeAlias = "Mapping[str, Any] | Iterable[Mapping[str, Any]] | str | os.PathLike[str] | asking.Sheet"
"""A report of finished sizes: a mapping with ``lines``, the lines, CSV or JSON text, a path to either, or one that was read already."""

JSON, CSV = "application/json", "text/csv; charset=utf-8"
FACT_SIZES = frozenset(
    """value left right pack_left pack_right shim_stock washers piston_oversizes ring_oversizes piston wall least_wall honing_allowance
    axis_offset score_depth tried undersizes least widths temperature bore_temperature outside boss_outside interference modulus
    boss_modulus pin seat_angle pit_depth sunk_below_other screw_threads pressure_angle wanted rate supply resistance source_resistance
    wanted_current before_voltage before_speed speed wire screen_area pipe_bore volume_solids thinner""".split()
)
"""Fields of the facts that hold a quantity, or a list of them."""
WISH_SIZES = ("low", "high", "mate", "fillet")
FIGURE_SIZES = ("value", "standard_uncertainty", "expanded_uncertainty")
_NUMBER = re.compile(r"\s*[+\-\u2212]?\s*(?:[0-9]|\.[0-9])", re.ASCII)


@dataclass(frozen=True, slots=True)
class Asked:
    """A request for a paper, ready to send; ``params`` are the query."""

    path: str
    body: bytes
    media_type: str = JSON
    params: tuple[tuple[str, str], ...] = ()


def json_request(path: str, body: Mapping[str, Any], **params: str | None) -> Asked:
    """A request with a JSON body.

    Raises:
        UsageError: the body cannot be written as JSON.
    """
    try:
        encoded = jsonio.dumps(body).encode()
    except (TypeError, ValueError) as error:
        raise UsageError(f"the body cannot be written as JSON: {error}") from None
    return Asked(path, encoded, JSON, tuple((name, value) for name, value in params.items() if value is not None))


def sheet_request(
    path: str,
    sheet: SheetLike,
    *,
    engine: Mapping[str, Any] | None = None,
    engine_class: str | None = None,
    use: str | None = None,
    features: Iterable[str] | str | None = None,
    dimensions: asking.Dimensions | None = None,
    extras: Mapping[str, Any] | None = None,
    params: Mapping[str, str | None] | None = None,
    **rules: Any,
) -> Asked:
    """A request that sends a sheet.

    Args:
        extras: remedies, facts, wishes, letterhead given by name; they stand over what a JSON sheet carries.
        params: further query parameters, whatever the sheet is.

    Raises:
        SheetError: the sheet cannot be read.
        UsageError: the engine is named twice, or facts, wishes or letterhead are no mapping.
        QuantityError: a quantity cannot be read; the message names its place.
    """
    read = asking.read_sheet(sheet)
    named = asking.engine_body(engine, engine_class=engine_class, use=use, features=features, dimensions=dimensions)
    told = {name: value for name, value in rules.items() if value is not None}
    more = {name: value for name, value in (extras or {}).items() if (value if name == "remedies" else told_mapping(name, value))}
    wanted = tuple((name, value) for name, value in (params or {}).items() if value is not None)
    if read.json is None and not named and not more:
        return _plain_csv(path, read, [*((name, _word(value)) for name, value in told.items()), *wanted])
    asked = json_request(path, whole_sheet_body({**with_engine(read, named), **told, **more}), **dict(wanted))
    if read.json is None and len(asked.body) > asking.MAX_SHEET and set(more) <= {"remedies"}:
        query = [*asking.engine_params(named), *((name, _word(value)) for name, value in {**told, **more}.items()), *wanted]
        return _plain_csv(path, read, query)
    return asked


def _plain_csv(path: str, read: asking.Sheet, query: Iterable[tuple[str, str]]) -> Asked:
    """CSV as it is, what else there is in the query: for a sheet without an engine, or one that would grow too large inside JSON."""
    return Asked(path, read.csv.encode(), CSV, tuple(query))


def told_mapping(name: str, given: Any) -> Mapping[str, Any]:
    """Facts, wishes or a letterhead as given; empty where there are none.

    Raises:
        UsageError: it is no mapping.
    """
    if given is not None and not isinstance(given, Mapping):
        raise UsageError(f"{name} is a mapping of name to value; {asking.kind_of(given)} was given")
    return given or {}


def with_engine(read: asking.Sheet, named: Mapping[str, Any]) -> dict[str, Any]:
    """A sheet as a mapping with its engine; the text of a CSV sheet goes in it whole, beside what CSV has no room for.

    Raises:
        UsageError: the engine is named here and in the sheet, or says something that an engine has not.
    """
    if read.json is None:
        asking.refuse_strange(named)
        return {"engine": {key: value for key, value in named.items() if key in asking.ENGINE_FIELDS}, "csv": read.csv}
    if named and "engine" in read.json:
        raise UsageError(f"{read.name} carries its own engine; name it there or here, not in both")
    return {**read.json, **({"engine": dict(named)} if named else {})}


def _word(value: Any) -> str:
    return ("true" if value else "false") if isinstance(value, bool) else str(value)


def whole_sheet_body(sheet: Mapping[str, Any]) -> dict[str, Any]:
    """A sheet with its quantities in body form, those of its facts and wishes too.

    Raises:
        QuantityError: one of them cannot be read; the message names its place.
    """
    out = asking.sheet_body(sheet)
    if isinstance(out.get("facts"), Mapping):
        out["facts"] = facts_body(out["facts"])
    if isinstance(out.get("wishes"), Mapping):
        out["wishes"] = wishes_body(out["wishes"])
    return out


def facts_body(facts: Mapping[str, Any]) -> dict[str, Any]:
    """What the owner tells beside readings, with its quantities in body form.

    Raises:
        QuantityError: one of them cannot be read; the message names its place.
    """
    return {name: _fact(name, value, name.replace("_", " ")) for name, value in facts.items()}


def _fact(name: str, value: Any, where: str) -> Any:
    if name in FACT_SIZES:
        several = isinstance(value, list) or (isinstance(value, tuple) and not _pair(value))
        return [_named(f"{where} {n}", one) for n, one in enumerate(value, 1)] if several else _named(where, value)
    if isinstance(value, Mapping):
        return {str(key): _fact(str(key), inner, f"{where}, {str(key).replace('_', ' ')}") for key, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [_fact("", one, f"{where} {n}") for n, one in enumerate(value, 1)]
    return value


def wishes_body(wishes: Mapping[str, Any]) -> dict[str, Any]:
    """The owner's decisions by part id, with their sizes in body form.

    Raises:
        QuantityError: one of them cannot be read; the message names part and field.
    """
    return {part: {key: _named(f"{part}, {key}", value) if key in WISH_SIZES and value is not None else value for key, value in wish.items()}
            if isinstance(wish, Mapping) else wish for part, wish in wishes.items()}  # fmt: skip


def report_request(path: str, report: ReportLike, **rules: Any) -> Asked:
    """A request that sends a machinist's report.

    Raises:
        SheetError: no such file, too large, not JSON.
        QuantityError: a figure cannot be read; the message names its line.
        UsageError: a line is no mapping, or something that is no report was given.
    """
    told = {name: value for name, value in rules.items() if value is not None}
    given: Any = report
    if isinstance(given, bytes) or not isinstance(given, (str, os.PathLike, asking.Sheet, Iterable)):
        raise UsageError(f"a report is its lines, a mapping with lines, CSV or JSON text, or a path to either; {asking.kind_of(given)} was given")
    if isinstance(report, (str, os.PathLike, asking.Sheet)):
        read = read_report(report)
        if read.json is None:
            return Asked(path, read.csv.encode(), CSV, tuple(("engine" if name == "engine_id" else name, str(value)) for name, value in told.items()))
        body = read.json
    else:
        body = report if isinstance(report, Mapping) else {"lines": list(report)}
    lines = body.get("lines")
    done = [line_body(line, n) for n, line in enumerate(lines, 1)] if isinstance(lines, (list, tuple)) else lines
    return json_request(path, {**body, **told, "lines": done})


def read_report(given: str | os.PathLike[str] | asking.Sheet) -> asking.Sheet:
    """A report as it came: CSV or JSON text, a path to either, or one that was read already.

    Raises:
        SheetError: no such file, too large, empty, not JSON.
    """
    if isinstance(given, asking.Sheet):
        return given
    if isinstance(given, str) and ("\n" in given.strip() or given.lstrip()[:1] in ("{", "[")):
        return report_of_text(given, "the report")
    path = Path(given)
    return report_of_text(asking.file_text(path), str(path))


def report_of_text(text: str, name: str) -> asking.Sheet:
    """A report from its text; a JSON list is taken for its lines.

    Raises:
        SheetError: empty, or JSON that cannot be read.
    """
    text = text.removeprefix("\ufeff")
    return asking.sheet_of_text(f'{{"lines": {text}}}' if text.lstrip().startswith("[") else text, name)


def line_body(line: Any, number: int) -> dict[str, Any]:
    """One line of a report: a figure may be text, which counts as a size where it starts with a number and as words where it does not.

    Raises:
        QuantityError: a figure cannot be read.
        UsageError: the line is no mapping.
    """
    if not isinstance(line, Mapping):
        raise UsageError(f"line {number} of the report is a {type(line).__name__}; a line is a mapping of part, what, ordered, reported, measured")
    body = {key: value for key, value in line.items() if value is not None}
    where = f"line {number}, {line.get('what') or 'a place'}"
    if isinstance(body.get("ordered"), Mapping):
        body["ordered"] = {end: bound if bound is None or bound in ("unbounded", "none_on_file") else _named(f"{where}, {end}", bound)
                           for end, bound in body["ordered"].items()}  # fmt: skip
    for who in ("reported", "measured"):
        if who in body:
            body[who] = _figure(f"{where}, {who}", body[who])
    return body


def _figure(where: str, given: Any) -> dict[str, Any]:
    if isinstance(given, str):
        return {"value": _named(where, given)} if _NUMBER.match(given) else {"words": given}
    if isinstance(given, Mapping) and set(given) != {"value", "unit"}:
        return {key: _named(f"{where}, {key.replace('_', ' ')}", value) if key in FIGURE_SIZES else value
                for key, value in given.items() if value is not None}  # fmt: skip
    return {"value": _named(where, given)}


def _pair(given: tuple[Any, ...]) -> bool:
    return len(given) == 2 and isinstance(given[1], str) and not isinstance(given[0], str)


def _named(what: str, given: QuantityLike) -> dict[str, Any]:
    try:
        return quantity(given).to_json()
    except QuantityError as error:
        raise QuantityError(f"{what}: {error}", error.code) from None
