"""One reading of a sheet: from a JSON object (or a CSV row made into one) to what the bench takes, or to its faults."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal, cast

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import NONE_ON_FILE, Open, Value
from halfthou_specdb.table import Table

from ..bench.readings import InlineLimit, Place, Reading, State
from .faults import Fault, FaultError, Near, kind_of, shown, token
from .quantities import read_number, read_quantity
from .schemas.requests import DEAD_CENTRE, OPEN, PLACE_FIELDS, READING_FIELDS, RIM, STATES

MOST_REPEATS = 200
MOST_UNKNOWN = 20
VALUE_KINDS = ("value", "values", "low and high", "goes and does_not_go", "finding")
Raw = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Read:
    """A reading the bench can take. ``value_at``: JSON pointer, within the reading, of the value it was given by."""

    reading: Reading
    value_at: str


@dataclass(frozen=True, slots=True)
class Refused:
    """A reading that cannot be taken; pointers of its faults are relative to it."""

    id: str
    characteristic: str
    place: str
    faults: tuple[Fault, ...]


def _bad(detail: str, pointer: str = "", near: tuple[str, ...] = (), allowed: tuple[str, ...] = ()) -> FaultError:
    return FaultError(Fault("bad-field", detail, pointer, near=near, allowed=allowed))


def read_text(raw: Any, most: int) -> str:
    """Text with something in it.

    Raises:
        FaultError: not text, blank, or longer than ``most`` characters.
    """
    if not isinstance(raw, str):
        raise _bad(f"text is wanted, not {kind_of(raw)}")
    if len(raw) > most or not raw.strip():
        raise _bad(f"text of 1 to {most} characters is wanted")
    return raw


class ReadingReader:
    """Reads the readings of one sheet against the table."""

    def __init__(self, table: Table, near: Near) -> None:
        self.table, self.near = table, near
        quantity, text = self._quantity, read_text
        self._readers: dict[str, Callable[[Any], Any]] = {
            "id": lambda raw: text(raw, 80), "characteristic": lambda raw: text(raw, 80).strip(),
            "value": quantity, "values": self._values, "low": quantity, "high": quantity, "goes": quantity, "does_not_go": quantity,
            "finding": lambda raw: text(raw, 200), "instrument": self._instrument, "place": self._place,
            "state": lambda raw: self._word(raw, STATES), "standard_uncertainty": quantity, "expanded_uncertainty": quantity,
            "coverage_factor": self._factor, "degrees_of_freedom": self._freedom, "relative": lambda raw: self._word(raw, DEAD_CENTRE),
            "along": lambda raw: self._word(raw, RIM), "temperature": lambda raw: read_quantity(raw, self.near, "temperature"),
            "limit": self._limit, "confirmed": self._flag, "note": lambda raw: text(raw, 2000),
        }  # fmt: skip

    def read(self, raw: Any, default_id: str) -> Read | Refused:
        """The reading, or all its faults."""
        if not isinstance(raw, dict):
            return Refused(default_id, "", "", (Fault("bad-field", f"a reading is an object, not {kind_of(raw)}"),))
        found: dict[str, Any] = {}
        faults: list[Fault] = []
        unknown = 0
        for key, value in raw.items():
            reader = self._readers.get(key)
            if reader is None:
                unknown += 1
                if unknown <= MOST_UNKNOWN:
                    faults.append(self.near.unknown("unknown-field", "field of a reading", key, READING_FIELDS, token(key)))
                continue
            try:
                found[key] = reader(value)
            except FaultError as error:
                faults.append(error.fault.under("/" + key))
        self._characteristic(raw, found, faults)
        value_at = self._one_value(raw, found, faults)
        uncertainty = self._uncertainty(raw, found, faults)
        place = found.get("place", Place())
        if faults:
            return Refused(found.get("id", default_id), found.get("characteristic", ""), str(place), tuple(faults))
        return Read(self._made(found, default_id, place, uncertainty), value_at)

    def _made(self, found: dict[str, Any], default_id: str, place: Place, uncertainty: Quantity | None) -> Reading:
        values = (found["value"],) if "value" in found else found.get("values", ())
        freedom = found.get("degrees_of_freedom")
        return Reading(
            found.get("id", default_id), found["characteristic"], values,
            span=(found["low"], found["high"]) if "low" in found else None,
            go=(found.get("goes"), found.get("does_not_go")) if "goes" in found or "does_not_go" in found else None,
            finding=found.get("finding", ""), instrument=found.get("instrument", ""), place=place,
            state=cast(State, found.get("state", "as_found")), standard_uncertainty=uncertainty,
            degrees_of_freedom=None if freedom is None else float(freedom),
            relative=cast(Literal["", "before", "after"], found.get("relative", "")),
            along=cast(Literal["", "rim-arc", "rim-chord"], found.get("along", "")), temperature=found.get("temperature"),
            limit=found.get("limit"), confirmed=found.get("confirmed", False), note=found.get("note", ""),
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
            self._alike([found.get("goes"), found.get("does_not_go")], "/does_not_go/unit", faults)
        return "/values/0" if kind == "values" else f"/{kind}"

    def _span(self, raw: Raw, found: dict[str, Any], faults: list[Fault]) -> None:
        for key, other in (("low", "high"), ("high", "low")):
            if key not in raw:
                faults.append(Fault("missing-field", f"{key} is missing beside {other}", f"/{key}"))
        low, high = found.get("low"), found.get("high")
        if self._alike([low, high], "/high/unit", faults) and low is not None and high is not None and low.canonical > high.canonical:
            faults.append(Fault("upside-down", f"low ({low}) is above high ({high})", "/low"))

    def _alike(self, quantities: list[Quantity | None], pointer: str, faults: list[Fault]) -> bool:
        kinds = [q.unit for q in quantities if q is not None]
        for unit in kinds[1:]:
            if unit.dimension != kinds[0].dimension:
                faults.append(Fault("wrong-dimension", f"{kinds[0].token} and {unit.token} are not of one kind", pointer))
                return False
        return True

    def _uncertainty(self, raw: Raw, found: dict[str, Any], faults: list[Fault]) -> Quantity | None:
        if "expanded_uncertainty" not in raw:
            if "coverage_factor" in raw:
                faults.append(Fault("bad-field", "a coverage factor goes with expanded_uncertainty", "/coverage_factor"))
            return cast("Quantity | None", found.get("standard_uncertainty"))
        if "standard_uncertainty" in raw:
            detail = "give standard_uncertainty, or expanded_uncertainty with coverage_factor, not both"
            faults.append(Fault("bad-field", detail, "/expanded_uncertainty"))
        elif "coverage_factor" not in raw:
            faults.append(Fault("missing-field", "expanded_uncertainty needs its coverage_factor", "/coverage_factor"))
        expanded, factor = found.get("expanded_uncertainty"), found.get("coverage_factor")
        if expanded is None or factor is None:
            return None
        exact = expanded.exact / Fraction(factor)
        return Quantity(decimal_of(exact), expanded.unit, exact)

    # -- single fields -----------------------------------------------------------------------------------------

    def _quantity(self, raw: Any) -> Quantity:
        return read_quantity(raw, self.near)

    def _values(self, raw: Any) -> tuple[Quantity, ...]:
        if not isinstance(raw, list) or not 1 <= len(raw) <= MOST_REPEATS:
            raise _bad(f"values is a list of 1 to {MOST_REPEATS} quantities")
        found: list[Quantity] = []
        for index, item in enumerate(raw):
            try:
                found.append(read_quantity(item, self.near, found[0].unit.dimension if found else ""))
            except FaultError as error:
                raise FaultError(error.fault.under(f"/{index}")) from None
        return tuple(found)

    def _word(self, raw: Any, words: tuple[str, ...]) -> str:
        if isinstance(raw, str) and raw in words:
            return raw
        near = self.near.of(raw, words) if isinstance(raw, str) else ()
        said = shown(raw) if isinstance(raw, str) else kind_of(raw)
        raise _bad(f"{said} is given; it may be {', '.join(words)}", near=near, allowed=words)

    def _flag(self, raw: Any) -> bool:
        if not isinstance(raw, bool):
            raise _bad(f"true or false is wanted, not {kind_of(raw)}")
        return raw

    def _factor(self, raw: Any) -> Decimal:
        number = read_number(raw)
        if number <= 0:
            raise FaultError(Fault("not-positive", "a coverage factor is above zero"))
        return number

    def _freedom(self, raw: Any) -> Decimal:
        number = read_number(raw)
        if not 1 <= number <= 1_000_000:
            raise _bad("degrees of freedom lie from 1 to 1,000,000; leave them out where they are many")
        return number

    def _instrument(self, raw: Any) -> str:
        name = read_text(raw, 120).strip()
        tool = name.partition("/")[0]
        if tool not in self.table.instruments:
            raise FaultError(self.near.unknown("unknown-instrument", "instrument", tool, self.table.instruments))
        return name

    def _place(self, raw: Any) -> Place:
        if not isinstance(raw, dict):
            raise _bad(f"a place is an object of {', '.join(PLACE_FIELDS)}, not {kind_of(raw)}")
        parts: dict[str, str] = {}
        for key, value in raw.items():
            if key not in PLACE_FIELDS:
                raise FaultError(self.near.unknown("unknown-field", "field of a place", key, PLACE_FIELDS, token(key)))
            try:
                parts[key] = read_text(value, 80)
            except FaultError as error:
                raise FaultError(error.fault.under("/" + key)) from None
        return Place(**parts)

    def _limit(self, raw: Any) -> InlineLimit:
        if not isinstance(raw, dict):
            raise _bad(f'a limit is an object such as {{"fit": {{"low": ..., "high": ...}}}}, not {kind_of(raw)}')
        ends: dict[str, Quantity | Open] = {}
        for part, pair in raw.items():
            if part not in ("fit", "wear"):
                raise FaultError(self.near.unknown("unknown-field", "field of a limit", part, ("fit", "wear"), token(part)))
            if not isinstance(pair, dict):
                raise _bad(f"{part} is an object with low and high, not {kind_of(pair)}", f"/{part}")
            for side, bound in pair.items():
                if side not in ("low", "high"):
                    raise FaultError(self.near.unknown("unknown-field", "end", side, ("low", "high"), f"/{part}{token(side)}"))
                ends[f"{part}/{side}"] = self._bound(bound, f"/{part}/{side}")
        return _interval_pair(ends)

    def _bound(self, raw: Any, pointer: str) -> Quantity | Open:
        if isinstance(raw, str):
            if raw not in OPEN:
                raise _bad(f"a bound is a quantity, {' or '.join(OPEN)}, not {shown(raw)}", pointer, allowed=OPEN)
            return Open(raw)
        try:
            return read_quantity(raw, self.near)
        except FaultError as error:
            raise FaultError(error.fault.under(pointer)) from None


def _interval_pair(ends: dict[str, Quantity | Open]) -> InlineLimit:
    units = {end: bound.unit for end, bound in ends.items() if isinstance(bound, Quantity)}
    if not units:
        raise _bad("a limit needs at least one end with a number")
    unit = next(iter(units.values()))
    for end, other in units.items():
        if other.dimension != unit.dimension:
            raise FaultError(Fault("wrong-dimension", f"{unit.token} and {other.token} are not of one kind", f"/{end}/unit"))
    values: dict[str, Value] = {end: b.to(unit) if isinstance(b, Quantity) else b for end, b in ends.items()}
    pairs = []
    for part in ("fit", "wear"):
        low, high = values.get(f"{part}/low", NONE_ON_FILE), values.get(f"{part}/high", NONE_ON_FILE)
        if not isinstance(low, Open) and not isinstance(high, Open) and low > high:
            raise FaultError(Fault("upside-down", f"the low end of {part} is above the high end", f"/{part}/low"))
        pairs.append(Interval(low, high, unit))
    return InlineLimit(*pairs)
