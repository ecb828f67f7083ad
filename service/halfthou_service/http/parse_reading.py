"""One reading of a sheet: from a JSON object (or a CSV row made into one) to what the bench takes, or to its faults."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal, cast

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Characteristic
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS, units_of

from ..bench.readings import Basis, Place, Reading, State
from ..bench.second_opinion import BEARINGS
from .faults import Fault, Near, kind_of
from .parse_fields import FieldReader, alike, read_text, tool_temperature, uncertainty
from .parse_opinion import not_a_bearing, read_second_opinion
from .schemas.requests import BASES, DEAD_CENTRE, READING_FIELDS, RIM, STATES

LENGTHS = ("in", "thou", "mm")
"""Units of length that a shop writes in."""
VALUE_KINDS = ("value", "values", "low and high", "goes and does_not_go", "finding")
SIZED = frozenset({"value", "values", "low", "high", "goes", "does_not_go"})
"""Fields that hold what was read, in units of the characteristic."""
DOUBTS = frozenset({"standard_uncertainty", "expanded_uncertainty", "coverage_factor", "degrees_of_freedom"})
BESIDE = DOUBTS | {"id", "instrument", "place", "state", "temperature", "instrument_temperature", "material", "limit", "confirmed", "note", "budget",
                   "pooled_scatter", "second_opinion"}  # fmt: skip
"""Fields beside what was read: a fault in one of them leaves the value as it is."""
Raw = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Read:
    """A reading the bench can take. ``value_at``: JSON pointer, within the reading, of the value it was given by.

    ``faults``: what could not be read of it, where what could be read is a stop all the same.
    """

    reading: Reading
    value_at: str
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class Refused:
    """A reading that cannot be taken; pointers of its faults are relative to it.

    ``rest``: what can be read of it, where that may be a stop by itself: a crack stays one beside a note that is too long.
    """

    id: str
    characteristic: str
    place: str
    faults: tuple[Fault, ...]
    rest: Read | None = None


def head_of(fault: Fault) -> str:
    """The field of a reading that a fault is in; empty for the whole of it."""
    return (*fault.pointer.split("/"), "")[1]


class ReadingReader(FieldReader):
    """Reads the readings of one sheet against the table."""

    def __init__(self, table: Table, near: Near) -> None:
        super().__init__(table, near)
        quantity, text = self.quantity, read_text
        self._readers: dict[str, Callable[[Any], Any]] = {
            "id": lambda raw: text(raw, 80), "characteristic": lambda raw: text(raw, 80).strip(),
            "value": quantity, "values": self.values, "low": quantity, "high": quantity, "goes": quantity, "does_not_go": quantity,
            "finding": lambda raw: text(raw, 200), "instrument": self.instrument, "place": self.place,
            "state": lambda raw: self.word(raw, STATES), "standard_uncertainty": quantity, "expanded_uncertainty": quantity,
            "coverage_factor": self.factor, "degrees_of_freedom": self.freedom, "relative": lambda raw: self.word(raw, DEAD_CENTRE),
            "along": lambda raw: self.word(raw, RIM), "temperature": self.temperature, "limit": self.limit, "confirmed": self.flag,
            "note": lambda raw: text(raw, 2000), "instrument_temperature": self.temperature, "material": self.material,
            "budget": self.budget, "pooled_scatter": self.pooled, "basis": lambda raw: self.word(raw, BASES),
            "second_opinion": lambda raw: read_second_opinion(raw, self.near),
        }  # fmt: skip

    def read(self, raw: Any, default_id: str) -> Read | Refused:
        """The reading, or all its faults."""
        if not isinstance(raw, dict):
            return Refused(default_id, "", "", (Fault("bad-field", f"a reading is an object, not {kind_of(raw)}"),))
        found, faults = self.each_field(raw, self._readers, "field of a reading", READING_FIELDS)
        faults = self.with_units(found.get("characteristic", ""), faults, '{{"value": {}, "unit": "{}"}}')
        self._characteristic(raw, found, faults)
        if found.get("second_opinion") is not None and "characteristic" in found and found["characteristic"] not in BEARINGS:
            faults.append(not_a_bearing())
        value_at = self._one_value(raw, found, faults)
        u = uncertainty(raw, found, faults)
        self._hangs_together(raw, faults)
        place = found.get("place", Place())
        if faults:
            rest = self._rest(found, default_id, place, u, faults, value_at)
            return Refused(found.get("id", default_id), found.get("characteristic", ""), str(place), tuple(faults), rest)
        return Read(self._made(found, default_id, place, u), value_at)

    def _rest(self, found: dict[str, Any], default_id: str, place: Place, u: Quantity | None, faults: list[Fault], value_at: str) -> Read | None:
        """What is left of a faulty reading that can stop the engine, where what was seen or read stands whole."""
        what = self.table.characteristics.get(found.get("characteristic", ""))
        if what is None or not self.may_stop(what, found, faults):
            return None
        if what.value_kind == "finding":
            kept: dict[str, Any] = {key: found[key] for key in ("id", "characteristic", "finding", "state", "note") if key in found}
            return Read(self._made(kept, default_id, place, None), "/finding")
        wrong = {head_of(fault) for fault in faults}
        return Read(self._made({k: v for k, v in found.items() if k not in wrong}, default_id, place, None if wrong & DOUBTS else u), value_at)

    def may_stop(self, what: Characteristic, found: Collection[str], faults: Iterable[Fault]) -> bool:
        """Whether such a finding or value can stop the engine and none of these faults touches it.

        A field nobody knows may be the side of dead centre misspelt.
        """
        if what.value_kind == "finding":
            return "finding" in found and any(word.veto != "none" for word in what.words)
        if not any(limit.kind == "safety" for limit in self.table.limits_of.get(what.id, ())):
            return False
        sided = not what.sign or "relative" in found
        return all(head_of(f) in BESIDE or (f.code == "unknown-field" and sided) for f in faults)

    def with_units(self, name: str, faults: list[Fault], written: str) -> list[Fault]:
        """The faults, with the units of this very characteristic where a number came without one. ``written``: how a quantity is written."""
        what = self.table.characteristics.get(name)
        if what is None or not what.unit:
            return faults
        unit = UNITS[what.unit]
        others = LENGTHS if unit.dimension == "length" else units_of(unit.dimension)
        told = list(dict.fromkeys((what.unit, *others)))[:4]
        units = ", ".join(told[:-1]) + f" or {told[-1]}" if len(told) > 1 else told[0]
        like = written.format(3 if unit.dimension == "count" else 3.8, what.unit)
        detail = f"a bare number has no unit, and {what.id} may be told in {units}; write it like {like}"
        return [replace(f, detail=detail) if f.code == "no-unit" and (*f.pointer.split("/"), "")[1] in SIZED else f for f in faults]

    def _made(self, found: dict[str, Any], default_id: str, place: Place, u: Quantity | None) -> Reading:
        values = (found["value"],) if "value" in found else found.get("values", ())
        freedom = found.get("degrees_of_freedom")
        return Reading(
            found.get("id", default_id), found["characteristic"], values,
            span=(found["low"], found["high"]) if "low" in found else None,
            go=(found.get("goes"), found.get("does_not_go")) if "goes" in found or "does_not_go" in found else None,
            finding=found.get("finding", ""), instrument=found.get("instrument", ""), place=place,
            state=cast(State, found.get("state", "as_found")), standard_uncertainty=u,
            degrees_of_freedom=None if freedom is None else float(freedom),
            relative=cast(Literal["", "before", "after"], found.get("relative", "")),
            along=cast(Literal["", "rim-arc", "rim-chord"], found.get("along", "")), temperature=found.get("temperature"),
            limit=found.get("limit"), confirmed=found.get("confirmed", False), note=found.get("note", ""),
            instrument_temperature=found.get("instrument_temperature"), material=found.get("material", ""),
            own_lines=found.get("budget", ()), pooled=found.get("pooled_scatter"), basis=cast(Basis, found.get("basis", "")),
            second_opinion=found.get("second_opinion"),
        )  # fmt: skip

    # -- what hangs together -----------------------------------------------------------------------------------

    def _characteristic(self, raw: Raw, found: dict[str, Any], faults: list[Fault]) -> None:
        if "characteristic" not in raw:
            faults.append(Fault("missing-field", "the characteristic is missing; search at /v1/characteristics?q=", "/characteristic"))
            return
        name = found.get("characteristic")
        known = self.table.characteristics
        if name is not None and name not in known and "limit" not in raw:
            faults.append(self.near.unknown("unknown-characteristic", "characteristic", name, known, "/characteristic"))

    def _one_value(self, raw: Raw, found: dict[str, Any], faults: list[Fault]) -> str:
        kinds = [key for key in ("value", "values", "finding") if key in raw]
        if "low" in raw or "high" in raw:
            kinds.append("low")
        if "goes" in raw or "does_not_go" in raw:
            kinds.append("goes" if "goes" in raw else "does_not_go")
        if len(kinds) != 1:
            code, word = ("several-values", "one") if kinds else ("no-value", "one")
            faults.append(Fault(code, f"a reading holds exactly {word} of: {'; '.join(VALUE_KINDS)}", allowed=VALUE_KINDS))
            return "/value"
        kind = kinds[0]
        if kind == "low":
            self._span(raw, found, faults)
        if kind in ("goes", "does_not_go"):
            alike([found.get("goes"), found.get("does_not_go")], "/does_not_go/unit", faults)
        return "/values/0" if kind == "values" else f"/{kind}"

    def _span(self, raw: Raw, found: dict[str, Any], faults: list[Fault]) -> None:
        for key, other in (("low", "high"), ("high", "low")):
            if key not in raw:
                faults.append(Fault("missing-field", f"{key} is missing beside {other}", f"/{key}"))
        low, high = found.get("low"), found.get("high")
        if alike([low, high], "/high/unit", faults) and low is not None and high is not None and low.canonical > high.canonical:
            faults.append(Fault("upside-down", f"low ({low}) is above high ({high})", "/low"))

    def _hangs_together(self, raw: Raw, faults: list[Fault]) -> None:
        if "pooled_scatter" in raw and ("standard_uncertainty" in raw or "expanded_uncertainty" in raw):
            faults.append(Fault("bad-field", "an uncertainty of your own holds the scatter already; leave pooled_scatter out", "/pooled_scatter"))
        if "finding" in raw:
            given = [key for key in ("budget", "pooled_scatter", "basis") if key in raw]
            faults += [Fault("bad-field", f"a finding in words has no {key.replace('_', ' ')}", f"/{key}") for key in given]
        tool_temperature(raw, faults)
