"""A low-tension coil on a battery: current when the points part, energy in it, and what bad contacts cost."""

from __future__ import annotations

import math

from ._shared import needed
from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def make_and_break_coil(
    voltage: float,
    coil_resistance: float,
    other_resistance: float = 0.0,
    source_resistance: float = 0.0,
    inductance: float | None = None,
    closed_time: float | None = None,
    closed_angle: float | None = None,
    speed: float | None = None,
) -> Result:
    """Current and stored energy at break in a battery, coil and igniter circuit.

    Equation:
        R = coil_resistance + other_resistance + source_resistance;  final_current = voltage / R;
        time_constant = inductance / R;  current_at_break = final_current (1 - exp(-closed_time / time_constant));
        stored_energy = inductance current_at_break^2 / 2;  closed_time = closed_angle / (2 pi speed)

    In:
        voltage [V]: open-circuit volts of the battery
        coil_resistance [ohm]: winding
        other_resistance [ohm]: points, leads, switch and ground path together
        source_resistance [ohm]: inside the battery
        inductance [H]: of the coil, if time and energy are wanted
        closed_time [s]: how long the points are closed
        closed_angle [rad]: crank angle for which they are closed, with speed, instead of closed_time
        speed [rev/s]: crankshaft speed

    Out:
        final_current [A]: current if the points stayed closed
        terminal_voltage [V]: volts at the battery's terminals at that current
        time_constant [s]: time to 63 per cent of it
        closed_time [s]: given or found
        current_at_break [A]: current as the points part
        share_of_final [1]: current at break over final current
        stored_energy [J]: energy in the coil at break
        energy_kept [1]: that energy over what it would be with other_resistance nought

    Valid:
        Inductance steady, no iron saturation, points closing without bounce. Nobody publishes an allowed circuit resistance or
        the inductance of period coils: measure, and compare before with after.

    Worked:
        120 V, 10 ohm, 40 mH: 12 A in the end, 4 ms, 7.59 A after one time constant (quoted [1], ch. 17).

        >>> answer = make_and_break_coil(120, coil_resistance=10, inductance=0.04, closed_time=0.004)
        >>> [round(answer.values[name], 4) for name in ("final_current", "time_constant", "current_at_break")]
        [12.0, 0.004, 7.5854]

        15 degrees at 300 rpm is 8.33 ms (own arithmetic; the angle was measured on a 4 hp engine that would not fire below).

        >>> answer = make_and_break_coil(6, 1, inductance=0.01, closed_angle=math.radians(15), speed=5)
        >>> round(answer.values["closed_time"] * 1000, 2), round(answer.values["current_at_break"], 2)
        (8.33, 3.39)

    References:
        1. J. Bird, Electrical Circuit Theory and Technology, ch. 4 ex. 4, ch. 9 ex. 10, ch. 17 ex. 8, as keyed in an open textbook
           companion (quoted).
        2. J. B. Rathbun, Practical Hand Book of Gas, Oil and Steam Engines, text page 112: contact as short as may be, but long
           enough for the current to build (published).
    """
    rest = coil_resistance + source_resistance
    whole = rest + other_resistance
    if whole <= 0.0:
        raise CalculationError("coil_resistance", "and the other resistances cannot all be nothing", "impossible")
    final = voltage / whole
    flags: list[Flag] = []
    closed = _closed(closed_time, closed_angle, speed)
    tau = at_break = share = energy = kept = None
    if inductance is not None:
        tau = inductance / whole
        if closed is not None:
            share = -math.expm1(-closed / tau)
            at_break = final * share
            energy = 0.5 * inductance * at_break**2
            if rest > 0.0 and voltage > 0.0 and closed > 0.0:
                clean = voltage / rest * -math.expm1(-closed * rest / inductance)
                kept = (at_break / clean) ** 2
            flags.append(Flag("kick", "As the points part the coil makes far more volts than the battery: a neon lamp that wants "
                              "about 60 V lights. Hold no lead bare."))  # fmt: skip
            if share < 0.5:
                flags.append(Flag("closed-too-short", "The points part before half the current is there: close them for longer, turn "
                                  "slower, or take resistance and slack out of the trip."))  # fmt: skip
    elif closed is not None:
        raise CalculationError("inductance", "is missing: a closed time says nothing without it", "missing-input")
    values = {"final_current": final, "terminal_voltage": voltage - final * source_resistance, "time_constant": tau,
              "closed_time": closed, "current_at_break": at_break, "share_of_final": share, "stored_energy": energy,
              "energy_kept": kept}  # fmt: skip
    return Result(values, tuple(flags))


def _closed(time: float | None, angle: float | None, speed: float | None) -> float | None:
    if time is not None:
        if angle is not None:
            raise CalculationError("closed_angle", "is one too many beside closed_time", "too-many-inputs")
        return time
    if angle is None:
        return None
    return angle / (2.0 * math.pi * needed("speed", speed, "closed_angle needs the crankshaft speed"))


def _ohms(name: str, says: str) -> Input:
    return Input(name, "resistance", "ohm", says, low=0.0, high=1e4, default=0.0)


CALCULATION = Calculation(
    id="make-and-break-coil",
    title="Make-and-break coil",
    inputs=(
        Input("voltage", "voltage", "V", "open-circuit volts of the battery", low=0.0, high=250.0, open_low=True),
        Input("coil_resistance", "resistance", "ohm", "coil winding", low=0.0, high=1e4, open_low=True),
        _ohms("other_resistance", "points, leads, switch and ground path"),
        _ohms("source_resistance", "inside the battery"),
        Input("inductance", "inductance", "mH", "coil inductance", low=0.0, high=100.0, open_low=True, required=False),
        Input("closed_time", "time", "ms", "how long the points are closed", low=0.0, high=1000.0, required=False),
        Input("closed_angle", "angle", "deg", "crank angle for which they are closed", low=0.0, high=4.0 * math.pi, required=False),
        Input("speed", "rotational_speed", "rpm", "crankshaft speed", low=0.0, high=100.0, open_low=True, required=False),
    ),
    outputs=(
        Output("final_current", "current", "A", "A", "current if the points stayed closed"),
        Output("terminal_voltage", "voltage", "V", "V", "battery volts at that current"),
        Output("time_constant", "time", "ms", "ms", "time constant"),
        Output("closed_time", "time", "ms", "ms", "how long the points are closed"),
        Output("current_at_break", "current", "A", "A", "current as the points part"),
        Output("share_of_final", "ratio", "percent", "percent", "current at break as a share of the final current"),
        Output("stored_energy", "energy", "mJ", "mJ", "energy in the coil at break"),
        Output("energy_kept", "ratio", "percent", "percent", "share of the energy left by bad contacts"),
    ),
    run=make_and_break_coil,
    assumptions=("Inductance does not change with current (an iron core that saturates stores less).",
                 "The points close at once and cleanly.",
                 "The engine's iron is part of the circuit: its resistance belongs to other_resistance."),
    references=("J. Bird, Electrical Circuit Theory and Technology, chs. 4, 9, 17 (quoted)",
                "J. B. Rathbun, Practical Hand Book of Gas, Oil and Steam Engines, text page 112 (published)"),
    cautions=("An igniter snapped outside the cylinder makes an open arc: well away from fuel and washed parts (C035).",
              "Never connect this battery to a low-tension magneto: it spoils the magnets and can burn the winding."),
)  # fmt: skip
