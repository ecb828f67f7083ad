"""What must hold whatever the numbers: units do not matter, doubt adds up, limits are met, more is more."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.calculations.a_support import GOOD, ask
from tests.calculations.a_support import given as read
from tests.calculations.b_support import in_unit

from halfthou_service.calculations import CALCULATIONS, calculate
from halfthou_service.calculations.contact_resistance import contact_resistance
from halfthou_service.calculations.fastener_tightening import fastener_tightening
from halfthou_service.calculations.flywheel_energy import flywheel_energy
from halfthou_service.calculations.flywheel_rim import STOP_RIM_SPEED, flywheel_rim
from halfthou_service.calculations.frame import Given, Result, from_si
from halfthou_service.calculations.helical_spring import helical_spring
from halfthou_service.calculations.key_strength import key_strength
from halfthou_service.calculations.press_fit import press_fit
from halfthou_service.calculations.regrind import regrind
from halfthou_service.calculations.ring_gap_closure import ring_gap_closure
from halfthou_service.calculations.shim_pack import shim_pack
from halfthou_service.calculations.valve_seat import valve_seat
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.units import UNITS, Unit, units_of


def other_units(quantity: Quantity) -> list[Unit]:
    return [UNITS[token] for token in units_of(quantity.unit.dimension) if token != quantity.unit.token and UNITS[token].exact]


@pytest.mark.parametrize("calculation", GOOD)
def test_the_unit_an_input_is_told_in_does_not_matter(calculation: str) -> None:
    inputs = read(calculation, GOOD[calculation])
    base = calculate(CALCULATIONS[calculation], inputs)
    for name, quantity in inputs.items():
        many = quantity if isinstance(quantity, list) else [quantity]
        if not all(isinstance(q, Quantity) for q in many):
            continue
        for unit in other_units(many[0]):
            changed: Given = [in_unit(q, unit) for q in many] if isinstance(quantity, list) else in_unit(many[0], unit)
            answer = calculate(CALCULATIONS[calculation], {**inputs, name: changed})
            for a, b in zip(base.outputs, answer.outputs, strict=True):
                if isinstance(a.value, float):
                    assert b.value == pytest.approx(a.value, rel=1e-6, abs=1e-12), f"{name} in {unit.token}: {a.name}"
                else:
                    assert b.value == a.value, f"{name} in {unit.token}: {a.name}"


@pytest.mark.parametrize("calculation", GOOD)
def test_inch_and_metric_tell_the_same(calculation: str) -> None:
    inch, metric = (ask(calculation, GOOD[calculation], system=system) for system in ("inch", "metric"))
    for a, b in zip(inch.outputs, metric.outputs, strict=True):
        if isinstance(a.value, float) and isinstance(b.value, float) and a.unit:
            one, two = UNITS[a.unit], UNITS[b.unit]
            assert a.value * float(one.factor) + float(one.offset) == pytest.approx(b.value * float(two.factor) + float(two.offset), rel=1e-9)


def test_doubt_of_a_ring_gap_adds_in_squares() -> None:
    doubts = {"gap": "0.5 thou", "ring_temperature": "40 delta_degF"}
    answer = ask("ring-gap-closure", GOOD["ring-gap-closure"], doubts)
    u = next(o for o in answer.outputs if o.name == "hot_gap").standard_uncertainty
    strain = 11e-6 * (350 - 68) / 1.8
    per_kelvin = (math.pi * 4.5 - 0.014) * 11e-6
    assert u == pytest.approx(1000 * math.hypot(0.0005 * (1 + strain), per_kelvin * 40 / 1.8), rel=1e-6)


def test_doubt_of_a_press_fit_agrees_with_draws() -> None:
    doubts = {"interference": "0.2 thou", "inner_modulus": "500000 psi"}
    answer = ask("press-fit", GOOD["press-fit"], doubts)
    told = {o.name: o.standard_uncertainty for o in answer.outputs}
    rng = np.random.default_rng(11)
    psi, inch = 6894.757293168, 0.0254
    draws = [press_fit(1.5 * inch, 3 * inch, d * inch, e * psi, 15e6 * psi, 0.3, 0.26, 1.25 * inch).values
             for d, e in zip(rng.normal(0.003, 0.0002, 4000), rng.normal(16e6, 5e5, 4000), strict=True)]  # fmt: skip
    assert told["pressure"] == pytest.approx(np.std([d["pressure"] for d in draws]) / psi, rel=0.05)
    assert told["bore_closure"] == pytest.approx(np.std([d["bore_closure"] for d in draws]) / inch * 1000, rel=0.05)


@given(overlap=st.floats(1e-9, 1e-4), smaller=st.floats(0.0, 0.99))
def test_pressure_goes_to_nothing_with_the_interference(overlap: float, smaller: float) -> None:
    def pressure(d: float) -> float:
        return float(str(press_fit(0.04, 0.08, d, 100e9, 100e9, inner_bore=0.03).values["pressure"]))

    assert pressure(0.0) == 0.0
    assert pressure(overlap * smaller) == pytest.approx(smaller * pressure(overlap), rel=1e-9)


@given(bore=st.floats(0.01, 0.039))
def test_a_bush_closes_by_less_than_its_interference_in_a_stiff_enough_boss(bore: float) -> None:
    ratio = press_fit(0.04, 0.08, 5e-5, 100e9, 100e9, 0.3, 0.3, inner_bore=bore).values["closure_ratio"]
    assert isinstance(ratio, float)
    assert 0 < ratio < 1


def test_a_solid_shaft_has_no_bore_to_close() -> None:
    found = press_fit(0.04, 0.08, 5e-5, 200e9, 110e9).values
    assert found["bore_closure"] is None
    assert found["inner_hoop_at_bore"] == found["inner_hoop_at_fit"] == -float(str(found["pressure"]))


RISES: tuple[tuple[str, Callable[[float], Result], str, float, float, int], ...] = (
    ("ring closure with heat", lambda t: ring_gap_closure(0.1, 1e-3, 11e-6, t), "closure", 300.0, 700.0, 1),
    ("rim stress with speed", lambda n: flywheel_rim(0.6, n, "one-piece-sound"), "hoop_stress", 0.1, 20.0, 1),
    ("swing with mass", lambda m: flywheel_energy(7.0, m, 0.25, energy_swing=1000.0), "swing_coefficient", 10.0, 300.0, -1),
    ("speed after with draw", lambda e: flywheel_energy(7.0, 100.0, 0.25, energy_drawn=e), "speed_after", 0.0, 6000.0, -1),
    ("key with torque", lambda t: key_strength(0.04, 0.01, 0.01, 2e8, 3e8, 3.0, torque=t), "length_needed", 10.0, 500.0, 1),
    ("rate with coils", lambda n: helical_spring(0.003, 0.02, n, 8e10), "rate", 2.0, 40.0, -1),
    ("stress with force", lambda f: helical_spring(0.003, 0.02, 8.0, 8e10, f), "stress", 1.0, 100.0, 1),
    ("suction with force", lambda f: helical_spring(0.003, 0.02, 8.0, 8e10, f, valve_diameter=0.03), "opening_suction", 1.0, 100.0, 1),
    ("journal with score", lambda s: regrind(0.05, 0.0499, None, 0.0, s), "finish", 0.0, 1e-3, -1),
    ("width with cut", lambda c: valve_seat(math.radians(45), 0.038, 0.036, c), "width_after", 1e-5, 1e-3, 1),
    ("torque with share", lambda s: fastener_tightening("marked-steel-bolt-and-nut", 0.01, 600.0, 6e8, s), "torque", 0.1, 0.9, 1),
    ("current with contact", lambda r: contact_resistance(6.0, 1.0, contact=r), "current", 0.0, 5.0, -1),
)


@pytest.mark.parametrize(("what", "run", "output", "low", "high", "sign"), RISES, ids=[r[0] for r in RISES])
def test_more_is_more_or_less(what: str, run: Callable[[float], Result], output: str, low: float, high: float, sign: int) -> None:
    values = [run(low + (high - low) * i / 30).values[output] for i in range(31)]
    steps = np.diff(np.array(values, dtype=float))
    assert (steps * sign > 0).all(), what


@given(diameter=st.floats(0.1, 3.0), share=st.floats(0.2, 3.0))
def test_a_wheel_is_stopped_from_5000_feet_a_minute_and_warned_from_4500(diameter: float, share: float) -> None:
    answer = flywheel_rim(diameter, share * STOP_RIM_SPEED / (math.pi * diameter), "one-piece-sound")
    found = {f.code for f in answer.flags}
    if share >= 1.0 + 1e-9:
        assert found == {"stop"}
    elif 0.9 + 1e-9 <= share < 1.0 - 1e-9:
        assert found == {"warn"}
    elif share < 0.9 - 1e-9:
        assert not found
    assert "safe" not in str(answer.values["answer"]).lower()


@given(ohms=st.floats(0.0, 10.0))
def test_a_drop_measured_tells_the_same_as_the_ohms(ohms: float) -> None:
    by_ohms = contact_resistance(6.0, 1.0, 0.2, contact=ohms).values
    by_drop = contact_resistance(6.0, 1.0, 0.2, voltage_drop=float(str(by_ohms["voltage_drop"]))).values
    for name in ("current", "contact_resistance", "energy_share"):
        assert by_drop[name] == pytest.approx(by_ohms[name], rel=1e-6, abs=1e-9)


def test_a_perfect_contact_costs_nothing() -> None:
    found = contact_resistance(6.0, 1.0, contact=0.0, wanted_current=4.0).values
    assert found["current_share"] == found["energy_share"] == 1.0
    assert found["most_contact"] == pytest.approx(0.5)


@given(taken=st.floats(1e-6, 2e-4))
def test_a_bearing_closes_up_and_down_by_what_is_taken_out_and_not_sideways(taken: float) -> None:
    pack = 8e-4
    answer = shim_pack(pack, 3e-4 + taken, 2.9e-4, 3.1e-4, (pack - taken,), 1.0, bore_diameter=0.05).values
    if answer.get("pack") is not None:
        assert float(str(answer["change"])) == pytest.approx(-taken, abs=2e-9)
        assert abs(float(str(answer["side_change"]))) < taken / 100


def test_from_si_and_back_over_a_list() -> None:
    answer = ask("rebore", GOOD["rebore"], system="metric")
    assert next(o.value for o in answer.outputs if o.name == "oversize") == pytest.approx(from_si(20 * 25.4e-6, "mm"), rel=1e-9)
