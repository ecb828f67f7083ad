"""A flat belt drive: speeds and diameters, length and wrap, tensions and power, width by shop rule or by stress."""

from __future__ import annotations

import math

from halfthou_specdb.units import UNITS

from ._belt import RULES, length_and_wrap, pulleys, tensions
from .frame import Calculation, CalculationError, Flag, Input, Output, Result

_HORSEPOWER = float(UNITS["hp"].factor)
_INCH = float(UNITS["in"].factor)
_FEET_PER_MINUTE = float(UNITS["ft/min"].factor)


def flat_belt(
    driver_diameter: float | None = None,
    driven_diameter: float | None = None,
    driver_speed: float | None = None,
    driven_speed: float | None = None,
    slip: float = 0.02,
    thickness: float = 0.0,
    belt_line: str = "pulley-face",
    arrangement: str = "open",
    centre_distance: float | None = None,
    wrap: float | None = None,
    friction: float | None = None,
    tight_side: float | None = None,
    initial_tension: float | None = None,
    width: float | None = None,
    density: float | None = None,
    power: float | None = None,
    allowed_stress: float | None = None,
    rule: str = "single-1100",
) -> Result:
    """A flat belt between two pulleys: whichever of speeds and diameters is missing, length, wrap, tensions, power, width.

    Equation:
        driven_speed / driver_speed = (driver_diameter + t) / (driven_diameter + t) (1 - slip), t = thickness at mid-belt, else 0;
        wrap = pi - 2 asin((D - d) / (2 C)) open, pi + 2 asin((D + d) / (2 C)) crossed;
        tension_ratio = exp(friction wrap);  Tc = density width thickness v^2;
        (tight_side - Tc) / (slack_side - Tc) = tension_ratio;  power = (tight_side - slack_side) v;
        rule_power in hp = width in inches v in ft/min / rule

    In:
        driver_diameter [m]: pulley on the engine
        driven_diameter [m]: pulley on the machine
        driver_speed [rev/s]: speed of the engine's pulley
        driven_speed [rev/s]: speed of the machine's pulley; leave out one of these four, or both of the driven pulley
        slip [1]: speed lost to slip and creep, 2 per cent usual
        thickness [m]: belt thickness
        belt_line [choice]: pulley-face (diameters as they are) or mid-belt (belt thickness added to both)
        arrangement [choice]: open or crossed
        centre_distance [m]: between shaft centres, C
        wrap [rad]: arc of contact of the smaller pulley, instead of centre_distance
        friction [1]: coefficient of friction of belt on pulley
        tight_side [N]: tension of the tight side, running
        initial_tension [N]: tension of both sides at rest, instead of tight_side
        width [m]: belt width
        density [kg/m3]: of the belt, if its own weight is to count
        power [W]: power to be carried, if a width is wanted
        allowed_stress [Pa]: tension allowed per area of belt, for a width by stress
        rule [choice]: shop rule for leather by belt speed per horsepower and inch of width

    Out:
        driver_diameter [m]: given or found
        driven_diameter [m]: given or found
        driver_speed [rev/s]: given or found
        driven_speed [rev/s]: given or found
        belt_speed [m/s]: v
        belt_length [m]: exact length round both pulleys
        wrap [rad]: arc of contact on the smaller pulley
        tension_ratio [1]: greatest ratio of the tensions that pull before the belt slips
        tight_side [N]: tension of the tight side at the point of slip
        slack_side [N]: tension of the slack side at the point of slip
        power [W]: power at the point of slip
        best_speed [m/s]: belt speed at which this tension carries most
        stress_width [m]: width that the allowed stress asks for
        rule_power [W]: power by the shop rule for the width
        rule_width [m]: width by the shop rule for the power

    Valid:
        Leather or fabric belt on crowned or flat pulleys, both shafts level; tensions are those at the point of slipping.
        The shop rules for single leather differ by 27 per cent between books; the cautious one is taken unless another is named.
        Over 5000 ft/min the belt lifts by its own weight: flagged.

    Worked:
        0.6 m pulley at 200 rpm, friction 0.25, wrap 160 degrees, tight side 2500 N: 7.89 kW (quoted [1]).

        >>> answer = flat_belt(0.6, driver_speed=200 / 60, friction=0.25, wrap=math.radians(160), tight_side=2500)
        >>> round(answer.values["power"] / 1000, 2)
        7.89

        10 in pulley at 1450 rpm from an engine at 275 rpm: 53 in nearly (published [3], no slip).

        >>> answer = flat_belt(driven_diameter=0.254, driver_speed=275 / 60, driven_speed=1450 / 60, slip=0)
        >>> round(answer.values["driver_diameter"] / 0.0254, 1)
        52.7

    References:
        1. R. S. Khurmi and J. K. Gupta, Theory of Machines, ex. 11.1, 11.4, 11.8, 11.12, pp. 333 to 353, as keyed in an open
           textbook companion (quoted).
        2. B. K. Sarkar, Theory of Machines, ch. 2 illustration 3, p. 58, as keyed in an open textbook companion (quoted).
        3. Hawkins Electrical Guide, vol. 8: pulley rule; vol. 2: 1000 ft/min per hp and inch, double belt twice that (published).
        4. Rough and Tumble Engineering: 1 hp an inch at 800 ft/min (published).
        5. Young Engineer's Guide, horse-power of belting: 0.09 hp an inch per 100 ft/min, double 0.18; near 5000 ft/min at most
           (published).
        6. Hardware catalogue, p. 2162: diameter by rpm by width over 3300 single, over 2100 double (published).
        7. Farm Engines and How to Run Them, ch. IX: not over 5000 ft/min (published).
    """
    added = thickness if belt_line == "mid-belt" else 0.0
    d1, d2, n1, n2 = pulleys(driver_diameter, driven_diameter, driver_speed, driven_speed, slip, added)
    v = math.pi * (d1 + added) * n1
    flags = _speed_flags(v)
    length = None
    if centre_distance is not None:
        if wrap is not None:
            raise CalculationError("wrap", "is one too many beside centre_distance", "too-many-inputs")
        if d2 is None:
            raise CalculationError("centre_distance", "needs the driven pulley too", "missing-input")
        length, wrap = length_and_wrap(d1 + added, d2 + added, centre_distance, arrangement == "crossed")
    ratio = None if friction is None or wrap is None else math.exp(friction * wrap)
    mass = None if density is None or width is None else density * width * thickness
    centrifugal = 0.0 if mass is None else mass * v**2
    if ratio is None:
        for name, value in (("tight_side", tight_side), ("initial_tension", initial_tension), ("allowed_stress", allowed_stress)):
            if value is not None:
                raise CalculationError("friction", f"is missing, or wrap (or centre_distance) is: {name} needs both", "missing-input")
    pair = None if ratio is None else tensions(ratio, centrifugal, tight_side, initial_tension)
    best = None
    if pair is not None:
        flags.append(Flag("point-of-slip", "Tensions and power are those at which the belt begins to slip; run well below them."))
        if mass is not None and mass > 0.0:
            best = math.sqrt(pair[0] / (3.0 * mass))
    by_rule = RULES[rule] * _FEET_PER_MINUTE / _HORSEPOWER * _INCH
    values = {
        "driver_diameter": d1, "driven_diameter": d2, "driver_speed": n1, "driven_speed": n2, "belt_speed": v,
        "belt_length": length, "wrap": wrap, "tension_ratio": ratio,
        "tight_side": pair[0] if pair else None, "slack_side": pair[1] if pair else None,
        "power": (pair[0] - pair[1]) * v if pair else None, "best_speed": best,
        "stress_width": _stress_width(ratio, v, power, thickness, allowed_stress, density or 0.0),
        "rule_power": None if width is None else width * v / by_rule,
        "rule_width": None if power is None else power * by_rule / v,
    }  # fmt: skip
    return Result(values, tuple(flags))


def _speed_flags(v: float) -> list[Flag]:
    speed = v / _FEET_PER_MINUTE
    if speed > 5000.0:
        return [Flag("too-fast", f"{speed:.0f} ft/min: two farm-engine handbooks stop a flat belt at 5000, where it lifts by its own "
                     "weight; a cast pulley or flywheel rim has no business above it either. Do not run it.")]  # fmt: skip
    if speed > 4500.0:
        return [Flag("fast", f"{speed:.0f} ft/min is above the 4500 that drives were usually laid out for.")]
    return []


def _stress_width(
    ratio: float | None, v: float, power: float | None, thickness: float, stress: float | None, density: float
) -> float | None:
    if stress is None or ratio is None:
        return None
    if power is None or thickness <= 0.0:
        name = "power" if power is None else "thickness"
        raise CalculationError(name, "is missing: allowed_stress gives a width for a power and a thickness", "missing-input")
    useful = stress - density * v**2
    if useful <= 0.0:
        raise CalculationError("allowed_stress", "is used up by the belt's own weight at this speed", "impossible")
    return power / v * ratio / (ratio - 1.0) / (thickness * useful)


def _size(name: str, says: str, high: float) -> Input:
    return Input(name, "length", "in", says, low=0.0, high=high, open_low=True, required=False)


def _pull(name: str, says: str) -> Input:
    return Input(name, "force", "lbf", says, low=0.0, open_low=True, required=False)


def _turning(name: str, says: str) -> Input:
    return Input(name, "rotational_speed", "rpm", says, low=0.0, high=500.0, open_low=True, required=False)


CALCULATION = Calculation(
    id="flat-belt",
    title="Flat belt",
    inputs=(
        _size("driver_diameter", "pulley on the engine", 10.0),
        _size("driven_diameter", "pulley on the machine", 10.0),
        _turning("driver_speed", "speed of the engine's pulley"),
        _turning("driven_speed", "speed of the machine's pulley"),
        Input("slip", "ratio", "percent", "slip and creep", low=0.0, high=0.2, default=0.02),
        Input("thickness", "length", "in", "belt thickness", low=0.0, high=0.05, default=0.0),
        Input("belt_line", "choice", "", "where the belt bends", default="pulley-face", choices=("pulley-face", "mid-belt")),
        Input("arrangement", "choice", "", "open or crossed", default="open", choices=("open", "crossed")),
        _size("centre_distance", "between shaft centres", 100.0),
        Input("wrap", "angle", "deg", "arc of contact of the smaller pulley", low=0.0, high=2.0 * math.pi, open_low=True,
              required=False),
        Input("friction", "ratio", "ratio", "coefficient of friction", low=0.0, high=1.0, open_low=True, required=False),
        _pull("tight_side", "tension of the tight side, running"),
        _pull("initial_tension", "tension of both sides at rest"),
        _size("width", "belt width", 3.0),
        Input("density", "density", "lb/in3", "density of the belt", low=0.0, high=5000.0, open_low=True, required=False),
        Input("power", "power", "hp", "power to be carried", low=0.0, open_low=True, required=False),
        Input("allowed_stress", "pressure", "psi", "allowed tension per area of belt", low=0.0, open_low=True, required=False),
        Input("rule", "choice", "", "shop rule for leather: ply and ft/min per hp and inch", default="single-1100",
              choices=tuple(RULES)),
    ),
    outputs=(
        Output("driver_diameter", "length", "in", "mm", "pulley on the engine"),
        Output("driven_diameter", "length", "in", "mm", "pulley on the machine"),
        Output("driver_speed", "rotational_speed", "rpm", "rpm", "speed of the engine's pulley"),
        Output("driven_speed", "rotational_speed", "rpm", "rpm", "speed of the machine's pulley"),
        Output("belt_speed", "speed", "ft/min", "m/s", "belt speed"),
        Output("belt_length", "length", "in", "mm", "length round both pulleys"),
        Output("wrap", "angle", "deg", "deg", "arc of contact on the smaller pulley"),
        Output("tension_ratio", "ratio", "ratio", "ratio", "ratio of the pulling tensions at slip"),
        Output("tight_side", "force", "lbf", "N", "tight side at the point of slip"),
        Output("slack_side", "force", "lbf", "N", "slack side at the point of slip"),
        Output("power", "power", "hp", "kW", "power at the point of slip"),
        Output("best_speed", "speed", "ft/min", "m/s", "belt speed at which this tension carries most"),
        Output("stress_width", "length", "in", "mm", "width by allowed stress"),
        Output("rule_power", "power", "hp", "kW", "power by the shop rule"),
        Output("rule_width", "length", "in", "mm", "width by the shop rule"),
    ),
    run=flat_belt,
    assumptions=("Shafts parallel; the belt is about to slip on the smaller pulley.",
                 "The 2 per cent of slip is a usual figure, not a measured one.",
                 "Shop rules are for leather in good order on level drives with plenty of wrap."),
    references=("R. S. Khurmi and J. K. Gupta, Theory of Machines, ex. 11.1, 11.4, 11.8, 11.12 (quoted)",
                "B. K. Sarkar, Theory of Machines, ch. 2 illustration 3, p. 58 (quoted)",
                "Hawkins Electrical Guide, vols. 2 and 8 (published)", "Rough and Tumble Engineering (published)",
                "Young Engineer's Guide (published)", "Hardware catalogue, p. 2162 (published)",
                "Farm Engines and How to Run Them, ch. IX (published)"),
    cautions=("Guard the belt, the pulleys and the shaft ends, and rope off the ground under the belt (C047).",
              "Never step over a running belt, never put on, dress or shift one by hand while it moves: it draws a hand in before "
              "you can let go (C060).",
              "A larger pulley or a faster engine raises the rim speed: a sound one-piece iron rim stays under 5000 ft/min, and a "
              "cracked, welded or split one does not run at all (C027).",
              "Nobody stands in the plane of belt and wheels (C053)."),
)  # fmt: skip
