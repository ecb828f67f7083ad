"""One survey of a sheet: from a JSON object to what the bench takes, or to its faults."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, cast

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.survey_records import SurveyKind
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS, Unit

from ..bench.readings import State
from ..bench.surveys.survey import Spot, Survey
from .faults import Fault, FaultError, Near, kind_of, token
from .parse_fields import FieldReader, bad, read_text, tool_temperature, uncertainty
from .quantities import read_number, read_quantity, read_unit, wrong_dimension
from .schemas.requests import STATES, SURVEY_FIELDS, SURVEY_PLACE_FIELDS

MOST_PLACES, MOST_REPEATS = 100, 50
Raw = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class ReadSurvey:
    """A survey the bench can take, and the JSON pointer, within it, of the value of each place."""

    survey: Survey
    value_at: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RefusedSurvey:
    """A survey that cannot be taken; pointers of its faults are relative to it."""

    id: str
    feature: str
    instance: str
    faults: tuple[Fault, ...]


class SurveyReader(FieldReader):
    """Reads the surveys of one sheet against the table."""

    def __init__(self, table: Table, near: Near) -> None:
        super().__init__(table, near)
        self._kind: SurveyKind | None = None
        self._measures = "length"
        quantity, text = self.measure, read_text
        self._readers: dict[str, Callable[[Any], Any]] = {
            "id": lambda raw: text(raw, 80), "feature": self._feature, "instance": lambda raw: text(raw, 80).strip(),
            "instrument": self.instrument, "unit": self._unit, "readings": self._list, "standard_uncertainty": quantity,
            "expanded_uncertainty": quantity, "coverage_factor": self.factor, "shared_uncertainty": quantity, "new": quantity,
            "new_uncertainty": quantity, "same_tool": self.flag, "state": lambda raw: self.word(raw, STATES), "temperature": self.temperature,
            "instrument_temperature": self.temperature, "material": self.material, "confirmed": self.flag, "note": lambda raw: text(raw, 2000),
        }  # fmt: skip

    def read(self, raw: Any, default_id: str) -> ReadSurvey | RefusedSurvey:
        """The survey, or all its faults."""
        if not isinstance(raw, dict):
            return RefusedSurvey(default_id, "", "", (Fault("bad-field", f"a survey is an object, not {kind_of(raw)}"),))
        self._of_kind(raw.get("feature"))
        found, faults = self.each_field(raw, self._readers, "field of a survey", SURVEY_FIELDS)
        for key in ("feature", "readings"):
            if key not in raw:
                faults.append(Fault("missing-field", f"{key} is missing", f"/{key}"))
        u = uncertainty(raw, found, faults)
        self._hangs_together(raw, faults)
        cells, at = self._cells(found["readings"], found.get("unit"), faults) if "readings" in found else ({}, ())
        if faults:
            return RefusedSurvey(found.get("id", default_id), found.get("feature", ""), found.get("instance", ""), tuple(faults))
        return ReadSurvey(self._made(found, default_id, u, cells), at)

    def _made(self, found: dict[str, Any], default_id: str, u: Quantity | None, cells: dict[Spot, tuple[Quantity, ...]]) -> Survey:
        return Survey(
            found.get("id", default_id), found["feature"], cells, instance=found.get("instance", ""), instrument=found.get("instrument", ""),
            standard_uncertainty=u, shared_uncertainty=found.get("shared_uncertainty"), new=found.get("new"),
            new_uncertainty=found.get("new_uncertainty"), state=cast(State, found.get("state", "as_found")),
            measured_by_same_tool=found.get("same_tool", False), temperature=found.get("temperature"),
            instrument_temperature=found.get("instrument_temperature"), material=found.get("material", ""),
            confirmed=found.get("confirmed", False),
        )  # fmt: skip

    def _hangs_together(self, raw: Raw, faults: list[Fault]) -> None:
        if "shared_uncertainty" in raw and "standard_uncertainty" not in raw and "expanded_uncertainty" not in raw:
            faults.append(Fault("missing-field", "shared_uncertainty goes with standard_uncertainty, that of one reading", "/standard_uncertainty"))
        if "new_uncertainty" in raw and "new" not in raw:
            faults.append(Fault("missing-field", "new_uncertainty goes with new, the size when new", "/new"))
        tool_temperature(raw, faults)
        if self._kind is not None and not self._kind.each and "confirmed" in raw:
            detail = "confirmed goes with a survey of several things; diameters of one part are not half or twice each other"
            faults.append(Fault("bad-field", detail, "/confirmed"))

    def _of_kind(self, feature: Any) -> None:
        """What is measured: lengths, unless several things are read for something else."""
        self._kind = self.table.surveys.get(feature.strip()) if isinstance(feature, str) else None
        several = self._kind is not None and self._kind.each
        self._measures = UNITS[self.table.characteristics[self._kind.diameter].unit].dimension if self._kind and several else "length"

    # -- places ------------------------------------------------------------------------------------------------

    def _list(self, raw: Any) -> list[Any]:
        if not isinstance(raw, list) or not 1 <= len(raw) <= MOST_PLACES:
            raise bad(f"readings is a list of 1 to {MOST_PLACES} places, each with station and axis, or instance, and a value")
        return raw

    def _cells(
        self, raw: list[Any], unit: Unit | None, faults: list[Fault]
    ) -> tuple[dict[Spot, tuple[Quantity, ...]], tuple[str, ...]]:
        cells: dict[Spot, tuple[Quantity, ...]] = {}
        at: list[str] = []
        for index, place in enumerate(raw):
            pointer = f"/readings/{index}"
            try:
                spot, values, key = self._place_of(place, unit)
            except FaultError as error:
                faults.append(error.fault.under(pointer))
                continue
            if spot in cells:
                told = ", ".join(part for part in spot if part) or "the place without a name"
                faults.append(Fault("bad-field", f"{told} is read twice; put repeats in values", pointer))
            cells[spot] = values
            at.append(f"{pointer}/{key}")
        return cells, tuple(at)

    def _place_of(self, raw: Any, unit: Unit | None) -> tuple[Spot, tuple[Quantity, ...], str]:
        if not isinstance(raw, dict):
            raise bad(f"a place is an object of {', '.join(SURVEY_PLACE_FIELDS)}, not {kind_of(raw)}")
        for key in raw:
            if key not in SURVEY_PLACE_FIELDS:
                raise FaultError(self.near.unknown("unknown-field", "field of a survey's place", key, SURVEY_PLACE_FIELDS, token(key)))
        spot = self._spot(raw)
        if ("value" in raw) == ("values" in raw):
            code = "several-values" if "value" in raw else "no-value"
            raise FaultError(Fault(code, "a place holds exactly one of: value; values", allowed=("value", "values")))
        if "value" in raw:
            return spot, (self._under("/value", self._size, raw["value"], unit),), "value"
        given = raw["values"]
        if not isinstance(given, list) or not 1 <= len(given) <= MOST_REPEATS:
            raise bad(f"values is a list of 1 to {MOST_REPEATS} repeats", "/values")
        return spot, tuple(self._under(f"/values/{i}", self._size, one, unit) for i, one in enumerate(given)), "values/0"

    def _spot(self, raw: Raw) -> Spot:
        """Station and axis of a part; or instance and station, where several things are read one by one."""
        told = {key: self._under(f"/{key}", read_text, raw[key], 80).strip() for key in ("instance", "station", "axis") if key in raw}
        if self._kind is None:  # what may be told of a place, nobody knows
            return " ".join((told.get("instance", ""), told.get("station", ""))), told.get("axis", "")
        one_by_one = self._kind.each == "instance"
        wanted, other = (("instance", "station"), "axis") if one_by_one else (("station", "axis"), "instance")
        if other in told:
            raise bad(f"a place of a survey of {self._kind.name} has {' and '.join(wanted)}, no {other}", f"/{other}")
        if one_by_one and "instance" not in told:
            raise FaultError(Fault("missing-field", "instance is missing: which one was read, such as ring 2", "/instance"))
        return told.get(wanted[0], ""), told.get(wanted[1], "")

    def _size(self, raw: Any, unit: Unit | None) -> Quantity:
        if unit is not None and not isinstance(raw, (dict, Quantity)):
            return Quantity.of(read_number(raw), unit)
        return read_quantity(raw, self.near, self._measures)

    # -- single fields -----------------------------------------------------------------------------------------

    def measure(self, raw: Any) -> Quantity:
        """A quantity of the kind that is surveyed."""
        return read_quantity(raw, self.near, self._measures)

    def _feature(self, raw: Any) -> str:
        name = read_text(raw, 80).strip()
        if name not in self.table.surveys:
            raise FaultError(self.near.unknown("unknown-survey", "feature to be surveyed", name, self.table.surveys))
        return name

    def _unit(self, raw: Any) -> Unit:
        unit = read_unit(raw, self.near)
        if unit.dimension != self._measures:
            raise FaultError(wrong_dimension(unit, self._measures))
        return unit
