"""Crank degrees and inches round the flywheel rim: tape (arc) and straight rule or dividers (chord)."""

from __future__ import annotations

import math

from ._shared import exactly_one
from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def rim_distance(
    diameter: float | None = None,
    circumference: float | None = None,
    angle: float | None = None,
    arc: float | None = None,
    chord: float | None = None,
) -> Result:
    """Degrees to distance round a wheel and back; or the wheel from an angle and a distance.

    Equation:
        arc = diameter angle / 2;  chord = diameter sin(angle / 2);  circumference = pi diameter

    In:
        diameter [m]: rim diameter where the mark is made
        circumference [m]: tape right round the rim, instead of diameter
        angle [rad]: crank angle
        arc [m]: distance by tape along the rim, instead of angle
        chord [m]: distance by straight rule or dividers, instead of angle

    Out:
        angle [rad]: crank angle
        arc [m]: distance along the rim
        chord [m]: straight distance between the two marks
        diameter [m]: rim diameter
        one_degree [m]: distance along the rim for one degree

    Valid:
        Up to one turn. A chord cannot tell an angle under half a turn from the same amount over it: the smaller is taken,
        and said. The mark is as good as the dead centre it is measured from.

    Worked:
        40 degrees is 46.58 mm of tape (published [1]); the wheel then is 133.44 mm (own arithmetic).

        >>> round(rim_distance(angle=math.radians(40), arc=0.04658).values["diameter"] * 1000, 2)
        133.44

        10 degrees on a 24 in wheel is 2.09 in (own arithmetic).

        >>> round(rim_distance(diameter=24 * 0.0254, angle=math.radians(10)).values["arc"] / 0.0254, 2)
        2.09

    References:
        1. Page on marking timing by the rim of a crank damper, step 4 (published; diameter derived).
        2. Kansas State College timing sheet, c. 1935: measures the rim by string or tape (published).
    """
    wheel = _wheel(diameter, circumference)
    flags: tuple[Flag, ...] = ()
    if wheel is None:
        if angle is None:
            raise CalculationError("diameter", "is missing: give diameter or circumference, or angle with arc or chord",
                                   "missing-input")  # fmt: skip
        exactly_one({"arc": arc, "chord": chord})
        if angle <= 0.0:
            raise CalculationError("angle", "must be over zero to find a wheel from it", "impossible")
        wheel = 2.0 * arc / angle if arc is not None else _wheel_of_chord(angle, chord or 0.0)
        turned = angle
    else:
        which = exactly_one({"angle": angle, "arc": arc, "chord": chord})
        if which == "angle":
            turned = angle or 0.0
        elif which == "arc":
            turned = 2.0 * (arc or 0.0) / wheel
            if turned > 2.0 * math.pi * (1.0 + 1e-9):
                raise CalculationError("arc", "is longer than the rim is round", "impossible")
        else:
            turned = _angle_of_chord(wheel, chord or 0.0)
            flags = (Flag("under-half-a-turn", "A straight distance fits two angles; the one under half a turn is told."),)
    values = {
        "angle": turned,
        "arc": wheel * turned / 2.0,
        "chord": wheel * math.sin(turned / 2.0),
        "diameter": wheel,
        "one_degree": wheel * math.pi / 360.0,
    }
    return Result(values, flags)


def _wheel(diameter: float | None, circumference: float | None) -> float | None:
    if diameter is not None and circumference is not None:
        raise CalculationError("circumference", "is one too many beside diameter", "too-many-inputs")
    return circumference / math.pi if circumference is not None else diameter


def _wheel_of_chord(angle: float, chord: float) -> float:
    half = math.sin(angle / 2.0)
    if half <= 1e-12:
        raise CalculationError("chord", "says nothing after a whole turn", "impossible")
    return chord / half


def _angle_of_chord(wheel: float, chord: float) -> float:
    if chord > wheel:
        raise CalculationError("chord", "is longer than the wheel is wide", "impossible")
    return 2.0 * math.asin(chord / wheel)


CALCULATION = Calculation(
    id="rim-distance",
    title="Degrees and inches round the rim",
    inputs=(
        Input("diameter", "length", "in", "rim diameter", low=0.0, high=10.0, open_low=True, required=False),
        Input("circumference", "length", "in", "tape round the rim", low=0.0, high=32.0, open_low=True, required=False),
        Input("angle", "angle", "deg", "crank angle", low=0.0, high=2.0 * math.pi, required=False),
        Input("arc", "length", "in", "distance along the rim", low=0.0, required=False),
        Input("chord", "length", "in", "straight distance between the marks", low=0.0, required=False),
    ),
    outputs=(
        Output("angle", "angle", "deg", "deg", "crank angle"),
        Output("arc", "length", "in", "mm", "distance along the rim"),
        Output("chord", "length", "in", "mm", "straight distance between the marks"),
        Output("diameter", "length", "in", "mm", "rim diameter"),
        Output("one_degree", "length", "in", "mm", "distance along the rim for one degree"),
    ),
    run=rim_distance,
    assumptions=("The rim is round and runs true; the marks lie on the same circle.",
                 "Dead centre was found with a stop on both sides, not by eye: near it the piston hardly moves."),
    references=("Page on marking timing by a damper rim, step 4 (published; diameter derived)",
                "Kansas State College timing sheet, c. 1935 (published)"),
    cautions=("Ignition dead, fuel shut, exhaust held open before you turn the wheel to a mark (C048).",
              "Turn by the rim, never by a hand or foot through the spokes (C050)."),
)  # fmt: skip
