"""The engine a question is about, checked against the table; from a body or from query parameters."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import USES
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS

from .faults import Fault, Near, shown, token
from .problems import Gathered
from .quantities import wrong_dimension
from .query import Query

ABSENT = "not:"
DIMENSION = "dimension."


class EngineReader:
    """Checks each part of an engine and gathers the faults. ``in_query`` says how places are named in them."""

    def __init__(self, table: Table, near: Near, gathered: Gathered, in_query: bool) -> None:
        self.table, self.near, self.gathered, self.in_query = table, near, gathered, in_query

    def engine(self, class_id: str, use: str, name: str, features: Iterable[str], sizes: Mapping[str, Quantity]) -> Engine | None:
        """The engine, or None where its class is not known; faults are gathered, not raised."""
        present, absent = self._features(features)
        dimensions = {key: size for key, size in sizes.items() if self._dimension(key, size)}
        classes = {k: c for k, c in self.table.classes.items() if c.kind == "class"}
        if class_id not in classes:
            if class_id:
                self._add(self.near.unknown("unknown-engine-class", "engine class", class_id, classes), "/engine_class", "engine_class")
            return None
        return Engine(classes[class_id], use, name, present, absent, dimensions)

    def _add(self, fault: Fault, pointer: str, parameter: str) -> None:
        placed = replace(fault, parameter=parameter) if self.in_query else replace(fault, pointer=f"/engine{pointer}")
        self.gathered.add(placed)

    def _features(self, features: Iterable[str]) -> tuple[frozenset[str], frozenset[str]]:
        present: set[str] = set()
        absent: set[str] = set()
        for index, word in enumerate(features):
            name = word.removeprefix(ABSENT).strip()
            if name not in self.table.features:
                self._add(self.near.unknown("unknown-feature", "feature", name, self.table.features), f"/features/{index}", "features")
                continue
            (absent if word.startswith(ABSENT) else present).add(name)
            if name in present and name in absent:
                detail = f"{name} is stated as present and as absent"
                self._add(Fault("contradicting-features", detail), f"/features/{index}", "features")
        return frozenset(present), frozenset(absent)

    def _dimension(self, key: str, size: Quantity) -> bool:
        place = f"/dimensions{token(key)}", f"{DIMENSION}{key}"[:80]
        if key not in self.table.dimensions:
            self._add(self.near.unknown("unknown-dimension", "engine dimension", key, self.table.dimensions), *place)
            return False
        fault = size_fault(self.table, key, size)
        if fault is None:
            return True
        self._add(fault, place[0] + fault.pointer, place[1])
        return False


def size_fault(table: Table, dimension: str, size: Quantity) -> Fault | None:
    """What is wrong with a size given for a dimension, if anything."""
    wanted = UNITS[table.dimension_units[dimension]].dimension
    if size.unit.dimension != wanted:
        return wrong_dimension(size.unit, wanted, "/unit")
    if size.canonical <= 0:
        return Fault("not-positive", f"{dimension} is {size}; it must be above zero", "/value")
    return None


def engine_of_body(table: Table, loaded: Mapping[str, Any], near: Near, gathered: Gathered) -> Engine | None:
    """The engine of a sheet, from its loaded ``engine`` object."""
    reader = EngineReader(table, near, gathered, in_query=False)
    return reader.engine(loaded["engine_class"].strip(), loaded.get("use", "work"), loaded.get("id", ""), loaded.get("features", ()),
                         loaded.get("dimensions", {}))  # fmt: skip


ENGINE_PARAMETERS = ("engine_class", "use", "features")


def engine_of_query(table: Table, query: Query, name: str = "") -> Engine | None:
    """The engine of query parameters: ``engine_class``, ``use``, ``features``, ``dimension.<name>``."""
    reader = EngineReader(table, query.near, query.gathered, in_query=True)
    sizes: dict[str, Quantity] = {}
    for key, parameter in query.prefixed(DIMENSION).items():
        size = query.quantity(parameter)
        if size is not None:
            sizes[key] = size
        elif key not in table.dimensions:
            query.fault("unknown-dimension", parameter, f"no engine dimension is called {shown(key)}")
    class_id = query.required("engine_class", "the list is at /v1/engine-classes")
    return reader.engine(class_id, query.choice("use", USES, "work"), name, query.words("features"), sizes)
