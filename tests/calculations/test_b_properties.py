"""More goes with more, limits are limits, and what goes out comes back: drawn by hypothesis."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from halfthou_service.calculations import CALCULATIONS

drawn = settings(deadline=None, max_examples=60)
"""Kept to this file: a profile would change the tests of others."""

sizes = st.floats(0.02, 1.0)
shares = st.floats(0.05, 0.95)
speeds = st.floats(1.0, 30.0)
factors = st.floats(1.01, 3.0)
angles = st.floats(0.02, math.pi - 0.02)


def run(calculation: str, **si_values: object) -> dict[str, float]:
    values = CALCULATIONS[calculation].run(**si_values).values
    return {name: value for name, value in values.items() if isinstance(value, float)}


@drawn
@given(sizes, sizes, factors)
def test_displacement_grows_with_bore_squared_and_stroke(bore: float, stroke: float, more: float) -> None:
    swept = run("engine-displacement", bore=bore, stroke=stroke)["swept_volume"]
    assert run("engine-displacement", bore=bore * more, stroke=stroke)["swept_volume"] == pytest.approx(swept * more**2, rel=1e-12)
    assert run("engine-displacement", bore=bore, stroke=stroke * more)["swept_volume"] == pytest.approx(swept * more, rel=1e-12)


@drawn
@given(sizes, sizes, st.floats(0.05, 2.0), factors)
def test_less_clearance_is_more_ratio(bore: float, stroke: float, share: float, more: float) -> None:
    swept = math.pi / 4 * bore**2 * stroke
    def ratio(part: float) -> float:
        return run("compression-ratio", bore=bore, stroke=stroke, clearance_volume=swept * part)["compression_ratio"]

    wide, narrow = ratio(share), ratio(share / more)
    assert narrow > wide > 1.0
    assert wide == pytest.approx(1 + 1 / share, rel=1e-12)


@drawn
@given(st.floats(1.01, 12.0), st.floats(1.0, 1.6), factors)
def test_compression_pressure_rises_with_ratio_and_exponent(ratio: float, n: float, more: float) -> None:
    first = run("compression-pressure", compression_ratio=ratio, exponent=n)["pressure"]
    assert run("compression-pressure", compression_ratio=ratio * more, exponent=n)["pressure"] > first
    assert run("compression-pressure", compression_ratio=ratio, exponent=min(1.67, n + 0.05))["pressure"] > first


@drawn
@given(st.floats(1.01, 12.0))
def test_slow_compression_heats_nothing(ratio: float) -> None:
    found = run("compression-pressure", compression_ratio=ratio, exponent=1.0, start_temperature=293.0)
    assert found["end_temperature"] == pytest.approx(293.0, rel=1e-12)
    assert found["pressure"] == pytest.approx(101325 * ratio, rel=1e-12)


@drawn
@given(sizes, sizes, speeds, shares)
def test_missed_hits_cost_their_share_of_power(bore: float, stroke: float, speed: float, share: float) -> None:
    engine = {"mean_effective_pressure": 4e5, "bore": bore, "stroke": stroke, "speed": speed}
    every = run("indicated-power", **engine)["indicated_power"]
    some = run("indicated-power", **engine, firings=share * speed / 2 * 60, counted_over=60.0)
    assert some["indicated_power"] == pytest.approx(every * share, rel=1e-9)
    assert some["firing_share"] == pytest.approx(share, rel=1e-9)


@drawn
@given(speeds, st.floats(1.0, 1e4), sizes)
def test_brake_power_and_torque_are_one_thing(speed: float, load: float, arm: float) -> None:
    found = run("brake-power", speed=speed, load=load, arm=arm)
    again = run("brake-power", speed=speed, torque=found["torque"])
    assert again["brake_power"] == pytest.approx(found["brake_power"], rel=1e-12)


@drawn
@given(speeds, sizes, st.floats(1e-5, 0.02))
def test_mean_pressure_times_displacement_gives_the_torque_back(speed: float, arm: float, displacement: float) -> None:
    found = run("brake-power", speed=speed, load=100.0, arm=arm, displacement=displacement)
    assert found["mean_effective_pressure"] * displacement / (4 * math.pi) == pytest.approx(found["torque"], rel=1e-12)


@drawn
@given(sizes, speeds)
def test_piston_speed_there_and_back(stroke: float, speed: float) -> None:
    mean = run("piston-speed", stroke=stroke, speed=speed)["mean_piston_speed"]
    assert run("piston-speed", stroke=stroke, mean_piston_speed=mean)["speed"] == pytest.approx(speed, rel=1e-12)


@drawn
@given(st.floats(0.05, 3.0), angles, factors)
def test_rim_distance_there_and_back(wheel: float, angle: float, more: float) -> None:
    found = run("rim-distance", diameter=wheel, angle=angle)
    assert found["chord"] < found["arc"]
    assert run("rim-distance", diameter=wheel, arc=found["arc"])["angle"] == pytest.approx(angle, rel=1e-12)
    assert run("rim-distance", diameter=wheel, chord=found["chord"])["angle"] == pytest.approx(angle, rel=1e-6)
    assert run("rim-distance", circumference=math.pi * wheel, angle=angle)["arc"] == pytest.approx(found["arc"], rel=1e-12)
    assert run("rim-distance", angle=angle, chord=found["chord"])["diameter"] == pytest.approx(wheel, rel=1e-9)
    assert run("rim-distance", diameter=wheel * more, angle=angle)["arc"] > found["arc"]


@drawn
@given(st.floats(0.05, 3.0))
def test_a_small_chord_is_its_arc(wheel: float) -> None:
    found = run("rim-distance", diameter=wheel, angle=1e-4)
    assert found["chord"] == pytest.approx(found["arc"], rel=1e-8)


@drawn
@given(sizes, st.floats(1.05, 6.0), angles)
def test_piston_angle_there_and_back(stroke: float, rods: float, angle: float) -> None:
    rod = rods * stroke / 2
    found = run("piston-position", stroke=stroke, rod_length=rod, crank_angle=angle)
    back = run("piston-position", stroke=stroke, rod_length=rod, travel=found["travel"])
    assert back["crank_angle"] == pytest.approx(angle, rel=1e-6)
    assert 0.0 < found["share_of_stroke"] < 1.0


@drawn
@given(sizes, st.floats(1.05, 6.0), angles, st.floats(0.001, 0.02))
def test_piston_goes_on_down_to_outer_dead_centre(stroke: float, rods: float, angle: float, step: float) -> None:
    rod = rods * stroke / 2
    here, further = (run("piston-position", stroke=stroke, rod_length=rod, crank_angle=a)["travel"] for a in (angle, angle + step))
    assert further > here


@drawn
@given(sizes)
def test_dead_centres_and_a_very_long_rod(stroke: float) -> None:
    def at(angle: float, rod: float) -> dict[str, float]:
        return run("piston-position", stroke=stroke, rod_length=rod, crank_angle=angle, speed=5.0)

    assert at(0.0, stroke)["travel"] == pytest.approx(0.0, abs=1e-15)
    assert at(math.pi, stroke)["travel"] == pytest.approx(stroke, rel=1e-12)
    assert at(0.0, stroke)["velocity"] == 0.0
    # the motion of a scotch yoke
    assert at(1.0, 1e5 * stroke)["travel"] == pytest.approx(stroke / 2 * (1 - math.cos(1.0)), rel=1e-4)
    assert at(math.pi / 2, stroke)["travel"] > stroke / 2


@drawn
@given(sizes, sizes, speeds, st.floats(0.0, 0.1), st.floats(0.0, 0.01))
def test_any_missing_pulley_figure_comes_back(d1: float, d2: float, n1: float, slip: float, t: float) -> None:
    belt = {"slip": slip, "thickness": t, "belt_line": "mid-belt"}
    n2 = run("flat-belt", driver_diameter=d1, driven_diameter=d2, driver_speed=n1, **belt)["driven_speed"]
    whole = {"driver_diameter": d1, "driven_diameter": d2, "driver_speed": n1, "driven_speed": n2}
    for missing, value in whole.items():
        rest = {k: v for k, v in whole.items() if k != missing}
        assert run("flat-belt", **rest, **belt)[missing] == pytest.approx(value, rel=1e-9)


@drawn
@given(sizes, sizes, st.floats(1.05, 8.0))
def test_crossed_belt_is_longer_and_wraps_more(d1: float, d2: float, apart: float) -> None:
    drive = {"driver_diameter": d1, "driven_diameter": d2, "driver_speed": 5.0, "centre_distance": (d1 + d2) / 2 * apart}
    plain, crossed = run("flat-belt", **drive), run("flat-belt", **drive, arrangement="crossed")
    assert crossed["belt_length"] > plain["belt_length"]
    assert plain["wrap"] <= math.pi <= crossed["wrap"]


@drawn
@given(sizes)
def test_equal_pulleys_wrap_half_way(d: float) -> None:
    found = run("flat-belt", driver_diameter=d, driven_diameter=d, driver_speed=5.0, centre_distance=3 * d)
    assert found["wrap"] == pytest.approx(math.pi, rel=1e-12)
    assert found["belt_length"] == pytest.approx(6 * d + math.pi * d, rel=1e-12)


@drawn
@given(st.floats(0.05, 0.6), st.floats(1.0, 4.0), factors)
def test_more_friction_or_wrap_carries_more(mu: float, wrap: float, more: float) -> None:
    drive = {"driver_diameter": 0.5, "driver_speed": 5.0, "tight_side": 1000.0}
    first = run("flat-belt", friction=mu, wrap=wrap, **drive)["power"]
    assert run("flat-belt", friction=mu * more, wrap=wrap, **drive)["power"] > first
    assert run("flat-belt", friction=mu, wrap=wrap * more, **drive)["power"] > first
    assert first < 1000.0 * math.pi * 0.5 * 5.0


oils = st.tuples(st.floats(20e-6, 800e-6), st.floats(3e-6, 19e-6))


@drawn
@given(oils, st.floats(280.0, 420.0), st.floats(0.5, 30.0))
def test_oil_thins_as_it_warms(oil: tuple[float, float], temperature: float, warmer: float) -> None:
    points = {"temperature_1": 313.15, "viscosity_1": oil[0], "temperature_2": 373.15, "viscosity_2": oil[1]}
    cool, warm = (run("oil-viscosity", temperature=t, **points)["kinematic"] for t in (temperature, temperature + warmer))
    assert warm < cool


@drawn
@given(oils)
def test_oil_passes_through_its_points_in_either_order(oil: tuple[float, float]) -> None:
    points = {"temperature_1": 313.15, "viscosity_1": oil[0], "temperature_2": 373.15, "viscosity_2": oil[1]}
    swapped = {"temperature_1": 373.15, "viscosity_1": oil[1], "temperature_2": 313.15, "viscosity_2": oil[0]}
    assert run("oil-viscosity", temperature=313.15, **points)["kinematic"] == pytest.approx(oil[0], rel=1e-9)
    assert run("oil-viscosity", temperature=373.15, **points)["at_100"] == pytest.approx(oil[1], rel=1e-9)
    assert run("oil-viscosity", temperature=340.0, **swapped)["kinematic"] == pytest.approx(
        run("oil-viscosity", temperature=340.0, **points)["kinematic"], rel=1e-9)  # fmt: skip


@drawn
@given(st.floats(311.0, 422.0), st.sampled_from([("SAE 10", "SAE 20"), ("SAE 20", "SAE 30"), ("SAE 30", "SAE 40"), ("SAE 40", "SAE 50"),
                                                 ("SAE 50", "SAE 60")]))  # fmt: skip
def test_a_higher_grade_is_thicker(temperature: float, pair: tuple[str, str]) -> None:
    thin, thick = (run("oil-viscosity", temperature=temperature, method="sae-grade", grade=g)["dynamic"] for g in pair)
    assert thick > thin


@drawn
@given(st.floats(0.2, 10.0), st.floats(0.001, 0.1), st.floats(1e-4, 0.05), factors)
def test_coil_gains_by_time_and_loses_by_dirt(ohms: float, henries: float, closed: float, more: float) -> None:
    coil = {"voltage": 6.0, "coil_resistance": ohms, "inductance": henries}
    first = run("make-and-break-coil", closed_time=closed, **coil)
    assert first["current_at_break"] < first["final_current"] * (1 + 1e-12)
    assert run("make-and-break-coil", closed_time=closed * more, **coil)["current_at_break"] >= first["current_at_break"]
    dirty = run("make-and-break-coil", closed_time=closed, other_resistance=0.5, **coil)
    assert dirty["stored_energy"] < first["stored_energy"]
    assert dirty["energy_kept"] < 1.0
    assert first["energy_kept"] == pytest.approx(1.0, rel=1e-9)


@drawn
@given(st.floats(0.5, 10.0), st.floats(0.05, 1.0))
def test_resistance_costs_current_once_and_energy_twice(ohms: float, dirt: float) -> None:
    found = run("make-and-break-coil", voltage=6.0, coil_resistance=ohms, other_resistance=dirt, inductance=0.01, closed_time=100.0)
    assert found["energy_kept"] == pytest.approx((ohms / (ohms + dirt)) ** 2, rel=1e-9)


@drawn
@given(st.floats(1.0, 20.0), speeds, factors)
def test_magneto_volts_follow_the_speed(volts: float, speed: float, more: float) -> None:
    readings = {"before_voltage": volts, "before_speed": speed, "after_voltage": volts * more, "after_speed": speed * more}
    same = run("magneto-comparison", **readings)
    assert same["change"] == pytest.approx(1.0, rel=1e-12)
    sprung = run("magneto-comparison", **readings, kind="oscillating")
    assert sprung["change"] == pytest.approx(more, rel=1e-12)


@drawn
@given(st.floats(0.001, 0.1), st.floats(50.0, 500.0))
def test_magneto_current_flattens_with_speed(henries: float, speed: float) -> None:
    k = 0.06
    def current(n: float) -> float:
        w = 2 * math.pi * n
        return run("magneto-comparison", before_voltage=k * w, before_speed=n, after_voltage=k * w, after_speed=n, circuit_resistance=2.0,
                   circuit_inductance=henries)["before_current"]  # fmt: skip

    assert current(speed) <= current(2 * speed) <= k / henries
    assert current(1e7) == pytest.approx(k / henries, rel=1e-3)


@drawn
@given(st.floats(0.0, 5.0), st.floats(0.0, 1.9))
def test_a_diode_sees_nothing_below_its_volts(ohms: float, volts: float) -> None:
    found = run("magneto-comparison", before_voltage=volts + 0.01, before_speed=5.0, after_voltage=5.0, after_speed=5.0, lamp_voltage=2.0,
                lamp_resistance=100.0 + ohms)  # fmt: skip
    assert found["before_lamp_current"] == 0.0
    assert found["after_lamp_current"] > 0.0


@drawn
@given(st.floats(1e4, 1e6), st.floats(270.0, 320.0), st.floats(0.1, 10.0))
def test_a_cooler_part_shows_less_pressure_with_no_leak(pressure: float, warm: float, cooler: float) -> None:
    hold = {"tank": "part-with-printed-test-pressure", "pressure_start": pressure, "temperature_start": warm, "temperature_end": warm - cooler}
    found = run("tank-leak-down", **hold)
    assert found["expected_end"] < pressure
    assert found["temperature_part"] == pytest.approx(-(pressure + 101325) * cooler / warm, rel=1e-9)
    still = run("tank-leak-down", **{**hold, "temperature_end": warm}, pressure_end=pressure, volume=0.01, elapsed=60.0)
    assert still["leak_rate"] == pytest.approx(0.0, abs=1e-15)


@drawn
@given(st.floats(400.0, 8000.0), shares)
def test_cloth_opens_as_the_wire_thins(mesh: float, share: float) -> None:
    wire = share / mesh
    found = run("screen-cloth", mesh=mesh, wire_diameter=wire)
    assert found["open_share"] == pytest.approx((1 - share) ** 2, rel=1e-9)
    assert run("screen-cloth", mesh=mesh, wire_diameter=wire * 0.9)["opening"] > found["opening"]
    assert run("screen-cloth", mesh=mesh, opening=found["opening"])["wire_diameter"] == pytest.approx(wire, rel=1e-9)


@drawn
@given(shares, st.floats(1e-5, 2e-4), st.floats(0.0, 0.5))
def test_paint_wet_and_dry(solids: float, dry: float, thinner: float) -> None:
    found = run("paint-film", volume_solids=solids, dry_film=dry, thinner=thinner)
    assert found["wet_film"] > dry
    assert run("paint-film", volume_solids=solids, wet_film=found["wet_film"], thinner=thinner)["dry_film"] == pytest.approx(dry, rel=1e-12)
    # thinner neither adds to nor takes from what the paint covers dry
    assert run("paint-film", volume_solids=solids, dry_film=dry)["litre_covers"] == pytest.approx(found["litre_covers"], rel=1e-12)


@drawn
@given(st.floats(500.0, 10000.0), st.floats(0.1, 0.4), st.floats(0.1, 0.35), factors)
def test_hopper_boils_more_with_power_and_less_with_efficiency(power: float, share: float, efficiency: float, more: float) -> None:
    assume(share + efficiency * 1.05 < 1)
    water = run("hopper-water", power=power, jacket_share=share, brake_efficiency=efficiency)["water_mass"]
    assert run("hopper-water", power=power * more, jacket_share=share, brake_efficiency=efficiency)["water_mass"] == pytest.approx(water * more)
    assert run("hopper-water", power=power, jacket_share=share, brake_efficiency=efficiency * 1.05)["water_mass"] < water
    warm = run("hopper-water", power=power, jacket_share=share, brake_efficiency=efficiency, water_temperature=340.0)["water_mass"]
    assert warm > water
