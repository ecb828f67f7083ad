"""Every id that one record names in another exists, and every unit is of the right kind."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator

from ..load import RawRecord
from ..table import Table
from ..units import UNITS, unit_named

MANY = 2
Found = Iterator[tuple[RawRecord, str]]


def references(table: Table) -> Found:
    """Every id that one record names in another exists."""
    conditions = set(table.features) | set(table.facts)
    for record in table.raw("evidence"):
        raw = record.raw
        yield from _absent(record, raw["characteristics"], table.characteristics, "characteristic")
        yield from _absent(record, [raw["kin"]], table.classes, "kin")
        yield from _absent(record, [raw["work"]] if raw.get("work") else [], table.works, "work")
        yield from _absent(record, [c.removeprefix("not ") for c in raw.get("when", [])], conditions, "condition")
    for record in table.raw("limit"):
        raw = record.raw
        classes = {k for k, v in table.classes.items() if v.kind == "class"} | {"any"}
        yield from _absent(record, [raw["characteristic"]], table.characteristics, "characteristic")
        yield from _absent(record, raw["classes"], classes, "class")
        yield from _absent(record, [c.removeprefix("not ") for c in raw.get("when", [])], conditions, "condition")
        yield from _absent(record, raw.get("cautions", []), table.cautions, "caution")
        yield from _absent(record, raw.get("differs", []), table.evidence_ids(), "evidence")
    for record in table.raw("survey"):
        raw = record.raw
        follow = [raw[k] for k in ("diameter", "out_of_round", "taper", "wear", "joint") if k in raw]
        yield from _absent(record, follow, table.characteristics, "characteristic")
        yield from _absent(record, [raw["new"]], table.dimensions, "dimension")
    yield from _several(table)
    for record in table.raw("pair"):
        yield from _absent(record, [record.raw["clearance"]], table.characteristics, "characteristic")
        yield from _absent(record, [record.raw["bore"], record.raw["shaft"]], table.surveys, "survey")
    for record in table.raw("absence"):
        yield from _absent(record, [record.raw["characteristic"]], table.characteristics, "characteristic")
    for record in table.raw("characteristic"):
        raw = record.raw
        usual = [raw["usual_instrument"]] if raw.get("usual_instrument") else []
        yield from _absent(record, [*raw.get("instruments", []), *usual], table.instruments, "instrument")
        yield from _absent(record, raw.get("scales_with", []), table.dimensions, "dimension")
        yield from _absent(record, raw.get("cautions", []), table.cautions, "caution")
        yield from _absent(record, [f.removeprefix("not ") for f in raw.get("applies_if", [])], table.features, "feature")
        if usual and table.instruments.get(usual[0]) and raw.get("unit"):
            measures, wanted = table.instruments[usual[0]].measures, UNITS[table.characteristics[record.id].unit].dimension
            if measures != wanted:
                yield record, f"its usual instrument measures {measures}, its unit is {wanted}"
    for record in (*table.raw("caution"), *table.raw("material")):
        yield from _absent(record, [record.raw["work"]] if record.raw.get("work") else [], table.works, "work")


def _several(table: Table) -> Found:
    """What several things are read for is a quantity of theirs, of the same kind as its difference, and no safety limit hangs on it."""
    surveyed = {record.id for record in table.raw("survey")}
    for record in table.raw("several"):
        raw = record.raw
        yield from _absent(record, [raw[k] for k in ("reads", "difference") if k in raw], table.characteristics, "characteristic")
        what, apart = (table.characteristics.get(str(raw.get(k, ""))) for k in ("reads", "difference"))
        if record.id in surveyed:
            yield record, "a survey of diameters has that id already"
        if what is None:
            continue
        if what.value_kind != "quantity":
            yield record, f"{what.id} is no quantity"
        elif apart is not None and (not apart.unit or UNITS[apart.unit].dimension != UNITS[what.unit].dimension):
            yield record, f"{apart.id} is of another kind than {what.id}"
        if raw["each"] == "instance" and len(what.instances) < MANY:
            yield record, f"{what.id} names no instances to be read one by one"
        if any(limit.kind == "safety" for limit in table.limits_of.get(what.id, ())):
            yield record, f"{what.id} has a safety limit, so each reading of it is judged by itself"


def _absent(record: RawRecord, names: Iterable[str], known: Container[str], kind: str) -> Found:
    for name in names:
        if name not in known:
            yield record, f"no {kind} is called {name!r}"


def units(table: Table) -> Found:
    """Limits and evidence are in a unit of their characteristic's kind."""
    for record in (*table.raw("limit"), *table.raw("evidence")):
        for name in record.raw.get("characteristics") or [record.raw["characteristic"]]:
            what = table.characteristics.get(name)
            if what is None or not what.unit or not record.raw.get("unit"):
                continue
            given, wanted = unit_named(record.raw["unit"]), UNITS[what.unit]
            if given.dimension != wanted.dimension:
                yield record, f"{given.token} is {given.dimension}, but {name} is {wanted.dimension}"
