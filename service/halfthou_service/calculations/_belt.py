"""Geometry and tensions of a flat belt on two pulleys; units SI, angles in radians."""

from __future__ import annotations

import math
from collections.abc import Mapping

from .frame import CalculationError

RULES: Mapping[str, float] = {
    "single-800": 800.0,
    "single-864": 3300.0 * math.pi / 12.0,
    "single-1000": 1000.0,
    "single-1100": 1100.0,
    "double-500": 500.0,
    "double-550": 550.0,
}
"""Shop rules for leather: feet a minute of belt speed for each horsepower of each inch of width."""


def length_and_wrap(d1: float, d2: float, centres: float, crossed: bool) -> tuple[float, float]:
    """Exact length of the belt and wrap of the smaller pulley.

    Raises:
        CalculationError: the pulleys would touch.
    """
    if centres <= (d1 + d2) / 2.0:
        raise CalculationError("centre_distance", "is so short that the pulleys would touch", "impossible")
    if crossed:
        lean = math.asin((d1 + d2) / (2.0 * centres))
        straight = 2.0 * math.sqrt(centres**2 - ((d1 + d2) / 2.0) ** 2)
        wrap = math.pi + 2.0 * lean
        return straight + (d1 + d2) / 2.0 * wrap, wrap
    lean = math.asin(abs(d2 - d1) / (2.0 * centres))
    straight = 2.0 * math.sqrt(centres**2 - ((d2 - d1) / 2.0) ** 2)
    large, small = max(d1, d2), min(d1, d2)
    return straight + large / 2.0 * (math.pi + 2.0 * lean) + small / 2.0 * (math.pi - 2.0 * lean), math.pi - 2.0 * lean


def pulleys(
    driver_diameter: float | None, driven_diameter: float | None, driver_speed: float | None, driven_speed: float | None,
    slip: float, added: float,
) -> tuple[float, float | None, float, float | None]:  # fmt: skip
    """Both diameters and both speeds; the one that is missing is found, or both of the driven pulley are left out.

    ``added`` is what each diameter grows to the line on which the belt bends (nothing, or the belt's thickness).

    Raises:
        CalculationError: not enough is given, or all four, or no such pulley can be.
    """
    missing = [n for n, v in (("driver_diameter", driver_diameter), ("driven_diameter", driven_diameter),
                              ("driver_speed", driver_speed), ("driven_speed", driven_speed)) if v is None]  # fmt: skip
    if not missing:
        raise CalculationError("driven_speed", "is one too many: give three of the two diameters and two speeds", "too-many-inputs")
    grip = 1.0 - slip
    if len(missing) == 1:
        if driver_speed is not None and driven_speed is not None:
            if driven_diameter is not None:
                size = driven_speed / driver_speed / grip * (driven_diameter + added) - added
                return _real("driver_diameter", size), driven_diameter, driver_speed, driven_speed
            assert driver_diameter is not None
            size = driver_speed / driven_speed * grip * (driver_diameter + added) - added
            return driver_diameter, _real("driven_diameter", size), driver_speed, driven_speed
        assert driver_diameter is not None
        assert driven_diameter is not None
        ratio = (driver_diameter + added) / (driven_diameter + added) * grip
        if driver_speed is None:
            assert driven_speed is not None
            return driver_diameter, driven_diameter, driven_speed / ratio, driven_speed
        return driver_diameter, driven_diameter, driver_speed, driver_speed * ratio
    if missing == ["driven_diameter", "driven_speed"] and driver_diameter is not None and driver_speed is not None:
        return driver_diameter, None, driver_speed, None
    raise CalculationError(missing[0], "is missing: give three of the two diameters and two speeds, or diameter and speed of one "
                           "pulley as the driver", "missing-input")  # fmt: skip


def _real(name: str, size: float) -> float:
    if size <= 0.0:
        raise CalculationError(name, "would have to be less than nothing for these speeds and this belt", "impossible")
    return size


def tensions(
    ratio: float, centrifugal: float, tight: float | None, initial: float | None
) -> tuple[float, float] | None:
    """Tight and slack side at the point of slipping, from the tight side or from the tension at rest; None if neither is given.

    Raises:
        CalculationError: both are given, or the belt's own weight takes up all the tension.
    """
    if tight is not None and initial is not None:
        raise CalculationError("initial_tension", "is one too many beside tight_side", "too-many-inputs")
    if tight is not None:
        if tight <= centrifugal:
            raise CalculationError("tight_side", "is used up by the belt's own weight at this speed: it would fly off", "impossible")
        return tight, centrifugal + (tight - centrifugal) / ratio
    if initial is None:
        return None
    if initial <= centrifugal:
        raise CalculationError("initial_tension", "is used up by the belt's own weight at this speed: it would fly off", "impossible")
    pull = 2.0 * (initial - centrifugal) / (1.0 + ratio)
    return centrifugal + pull * ratio, centrifugal + pull
