"""Which remedies a reading gets. Each module of this package that declares ``FAMILY`` is found by itself."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.rules import Open

from ...calculations.frame import CalculationError
from ..decide import GOES_BACK
from ..item import Item
from ..readings import Place, Reading
from ..sheet import SheetAnswer
from ..verdict import Bench
from . import cracks, written
from ._known import Known
from .case import Case, Family, case_of
from .facts import Found, Measured, RemedyFacts
from .model import Remedy

FRAME = frozenset({"case", "cracks", "facts", "model", "registry", "written"})
DIFFERENCE = "A difference smaller than both tools' doubts counts as none"
ROUND = frozenset({"timing-gear-backlash"})
"""Read round a part and told from least to greatest: both ends bear on what is done, not only the judged one."""
STANDING = frozenset({"stop", "beyond_limit", "outside_fit", "undecided"})


def _found() -> Iterator[Family]:
    package = __name__.rpartition(".")[0]
    for info in sorted(iter_modules(import_module(package).__path__), key=lambda i: i.name):
        if info.name not in FRAME and not info.name.startswith("_"):
            yield import_module(f"{package}.{info.name}").FAMILY


@cache
def families() -> Mapping[str, Family]:
    """Every family by its id, found when a remedy is first asked for.

    Raises:
        RuntimeError: two families are called alike.
    """
    found: dict[str, Family] = {}
    for family in _found():
        if family.id in found:
            raise RuntimeError(f"two families of remedies are called {family.id}")
        found[family.id] = family
    return found


@cache
def _by_characteristic() -> Mapping[str, Sequence[Family]]:
    found: dict[str, list[Family]] = defaultdict(list)
    for family in families().values():
        for characteristic in family.characteristics:
            found[characteristic].append(family)
    return dict(found)


def remedies_for(bench: Bench, item: Item, reading: Reading | None, facts: RemedyFacts) -> tuple[Remedy, ...]:
    """What can be done about one judged reading, ranked: what can be undone first, then by cost.

    Nothing for a reading that passes, that was not understood, or that the table does not know. ``reading`` is None for a figure that
    was worked out of a survey. Every predicted figure lies inside the table's own interval.
    """
    return _remedies(bench, item, reading, facts, Known(facts))


def sheet_remedies(bench: Bench, items: Sequence[Item], readings: Sequence[Reading], facts: RemedyFacts) -> tuple[tuple[Remedy, ...], ...]:
    """The remedies of a whole sheet, item by item; what one reading says of a part is known to the others.

    ``items`` beyond the readings are those of surveys. A part with a crack gets no other remedy. What would be told twice in the same
    words is told once.
    """
    gathered = _gather(items, readings, facts)
    known = Known(gathered)
    told: set[tuple[str, str]] = set()
    out: list[tuple[Remedy, ...]] = []
    for index, item in enumerate(items):
        reading = readings[index] if index < len(readings) else None
        found = _remedies(bench, item, reading, gathered, known)
        if item.verdict == "not_judged":
            found = tuple(r for r in found if (item.characteristic, r.text) not in told)
            told.update((item.characteristic, r.text) for r in found)
        out.append(found)
    return tuple(out)


def remedies_by_item(
    bench: Bench, answer: SheetAnswer, readings: Sequence[Reading], facts: RemedyFacts | None = None
) -> dict[str, tuple[Remedy, ...]]:
    """The remedies of a judged sheet by item id; what its surveys found is known to them."""
    surveyed = tuple(survey.answer for survey in answer.surveys if survey.answer is not None)
    found = sheet_remedies(bench, answer.items, readings, replace(facts or RemedyFacts(), surveys=surveyed))
    return {item.id: remedies for item, remedies in zip(answer.items, found, strict=True)}


def _remedies(bench: Bench, item: Item, reading: Reading | None, facts: RemedyFacts, known: Known) -> tuple[Remedy, ...]:
    if item.problem is not None or item.verdict in ("within_fit", "typical"):
        return ()
    case = case_of(bench, item, reading, facts, known)
    if case is None:
        return ()
    withheld = cracks.withheld(case)
    if withheld is not None:
        return (withheld,)
    proposed = _proposed(case)
    kept = {r.id: r for r in proposed if r.predicted is None or case.lands(r.predicted[0])}
    if any(r.reaches == "fit" for r in kept.values()):
        kept = {k: r for k, r in kept.items() if r.reaches != "none"}
    return tuple(sorted(kept.values(), key=lambda r: r.rank))


def _proposed(case: Case) -> list[Remedy]:
    verdict = case.item.verdict
    if case.what.value_kind == "finding":
        return [*(found := list(_of_families(case))), *written.of_finding(case, found)]
    out: list[Remedy] = []
    if verdict == "undecided":
        out.append(_measure_again(case))
        if not case.side:
            return out
    if verdict == "stop":  # what must not be done and how far it is out is said of new work as well
        said = [*_of_families(case), *written.of_side(case)]
        return said or ([_send_back(case)] if case.state == "as_made" and case.side else [_measure_again(case)] if case.state == "as_made" else [])
    if case.state == "as_made" and verdict != "not_judged":
        return [*out, _send_back(case)] if case.side else out or [_measure_again(case)]
    if verdict in GOES_BACK:
        case.optional = True
        return [r for r in _of_families(case) if r.reversible and r.reaches == "fit"] if case.side else []
    out += _of_families(case)
    return [*out, *written.of_side(case, out)] if case.as_written else out


def _of_families(case: Case) -> Iterator[Remedy]:
    for family in _by_characteristic().get(case.what.id, ()):
        try:
            yield from family.propose(case)
        except CalculationError as refused:
            yield _look_again(case, str(refused))


def _look_again(case: Case, why: str) -> Remedy:
    """Figures that cannot all be true: one of them is a slip, and no amount is worked out from it."""
    name, _, rest = why.partition(":")
    said = f"{name.replace('_', ' ')} {rest.strip()}" if rest else why
    return case.remedy(
        f"look-again-{case.what.id}", "The sizes told do not go together, so no amount is worked out", "free", reversible=True,
        note=f"{said[:1].upper()}{said[1:]}. Look at the figures of this part again",
        steps=("Measure the part again; look at units and decimal points.",), risk="None.")  # fmt: skip


def _measure_again(case: Case) -> Remedy:
    settles = case.item.settles
    how = "" if settles is None else {"instrument": f" with {settles.tool}",
                                      "repeats": f", {settles.repeats} readings in the same place, averaged",
                                      "hands": f", or try it by hand: {settles.test}"}.get(settles.how, "")  # fmt: skip
    steps = ("Clean the part and the tool.", "Read it again in the same place before anything is cut.")
    return case.remedy(
        "measure-again", f"Measure it again{how}", "free", reversible=True, steps=steps, risk="None.", note="" if how else
        "The reading lies closer to the line than the tools on the list can prove: take it as past the line, or have it read elsewhere")  # fmt: skip


def _send_back(case: Case) -> Remedy:
    """New work that is not to the order: back to who made it, with the difference in numbers."""
    amount = []
    if case.value is not None and case.side:
        bound = case.low if case.side == "low" else case.high
        assert not isinstance(bound, Open)
        amount = [(f"{'under' if case.side == 'low' else 'over'} the order by", abs(case.value - bound), case.unit)]
    return case.remedy(
        "send-back", "New work: send it back with the reading, the tool and the temperature", "machine", amount=amount,
        steps=("Let it reach shop temperature and read it again at the same places.", "Send the reading with the part before paying."),
        note=("Only if it reads so again. " if case.item.verdict == "undecided" else "") + DIFFERENCE, tolerance=case.tolerance(),
        risk="None, before it is fitted.", grade="common-practice")  # fmt: skip


def _gather(items: Sequence[Item], readings: Sequence[Reading], facts: RemedyFacts) -> RemedyFacts:
    """The facts with what the sheet itself holds: sizes read (of several in one place the surest), findings and verdicts that stand."""
    best: dict[tuple[str, str, str, str, str], tuple[float, Measured]] = {}
    found, ends = list(facts.found), list[Measured]()
    for index, item in enumerate(items):
        place = readings[index].place if index < len(readings) else Place(item.place.partition(",")[0])
        if item.value is not None and item.unit is not None and item.problem is None:
            state = readings[index].state if index < len(readings) else "as_found"
            value = Quantity(item.value, item.unit, Fraction(item.value))
            key = (item.characteristic, state, place.instance, place.station, place.axis)
            u = (item.u or 0.0) * float(item.unit.factor)
            if key not in best or u < best[key][0]:
                best[key] = u, Measured(item.characteristic, value, place.instance, place.station, place.axis, state)
            span = readings[index].span if index < len(readings) else None
            if span is not None and item.characteristic in ROUND:
                ends += [Measured(item.characteristic, end, place.instance, place.station, place.axis, state) for end in span]
        if item.verdict in STANDING:
            found.append(Found(item.characteristic, item.verdict, item.finding, place.instance))
        elif item.characteristic in cracks.SCOPE and item.problem is not None and item.problem.code != "not-fitted":
            found.append(Found(item.characteristic, cracks.UNREAD, "", place.instance))
    measured = (*facts.measured, *ends, *(one for _, one in best.values()))
    return replace(facts, measured=measured, found=tuple(found))
