"""The as-found sheet as CSV, and back: columns as the service reads a sheet, one line for each box.

On return the leaves of each side are added up to a pack, findings and readings go on as readings, marks and positions are kept beside, and
empty boxes are named. What is read back can be sent on to be judged as it stands. A box that says ``not fitted`` is no reading: it is told
beside, and counts as not looked at, as one left blank or crossed out by a dash does.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from halfthou_specdb.errors import SpecdbError
from halfthou_specdb.quantity import Quantity, decimal_of, parse_quantity, plain
from halfthou_specdb.units import UNITS

from ..remedies import Shims
from .as_found_sheet import BEFORE_AFTER, PACKS, AsFoundSheet
from .csv_rows import CsvProblem, rows_under

COLUMNS = ("id", "characteristic", "value", "unit", "instance", "station", "axis", "state", "finding", "relative", "along", "instrument", "note")
UNIT_TOKENS = {"Ω": "ohm", "MΩ": "Mohm", "°": "deg", "°F": "degF", "°C": "degC", "%": "percent", "µF": "uF", "µin": "uin"}
LEAF, MARK, HOW = "leaf ", "mark", "how-to-fill"
ASKED = " or ".join(BEFORE_AFTER)
"""Stands in ``relative`` until one of the two is written there."""
NOT_FITTED, DASHES = "not fitted", ("-", "\u2013", "\u2014", "\u2212")
HOW_TO = (
    "A figure or a mark goes under value, a word under finding, before or after a dead centre under relative. Another tool than the one under "
    f"instrument: write over it. Not on this engine: write {NOT_FITTED}. Not looked at: leave it blank. This line may stay."
)
WORDS_NOTE, SIDE_NOTE = "under finding, one of:", f"under relative, {ASKED} the dead centre."

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
    not_fitted: tuple[str, ...] = ()

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
    length = "thou" if sheet.system == "inch" else "mm"
    rim = "in" if sheet.system == "inch" else "mm"
    yield _row(HOW, HOW, note=HOW_TO)
    for s in sheet.sections:
        for m in s.marks:
            yield _row(f"{MARK}-{m.id}", MARK, note=f"{m.says}: write it under value ({m.box})")
        for p in s.packs:
            for n in range(1, p.leaves + 1):
                yield _row(f"f{next(counter)}", p.characteristic, unit=length, instance=p.instance, station=f"{LEAF}{n}",
                           instrument=p.instrument, note="shim leaf, counted from the frame or rod")  # fmt: skip
        for f in s.findings:
            for place in f.where or ("",):
                yield _row(f"f{next(counter)}", f.characteristic, instance=place, note=f"{WORDS_NOTE} {'; '.join(f.words)}")
        for r in s.readings:
            told = {"unit": rim, "relative": ASKED, "along": "rim-arc", "note": f"{r.how} {r.unit[0].upper()}{r.unit[1:]}; {SIDE_NOTE}".strip()}
            for place in r.where or ("",):
                yield _row(f"f{next(counter)}", r.characteristic, instance=place, instrument=r.instrument,
                           **(told if r.on_rim else {"unit": UNIT_TOKENS.get(r.unit, r.unit), "note": r.how}))  # fmt: skip


def _row(row_id: str, characteristic: str, **cells: str) -> list[str]:
    found = {"id": row_id, "characteristic": characteristic, "state": "" if characteristic in (MARK, HOW) else "as_found"} | cells
    return [found.get(name, "") for name in COLUMNS]


def read(text: str, sided: Collection[str] = ()) -> Filled:
    """A filled sheet.

    Args:
        sided: characteristics that are told before or after a dead centre, whatever became of the columns that ask it.

    Raises:
        CsvProblem: not these columns, a value that is not a quantity, an angle without its side of the dead centre.
    """
    readings: list[tuple[str, ...]] = []
    marks: dict[str, str] = {}
    leaves: dict[tuple[str, str], list[tuple[Quantity, str]]] = {}
    empty: list[str] = []
    not_fitted: list[str] = []
    numbered: set[tuple[str, str, str]] = set()
    for number, row in rows_under(text, COLUMNS, "characteristic"):
        value, finding = (_written(row.get(name, "")) for name in ("value", "finding"))
        what, place = row.get("characteristic", ""), row.get("instance", "")
        if what == HOW:
            continue
        if what == MARK:
            marks[row.get("id", "").removeprefix(f"{MARK}-")] = value or finding
            empty += [] if value or finding else [row.get("id", "")]
        elif NOT_FITTED in (value.lower(), finding.lower()):
            not_fitted.append(f"{what} {place}".strip())
        elif row.get("station", "").startswith(LEAF):
            if value:
                leaf = _leaf(_quantity(value, row, number), what, place, number)
                if (what, place, row["station"].lower()) in numbered:
                    raise CsvProblem(number, "station", f"{row['station'][:20]} of {place[:40]} stands twice; each leaf has its own number")
                numbered.add((what, place, row["station"].lower()))
                leaves.setdefault((what, place), []).append((leaf, row.get("instrument", "")))
        elif value or finding:
            readings.append(_reading(row, _side(row, _quantity(value, row, number), sided, number) if value else ""))
        else:
            empty.append(f"{what} {place}".strip())
    packs = {key: _sum([leaf for leaf, _ in found]) for key, found in leaves.items()}
    readings += [_pack_row(key, pack, leaves[key]) for key, pack in packs.items()]
    return Filled(tuple(readings), marks, packs, tuple(dict.fromkeys(empty)),
                  {key: tuple(leaf for leaf, _ in found) for key, found in leaves.items()}, tuple(dict.fromkeys(not_fitted)))  # fmt: skip


def _written(cell: str) -> str:
    """What stands in a box; a dash crosses it out."""
    cell = " ".join(cell.split())
    return "" if cell in DASHES else cell


def _side(row: Mapping[str, str], value: Quantity, sided: Collection[str], number: int) -> str:
    """Before or after the dead centre, as written; at the dead centre itself it may be left out.

    Raises:
        CsvProblem: it was asked for and not said. Nobody may guess it: a start spark before the dead centre throws the crank back.
    """
    said = row.get("relative", "")
    found = next((word for word in BEFORE_AFTER if said.lower() in (word, word[0])), "")
    asked = row.get("characteristic", "") in sided or said == ASKED or row.get("along", "")
    if found or not (asked or said):
        return found
    if said in ("", ASKED) and not value.exact:
        return ""
    raise CsvProblem(number, "relative", f"say {ASKED} the dead centre{'' if said in ('', ASKED) else f', not {said[:20]!r}'}")


def _reading(row: Mapping[str, str], side: str) -> tuple[str, ...]:
    kept = {**row, "relative": side, "value": _written(row.get("value", "")), "finding": _written(row.get("finding", ""))}
    note = kept.get("note", "")
    if note.startswith(WORDS_NOTE) or note.endswith(SIDE_NOTE):
        kept["note"] = ""
    return tuple(kept.get(name, "") for name in COLUMNS)


def _quantity(value: str, row: Mapping[str, str], number: int) -> Quantity:
    try:
        return parse_quantity(value, row.get("unit", "") or None)
    except SpecdbError as error:
        words = row.get("note", "").startswith(WORDS_NOTE)
        raise CsvProblem(number, "value", "this is told in words: write one of them under finding" if words else str(error)) from None


def _leaf(leaf: Quantity, pack: str, place: str, number: int) -> Quantity:
    """A leaf that can be one: of a pack on the form, on a side of a cap, of a thickness that shims have.

    Raises:
        CsvProblem: it cannot.
    """
    if pack not in PACKS:
        raise CsvProblem(number, "characteristic", f"leaves are of {' or '.join(PACKS)}, not of {pack[:40]!r}")
    if not any(place.endswith(side) for side in SIDES):
        raise CsvProblem(number, "instance", f"say which side: a place that ends in {', '.join(SIDES)}")
    if leaf.unit.dimension != "length":
        raise CsvProblem(number, "value", f"a leaf has a thickness (thou, in, mm), not {leaf.unit.token}")
    if not 0 < leaf.to(UNITS["in"]) < 1:
        raise CsvProblem(number, "value", f"{leaf} is no thickness of a shim leaf; it lies between nothing and an inch")
    return leaf


def _sum(leaves: list[Quantity]) -> Quantity:
    unit = leaves[0].unit
    whole = sum((q.to(unit) for q in leaves), Fraction(0))
    value: Decimal = decimal_of(whole, 12)
    return Quantity(value, unit, whole)


def _pack_row(key: tuple[str, str], pack: Quantity, leaves: list[tuple[Quantity, str]]) -> tuple[str, ...]:
    note = f"{len(leaves)} leaves: {', '.join(str(leaf) for leaf, _ in leaves)}"
    tools = {tool for _, tool in leaves}
    row = _row(f"pack-{key[0]}-{key[1]}".replace(" ", "-"), key[0], value=plain(pack.value), unit=pack.unit.token, instance=key[1],
               instrument=tools.pop() if len(tools) == 1 else "", note=note)  # fmt: skip
    return tuple(row)
