"""A value past a safety limit, read with a tool that does not reach so far, does not measure this, or is told wrongly; and the worst of several.

Such a reading proves nothing good, so inside the limit it is not judged. Past the limit the rule is broken whatever it was read with.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from halfthou_specdb.records import Characteristic
from halfthou_specdb.table import Table

from .decide import VERDICTS
from .item import Item
from .observed import Observed, unsigned
from .readings import Problem, Reading
from .speak import say_doubt
from .steps import variants
from .texts import capital
from .uncertainty import Budget, Line, lines_of, variant_u


def coarsest(table: Table, what: Characteristic, observed: Observed, problem: Problem) -> Budget | None:
    """The doubt of the coarsest tool that suits the thing, its range left out of account; None where none reads this kind of quantity."""
    for shown in (observed.budget_value, observed.derived):
        if shown is None:
            continue
        unit, value = shown.unit, float(shown.exact)
        found = [(variant_u(variant, value, unit), tool, variant) for tool, variant in variants(table, what, "", unit)]
        if found and (worst := max(found, key=lambda one: one[0]))[0] > 0:
            u, tool, variant = worst
            lines: tuple[Line, ...] = lines_of(variant, value, unit)
            said = f"{capital(problem.detail)}: judged by the doubt of a {tool} ({variant.name}), about +/-{say_doubt(2 * u, unit)}"
            return Budget(unit, u, math.inf, lines, "", (said,))
    return None


def worst_of(items: Sequence[Item], readings: Sequence[Reading], what: Characteristic | None) -> int:
    """Which of several verdicts on one thing is the worst; of equal ones on one side the furthest out. ``readings``: of one value each."""
    first = min(range(len(items)), key=lambda n: VERDICTS.index(items[n].verdict))
    side = items[first].side
    alike = [n for n, item in enumerate(items) if (item.verdict, item.side) == (items[first].verdict, side) and readings[n].values]
    if not side or not alike:
        return first

    def along(n: int) -> Fraction:
        reading = readings[n]
        value = reading.values[0].canonical
        if what is not None and what.sign and (unsigned(reading) or reading.relative not in ("", what.sign)):
            return -value if side == "low" or reading.relative else value
        return value

    return (min if side == "low" else max)(alike, key=along)
