"""A resolved limit as plain values for JSON: intervals at this size, the rule in words, whose each end is, and the evidence."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from simplejson import RawJSON

from halfthou_specdb.records import ENDS, Caution, Limit, weakest
from halfthou_specdb.resolve import Interval, Resolved
from halfthou_specdb.rules import Bound, Open, Value, in_words
from halfthou_specdb.said import Said, evidence_said
from halfthou_specdb.table import Table
from halfthou_specdb.units import Unit

from ..bench.speak import convert, say, unit_for
from ..bench.texts import STANDING_WORDS
from . import dump_records as records
from . import jsonio
from .state import Shop

NO_INTERVAL = {"low": Open.NONE_ON_FILE.value, "high": Open.NONE_ON_FILE.value}


def bound(value: Value, given: Unit, wanted: Unit) -> Any:
    """A quantity in the unit of the answer, or the word for an open side."""
    told = convert(value, given, wanted)
    return told.value if isinstance(told, Open) else {"value": records.number(told), "unit": wanted.token}


def interval(found: Interval | None, wanted: Unit) -> dict[str, Any]:
    """Two bounds."""
    if found is None:
        return dict(NO_INTERVAL)
    return {"low": bound(found.low, found.unit, wanted), "high": bound(found.high, found.unit, wanted)}


def answer_unit(resolved: Resolved, system: str) -> Unit | None:
    """The unit a limit is told in: its own, or the usual one of the system asked for."""
    return unit_for(resolved.limit.unit, system) if resolved.limit else None


def limit_in_short(shop: Shop, resolved: Resolved, system: str) -> dict[str, Any]:
    """A limit as a sheet tells it once: everything but the evidence."""
    table, what, engine, limit = shop.table, resolved.characteristic, resolved.engine, resolved.limit
    unit = answer_unit(resolved, system)
    size = engine.dimensions.get(what.scales_with[0]) if what.scales_with else None
    fixed: dict[str, Any] = _fixed(resolved) if limit is None or limit.owner else shop.kept(
        "limit", f"{limit.id} {engine.engine_class.id}", lambda: _fixed(resolved))
    return fixed | {
        "use": engine.use, "size": records.quantity(size), "unit": unit.token if unit else what.unit or None,
        "fit": interval(resolved.fit, unit) if unit else dict(NO_INTERVAL),
        "wear": interval(resolved.wear, unit) if unit else dict(NO_INTERVAL),
        "serviceable": interval(resolved.serviceable, unit) if unit else dict(NO_INTERVAL),
        "asked": list(resolved.asked), "text": _text(table, resolved, unit),
    }  # fmt: skip


def _fixed(resolved: Resolved) -> dict[str, Any]:
    """What no size and no use changes: the same for every engine of one class."""
    what, engine, limit = resolved.characteristic, resolved.engine, resolved.limit
    standings = {end: resolved.standings[end] for end in ENDS if end in resolved.standings}
    body: dict[str, Any] = {
        "characteristic": what.id, "name": what.name, "component": what.component, "engine_class": engine.engine_class.id,
        "use": "", "size": None, "limit_id": limit.id if limit else None, "kind": _kind(resolved),
        "basis": limit.basis if limit else what.basis, "unit": None,
        "sizes": str(limit.sizes) if limit and limit.sizes else "", "rule_text": rule_text(limit) if limit else "",
        "reasoning": _reasoning(resolved), "fit": None, "wear": None, "serviceable": None,
        "standing": {end: s.standing for end, s in standings.items()}, "grades": {end: s.grade for end, s in standings.items()},
        "grade": weakest([s.grade for s in standings.values()]) if standings else None,
        "carried_from": {end: list(s.carried_from) for end, s in standings.items() if s.carried_from},
        "side_meaning": {"low": what.low_side.meaning, "high": what.high_side.meaning},
        "side_says": {"low": what.low_side.says, "high": what.high_side.says}, "asked": [], "text": "",
    }  # fmt: skip
    if resolved.absence is not None:
        body["instead"] = resolved.absence.instead
    if what.value_kind == "finding":
        body["words"] = records.words(what)
    return body


def limit_in_full(shop: Shop, resolved: Resolved, system: str, evidence: str) -> dict[str, Any]:
    """A limit as ``GET /v1/limits`` tells it. ``evidence``: ``full``, ``ids`` or ``none``."""
    body = limit_in_short(shop, resolved, system)
    said = evidence_said(shop.table, resolved) if evidence != "none" else ()
    unit = answer_unit(resolved, system)
    body |= {"edition": shop.edition}
    if evidence != "none":
        body |= {"works_supporting": _works(said, "supports"), "works_differing": _works(said, "differs")}
    body |= {
        "near_misses": list(resolved.near_misses), "evidence": [],
        "cautions": cautions(shop, (*(resolved.limit.cautions if resolved.limit else ()), *resolved.characteristic.cautions)),
    }  # fmt: skip
    if evidence == "full":
        body["evidence"] = [_evidence(shop, s, unit, system) for s in said]
    elif evidence == "ids":
        body["evidence"] = [{"id": s.evidence.id, "comparable": s.comparable, "stance": s.stance} for s in said]
    return body


def cautions(shop: Shop, ids: Iterable[str]) -> list[dict[str, Any]]:
    """Full cautions by id, each once."""
    found: list[Caution] = [shop.table.cautions[i] for i in dict.fromkeys(ids) if i in shop.table.cautions]
    return [shop.kept("caution", c.id, lambda c=c: records.caution(c)) for c in found]  # type: ignore[misc]


def _kind(resolved: Resolved) -> str:
    if resolved.limit is not None:
        return resolved.limit.kind
    if resolved.characteristic.value_kind == "finding":
        return "finding"
    return "none_published" if resolved.absence is not None else "none_on_file"


def _reasoning(resolved: Resolved) -> str:
    if resolved.limit is not None:
        return resolved.limit.reasoning
    return resolved.absence.reason if resolved.absence else ""


def _works(said: Iterable[Said], stance: str) -> int:
    return len({s.evidence.work for s in said if s.stance == stance and s.evidence.work})


def _not_comparable(shop: Shop, said: Said) -> RawJSON:
    """A statement that cannot be laid beside this engine, encoded once: nothing in it changes with the size."""
    key = f"{said.evidence.id} {said.why_not}"
    kept: RawJSON = shop.kept("not comparable", key, lambda: _joined(shop, said, NO_WORKED, None))
    return kept


def _evidence(shop: Shop, said: Said, unit: Unit | None, system: str) -> RawJSON:
    """A statement worked out at this size; what does not change with the size is encoded once."""
    if said.interval is None:
        return _not_comparable(shop, said)
    own = said.interval.unit
    told = unit if unit is not None and unit.dimension == own.dimension else unit_for(own, system)
    low, high = (_encoded(value, own, told) for value in (said.interval.low, said.interval.high))
    return _joined(shop, said, f'{{"low":{low},"high":{high}}}', told)


def _joined(shop: Shop, said: Said, worked: str, unit: Unit | None) -> RawJSON:
    fixed: str = shop.kept("evidence", said.evidence.id, lambda: jsonio.dumps(_statement(shop, said))[:-1])
    why = jsonio.dumps(said.why_not) if said.why_not else '""'
    token = f'"{unit.token}"' if unit else "null"
    comparable = "true" if said.comparable else "false"
    return RawJSON(f'{fixed},"comparable":{comparable},"why_not":{why},"stance":"{said.stance}","interval":{worked},"unit":{token}}}')


NO_WORKED = "null"


def _encoded(value: Value, given: Unit, wanted: Unit) -> str:
    told = convert(value, given, wanted)
    return f'"{told.value}"' if isinstance(told, Open) else f'{{"value":{records.number(told)},"unit":"{wanted.token}"}}'


def _statement(shop: Shop, said: Said) -> dict[str, Any]:
    record = said.evidence
    return {
        "id": record.id, "work": record.work or None,
        "title": shop.table.works[record.work].title if record.work in shop.table.works else None, "locator": record.locator,
        "grade": record.grade, "kin": record.kin, "written_for": record.written_for, "says": record.says, "kind": record.kind,
        "basis": record.basis, "when": list(record.when), "sizes": str(record.sizes) if record.sizes else "", "note": record.note,
        "second_reading": record.second_reading or None, "scan_doubt": record.scan_doubt,
    }  # fmt: skip


# -- words -------------------------------------------------------------------------------------------------------


def rule_text(limit: Limit) -> str:
    """Both intervals as rules, in words."""
    name = {"guide": "usual", "safety": "take care outside"}.get(limit.kind, "new fit")
    fit = _pair(limit.fit_low, limit.fit_high, limit.unit)
    parts = [f"{name}: {fit}"] if fit else []
    for side, word in (("low", "under"), ("high", "over")):
        end = limit.bound(f"wear_{side}")
        if not isinstance(end, Open):
            parts.append(f"{'stop' if limit.kind == 'safety' else 'worn out'} {word} {in_words(end, limit.unit)}")
    return "; ".join(parts)


def _pair(low: Bound, high: Bound, unit: Unit) -> str:
    if low == high and not isinstance(low, Open):
        return in_words(low, unit)
    if isinstance(low, Open):
        return "" if isinstance(high, Open) else f"up to {in_words(high, unit)}"
    return f"{in_words(low, unit)} or more" if isinstance(high, Open) else f"from {in_words(low, unit)}, to {in_words(high, unit)}"


def _text(table: Table, resolved: Resolved, unit: Unit | None) -> str:
    """One line, in shop words, with bounds rounded toward the strict side."""
    what, limit = resolved.characteristic, resolved.limit
    if limit is None or unit is None or resolved.fit is None or resolved.wear is None:
        if what.value_kind == "finding":
            return f"{what.name}: told in words, not measured."
        if resolved.absence is not None:
            return f"{what.name}: {resolved.absence.reason.rstrip('.')}. Instead: {resolved.absence.instead.rstrip('.')}."
        return f"{what.name}: no limit for this kind of engine is on file."
    if limit.kind == "safety":
        care, stop = (_past(table, resolved, found, unit, part) for found, part in ((resolved.fit, "fit"), (resolved.wear, "wear")))
        told = "; ".join(part for part in (f"stop {stop}" if stop else "", f"take care {care}" if care and care != stop else "") if part)
        return f"{what.name}: {told or 'no figure on file'}."
    name = {"guide": "usual"}.get(limit.kind, "new fit")
    fit = _said(table, resolved, resolved.fit, unit, "fit")
    wear = _said(table, resolved, resolved.wear, unit, "wear")
    last = {"guide": "bounds"}.get(limit.kind, "goes back while")
    parts = [f"{name} {fit}" if fit else "", f"{last} {wear}" if wear else ""]
    return f"{what.name}: {'; '.join(part for part in parts if part) or 'no figure on file'}."


def _past(table: Table, resolved: Resolved, found: Interval, unit: Unit, part: str) -> str:
    """``over 5000 ft/min (carried over from ...)``; both sides where both have a figure."""
    ends = []
    for side, value, word in (("low", found.low, "under"), ("high", found.high, "over")):
        told = convert(value, found.unit, unit)
        if not isinstance(told, Open):
            ends.append(f"{word} {say(told, unit, side)} ({_whose(table, resolved, f'{part}_{side}')})")
    return " or ".join(ends)


def _said(table: Table, resolved: Resolved, found: Interval, unit: Unit, part: str) -> str:
    ends = []
    for side, value in (("low", found.low), ("high", found.high)):
        told = convert(value, found.unit, unit)
        if not isinstance(told, Open):
            ends.append((side, say(told, unit, side)))
    if not ends:
        return ""
    words = {"low": "not under", "high": "not over"} if part == "wear" else {"low": "from", "high": "up to"}
    if len(ends) == 2 and part == "fit":
        text = ends[0][1] if found.low == found.high else _between(ends[0][1], ends[1][1])
    else:
        text = " and ".join(f"{words[side]} {figure}" for side, figure in ends)
    return f"{text} ({', '.join(dict.fromkeys(_whose(table, resolved, f'{part}_{side}') for side, _ in ends))})"


def _between(low: str, high: str) -> str:
    """``2.2 to 3.9 thou``: a unit that both ends share is said once."""
    tail = low.rpartition(" ")[2]
    return f"{low.removesuffix(' ' + tail)} to {high}" if high.endswith(f" {tail}") else f"{low} to {high}"


def _whose(table: Table, resolved: Resolved, end: str) -> str:
    standing = resolved.standings.get(end)
    if standing is None:
        return "no standing"
    kin = ", ".join(table.classes[k].name.lower() for k in standing.carried_from[:2])
    words = STANDING_WORDS[standing.standing].format(kin=kin)
    return f"{words}, from memory, unchecked" if standing.grade == "from-memory" else words
