"""The same answers by another road: scipy solves, integrates or measures; the calculation is only compared."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq
from scipy.spatial import ConvexHull

from halfthou_service.calculations import CALCULATIONS


def run(calculation: str, **si_values: object) -> dict[str, float]:
    values = CALCULATIONS[calculation].run(**si_values).values
    return {name: value for name, value in values.items() if isinstance(value, float)}


@pytest.mark.parametrize("degrees", [0.5, 7.0, 33.0, 90.0, 121.0, 179.0])
@pytest.mark.parametrize(("stroke", "rod"), [(0.12, 0.24), (0.1524, 0.381), (0.1, 0.11)])
def test_angle_of_a_travel(stroke: float, rod: float, degrees: float) -> None:
    travel = run("piston-position", stroke=stroke, rod_length=rod, crank_angle=math.radians(degrees))["travel"]
    solved = brentq(lambda a: run("piston-position", stroke=stroke, rod_length=rod, crank_angle=a)["travel"] - travel, 0, math.pi, xtol=1e-13)
    assert run("piston-position", stroke=stroke, rod_length=rod, travel=travel)["crank_angle"] == pytest.approx(solved, rel=1e-6)


def test_travel_is_where_the_velocity_leads() -> None:
    def velocity(time: float) -> float:
        return run("piston-position", stroke=0.15, rod_length=0.35, crank_angle=2 * math.pi * 7.5 * time, speed=7.5)["velocity"]

    for degrees in (30, 90, 180):
        moved, _ = quad(velocity, 0, degrees / 360 / 7.5)
        assert run("piston-position", stroke=0.15, rod_length=0.35, crank_angle=math.radians(degrees))["travel"] == pytest.approx(moved, rel=1e-9)


def test_velocity_is_where_the_acceleration_leads() -> None:
    def acceleration(time: float) -> float:
        return run("piston-position", stroke=0.15, rod_length=0.35, crank_angle=2 * math.pi * 7.5 * time, speed=7.5)["acceleration"] * 9.80665

    gained, _ = quad(acceleration, 0, 50 / 360 / 7.5)
    here = run("piston-position", stroke=0.15, rod_length=0.35, crank_angle=math.radians(50), speed=7.5)
    assert here["velocity"] == pytest.approx(gained, rel=1e-9)


def test_angle_of_no_acceleration() -> None:
    """EN-26, quoted: Khurmi and Gupta ex. 15.4 prints 79.27 degrees by the short form; exactly it is 79.10."""
    def pull(a: float) -> float:
        return run("piston-position", stroke=0.6, rod_length=1.5, crank_angle=a, speed=3.0)["acceleration"]

    assert math.degrees(brentq(pull, 1.0, 2.0)) == pytest.approx(79.27, rel=0.005)


def test_mean_piston_speed_is_the_mean_of_the_speed() -> None:
    def swift(a: float) -> float:
        return abs(run("piston-position", stroke=0.1524, rod_length=0.35, crank_angle=a, speed=7.5)["velocity"])

    mean, _ = quad(swift, 0, 2 * math.pi, points=[math.pi])
    assert run("piston-speed", stroke=0.1524, speed=7.5)["mean_piston_speed"] == pytest.approx(mean / (2 * math.pi), rel=1e-9)


@pytest.mark.parametrize(("ratio", "n"), [(3.0, 1.25), (4.5, 1.3), (6.0, 1.4)])
def test_ratio_comes_back_from_a_drawn_compression(ratio: float, n: float) -> None:
    clearance = 1 / (ratio - 1)
    def line(done: float) -> float:
        return float(1e5 * ((1 + clearance) / (clearance + 1 - done)) ** n)

    found = run("compression-ratio", method="diagram", exponent=n, position_a=0.2, pressure_a=line(0.2), position_b=0.8, pressure_b=line(0.8))
    assert found["compression_ratio"] == pytest.approx(ratio, rel=1e-9)


def test_exponent_found_from_a_pressure() -> None:
    end = run("compression-pressure", compression_ratio=4.2, exponent=1.27, start_pressure=1e5)["pressure"]
    found = brentq(lambda n: run("compression-pressure", compression_ratio=4.2, exponent=n, start_pressure=1e5)["pressure"] - end, 1.0, 1.6)
    assert found == pytest.approx(1.27, rel=1e-9)


def test_compression_temperature_agrees_with_the_gas_law() -> None:
    found = run("compression-pressure", compression_ratio=5.0, exponent=1.33, start_pressure=1e5, start_temperature=310.0)
    assert found["pressure"] / found["end_temperature"] == pytest.approx(1e5 / 310.0 * 5.0, rel=1e-12)


def test_indicated_power_is_the_work_under_a_flat_diagram() -> None:
    area = math.pi / 4 * 0.1143**2
    work, _ = quad(lambda x: 4.5e5 * area, 0, 0.1524)
    found = run("indicated-power", mean_effective_pressure=4.5e5, bore=0.1143, stroke=0.1524, firings=100.0, counted_over=60.0)
    assert found["indicated_power"] == pytest.approx(work * 100 / 60, rel=1e-12)


def test_brake_power_is_force_over_the_way_of_the_rim() -> None:
    found = run("brake-power", speed=7.0, load=400.0, slack_reading=60.0, tare=10.0, drum_diameter=0.5, rope_diameter=0.02)
    way = 7.0 * math.pi * 0.52
    assert found["brake_power"] == pytest.approx(330.0 * way, rel=1e-12)
    back = run("brake-power", speed=7.0, power=found["brake_power"])
    assert back["torque"] == pytest.approx(found["torque"], rel=1e-12)


@pytest.mark.parametrize("degrees", [3.0, 45.0, 170.0])
def test_angle_of_a_chord(degrees: float) -> None:
    chord = run("rim-distance", diameter=0.6096, angle=math.radians(degrees))["chord"]
    solved = brentq(lambda a: run("rim-distance", diameter=0.6096, angle=a)["chord"] - chord, 0, math.pi, xtol=1e-14)
    assert run("rim-distance", diameter=0.6096, chord=chord)["angle"] == pytest.approx(solved, rel=1e-9)


@pytest.mark.parametrize(("d1", "d2", "centres"), [(0.3, 0.5, 5.0), (0.4, 0.4, 1.0), (0.9, 0.2, 1.2), (0.1, 1.2, 0.8)])
def test_open_belt_is_a_string_round_two_discs(d1: float, d2: float, centres: float) -> None:
    turn = np.linspace(0, 2 * np.pi, 40000)
    left = np.column_stack((d1 / 2 * np.cos(turn), d1 / 2 * np.sin(turn)))
    right = np.column_stack((centres + d2 / 2 * np.cos(turn), d2 / 2 * np.sin(turn)))
    string = ConvexHull(np.vstack((left, right))).area  # of a flat figure: its perimeter
    found = run("flat-belt", driver_diameter=d1, driven_diameter=d2, driver_speed=5.0, centre_distance=centres)
    assert found["belt_length"] == pytest.approx(string, rel=1e-6)


def test_crossed_belt_is_the_shortest_that_passes_between() -> None:
    d1, d2, centres = 0.3, 0.5, 1.4
    # the tangent points where the straight part is square to both radii: found by solving, not by formula
    lean = brentq(lambda b: centres * math.sin(b) - (d1 + d2) / 2, 0, math.pi / 2)
    straight = math.dist((d1 / 2 * math.sin(lean), d1 / 2 * math.cos(lean)), (centres - d2 / 2 * math.sin(lean), -d2 / 2 * math.cos(lean)))
    found = run("flat-belt", driver_diameter=d1, driven_diameter=d2, driver_speed=5.0, centre_distance=centres, arrangement="crossed")
    assert found["belt_length"] == pytest.approx(2 * straight + (d1 + d2) / 2 * (math.pi + 2 * lean), rel=1e-9)
    assert found["wrap"] == pytest.approx(math.pi + 2 * lean, rel=1e-9)


def test_belt_tension_grows_round_the_pulley() -> None:
    density, width, thickness, d, n, mu, wrap = 1000.0, 0.1, 0.006, 0.5, 8.0, 0.28, 2.7
    v = math.pi * d * n
    own = density * width * thickness * v**2
    found = run("flat-belt", driver_diameter=d, driver_speed=n, density=density, width=width, thickness=thickness, friction=mu, wrap=wrap,
                tight_side=1500.0)  # fmt: skip
    grown = solve_ivp(lambda _, t: mu * (t - own), (0, wrap), [found["slack_side"]], rtol=1e-11, atol=1e-9).y[0, -1]
    assert grown == pytest.approx(1500.0, rel=1e-8)
    assert found["power"] == pytest.approx((1500.0 - found["slack_side"]) * v, rel=1e-12)
    # the same drive from its tension at rest
    rest = run("flat-belt", driver_diameter=d, driver_speed=n, density=density, width=width, thickness=thickness, friction=mu, wrap=wrap,
               initial_tension=(1500.0 + found["slack_side"]) / 2)  # fmt: skip
    assert rest["power"] == pytest.approx(found["power"], rel=1e-10)


def test_best_belt_speed_is_where_the_power_is_greatest() -> None:
    sizes = {"driver_diameter": 0.5, "density": 1000.0, "width": 0.1, "thickness": 0.006, "friction": 0.28, "wrap": 2.7, "tight_side": 900.0}
    best = run("flat-belt", driver_speed=5.0, **sizes)["best_speed"]
    speeds = np.linspace(2.0, 20.0, 4001)
    powers = [run("flat-belt", driver_speed=n, **sizes)["power"] for n in speeds]
    assert math.pi * 0.5 * speeds[int(np.argmax(powers))] == pytest.approx(best, rel=2e-3)


def test_width_by_stress_carries_the_power_it_was_made_for() -> None:
    drive = {"driver_diameter": 0.8, "driver_speed": 6.0, "thickness": 0.008, "density": 950.0, "friction": 0.3, "wrap": 2.8}
    width = run("flat-belt", power=6000.0, allowed_stress=1.8e6, **drive)["stress_width"]
    carried = run("flat-belt", width=width, tight_side=1.8e6 * width * 0.008, **drive)["power"]
    assert carried == pytest.approx(6000.0, rel=1e-10)


def test_oil_points_lie_on_a_straight_line_of_double_logs() -> None:
    points = {"temperature_1": 313.15, "viscosity_1": 1e-4, "temperature_2": 373.15, "viscosity_2": 11e-6}
    kelvin = np.linspace(280.0, 400.0, 13)
    drawn = np.array([run("oil-viscosity", temperature=float(t), **points)["kinematic"] for t in kelvin]) * 1e6
    slope, cut = np.polyfit(np.log10(kelvin), np.log10(np.log10(drawn + 0.7)), 1)
    found = run("oil-viscosity", temperature=340.0, **points)
    assert found["constant_b"] == pytest.approx(-slope, rel=1e-6)
    assert found["constant_a"] == pytest.approx(cut, rel=1e-6)
    warm = brentq(lambda t: run("oil-viscosity", temperature=t, **points)["kinematic"] - 39.5e-6, 300, 400)
    assert warm == pytest.approx(333.15, rel=1e-4)


def test_coil_current_rises_as_the_circuit_says() -> None:
    volts, ohms, henries, closed = 6.0, 1.5, 0.02, 0.006
    rise = solve_ivp(lambda _, i: (volts - ohms * i) / henries, (0, closed), [0.0], rtol=1e-11, atol=1e-13, dense_output=True)
    found = run("make-and-break-coil", voltage=volts, coil_resistance=1.0, other_resistance=0.3, source_resistance=0.2, inductance=henries,
                closed_time=closed)  # fmt: skip
    assert found["current_at_break"] == pytest.approx(rise.y[0, -1], rel=1e-8)
    stored, _ = quad(lambda t: (volts - ohms * rise.sol(t)[0]) * rise.sol(t)[0], 0, closed)
    assert found["stored_energy"] == pytest.approx(stored, rel=1e-6)
    clean = run("make-and-break-coil", voltage=volts, coil_resistance=1.0, source_resistance=0.2, inductance=henries, closed_time=closed)
    assert found["energy_kept"] == pytest.approx(found["stored_energy"] / clean["stored_energy"], rel=1e-10)


def test_magneto_circuit_by_phasors() -> None:
    found = run("magneto-comparison", before_voltage=2.0, before_speed=5.0, after_voltage=6.5, after_speed=15.0, circuit_resistance=1.7,
                circuit_inductance=0.02, pole_pairs=2.0)  # fmt: skip
    assert found["after_current"] == pytest.approx(abs(6.5 / complex(1.7, 2 * math.pi * 15 * 2 * 0.02)), rel=1e-12)
    same = brentq(lambda v: run("magneto-comparison", before_voltage=2.0, before_speed=5.0, after_voltage=v, after_speed=15.0)["change"] - 1, 1, 20)
    assert same == pytest.approx(6.0, rel=1e-9)


def test_expected_end_is_where_no_air_was_lost() -> None:
    hold = {"tank": "part-with-printed-test-pressure", "pressure_start": 2e5, "temperature_start": 300.0, "temperature_end": 285.0,
            "volume": 0.01, "elapsed": 600.0}  # fmt: skip
    tight = brentq(lambda p: run("tank-leak-down", pressure_end=p, **hold)["leak_rate"], 1e5, 3e5)
    assert run("tank-leak-down", **hold)["expected_end"] == pytest.approx(tight, rel=1e-9)


def test_paint_wet_film_found_by_solving() -> None:
    wet = run("paint-film", volume_solids=0.42, dry_film=5e-5, thinner=0.1)["wet_film"]
    solved = brentq(lambda w: run("paint-film", volume_solids=0.42, wet_film=w, thinner=0.1)["dry_film"] - 5e-5, 1e-6, 1e-3)
    assert wet == pytest.approx(solved, rel=1e-9)


def test_paint_on_the_wall_weighs_what_left_the_can() -> None:
    found = run("paint-film", volume_solids=0.42, dry_film=5e-5, coats=3.0, loss=0.2, area=4.0)
    assert found["paint_needed"] * 0.42 * 0.8 == pytest.approx(4.0 * found["all_coats"], rel=1e-12)
    assert found["paint_needed"] / 3 == pytest.approx(4.0 / found["litre_covers"] / 1000, rel=1e-12)


def test_mesh_found_for_an_opening() -> None:
    opening = run("screen-cloth", mesh=80 / 0.0254, wire_diameter=1.4e-4)["opening"]
    mesh = brentq(lambda m: run("screen-cloth", mesh=m, wire_diameter=1.4e-4)["opening"] - opening, 1000, 6000)
    assert mesh == pytest.approx(80 / 0.0254, rel=1e-9)
    assert run("screen-cloth", mesh=80 / 0.0254, opening=opening)["wire_diameter"] == pytest.approx(1.4e-4, rel=1e-9)


def test_open_area_by_throwing_grains() -> None:
    mesh, wire = 80 / 0.0254, 1.4e-4
    pitch = 1 / mesh
    grains = np.random.default_rng(7).uniform(0, pitch, (400_000, 2))
    through = np.all(grains > wire, axis=1).mean()
    assert run("screen-cloth", mesh=mesh, wire_diameter=wire)["open_share"] == pytest.approx(through, rel=0.01)


def test_hopper_warms_and_then_boils_away() -> None:
    found = run("hopper-water", power=3000.0, hopper_volume=0.02, usable_volume=0.01)
    heat = found["jacket_heat"]
    reach = solve_ivp(lambda _, t: heat / (998.0 * 0.02 * 4181.3), (0, 2 * found["time_to_boil"]), [294.26], rtol=1e-10,
                      events=lambda _, t: t[0] - 373.15)  # fmt: skip
    assert found["time_to_boil"] == pytest.approx(reach.t_events[0][0], rel=1e-6)
    gone = solve_ivp(lambda _, m: -heat / 2.26e6, (0, 2 * found["lasts"]), [998.0 * 0.01], rtol=1e-10, events=lambda _, m: m[0])
    assert found["lasts"] == pytest.approx(gone.t_events[0][0], rel=1e-6)
