"""An invented engine on the real table, and short ways to judge a reading and ask for its remedies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from functools import cache

from halfthou_service.bench.item import Item
from halfthou_service.bench.readings import Place, Reading, Rules
from halfthou_service.bench.remedies import Measured, Remedy, RemedyFacts, remedies_for
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import Quantity, parse_quantity
from halfthou_specdb.records import Limit
from halfthou_specdb.table import Table

SIZES = {
    "bore": "5.25 in", "stroke": "7.5 in", "crankpin": "1.8125 in", "crankpin-length": "2.25 in", "main-journal": "1.6875 in",
    "main-bearing-length": "3.5 in", "wrist-pin": "1.125 in", "rod-centre-distance": "17.25 in", "piston-length": "6.5 in",
    "ring-width": "0.25 in", "intake-valve-stem": "0.4375 in", "exhaust-valve-stem": "0.4375 in", "intake-valve-seat": "1.5 in",
    "exhaust-valve-seat": "1.625 in", "cam-shaft": "0.875 in", "flywheel": "29 in", "flywheel-bore": "1.6875 in", "flywheel-face": "2.25 in",
    "flywheel-weight": "168 lb", "rated-speed": "430 rpm", "rated-power": "5 hp", "compression-ratio": "4.61 ratio", "hopper-water": "6.5 USgal",
    "engine-weight": "985 lb", "pulley": "12 in", "gear-pitch": "8 tpi",
}  # fmt: skip
FEATURES = frozenset({"hopper-cooled", "hit-and-miss", "make-and-break", "low-tension-magneto", "fuel-pump", "drip-oiled", "poured-bearings"})
SIMPLE = Rules(decision_rule="simple")


def q(text: str) -> Quantity:
    return parse_quantity(text)


@cache
def table() -> Table:
    return Table.from_files()


def bench(features: frozenset[str] = FEATURES, sizes: Mapping[str, str] | None = None, rules: Rules = SIMPLE,
          overlay: tuple[Limit, ...] = ()) -> Bench:  # fmt: skip
    dims = {name: q(text) for name, text in (SIZES | dict(sizes or {})).items()}
    return Bench(table(), Engine(table().engine_class("slow-open-crank"), "work", "T", features, frozenset(), dims), rules, overlay)


def reading(characteristic: str, said: str, place: str | Place = "", axis: str = "", **more: object) -> Reading:
    """A reading from text; words where the characteristic is told in words. ``place`` is the instance."""
    what = table().characteristics[characteristic]
    where = place if isinstance(place, Place) else Place(place, "", axis)
    if what.value_kind == "finding":
        return Reading("r", characteristic, finding=said, place=where)
    value = q(said)
    u = Quantity.of("0.0000001", value.unit)
    given = Reading("r", characteristic, (value,), place=where, standard_uncertainty=u, confirmed=True)
    return replace(given, **more)  # type: ignore[arg-type]


def ask(characteristic: str, said: str, facts: RemedyFacts | None = None, shop: Bench | None = None, place: str | Place = "", axis: str = "",
        **more: object) -> tuple[Item, tuple[Remedy, ...]]:  # fmt: skip
    """Judge one reading and ask what can be done about it."""
    shop = shop or bench()
    given = reading(characteristic, said, place, axis, **more)
    item = shop.judge(given)
    return item, remedies_for(shop, item, given, facts or RemedyFacts())


def remedy(found: tuple[Remedy, ...], name: str) -> Remedy:
    """The remedy of that id."""
    by_id = {r.id: r for r in found}
    assert name in by_id, f"{name} is not among {list(by_id)}: {[r.text for r in found]}"
    return by_id[name]


def amount(of: Remedy, name: str, unit: str = "thou") -> Fraction:
    """One amount in a unit."""
    from halfthou_specdb.units import UNITS

    values = {n: (v, u) for n, v, u in of.amount}
    assert name in values, f"{name!r} is not among {list(values)}"
    value, own = values[name]
    return value * own.factor / UNITS[unit].factor


def after(of: Remedy, unit: str = "thou") -> Fraction:
    """What it should read afterwards, in a unit."""
    from halfthou_specdb.units import UNITS

    assert of.predicted is not None
    value, own = of.predicted
    return value * own.factor / UNITS[unit].factor


def known(**sizes: str) -> tuple[Measured, ...]:
    """Sizes known beside the reading: ``crankpin_diameter="1.8118 in; 1.8081 in"``."""
    return tuple(Measured(name.replace("_", "-"), q(text.strip())) for name, texts in sizes.items() for text in texts.split(";"))
