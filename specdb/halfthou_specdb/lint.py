"""The data linter: every reference resolves, every limit follows from its evidence, and no interval is upside down."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path

from . import reading
from .errors import RecordError, SpecdbError
from .load import DATA, RawRecord, read_all
from .records import Limit
from .rules import Open
from .standing import derivation_faults, parent, trial_sizes, worked_out
from .table import Table
from .units import UNITS

Check = Callable[[Table], Iterator[tuple[RawRecord, str]]]


def faults(root: Path = DATA) -> list[str]:
    """Every fault of the data files as ``file:line: id: reason``; an empty list is clean."""
    records, refused = read_all(root)
    table, more = _sound(records)
    lines = [str(error) for error in (*refused, *more)]
    for check in CHECKS:
        try:
            lines += [str(record.refuse(reason)) for record, reason in check(table)]
        except SpecdbError as error:
            lines.append(str(error))
    return list(dict.fromkeys(lines))


def _each(table: Table, kind: str) -> Iterator[RawRecord]:
    yield from table.raw(kind)


MAKERS: dict[str, Callable[[RawRecord, Table], object]] = {
    "work": lambda r, _: reading.work(r.raw),
    "class": lambda r, _: reading.engine_class(r.raw),
    "dimension": lambda r, _: reading.dimension(r.raw),
    "feature": lambda r, _: reading.feature(r.raw),
    "fact": lambda r, _: reading.fact(r.raw),
    "instrument": lambda r, _: reading.instrument(r.raw),
    "caution": lambda r, _: reading.caution(r.raw),
    "material": lambda r, _: reading.material(r.raw),
    "typical": lambda r, _: reading.typical(r.raw),
    "absence": lambda r, _: reading.absence(r.raw),
    "characteristic": lambda r, _: reading.characteristic(r.raw),
    "evidence": lambda r, table: [
        reading.evidence(r.raw, table.scale(c), table.dimension_units) for c in r.raw["characteristics"]
    ],
    "limit": lambda r, table: reading.limit(r.raw, table.scale(r.raw["characteristic"]), table.dimension_units),
}


def _sound(records: list[RawRecord]) -> tuple[Table, list[RecordError]]:
    """The records that can be made frozen, as a table, and the refusal of each that cannot."""
    good: list[RawRecord] = []
    refused: list[RecordError] = []
    for kind, make in MAKERS.items():
        so_far = Table(good, "lint")
        for record in (r for r in records if r.kind == kind):
            try:
                make(record, so_far)
            except (SpecdbError, KeyError, TypeError, ValueError, ArithmeticError) as error:
                refused.append(record.refuse(str(error)))
            else:
                good.append(record)
    return Table(good, "lint"), refused


def _references(table: Table) -> Iterator[tuple[RawRecord, str]]:
    """Every id that one record names in another exists."""
    conditions = set(table.features) | set(table.facts)
    for record in _each(table, "evidence"):
        raw = record.raw
        yield from _absent(record, raw["characteristics"], table.characteristics, "characteristic")
        yield from _absent(record, [raw["kin"]], table.classes, "kin")
        yield from _absent(record, [raw["work"]] if raw.get("work") else [], table.works, "work")
        yield from _absent(record, [c.removeprefix("not ") for c in raw.get("when", [])], conditions, "condition")
    for record in _each(table, "limit"):
        raw = record.raw
        classes = {k for k, v in table.classes.items() if v.kind == "class"} | {"any"}
        yield from _absent(record, [raw["characteristic"]], table.characteristics, "characteristic")
        yield from _absent(record, raw["classes"], classes, "class")
        yield from _absent(record, [c.removeprefix("not ") for c in raw.get("when", [])], conditions, "condition")
        yield from _absent(record, raw.get("cautions", []), table.cautions, "caution")
        yield from _absent(record, raw.get("differs", []), table.evidence_ids(), "evidence")
    for record in _each(table, "absence"):
        yield from _absent(record, [record.raw["characteristic"]], table.characteristics, "characteristic")
    for record in _each(table, "characteristic"):
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
    for record in (*_each(table, "caution"), *_each(table, "material")):
        yield from _absent(record, [record.raw["work"]] if record.raw.get("work") else [], table.works, "work")


def _absent(record: RawRecord, names: list[str], known: object, kind: str) -> Iterator[tuple[RawRecord, str]]:
    for name in names:
        if name not in known:  # type: ignore[operator]
            yield record, f"no {kind} is called {name!r}"


def _units(table: Table) -> Iterator[tuple[RawRecord, str]]:
    """Limits and evidence are in a unit of their characteristic's kind."""
    for record in (*_each(table, "limit"), *_each(table, "evidence")):
        for name in record.raw.get("characteristics") or [record.raw["characteristic"]]:
            what = table.characteristics.get(name)
            if what is None or not what.unit or not record.raw.get("unit"):
                continue
            from .units import unit_named

            given, wanted = unit_named(record.raw["unit"]), UNITS[what.unit]
            if given.dimension != wanted.dimension:
                yield record, f"{given.token} is {given.dimension}, but {name} is {wanted.dimension}"


def _intervals(table: Table) -> Iterator[tuple[RawRecord, str]]:
    """low <= high, and the wear bounds lie outside the fit, at five sizes across the range."""
    for record in _each(table, "limit"):
        limit = table.limits[record.id]
        for sizes in trial_sizes(table, limit):
            try:
                ends = worked_out(table, limit, sizes)
            except SpecdbError as error:
                yield record, str(error)
                break
            pairs = (("wear_low", "fit_low"), ("fit_low", "fit_high"), ("fit_high", "wear_high"), ("wear_low", "wear_high"))
            wrong = [f"{a} over {b}" for a, b in pairs if not isinstance(ends[a], Open) and not isinstance(ends[b], Open)
                     and ends[a] > ends[b]]  # type: ignore[operator]  # fmt: skip
            if wrong:
                yield record, wrong[0]
                break


def _derivations(table: Table) -> Iterator[tuple[RawRecord, str]]:
    """Every numeric end follows from its derivation, and no limit rests only on a row whose note doubts the scan."""
    for record in _each(table, "limit"):
        limit = table.limits[record.id]
        for fault in derivation_faults(table, limit):
            yield record, fault
        try:
            parents = [parent(table, limit, ref)[0] for d in limit.derivation.values() for ref in d.parents]
        except SpecdbError as error:
            yield record, str(error)
            continue
        if parents and all(p.scan_doubt for p in parents):
            yield record, "rests only on rows whose scan order is in doubt"


def _kinds(table: Table) -> Iterator[tuple[RawRecord, str]]:
    """A guide fails nothing; a safety limit holds for every class and use."""
    for record in _each(table, "limit"):
        limit = table.limits[record.id]
        wear = not (isinstance(limit.wear_low, Open) and isinstance(limit.wear_high, Open))
        if limit.kind == "guide" and wear:
            yield record, "a guide has no wear bound"
        if limit.kind == "safety" and (limit.classes != ("any",) or limit.use != "any"):
            yield record, "a safety limit holds for every class and use"
        if limit.kind != "safety" and limit.use == "any":
            yield record, "only a safety limit ignores use"
        what = table.characteristics.get(limit.characteristic)
        if what and what.value_kind == "finding":
            yield record, "a finding has words, not limits"


def _ties(table: Table) -> Iterator[tuple[RawRecord, str]]:
    """Two limits equally specific for one class, use and size would tie."""
    seen: dict[tuple[str, str, str, tuple[str, ...]], list[Limit]] = defaultdict(list)
    for record in _each(table, "limit"):
        limit = table.limits[record.id]
        for engine_class in limit.classes:
            key = (limit.characteristic, engine_class, limit.use, tuple(sorted(limit.when)))
            if any(_overlap(limit, other) and len(limit.classes) == len(other.classes) for other in seen[key]):
                yield record, f"ties with {seen[key][0].id} for {engine_class}, {limit.use}"
            seen[key].append(limit)


def _overlap(a: Limit, b: Limit) -> bool:
    if a.sizes is None or b.sizes is None:
        return a.sizes is b.sizes
    same_width = a.sizes.high.canonical - a.sizes.low.canonical == b.sizes.high.canonical - b.sizes.low.canonical
    return same_width and a.sizes.low.canonical < b.sizes.high.canonical and b.sizes.low.canonical < a.sizes.high.canonical


CHECKS: tuple[Check, ...] = (_references, _units, _intervals, _derivations, _kinds, _ties)
