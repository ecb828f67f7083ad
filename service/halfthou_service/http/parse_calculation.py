"""A request to one calculation: read against its declaration, every fault told at once and by the name of its input."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, cast

from marshmallow import ValidationError

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.units import units_of

from ..calculations.frame import (
    Calculation,
    CalculationError,
    Given,
    Input,
    UncertaintyError,
    faults,
    uncertainty_dimension,
)
from .faults import Fault, FaultError, Near, kind_of, shown, token
from .problem_kinds import CALCULATION_CODES
from .problems import Gathered, ProblemError
from .quantities import read_quantity
from .schemas.calculations import CalculationSchema
from .schemas.fields import faults_of

SCHEMA = CalculationSchema()
INPUTS, UNCERTAINTIES = "/inputs", "/standard_uncertainties"
WORDS = ("choice", "flag")
_VERB = re.compile(r"^(\w+): (?=(?:is|are|must|needs|has|belongs|does|do|would|lies|cannot|leaves|reaches)\b)")
"""``load: is missing`` is told as ``load is missing``."""


@dataclass(frozen=True, slots=True)
class Asked:
    """Inputs and standard uncertainties by name, and the system of units of the answer."""

    given: Mapping[str, Given]
    uncertainties: Mapping[str, Quantity]
    system: str


def parse_calculation(what: Calculation, raw: Any) -> Asked:
    """The request in a body.

    Raises:
        ProblemError: every fault of it: unknown fields and inputs, missing ones, no unit, the wrong kind of unit, out of range.
    """
    if not isinstance(raw, dict):
        detail = f'a request is an object with "inputs", not {kind_of(raw)}'
        raise ProblemError("bad-field", detail, [Fault("bad-field", detail)])
    near, gathered = Near(), Gathered(in_body=True)
    try:
        loaded = cast("dict[str, Any]", SCHEMA.load(raw))
    except ValidationError as error:
        loaded = error.valid_data if isinstance(error.valid_data, dict) else {}
        for fault in faults_of(error.messages, SCHEMA, near):
            gathered.add(fault)
    known = {item.name: item for item in what.inputs}
    given = _each(what, loaded.get("inputs", {}), INPUTS, known, near, gathered, _input)
    doubts = _each(what, loaded.get("standard_uncertainties", {}), UNCERTAINTIES, known, near, gathered, _uncertainty)
    refused = {fault.pointer for fault in gathered.faults}
    if not refused & {"", INPUTS}:
        for found in faults(what, given, doubts):
            fault = fault_of(found, known)
            if not any(pointer == fault.pointer or pointer.startswith(f"{fault.pointer}/") for pointer in refused):
                gathered.add(fault)
    gathered.check()
    return Asked(given, doubts, loaded.get("units") or _system(given))


def fault_of(error: CalculationError, known: Mapping[str, Input]) -> Fault:
    """What a calculation refused, with the place of its input and the words or units it would take."""
    item = known.get(error.name)
    base = UNCERTAINTIES if isinstance(error, UncertaintyError) else INPUTS
    allowed: tuple[str, ...] = ()
    if item is not None and error.code in ("wrong-dimension", "no-unit", "missing-input"):
        kind = uncertainty_dimension(item) if isinstance(error, UncertaintyError) else item.dimension
        allowed = item.choices if kind == "choice" else units_of(kind)[:20]
    detail = _VERB.sub(r"\1 ", str(error))
    return Fault(CALCULATION_CODES.get(error.code, "impossible"), detail, base + token(error.name) if error.name else base, allowed=allowed)


def _each(what: Calculation, raw: Any, base: str, known: Mapping[str, Input], near: Near, gathered: Gathered, read: Any) -> dict[str, Any]:
    if not isinstance(raw, dict):
        gathered.add(Fault("bad-field", f"an object of inputs by name is wanted, not {kind_of(raw)}", base))
        return {}
    found: dict[str, Any] = {}
    for name, value in raw.items():
        item = known.get(name)
        if item is None:
            gathered.add(near.unknown("unknown-input", f"input of {what.id}", name, known, base + token(name)))
            continue
        try:
            found[name] = read(item, value, near)
        except FaultError as error:
            gathered.add(error.fault.under(base + token(name)))
    return found


def _input(item: Input, raw: Any, near: Near) -> Given:
    if item.dimension == "flag":
        if not isinstance(raw, bool):
            raise FaultError(Fault("wrong-kind", f"{item.name} is true or false, not {kind_of(raw)}"))
        return raw
    if item.dimension == "choice":
        if not isinstance(raw, str) or raw not in item.choices:
            said = shown(raw) if isinstance(raw, str) else kind_of(raw)
            matches = near.of(raw, item.choices) if isinstance(raw, str) else ()
            detail = f"{item.name} is {said}; it may be {', '.join(item.choices)}"
            raise FaultError(Fault("wrong-kind", detail, near=matches, allowed=item.choices))
        return raw
    if not item.many:
        return read_quantity(raw, near, item.dimension)
    if not isinstance(raw, list):
        detail = f"{item.name} is a list of 1 to {item.many} quantities, not {kind_of(raw)}"
        raise FaultError(Fault("wrong-kind", detail, allowed=units_of(item.dimension)))
    if not 1 <= len(raw) <= item.many:
        raise FaultError(Fault("out-of-range", f"{item.name} is a list of 1 to {item.many} quantities; {len(raw)} were given"))
    found = []
    for index, each in enumerate(raw):
        try:
            found.append(read_quantity(each, near, item.dimension))
        except FaultError as error:
            raise FaultError(error.fault.under(f"/{index}")) from None
    return found


def _uncertainty(item: Input, raw: Any, near: Near) -> Quantity:
    return read_quantity(raw, near, "" if item.dimension in WORDS or item.many else uncertainty_dimension(item))


def _system(given: Mapping[str, Given]) -> str:
    """Metric where some input is and none is in inch units."""
    quantities = [q for value in given.values() for q in (value if isinstance(value, list) else [value]) if isinstance(q, Quantity)]
    systems = {quantity.unit.system for quantity in quantities}
    return "metric" if "metric" in systems and "inch" not in systems else "inch"
