"""Which limit holds for a characteristic of an engine, and what each work says at that size.

Order: the owner's overlay, then the adopted limits whose conditions are all known true, most specific first by class,
conditions, use, narrowest size range. Where a condition is not known the stricter limit applies and the answer asks for the
missing fact. Nothing is extrapolated: outside every range is an error that names the ranges.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from .errors import MissingDimension, OutsideRange, RuleError, SpecdbError
from .facts import Engine, all_known, asks_for, truth
from .quantity import Quantity
from .records import USES, Absence, Characteristic, Limit
from .rules import NONE_ON_FILE, UNBOUNDED, Open, Value
from .standing import EndStanding, end_standings, worked_out
from .table import Table
from .units import Unit

ANY = "any"
SLACK = 1e-12


@dataclass(frozen=True, slots=True)
class Interval:
    """Two sides in one unit; a side may be open."""

    low: Value
    high: Value
    unit: Unit


@dataclass(frozen=True, slots=True)
class Resolved:
    """The limit that holds, worked out at this engine's size; or none, with the absence or near misses that say why."""

    characteristic: Characteristic
    engine: Engine
    limit: Limit | None
    fit: Interval | None
    wear: Interval | None
    standings: Mapping[str, EndStanding]
    asked: tuple[str, ...]
    """Facts that would settle a condition, where a stricter limit was taken for want of them."""
    absence: Absence | None
    near_misses: tuple[str, ...]

    @property
    def serviceable(self) -> Interval | None:
        """May it go back? On each side the wear bound where one is on file, unbounded where harmless, else the fit bound."""
        if self.fit is None or self.wear is None:
            return None
        what = self.characteristic
        low = _serviceable(self.wear.low, self.fit.low, what.low_side.meaning)
        return Interval(low, _serviceable(self.wear.high, self.fit.high, what.high_side.meaning), self.fit.unit)


def _serviceable(wear: Value, fit: Value, meaning: str) -> Value:
    if not isinstance(wear, Open):
        return wear
    if meaning == "harmless" or wear is UNBOUNDED:
        return UNBOUNDED
    return fit


def resolve(table: Table, what: Characteristic, engine: Engine, overlay: tuple[Limit, ...] = ()) -> Resolved:
    """The limit for a characteristic of an engine.

    Raises:
        MissingDimension: the limit scales with a dimension the engine does not state.
        OutsideRange: the size lies outside every range on file; the message names them.
    """
    adopted = [m for m in _ranked(table, what.id) if ANY in m.classes or engine.engine_class.id in m.classes]
    own = sorted((m for m in overlay if m.characteristic == what.id), key=_specific)
    chosen: Limit | None = None
    asked: tuple[str, ...] = ()
    worked = _Worked(table, engine)
    for pool in (own, adopted) if own else (adopted,):
        try:
            chosen, asked = _choose(worked, what, pool)
        except RuleError:
            if pool is adopted or not adopted:
                raise
        if chosen is not None:
            break
    if chosen is not None and chosen.owner:
        chosen = _no_softer(worked, what, chosen, [m for m in adopted if m.kind == "safety"])
    if chosen is None:
        return _none(table, what, engine, adopted)
    ends = worked.ends(chosen)
    return Resolved(
        what, engine, chosen, Interval(ends["fit_low"], ends["fit_high"], chosen.unit),
        Interval(ends["wear_low"], ends["wear_high"], chosen.unit), end_standings(table, chosen, engine.engine_class.id),
        asked, None, (),
    )  # fmt: skip


class _Worked:
    """The four ends of each limit of one engine, worked out once."""

    def __init__(self, table: Table, engine: Engine) -> None:
        self.table, self.engine = table, engine
        self._ends: dict[str, dict[str, Value]] = {}

    def ends(self, limit: Limit) -> dict[str, Value]:
        found = self._ends.get(limit.id)
        if found is None:
            found = self._ends[limit.id] = worked_out(self.table, limit, self.engine.dimensions)
        return found


def _ranked(table: Table, characteristic: str) -> tuple[Limit, ...]:
    """The adopted limits of a characteristic, most specific first; kept with the table."""
    kept: dict[str, tuple[Limit, ...]] = table.kept("ranked limits")
    found = kept.get(characteristic)
    if found is None:
        found = kept[characteristic] = tuple(sorted(table.limits_of.get(characteristic, ()), key=_specific))
    return found


def _choose(worked: _Worked, what: Characteristic, pool: list[Limit]) -> tuple[Limit | None, tuple[str, ...]]:
    """The first whose conditions are all known true, or a stricter one before it whose conditions are not known. ``pool`` is ranked."""
    engine, features = worked.engine, worked.table.features
    usable = [(m, known) for m in pool if _use_fits(m, engine.use) and (known := all_known(m.when, engine, what, features)) is not False]
    inside = [(m, known) for m, known in usable if _size_fits(m, engine)]
    if not inside:
        if usable:
            raise OutsideRange(_ranges(usable[0][0], [m for m, _ in usable], engine))
        return None, ()
    first = next((i for i, (_, known) in enumerate(inside) if known), len(inside))
    best = inside[first][0] if first < len(inside) else None
    asked: list[str] = []
    for limit, _ in inside[:first]:
        asked += [asks_for(c, what) for c in limit.when if truth(c, engine, what, features) is None]
        if best is None or _reach(limit, worked.ends(limit), what) < _reach(best, worked.ends(best), what):
            best = limit
    return best, tuple(dict.fromkeys(asked))


def _use_fits(limit: Limit, use: str) -> bool:
    return limit.use in (ANY, use, "work")


def _size_fits(limit: Limit, engine: Engine) -> bool:
    if limit.sizes is None:
        return True
    size = engine.dimensions.get(limit.sizes.of)
    if size is None:
        raise MissingDimension(limit.sizes.of)
    return limit.sizes.covers(size)


def _ranges(first: Limit, limits: list[Limit], engine: Engine) -> str:
    assert first.sizes is not None
    size = engine.dimensions[first.sizes.of]
    spans = "; ".join(dict.fromkeys(str(m.sizes) for m in limits))
    return f"{first.sizes.of} {size} lies outside every range on file ({spans}); nothing is extrapolated"


def _specific(limit: Limit) -> tuple[bool, int, int, int, Fraction, str]:
    classes = 99 if ANY in limit.classes else len(limit.classes)
    width = limit.sizes.high.canonical - limit.sizes.low.canonical if limit.sizes else Fraction(10**9)
    return (not limit.owner, classes, -len(limit.when), -USES.index(limit.use) if limit.use in USES else 9, width, limit.id)


def ties(a: Limit, b: Limit) -> bool:
    """Whether two limits of one characteristic are equally specific for some engine, so that none of the two is the one that holds."""
    if a.characteristic != b.characteristic or _specific(a)[:-1] != _specific(b)[:-1] or set(a.when) != set(b.when):
        return False
    if a.sizes is None or b.sizes is None or a.sizes.of != b.sizes.of:
        return True
    return a.sizes.low.canonical < b.sizes.high.canonical and b.sizes.low.canonical < a.sizes.high.canonical


def _reach(limit: Limit, ends: dict[str, Value], what: Characteristic) -> tuple[Fraction, Fraction]:
    """Width of the serviceable interval, then of the fit; an open side counts as very wide."""
    far = Fraction(10**9)

    def width(low: Value, high: Value) -> Fraction:
        return (far if isinstance(high, Open) else high) - (-far if isinstance(low, Open) else low)

    low = _serviceable(ends["wear_low"], ends["fit_low"], what.low_side.meaning)
    high = _serviceable(ends["wear_high"], ends["fit_high"], what.high_side.meaning)
    scale = limit.unit.factor
    return width(low, high) * scale, width(ends["fit_low"], ends["fit_high"]) * scale


def _no_softer(worked: _Worked, what: Characteristic, own: Limit, safety: list[Limit]) -> Limit:
    """An owner's figure may only tighten a safety limit."""
    rule, _ = _choose(worked, what, safety)
    if rule is None:
        return own
    try:
        theirs = worked.ends(own)
    except RuleError:
        return rule
    return rule if softer(theirs, worked.ends(rule), own.unit.factor / rule.unit.factor) else own


def softer(own: Mapping[str, Value], rule: Mapping[str, Value], scale: Fraction) -> bool:
    """Whether an owner's ends leave any side of a safety limit looser; ``scale`` turns the owner's unit into the rule's."""
    for end, instead in (("wear_low", "fit_low"), ("wear_high", "fit_high"), ("fit_low", "wear_low"), ("fit_high", "wear_high")):
        bound = rule[end]
        if isinstance(bound, Open):
            continue
        given = own[end] if not isinstance(own[end], Open) else own[instead]
        if isinstance(given, Open) or (given * scale < bound if end.endswith("low") else given * scale > bound):
            return True
    return False


def _none(table: Table, what: Characteristic, engine: Engine, adopted: list[Limit]) -> Resolved:
    absences = table.absences_of.get(what.id, ())
    absence = next((a for a in absences if ANY in a.classes or engine.engine_class.id in a.classes), None)
    others = [m for m in table.limits_of.get(what.id, ()) if m not in adopted]
    near = [f"{m.id}: for {', '.join(m.classes)}" for m in others]
    near += [f"{m.id}: only when {', '.join(m.when)}" for m in adopted if m.when]
    return Resolved(what, engine, None, None, None, {}, (), absence, tuple(near))


def with_size(engine: Engine, what: Characteristic, size: Quantity) -> Engine:
    """The engine with the dimension that this characteristic scales with set to ``size``.

    Raises:
        SpecdbError: the characteristic scales with no dimension.
    """
    if not what.scales_with:
        raise SpecdbError(f"{what.id} does not scale with a size")
    dims = dict(engine.dimensions) | {what.scales_with[0]: size}
    return Engine(engine.engine_class, engine.use, engine.id, engine.features, engine.absent, dims)


__all__ = ["NONE_ON_FILE", "UNBOUNDED", "Interval", "Resolved", "resolve", "softer", "ties", "with_size"]
