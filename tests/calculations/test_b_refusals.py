"""Refused by name, flagged in words, never bent into range; and the cautions that travel with an answer."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from tests.calculations.b_support import ask, flags

from halfthou_service.calculations import CALCULATIONS, CalculationError, calculate
from halfthou_service.calculations.tank_leak_down import RATED_PART, SMALL_TANK, WATER_TEST
from halfthou_specdb.quantity import Quantity

CAUTIONS = Path(__file__).parents[2] / "specdb" / "halfthou_specdb" / "data" / "cautions.toml"
ENGINE = {"bore": "4.5 in", "stroke": "6 in"}
BELT = {"driver_diameter": "20 in", "driver_speed": "450 rpm"}
READINGS = {"before_voltage": "5 V", "before_speed": "300 rpm", "after_voltage": "6 V", "after_speed": "300 rpm"}
COIL = {"voltage": "6 V", "coil_resistance": "1 ohm"}
HOLD = {"tank": RATED_PART, "pressure_start": "3 psi", "temperature_start": "70 degF", "temperature_end": "60 degF"}
OIL = {"temperature": "60 degC", "temperature_1": "40 degC", "viscosity_1": "100 cSt", "temperature_2": "100 degC", "viscosity_2": "11 cSt"}
DIAGRAM = {"method": "diagram", "position_a": "0.25 ratio", "pressure_a": "1.4 bar", "position_b": "0.75 ratio", "pressure_b": "3.6 bar"}

# calculation, inputs, the input to be named, code
REFUSED: tuple[tuple[str, dict[str, str], str, str], ...] = (
    ("engine-displacement", {**ENGINE, "bore": "4.5 lb"}, "bore", "wrong-dimension"),
    ("engine-displacement", {**ENGINE, "bore": "0 in"}, "bore", "out-of-range"),
    ("engine-displacement", {**ENGINE, "stroke": "-6 in"}, "stroke", "out-of-range"),
    ("engine-displacement", {**ENGINE, "cylinders": "1.5 count"}, "cylinders", "out-of-range"),
    ("engine-displacement", {"bore": "4 in"}, "stroke", "missing-input"),
    ("engine-displacement", {**ENGINE, "colour": "1 in"}, "colour", "unknown-input"),
    ("compression-ratio", {**ENGINE}, "clearance_volume", "missing-input"),
    ("compression-ratio", {"clearance_volume": "6 in3", "bore": "4 in"}, "stroke", "missing-input"),
    ("compression-ratio", {**ENGINE, "clearance_volume": "6 in2"}, "clearance_volume", "wrong-dimension"),
    ("compression-ratio", {**DIAGRAM, "position_b": "0.2 ratio"}, "position_b", "impossible"),
    ("compression-ratio", {**DIAGRAM, "pressure_b": "1.3 bar"}, "pressure_b", "impossible"),
    ("compression-ratio", {**DIAGRAM, "pressure_b": "9 bar"}, "pressure_b", "impossible"),
    ("compression-ratio", {**DIAGRAM, "position_a": "1.2 ratio"}, "position_a", "out-of-range"),
    ("compression-ratio", {**DIAGRAM, "clearance_volume": "6 in3"}, "clearance_volume", "too-many-inputs"),
    ("compression-ratio", {"method": "guess"}, "method", "wrong-kind"),
    ("compression-pressure", {"compression_ratio": "1 ratio"}, "compression_ratio", "out-of-range"),
    ("compression-pressure", {"compression_ratio": "4 ratio", "exponent": "0.9 ratio"}, "exponent", "out-of-range"),
    ("compression-pressure", {"compression_ratio": "4 in"}, "compression_ratio", "wrong-dimension"),
    ("indicated-power", {**ENGINE, "mean_effective_pressure": "60 psi"}, "speed", "missing-input"),
    ("indicated-power", {**ENGINE, "mean_effective_pressure": "60 psi", "firings": "100 count"}, "counted_over", "missing-input"),
    ("indicated-power", {**ENGINE, "mean_effective_pressure": "60 psi", "speed": "400 rpm", "firings": "300 count", "counted_over": "1 min"},
     "firings", "impossible"),
    ("brake-power", {"speed": "400 rpm"}, "load", "missing-input"),
    ("brake-power", {"speed": "400 rpm", "load": "50 lbf"}, "arm", "missing-input"),
    ("brake-power", {"speed": "400 rpm", "load": "50 lbf", "arm": "2 ft", "drum_diameter": "1 ft"}, "drum_diameter", "too-many-inputs"),
    ("brake-power", {"speed": "400 rpm", "load": "50 lbf", "arm": "2 ft", "torque": "9 N.m"}, "torque", "too-many-inputs"),
    ("brake-power", {"speed": "400 rpm", "load": "5 lbf", "slack_reading": "50 lbf", "arm": "2 ft"}, "load", "impossible"),
    ("brake-power", {"speed": "400 rpm", "load": "50 kg", "arm": "2 ft"}, "load", "wrong-dimension"),
    ("piston-speed", {"stroke": "6 in"}, "speed", "missing-input"),
    ("piston-speed", {"stroke": "6 in", "speed": "400 rpm", "mean_piston_speed": "400 ft/min"}, "mean_piston_speed", "too-many-inputs"),
    ("piston-speed", {"stroke": "6 in", "speed": "400 ft/min"}, "speed", "wrong-dimension"),
    ("rim-distance", {"diameter": "24 in", "chord": "25 in"}, "chord", "impossible"),
    ("rim-distance", {"diameter": "24 in", "arc": "80 in"}, "arc", "impossible"),
    ("rim-distance", {"diameter": "24 in"}, "angle", "missing-input"),
    ("rim-distance", {"arc": "2 in"}, "diameter", "missing-input"),
    ("rim-distance", {"angle": "0 deg", "arc": "2 in"}, "angle", "impossible"),
    ("rim-distance", {"angle": "360 deg", "chord": "2 in"}, "chord", "impossible"),
    ("rim-distance", {"diameter": "24 in", "circumference": "75 in", "angle": "9 deg"}, "circumference", "too-many-inputs"),
    ("rim-distance", {"diameter": "24 in", "angle": "400 deg"}, "angle", "out-of-range"),
    ("piston-position", {"stroke": "6 in", "rod_length": "2.9 in", "crank_angle": "30 deg"}, "rod_length", "impossible"),
    ("piston-position", {"stroke": "6 in", "rod_length": "14 in", "travel": "6.1 in"}, "travel", "impossible"),
    ("piston-position", {"stroke": "6 in", "rod_length": "14 in"}, "crank_angle", "missing-input"),
    ("flat-belt", {**BELT, "driven_diameter": "8 in", "centre_distance": "13 in"}, "centre_distance", "impossible"),
    ("flat-belt", {**BELT, "centre_distance": "10 ft"}, "centre_distance", "missing-input"),
    ("flat-belt", {**BELT, "driven_diameter": "8 in", "driven_speed": "900 rpm"}, "driven_speed", "too-many-inputs"),
    ("flat-belt", {"driver_diameter": "20 in"}, "driven_diameter", "missing-input"),
    ("flat-belt", {**BELT, "tight_side": "100 lbf"}, "friction", "missing-input"),
    ("flat-belt", {**BELT, "tight_side": "10 N", "friction": "0.3 ratio", "wrap": "160 deg", "width": "6 in", "thickness": "0.25 in",
                   "density": "1000 kg/m3"}, "tight_side", "impossible"),
    ("flat-belt", {**BELT, "tight_side": "9 N", "initial_tension": "9 N", "friction": "0.3 ratio", "wrap": "160 deg"}, "initial_tension",
     "too-many-inputs"),
    ("flat-belt", {**BELT, "driven_speed": "450000 rpm"}, "driven_speed", "out-of-range"),
    ("flat-belt", {"driven_diameter": "0.1 in", "driven_speed": "10 rpm", "driver_speed": "4000 rpm", "thickness": "0.3 in",
                   "belt_line": "mid-belt"}, "driver_diameter", "impossible"),
    ("flat-belt", {**BELT, "rule": "triple-300"}, "rule", "wrong-kind"),
    ("oil-viscosity", {**OIL, "viscosity_2": "110 cSt"}, "viscosity_2", "impossible"),
    ("oil-viscosity", {**OIL, "temperature_2": "40 degC"}, "temperature_2", "impossible"),
    ("oil-viscosity", {**OIL, "viscosity_1": "100 mPa.s"}, "viscosity_1", "wrong-dimension"),
    ("oil-viscosity", {**OIL, "viscosity_2": "1 cSt"}, "viscosity_2", "out-of-range"),
    ("oil-viscosity", {**OIL, "temperature": "60 delta_degC"}, "temperature", "wrong-dimension"),
    ("oil-viscosity", {**OIL, "grade": "SAE 30"}, "grade", "too-many-inputs"),
    ("oil-viscosity", {"temperature": "60 degC", "method": "sae-grade"}, "grade", "missing-input"),
    ("oil-viscosity", {"temperature": "60 degC"}, "temperature_1", "missing-input"),
    ("make-and-break-coil", {**COIL, "closed_time": "5 ms"}, "inductance", "missing-input"),
    ("make-and-break-coil", {**COIL, "inductance": "10 mH", "closed_angle": "15 deg"}, "speed", "missing-input"),
    ("make-and-break-coil", {**COIL, "inductance": "10 mH", "closed_angle": "15 deg", "closed_time": "5 ms"}, "closed_angle", "too-many-inputs"),
    ("make-and-break-coil", {**COIL, "coil_resistance": "0 ohm"}, "coil_resistance", "out-of-range"),
    ("magneto-comparison", {**READINGS, "before_speed": "0 rpm"}, "before_speed", "out-of-range"),
    ("magneto-comparison", {**READINGS, "lamp_voltage": "2 V"}, "lamp_resistance", "missing-input"),
    ("magneto-comparison", {**READINGS, "after_voltage": "6 A"}, "after_voltage", "wrong-dimension"),
    ("tank-leak-down", {}, "tank", "missing-input"),
    ("tank-leak-down", {"tank": SMALL_TANK, "level_drop": "1 in"}, "surface_area", "missing-input"),
    ("tank-leak-down", {"tank": RATED_PART, "pressure_start": "3 psi"}, "temperature_start", "missing-input"),
    ("tank-leak-down", {"tank": RATED_PART, "bubble_rate": "9 bubbles/min"}, "bubble_diameter", "missing-input"),
    ("tank-leak-down", {**HOLD, "pressure_start": "-15 psi"}, "pressure_start", "impossible"),
    ("tank-leak-down", {**HOLD, "pressure_end": "2 psi", "volume": "1 L"}, "elapsed", "missing-input"),
    ("screen-cloth", {"mesh": "80 mesh", "wire_diameter": "0.0126 in"}, "wire_diameter", "impossible"),
    ("screen-cloth", {"mesh": "80 mesh", "opening": "0.013 in"}, "opening", "impossible"),
    ("screen-cloth", {"mesh": "80 mesh"}, "wire_diameter", "missing-input"),
    ("screen-cloth", {"mesh": "80 mesh", "wire_diameter": "5 thou", "pipe_bore": "0.25 in"}, "screen_area", "missing-input"),
    ("paint-film", {"volume_solids": "120 percent", "dry_film": "2 thou"}, "volume_solids", "out-of-range"),
    ("paint-film", {"volume_solids": "42 percent"}, "dry_film", "missing-input"),
    ("paint-film", {"volume_solids": "42 percent", "dry_film": "2 thou", "coats": "2.5 count"}, "coats", "out-of-range"),
    ("hopper-water", {"power": "5 hp", "usable_volume": "2 USgal"}, "hopper_volume", "missing-input"),
    ("hopper-water", {"power": "5 hp", "usable_volume": "9 USgal", "hopper_volume": "4 USgal"}, "usable_volume", "impossible"),
    ("hopper-water", {"power": "5 hp", "boiling_point": "351 K", "water_temperature": "352 K"}, "water_temperature", "impossible"),
    ("hopper-water", {"power": "5 hp", "jacket_share": "60 percent", "brake_efficiency": "45 percent"}, "jacket_share", "impossible"),
)  # fmt: skip


@pytest.mark.parametrize(("calculation", "inputs", "name", "code"), REFUSED, ids=lambda v: v if isinstance(v, str) else "")
def test_refused_by_name(calculation: str, inputs: dict[str, str], name: str, code: str) -> None:
    with pytest.raises(CalculationError) as refusal:
        ask(calculation, **inputs)
    assert (refusal.value.name, refusal.value.code) == (name, code)
    assert name in str(refusal.value)


FLAGGED: tuple[tuple[str, dict[str, str], str], ...] = (
    ("engine-displacement", ENGINE, "rating-overstates"),
    ("compression-ratio", {**ENGINE, "clearance_volume": "5 in3"}, "unusual-ratio"),
    ("compression-pressure", {"compression_ratio": "4 ratio"}, "upper-estimate"),
    ("compression-pressure", {"compression_ratio": "12 ratio"}, "unusual-ratio"),
    ("indicated-power", {**ENGINE, "mean_effective_pressure": "60 psi", "speed": "450 rpm"}, "every-cycle-fires"),
    ("brake-power", {"speed": "400 rpm", "torque": "100 N.m", "displacement": "95 in3"}, "mean-over-all-cycles"),
    ("brake-power", {"speed": "400 rpm", "power": "6 hp", "indicated_power": "5 hp"}, "more-out-than-in"),
    ("piston-speed", {"stroke": "6 in", "speed": "1200 rpm"}, "fast"),
    ("rim-distance", {"diameter": "24 in", "chord": "2 in"}, "under-half-a-turn"),
    ("piston-position", {"stroke": "6 in", "rod_length": "14 in", "travel": "0.01 in"}, "near-dead-centre"),
    ("piston-position", {"stroke": "6 in", "rod_length": "8 in", "crank_angle": "30 deg"}, "short-rod"),
    ("flat-belt", {**BELT, "driver_speed": "1000 rpm"}, "too-fast"),
    ("flat-belt", {**BELT, "driver_speed": "900 rpm"}, "fast"),
    ("flat-belt", {**BELT, "tight_side": "90 lbf", "friction": "0.3 ratio", "wrap": "160 deg"}, "point-of-slip"),
    ("oil-viscosity", {**OIL, "temperature": "0 degC"}, "extrapolated"),
    ("oil-viscosity", {**OIL, "viscosity_1": "10 cSt", "viscosity_2": "2.5 cSt", "temperature": "150 degC"}, "too-thin-for-the-law"),
    ("oil-viscosity", {"temperature": "40 degF", "method": "sae-grade", "grade": "SAE 30"}, "outside-the-fit"),
    ("oil-viscosity", {"temperature": "150 degF", "method": "sae-grade", "grade": "SAE 30"}, "typical-oil"),
    ("make-and-break-coil", {**COIL, "inductance": "10 mH", "closed_time": "2 ms"}, "closed-too-short"),
    ("make-and-break-coil", {**COIL, "inductance": "10 mH", "closed_time": "2 ms"}, "kick"),
    ("magneto-comparison", READINGS, "ratio-only"),
    ("magneto-comparison", {**READINGS, "after_speed": "900 rpm"}, "far-apart"),
    ("magneto-comparison", {**READINGS, "kind": "oscillating"}, "springs-set-the-speed"),
    ("magneto-comparison", {**READINGS, "lamp_voltage": "2 V", "lamp_resistance": "470 ohm"}, "blind-to-resistance"),
    ("tank-leak-down", {"tank": SMALL_TANK}, "no-air-pressure"),
    ("tank-leak-down", HOLD, "not-a-fuel-tank"),
    ("screen-cloth", {"mesh": "80 mesh", "wire_diameter": "5.5 thou", "screen_area": "0.05 in2", "pipe_bore": "0.25 in"}, "chokes-the-pipe"),
    ("paint-film", {"volume_solids": "42 percent", "dry_film": "5 thou"}, "unusual-film"),
    ("hopper-water", {"power": "5 hp"}, "upper-estimate"),
)  # fmt: skip


@pytest.mark.parametrize(("calculation", "inputs", "flag"), FLAGGED, ids=lambda v: v if isinstance(v, str) else "")
def test_flagged(calculation: str, inputs: dict[str, str], flag: str) -> None:
    assert flag in flags(ask(calculation, **inputs))


@pytest.mark.parametrize(
    ("calculation", "inputs", "flag"),
    [("compression-ratio", {**ENGINE, "clearance_volume": "30 in3"}, "unusual-ratio"),
     ("piston-speed", {"stroke": "6 in", "speed": "450 rpm"}, "fast"),
     ("flat-belt", BELT, "fast"),
     ("oil-viscosity", OIL, "extrapolated"),
     ("paint-film", {"volume_solids": "42 percent", "dry_film": "2 thou"}, "unusual-film")],
)  # fmt: skip
def test_not_flagged_inside(calculation: str, inputs: dict[str, str], flag: str) -> None:
    assert flag not in flags(ask(calculation, **inputs))


def test_an_uncertainty_at_a_dead_centre_is_refused_not_made_up() -> None:
    what = CALCULATIONS["piston-position"]
    sizes = {"stroke": Quantity.of("6", "in"), "rod_length": Quantity.of("14", "in"), "travel": Quantity.of("0", "in")}
    with pytest.raises(CalculationError) as refusal:
        calculate(what, sizes, {"travel": Quantity.of("1", "thou")})
    assert refusal.value.name == "travel"


def test_what_is_taken_is_said() -> None:
    answer = ask("hopper-water", power="5 hp")
    assert any(line.startswith("jacket_share not given: taken as 30") for line in answer.assumed)
    assert any(line.startswith("brake_efficiency not given: taken as 20") for line in answer.assumed)


AIR_INPUTS = {"pressure_start": "0.1 psi", "pressure_end": "0.1 psi", "volume": "4 L", "bubble_diameter": "3 mm", "bubble_rate": "1 bubbles/min"}


@pytest.mark.parametrize("name", AIR_INPUTS)
def test_no_air_for_a_small_soldered_tank_however_little(name: str) -> None:
    with pytest.raises(CalculationError) as refusal:
        ask("tank-leak-down", tank=SMALL_TANK, **{name: AIR_INPUTS[name]})
    assert (refusal.value.name, refusal.value.code) == (name, "unsafe")
    assert WATER_TEST in str(refusal.value)


def test_a_small_soldered_tank_is_told_water_cloth_no_air_no_heat() -> None:
    answer = ask("tank-leak-down", tank=SMALL_TANK, liquid_height="8 in")
    how = next(o.value for o in answer.outputs if o.name == "how_to_test")
    assert isinstance(how, str)
    for words in ("water", "dry cloth", "No air pressure", "No heat"):
        assert words in how
    assert not re.search(r"\d+(\.\d+)? ?(psi|bar|kPa|in of water)", how)


def test_no_words_of_the_tank_calculation_give_an_air_pressure_to_use() -> None:
    """The only pressure in its own words is the one of tank rules, and each time it is said to be for buried tanks."""
    what = CALCULATIONS["tank-leak-down"]
    text = " ".join((WATER_TEST, *what.cautions, *what.assumptions, *(i.says for i in what.inputs), *(o.says for o in what.outputs)))
    for found in re.finditer(r"[^.]*\d+(?: to \d+)? psi[^.]*", text):
        assert "buried" in found.group()


def test_dangerous_answers_carry_their_cautions() -> None:
    for calculation in ("flat-belt", "tank-leak-down", "compression-pressure", "brake-power", "make-and-break-coil", "magneto-comparison",
                        "hopper-water", "rim-distance", "piston-position", "paint-film", "screen-cloth", "piston-speed"):  # fmt: skip
        assert CALCULATIONS[calculation].cautions, calculation
    belt = " ".join(CALCULATIONS["flat-belt"].cautions)
    assert "Guard" in belt
    assert "cracked" in belt
    tank = " ".join(CALCULATIONS["tank-leak-down"].cautions)
    assert "Never shop air" in tank
    assert "Never put heat" in tank


def test_cautions_that_are_named_are_in_the_table() -> None:
    known = {c["id"] for c in tomllib.loads(CAUTIONS.read_text(encoding="utf-8"))["caution"]}
    named = {n for c in CALCULATIONS.values() for text in c.cautions for n in re.findall(r"\bC\d{3}\b", text)}
    assert named
    assert named <= known
