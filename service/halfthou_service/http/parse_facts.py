"""What a sheet tells beside its readings, from the loaded schemas to what the bench takes; ids are checked against the table."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Characteristic
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS

from ..bench import remedies
from ..bench.papers.order_case import Wish
from ..bench.papers.recipes import recipes
from ..bench.papers.targets import OWN_SIZE
from ..bench.remedies import Found, Measured, RemedyFacts, Shims
from .faults import Fault, Near, token
from .problems import Gathered
from .quantities import wrong_dimension

GROUPS: Mapping[str, type] = {
    "cylinder": remedies.Cylinder, "journal": remedies.Journal, "ring": remedies.Ring, "bush": remedies.Bush, "valve": remedies.Valve,
    "gear": remedies.Gear, "spring": remedies.Spring, "circuit": remedies.Circuit, "magneto": remedies.Magneto,
    "strainer": remedies.Strainer, "coating": remedies.Coating,
}  # fmt: skip
Record = TypeVar("Record")


def facts_of(table: Table, loaded: Mapping[str, Any], near: Near, gathered: Gathered) -> RemedyFacts:
    """The facts of a sheet; faults are gathered under ``/facts``."""
    reader = _FactsReader(table, near, gathered)
    made: dict[str, Any] = {name: _record(kind, loaded[name]) for name, kind in GROUPS.items() if name in loaded}
    made |= {name: tuple(loaded[name]) for name in ("shim_stock", "washers") if name in loaded}
    made |= {"most_leaves": loaded["most_leaves"]} if "most_leaves" in loaded else {}
    measured = [reader.measured(one, f"/facts/measured/{n}") for n, one in enumerate(loaded.get("measured", ()))]
    found = [reader.found(one, f"/facts/found/{n}") for n, one in enumerate(loaded.get("found", ()))]
    return RemedyFacts(
        measured=tuple(m for m in measured if m is not None), found=tuple(f for f in found if f is not None),
        shims=tuple(_record(Shims, one) for one in loaded.get("shims", ())), **made,
    )  # fmt: skip


def _record(kind: type[Record], loaded: Mapping[str, Any]) -> Record:
    return kind(**{name: tuple(value) if isinstance(value, list) else value for name, value in loaded.items()})


class _FactsReader:
    def __init__(self, table: Table, near: Near, gathered: Gathered) -> None:
        self.table, self.near, self.gathered = table, near, gathered

    def _known(self, name: str, pointer: str) -> Characteristic | None:
        what = self.table.characteristics.get(name.strip())
        if what is None:
            self.gathered.add(self.near.unknown("unknown-characteristic", "characteristic", name, self.table.characteristics,
                                                f"{pointer}/characteristic"))  # fmt: skip
        return what

    def measured(self, loaded: Mapping[str, Any], pointer: str) -> Measured | None:
        """A size told beside the readings."""
        what = self._known(loaded["characteristic"], pointer)
        value: Quantity = loaded["value"]
        if what is None:
            return None
        if what.value_kind == "finding":
            detail = f"{what.id} is told in words: it stands under found, or among the readings"
            self.gathered.add(Fault("wrong-kind", detail, f"{pointer}/value"))
            return None
        wanted = UNITS[what.unit].dimension
        if value.unit.dimension != wanted:
            self.gathered.add(wrong_dimension(value.unit, wanted, f"{pointer}/value/unit"))
            return None
        if what.non_negative and value.canonical < 0:
            self.gathered.add(Fault("negative", f"{what.name} cannot be negative", f"{pointer}/value/value"))
            return None
        where = {key: loaded[key] for key in ("instance", "station", "axis", "state") if key in loaded}
        return Measured(what.id, value, **where)

    def found(self, loaded: Mapping[str, Any], pointer: str) -> Found | None:
        """A finding told beside the readings; its verdict is the table's."""
        what = self._known(loaded["characteristic"], pointer)
        if what is None:
            return None
        said = loaded["word"].strip().lower()
        word = next((w for w in what.words if said in (w.word.lower(), *(alias.lower() for alias in w.aliases))), None)
        if word is None:
            names = [w.word for w in what.words]
            self.gathered.add(self.near.unknown("unknown-finding", "finding of this characteristic", loaded["word"], names, f"{pointer}/word"))
            return None
        return Found(what.id, word.verdict, word.word, loaded.get("instance", ""))


def wishes_of(loaded: Mapping[str, Mapping[str, Any]], near: Near, gathered: Gathered) -> dict[str, Wish]:
    """The owner's decisions by part; faults are gathered under ``/wishes``."""
    parts = [recipe.id for recipe in recipes()]
    wishes: dict[str, Wish] = {}
    for part, told in loaded.items():
        pointer = f"/wishes{token(part)}"
        low, high = told.get("low"), told.get("high")
        if part not in parts:
            gathered.add(near.unknown("bad-field", "part of a work order", part, parts, pointer))
        elif (low is not None or high is not None) and part not in OWN_SIZE:
            detail = f"{part} has no one finished size, so low and high are not taken for it; write it under notes"
            gathered.add(Fault("bad-field", detail, f"{pointer}/{'low' if low is not None else 'high'}", allowed=tuple(OWN_SIZE)))
        elif (low is None) != (high is None):
            other = "low" if low is None else "high"
            gathered.add(Fault("missing-field", f"{other} is missing: a machinist needs both ends of a size", f"{pointer}/{other}"))
        elif low is not None and high is not None and low.canonical > high.canonical:
            gathered.add(Fault("upside-down", "the low end of the finished size is above the high end", f"{pointer}/low"))
        else:
            wishes[part] = _record(Wish, told)
    return wishes
