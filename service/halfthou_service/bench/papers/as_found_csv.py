"""The as-found sheet as CSV, and back: columns as the service reads a sheet, one line for each box.

On return the leaves of each side are added up to a pack, findings and readings go on as readings, marks and positions are kept beside, and
empty boxes are named. What is read back can be sent on to be judged as it stands.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from halfthou_specdb.errors import SpecdbError
from halfthou_specdb.quantity import Quantity, decimal_of, parse_quantity, plain

from ..remedies import Shims
from .as_found_sheet import AsFoundSheet
from .csv_rows import CsvProblem, rows_under

COLUMNS = ("id", "characteristic", "value", "unit", "instance", "station", "axis", "state", "finding", "relative", "along", "instrument", "note")
UNIT_TOKENS = {"Ω": "ohm", "MΩ": "Mohm", "°": "deg", "°F": "degF", "°C": "degC", "%": "percent", "µF": "uF", "µin": "uin"}
LEAF, MARK = "leaf ", "mark"
ON_RIM = "inches on the rim"


SIDES = {"left side": "left", "right side": "right", "front": "left", "rear": "right"}
"""Last word of a pack's place -> the side of the cap it stands for."""


@dataclass(frozen=True, slots=True)
class Filled:
    """A sheet that came back. ``readings``: rows under :data:`COLUMNS`, as the service takes them. ``marks``: id -> what was written."""

    readings: tuple[tuple[str, ...], ...]
    marks: Mapping[str, str]
    packs: Mapping[tuple[str, str], Quantity]
    empty: tuple[str, ...]
    leaves: Mapping[tuple[str, str], tuple[Quantity, ...]] = field(default_factory=dict)

    def shims(self) -> tuple[Shims, ...]:
        """The leaves by bearing, as remedies take them."""
        by_bearing: dict[tuple[str, str], dict[str, tuple[Quantity, ...]]] = {}
        for (characteristic, place), leaves in self.leaves.items():
            ending = next((end for end in SIDES if place.endswith(end)), "")
            if ending:
                bearing = characteristic.partition("-")[0], place.removesuffix(ending).strip()
                by_bearing.setdefault(bearing, {})[SIDES[ending]] = leaves
        return tuple(Shims(instance, sides.get("left"), sides.get("right"), bearing=bearing) for (bearing, instance), sides in by_bearing.items())


def rows(sheet: AsFoundSheet) -> list[list[str]]:
    """Every box of the sheet as a row, heading first; values are empty."""
    return [list(COLUMNS), *_rows(sheet)]


def _rows(sheet: AsFoundSheet) -> Iterator[list[str]]:
    counter = iter(range(1, 100_000))
    for s in sheet.sections:
        for m in s.marks:
            yield _row(f"{MARK}-{m.id}", MARK, note=f"{m.says} ({m.box})")
        thou = "thou" if sheet.system == "inch" else "mm"
        for p in s.packs:
            for n in range(1, p.leaves + 1):
                yield _row(f"f{next(counter)}", p.characteristic, unit=thou, instance=p.instance, station=f"{LEAF}{n}",
                           note="shim leaf, counted from the frame or rod")  # fmt: skip
        for f in s.findings:
            for place in f.where or ("",):
                yield _row(f"f{next(counter)}", f.characteristic, instance=place, note=f"one of: {'; '.join(f.words)}")
        for r in s.readings:
            rim = r.unit == ON_RIM
            for place in r.where or ("",):
                yield _row(f"f{next(counter)}", r.characteristic, unit="in" if rim else UNIT_TOKENS.get(r.unit, r.unit), instance=place,
                           relative="before or after" if rim else "", along="rim-arc" if rim else "", note=r.how)  # fmt: skip


def _row(row_id: str, characteristic: str, **cells: str) -> list[str]:
    found = {"id": row_id, "characteristic": characteristic, "state": "" if characteristic == MARK else "as_found"} | cells
    return [found.get(name, "") for name in COLUMNS]


def read(text: str) -> Filled:
    """A filled sheet.

    Raises:
        CsvProblem: not these columns, or a value that is not a quantity.
    """
    readings: list[tuple[str, ...]] = []
    marks: dict[str, str] = {}
    leaves: dict[tuple[str, str], list[Quantity]] = {}
    empty: list[str] = []
    for number, row in rows_under(text, COLUMNS, "characteristic"):
        value, finding = row.get("value", ""), row.get("finding", "")
        if row.get("characteristic") == MARK:
            marks[row.get("id", "").removeprefix(f"{MARK}-")] = value or finding
            empty += [] if value or finding else [row.get("id", "")]
        elif row.get("station", "").startswith(LEAF):
            if value:
                leaves.setdefault((row["characteristic"], row.get("instance", "")), []).append(_quantity(value, row.get("unit", ""), number))
        elif value or finding:
            if value:
                _quantity(value, row.get("unit", ""), number)
            readings.append(_reading(row))
        else:
            empty.append(f"{row.get('characteristic', '')} {row.get('instance', '')}".strip())
    packs = {key: _sum(found) for key, found in leaves.items()}
    readings += [_pack_row(key, pack, leaves[key]) for key, pack in packs.items()]
    return Filled(tuple(readings), marks, packs, tuple(dict.fromkeys(empty)), {key: tuple(found) for key, found in leaves.items()})


def _reading(row: Mapping[str, str]) -> tuple[str, ...]:
    kept = dict(row)
    if kept.get("relative") == "before or after":
        kept["relative"] = ""
    if kept.get("note", "").startswith("one of:"):
        kept["note"] = ""
    return tuple(kept.get(name, "") for name in COLUMNS)


def _quantity(value: str, unit: str, number: int) -> Quantity:
    try:
        return parse_quantity(value, unit or None)
    except SpecdbError as error:
        raise CsvProblem(number, "value", str(error)) from None


def _sum(leaves: list[Quantity]) -> Quantity:
    unit = leaves[0].unit
    whole = sum((q.to(unit) for q in leaves), Fraction(0))
    value: Decimal = decimal_of(whole, 12)
    return Quantity(value, unit, whole)


def _pack_row(key: tuple[str, str], pack: Quantity, leaves: list[Quantity]) -> tuple[str, ...]:
    note = f"{len(leaves)} leaves: {', '.join(str(q) for q in leaves)}"
    row = _row(f"pack-{key[0]}-{key[1]}".replace(" ", "-"), key[0], value=plain(pack.value), unit=pack.unit.token, instance=key[1], note=note)
    return tuple(row)
