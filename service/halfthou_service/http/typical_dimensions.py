"""``GET /v1/typical-dimensions``: what size a part usually is for a power. Guesses, marked as such; no verdict reads them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from flask import Blueprint, Response, request

from halfthou_specdb.errors import OutsideRange
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Dimension
from halfthou_specdb.typical import HP, WARNING, Guess, Guesses, guesses
from halfthou_specdb.units import Unit

from ..bench.speak import convert, unit_for
from . import dump_records as records
from .answers import JSON, accepted, told
from .faults import Fault
from .problems import ProblemError
from .quantities import wrong_dimension
from .query import Query
from .schemas.requests import UNITS
from .state import shop

PARAMETERS = ("power", "engine_class", "stroke", "units")
blueprint = Blueprint("typical_dimensions", __name__)


@blueprint.get("/v1/typical-dimensions")
def usual() -> Response:
    """Guesses by dimension for a power, of one engine class or of every class on file."""
    accepted(JSON)
    shared = shop()
    query = Query(request.args.items(multi=True), PARAMETERS)
    query.required("power", "such as power=5 hp")
    power, stroke = _positive(query, "power", HP.dimension), _positive(query, "stroke", "length")
    units = query.choice("units", UNITS, "")
    class_id = query.one("engine_class")
    classes = [k.id for k in shared.table.classes.values() if k.kind == "class"]
    if class_id and class_id not in classes:
        query.gathered.add(query.near.unknown("unknown-engine-class", "engine class", class_id, classes, parameter="engine_class"))
    query.check()
    assert power is not None
    try:
        found = guesses(shared.table, power, class_id, stroke)
    except OutsideRange as error:
        raise ProblemError("outside-size-range", str(error), [Fault("outside-size-range", str(error), parameter="power")]) from None
    return told(_answer(found, shared.table.dimensions, units) | {"edition": shared.edition}, shared.edition)


def _positive(query: Query, name: str, dimension: str) -> Quantity | None:
    found = query.quantity(name)
    if found is not None and found.unit.dimension != dimension:
        query.gathered.add(wrong_dimension(found.unit, dimension, parameter=name))
        return None
    if found is not None and found.canonical <= 0:
        query.fault("not-positive", name, f"{name} is {found}; it must be above zero")
        return None
    return found


def _answer(found: Guesses, dimensions: Any, units: str) -> dict[str, Any]:
    return {
        "guess": True, "text": " ".join((WARNING, *found.remarks)), "power": records.quantity(found.power), "stroke": records.quantity(found.stroke),
        "engine_class": found.engine_class or None, "items": [_item(g, dimensions[g.record.dimension], units) for g in found.items],
    }  # fmt: skip


def _item(guess: Guess, dimension: Dimension, units: str) -> dict[str, Any]:
    low, high = guess.low, guess.high
    unit = unit_for(low.unit, units)
    return {
        "guess": True, "id": guess.record.id, "dimension": dimension.id, "name": dimension.name, "engine_class": guess.record.engine_class,
        "low": _bound(low, unit), "high": _bound(high, unit), "unit": unit.token, "one_engine": guess.one_engine, "grade": guess.record.grade,
        "note": guess.record.note, "for_power": {"low": _hp(guess.band[0]), "high": _hp(guess.band[1])},
    }  # fmt: skip


def _bound(given: Quantity, unit: Unit) -> dict[str, Any]:
    if unit is given.unit:
        return {"value": given.value, "unit": unit.token}
    value = convert(given.exact, given.unit, unit)
    return {"value": records.number(value), "unit": unit.token}  # type: ignore[arg-type]


def _hp(value: Decimal) -> dict[str, Any]:
    return {"value": value, "unit": HP.token}
