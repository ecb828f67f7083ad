"""The same questions solved another way: by scipy, by linear algebra, by quadrature, by trying everything."""

from __future__ import annotations

import math
from itertools import combinations_with_replacement

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq
from tests.calculations.a_support import GOOD, ask, codes, number, value
from tests.calculations.b_support import si_of, told

from halfthou_service.calculations.bearing_heat_balance import SHEDDING, bearing_heat_balance
from halfthou_service.calculations.flywheel_energy import swing_energy
from halfthou_service.calculations.gear_backlash import gear_backlash
from halfthou_service.calculations.helical_spring import helical_spring, wahl
from halfthou_service.calculations.press_fit import press_fit
from halfthou_service.calculations.rebore import rebore
from halfthou_service.calculations.ring_gap_closure import ring_gap_closure
from halfthou_service.calculations.shim_pack import shim_pack
from halfthou_service.calculations.shrink_fit import shrink_fit
from halfthou_service.calculations.thermal_clearance import thermal_clearance


def as_float(found: object) -> float:
    assert isinstance(found, float)
    return found


def test_film_temperature_balances_by_scipy() -> None:
    found = bearing_heat_balance(0.0508, 0.0762, 7.62e-5, 7.5, 0.0387, viscosity_at_40=100e-6, viscosity_at_100=11e-6).values

    def viscosity(kelvin: float) -> float:
        line = np.polyfit(np.log10([313.15, 373.15]), np.log10(np.log10([100.7, 11.7])), 1)
        return float(10 ** 10 ** np.polyval(line, math.log10(kelvin)) - 0.7) * 1e-6 * (885.0 - 0.65 * (kelvin - 288.15))

    def surplus(kelvin: float) -> float:
        made = 8 * math.pi**3 * viscosity(kelvin) * 7.5**2 * 0.0762 * 0.0254**3 / 3.81e-5
        return made - SHEDDING["still"] * 0.0387 * (kelvin - 293.15) / 2

    film = brentq(surplus, 293.15, 500.0)
    assert as_float(found["film_temperature"]) == pytest.approx(film, rel=1e-9)
    assert as_float(found["film_viscosity"]) == pytest.approx(viscosity(film), rel=1e-9)


@given(gap=st.floats(1e-4, 1e-3), hotter=st.floats(20.0, 200.0))
def test_cold_from_hot_from_cold(gap: float, hotter: float) -> None:
    hot = as_float(thermal_clearance(0.1, 11e-6, 20e-6, 350.0, 350.0 + hotter, cold_clearance=gap).values["hot_clearance"])
    back = thermal_clearance(0.1, 11e-6, 20e-6, 350.0, 350.0 + hotter, hot_clearance=hot).values["cold_clearance"]
    assert back == pytest.approx(gap, rel=1e-9)


def test_least_ring_gap_is_the_root_of_the_hot_gap() -> None:
    def hot(gap: float) -> float:
        return as_float(ring_gap_closure(0.1143, gap, 11e-6, 450.0, 11e-6, 370.0).values["hot_gap"])

    least = as_float(ring_gap_closure(0.1143, 4e-4, 11e-6, 450.0, 11e-6, 370.0).values["least_cold_gap"])
    assert least == pytest.approx(brentq(hot, 0.0, 2e-3), rel=1e-9)


@given(bore=st.floats(0.3, 0.9), outside=st.floats(1.2, 3.0), soft=st.floats(0.3, 1.0))
def test_press_fit_solves_the_elastic_equations(bore: float, outside: float, soft: float) -> None:
    """Four unknowns: hoop and radial stress as A -+ B/r^2 in each ring, free at bore and outside, meeting at the fit."""
    fit, overlap, e_in, e_out, n_in, n_out = 0.04, 6e-5, 200e9 * soft, 110e9, 0.33, 0.26
    b, d, o = bore * fit / 2, fit / 2, outside * fit / 2

    def radial(r: float) -> list[float]:
        return [1.0, -1.0 / r**2]

    def growth(r: float, e: float, n: float) -> list[float]:
        return [r / e * (1 - n), (1 + n) / e / r]

    inside, beyond = growth(d, e_in, n_in), growth(d, e_out, n_out)
    matrix = np.array([[*radial(b), 0, 0], [0, 0, *radial(o)], [*radial(d), *(-v for v in radial(d))],
                       [-inside[0], -inside[1], beyond[0], beyond[1]]])  # fmt: skip
    scale = np.array([1, 1, 1, 1e15])
    a1, b1, a2, b2 = np.linalg.solve(matrix * scale[:, None], np.array([0, 0, 0, overlap / 2]) * scale)
    found = press_fit(fit, 2 * o, overlap, e_in, e_out, n_in, n_out, inner_bore=2 * b).values
    assert found["pressure"] == pytest.approx(-(a1 - b1 / d**2), rel=1e-6)
    assert found["inner_hoop_at_bore"] == pytest.approx(a1 + b1 / b**2, rel=1e-6)
    assert found["outer_hoop_at_fit"] == pytest.approx(a2 + b2 / d**2, rel=1e-6)
    moved = growth(b, e_in, n_in)
    assert found["bore_closure"] == pytest.approx(-2 * (moved[0] * a1 + moved[1] * b1), rel=1e-6)


def test_interference_for_a_wanted_pressure_by_scipy() -> None:
    def off(overlap: float) -> float:
        return as_float(press_fit(0.4, 0.5, overlap, 200e9, 200e9, 0.3, 0.3, inner_bore=0.3).values["pressure"]) - 12.3e6

    assert brentq(off, 1e-5, 1e-3) == pytest.approx(0.0002, rel=0.003)


def test_swing_of_energy_is_the_area_over_the_mean_torque() -> None:
    """FW-03's triangle, integrated."""
    work, mean = 12000.0, 8000.0 / (4 * math.pi)
    peak = 2 * work / math.pi

    def over(angle: float) -> float:
        return max(0.0, peak * (1 - abs(angle - math.pi / 2) / (math.pi / 2)) - mean)

    corner = mean / peak * math.pi / 2
    area = quad(over, 0, math.pi, points=[corner, math.pi / 2, math.pi - corner])[0]
    assert swing_energy(20e3, 5.0, 1.5) == pytest.approx(area, rel=1e-7)


def test_speed_at_the_stop_by_scipy() -> None:
    def off(rpm: float) -> float:
        wheel = {"diameter": "24 in", "speed": f"{rpm:.9f} rpm", "construction": "one-piece-sound"}
        return number("flywheel-rim", wheel, "rim_speed") - si_of("5000 ft/min")

    stop = brentq(off, 100, 2000)
    assert number("flywheel-rim", GOOD["flywheel-rim"], "stop_speed") * 60 == pytest.approx(stop, rel=1e-6)


def test_wire_of_sp_02_by_scipy() -> None:
    """SP-02, quoted: 300 N, index 8, 420 MPa asks for 4.15 mm wire; 14 coils of 4.25 mm wire make 6.25 N/mm."""

    def off(wire: float) -> float:
        return as_float(helical_spring(wire, 8 * wire, 10.0, 84e9, 300.0).values["stress"]) - 420e6

    assert brentq(off, 1e-3, 1e-2) == pytest.approx(4.15e-3, rel=0.02)

    def rate(coils: float) -> float:
        return as_float(helical_spring(4.25e-3, 0.034, coils, 84e9).values["rate"]) - 6250.0

    assert brentq(rate, 5, 40) == pytest.approx(14, rel=0.02)


@given(index=st.floats(4.0, 12.0))
def test_wahl_factor_lies_between_one_and_one_and_a_half_and_falls(index: float) -> None:
    assert 1.0 < wahl(index + 0.1) < wahl(index) < 1.42


def test_spread_for_a_wanted_backlash_by_scipy() -> None:
    def off(spread: float) -> float:
        return as_float(gear_backlash(spread, math.radians(20), 0.15).values["backlash_exact"]) - 2e-4

    spread = brentq(off, 0.0, 2e-3)
    assert 2 * spread * math.tan(math.radians(20)) == pytest.approx(2e-4, rel=0.02)


@given(spread=st.floats(1e-6, 5e-4))
def test_the_small_spread_form_is_a_little_low(spread: float) -> None:
    found = gear_backlash(spread, math.radians(14.5), 0.15).values
    low, exact = as_float(found["backlash_gained"]), as_float(found["backlash_exact"])
    assert low * (1 - 1e-6) <= exact < low * 1.04


@settings(deadline=None, max_examples=40)
@given(
    stock=st.lists(st.sampled_from([1.0, 1.5, 2.0, 3.0, 5.0, 7.0, 10.0, 15.0]), min_size=1, max_size=5, unique=True),
    now=st.integers(0, 40), clearance=st.integers(0, 14), least=st.integers(1, 3), width=st.integers(1, 3), leaves=st.integers(1, 6),
)  # fmt: skip
def test_shims_against_trying_everything(stock: list[float], now: int, clearance: int, least: int, width: int, leaves: int) -> None:
    thou = 25.4e-6
    answer = shim_pack(now * thou, clearance * thou, least * thou, (least + width) * thou, tuple(t * thou for t in stock), float(leaves))
    found = {f.code for f in answer.flags}
    if least <= clearance <= least + width:
        assert "already-in-fit" in found
        return
    aim = least + width / 2
    base = now - clearance
    sums: dict[float, int] = {0.0: 0}
    for count in range(1, leaves + 1):
        for leaf in combinations_with_replacement(stock, count):
            sums.setdefault(sum(leaf), count)
    loose = sorted(s for s in sums if base + aim <= s <= base + least + width)
    tight = sorted(s for s in sums if base + least <= s < base + aim)
    wanted = loose[0] if loose else tight[-1] if tight else None
    if wanted is None:
        assert found & {"no-shim-route", "stock-does-not-fit"}
        return
    assert as_float(answer.values["pack"]) / thou == pytest.approx(wanted, abs=1e-6)
    assert answer.values["leaf_count"] == sums[wanted]
    assert least - 1e-6 <= as_float(answer.values["clearance_after"]) / thou <= least + width + 1e-6
    assert ("tight-half" in found) == (not loose)


def test_shims_are_aimed_at_the_loose_half() -> None:
    answer = ask("shim-pack", {**GOOD["shim-pack"], "stock": "0.001 in", "pack_now": "0.008 in"})
    assert told(answer, "clearance_after") == pytest.approx(si_of("3 thou"), rel=1e-6)
    only_tight = ask("shim-pack", {**GOOD["shim-pack"], "stock": "0.0255 in"})
    assert "tight-half" in codes(only_tight)


def test_a_bearing_no_shim_can_close_is_said_so() -> None:
    answer = ask("shim-pack", {**GOOD["shim-pack"], "pack_now": "0.002 in"})
    assert codes(answer) == {"no-shim-route"}
    assert value(answer, "pack") is None


@given(worn=st.floats(0.0, 1.5e-3), tried=st.sampled_from([None, 2.5e-4, 5e-4]))
def test_the_next_oversize_against_trying_everything(worn: float, tried: float | None) -> None:
    sizes = (1e-3, 2.5e-4, 7.5e-4, 5e-4)
    found = rebore(0.1, 0.1 + worn, sizes, margin=0.0, tried=tried).values
    fit = [s for s in sorted(sizes) if s >= worn - 1e-9 and s > (tried or 0.0)]
    assert found.get("oversize") == (fit[0] if fit else None)


@given(overlap=st.floats(1e-5, 2e-4), gap=st.floats(0.0, 1e-4))
def test_a_heated_hub_has_grown_by_interference_and_gap(overlap: float, gap: float) -> None:
    change = as_float(shrink_fit(0.08, overlap, 11.7e-6, gap).values["temperature_change"])
    grown = thermal_clearance(0.08, 11.7e-6, 0.0, 293.15 + change, 293.15, cold_clearance=-overlap).values["hot_clearance"]
    assert grown == pytest.approx(gap, abs=1e-12)
