"""Judgement shown: an adopted end lies within what comparable works say or its record says why not; recall is called recall."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction

from ..errors import SpecdbError
from ..load import RawRecord
from ..quantity import Quantity
from ..records import ENDS, Evidence, Limit
from ..rules import Open, evaluate
from ..standing import bound_named, parent, trial_sizes
from ..table import Table

Found = Iterator[tuple[RawRecord, str]]
RECALL = re.compile(r"\b(?:memory|recall\w*)\b", re.IGNORECASE)
KINDS = {"fit": ("fit", "typical"), "wear": ("wear",)}
"""Part of a limit -> the kinds of evidence its ends are laid beside; a typical range tells what a fit usually comes to."""


def within_evidence(table: Table) -> Found:
    """Each end lies within what the comparable works say at five sizes; or it has an ``outside``, or ``differs`` names who disagrees."""
    for record in table.raw("limit"):
        limit = table.limits[record.id]
        for end in (e for e in ENDS if not isinstance(limit.bound(e), Open)):
            derivation = limit.derivation[end]
            if derivation.outside or limit.differs or _stated(table, limit, end):
                continue
            told = _outside(table, limit, end)
            if told:
                yield record, f"{end} {told}; say why in its derivation (outside), or name who disagrees (differs)"


def _stated(table: Table, limit: Limit, end: str) -> bool:
    """Whether an end is, as it stands, what works say of this very thing, for their own sizes or for all."""
    derivation = limit.derivation[end]
    try:
        own = all(limit.characteristic in parent(table, limit, ref)[0].characteristics for ref in derivation.parents)
    except SpecdbError:
        return True  # told by the check of derivations
    return own and derivation.op in ("equals", "envelope")


def _outside(table: Table, limit: Limit, end: str) -> str:
    """Where an end lies beyond everything that comparable works say, in words; otherwise empty."""
    kinds, dimension = KINDS[end.partition("_")[0]], limit.unit.dimension
    beside = [e for e in table.evidence_of(limit.characteristic)
              if e.kind in kinds and e.basis == limit.basis and e.unit and e.unit.dimension == dimension]  # fmt: skip
    for sizes in trial_sizes(table, limit):
        try:
            value = bound_named(table, limit, end.replace("_", "."), sizes)
        except SpecdbError:
            continue  # told by the check of derivations
        said = [v for e in beside for v in _said(table, limit, e, sizes)]
        if isinstance(value, Open) or not said:
            continue
        if not min(said) <= value <= max(said):
            where = f" at {limit.sizes.of} {float(sizes[limit.sizes.of].exact):g}" if limit.sizes else ""
            return f"is {float(value):g}{where}, outside all that {len(beside)} statements say ({float(min(said)):g} to {float(max(said)):g})"
    return ""


def _said(table: Table, limit: Limit, evidence: Evidence, sizes: Mapping[str, Quantity]) -> Iterator[Fraction]:
    """The numbers of one statement at a size, in the limit's unit; none where it does not hold there."""
    if evidence.sizes is not None and (of := evidence.sizes.of) in sizes and not evidence.sizes.covers(sizes[of]):
        return
    for side in (evidence.low, evidence.high):
        try:
            value = evaluate(side, sizes, lambda name: bound_named(table, limit, name, sizes))
        except SpecdbError:
            continue
        if not isinstance(value, Open) and evidence.unit is not None:
            yield value * evidence.unit.factor / limit.unit.factor


def recall_named(table: Table) -> Found:
    """A limit that rests on recall alone says so in its reasoning."""
    for record in table.raw("limit"):
        limit = table.limits[record.id]
        try:
            parents = [parent(table, limit, ref)[0] for d in limit.derivation.values() for ref in d.parents]
        except SpecdbError:
            continue  # told by the check of derivations
        if parents and all(p.grade == "from-memory" for p in parents) and not RECALL.search(limit.reasoning):
            yield record, "rests on recall alone; its reasoning must say so ('from memory', 'recalled')"
