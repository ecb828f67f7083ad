"""Sieve and wire cloth: opening, wire, wires per inch and open area.

A sieve number is a name, not a count of wires. In square cloth of N wires per inch and wire of diameter d the opening is w = 1/N - d and the
open area (w / (w + d))^2.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from ..errors import UnknownId
from ..quantity import Quantity
from .cells import Row, worked_out
from .choosing import INCH, MM, Answer, nearest, renamed, shown, si, si_of, tidy, with_cells
from .errors import OutsideTable
from .load import table

UM_PER_INCH = Fraction(25400)
COUNT_NOTE = "by opening and wire: 1 / (opening + wire)"
AREA_NOTE = "by opening and wire: (opening / (opening + wire))^2"
NAME_NOTE = "a sieve number is a name: the wires really counted in an inch stand under mesh"
OLDER_NOTE = "older_opening is the value of former lists that sellers still quote; the opening now in force stands under opening"
MARKET_NOTE = "market-grade cloth is sold by its count; the opening hangs on the wire, so measure the wire: opening = 1/mesh - wire"


def sieve_cloth(*, sieve: str = "", mesh: Decimal | None = None, opening: Quantity | None = None) -> Answer:
    """Cloth by sieve number, by mesh (number of the sieve or wires per inch) or by opening; the neighbours where none is exact.

    Raises:
        UnknownId: no sieve has this number.
        OutsideTable: the mesh or opening lies outside the list.
        DimensionError: the opening is not a length.
    """
    rows = (*_sieves(), *_market())
    notes = [NAME_NOTE]
    if sieve:
        rows = _by_number(rows, sieve)
    if mesh is not None:
        rows = _by_mesh(rows, Fraction(mesh))
    if opening is not None:
        rows = _by_opening(rows, si_of(opening), str(opening))
    if any("older_opening" in row.cells for row in rows):
        notes.append(OLDER_NOTE)
    if mesh is not None or any(row.words["kind"] == "market grade" for row in rows):
        notes.append(MARKET_NOTE)
    return Answer(tuple(rows), tuple(notes))


def _sieves() -> tuple[Row, ...]:
    older = {row.words["sieve"]: row.cells["older_opening_um"] for row in table("sieve-older")}
    found = []
    for row in table("sieve-cloth"):
        opening, wire = row.cells["opening_um"], row.cells["wire_mm"]
        pitch = opening.exact + wire.exact * 1000
        before = older.get(row.words["sieve"])
        base = renamed(row, opening="opening_um", wire="wire_mm")
        full = with_cells(
            base, mesh=worked_out(tidy(UM_PER_INCH / pitch), "mesh", (opening, wire), COUNT_NOTE),
            open_area=worked_out(tidy(100 * (opening.exact / pitch) ** 2), "percent", (opening, wire), AREA_NOTE),
            older_opening=before if before is not None and before.value != opening.value else None,
        )  # fmt: skip
        found.append(Row({"kind": "test sieve", "cloth": row.words["sieve"]}, full.cells, row.line, row.stated))
    return tuple(found)


def _market() -> tuple[Row, ...]:
    found = []
    for row in table("market-cloth"):
        count, wire = row.cells["mesh_per_in"], row.cells["wire_in"]
        opening = worked_out(tidy((1 / count.exact - wire.exact) * UM_PER_INCH), "um", (count, wire), "by count and wire: 1/mesh - wire")
        cells = {"opening": opening, "wire": wire, "mesh": count, "open_area": row.cells["open_area_percent"]}
        found.append(Row({"kind": "market grade", "cloth": f"{count.value} mesh"}, cells, row.line, row.stated))
    return tuple(found)


def _by_number(rows: tuple[Row, ...], text: str) -> tuple[Row, ...]:
    wanted = re.sub(r"^no\.?\s*", "", text.strip().casefold()).replace("-", " ")
    kept = tuple(row for row in rows if row.words["cloth"].casefold().removeprefix("no. ") == wanted)
    if not kept:
        raise UnknownId("sieve", text.strip(), (row.words["cloth"] for row in rows if row.words["kind"] == "test sieve"))
    return kept


def _count(row: Row) -> Fraction:
    return row.cells["mesh"].exact


def _number(row: Row) -> Fraction | None:
    match = re.fullmatch(r"No\. ([0-9]+)(?: ([0-9])/([0-9]))?", row.words["cloth"])
    return Fraction(match[1]) + (Fraction(int(match[2]), int(match[3])) if match[2] else 0) if match else None


def _by_mesh(rows: tuple[Row, ...], wanted: Fraction) -> tuple[Row, ...]:
    named = tuple(row for row in rows if wanted in (_number(row), _count(row)))
    if named:
        return named
    low, high = min(map(_count, rows)), max(map(_count, rows))
    if not low <= wanted <= high:
        raise OutsideTable(f"cloth of {shown(low)} to {shown(high)} wires per inch is on file; {shown(wanted)} lies outside", "mesh")
    return nearest(rows, _count, wanted)


def _by_opening(rows: tuple[Row, ...], wanted: Fraction, said: str) -> tuple[Row, ...]:
    def size(row: Row) -> Fraction:
        return si(row.cells["opening"])

    low, high = min(map(size, rows)), max(map(size, rows))
    if not low <= wanted <= high:
        span = f"{shown(low / MM.factor * 1000)} to {shown(high / MM.factor * 1000)} um ({shown(high / INCH.factor, 4)} in)"
        raise OutsideTable(f"openings of {span} are on file; {said} lies outside", "opening")
    return nearest(rows, size, wanted)

