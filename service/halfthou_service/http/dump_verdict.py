"""A judged sheet as plain values for JSON; readings that could not be read stand among the items with their problem."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from halfthou_specdb.units import Unit

from ..bench import texts
from ..bench.item import Item
from ..bench.readings import Place, Reading
from ..bench.second_opinion import second_opinion
from ..bench.sheet import Contradiction, Missing, Overall, SheetAnswer
from ..bench.sources import SourceVerdict
from ..bench.speak import unit_for
from ..bench.verdict import Bench
from . import dump_opinion
from .dump_limit import cautions, limit_in_short
from .dump_survey import diameter_of
from .dump_values import four_figures, told_u, told_value
from .faults import Fault
from .parse_reading import Refused
from .parse_survey import RefusedSurvey
from .state import Shop


def sheet(
    shop: Shop, bench: Bench, answer: SheetAnswer, items: list[dict[str, Any]], refused: Sequence[Refused | RefusedSurvey],
    surveys: list[dict[str, Any]],
) -> dict[str, Any]:  # fmt: skip
    """The whole answer."""
    rules = bench.rules
    return {
        "edition": shop.edition, "decision_rule": rules.decision_rule,
        **({"ratio": rules.ratio} if rules.decision_rule == "simple_n_to_1" else {}),
        "confidence": rules.confidence, "judged_by": rules.judged_by,
        "engine": {"id": bench.engine.id or None, "engine_class": bench.engine.engine_class.id, "use": bench.engine.use},
        "overall": _overall(shop, answer.overall, refused, len(items)), "limits": _limits(shop, bench, answer), "items": items,
        "surveys": surveys,
        "missing": [_missing(m) for m in answer.missing], "contradictions": [_contradiction(c) for c in answer.contradictions],
        "cautions": cautions(shop, answer.cautions),
    }  # fmt: skip


def item(found: Item, reading: Reading | None, pointer: str, bench: Bench) -> dict[str, Any]:
    """One judged reading, or one figure of a survey (``reading`` None). Values are told in the reader's own unit, or in the system asked for."""
    own = found.unit
    told = unit_for(own, bench.rules.units) if own else None
    u_scale = float(own.factor / told.factor) if own and told else 1.0
    body: dict[str, Any] = {
        "id": found.id, "characteristic": found.characteristic, "name": found.name, "component": found.component or None,
        "place": place(reading.place if reading else found.at), "verdict": found.verdict, "side": found.side or None, "as_new": found.as_new or None,
        "p_fit": found.p_fit, "p_serviceable": found.p_serviceable, "value": told_value(found.value, own, told),
        "finding": found.finding or None, "standard_uncertainty": told_u(found.u, u_scale, told),
        "degrees_of_freedom": None if found.dof is None or math.isinf(found.dof) else float(f"{found.dof:.4g}"),
        "instrument": found.instrument or None, "budget": _budget(found, u_scale, told), "limit_id": found.limit_id, "text": found.text,
        "assumed": list(found.assumed), "veto": found.veto or None, "cautions": list(dict.fromkeys(found.cautions)),
    }  # fmt: skip
    if found.settles is not None:
        s = found.settles
        body["settles"] = {"how": s.how, "capable": s.capable, "instrument": s.instrument or None, "repeats": s.repeats or None,
                           "test": s.test or None}  # fmt: skip
    if bench.rules.judged_by == "each-source":
        body["by_source"] = [_source(source) for source in found.by_source]
    opinion = second_opinion(bench, found, reading) if reading is not None else None
    if opinion is not None:
        body["second_opinion"] = dump_opinion.second_opinion(opinion, found, bench)
    if found.problem is not None:
        p = found.problem
        body["problem"] = problem(Fault(p.code, p.detail, pointer, near=p.near))
    return body


def refused_item(shop: Shop, entry: Refused, prefix: str) -> dict[str, Any]:
    """A reading, or a survey under the name of its diameter, that could not be read."""
    first = entry.faults[0].under(prefix)
    what = shop.table.characteristics.get(entry.characteristic)
    name = what.name if what else entry.characteristic or entry.id
    where = f" ({entry.place})" if entry.place else ""
    detail = texts.capital(first.detail) + ("" if first.detail.endswith((".", "?")) else ".")
    if first.line:
        detail += f" It stands on line {first.line}{f', column {first.column}' if first.column else ''}."
    more = f" {len(entry.faults) - 1} more fault{'s' if len(entry.faults) > 2 else ''} in it." if len(entry.faults) > 1 else ""
    return {
        "id": entry.id, "characteristic": entry.characteristic or None, "name": name, "component": what.component if what else None,
        "place": None,
        "verdict": "not_judged", "side": None, "as_new": None, "p_fit": None, "p_serviceable": None, "value": None, "finding": None,
        "standard_uncertainty": None, "degrees_of_freedom": None, "instrument": None, "budget": [], "limit_id": None,
        "text": texts.TEMPLATES["not_judged"].format(head=f"{name}{where}", reason=detail + more),
        "assumed": [], "veto": None, "cautions": [], "problem": problem(first),
    }  # fmt: skip


def problem(fault: Fault) -> dict[str, Any]:
    """Why an item was not judged."""
    told = fault.to_json()
    return {"type": f"/problems/{fault.code}", "code": fault.code, "detail": fault.detail, "pointer": fault.pointer, "near": []} | told


def place(where: Place) -> dict[str, Any] | None:
    """Where a reading was taken; None where it does not say."""
    if not (where.instance or where.station or where.axis):
        return None
    return {"instance": where.instance or None, "station": where.station or None, "axis": where.axis or None}


def _budget(found: Item, scale: float, told: Unit | None) -> list[dict[str, Any]]:
    """The parts of the uncertainty, in the unit of the value (an angle read on the rim has parts in another unit)."""
    if found.u is None or told is None or not found.lines:
        return []
    whole = math.sqrt(math.fsum(line.u**2 for line in found.lines))
    share = found.u * scale / whole if whole else scale
    return [
        {"name": line.name, "standard_uncertainty": {"value": four_figures(line.u * share), "unit": told.token}, "grade": line.grade,
         "random": line.random}
        for line in found.lines
    ]  # fmt: skip


def _source(source: SourceVerdict) -> dict[str, Any]:
    return {"work": source.work, "written_for": source.written_for, "verdict": source.verdict, "p_fit": source.p_fit,
            "p_serviceable": source.p_serviceable, "evidence": list(source.evidence), "text": source.text}  # fmt: skip


def _limits(shop: Shop, bench: Bench, answer: SheetAnswer) -> dict[str, Any]:
    """Each limit that an item names, told once, in the unit of the first item that names it."""
    limits: dict[str, Any] = {}
    for found in answer.items:
        resolved = bench.resolved.get(found.characteristic)
        if found.limit_id is None or found.limit_id in limits or resolved is None or resolved.limit is None:
            continue
        if resolved.limit.id == found.limit_id:
            system = bench.rules.units or (found.unit.system if found.unit else "")
            limits[found.limit_id] = limit_in_short(shop, resolved, system) | {"cautions": list(resolved.limit.cautions)}
    return limits


def _missing(found: Missing) -> dict[str, Any]:
    what = found.characteristic
    return {
        "characteristic": what.id, "name": what.name, "component": what.component, "instance": found.instance or None,
        "only_if": list(found.only_if), "stage": what.stage, "start_critical": what.start_critical, "how_to_measure": what.how_to_measure,
        "text": found.text,
    }  # fmt: skip


def _contradiction(found: Contradiction) -> dict[str, Any]:
    return {"ids": list(found.ids), "text": found.text}


def _overall(shop: Shop, overall: Overall, refused: Sequence[Refused | RefusedSurvey], total: int) -> dict[str, Any]:
    counts = dict(overall.counts)
    components = {name: dict(found) for name, found in overall.by_component.items()}
    text = overall.text
    if refused:
        counts["not_judged"] = counts.get("not_judged", 0) + len(refused)
        for entry in refused:
            name = entry.characteristic if isinstance(entry, Refused) else diameter_of(shop, entry.feature)
            what = shop.table.characteristics.get(name)
            found = components.setdefault(what.component if what else "your own", {})
            found["not_judged"] = found.get("not_judged", 0) + 1
        what_of = "readings" if all(isinstance(entry, Refused) for entry in refused) else "readings and surveys"
        text = f"{len(refused)} of {total} {what_of} could not be read. Of the rest: {text}"
    return {"counts": counts, "by_component": components, "stops": overall.stops, "not_looked_at": overall.not_looked_at,
            "wrong_pass_bound": overall.wrong_pass_bound, "text": text}  # fmt: skip
