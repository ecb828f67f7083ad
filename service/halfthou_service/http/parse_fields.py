"""Single fields of a reading or a survey, each read strictly; their faults carry pointers relative to the field."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any, cast

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import NONE_ON_FILE, Open, Value
from halfthou_specdb.table import Table

from ..bench.readings import InlineLimit, OwnLine, Place, Pooled
from .faults import Fault, FaultError, Near, kind_of, shown, token
from .quantities import KEYS, read_number, read_quantity
from .schemas.requests import BUDGET_FIELDS, OPEN, PLACE_FIELDS, POOLED_FIELDS

MOST_REPEATS = 200
MOST_LINES = 20
MOST_UNKNOWN = 20
MOST_UNCERTAINTY = 10**12
Raw = Mapping[str, Any]


def bad(detail: str, pointer: str = "", near: tuple[str, ...] = (), allowed: tuple[str, ...] = ()) -> FaultError:
    """A field that holds the wrong kind of value."""
    return FaultError(Fault("bad-field", detail, pointer, near=near, allowed=allowed))


def read_text(raw: Any, most: int) -> str:
    """Text with something in it.

    Raises:
        FaultError: not text, blank, or longer than ``most`` characters.
    """
    if not isinstance(raw, str):
        raise bad(f"text is wanted, not {kind_of(raw)}")
    if len(raw) > most or not raw.strip():
        raise bad(f"text of 1 to {most} characters is wanted")
    return raw


def alike(quantities: list[Quantity | None], pointer: str, faults: list[Fault]) -> bool:
    """Whether all quantities are of one kind; if not, a fault is kept."""
    kinds = [q.unit for q in quantities if q is not None]
    for unit in kinds[1:]:
        if unit.dimension != kinds[0].dimension:
            faults.append(Fault("wrong-dimension", f"{kinds[0].token} and {unit.token} are not of one kind", pointer))
            return False
    return True


def uncertainty(raw: Raw, found: dict[str, Any], faults: list[Fault]) -> Quantity | None:
    """The caller's standard uncertainty: as such, or from an expanded one and its coverage factor."""
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
    if exact > MOST_UNCERTAINTY:
        detail = f"expanded_uncertainty over coverage_factor is more than {MOST_UNCERTAINTY:,}; a coverage factor is usually 2"
        faults.append(Fault("out-of-range", detail, "/coverage_factor"))
        return None
    return Quantity(decimal_of(exact), expanded.unit, exact)


def tool_temperature(raw: Raw, faults: list[Fault]) -> None:
    """A tool's temperature or a material says nothing without the part's temperature."""
    for key in ("instrument_temperature", "material"):
        if key in raw and "temperature" not in raw:
            faults.append(Fault("missing-field", f"{key} goes with temperature, that of the part", "/temperature"))
            return


class FieldReader:
    """Reads fields against the table."""

    def __init__(self, table: Table, near: Near) -> None:
        self.table, self.near = table, near

    def each_field(
        self, raw: Raw, readers: Mapping[str, Callable[[Any], Any]], what: str, known: Iterable[str]
    ) -> tuple[dict[str, Any], list[Fault]]:
        """Every field read by its own reader; the faults of all, with the unknown ones told up to a number."""
        found: dict[str, Any] = {}
        faults: list[Fault] = []
        unknown = 0
        for key, value in raw.items():
            reader = readers.get(key)
            if reader is None:
                unknown += 1
                if unknown <= MOST_UNKNOWN:
                    faults.append(self.near.unknown("unknown-field", what, key, known, token(key)))
                continue
            try:
                found[key] = reader(value)
            except FaultError as error:
                faults.append(error.fault.under("/" + key))
        return found, faults

    def quantity(self, raw: Any) -> Quantity:
        """A quantity of any kind."""
        return read_quantity(raw, self.near)

    def values(self, raw: Any) -> tuple[Quantity, ...]:
        """Repeats, of one kind."""
        if not isinstance(raw, list) or not 1 <= len(raw) <= MOST_REPEATS:
            raise bad(f"values is a list of 1 to {MOST_REPEATS} quantities")
        found: list[Quantity] = []
        for index, item in enumerate(raw):
            try:
                found.append(read_quantity(item, self.near, found[0].unit.dimension if found else ""))
            except FaultError as error:
                raise FaultError(error.fault.under(f"/{index}")) from None
        return tuple(found)

    def word(self, raw: Any, words: tuple[str, ...]) -> str:
        """One of a few words."""
        if isinstance(raw, str) and raw in words:
            return raw
        near = self.near.of(raw, words) if isinstance(raw, str) else ()
        said = shown(raw) if isinstance(raw, str) else kind_of(raw)
        raise bad(f"{said} is given; it may be {', '.join(words)}", near=near, allowed=words)

    def flag(self, raw: Any) -> bool:
        """True or false."""
        if not isinstance(raw, bool):
            raise bad(f"true or false is wanted, not {kind_of(raw)}")
        return raw

    def factor(self, raw: Any) -> Decimal:
        """A coverage factor, or any other number above zero."""
        number = read_number(raw)
        if number <= 0:
            raise FaultError(Fault("not-positive", "a coverage factor is above zero"))
        return number

    def freedom(self, raw: Any) -> Decimal:
        """Degrees of freedom."""
        number = read_number(raw)
        if not 1 <= number <= 1_000_000:
            raise bad("degrees of freedom lie from 1 to 1,000,000; leave them out where they are many")
        return number

    def instrument(self, raw: Any) -> str:
        """An instrument the table knows, with or without a variant."""
        name = read_text(raw, 120).strip()
        tool = name.partition("/")[0]
        if tool not in self.table.instruments:
            raise FaultError(self.near.unknown("unknown-instrument", "instrument", tool, self.table.instruments))
        return name

    def place(self, raw: Any) -> Place:
        """Where it was read."""
        if not isinstance(raw, dict):
            raise bad(f"a place is an object of {', '.join(PLACE_FIELDS)}, not {kind_of(raw)}")
        parts: dict[str, str] = {}
        for key, value in raw.items():
            if key not in PLACE_FIELDS:
                raise FaultError(self.near.unknown("unknown-field", "field of a place", key, PLACE_FIELDS, token(key)))
            try:
                parts[key] = read_text(value, 80)
            except FaultError as error:
                raise FaultError(error.fault.under("/" + key)) from None
        return Place(**parts)

    def limit(self, raw: Any) -> InlineLimit:
        """The caller's own limit."""
        if not isinstance(raw, dict):
            raise bad(f'a limit is an object such as {{"fit": {{"low": ..., "high": ...}}}}, not {kind_of(raw)}')
        ends: dict[str, Quantity | Open] = {}
        for part, pair in raw.items():
            if part not in ("fit", "wear"):
                raise FaultError(self.near.unknown("unknown-field", "field of a limit", part, ("fit", "wear"), token(part)))
            if not isinstance(pair, dict):
                raise bad(f"{part} is an object with low and high, not {kind_of(pair)}", f"/{part}")
            for side, bound in pair.items():
                if side not in ("low", "high"):
                    raise FaultError(self.near.unknown("unknown-field", "end", side, ("low", "high"), f"/{part}{token(side)}"))
                ends[f"{part}/{side}"] = self.bound(bound, f"/{part}/{side}")
        return _interval_pair(ends)

    def bound(self, raw: Any, pointer: str) -> Quantity | Open:
        """A quantity, or the word for an open side."""
        if isinstance(raw, str):
            if raw not in OPEN:
                raise bad(f"a bound is a quantity, {' or '.join(OPEN)}, not {shown(raw)}", pointer, allowed=OPEN)
            return Open(raw)
        try:
            return read_quantity(raw, self.near)
        except FaultError as error:
            raise FaultError(error.fault.under(pointer)) from None

    def temperature(self, raw: Any) -> Quantity:
        """A temperature."""
        return read_quantity(raw, self.near, "temperature")

    def material(self, raw: Any) -> str:
        """A material the table knows."""
        name = read_text(raw, 80).strip()
        if name not in self.table.materials:
            raise FaultError(self.near.unknown("unknown-material", "material", name, self.table.materials))
        return name

    def budget(self, raw: Any) -> tuple[OwnLine, ...]:
        """The caller's own lines of the uncertainty."""
        if not isinstance(raw, list) or not 1 <= len(raw) <= MOST_LINES:
            raise bad(f"budget is a list of 1 to {MOST_LINES} lines, each with name and standard_uncertainty")
        lines: dict[str, OwnLine] = {}
        for index, item in enumerate(raw):
            line = self._under(f"/{index}", self._line, item)
            if line.name in lines:
                raise bad(f"the line {shown(line.name)} stands twice", f"/{index}/name")
            lines[line.name] = line
        return tuple(lines.values())

    def _line(self, raw: Any) -> OwnLine:
        self._object(raw, BUDGET_FIELDS, "line of a budget")
        for key in ("name", "standard_uncertainty"):
            if key not in raw:
                raise FaultError(Fault("missing-field", f"{key} is missing", f"/{key}"))
        u = self._under("/standard_uncertainty", self.quantity, raw["standard_uncertainty"])
        if u.exact < 0:
            raise FaultError(Fault("zero-uncertainty", "an uncertainty cannot be negative", "/standard_uncertainty"))
        return OwnLine(self._under("/name", read_text, raw["name"], 120).strip(), u, self._under("/random", self.flag, raw.get("random", False)))

    def pooled(self, raw: Any) -> Pooled:
        """Scatter known from earlier surveys: a quantity and its degrees of freedom."""
        self._object(raw, POOLED_FIELDS, "field of pooled_scatter")
        if "degrees_of_freedom" not in raw:
            raise FaultError(Fault("missing-field", "degrees_of_freedom is missing: how many readings, less the places they were taken in",
                                   "/degrees_of_freedom"))  # fmt: skip
        scatter = read_quantity({key: raw[key] for key in raw if key in KEYS}, self.near)
        if scatter.exact <= 0:
            raise FaultError(Fault("not-positive", "a scatter is above zero", "/value"))
        return Pooled(scatter, float(self._under("/degrees_of_freedom", self.freedom, raw["degrees_of_freedom"])))

    def _object(self, raw: Any, known: tuple[str, ...], kind: str) -> None:
        if not isinstance(raw, dict):
            raise bad(f"an object of {', '.join(known)} is wanted, not {kind_of(raw)}")
        for key in raw:
            if key not in known:
                raise FaultError(self.near.unknown("unknown-field", kind, key, known, token(key)))

    def _under(self, pointer: str, read: Any, *args: Any) -> Any:
        try:
            return read(*args)
        except FaultError as error:
            raise FaultError(error.fault.under(pointer)) from None


def _interval_pair(ends: dict[str, Quantity | Open]) -> InlineLimit:
    units = {end: bound.unit for end, bound in ends.items() if isinstance(bound, Quantity)}
    if not units:
        raise bad("a limit needs at least one end with a number")
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
