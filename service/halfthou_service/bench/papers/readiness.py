"""What stands against putting it together or starting it: what stops you, what is in doubt, what nobody looked at, each with a way to clear it.

This paper says what was found and what was not looked at. It never says more than that.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from halfthou_specdb.records import Characteristic

from ..decide import VerdictWord
from ..item import Item
from ..readings import Place, Reading
from ..remedies import Remedy, RemedyFacts, remedies_by_item
from ..sheet import Missing, SheetAnswer, judge_sheet
from ..surveys.survey import Survey
from ..texts import capital
from ..verdict import Bench
from ..wording import with_article
from .assemblies import assembly_of, feature_words, how
from .figures import System
from .first_start import FirstStart, first_start
from .provable import tool_named
from .rim import NOT_WHOLE, RETIRE, rim_forbidden

Stage = Literal["assembly", "first-start"]
STOPS = frozenset({"stop", "beyond_limit", "outside_fit"})
DOUBTS = frozenset({"undecided", "not_judged"})
PASSES = frozenset({"within_fit", "usable", "typical"})
FOR: Mapping[Stage, str] = {"assembly": "Before it goes together", "first-start": "Before it is started"}


@dataclass(frozen=True, slots=True)
class Against:
    """One thing against it. ``clear``: the way to clear it. ``stops_engine``: no repair of another part changes it."""

    item_id: str
    name: str
    place: str
    assembly: str
    text: str
    clear: str
    stops_engine: bool
    verdict: VerdictWord = "not_judged"


@dataclass(frozen=True, slots=True)
class Superseded:
    """One thing found bad, and the id of the reading as made that answers it."""

    item_id: str
    text: str
    by: str


@dataclass(frozen=True, slots=True)
class NotLooked:
    """One thing nobody looked at, and how to look."""

    characteristic: str
    name: str
    place: str
    assembly: str
    only_if: str
    clear: str
    start_critical: bool


@dataclass(frozen=True, slots=True)
class Readiness:
    """The paper. ``superseded``: what was found bad and a later reading of the same place has answered; it is told, never dropped."""

    stage: Stage
    engine_id: str
    system: System
    edition: str
    text: str
    stops: tuple[Against, ...]
    doubts: tuple[Against, ...]
    not_looked: tuple[NotLooked, ...]
    superseded: tuple[Superseded, ...]
    checks: FirstStart | None


def readiness(bench: Bench, readings: Sequence[Reading], surveys: Sequence[Survey] = (), stage: Stage = "first-start", system: System = "inch",
              *, facts: RemedyFacts | None = None, answer: SheetAnswer | None = None,
              remedies: Mapping[str, Sequence[Remedy]] | None = None, unread: Sequence[Against] = ()) -> Readiness:  # fmt: skip
    """What stands against a stage.

    Args:
        stage: ``assembly`` or ``first-start``.
        facts: what the owner can tell beside readings; the first remedy of an item is its way to be cleared.
        answer: the sheet judged for this stage already; judged here where left out.
        remedies: of ``answer`` by item id, where they are worked out already.
        unread: readings of the sheet that could not be read; each is a doubt.
    """
    at = replace_stage(bench, stage)
    found = answer if answer is not None and bench.rules.stage == stage else judge_sheet(at, readings, surveys)
    answered = _superseded(found, readings)
    remedies = remedies_by_item(at, found, readings, facts) if remedies is None else remedies
    told = told_findings(at, found, facts)
    live = [*(i for i in found.items if i.id not in answered), *told]
    stops = (*_jointed(at), *(_against(at, i, remedies) for i in live if i.verdict in STOPS))
    doubts = (*unread, *(_against(at, i, remedies) for i in live if i.verdict in DOUBTS and _against_it(i)))
    looked = {(i.characteristic, i.at.instance) for i in told}
    missing = tuple(_not_looked(at, m) for m in found.missing if (m.characteristic.id, m.instance) not in looked)
    checks = first_start(at, system) if stage == "first-start" else None
    return Readiness(stage, bench.engine.id, system, bench.table.edition, _text(stops, doubts, missing), _ordered(stops), _ordered(doubts), missing,
                     tuple(answered.values()), checks)  # fmt: skip


def replace_stage(bench: Bench, stage: Stage) -> Bench:
    """The same bench, asking for what a stage needs; resolved limits are shared."""
    return replace(bench, rules=replace(bench.rules, stage=stage))


def _superseded(found: SheetAnswer, readings: Sequence[Reading]) -> dict[str, Superseded]:
    """Items as found that a later one as made answers, in the same place: it stands in their stead, whatever it says.

    A stop is answered only by a reading that passes, and one that stops the engine only where the part is named; a reading that could not
    be judged answers nothing.
    """
    by_id = {r.id: r for r in readings}
    surveyed = {item.id: survey.answer.instances for survey in found.surveys if survey.answer is not None for item in survey.items}
    made: dict[str, list[tuple[Place, Item]]] = defaultdict(list)
    for item in found.items:
        place, state = _where(item, by_id)
        if state == "as_made" and item.problem is None and item.verdict != "not_judged":
            # A survey's worst place stands for every part it read, all over.
            places = [place] if item.id in by_id else [Place(name) for name in surveyed.get(item.id, (place.instance,))]
            made[item.characteristic] += [(there, item) for there in places]
    gone: dict[str, Superseded] = {}
    for item in found.items:
        place, state = _where(item, by_id)
        if state != "as_found" or not _against_it(item) or (item.veto == "stops-engine" and not place.instance):
            continue
        later = next((one for there, one in made[item.characteristic]
                      if _covers(there, place) and (item.verdict != "stop" or one.verdict in PASSES)), None)  # fmt: skip
        if later is not None:
            gone[item.id] = Superseded(item.id, item.text, later.id)
    return gone


def _against_it(item: Item) -> bool:
    """Whether an item stands against a start: a size without a limit does not; a reading that could not be judged for a fault does."""
    return item.verdict in STOPS | DOUBTS and not (item.verdict == "not_judged" and item.problem is None)


def _where(item: Item, by_id: Mapping[str, Reading]) -> tuple[Place, str]:
    reading = by_id.get(item.id)
    return (item.at, item.state) if reading is None else (reading.place, reading.state)


def _covers(later: Place, first: Place) -> bool:
    """Whether a look at one place answers another: the same part, and the same spot of it or the part as a whole."""
    if later.instance.lower() != first.instance.lower():
        return False
    return not (later.station or later.axis) or (later.station.lower(), later.axis.lower()) == (first.station.lower(), first.axis.lower())


def told_findings(bench: Bench, found: SheetAnswer, facts: RemedyFacts | None) -> tuple[Item, ...]:
    """What ``facts`` tell was found elsewhere and no reading of the sheet tells: judged like a reading."""
    read = {(i.characteristic, i.finding) for i in found.items}
    told = facts.found if facts is not None else ()
    return tuple(
        replace(bench.judge(Reading(f"facts.found.{n}", one.characteristic, finding=one.word, place=Place(one.instance))), at=Place(one.instance))
        for n, one in enumerate(told) if one.word and (one.characteristic, one.word) not in read
    )  # fmt: skip


def _jointed(bench: Bench) -> tuple[Against, ...]:
    """A wheel that is not whole: nothing that was read of it makes it run."""
    return (Against("engine", "How the flywheel is made", "", "Flywheels and keys", NOT_WHOLE, RETIRE, True, "stop"),) if rim_forbidden(bench) else ()


def _against(bench: Bench, item: Item, remedies: Mapping[str, Sequence[Remedy]]) -> Against:
    what = bench.table.characteristics.get(item.characteristic)
    assembly = assembly_of(what).name if what else "Your own"
    clear = capital(_clear(item, what, remedies))
    return Against(item.id, item.name, item.place, assembly, item.text, clear, item.veto == "stops-engine", item.verdict)


def _clear(item: Item, what: Characteristic | None, remedies: Mapping[str, Sequence[Remedy]]) -> str:
    """The first remedy, but one that lands inside with amounts before mere words; else what the table says; else the answer of the reading."""
    found = remedies.get(item.id, ())
    if found:
        worded = found[0].id.startswith("as-written")
        return next((r for r in found if worded and r.reaches == "fit" and r.amount), found[0]).text
    if what is None:
        return "Your own limit: bring it inside, or look at the limit again."
    if item.verdict == "not_judged" and item.problem is not None:
        return f"Read it again so that it can be judged: {how(what)}"
    if item.finding:
        word = next((w for w in what.words if w.word == item.finding), None)
        if word is not None and word.remedy:
            return word.remedy
    if item.verdict == "undecided" and item.settles is not None:
        s = item.settles
        if s.how == "instrument":
            return f"Read it again with {with_article(s.tool)}."
        if s.how == "repeats":
            return f"Take {s.repeats} readings in the same place and average them."
        if s.how == "hands":
            return f"Try by hand: {s.test}."
    return what.remedies.get(item.side) or what.remedies.get("high") or what.consequence


def _not_looked(bench: Bench, missing: Missing) -> NotLooked:
    what = missing.characteristic
    return NotLooked(what.id, what.name, missing.instance, assembly_of(what).name, feature_words(missing.only_if), _how(bench, what),
                     what.start_critical)  # fmt: skip


def _how(bench: Bench, what: Characteristic) -> str:
    tool = tool_named(bench, what)
    return f"{how(what)}{f' Tool: {tool}.' if tool else ''}"


def _ordered(lines: Sequence[Against]) -> tuple[Against, ...]:
    return tuple(sorted(lines, key=lambda a: not a.stops_engine))


def _text(stops: Sequence[Against], doubts: Sequence[Against], missing: Sequence[NotLooked]) -> str:
    critical = [m for m in missing if m.start_critical]
    looked = "Nothing on the list was left out." if not missing else f"Not looked at: {_names(critical or missing, len(missing))}."
    if stops:
        names = _joined([a.name[:1].lower() + a.name[1:] + (f" ({a.place})" if a.place else "") for a in _ordered(stops)])
        return f"{len(stops)} thing{' stops' if len(stops) == 1 else 's stop'} you: {names}. {looked}"
    if doubts:
        return f"Nothing on this list stops you outright; {len(doubts)} cannot be told yet. {looked}"
    return f"Nothing on this list stops you. {looked}"


def _names(missing: Sequence[NotLooked], whole: int) -> str:
    names = dict.fromkeys(m.name[:1].lower() + m.name[1:] for m in missing)
    shown = list(names)[:8]
    rest = whole - sum(1 for m in missing if m.name[:1].lower() + m.name[1:] in shown)
    return _joined(shown) + (f" and {rest} more" if rest > 0 else "")


def _joined(names: Sequence[str], most: int = 8) -> str:
    shown = list(dict.fromkeys(names))
    return "; ".join(shown[:most]) + (f"; and {len(shown) - most} more" if len(shown) > most else "")


# -- plain values ------------------------------------------------------------------------------------------------


def to_dict(paper: Readiness) -> dict[str, Any]:
    """The paper as plain values for JSON."""

    def against(lines: Sequence[Against]) -> list[dict[str, Any]]:
        return [{"item": a.item_id, "name": a.name, "place": a.place or None, "assembly": a.assembly, "text": a.text, "clear": a.clear,
                 "stops_engine": a.stops_engine, "verdict": a.verdict} for a in lines]  # fmt: skip

    return {
        "paper": "readiness", "stage": paper.stage, "engine": {"id": paper.engine_id or None}, "units": paper.system, "edition": paper.edition,
        "text": paper.text, "stops": against(paper.stops), "doubts": against(paper.doubts),
        "not_looked_at": [{"characteristic": m.characteristic, "name": m.name, "place": m.place or None, "assembly": m.assembly,
                           "only_if": m.only_if or None, "clear": m.clear, "start_critical": m.start_critical} for m in paper.not_looked],
        "superseded": [{"item": s.item_id, "text": s.text, "by": s.by} for s in paper.superseded],
        "first_start": None if paper.checks is None else [
            {"title": g.title, "lines": [{"says": c.says, "caution": c.caution or None} for c in g.lines]} for g in paper.checks.groups],
    }  # fmt: skip
