"""The demonstration sheet as readings, read without the web layer: papers are pure."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import Any

from halfthou_service.bench.readings import InlineLimit, Place, Reading, Rules
from halfthou_service.bench.sheet import SheetAnswer, judge_sheet
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import Open, Value
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS

RAW: dict[str, Any] = json.loads(files("halfthou_service.demo").joinpath("sheet.json").read_text("utf-8"), parse_float=Decimal)


@cache
def table() -> Table:
    """The real table, read once."""
    return Table.from_files()


def quantity(raw: Mapping[str, Any]) -> Quantity:
    return Quantity.of(Decimal(raw["value"]), raw["unit"])


def engine(**changes: Any) -> Engine:
    """The engine of the demonstration, or one changed: ``use``, ``features``, ``dimensions``, ``id``, ``engine_class``."""
    raw = RAW["engine"] | changes
    sizes = {k: quantity(v) for k, v in raw["dimensions"].items()}
    return Engine(table().classes[raw["engine_class"]], raw["use"], raw["id"], frozenset(raw["features"]), frozenset(), sizes)


def reading(raw: Mapping[str, Any]) -> Reading:
    """One reading of the demonstration's JSON."""
    given: dict[str, Any] = {}
    if "value" in raw:
        given["values"] = (quantity(raw["value"]),)
    if "low" in raw:
        given["span"] = (quantity(raw["low"]), quantity(raw["high"]))
    if "expanded_uncertainty" in raw:
        u = quantity(raw["expanded_uncertainty"])
        half = u.value / Decimal(raw.get("coverage_factor", 2))
        given["standard_uncertainty"] = Quantity.of(half, u.unit)
    if "temperature" in raw:
        given["temperature"] = quantity(raw["temperature"])
    if "limit" in raw:
        given["limit"] = _limit(raw["limit"])
    for name in ("finding", "instrument", "state", "relative", "along", "note", "basis"):
        if name in raw:
            given[name] = raw[name]
    place = Place(**raw.get("place", {}))
    return Reading(raw["id"], raw["characteristic"], place=place, **given)


def _limit(raw: Mapping[str, Any]) -> InlineLimit:
    fit = raw["fit"]
    unit = UNITS[next(v["unit"] for v in fit.values() if isinstance(v, dict))]

    def end(name: str) -> Value:
        given = fit.get(name, "none_on_file")
        return Open(given) if isinstance(given, str) else quantity(given).to(unit)

    nothing = Interval(Open.NONE_ON_FILE, Open.NONE_ON_FILE, unit)
    return InlineLimit(Interval(end("low"), end("high"), unit), nothing)


def readings(*ids: str, **changes: Any) -> list[Reading]:
    """Readings of the demonstration; all where no id is named. ``changes`` are made to every raw reading."""
    found = [r for r in RAW["readings"] if not ids or r["id"] in ids]
    return [reading({**r, **changes}) for r in found]


def bench(stage: str = "first-start", overlay: tuple[Any, ...] = (), **changes: Any) -> Bench:
    """A bench for the demonstration's engine."""
    return Bench(table(), engine(**changes), Rules(stage=stage, units="inch"), overlay)


def judged(given: Sequence[Reading] | None = None, **changes: Any) -> tuple[Bench, SheetAnswer, list[Reading]]:
    """Bench, answer and readings of the demonstration."""
    at = bench(**changes)
    found = list(given) if given is not None else readings()
    return at, judge_sheet(at, found), found
