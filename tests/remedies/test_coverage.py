"""Every remedy told in the data reaches the reader; ids name things of the table; ranks and grades hold."""

from __future__ import annotations

import doctest
import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import pytest
from tests.remedies.shop import bench, reading, table

import halfthou_service.bench.remedies as package
from halfthou_service.bench.decide import GOES_BACK
from halfthou_service.bench.item import Item
from halfthou_service.bench.readings import Reading, ReadingProblem
from halfthou_service.bench.remedies import COST_CLASSES, Remedy, RemedyFacts, families, remedies_for
from halfthou_service.bench.remedies._costs import LISTED
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.records import Characteristic
from halfthou_specdb.rules import Open

SHOP = bench()
TOLD = [w for w in table().characteristics.values() if w.remedies or any(x.remedy for x in w.words)]


def numbers(what: Characteristic, shop: Bench) -> list[Fraction]:
    """Readings well past each side that has a number, and one between."""
    try:
        found = shop.limit_for(what)
    except ReadingProblem:
        return [Fraction(1)]
    ends = [b for i in (found.fit, found.wear) if i is not None for b in (i.low, i.high) if not isinstance(b, Open)]
    if not ends:
        return [Fraction(1)]
    low, high = min(ends), max(ends)
    width = (high - low) or abs(high) or Fraction(1)
    values = [high + width, (low + high) / 2, *([low / 2, low - width] if low else [])]
    return [v for v in values if v >= 0 or not what.non_negative]


def judged(what: Characteristic, shop: Bench = SHOP) -> Iterator[tuple[Item, Reading]]:
    """The characteristic judged at every word, or on both sides of its limit."""
    if what.value_kind == "finding":
        for word in what.words:
            given = reading(what.id, word.word)
            yield shop.judge(given), given
        return
    from halfthou_specdb.quantity import Quantity, decimal_of
    from halfthou_specdb.units import UNITS

    try:
        resolved = shop.limit_for(what)
        unit = resolved.fit.unit if resolved.fit else UNITS[what.unit]
    except ReadingProblem:
        unit = UNITS[what.unit]
    for value in numbers(what, shop):
        given = replace(reading(what.id, f"1 {what.unit}"), values=(Quantity(decimal_of(value), unit, value),),
                        standard_uncertainty=Quantity.of("0.000001", unit if unit.dimension != "temperature" else "delta_degF"))  # fmt: skip
        yield shop.judge(given), given


def answers(what: Characteristic) -> list[tuple[Item, tuple[Remedy, ...]]]:
    return [(item, remedies_for(SHOP, item, given, RemedyFacts())) for item, given in judged(what)]


@pytest.mark.parametrize("what", TOLD, ids=lambda w: w.id)
def test_what_the_table_tells_is_offered(what: Characteristic) -> None:
    """Each text of the characteristic comes out, graded as its method, when a reading lies on that side; and every answer is in order.

    A text is left out only where remedies that land say all of it.
    """
    texts: set[str] = set()
    landing: set[str] = set()
    for item, found in answers(what):
        if item.verdict not in (*GOES_BACK, "undecided") and item.problem is None and what.remedies.get(item.side):
            assert found, f"{item.verdict} {item.side}: nothing offered"
        for one in found:
            check(one)
            if one.reaches == "fit" and one.amount:
                landing |= stems(" ".join((one.text, *one.steps, one.risk)))
            if one.id.startswith("as-written"):
                assert one.grade == what.grade
                assert one.amount == ()
                texts.add(one.text.lower())
        assert [r.rank for r in found] == sorted(r.rank for r in found)
        assert len({r.id for r in found}) == len(found)
    wanted = {side: text for side, text in what.remedies.items() if reached(what, side)}
    for side, text in wanted.items():
        assert any(text.rstrip(".").lower() in said for said in texts) or stems(text) <= landing, f"{side}: {text}"


def stems(text: str) -> set[str]:
    """The first four letters of its longer words, but for a few that name no work."""
    none = {"time", "even", "with", "then", "when", "this", "that", "from", "over", "agai"}
    return {w[:4] for w in (w.rstrip("s") for w in re.findall("[a-z]+", text.lower())) if len(w) > 3} - none


def reached(what: Characteristic, side: str) -> bool:
    """Whether a reading on that side is refused at all; findings go by their words, wheels with a crack by a rule of their own."""
    if what.value_kind == "finding":
        return False
    return any(item.verdict not in (*GOES_BACK, "undecided") and item.problem is None and (item.side == side or item.verdict == "not_judged")
               for item, _ in judged(what))  # fmt: skip


def check(one: Remedy) -> None:
    """What holds for every remedy."""
    assert one.cost_class in COST_CLASSES
    assert one.title
    assert "\n" not in one.text
    assert one.text.endswith(".")
    assert ".." not in one.text
    assert not one.reversible or one.cost_class == "free"
    assert one.reaches == "none" or one.steps or one.id == "send-back", one.id
    assert all((step.endswith((".", "?")) and step[0].isupper()) or step[0].isdigit() for step in one.steps), one.steps
    assert all(c in table().cautions for c in one.cautions), one.cautions
    assert all(c in table().characteristics for c in one.measure_after), (one.id, one.measure_after)
    assert all(value >= 0 for _, value, _ in one.amount), one.amount
    assert (one.reaches == "fit") <= (one.predicted is not None)
    assert one.predicted is None or one.tolerance is not None


@pytest.mark.parametrize("name", sorted({c for f in families().values() for c in f.characteristics}))
def test_families_name_what_the_table_has(name: str) -> None:
    assert name in table().characteristics


def test_every_word_that_misleads_is_still_in_the_table() -> None:
    for key in LISTED:
        name, _, side = key.partition(".")
        what = table().characteristics[name]
        assert side in what.remedies or any(w.word == side for w in what.words), key


def test_every_module_is_a_family_or_frame() -> None:
    from halfthou_service.bench.remedies.registry import FRAME

    names = {p.stem for p in Path(str(package.__file__)).parent.glob("*.py")} - {"__init__"}
    assert names == FRAME | set(families()) | {n for n in names if n.startswith("_")}


def test_families_that_the_trade_expects() -> None:
    assert set(families()) >= set(
        "shims bearings journals bores rings bushes guides seats settings springs gears floats flywheels magnetos contacts timing strainers tanks "
        "checks paint heads".split()
    )


def test_examples_in_the_docstrings() -> None:
    run = 0
    for info in iter_modules(package.__path__):
        result = doctest.testmod(import_module(f"{package.__name__}.{info.name}"))
        assert result.failed == 0, info.name
        run += result.attempted
    assert run >= 6
