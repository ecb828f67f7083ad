"""What each work says at an engine's size: comparable statements first, nearest kin first, and whether they support the adopted limit."""

from __future__ import annotations

from dataclasses import dataclass

from .errors import OutsideRange, RecordError, SpecdbError
from .facts import Engine, asks_for, truth
from .records import Characteristic, Evidence
from .resolve import Interval, Resolved
from .rules import Constant, Linear, Open, PerSpeed, Relative, Rule, Steps, Value, evaluate
from .table import Table

SLACK = 1e-12


@dataclass(frozen=True, slots=True)
class Said:
    """One work's statement at this engine's size, or why it cannot be compared."""

    evidence: Evidence
    comparable: bool
    why_not: str
    interval: Interval | None
    stance: str
    """``supports`` or ``differs`` from the adopted limit; empty where it cannot be compared or there is none."""


def evidence_said(table: Table, resolved: Resolved) -> tuple[Said, ...]:
    """What each work says at this size: comparable first, nearest kin first. Only what can be compared is worked out."""
    said = [s.said or _said(table, resolved, s) for s in _stated(table, resolved)]
    return (*(s for s in said if s.comparable), *(s for s in said if not s.comparable))


@dataclass(frozen=True, slots=True)
class _Stated:
    """A statement and all of it that no size of the engine can change.

    ``said``: why it can never be compared with this kind of engine. ``asks``: whether its conditions or sizes must be looked at.
    ``interval``: its bounds where both are plain figures.
    """

    evidence: Evidence
    said: Said | None
    asks: bool
    interval: Interval | None


def _stated(table: Table, resolved: Resolved) -> tuple[_Stated, ...]:
    """Evidence, nearest kin first; kept with the table for each kind of engine."""
    what, engine, limit = resolved.characteristic, resolved.engine, resolved.limit
    kept: dict[object, tuple[_Stated, ...]] = table.kept("evidence stated")
    key = (what.id, engine.engine_class.id, engine.features, engine.absent, limit.basis if limit else "")
    found = kept.get(key)
    if found is None:
        rank = {name: i for i, name in enumerate((engine.engine_class.id, *engine.engine_class.nearest_kin))}
        ranked = sorted(table.evidence_of(what.id), key=lambda e: (rank.get(e.kin, 99), e.id))
        found = kept[key] = tuple(_settled(table, resolved, e) for e in ranked)
    return found


def _settled(table: Table, resolved: Resolved, evidence: Evidence) -> _Stated:
    what, engine = resolved.characteristic, resolved.engine
    asks = evidence.sizes is not None or any(c.removeprefix("not ") in table.facts for c in evidence.when)
    why = "" if asks else _why_not(table, evidence, what, engine)
    if not why and evidence.unit is None:
        why = "words only"
    if not why and resolved.limit is not None and resolved.limit.basis != evidence.basis:
        why = f"on another basis ({evidence.basis})"
    plain = all(isinstance(bound, (Open, Constant)) for bound in (evidence.low, evidence.high))
    interval = stated_at(table, evidence, what, engine) if plain and evidence.unit is not None else None
    return _Stated(evidence, Said(evidence, False, why, None, "") if why else None, asks, interval)


def _said(table: Table, resolved: Resolved, stated: _Stated) -> Said:
    what, engine, evidence = resolved.characteristic, resolved.engine, stated.evidence
    why = _why_not(table, evidence, what, engine) if stated.asks else ""
    if why:
        return Said(evidence, False, why, None, "")
    try:
        interval = stated.interval or stated_at(table, evidence, what, engine)
    except (SpecdbError, RecordError) as error:
        return Said(evidence, False, str(error), None, "")
    return Said(evidence, True, "", interval, "" if resolved.limit is None else _stance(resolved, evidence, interval))


def stated_at(table: Table, evidence: Evidence, what: Characteristic, engine: Engine) -> Interval:
    """What a statement comes to at this engine's size, whether or not it can be compared.

    Raises:
        RuleError: it needs a dimension that is not known, or does not reach this size.
    """
    assert evidence.unit is not None

    def named(name: str) -> Value:
        other_id, _, side = name.rpartition(".")
        if other_id in ("", "fit", "wear"):
            raise OutsideRange("it is told from the size when new")
        other = table.evidence(other_id, what.id)
        return evaluate(other.low if side == "low" else other.high, engine.dimensions, named)

    low, high = (evaluate(b, engine.dimensions, named) for b in (evidence.low, evidence.high))
    return Interval(low, high, evidence.unit)


def _scales(bound: Rule | Open) -> bool:
    return isinstance(bound, (Linear, Steps, PerSpeed, Relative))


def _why_not(table: Table, evidence: Evidence, what: Characteristic, engine: Engine) -> str:
    """Why a statement cannot be laid beside this engine, or the empty string."""
    for condition in evidence.when:
        known = truth(condition, engine, what, table.features)
        if known is not True:
            return f"holds for {condition}" + ("" if known is False else f"; not known here: {asks_for(condition, what)}")
    if evidence.sizes is not None:
        size = engine.dimensions.get(evidence.sizes.of)
        if size is None:
            return f"stated for {evidence.sizes}"
        if not evidence.sizes.covers(size):
            return f"stated for {evidence.sizes}"
        return ""
    own_kind = table.classes[evidence.kin].kind == "class"
    if what.scales_with and not own_kind and not (_scales(evidence.low) or _scales(evidence.high)):
        return "a figure for another engine's size, not per inch"
    return ""


def _stance(resolved: Resolved, evidence: Evidence, interval: Interval) -> str:
    limit, fit, wear = resolved.limit, resolved.fit, resolved.wear
    assert limit is not None and fit is not None and wear is not None
    if evidence.id in limit.differs:
        return "differs"
    low, high = interval.low, interval.high
    if interval.unit is not fit.unit:
        scale = interval.unit.factor / fit.unit.factor
        low, high = (v if isinstance(v, Open) else v * scale for v in (low, high))
    if evidence.kind == "wear":
        pairs = [(low, wear.low), (high, wear.high)]
        close = [_close(a, b) for a, b in pairs if not isinstance(a, Open)]
        return "supports" if close and all(close) else "differs"
    if isinstance(low, Open) != isinstance(high, Open):
        return "supports" if _near_end(low, high, fit) else "differs"
    return "supports" if _overlap(low, high, fit) else "differs"


def _near_end(low: Value, high: Value, fit: Interval) -> bool:
    """A statement of one end only supports a fit that does not begin (or end) a tenth inside it."""
    if not isinstance(low, Open):
        return isinstance(fit.low, Open) or float(low) <= float(fit.low) * 1.1
    return isinstance(high, Open) or isinstance(fit.high, Open) or float(high) >= float(fit.high) * 0.9


def _close(a: Value, b: Value) -> bool:
    """Within a tenth of each other. A stance is a remark, not a verdict, so floats will do."""
    if isinstance(a, Open) or isinstance(b, Open):
        return False
    x, y = float(a), float(b)
    return abs(x - y) * 10 <= max(abs(x), abs(y)) * (1 + SLACK)


def _overlap(low: Value, high: Value, fit: Interval) -> bool:
    above = not isinstance(low, Open) and not isinstance(fit.high, Open) and float(low) > float(fit.high) * (1 + SLACK)
    below = not isinstance(high, Open) and not isinstance(fit.low, Open) and float(high) < float(fit.low) * (1 - SLACK)
    return not above and not below
