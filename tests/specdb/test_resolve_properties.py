"""Resolving as a law: the same answer twice, the more specific first, the stricter where a fact is not known."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from halfthou_specdb.errors import MissingDimension, OutsideRange
from halfthou_specdb.facts import Engine, all_known
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Limit
from halfthou_specdb.resolve import Resolved, resolve
from halfthou_specdb.rules import Constant, Open, Value, evaluate
from halfthou_specdb.said import evidence_said
from halfthou_specdb.standing import bound_named
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS

TABLE = Table.from_files()
CLASSES = [k for k in TABLE.classes.values() if k.kind == "class"]
LIMITED = sorted(TABLE.limits_of)
GROUPS: dict[str, list[str]] = {}
for _feature in TABLE.features.values():
    GROUPS.setdefault(_feature.group or _feature.id, []).append(_feature.id)
USES = ("work", "demonstrate", "show")
FAR = Fraction(10**9)


@st.composite
def engines(draw: st.DrawFn, everything: bool = False) -> Engine:
    """An engine of any class; its dimensions and features partly known."""
    sizes: dict[str, Quantity] = {}
    for dimension in TABLE.dimensions.values():
        if everything or draw(st.booleans()):
            top = 700 if dimension.unit == "rpm" else 10
            sizes[dimension.id] = Quantity.of(draw(st.decimals(min_value=0.25, max_value=top, places=3)), dimension.unit)
    features: set[str] = set()
    absent: set[str] = set()
    for members in GROUPS.values():
        choice = draw(st.sampled_from([None, *members])) if not everything else draw(st.sampled_from(members))
        if choice is not None:
            (absent if len(members) == 1 and draw(st.booleans()) else features).add(choice)
    return Engine(draw(st.sampled_from(CLASSES)), draw(st.sampled_from(USES)), "", frozenset(features), frozenset(absent), sizes)


def _asked(characteristic: str, engine: Engine, overlay: tuple[Limit, ...] = ()) -> Resolved:
    try:
        return resolve(TABLE, TABLE.characteristics[characteristic], engine, overlay)
    except (MissingDimension, OutsideRange):
        assume(False)
        raise


def _candidates(characteristic: str, engine: Engine) -> list[tuple[Limit, bool | None]]:
    """Adopted limits for class and use whose size range holds, with whether their conditions are known true."""
    found = []
    what = TABLE.characteristics[characteristic]
    for limit in TABLE.limits_of[characteristic]:
        fits_class = limit.classes == ("any",) or engine.engine_class.id in limit.classes
        fits_use = limit.use in ("any", "work", engine.use)
        if not (fits_class and fits_use and _inside(limit, engine)):
            continue
        known = all_known(limit.when, engine, what, TABLE.features)
        if known is not False:
            found.append((limit, known))
    return found


def _inside(limit: Limit, engine: Engine) -> bool:
    if limit.sizes is None:
        return True
    size = engine.dimensions.get(limit.sizes.of)
    return size is not None and limit.sizes.low.canonical <= size.canonical <= limit.sizes.high.canonical


def _how_specific(limit: Limit) -> tuple[int, int, int, Fraction]:
    """Smaller is more specific: class, conditions, use, width of the size range."""
    classes = 99 if limit.classes == ("any",) else len(limit.classes)
    width = limit.sizes.high.canonical - limit.sizes.low.canonical if limit.sizes else FAR
    return classes, -len(limit.when), {"show": 0, "demonstrate": 1, "work": 2, "any": 3}[limit.use], width


def _width(limit: Limit, engine: Engine) -> Fraction:
    """How much the limit lets through."""
    what = TABLE.characteristics[limit.characteristic]

    def end(name: str) -> Value:
        return evaluate(limit.bound(name), engine.dimensions, lambda n: bound_named(TABLE, limit, n, engine.dimensions))

    def side(name: str, meaning: str, far: Fraction) -> Fraction:
        wear, fit = end(f"wear_{name}"), end(f"fit_{name}")
        value = wear if not isinstance(wear, Open) else Open.UNBOUNDED if meaning == "harmless" or wear is Open.UNBOUNDED else fit
        return far if isinstance(value, Open) else value

    return (side("high", what.high_side.meaning, FAR) - side("low", what.low_side.meaning, -FAR)) * limit.unit.factor


@given(st.sampled_from(LIMITED), engines())
def test_the_same_question_has_the_same_answer(characteristic: str, engine: Engine) -> None:
    shuffled = replace(engine, dimensions=dict(reversed(engine.dimensions.items())))
    assert _asked(characteristic, engine) == replace(_asked(characteristic, shuffled), engine=engine)


@given(st.sampled_from(LIMITED), engines())
def test_the_answer_does_not_depend_on_the_order_of_the_limits(characteristic: str, engine: Engine) -> None:
    turned = Table([r for kind in TABLE._by_kind for r in reversed(TABLE.raw(kind))], TABLE.edition)
    for name in ("characteristics", "features", "classes", "dimensions", "dimension_units"):
        turned.__dict__[name] = getattr(TABLE, name)
    turned.__dict__["limits_of"] = {characteristic: TABLE.limits_of[characteristic][::-1]}
    assert _asked(characteristic, engine).limit == resolve(turned, TABLE.characteristics[characteristic], engine).limit


@given(st.sampled_from(LIMITED), engines(everything=True))
def test_of_limits_known_to_apply_the_most_specific_wins(characteristic: str, engine: Engine) -> None:
    found = _asked(characteristic, engine)
    candidates = _candidates(characteristic, engine)
    if found.limit is None:
        assert candidates == []
    elif not found.asked:
        certain = [limit for limit, known in candidates if known]
        assert found.limit in certain
        assert _how_specific(found.limit) == min(map(_how_specific, certain))


@given(st.sampled_from(LIMITED), engines())
def test_where_a_fact_is_unknown_the_stricter_limit_holds_and_the_fact_is_asked(characteristic: str, engine: Engine) -> None:
    found = _asked(characteristic, engine)
    assume(found.limit is not None)
    assert found.limit is not None
    candidates = _candidates(characteristic, engine)
    certain = [limit for limit, known in candidates if known]
    best = min(certain, key=_how_specific) if certain else None
    unsure = [m for m, known in candidates if known is None and (best is None or _how_specific(m) < _how_specific(best))]
    assert bool(found.asked) is bool(unsure)
    if best is not None and unsure:
        assert _width(found.limit, engine) <= _width(best, engine)
    for limit in unsure:
        assert _width(found.limit, engine) <= _width(limit, engine)


@given(st.sampled_from(LIMITED), engines())
def test_a_limit_is_never_used_outside_its_size_range_class_or_use(characteristic: str, engine: Engine) -> None:
    found = _asked(characteristic, engine)
    if found.limit is not None:
        assert found.limit in [limit for limit, _ in _candidates(characteristic, engine)]


@given(st.sampled_from(LIMITED), engines())
def test_outside_every_range_is_an_error_that_names_them(characteristic: str, engine: Engine) -> None:
    refused: OutsideRange | MissingDimension | None = None
    try:
        resolve(TABLE, TABLE.characteristics[characteristic], engine)
    except (OutsideRange, MissingDimension) as error:
        refused = error
    if isinstance(refused, OutsideRange):
        assert "nothing is extrapolated" not in str(refused) or _candidates(characteristic, engine) == []
        assert "outside every range" in str(refused) or "the table" in str(refused)
    if isinstance(refused, MissingDimension):
        assert refused.dimension not in engine.dimensions


@given(st.sampled_from(LIMITED), engines())
def test_light_use_falls_back_to_work(characteristic: str, engine: Engine) -> None:
    at_work = _asked(characteristic, replace(engine, use="work"))
    at_show = _asked(characteristic, replace(engine, use="show"))
    assert (at_work.limit is None) is (at_show.limit is None) or at_show.limit is not None
    if not any(m.use in ("show", "demonstrate") for m in TABLE.limits_of[characteristic]):
        assert at_show.limit == at_work.limit


@given(st.sampled_from(LIMITED), engines(everything=True))
def test_the_owners_copy_of_a_limit_wins_except_where_it_would_soften_safety(characteristic: str, engine: Engine) -> None:
    adopted = _asked(characteristic, engine).limit
    assume(adopted is not None)
    assert adopted is not None
    own = replace(adopted, id="own", owner=True, derivation={}, use="work" if adopted.use == "any" else adopted.use, when=())
    found = _asked(characteristic, engine, (own,))
    assert found.limit is not None
    assert _width(found.limit, engine) <= _width(adopted, engine) if adopted.kind == "safety" else found.limit is own


@given(engines(everything=True), st.integers(min_value=0, max_value=20_000))
def test_no_owner_lets_a_rim_run_faster(engine: Engine, speed: int) -> None:
    rule = TABLE.limits["rim-speed-one-piece"]
    own = _speed(rule, speed)
    adopted, found = _asked("flywheel-rim-speed", engine), _asked("flywheel-rim-speed", engine, (own,))
    assert adopted.wear is not None
    assert found.wear is not None
    assert not isinstance(found.wear.high, Open)
    assert not isinstance(adopted.wear.high, Open)
    assert found.wear.high <= adopted.wear.high


def _speed(rule: Limit, speed: int) -> Limit:
    figure = Constant(Decimal(speed))
    return replace(rule, id="own", owner=True, derivation={}, use="work", fit_high=figure, wear_high=figure)


@given(st.sampled_from(LIMITED), engines())
def test_every_numeric_end_has_a_standing_and_no_interval_is_upside_down(characteristic: str, engine: Engine) -> None:
    found = _asked(characteristic, engine)
    if found.limit is None or found.fit is None or found.wear is None:
        return
    values = {"fit_low": found.fit.low, "fit_high": found.fit.high, "wear_low": found.wear.low, "wear_high": found.wear.high}
    numeric = {end: v for end, v in values.items() if not isinstance(v, Open)}
    assert set(found.standings) == set(numeric)
    for low, high in (("fit_low", "fit_high"), ("wear_low", "wear_high"), ("fit_high", "wear_high"), ("wear_low", "fit_low")):
        if low in numeric and high in numeric:
            assert numeric[low] <= numeric[high]


@given(st.sampled_from(LIMITED), engines())
def test_a_whole_answer_with_its_evidence_can_always_be_worked_out(characteristic: str, engine: Engine) -> None:
    found = _asked(characteristic, engine)
    for said in evidence_said(TABLE, found):
        assert said.comparable is (said.why_not == "")


@given(st.decimals(min_value="0.75", max_value="4", places=3), st.decimals(min_value="0.75", max_value="4", places=3))
def test_a_bigger_bearing_never_gets_a_tighter_limit(a: object, b: object) -> None:
    small, big = sorted([Quantity.of(str(a), "in"), Quantity.of(str(b), "in")], key=lambda q: q.exact)

    def ends(pin: Quantity) -> list[Fraction]:
        found = _asked("rod-bearing-running-clearance", Engine(CLASSES[0], dimensions={"crankpin": pin}))
        assert found.fit is not None
        assert found.wear is not None
        return [v for v in (found.fit.low, found.fit.high, found.wear.high) if isinstance(v, Fraction)]

    assert all(x <= y for x, y in zip(ends(small), ends(big), strict=True))


@given(st.decimals(min_value="0.75", max_value="4", places=4))
def test_a_size_in_millimetres_gets_the_very_same_limit(size: object) -> None:
    inches = Quantity.of(str(size), "in")
    exact = inches.to(UNITS["mm"])
    metric = Quantity(inches.value, UNITS["mm"], exact)
    one, other = (_asked("rod-bearing-running-clearance", Engine(CLASSES[0], dimensions={"crankpin": q})) for q in (inches, metric))
    assert (one.fit, one.wear) == (other.fit, other.wear)


@pytest.mark.parametrize("limit", sorted(TABLE.limits))
def test_every_adopted_limit_is_the_answer_to_some_question(limit: str) -> None:
    """A limit that nothing can reach is dead text."""
    record = TABLE.limits[limit]
    classes = [k for k in CLASSES if record.classes == ("any",) or k.id in record.classes]
    sizes = {d.id: Quantity.of(450 if d.unit == "rpm" else 2, d.unit) for d in TABLE.dimensions.values()}
    if record.sizes:
        middle = (record.sizes.low.exact + record.sizes.high.to(record.sizes.low.unit)) / 2
        sizes[record.sizes.of] = Quantity(record.sizes.low.value, record.sizes.low.unit, middle)
    what = TABLE.characteristics[record.characteristic]
    for condition in record.when:
        if condition.endswith("bearing-longer-than-bore"):
            bore, length = what.scales_with[:2]
            factor = Fraction(1, 2) if condition.startswith("not ") else 2
            sizes[length] = replace(sizes[bore], exact=sizes[bore].exact * factor)
        if condition == "speed-over-600":
            sizes["rated-speed"] = Quantity.of(700, "rpm")
    features = frozenset(c for c in record.when if c in TABLE.features)
    without = frozenset(c.removeprefix("not ") for c in record.when if c.startswith("not "))
    use = "work" if record.use == "any" else record.use
    answers = [
        _asked(record.characteristic, Engine(k, use, "", features, absent, sizes)).limit
        for k in classes
        for absent in (without, without | (frozenset(TABLE.features) - features))
    ]
    assert record in answers
