"""A magneto before and after: volts brought to one speed, and what current they would drive."""

from __future__ import annotations

import math
from collections.abc import Mapping

from ._shared import needed
from .frame import Calculation, Flag, Input, Output, Result


def magneto_comparison(
    before_voltage: float,
    before_speed: float,
    after_voltage: float,
    after_speed: float,
    kind: str = "rotary",
    common_speed: float | None = None,
    circuit_resistance: float | None = None,
    circuit_inductance: float = 0.0,
    pole_pairs: float = 1.0,
    lamp_voltage: float | None = None,
    lamp_resistance: float | None = None,
) -> Result:
    """Open-circuit volts of a low-tension magneto before and after a repair, compared at one speed.

    Equation:
        rotary: E(common_speed) = E(speed) common_speed / speed; oscillating: no correction, the springs set the speed;
        change = after / before at common_speed;
        current = E / sqrt(circuit_resistance^2 + (2 pi pole_pairs speed circuit_inductance)^2) at the speed measured;
        lamp current = (E - lamp_voltage) / lamp_resistance, nothing below lamp_voltage

    In:
        before_voltage [V]: volts before, leads open
        before_speed [rev/s]: armature speed then
        after_voltage [V]: volts after, same meter on the same setting
        after_speed [rev/s]: armature speed then
        kind [choice]: rotary, or oscillating (snapped by springs)
        common_speed [rev/s]: speed to compare at; before_speed where it is not given
        circuit_resistance [ohm]: winding and load together, if a current is wanted
        circuit_inductance [H]: winding and coil together
        pole_pairs [count]: pairs of poles passed in one turn of the armature
        lamp_voltage [V]: forward volts of a light-emitting diode used as a tester
        lamp_resistance [ohm]: its series resistor

    Out:
        before_at_common [V]: volts before, at the common speed
        after_at_common [V]: volts after, at the common speed
        change [1]: after over before at one speed; 1 is no change
        before_current [A]: current the volts before would drive
        after_current [A]: current the volts after would drive
        before_lamp_current [A]: through the diode before
        after_lamp_current [A]: through the diode after

    Valid:
        Open-circuit volts rise in step with speed; that holds for a rotary magneto over a modest change of speed. A meter reads
        these short pulses wrong, but twice the same way, so only the ratio is worth anything. Both volts of the same sort (peak
        or mean). Volts without a speed are worth nothing.

    Worked:
        1.5 V through 20 ohm: 0.075 A (quoted [1], ch. 9 ex. 1).

        >>> answer = magneto_comparison(1.5, before_speed=5, after_voltage=1.5, after_speed=5, circuit_resistance=20)
        >>> round(answer.values["before_current"], 4)
        0.075

        1.885 V at 300 rpm and 5.655 V at 900 is the same magneto (own arithmetic).

        >>> answer = magneto_comparison(1.885, before_speed=5, after_voltage=5.655, after_speed=15)
        >>> round(answer.values["change"], 6)
        1.0

    References:
        1. J. Bird, Electrical Circuit Theory and Technology, ch. 9 ex. 1, p. 102, as keyed in an open textbook companion (quoted).
        2. V. K. and R. Mehta, Principles of Electronics, ex. 7.2, p. 128, as keyed in an open textbook companion (quoted).
    """
    common = before_speed if common_speed is None else common_speed
    flags = [Flag("ratio-only", "Compare only readings of one meter on one setting; the volts themselves are not those of the pulse.")]
    if kind == "oscillating":
        before, after = before_voltage, after_voltage
        flags.append(Flag("springs-set-the-speed", "No correction for speed: the springs snap this magneto, not the crank. Change no "
                          "spring between the two readings."))  # fmt: skip
    else:
        before, after = before_voltage * common / before_speed, after_voltage * common / after_speed
        spread = max(before_speed, after_speed, common) / min(before_speed, after_speed, common)
        if spread > 1.5:
            flags.append(Flag("far-apart", "The speeds are far apart; turn it at one speed both times if you can (a drill with a "
                              "counter)."))  # fmt: skip
    values: dict[str, float | None] = {"before_at_common": before, "after_at_common": after, "change": after / before}
    circuit = (circuit_resistance, circuit_inductance, pole_pairs)
    values["before_current"] = _current(before_voltage, before_speed, *circuit)
    values["after_current"] = _current(after_voltage, after_speed, *circuit)
    values["before_lamp_current"] = _lamp(before_voltage, lamp_voltage, lamp_resistance)
    values["after_lamp_current"] = _lamp(after_voltage, lamp_voltage, lamp_resistance)
    if lamp_voltage is not None:
        flags.append(Flag("blind-to-resistance", "A diode draws next to nothing, so it lights on a magneto that cannot drive an "
                          "igniter: try it on a low load too."))  # fmt: skip
    return Result(values, tuple(flags))


def _current(volts: float, speed: float, resistance: float | None, inductance: float, pairs: float) -> float | None:
    if resistance is None:
        return None
    return volts / math.hypot(resistance, 2.0 * math.pi * pairs * speed * inductance)


def _lamp(volts: float, drop: float | None, resistance: float | None) -> float | None:
    if drop is None:
        return None
    return max(0.0, volts - drop) / needed("lamp_resistance", resistance, "a diode without a resistor burns out")


def _turning(name: str, says: str, required: bool = True) -> Input:
    return Input(name, "rotational_speed", "rpm", says, low=0.0, high=500.0, open_low=True, required=required)


def _volts(name: str, says: str, required: bool = True) -> Input:
    return Input(name, "voltage", "V", says, low=0.0, high=200.0, open_low=True, required=required)


def _ohms(name: str, says: str) -> Input:
    return Input(name, "resistance", "ohm", says, low=0.0, high=1e6, open_low=True, required=False)


_AMPERES: Mapping[str, str] = {
    "before_current": "current the volts before would drive", "after_current": "current the volts after would drive",
    "before_lamp_current": "through the diode before", "after_lamp_current": "through the diode after",
}  # fmt: skip

CALCULATION = Calculation(
    id="magneto-comparison",
    title="Magneto before and after",
    inputs=(
        _volts("before_voltage", "volts before, leads open"),
        _turning("before_speed", "armature speed before"),
        _volts("after_voltage", "volts after, same meter"),
        _turning("after_speed", "armature speed after"),
        Input("kind", "choice", "", "how the armature moves", default="rotary", choices=("rotary", "oscillating")),
        _turning("common_speed", "speed to compare at; before_speed if left out", required=False),
        _ohms("circuit_resistance", "winding and load together"),
        Input("circuit_inductance", "inductance", "mH", "winding and coil together", low=0.0, high=100.0, default=0.0),
        Input("pole_pairs", "count", "count", "pairs of poles passed in a turn", low=1.0, high=64.0, default=1.0),
        _volts("lamp_voltage", "forward volts of a diode tester", required=False),
        _ohms("lamp_resistance", "series resistor of the diode"),
    ),
    outputs=(
        Output("before_at_common", "voltage", "V", "V", "volts before, at the common speed"),
        Output("after_at_common", "voltage", "V", "V", "volts after, at the common speed"),
        Output("change", "ratio", "ratio", "ratio", "after over before at one speed"),
        *(Output(name, "current", "mA" if "lamp" in name else "A", "mA" if "lamp" in name else "A", says)
          for name, says in _AMPERES.items()),
    ),
    run=magneto_comparison,
    assumptions=("Leads open when the volts are read; same meter, same setting, same coupling.",
                 "Loaded current takes one inductance for the whole circuit; it flattens as speed rises while the volts go on."),
    references=("J. Bird, Electrical Circuit Theory and Technology, ch. 9 ex. 1, p. 102 (quoted)",
                "V. K. and R. Mehta, Principles of Electronics, ex. 7.2, p. 128 (quoted)"),
    cautions=("Kill fuel and compression before you turn the engine for a magneto reading (C048).",
              "Bridge the poles with iron before a magnet comes off; it weakens otherwise.",
              "Never feed a battery into a low-tension magneto.",
              "This is for low-tension magnetos only; the high-tension side of another is dangerous (C032)."),
)  # fmt: skip
