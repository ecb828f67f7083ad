"""Tests by hand that the trade takes as evidence about a bearing, and of what they speak.

All of them tell whether a clearance is too tight, and nothing else: a shaft that turns free may be oval, bent or loose. Each is offered
only where its answer would count.
"""

from __future__ import annotations

from collections.abc import Iterator

from halfthou_specdb.records import Characteristic
from halfthou_specdb.table import Table

from .between import DIAMETERS

WHOLE = ("crankshaft", "main-bearing", "connecting-rod", "wrist-pin", "piston")
TELLS: dict[str, tuple[str, ...]] = {
    "main-bearing-contact": ("main-bearing", "connecting-rod"),
    "bearing-drag": ("main-bearing",),
    "bearing-tightness-by-hand": ("main-bearing",),
    "turnover-freedom": WHOLE,
    "ring-freedom": ("piston-ring",),
}
"""Tests by hand -> the components they speak of, the one that tells most first."""
OF_THE_BORE = frozenset({"main-bearing-contact", "bearing-drag", "bearing-tightness-by-hand"})
"""Those that speak of a bearing on its journal and not of play along it or beside it."""


def speaks_of_tight(what: Characteristic) -> bool:
    """Whether hands can speak of a characteristic at all: a fit that may be too tight, not a shape and not a size."""
    return what.low_side.meaning == "too-tight" and what.basis != DIAMETERS and what.value_kind == "quantity"


def offered(table: Table, what: Characteristic, side: str) -> Iterator[Characteristic]:
    """The tests that would count on a doubt about this side of this thing, best first."""
    if side != "low" or not speaks_of_tight(what):
        return
    for name, components in TELLS.items():
        if name in OF_THE_BORE and what.component != "main-bearing" and what.basis != "diametral":
            continue
        if what.component in components and name in table.characteristics and name != what.id:
            yield table.characteristics[name]
