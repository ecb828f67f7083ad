"""Unit factors against an outside referee, names that mean one thing, conversions exact both ways."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfthou_specdb import units as module
from halfthou_specdb.errors import DimensionError, UnitError
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.units import UNITS, Unit, unit_named, units_of

CANONICAL = {
    "length": "m", "area": "m**2", "volume": "m**3", "mass": "kg", "force": "N", "pressure": "Pa", "torque": "N*m", "energy": "J",
    "power": "W", "speed": "m/s", "rotational_speed": "turn/s", "frequency": "Hz", "angle": "turn", "time": "s", "voltage": "V",
    "current": "A", "resistance": "ohm", "capacitance": "F", "inductance": "H", "flux_density": "T", "stiffness": "N/m",
    "viscosity": "Pa*s", "kinematic_viscosity": "m**2/s", "density": "kg/m**3", "expansion": "1/kelvin", "flow": "m**3/s",
    "linear_frequency": "1/m", "volume_per_power": "m**3/W", "mass_per_power": "kg/W", "ratio": "dimensionless",
    "count": "dimensionless", "count_rate": "1/s", "temperature_difference": "delta_degC", "temperature": "kelvin",
}  # fmt: skip
"""Canonical unit of each dimension as the referee spells it."""

WITHOUT_REFEREE = {
    # token: exact factor by definition
    "inH2O": Fraction("0.0254") * Fraction("9.80665") * 1000,  # conventional column of water at 1,000 kg/m3
    "gauss": Fraction(1, 10_000),  # 1 G = 1e-4 T
}

UNIT = st.sampled_from(list(UNITS.values()))
NUMBER = st.decimals(min_value=-(10**9), max_value=10**9, places=6, allow_nan=False, allow_infinity=False)


@pytest.fixture(scope="module")
def referee() -> pint.UnitRegistry:
    return pint.UnitRegistry()


def test_the_referee_knows_every_dimension() -> None:
    assert {u.dimension for u in UNITS.values()} == set(CANONICAL)


@pytest.mark.parametrize("unit", [u for u in UNITS.values() if u.dimension != "temperature"], ids=lambda u: u.token)
def test_factor_agrees_with_the_referee(unit: Unit, referee: pint.UnitRegistry) -> None:
    if not unit.pint:
        assert unit.factor == WITHOUT_REFEREE[unit.token]
        return
    expected = referee.Quantity(1.0, referee.parse_units(unit.pint)).to(CANONICAL[unit.dimension]).magnitude
    tolerance = 1e-14 if unit.exact else 1e-12
    assert abs(float(unit.factor) / expected - 1) <= tolerance


@pytest.mark.parametrize("token", ["K", "degC", "degF"])
@pytest.mark.parametrize("value", [-40, 0, 32, 68, 212])
def test_temperature_scales_agree_with_the_referee(token: str, value: int, referee: pint.UnitRegistry) -> None:
    expected = referee.Quantity(float(value), UNITS[token].pint).to("kelvin").magnitude
    assert float(Quantity.of(value, token).canonical) == pytest.approx(expected, rel=1e-14)


@pytest.mark.parametrize(
    ("token", "exact"),
    [
        ("in", "0.0254"),  # international yard and pound agreement, 1959
        ("lb", "0.45359237"),  # the same
        ("impgal", "0.00454609"),  # UK Weights and Measures Act 1985
        ("kgf", "9.80665"),  # standard gravity, 3rd CGPM 1901
        ("atm", "101325"),  # 10th CGPM 1954
        ("USgal", "0.003785411784"),  # 231 cubic inches
        ("hp", "745.69987158227022"),  # 550 ft.lbf/s
        ("thou", "0.0000254"),
    ],
)
def test_defined_factors_are_exact(token: str, exact: str) -> None:
    assert UNITS[token].factor == Fraction(exact)


def test_the_radian_is_the_only_inexact_unit_and_carries_forty_digits() -> None:
    assert {u.token for u in UNITS.values() if not u.exact} == {"rad", "rad/s"}
    two_pi = Fraction("6.28318530717958647692528676655900576839433879875021")
    assert abs(UNITS["rad"].factor * two_pi - 1) < Fraction(1, 10**39)


def test_a_temperature_and_a_difference_are_not_the_same_thing() -> None:
    with pytest.raises(DimensionError, match="temperature"):
        Quantity.of(20, "degC").to(UNITS["delta_degC"])


def test_a_ucum_code_stands_for_one_meaning() -> None:
    meanings: dict[tuple[str, str], set[tuple[Fraction, Fraction]]] = defaultdict(set)
    dimensions: dict[str, set[str]] = defaultdict(set)
    for unit in UNITS.values():
        if unit.ucum:
            meanings[unit.ucum, unit.dimension].add((unit.factor, unit.offset))
            dimensions[unit.ucum].add(unit.dimension)
    assert [key for key, found in meanings.items() if len(found) > 1] == []
    shared = {code for code, found in dimensions.items() if len(found) > 1}
    # UCUM has one code for a temperature and for a difference of temperatures; nothing else may share.
    assert shared == {"Cel", "[degF]"}


def test_every_name_means_one_unit() -> None:
    owners: dict[str, set[str]] = defaultdict(set)
    for unit in UNITS.values():
        for name in (unit.token, *unit.aliases):
            owners[name].add(unit.token)
    assert {name: tokens for name, tokens in owners.items() if len(tokens) > 1} == {}
    assert all(unit_named(name).token in tokens for name, tokens in owners.items())


def test_capitals_are_forgiven_only_where_one_unit_could_be_meant() -> None:
    assert unit_named("IN") is UNITS["in"]
    assert unit_named("Thou") is UNITS["thou"]
    folded: dict[str, set[str]] = defaultdict(set)
    for unit in UNITS.values():
        for name in (unit.token, *unit.aliases):
            folded[name.lower()].add(unit.token)
    for name, tokens in folded.items():
        odd = name.title() if name.title() not in module._BY_NAME else name.upper()
        if len(tokens) > 1 and odd not in module._BY_NAME:
            with pytest.raises(UnitError):
                unit_named(odd)


@pytest.mark.parametrize(("name", "near"), [("inchs", "in"), ("tho", "thou"), ("rpms", "rpm"), ("degf.", "degF"), ("ft/mn", "ft/min")])
def test_an_unknown_unit_names_what_looks_like_it(name: str, near: str) -> None:
    with pytest.raises(UnitError) as caught:
        unit_named(name)
    assert near in caught.value.near
    assert len(caught.value.near) <= 3


@given(UNIT, NUMBER, st.data())
def test_conversion_is_exact_there_and_back(unit: Unit, number: Decimal, data: st.DataObject) -> None:
    other = UNITS[data.draw(st.sampled_from(units_of(unit.dimension)))]
    there = Quantity.of(number, unit).to(other)
    back = Quantity(number, other, there).to(unit)
    assert back == Fraction(number)


@given(UNIT, NUMBER, NUMBER, st.data())
def test_conversion_keeps_order(unit: Unit, a: Decimal, b: Decimal, data: st.DataObject) -> None:
    other = UNITS[data.draw(st.sampled_from(units_of(unit.dimension)))]
    assert (Quantity.of(a, unit).to(other) < Quantity.of(b, unit).to(other)) is (a < b)


@given(UNIT, UNIT, NUMBER)
def test_conversion_between_kinds_is_refused(unit: Unit, other: Unit, number: Decimal) -> None:
    if unit.dimension != other.dimension:
        with pytest.raises(DimensionError):
            Quantity.of(number, unit).to(other)


@given(st.text(max_size=200))
def test_any_text_is_a_unit_or_a_unit_error(text: str) -> None:
    message = ""
    try:
        assert unit_named(text) in UNITS.values()
    except UnitError as error:
        message = str(error)
    assert len(message) < 200
