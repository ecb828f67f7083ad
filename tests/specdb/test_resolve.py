"""Which limit holds: decisions taken, unknown facts, sizes outside every range, unknown names."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from halfthou_specdb.errors import DimensionError, MissingDimension, OutsideRange, SpecdbError, UnknownId
from halfthou_specdb.quantity import parse_quantity
from halfthou_specdb.resolve import Resolved, with_size
from halfthou_specdb.rules import NONE_ON_FILE, UNBOUNDED, Open
from halfthou_specdb.said import evidence_said
from halfthou_specdb.table import Table

Ask = Callable[..., Resolved]
ROD, MAIN, RIM = "rod-bearing-running-clearance", "main-bearing-running-clearance", "flywheel-rim-speed"
PIN = {"crankpin": "2-1/4 in"}


def _interval(found: Resolved) -> tuple[Any, Any, Any, Any]:
    assert found.fit is not None
    assert found.wear is not None
    return found.fit.low, found.fit.high, found.wear.low, found.wear.high


# -- decisions taken ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("characteristic", [ROD, MAIN])
@pytest.mark.parametrize("engine_class", ["slow-open-crank", "slow-enclosed-crank"])
@pytest.mark.parametrize(
    ("length", "use", "worn"),
    [(None, "work", "0.00675"), ("2 in", "work", "0.00675"), ("2-1/4 in", "work", "0.00675"), ("2-1/2 in", "work", "0.009"),
     (None, "show", "0.009"), ("2 in", "show", "0.009"), ("2-1/2 in", "show", "0.009"), (None, "demonstrate", "0.00675")],
)  # fmt: skip
def test_a_poured_bearing_of_two_and_a_quarter_inches(
    characteristic: str, engine_class: str, length: str | None, use: str, worn: str, ask: Ask
) -> None:
    size, beside = ("crankpin", "crankpin-length") if characteristic == ROD else ("main-journal", "main-bearing-length")
    sizes = {size: "2-1/4 in"} | ({beside: length} if length else {})
    found = ask(characteristic, engine_class, sizes=sizes, use=use)
    assert _interval(found) == (Fraction("0.00225"), Fraction("0.003875"), NONE_ON_FILE, Fraction(worn))
    if length is not None:
        assert found.asked == ()
    elif use == "work":
        assert found.asked == (beside,)


def test_a_small_poured_bearing_keeps_the_floor_of_one_thousandth(ask: Ask) -> None:
    assert _interval(ask(ROD, sizes={"crankpin": "3/4 in"}))[0] == Fraction("0.001")


def test_a_slow_class_rated_over_six_hundred_loses_the_long_bearing_figure(ask: Ask) -> None:
    sizes = PIN | {"crankpin-length": "2-1/2 in"}
    assert _interval(ask(ROD, sizes=sizes | {"rated-speed": "450 rpm"}))[3] == Fraction("0.009")
    assert _interval(ask(ROD, sizes=sizes | {"rated-speed": "600 rpm"}))[3] == Fraction("0.009")
    assert _interval(ask(ROD, sizes=sizes | {"rated-speed": "601 rpm"}))[3] == Fraction("0.00675")


@pytest.mark.parametrize("engine_class", ["slow-open-crank", "slow-enclosed-crank", "medium-enclosed-crank"])
@pytest.mark.parametrize("use", ["work", "demonstrate", "show"])
def test_a_sound_one_piece_wheel_is_warned_at_4500_and_stopped_at_5000(engine_class: str, use: str, ask: Ask) -> None:
    found = ask(RIM, engine_class, use=use)
    assert found.limit is not None
    assert found.limit.kind == "safety"
    assert found.fit is not None
    assert found.fit.unit.token == "ft/min"
    assert _interval(found) == (NONE_ON_FILE, 4500, NONE_ON_FILE, 5000)


@pytest.mark.parametrize("use", ["work", "demonstrate", "show"])
def test_a_jointed_wheel_is_stopped_at_any_speed(use: str, ask: Ask) -> None:
    found = ask(RIM, features=["jointed-flywheel"], use=use)
    assert found.limit is not None
    assert found.limit.kind == "safety"
    assert _interval(found)[3] == 0


def test_the_serviceable_interval_takes_wear_then_harmless_then_fit(ask: Ask) -> None:
    rod = ask(ROD, sizes=PIN).serviceable
    assert rod is not None
    assert (rod.low, rod.high) == (Fraction("0.00225"), Fraction("0.00675"))
    oval = ask("crankpin-out-of-round", sizes=PIN).serviceable
    assert oval is not None
    assert oval.low is UNBOUNDED


# -- names, sizes ----------------------------------------------------------------------------------------------------


def test_an_unknown_characteristic_names_what_looks_like_it(table: Table) -> None:
    with pytest.raises(UnknownId, match=ROD) as caught:
        table.characteristic("rod-bearing-runing-clearance")
    assert ROD in caught.value.near


@pytest.mark.parametrize("name", ["slow-open-crnk", "Slow-Open-Crank"])
def test_an_unknown_class_names_what_looks_like_it(name: str, table: Table) -> None:
    with pytest.raises(UnknownId) as caught:
        table.engine_class(name)
    assert "slow-open-crank" in caught.value.near
    assert "medium-enclosed-crank" in caught.value.allowed


def test_a_kin_is_no_class_to_ask_for(table: Table) -> None:
    with pytest.raises(UnknownId):
        table.engine_class("marine-diesel")


def test_other_unknown_names_are_told_too(table: Table) -> None:
    with pytest.raises(UnknownId, match="plastic-gauge-strip"):
        table.instrument("plastic-gage-strip")
    with pytest.raises(UnknownId):
        table.evidence("L9999")
    with pytest.raises(UnknownId) as caught:
        table.characteristic("x" * 5000)
    assert len(str(caught.value)) < 200


def test_a_size_outside_every_range_is_refused_with_the_ranges(ask: Ask) -> None:
    with pytest.raises(OutsideRange, match=r"crankpin 0\.75 to 4 in.*nothing is extrapolated"):
        ask(ROD, sizes={"crankpin": "6 in"})
    with pytest.raises(OutsideRange):
        ask(ROD, sizes={"crankpin": "0.7499 in"})
    assert ask(ROD, sizes={"crankpin": "101.6 mm"}).limit is not None


def test_a_missing_size_names_the_dimension(ask: Ask) -> None:
    with pytest.raises(MissingDimension) as caught:
        ask(ROD)
    assert caught.value.dimension == "crankpin"


def test_a_size_of_the_wrong_kind_is_refused(ask: Ask) -> None:
    with pytest.raises(SpecdbError) as caught:
        ask("crank-web-deflection", sizes={"stroke": "5 V"})
    assert isinstance(caught.value, DimensionError)


def test_the_size_asked_about_is_the_first_the_characteristic_scales_with(table: Table, make_engine: Any) -> None:
    engine = with_size(make_engine(), table.characteristic(ROD), parse_quantity("2 in"))
    assert engine.dimensions["crankpin"].exact == 2
    with pytest.raises(SpecdbError, match="does not scale"):
        with_size(make_engine(), table.characteristic(RIM), parse_quantity("2 in"))


# -- no limit --------------------------------------------------------------------------------------------------------


def test_where_nobody_publishes_a_limit_the_answer_says_so_and_what_to_do(table: Table, ask: Ask) -> None:
    found = ask("intake-valve-spring-force")
    assert found.limit is None
    assert found.serviceable is None
    assert found.absence is not None
    assert found.absence.instead
    assert {s.evidence.id for s in evidence_said(table, found)} == {e.id for e in table.evidence_of("intake-valve-spring-force")}


def test_near_misses_tell_what_a_limit_would_need(ask: Ask) -> None:
    found = ask("crankcase-oil-level", "slow-open-crank")
    assert found.limit is None
    assert any(miss.startswith("crankcase-oil-level-splash: for ") for miss in found.near_misses)


# -- standing and evidence -------------------------------------------------------------------------------------------


def test_standing_tells_stated_carried_over_and_judged_apart(table: Table, ask: Ask) -> None:
    rod = ask(ROD, sizes=PIN)
    assert rod.standings["fit_low"].standing == "carried-over"
    assert rod.standings["fit_low"].carried_from == (table.evidence("L073").kin,)
    assert rod.standings["fit_high"].standing == "our-judgement"
    assert rod.standings["fit_high"].grade == "derived"
    assert rod.standings["wear_high"].standing == "our-judgement"
    long_bearing = ask(ROD, sizes=PIN | {"crankpin-length": "2-1/2 in"}).standings["wear_high"]
    assert (long_bearing.standing, long_bearing.grade) == ("carried-over", "published")
    assert long_bearing.carried_from == ("electric-motor-sleeve-bearing",)
    opening = ask("exhaust-valve-opening").standings["fit_high"]
    assert (opening.standing, opening.grade, opening.carried_from) == ("stated", "published", ())


def test_every_statement_is_listed_comparable_first_and_nearest_kin_first(table: Table, ask: Ask) -> None:
    found = ask(ROD, sizes=PIN)
    said = evidence_said(table, found)
    assert {s.evidence.id for s in said} == {e.id for e in table.evidence_of(ROD)}
    assert [s.comparable for s in said] == sorted((s.comparable for s in said), reverse=True)
    kin = ("slow-open-crank", *table.classes["slow-open-crank"].nearest_kin)
    ranks = [kin.index(s.evidence.kin) for s in said if s.comparable]
    assert ranks == sorted(ranks)
    for s in said:
        assert s.comparable or s.why_not
        assert not s.comparable or s.interval is not None
        assert s.stance in ({"supports", "differs"} if s.comparable else {""})


def test_evidence_that_the_limit_names_as_differing_differs(table: Table, ask: Ask) -> None:
    found = ask(ROD, sizes=PIN | {"crankpin-length": "2-1/2 in"})
    assert found.limit is not None
    stances = {s.evidence.id: s.stance for s in evidence_said(table, found) if s.comparable}
    assert stances["L007"] == "differs"
    assert stances["L008"] == "supports"
    assert stances["L073"] == "supports"


def test_a_statement_for_one_absolute_size_is_compared_at_that_size_only(table: Table, ask: Ask) -> None:
    def said_of(size: str) -> dict[str, bool]:
        return {s.evidence.id: s.comparable for s in evidence_said(table, ask(ROD, sizes={"crankpin": size}))}

    assert said_of("2-1/4 in")["L323"] is True
    assert said_of("2-1/2 in")["L323"] is False
    assert said_of("2-1/4 in")["L315"] is False  # no size printed: another engine's absolute figure


def test_an_open_side_of_a_statement_stays_open(table: Table, ask: Ask) -> None:
    said = {s.evidence.id: s.interval for s in evidence_said(table, ask(ROD, sizes=PIN))}
    worn = said["L006"]
    assert worn is not None
    assert isinstance(worn.low, Open)
    assert worn.high == Fraction("0.0045")
