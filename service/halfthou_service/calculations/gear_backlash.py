"""Backlash from a change of centre distance, and the published range for a pair of gears."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from importlib.resources import files

from .frame import Calculation, CalculationError, Flag, Input, Output, Result

INCH = 0.0254
KINDS = ("spur", "bevel-3-to-6", "bevel-7-to-13")


@dataclass(frozen=True, slots=True)
class Range:
    """One published range: pitches from and below [per inch], centre distances over and to [in], backlash [in]."""

    kind: str
    pitch_from: float
    pitch_below: float
    centre_over: float | None
    centre_to: float | None
    least: float
    most: float


def _load() -> tuple[Range, ...]:
    text = files(__package__).joinpath("tables/gear_backlash.csv").read_text("utf-8")
    return tuple(
        Range(r["kind"], float(r["pitch_from"]), float(r["pitch_below"]), float(r["centre_over_in"]) if r["centre_over_in"] else None,
              float(r["centre_to_in"]) if r["centre_to_in"] else None, float(r["least_in"]), float(r["most_in"]))
        for r in csv.DictReader(text.splitlines())
    )  # fmt: skip


RANGES = _load()


def published_range(kind: str, pitch: float, centre: float | None) -> Range | None:
    """The range for a diametral pitch [per inch] and, for spur gears, a centre distance [in]; None where none is printed.

    >>> published_range("spur", 8.0, 6.0).least, published_range("bevel-3-to-6", 5.5, None).most
    (0.01, 0.013)
    """
    for each in RANGES:
        if each.kind != kind or not each.pitch_from <= pitch < each.pitch_below:
            continue
        if each.centre_over is None or each.centre_to is None:
            return each
        if centre is not None and each.centre_over < centre <= each.centre_to:
            return each
    return None


def involute(angle: float) -> float:
    """Involute of an angle [rad]: tan a - a."""
    return math.tan(angle) - angle


def gear_backlash(
    spread: float,
    pressure_angle: float = math.radians(14.5),
    centre_distance: float | None = None,
    diametral_pitch: float | None = None,
    kind: str = "spur",
) -> Result:
    """Backlash gained when shafts move apart, and the range a handbook table gives for such gears.

    Equation:
        backlash_gained = 2 spread tan(pressure_angle);  exact: 2 C' (inv a' - inv a), cos a' = C cos a / C',
        C = centre_distance, C' = C + spread, a = pressure_angle, inv a = tan a - a

    In:
        spread [m]: how much further apart the shafts are; negative for closer
        pressure_angle [rad]: pressure angle of the teeth, 14.5 degrees on most old gears
        centre_distance [m]: centre distance the teeth were cut for
        diametral_pitch [1/m]: teeth over pitch diameter
        kind [choice]: spur, or bevel of quality 3 to 6 or 7 to 13

    Out:
        backlash_gained [m]: backlash gained along the pitch circle, for a small spread
        backlash_exact [m]: the same without that simplification, involute teeth
        published_least [m]: least of the published range
        published_most [m]: most of the published range

    Valid:
        Involute teeth and parallel shafts; half the tooth depth of spread at most. Worn or cast teeth have more to begin with.

    Worked:
        0.005 in at 14.5 degrees: 0.00259 in (derived from a published relation [1]).

        >>> round(gear_backlash(0.005 * 0.0254).values["backlash_gained"] / 0.0254, 5)
        0.00259

        8 pitch at 6 in: 0.010 to 0.020 in (published [2]).

        >>> v = gear_backlash(0.0, centre_distance=6 * 0.0254, diametral_pitch=8 / 0.0254).values
        >>> round(v["published_least"] / 0.0254, 3), round(v["published_most"] / 0.0254, 3)
        (0.01, 0.02)

    References:
        1. Relation 2 da tan(phi) as printed on an engineering calculator page (published).
        2. Backlash ranges of a gear makers' association, coarse-pitch spur and bevel, as tabulated on an engineering site (published).
    """
    flags = []
    linear = 2.0 * spread * math.tan(pressure_angle)
    exact = None
    if centre_distance is not None:
        moved = centre_distance + spread
        cosine = centre_distance * math.cos(pressure_angle) / moved if moved > 0.0 else 2.0
        if cosine > 1.0:
            raise CalculationError("spread", "brings the shafts closer than the base circles allow", "impossible")
        exact = 2.0 * moved * (involute(math.acos(cosine)) - involute(pressure_angle))
    values: dict[str, float | str | bool | None] = {"backlash_gained": linear, "backlash_exact": exact}
    if kind != "spur" and spread != 0.0:
        flags.append(Flag("bevel-spread", "The relation is for parallel shafts; bevel gears change backlash by their mounting distance."))
    if diametral_pitch is not None:
        centre = None if centre_distance is None else centre_distance / INCH
        found = published_range(kind, diametral_pitch * INCH, centre)
        if found is None:
            flags.append(Flag("no-published-range", "No range is printed for this pitch and centre distance; a spur pair needs its centre distance."))
        else:
            values |= {"published_least": found.least * INCH, "published_most": found.most * INCH}
            flags.append(Flag("range-is-for-cut-gears", "The range is for cut gears in closed housings; cast teeth of an old engine run with more."))
        if abs(spread) * diametral_pitch > 1.0:
            flags.append(Flag("wide-spread", "The spread is over half the working depth of the teeth: they hardly mesh."))
    return Result(values, tuple(flags))


CALCULATION = Calculation(
    id="gear-backlash",
    title="Gear backlash",
    inputs=(
        Input("spread", "length", "thou", "how much further apart the shafts are", low=-0.01, high=0.02),
        Input("pressure_angle", "angle", "deg", "pressure angle", low=math.radians(10.0), high=math.radians(30.0), default=math.radians(14.5)),
        Input("centre_distance", "length", "in", "centre distance the teeth were cut for", low=0.005, high=3.1, required=False),
        Input("diametral_pitch", "linear_frequency", "tpi", "diametral pitch: teeth per inch of pitch diameter", low=10.0, high=4000.0,
              required=False),
        Input("kind", "choice", "", "kind of gear", default="spur", choices=KINDS),
    ),
    outputs=(
        Output("backlash_gained", "length", "thou", "um", "backlash gained, for a small spread"),
        Output("backlash_exact", "length", "thou", "um", "backlash gained, exact for involute teeth"),
        Output("published_least", "length", "thou", "um", "least of the published range"),
        Output("published_most", "length", "thou", "um", "most of the published range"),
    ),
    run=gear_backlash,
    assumptions=("Teeth are involute and the shafts parallel.", "Wear of the teeth themselves adds to this and is not told.",
                 "The small-spread form is about 1 % low for ordinary wear."),
    references=("Relation 2 da tan(phi), engineering calculator page (published)",
                "Backlash ranges of a gear makers' association, engineering site (published)"),
    cautions=("Turn gears by hand, ignition dead, when feeling backlash: fingers go in with the teeth (C048, C060).",),
)  # fmt: skip
