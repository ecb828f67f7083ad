"""The step a tool reads to, as a floor under a doubt the caller states.

A step d leaves at least d / sqrt 12 of standard uncertainty (JCGM 100:2008, F.2.2.1; NIST TN 1297, 4.6), however good the hand. A smaller
doubt than that is taken as stated, since the caller may know more than the list of tools, and it is said. Under a safety limit doubt counts
against the reading, so there the step is added, or the smallest part of the tool's doubt where it reads to no step: nobody talks a reading
past such a rule.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from halfthou_specdb.records import Characteristic
from halfthou_specdb.table import Table
from halfthou_specdb.tool_records import Variant
from halfthou_specdb.units import Unit

from .tools import measures

STEP = "least the tool leaves"


@dataclass(frozen=True, slots=True)
class Floor:
    """The least standard uncertainty a tool leaves [unit asked for], and where it comes from."""

    tool: str
    why: str
    u: float


def step_of(table: Table, what: Characteristic | None, instrument: str, unit: Unit) -> Floor | None:
    """That of the step of the tool named, else of the finest that suits the characteristic; None where no step is known.

    Args:
        instrument: ``tool``, ``tool/variant`` or nothing.
    """
    kept: dict[tuple[object, ...], Floor | None] = table.kept("finest steps")
    key = (id(table.instruments), instrument or f"for {what.id if what else ''}", unit.token)
    if key not in kept:
        found = [Floor(tool, f"which reads to {v.resolution}", _u(v, unit)) for tool, v in variants(table, what, instrument, unit) if v.resolution]
        kept[key] = min(found, key=lambda floor: floor.u, default=None)
    return kept[key]


def variants(table: Table, what: Characteristic | None, instrument: str, unit: Unit) -> Iterator[tuple[str, Variant]]:
    """Name of the tool and each make-up of it: of the tool named, else of all that suit the characteristic."""
    name, _, wanted = instrument.partition("/")
    names = (name,) if name else (what.usual_instrument, *what.instruments) if what else ()
    for tool in (table.instruments[n] for n in dict.fromkeys(names) if n in table.instruments):
        if measures(tool, unit):
            yield from ((tool.name, variant) for variant in tool.variants if wanted in ("", variant.id))


def _u(variant: Variant, unit: Unit) -> float:
    assert variant.resolution is not None
    return float(variant.resolution.exact * variant.resolution.unit.factor / unit.factor) / math.sqrt(12.0)


__all__ = ["STEP", "Floor", "step_of", "variants"]
