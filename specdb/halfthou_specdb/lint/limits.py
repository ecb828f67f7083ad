"""Limits: no interval upside down, every number follows from its evidence, kinds and ties are in order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from ..errors import SpecdbError
from ..load import RawRecord
from ..records import Limit
from ..rules import Open
from ..standing import derivation_faults, parent, trial_sizes, upside_down, worked_out
from ..table import Table

Found = Iterator[tuple[RawRecord, str]]


def intervals(table: Table) -> Found:
    """low <= high, and the wear bounds lie outside the fit, at five sizes across the range."""
    for record in table.raw("limit"):
        limit = table.limits[record.id]
        for sizes in trial_sizes(table, limit):
            try:
                ends = worked_out(table, limit, sizes)
            except SpecdbError as error:
                yield record, str(error)
                break
            wrong = upside_down(ends)
            if wrong:
                yield record, wrong
                break


def derivations(table: Table) -> Found:
    """Every numeric end follows from its derivation, and no limit rests only on a row whose note doubts the scan."""
    for record in table.raw("limit"):
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


def kinds(table: Table) -> Found:
    """A guide fails nothing; a safety limit holds for every class and use."""
    for record in table.raw("limit"):
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


def ties(table: Table) -> Found:
    """Two limits equally specific for one class, use and size would tie."""
    seen: dict[tuple[str, str, str, tuple[str, ...]], list[Limit]] = defaultdict(list)
    for record in table.raw("limit"):
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


def gaps(table: Table) -> Found:
    """Size ranges of one characteristic, class, use and set of conditions touch end to end."""
    groups: dict[tuple[str, str, str, tuple[str, ...], str], list[tuple[Limit, RawRecord]]] = defaultdict(list)
    for record in table.raw("limit"):
        limit = table.limits[record.id]
        if limit.sizes is not None:
            for engine_class in limit.classes:
                key = (limit.characteristic, engine_class, limit.use, tuple(sorted(limit.when)), limit.sizes.of)
                groups[key].append((limit, record))
    for (_, engine_class, _, _, _), members in groups.items():
        members.sort(key=lambda pair: pair[0].sizes.low.canonical if pair[0].sizes else 0)
        for (first, _), (second, record) in pairwise(members):
            if first.sizes is None or second.sizes is None:
                continue
            reach, start = first.sizes.high.canonical, second.sizes.low.canonical
            if reach < start:
                yield record, f"leaves a gap after {first.id} for {engine_class}"
            elif reach > start:
                yield record, f"overlaps {first.id} for {engine_class}"
