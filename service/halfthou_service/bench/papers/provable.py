"""What a tool can prove: an order whose band no listed tool can prove, and a new fit that the usual tool of a bench cannot."""

from __future__ import annotations

import math
from collections.abc import Iterable

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.records import Characteristic
from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import Open
from halfthou_specdb.table import Table
from halfthou_specdb.tool_records import Instrument

from ..decide import best_possible
from ..hands import BLIND
from ..readings import Reading, ReadingProblem
from ..uncertainty import budget
from ..verdict import Bench
from .figures import System, doubt
from .order_case import INCH, of_unit
from .target_parts import Target

BORES = ("bore", "bush")
"""Words of a target that is an inside size."""
TOOLS_OF = {True: "cylinder-bore-diameter", False: "crankpin-diameter"}
"""Whose tools read a finished size: an inside one, an outside one."""


def unprovable(bench: Bench, target: Target, system: System) -> str:
    """What to say to the owner of a target that his finest tool cannot prove; empty where it can, or where there is no band yet."""
    if target.low is None or target.high is None or not 0 < target.low < target.high:
        return ""
    inside = any(word in target.what.lower() for word in BORES)
    what = bench.table.characteristics.get(TOOLS_OF[inside])
    finest = _finest(bench.table, what.instruments, of_unit((target.low + target.high) / 2)) if what else None
    if finest is None or best_possible(finest[1], math.inf, Interval(target.low, target.high, INCH), False) >= bench.rules.confidence:
        return ""
    tool, u = finest
    article = "an" if tool.name[:1] in "aeiou" else "a"
    return (f"{target.what}: {article} {tool.name} leaves +/-{doubt(u, INCH, system)}: you cannot prove this band; "
            "ask for his certificate, or take his figure")  # fmt: skip


def tool_named(bench: Bench, what: Characteristic) -> str:
    """The tool a sheet names for a reading, in words; empty where none is usual."""
    return " or ".join(dict.fromkeys(tool.name for tool in tools_named(bench, what)))


def tools_named(bench: Bench, what: Characteristic) -> tuple[Instrument, ...]:
    """The tools a sheet names for a reading, the handiest first; none where none is usual.

    The usual one; where it can never prove a new fit of this engine, the first of its tools that comes nearer, and beside it, where that
    one cannot prove it either, the first that can: "plastic gauge strip or dial bore gauge".
    """
    table = bench.table
    usual = table.instruments.get(what.usual_instrument)
    if usual is None:
        return ()
    at = _middle_of_fit(bench, what) if usual.id in BLIND else None
    best = _chance(bench, what, usual, at)
    if at is None or best >= bench.rules.confidence:
        return (usual,)
    others = [(t, _chance(bench, what, t, at)) for i in what.instruments if i not in BLIND and (t := table.instruments.get(i)) is not None]
    nearer = [t for t, chance in others if chance > best]
    proves = [t for t, chance in others if chance >= bench.rules.confidence]
    named = {t.id: t for t in (*nearer[:1], *proves[:1])}
    return tuple(named.values()) or (usual,)


def _finest(table: Table, tools: Iterable[str], value: Quantity) -> tuple[Instrument, float] | None:
    found = [(table.instruments[i], u) for i in tools if i in table.instruments and (u := _u(table, None, i, value, None)) is not None]
    return min(found, key=lambda one: one[1], default=None)


def _middle_of_fit(bench: Bench, what: Characteristic) -> tuple[Interval, Quantity] | None:
    """A new fit with both ends, and the reading in its middle; None where there is no such fit."""
    try:
        fit = bench.limit_for(what).fit
    except ReadingProblem:
        return None
    if fit is None or isinstance(fit.low, Open) or isinstance(fit.high, Open):
        return None
    middle = (fit.low + fit.high) / 2
    return fit, Quantity(decimal_of(middle, 20), fit.unit, middle)


def _chance(bench: Bench, what: Characteristic, tool: Instrument, at: tuple[Interval, Quantity] | None) -> float:
    """The best chance any reading with a tool could have of lying in a new fit; 0 where it cannot read it."""
    if at is None:
        return 0.0
    size = bench.engine.dimensions.get(what.scales_with[0]) if what.scales_with else None
    u = _u(bench.table, what, tool.id, at[1], size)
    return 0.0 if u is None else best_possible(u, math.inf, at[0], what.non_negative)


def _u(table: Table, what: Characteristic | None, tool: str, value: Quantity, size: Quantity | None) -> float | None:
    try:
        return budget(table, what, Reading("one", what.id if what else "", (value,), instrument=tool), value, size).u
    except ReadingProblem:
        return None
