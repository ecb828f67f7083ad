"""Fits and rows of standard tables as plain values for JSON; every number carries its grade and works."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from fractions import Fraction
from typing import Any

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import weakest
from halfthou_specdb.standards import Answer, Cell, Fit, Found, Part, Row, StandardTable
from halfthou_specdb.standards.load import locators
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS, Unit

from ..bench.speak import say
from . import dump_records as records

SMALL = {"inch": UNITS["thou"], "metric": UNITS["um"]}
LARGE = {"inch": UNITS["in"], "metric": UNITS["mm"]}
PLACES = {"in": Decimal("0.00001"), "mm": Decimal("0.0001")}
"""Places of a size in the sentence; the fields carry it exactly."""


def cell(given: Cell) -> dict[str, Any]:
    """A number with its unit, grade and works."""
    return {"value": given.value, "unit": given.unit or None, "grade": given.grade, "works": list(given.works), "note": given.note}


def works(table: Table, ids: Iterable[str]) -> list[dict[str, Any]]:
    """The works behind some cells, each once, with where in it the table was read."""
    where = locators()
    return [records.work(table.works[i]) | {"locator": where.get(i, "")} for i in dict.fromkeys(ids) if i in table.works]


def system_of(size: Quantity, units: str) -> str:
    """``inch`` or ``metric``: what was asked for, otherwise the system of the size."""
    return units or ("inch" if size.unit.system == "inch" else "metric")


def _told(value: Fraction, given: Unit, wanted: Unit) -> dict[str, Any]:
    return {"value": records.number(value * given.factor / wanted.factor), "unit": wanted.token}


def _part(fit: Fit, part: Part, system: str) -> dict[str, Any]:
    low, high = fit.limits(part)
    small, large = SMALL[system], LARGE[system]
    return {
        "zone": part.zone, "low": _told(low, fit.base, large), "high": _told(high, fit.base, large),
        "lower_deviation": _told(part.lower, fit.unit, small), "upper_deviation": _told(part.upper, fit.unit, small), "grade": part.grade,
    }  # fmt: skip


def fit_in_short(fit: Fit, system: str) -> dict[str, Any]:
    """A fit without its cells."""
    small = SMALL[system]
    return {
        "designation": fit.designation, "system": fit.system, "kind": fit.kind, "basis": "diametral",
        "hole": _part(fit, fit.hole, system), "shaft": _part(fit, fit.shaft, system),
        "clearance": {"tightest": _told(fit.tightest, fit.unit, small), "loosest": _told(fit.loosest, fit.unit, small)},
        "grade": fit.grade, "from_memory": list(fit.from_memory), "use": fit.says or None, "text": fit_text(fit, system),
    }  # fmt: skip


def fit_in_full(table: Table, fit: Fit, system: str, edition: str) -> dict[str, Any]:
    """A fit with the cells it follows from and their works."""
    cells = [{"part": name, "what": used.what} | cell(used.cell)
             for name, used_by in (("hole", fit.hole.used), ("shaft", fit.shaft.used), ("clearance", fit.printed)) for used in used_by]  # fmt: skip
    step = {"over": _told(fit.over, fit.base, fit.base), "up_to": _told(fit.upto, fit.base, fit.base)}
    return fit_in_short(fit, system) | {
        "size": records.quantity(fit.size), "step": step, "cells": cells, "notes": list(fit.notes),
        "works": works(table, (*(w for used in fit.used for w in used.cell.works), *fit.says_works)), "edition": edition,
    }  # fmt: skip


def fits_giving(found: tuple[Found, ...], wanted: tuple[Quantity, Quantity], size: Quantity, system: str, edition: str) -> dict[str, Any]:
    """Fits that give a wanted clearance, best first."""
    items = [
        fit_in_short(each.fit, system) | {"within": each.within, "overhang": _told(each.overhang, each.fit.unit, SMALL[system]),
                                          "share": records.number(each.share, 4)}
        for each in found
    ]  # fmt: skip
    return {
        "size": records.quantity(size), "wanted": {"low": records.quantity(wanted[0]), "high": records.quantity(wanted[1])}, "items": items,
        "text": _giving_text(found, wanted, size), "edition": edition,
    }  # fmt: skip


def _giving_text(found: tuple[Found, ...], wanted: tuple[Quantity, Quantity], size: Quantity) -> str:
    span = f"{wanted[0]} to {wanted[1]} at {size}"
    if not found:
        return f"No fit on file comes near {span}."
    if not found[0].within:
        return f"No fit on file lies wholly within {span}; nearest: {found[0].fit.designation}. Ask the machinist to fit the pair to measure."
    return f"{found[0].fit.designation} lies wholly within {span} and is the widest, so the easiest to make; {len(found)} told."


def fit_text(fit: Fit, system: str) -> str:
    """One line in shop words; sizes rounded into the zone, never out of it."""
    doubt = f" From memory, unchecked: {', '.join(fit.from_memory)}." if fit.from_memory else ""
    sizes = f"hole {_sizes(fit, fit.hole, system)}, shaft {_sizes(fit, fit.shaft, system)}"
    return f"{fit.designation} at {fit.size}: {sizes}; {_play(fit, system)}.{doubt}"


def _sizes(fit: Fit, part: Part, system: str) -> str:
    unit = LARGE[system]
    low, high = (limit * fit.base.factor / unit.factor for limit in fit.limits(part))
    return f"{_rounded(low, unit, ROUND_CEILING)} to {_rounded(high, unit, ROUND_FLOOR)} {unit.symbol}"


def _rounded(value: Fraction, unit: Unit, rounding: str) -> str:
    places = PLACES[unit.token]
    steps = value / Fraction(places)
    whole = -(-steps.numerator // steps.denominator) if rounding == ROUND_CEILING else steps.numerator // steps.denominator
    text = f"{whole * places:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _play(fit: Fit, system: str) -> str:
    small = SMALL[system]
    tightest, loosest = (value * fit.unit.factor / small.factor for value in (fit.tightest, fit.loosest))
    if fit.kind == "clearance":
        return f"always play, {_between(say(tightest, small, 'low'), say(loosest, small, 'high'))}"
    if fit.kind == "interference":
        return f"always interference, {_between(say(-loosest, small, 'low'), say(-tightest, small, 'high'))}"
    return f"from {say(-tightest, small, 'high')} of interference to {say(loosest, small, 'high')} of play"


def _between(low: str, high: str) -> str:
    """``7 to 41 um``: a unit that both ends share is said once."""
    tail = low.rpartition(" ")[2]
    return f"{low.removesuffix(' ' + tail)} to {high}" if high.endswith(f" {tail}") else f"{low} to {high}"


def row(given: Row) -> dict[str, Any]:
    """A row: its words, its numbers, the weakest grade in it."""
    grade = weakest([c.grade for c in given.cells.values()]) if given.cells else given.stated[0]
    return {"words": dict(given.words), "numbers": {name: cell(c) for name, c in given.cells.items()}, "grade": grade}


def table_in_short(given: StandardTable) -> dict[str, Any]:
    """What a table holds and what it may be asked by."""
    return {
        "id": given.id, "title": given.title, "standard": given.standard, "path": f"/v1/standards/{given.id}",
        "columns": [{"name": c.name, "says": c.says, "unit": c.unit or None, "kind": "words" if c.words else "number"} for c in given.columns],
        "parameters": [{"name": p.name, "kind": p.kind, "says": p.says, "allowed": list(p.allowed)} for p in given.parameters],
    }  # fmt: skip


def table_answer(table: Table, given: StandardTable, answer: Answer, edition: str) -> dict[str, Any]:
    """The rows that were asked for, with notes and works."""
    ids = [work for each in answer.rows for c in each.cells.values() for work in c.works]
    ids += [work for each in answer.rows if not each.cells for work in each.stated[1]]
    return table_in_short(given) | {
        "rows": [row(each) for each in answer.rows], "notes": list(answer.notes), "works": works(table, ids), "edition": edition,
    }  # fmt: skip
