"""Limits of size and fits after ISO 286, sizes over 0 up to and including 3150 mm.

A size step runs over its first figure, up to and including its second. Holes A to H begin above the nominal size, J to ZC
end near or below it. For holes K, M, N up to IT8 and P to ZC up to IT7, over 3 and up to 500 mm, the delta of the grade is added to the
deviation; M6 over 250 to 315 mm has its own figure (a footnote). Above 500 mm a hole is its shaft with the sign turned, without delta.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache

from ..quantity import Quantity, decimal_of, plain
from ..units import UNITS
from .cells import Cell, Row, Used, worked_out
from .designation import Zone, parse_iso
from .errors import OutsideTable
from .fits import Fit, Part
from .layout import GRADES, HOLE_COLUMNS, SHAFT_COLUMNS
from .load import table

MM, UM = UNITS["mm"], UNITS["um"]
LARGEST = Fraction(3150)
FINE_END = Fraction(500)
"""Up to here the tables of small sizes hold."""
ONE = Fraction(1)
NO_DELTA_TO = Fraction(3)
ABOVE_500_GRADES = range(6, 17)
BEGIN_AT_DEVIATION = frozenset("a b c cd d e ef f fg g h".split())
"""Letters whose deviation is the limit nearest the nominal size on the play side; of the others it is on the tight side."""
_ORDER = {grade: n for n, grade in enumerate(GRADES, -1)}
"""01 is -1, 0 is 0, 1 is 1, and so on."""
_JS_NOTE = "js and JS are half the tolerance to each side; some tables round an odd figure of IT7 to IT11 down before halving"


@dataclass(frozen=True, slots=True)
class _Steps:
    """One table: its rows and where each step ends [mm]."""

    rows: tuple[Row, ...]
    ends: tuple[Fraction, ...]

    def row(self, size: Fraction) -> Row | None:
        index = bisect_left(self.ends, size)
        return self.rows[index] if index < len(self.rows) else None


@cache
def _steps(name: str) -> _Steps:
    rows = table(name)
    return _Steps(rows, tuple(row.cells["upto_mm"].exact for row in rows))


@cache
def _columns(name: str) -> Mapping[str, tuple[tuple[str, range], ...]]:
    """The columns of each letter with the grades they are for; a rest column comes after the one it is the rest of."""
    spans = {"": range(-1, 19), "to8": range(-1, 9), "9up": range(9, 19), "rest": range(-1, 19)}
    found: dict[str, list[tuple[str, range]]] = {}
    for column in SHAFT_COLUMNS if name == "iso286-shafts" else HOLE_COLUMNS:
        letter, _, span = column.partition(":")
        low, _, high = span.partition("-")
        grades = spans[span] if span in spans else range(int(low), int(high or low) + 1)
        found.setdefault(letter, []).append((column, grades))
    return {letter: tuple(sorted(columns, key=lambda pair: pair[0].endswith("rest"))) for letter, columns in found.items()}


def tolerance(grade: str, size: Fraction) -> Cell:
    """The standard tolerance IT of a grade at a size [mm].

    Raises:
        OutsideTable: the size is not over 0 up to 3150 mm, or the grade is not given there.
    """
    row = _steps("iso286-tolerances").row(checked(size))
    assert row is not None
    cell = row.cells.get(f"IT{grade}")
    if cell is None:
        raise OutsideTable(f"IT{grade} is given up to 500 mm; {_mm(size)} lies above")
    if _ORDER[grade] >= 14 and size <= ONE:
        raise OutsideTable(f"IT14 to IT18 are given over 1 mm; {_mm(size)} lies below")
    return cell


def checked(size: Fraction) -> Fraction:
    """A size within the standard [mm].

    Raises:
        OutsideTable: it is not over 0 up to 3150 mm.
    """
    if not 0 < size <= LARGEST:
        raise OutsideTable(f"ISO 286 is on file for sizes over 0, up to and including 3150 mm; {_mm(size)} lies outside")
    return size


def step(size: Fraction) -> tuple[Fraction, Fraction]:
    """The size step [mm] that a checked size falls in: over the first, up to and including the second."""
    steps = _steps("iso286-shafts")
    index = bisect_left(steps.ends, size)
    return steps.ends[index - 1] if index else Fraction(0), steps.ends[index]


def part(zone: Zone, size: Fraction) -> Part:
    """The hole or shaft of a zone at a size [mm]; deviations in um.

    Raises:
        OutsideTable: the letter or grade is not given at this size; the message says where it is.
    """
    letter, grade = zone
    tolerance(grade, size)
    if size <= ONE:
        if letter in ("a", "b", "A", "B"):
            raise OutsideTable(f"{letter} is given over 1 mm; {_mm(size)} lies below")
        if letter == "N" and _ORDER[grade] > 8:
            raise OutsideTable(f"N{grade} is given over 1 mm; {_mm(size)} lies below")
    name = "iso286-shafts" if letter.islower() or size > FINE_END else "iso286-holes"
    return _part(letter, grade, bisect_left(_steps(name).ends, size), name)


@lru_cache(maxsize=16384)
def _part(letter: str, grade: str, index: int, name: str) -> Part:
    row = _steps(name).rows[index]
    size = row.cells["upto_mm"].exact
    tol = tolerance(grade, size)
    it = tol.exact
    used_tolerance = Used(f"IT{grade}", tol)
    zone, hole = f"{letter}{grade}", letter.isupper()
    if letter in ("js", "JS"):
        odd = it % 2 == 1 and 7 <= _ORDER[grade] <= 11
        return Part(zone, hole, it / 2, -it / 2, (used_tolerance,), (_JS_NOTE,) if odd else ())
    cell = _deviation(letter, grade, row, name)
    used = [Used(f"deviation of {letter}", cell), used_tolerance]
    value = cell.exact
    if letter.lower() in BEGIN_AT_DEVIATION:
        low = value if hole else value - it
        return Part(zone, hole, low + it, low, tuple(used))
    if hole and size <= FINE_END:
        exception = _exception(zone, size)
        if exception is not None:
            value, used = exception.exact, [Used(f"{zone} (footnote)", exception), used_tolerance]
        else:
            delta = _delta(letter, grade, size)
            if delta is not None:
                value += delta.exact
                used.insert(1, Used(f"delta of IT{grade}", delta))
    high = value if hole else value + it
    return Part(zone, hole, high, high - it, tuple(used))


def _deviation(letter: str, grade: str, row: Row, name: str) -> Cell:
    """The fundamental deviation of a letter; of a hole above 500 mm, its shaft with the sign turned."""
    mirrored = letter.isupper() and name == "iso286-shafts"
    columns = _columns(name)[letter.lower() if mirrored else letter]
    n, size = _ORDER[grade], row.cells["upto_mm"].exact
    if size > FINE_END and letter.lower() in "mnprstu" and n not in ABOVE_500_GRADES:
        raise OutsideTable(f"{letter} above 500 mm is given for grades 6 to 16, not {grade}", "designation")
    fitting = [column for column, grades in columns if n in grades]
    cell = next((row.cells[column] for column in fitting if column in row.cells), None)
    if cell is None:
        raise OutsideTable(_where(letter, grade, name, fitting, row), "size" if fitting else "designation")
    if not mirrored:
        return cell
    return worked_out(-cell.value if cell.value else Decimal(0), cell.unit, (cell,), "the shaft letter with the sign turned, above 500 mm")


def _where(letter: str, grade: str, name: str, fitting: list[str], row: Row) -> str:
    """Where a letter is given, for a refusal."""
    key = letter.lower() if name == "iso286-shafts" else letter
    if not fitting:
        spans = sorted({n for _, grades in _columns(name)[key] for n in grades})
        return f"{letter} is given for grades {', '.join(map(str, spans))}, not {grade}"
    given = [r for r in _steps(name).rows if any(column in r.cells for column in fitting)]
    low, high = given[0].cells["over_mm"].value, given[-1].cells["upto_mm"].value
    if letter.isupper() and high == 500 and (above := _columns("iso286-shafts").get(letter.lower())) is not None:
        reach = [r.cells["upto_mm"].value for r in _steps("iso286-shafts").rows if any(column in r.cells for column, _ in above)]
        high = max(high, *reach)
    step = f"the step over {row.cells['over_mm'].value:f}, up to {row.cells['upto_mm'].value:f} mm"
    return f"{letter}{grade} is given over {low:f}, up to {high:f} mm; {step} lies outside"


def _delta(letter: str, grade: str, size: Fraction) -> Cell | None:
    finest = 8 if letter in ("K", "M", "N") else 7 if letter != "J" else -2
    if size <= NO_DELTA_TO or _ORDER[grade] > finest:
        return None
    row = _steps("iso286-delta").row(size)
    cell = row.cells.get(f"IT{grade}") if row else None
    if cell is None:
        raise OutsideTable(f"{letter}{grade}: delta is on file for IT3 to IT8, and a hole {letter} over 3 mm needs it", "designation")
    return cell


def _exception(zone: str, size: Fraction) -> Cell | None:
    for row in table("iso286-exceptions"):
        if row.words["zone"] == zone and row.cells["over_mm"].exact < size <= row.cells["upto_mm"].exact:
            return row.cells["es_um"]
    return None


@lru_cache(maxsize=4096)
def _parsed(designation: str) -> tuple[Zone, Zone]:
    return parse_iso(designation)


def fit(designation: str, size: Quantity) -> Fit:
    """A fit such as ``H7/g6`` at a size.

    Raises:
        UnknownDesignation: not written so; carries near matches.
        OutsideTable: the size, a letter or a grade lies outside the tables.
        DimensionError: the size is not a length.
    """
    hole, shaft = _parsed(designation)
    nominal = checked(size.to(MM))
    over, upto = step(nominal)
    return Fit(f"{hole[0]}{hole[1]}/{shaft[0]}{shaft[1]}", "iso-286", size, UM, MM, over, upto, part(hole, nominal), part(shaft, nominal))


def _mm(size: Fraction) -> str:
    return f"{plain(decimal_of(size, 6))} mm"
