"""Units and scales: inputs in any unit, and whole systems drawn larger, heavier or slower, give the same answer."""

from __future__ import annotations

import math

import pytest
from tests.calculations.b_support import Example, ask, given, in_unit, told
from tests.calculations.test_b_examples import EXAMPLES

from halfthou_service.calculations import CALCULATIONS, calculate
from halfthou_service.calculations.frame import Given, si
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.units import UNITS, units_of

SCALED_CASES = [c for c in EXAMPLES if c.calculation != "oil-viscosity"]

# dimension -> powers of length, mass, time, current
POWERS: dict[str, tuple[int, int, int, int]] = {
    "length": (1, 0, 0, 0), "area": (2, 0, 0, 0), "volume": (3, 0, 0, 0), "mass": (0, 1, 0, 0), "time": (0, 0, 1, 0),
    "force": (1, 1, -2, 0), "pressure": (-1, 1, -2, 0), "torque": (2, 1, -2, 0), "energy": (2, 1, -2, 0), "power": (2, 1, -3, 0),
    "speed": (1, 0, -1, 0), "rotational_speed": (0, 0, -1, 0), "density": (-3, 1, 0, 0), "flow": (3, 0, -1, 0),
    "count_rate": (0, 0, -1, 0), "linear_frequency": (-1, 0, 0, 0), "current": (0, 0, 0, 1), "voltage": (2, 1, -3, -1),
    "resistance": (2, 1, -3, -2), "inductance": (2, 1, -2, -2), "angle": (0, 0, 0, 0), "ratio": (0, 0, 0, 0), "count": (0, 0, 0, 0),
    "temperature": (0, 0, 0, 0), "temperature_difference": (0, 0, 0, 0),
}  # fmt: skip

# outputs that hold a figure with a unit of its own inside, which no scale can reach
FIXED: dict[str, set[str]] = {
    "engine-displacement": {"rated_power"},  # inches and horsepower in the rule
    "piston-position": {"acceleration"},  # multiples of gravity
    "flat-belt": {"rule_power", "rule_width"},  # feet a minute for a horsepower and an inch
    "tank-leak-down": {"head_pressure", "leak_rate"},  # gravity; air counted at one pressure
    "hopper-water": {"water_mass", "water_volume", "time_to_boil", "lasts"},  # heat of water
    "paint-film": {"litre_covers", "gallon_covers"},  # a litre, a gallon
}


def other_units(inputs: dict[str, Given], turn: int) -> dict[str, Given]:
    changed: dict[str, Given] = {}
    for name, value in inputs.items():
        if isinstance(value, Quantity):
            choice = [u for u in units_of(value.unit.dimension) if UNITS[u].exact]
            changed[name] = in_unit(value, UNITS[choice[(choice.index(value.unit.token) + turn) % len(choice)]])
        else:
            changed[name] = value
    return changed


@pytest.mark.parametrize("turn", [1, 2, 5])
@pytest.mark.parametrize("case", EXAMPLES, ids=lambda c: f"{c.id}-{c.calculation}")
def test_inputs_in_other_units_answer_the_same(case: Example, turn: int) -> None:
    what = CALCULATIONS[case.calculation]
    inputs = given(case.calculation, case.given)
    first, second = calculate(what, inputs), calculate(what, other_units(inputs, turn))
    for a, b in zip(first.outputs, second.outputs, strict=True):
        assert a.unit == b.unit
        assert b.value == (pytest.approx(a.value, rel=1e-9) if isinstance(a.value, float) else a.value), a.name


@pytest.mark.parametrize("case", EXAMPLES, ids=lambda c: f"{c.id}-{c.calculation}")
def test_inch_and_metric_answers_are_one_quantity(case: Example) -> None:
    what, inputs = CALCULATIONS[case.calculation], given(case.calculation, case.given)
    inch, metric = calculate(what, inputs, system="inch"), calculate(what, inputs, system="metric")
    for a, b in zip(inch.outputs, metric.outputs, strict=True):
        if isinstance(a.value, float):
            assert told(metric, b.name) == pytest.approx(told(inch, a.name), rel=1e-9), a.name


@pytest.mark.parametrize("scales", [(3.0, 1.0, 1.0, 1.0), (1.0, 7.0, 1.0, 1.0), (1.0, 1.0, 0.25, 1.0), (1.0, 1.0, 1.0, 2.5), (0.3, 2.0, 5.0, 0.4)])
@pytest.mark.parametrize("case", SCALED_CASES, ids=lambda c: f"{c.id}-{c.calculation}")
def test_a_scaled_system_gives_the_scaled_answer(case: Example, scales: tuple[float, float, float, float]) -> None:
    """Every input multiplied by its own power of the scales; every output must follow by its own power: the equation is whole."""
    what = CALCULATIONS[case.calculation]
    inputs = given(case.calculation, case.given)

    def factor(dimension: str) -> float:
        return math.prod(s**p for s, p in zip(scales, POWERS[dimension], strict=True))

    plain: dict[str, object] = {}
    scaled: dict[str, object] = {}
    for item in what.inputs:
        value = inputs.get(item.name, item.default)
        number = si(value) if isinstance(value, Quantity) else value
        plain[item.name] = scaled[item.name] = number
        if isinstance(number, float) and item.dimension in POWERS:
            scaled[item.name] = number * factor(item.dimension)
    before, after = what.run(**plain).values, what.run(**scaled).values
    for output in what.outputs:
        a, b = before[output.name], after[output.name]
        if output.name in FIXED.get(case.calculation, ()) or not isinstance(a, float):
            continue
        assert b == pytest.approx(a * factor(output.dimension), rel=1e-9), output.name


def test_every_calculation_here_is_scaled_by_some_example() -> None:
    seen = {c.calculation for c in EXAMPLES}
    assert seen >= {
        "engine-displacement", "compression-ratio", "compression-pressure", "indicated-power", "brake-power", "piston-speed",
        "rim-distance", "piston-position", "flat-belt", "oil-viscosity", "make-and-break-coil", "magneto-comparison", "tank-leak-down",
        "screen-cloth", "paint-film", "hopper-water",
    }  # fmt: skip


def test_a_belt_speed_in_feet_a_minute_and_in_metres_a_second() -> None:
    drive = {"driver_diameter": "20 in", "driver_speed": "450 rpm"}
    assert ask("flat-belt", "metric", **drive).outputs[4].unit == "m/s"
    assert ask("flat-belt", "inch", **drive).outputs[4].unit == "ft/min"


def test_uncertainty_is_carried_to_first_order() -> None:
    """Displacement goes with the square of the bore: its relative doubt is twice that of the bore, with the stroke's in quadrature."""
    what = CALCULATIONS["engine-displacement"]
    answer = calculate(what, given(what.id, {"bore": "4.5 in", "stroke": "6 in"}),
                       {"bore": Quantity.of("1", "thou"), "stroke": Quantity.of("0.01", "in")})  # fmt: skip
    swept = next(o for o in answer.outputs if o.name == "swept_volume")
    assert isinstance(swept.value, float)
    assert swept.standard_uncertainty == pytest.approx(swept.value * math.hypot(2 * 0.001 / 4.5, 0.01 / 6), rel=1e-6)


def test_uncertainty_of_a_magneto_ratio() -> None:
    what = CALCULATIONS["magneto-comparison"]
    readings = {"before_voltage": "5 V", "before_speed": "300 rpm", "after_voltage": "6 V", "after_speed": "310 rpm"}
    answer = calculate(what, given(what.id, readings), {"before_voltage": Quantity.of("0.1", "V"), "after_voltage": Quantity.of("0.1", "V"),
                                                        "before_speed": Quantity.of("5", "rpm"), "after_speed": Quantity.of("5", "rpm")})  # fmt: skip
    change = next(o for o in answer.outputs if o.name == "change")
    assert isinstance(change.value, float)
    assert change.value == pytest.approx(6 / 5 * 300 / 310, rel=1e-12)
    expected = change.value * math.sqrt((0.1 / 5) ** 2 + (0.1 / 6) ** 2 + (5 / 300) ** 2 + (5 / 310) ** 2)
    assert change.standard_uncertainty == pytest.approx(expected, rel=1e-6)


def test_uncertainty_of_a_temperature_is_a_difference() -> None:
    what = CALCULATIONS["oil-viscosity"]
    oil = {"temperature": "150 degF", "method": "sae-grade", "grade": "SAE 30"}
    answer = calculate(what, given(what.id, oil), {"temperature": Quantity.of("2", "delta_degF")}, system="metric")
    dynamic = next(o for o in answer.outputs if o.name == "dynamic")
    assert isinstance(dynamic.value, float)
    assert dynamic.standard_uncertainty == pytest.approx(dynamic.value * 1360.0 / 245.0**2 * 2, rel=1e-5)
