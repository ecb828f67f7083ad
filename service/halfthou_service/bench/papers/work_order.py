"""The work order: what each machinist must be told of each part, from a judged sheet and the owner's own decisions.

Nothing here carries a chance or a verdict word: the machinist gets sizes, limits, what not to touch and when to ring. What the owner must
still decide, and what is not sent out at all, stands on the owner's own page.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from halfthou_specdb.records import Caution
from halfthou_specdb.rules import Open

from ..item import Item
from ..readings import Reading
from ..remedies import Amount, Remedy, RemedyFacts, action, remedies_by_item
from ..sheet import SheetAnswer
from ..texts import capital
from ..verdict import Bench
from .figures import System, Told, doubt, edges, reading, size, span
from .limits_sheet import stop_interval
from .order_boxes import ReportBox, boxes, fillet_size, form_boxes
from .order_case import INCH, OrderCase, Size, Wish, whose
from .provable import unprovable
from .readiness import told_findings
from .recipes import Note, Recipe, note, notes, recipes
from .rim import NOT_WHOLE, RETIRE, rim_forbidden
from .target_parts import Mate, Target
from .targets import CRANK_SENDS, ordered, targets_of

VETOES: Mapping[str, tuple[str, ...]] = {
    "crankshaft": ("crankshaft-crack",), "rod-bearing": ("connecting-rod-crack",), "cylinder": ("cylinder-wall-crack",),
    "piston": ("piston-crack",), "valves": ("head-crack",), "flywheel-hub": ("flywheel-hub-crack", "flywheel-construction"),
}  # fmt: skip
"""Findings that keep a part at home: no money is spent on a cracked one."""
AT = {"inch": "68 °F", "metric": "20 °C"}
TOGETHER = "part and gauge lying together until they are one temperature"
ALWAYS_STOP = "anything here does not add up, or cannot be held"


@dataclass(frozen=True, slots=True)
class Letterhead:
    """Who writes to whom, and when; all of it may be left to be filled in by hand."""

    date: str = ""
    owner: str = ""
    ring: str = ""
    machinist: str = ""


@dataclass(frozen=True, slots=True)
class AsFound:
    """One size as found, told."""

    what: str
    place: str
    told: Told
    doubt: str
    tool: str
    temperature: str


@dataclass(frozen=True, slots=True)
class PartOrder:
    """Everything the machinist is told of one part; one printed page."""

    id: str
    name: str
    trade: str
    quantity: int
    identify: str
    why: tuple[str, ...]
    as_found: tuple[AsFound, ...]
    targets: tuple[Target, ...]
    mates: tuple[Mate, ...]
    form: tuple[Note, ...]
    finish: tuple[Note, ...]
    work: tuple[Note, ...]
    datum: Note
    do_not_cut: tuple[str, ...]
    fillet: Note
    first: tuple[Note, ...]
    after: tuple[Note, ...]
    temperature: str
    boxes: tuple[ReportBox, ...]
    report: tuple[Note, ...]
    returns: tuple[Note, ...]
    stop: tuple[Note, ...]
    check: tuple[str, ...]
    cautions: tuple[Caution, ...]
    notes: tuple[str, ...]
    asks: tuple[str, ...]
    proposals: tuple[str, ...]
    """What the table proposes for these readings; for the owner's page, not the machinist's."""
    unprovable: tuple[str, ...] = ()
    """Targets whose band no tool on the list can prove; for the owner's page."""
    form_boxes: tuple[ReportBox, ...] = ()
    """Form that is worked out from the sizes of the report: out of round and taper, with the limits ordered."""


@dataclass(frozen=True, slots=True)
class Withheld:
    """A part that is not sent, and why."""

    id: str
    name: str
    why: str


@dataclass(frozen=True, slots=True)
class WorkOrder:
    """All parts that go out, in the order of the work."""

    engine_id: str
    engine_class: str
    system: System
    edition: str
    letterhead: Letterhead
    parts: tuple[PartOrder, ...]
    withheld: tuple[Withheld, ...]


def work_order(bench: Bench, answer: SheetAnswer, readings: Sequence[Reading], system: System = "inch", *,
               wishes: Mapping[str, Wish] | None = None, letterhead: Letterhead | None = None,
               facts: RemedyFacts | None = None, remedies: Mapping[str, Sequence[Remedy]] | None = None) -> WorkOrder:  # fmt: skip
    """The order that follows from a sheet.

    Args:
        wishes: the owner's decisions by part id; ``send`` true or false puts a part on the order or keeps it off.
        facts: what the owner can tell beside readings; remedies for the machine shop are repeated on the owner's page.
        remedies: of ``answer`` by item id, where they are worked out already.
    """
    case = OrderCase(bench, answer, readings, system, wishes or {}, told_findings(bench, answer, facts))
    proposed = remedies_by_item(bench, answer, readings, facts) if remedies is None else remedies
    parts, withheld = [], []
    for recipe in recipes():
        why = _why(case, recipe)
        if case.wish(recipe.id).send is False or not (why or case.wish(recipe.id).send):
            continue
        veto = _veto(case, recipe)
        if veto is not None:
            withheld.append(veto)
        else:
            parts.append(_part(case, recipe, why, proposed))
    engine = bench.engine
    return WorkOrder(engine.id, engine.engine_class.name, system, bench.table.edition, letterhead or Letterhead(), tuple(parts), tuple(withheld))


def _bad(case: OrderCase, recipe: Recipe) -> tuple[Item, ...]:
    return case.bad(recipe.sends, recipe.instances)


def _why(case: OrderCase, recipe: Recipe) -> tuple[str, ...]:
    """Why a part goes out: its bad readings, or the part it follows."""
    why = [_reason(case, item) for item in _bad(case, recipe)]
    if recipe.id == "rod-bearing" and ordered(case, "crankshaft") and case.bad(CRANK_SENDS) and not case.stopped(VETOES["crankshaft"]):
        first = targets_of(case, "crankshaft")[0][0]
        if first.characteristic == "crankpin-diameter":
            why.append("The pin is ground, so its bearing is poured to the ground pin.")
    if recipe.id == "piston" and case.bad(("cylinder-taper", "cylinder-out-of-round", "cylinder-bore-wear")):
        why += _old_piston(case)
    return tuple(why)


def _old_piston(case: OrderCase) -> list[str]:
    """The old piston in the new bore, in figures."""
    bore, fit = ordered(case, "cylinder"), case.fit("piston-to-bore-clearance")
    skirt = case.sizes("piston-skirt-diameter")
    if bore is None or fit is None or not skirt:
        return ["The cylinder goes to a new bore and the piston follows it."]
    old = max(s.exact for s in skirt)
    if bore[1] - old <= fit[1]:
        return []
    loose = span(bore[0] - old, bore[1] - old, INCH, case.system)
    return [f"In the new bore the old piston ({size(old, INCH, case.system)}) would be {loose} loose; a new fit is "
            f"{span(fit[0], fit[1], INCH, case.system)}."]  # fmt: skip


def _reason(case: OrderCase, item: Item) -> str:
    place = f", {item.place}" if item.place else ""
    if item.finding:
        return f"{item.name}{place}: {item.finding}."
    told = f"{reading_of(item, case.system)}" if item.value is not None else "read"
    resolved = case.bench.resolved.get(item.characteristic)
    if resolved is None or resolved.fit is None or resolved.wear is None or resolved.limit is None:
        return f"{item.name}{place}: {told}."
    hard = stop_interval(resolved)
    new = span(resolved.fit.low, resolved.fit.high, resolved.fit.unit, case.system, (hard.low, hard.high))
    stop = edges(hard.low, hard.high, hard.unit, case.system, (resolved.fit.low, resolved.fit.high))
    word = "usual" if resolved.limit.kind == "guide" else "new"
    limits = f"{word} {new}" if stop.number.startswith("none") else f"{word} {new}, not put back {stop}"
    return f"{item.name}{place}: {told} ({limits})."


def reading_of(item: Item, system: System) -> Told:
    """An item's value, told."""
    from halfthou_specdb.quantity import Quantity

    assert item.value is not None
    assert item.unit is not None
    return reading(Quantity(item.value, item.unit, Fraction(item.value)), system)


def _veto(case: OrderCase, recipe: Recipe) -> Withheld | None:
    if recipe.id == "flywheel-hub" and rim_forbidden(case.bench):
        return Withheld(recipe.id, recipe.name, f"Not sent. {NOT_WHOLE.removeprefix('STOP. ')} {RETIRE}")
    stops = case.stopped(VETOES.get(recipe.id, ()))
    if recipe.id == "flywheel-hub" and stops:
        cracked = {i.place.partition(",")[0] for i in stops}
        stops = stops if all(i.place.partition(",")[0] in cracked or "" in cracked for i in _bad(case, recipe)) else ()
    if not stops:
        return None
    first = stops[0]
    where = f" ({first.place})" if first.place else ""
    return Withheld(recipe.id, recipe.name, f"Not sent. {first.name}{where}: {first.finding}. A cracked part is not worked on; it is replaced.")


def _part(case: OrderCase, recipe: Recipe, why: tuple[str, ...], remedies: Mapping[str, Sequence[Remedy]]) -> PartOrder:
    wish, system = case.wish(recipe.id), case.system
    targets, mates, asks = targets_of(case, recipe.id)
    identify = recipe.identify + (f" Marked: {wish.mark}." if wish.mark else "")
    return PartOrder(
        recipe.id, recipe.name, recipe.trade, wish.quantity or recipe.quantity, identify, why or ("As asked for by the owner.",),
        _as_found(case, recipe), tuple(targets), tuple(mates), _form(case, recipe), notes(recipe.finish, system), notes(recipe.work, system),
        note(recipe.datum, system),
        recipe.do_not_cut, _fillet(case, recipe), notes(recipe.first, system), notes(recipe.after, system),
        f"{AT[system]}, {TOGETHER}",
        boxes(case, recipe, targets), notes(recipe.report, system), notes(recipe.returns, system), notes((*recipe.stop, ALWAYS_STOP), system),
        recipe.check, tuple(case.bench.table.cautions[c] for c in recipe.cautions), wish.notes, tuple(asks),
        _proposals(_bad(case, recipe), remedies), tuple(said for t in targets if (said := unprovable(case.bench, t, system))),
        form_boxes(case, recipe),
    )  # fmt: skip


def _proposals(items: Sequence[Item], remedies: Mapping[str, Sequence[Remedy]]) -> tuple[str, ...]:
    """Work for a machine shop or a new part, each told once with every reading that asks for it."""
    asked: dict[tuple[str, tuple[Amount, ...]], dict[str, None]] = {}
    for item in items:
        for remedy in remedies.get(item.id, ()):
            if remedy.cost_class in ("machine", "part"):
                asked.setdefault((remedy.title, remedy.amount), {})[item.name] = None
    return tuple(f"{capital(action(*what))} ({', '.join(name[:1].lower() + name[1:] for name in names)})." for what, names in asked.items())


def _as_found(case: OrderCase, recipe: Recipe) -> tuple[AsFound, ...]:
    return tuple(_told(case, s) for characteristic in recipe.shows for s in case.sizes(characteristic))


def _told(case: OrderCase, found: Size) -> AsFound:
    heat = str(reading(found.temperature, case.system)) if found.temperature else "temperature not noted"
    return AsFound(found.name, str(found.place), reading(found.value, case.system), doubt(found.u, found.value.unit, case.system), found.tool, heat)


def _form(case: OrderCase, recipe: Recipe) -> tuple[Note, ...]:
    """Form from the limits of the table: what a new part must hold."""
    found = []
    for characteristic in recipe.form:
        resolved = case.limit(characteristic)
        if resolved is None or resolved.fit is None:
            continue
        ends = [f"fit_{side}" for side, v in (("low", resolved.fit.low), ("high", resolved.fit.high)) if not isinstance(v, Open)]
        if ends:
            told = span(resolved.fit.low, resolved.fit.high, resolved.fit.unit, case.system)
            found.append(Note(f"{resolved.characteristic.name}: {told}", whose(resolved, ends)))
    return tuple(found)


def _fillet(case: OrderCase, recipe: Recipe) -> Note:
    base = note(recipe.fillet, case.system)
    if recipe.id != "crankshaft":
        return base
    radius = fillet_size(case)
    found = "Radius found: not gauged yet; gauge it before the wheel touches it."
    if radius is not None:
        found = f"Found {size(radius, INCH, case.system)}: not smaller."
    return Note(f"{found} {base.says}", base.whose)
