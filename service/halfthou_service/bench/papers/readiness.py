"""What stands against putting it together or starting it: what stops you, what is in doubt, what nobody looked at, each with a way to clear it.

This paper says what was found and what was not looked at. It never says more than that.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from halfthou_specdb.records import Characteristic

from ..decide import VerdictWord
from ..readings import Reading
from ..remedies import Remedy, RemedyFacts, remedies_by_item
from ..sheet import Missing, SheetAnswer, judge_sheet
from ..surveys.survey import Survey
from ..texts import capital
from ..verdict import Bench, Item
from ..wording import with_article
from .assemblies import assembly_of, feature_words, how
from .figures import System
from .first_start import FirstStart, first_start

Stage = Literal["assembly", "first-start"]
STOPS = frozenset({"stop", "beyond_limit", "outside_fit"})
DOUBTS = frozenset({"undecided", "not_judged"})
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
    """The paper. ``superseded``: bad readings as found that a later reading of the same place has answered."""

    stage: Stage
    engine_id: str
    system: System
    edition: str
    text: str
    stops: tuple[Against, ...]
    doubts: tuple[Against, ...]
    not_looked: tuple[NotLooked, ...]
    superseded: tuple[str, ...]
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
    live = [i for i in found.items if i.id not in answered]
    stops = tuple(_against(at, i, remedies) for i in live if i.verdict in STOPS)
    # A size without a limit is not judged and is no doubt; a reading that could not be judged for a fault is one.
    doubts = (*unread, *(_against(at, i, remedies) for i in live
                         if i.verdict in DOUBTS and not (i.verdict == "not_judged" and i.problem is None)))  # fmt: skip
    missing = tuple(_not_looked(at, m) for m in found.missing)
    checks = first_start(at, system) if stage == "first-start" else None
    return Readiness(stage, bench.engine.id, system, bench.table.edition, _text(stops, doubts, missing), _ordered(stops), _ordered(doubts), missing,
                     tuple(sorted(answered)), checks)  # fmt: skip


def replace_stage(bench: Bench, stage: Stage) -> Bench:
    """The same bench, asking for what a stage needs; resolved limits are shared."""
    return replace(bench, rules=replace(bench.rules, stage=stage))


def _superseded(found: SheetAnswer, readings: Sequence[Reading]) -> set[str]:
    """Items as found whose characteristic and instance were read again as made; a stop of the engine only by the same place."""
    made = {(r.characteristic, r.place.instance) for r in readings if r.state == "as_made"}
    by_id = {r.id: r for r in readings}
    gone = set()
    for item in found.items:
        reading = by_id.get(item.id)
        if reading is None or reading.state != "as_found" or item.verdict not in STOPS | DOUBTS:
            continue
        here = (reading.characteristic, reading.place.instance)
        if here in made and (item.veto != "stops-engine" or reading.place.instance):
            gone.add(item.id)
    return gone


def _against(bench: Bench, item: Item, remedies: Mapping[str, Sequence[Remedy]]) -> Against:
    what = bench.table.characteristics.get(item.characteristic)
    assembly = assembly_of(what).name if what else "Your own"
    clear = capital(_clear(item, what, remedies))
    return Against(item.id, item.name, item.place, assembly, item.text, clear, item.veto == "stops-engine", item.verdict)


def _clear(item: Item, what: Characteristic | None, remedies: Mapping[str, Sequence[Remedy]]) -> str:
    """The first remedy with amounts; else what the table says for this side or word; else the answer of the reading itself."""
    for remedy in remedies.get(item.id, ()):
        return remedy.text
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
    tool = bench.table.instruments.get(what.usual_instrument)
    return f"{how(what)}{f' Tool: {tool.name}.' if tool else ''}"


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
        "superseded": list(paper.superseded),
        "first_start": None if paper.checks is None else [
            {"title": g.title, "lines": [{"says": c.says, "caution": c.caution or None} for c in g.lines]} for g in paper.checks.groups],
    }  # fmt: skip
