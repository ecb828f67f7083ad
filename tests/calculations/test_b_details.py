"""Outputs beside the main one, and both sides of the lines at which something is said or refused."""

from __future__ import annotations

import math

import pytest
from tests.calculations.b_support import ask, flags, si_of, told

from halfthou_service.calculations import CalculationError

ENGINE = {"bore": "4.5 in", "stroke": "6 in"}
POINTS = {"temperature_1": "40 degC", "viscosity_1": "100 cSt", "temperature_2": "100 degC", "viscosity_2": "11 cSt"}
READINGS = {"before_voltage": "5 V", "before_speed": "300 rpm", "after_voltage": "6 V"}


def test_old_rating_counts_cylinders() -> None:
    assert told(ask("engine-displacement", bore="5 in", stroke="6 in", cylinders="2 count"), "rated_power") == pytest.approx(si_of("20 hp"))


def test_volumes_told_beside_the_ratio() -> None:
    filled = ask("compression-ratio", **ENGINE, clearance_volume="31.81 in3")
    assert told(filled, "swept_volume") == pytest.approx(si_of("95.4259 in3"), rel=1e-6)
    assert told(filled, "clearance_share") == pytest.approx(31.81 / 95.4259, rel=1e-6)
    drawn = ask("compression-ratio", **ENGINE, method="diagram", position_a="0.25 ratio", pressure_a="1.4 bar", position_b="0.75 ratio",
                pressure_b="3.6 bar")  # fmt: skip
    assert told(drawn, "clearance_volume") == pytest.approx(told(drawn, "clearance_share") * told(drawn, "swept_volume"), rel=1e-12)


@pytest.mark.parametrize("hits", ["100 count", "101 count"])
def test_a_count_may_be_a_stroke_over(hits: str) -> None:
    """Counting starts and stops anywhere in a cycle."""
    answer = ask("indicated-power", **ENGINE, mean_effective_pressure="60 psi", speed="200 rpm", firings=hits, counted_over="1 min")
    assert told(answer, "firing_share") == pytest.approx(float(hits.split()[0]) / 100)


def test_a_count_well_over_is_refused() -> None:
    with pytest.raises(CalculationError, match=r"firings: 103 a minute .* \(100\)"):
        ask("indicated-power", **ENGINE, mean_effective_pressure="60 psi", speed="200 rpm", firings="103 count", counted_over="1 min")


def test_a_whole_turn_of_tape_is_allowed() -> None:
    around = told(ask("rim-distance", diameter="24 in", angle="360 deg"), "arc")
    answer = ask("rim-distance", diameter="24 in", arc=f"{around:.12f} m")
    assert told(answer, "angle") == pytest.approx(2 * math.pi, rel=1e-9)
    assert told(answer, "one_degree") == pytest.approx(around / 360, rel=1e-9)


def test_dynamic_viscosity_takes_the_density_at_the_temperature() -> None:
    """0.65 kg/m3 lost for each kelvin above 15 degC (from memory)."""
    answer = ask("oil-viscosity", temperature="60 degC", density_15="890 kg/m3", **POINTS)
    assert told(answer, "dynamic") == pytest.approx(told(answer, "kinematic") * (890 - 0.65 * 45), rel=1e-12)
    grade = ask("oil-viscosity", temperature="60 degC", density_15="890 kg/m3", method="sae-grade", grade="SAE 30")
    assert told(grade, "kinematic") == pytest.approx(told(grade, "dynamic") / (890 - 0.65 * 45), rel=1e-12)


def test_points_given_hot_first_are_judged_alike() -> None:
    swapped = {"temperature_1": "100 degC", "viscosity_1": "11 cSt", "temperature_2": "40 degC", "viscosity_2": "100 cSt"}
    assert told(ask("oil-viscosity", temperature="60 degC", **swapped), "kinematic") == pytest.approx(
        told(ask("oil-viscosity", temperature="60 degC", **POINTS), "kinematic"), rel=1e-9)  # fmt: skip
    with pytest.raises(CalculationError) as refusal:
        ask("oil-viscosity", temperature="60 degC", **{**swapped, "viscosity_2": "9 cSt"})
    assert refusal.value.name == "viscosity_2"


@pytest.mark.parametrize(
    ("temperature", "outside"), [("39 degC", True), ("40 degC", False), ("70 degC", False), ("100 degC", False), ("101 degC", True)]
)
def test_extrapolation_is_said_on_both_sides(temperature: str, outside: bool) -> None:
    assert ("extrapolated" in flags(ask("oil-viscosity", temperature=temperature, **POINTS))) is outside


@pytest.mark.parametrize(("speed", "milliseconds"), [("300 rpm", 8.333), ("450 rpm", 5.556)])
def test_closed_angle_to_time(speed: str, milliseconds: float) -> None:
    """15 degrees measured on a 4 hp engine (common practice); the times are own arithmetic."""
    answer = ask("make-and-break-coil", voltage="6 V", coil_resistance="1 ohm", inductance="10 mH", closed_angle="15 deg", speed=speed)
    assert told(answer, "closed_time") * 1000 == pytest.approx(milliseconds, rel=1e-4)


def test_points_that_never_close_store_nothing() -> None:
    answer = ask("make-and-break-coil", voltage="6 V", coil_resistance="1 ohm", inductance="10 mH", closed_time="0 s")
    assert told(answer, "stored_energy") == 0.0
    assert next(o.value for o in answer.outputs if o.name == "energy_kept") is None


def test_magneto_volts_at_a_speed_of_ones_own() -> None:
    answer = ask("magneto-comparison", **READINGS, after_speed="360 rpm", common_speed="330 rpm")
    assert told(answer, "before_at_common") == pytest.approx(5.5, rel=1e-12)
    assert told(answer, "after_at_common") == pytest.approx(5.5, rel=1e-12)
    assert "far-apart" not in flags(answer)
    assert "far-apart" in flags(ask("magneto-comparison", **READINGS, after_speed="460 rpm"))


def test_screen_against_its_pipe() -> None:
    answer = ask("screen-cloth", mesh="80 mesh", wire_diameter="5.5 thou", screen_area="1 in2", pipe_bore="0.25 in")
    assert told(answer, "free_area") == pytest.approx(si_of("0.3136 in2"), rel=1e-9)
    assert told(answer, "pipes_worth") == pytest.approx(0.3136 / (math.pi / 4 * 0.0625), rel=1e-9)
    assert "chokes-the-pipe" not in flags(answer)


@pytest.mark.parametrize(("film", "unusual"), [("1.4 thou", True), ("1.6 thou", False), ("2.4 thou", False), ("2.6 thou", True)])
def test_film_outside_the_sheet_is_said(film: str, unusual: bool) -> None:
    answer = ask("paint-film", volume_solids="42 percent", dry_film=film)
    assert ("unusual-film" in flags(answer)) is unusual
    if unusual:
        assert any(film.split()[0] in flag.says for flag in answer.flags)


def test_level_of_a_small_tank_to_a_leak() -> None:
    answer = ask("tank-leak-down", tank="small-soldered-tank", level_drop="1 mm", surface_area="0.06 m2", elapsed="1 h", liquid_height="0.2 m",
                 liquid_density="740 kg/m3")  # fmt: skip
    assert told(answer, "leak_rate") == pytest.approx(1e-3 * 0.06 / 3600, rel=1e-12)
    assert told(answer, "head_pressure") == pytest.approx(740 * 9.80665 * 0.2, rel=1e-12)
    assert "cloth-first" in flags(answer)
