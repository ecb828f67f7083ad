"""Chances behind a verdict: Student's t with its normal limit.

The regularised incomplete beta function is worked out by its continued fraction (Abramowitz and Stegun, Handbook of Mathematical
Functions, 26.5.8 and 26.7.1); scipy referees it in the tests and stays out of the service, which it would slow to start.
"""

from __future__ import annotations

import math
from functools import lru_cache

INFINITE = math.inf
_TINY = 1e-300


def cdf(t: float, dof: float = INFINITE) -> float:
    """Chance that a Student t variable with ``dof`` degrees of freedom is at most ``t`` [-]. ``inf`` gives the normal."""
    if dof == INFINITE:
        return 0.5 * math.erfc(-t / math.sqrt(2.0))
    if not dof > 0:
        raise ValueError("degrees of freedom must be positive")
    if math.isinf(t):
        return 1.0 if t > 0 else 0.0
    tail = 0.5 * _beta_regularised(dof / (dof + t * t), 0.5 * dof, 0.5)
    return 1.0 - tail if t > 0 else tail


def _beta_regularised(x: float, a: float, b: float) -> float:
    if x <= 0.0:
        return 0.0
    if x >= 1.0:
        return 1.0
    front = math.exp(math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x))
    if x < (a + 1.0) / (a + b + 2.0):
        return front * _fraction(x, a, b) / a
    return 1.0 - front * _fraction(1.0 - x, b, a) / b


def _fraction(x: float, a: float, b: float) -> float:
    c, d = 1.0, 1.0 - (a + b) * x / (a + 1.0)
    d = 1.0 / (d if abs(d) > _TINY else _TINY)
    total = d
    for m in range(1, 400):
        for step in (m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)), -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))):
            d = 1.0 + step * d
            c = 1.0 + step / c
            d = 1.0 / (d if abs(d) > _TINY else _TINY)
            c = c if abs(c) > _TINY else _TINY
            total *= d * c
        if abs(d * c - 1.0) < 1e-15:
            break
    return total


@lru_cache(maxsize=256)
def quantile(p: float, dof: float = INFINITE) -> float:
    """The t for which :func:`cdf` is ``p`` [-]; bisection to full precision.

    Raises:
        ValueError: p not strictly between 0 and 1.
    """
    if not 0.0 < p < 1.0:
        raise ValueError("a chance lies strictly between 0 and 1")
    low, high = -1.0, 1.0
    while cdf(low, dof) > p:
        low *= 2.0
    while cdf(high, dof) < p:
        high *= 2.0
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        low, high = (middle, high) if cdf(middle, dof) < p else (low, middle)
    return 0.5 * (low + high)


def chances(z_low: float, z_high: float, dof: float = INFINITE, z_zero: float = -INFINITE) -> tuple[float, float, float]:
    """Chances that the true value lies below, inside and above an interval.

    ``z_low`` = (low - reading) / u and ``z_high`` = (high - reading) / u, infinite for an open side. ``z_zero`` = (0 - reading) / u
    where the quantity cannot be negative: the distribution is then cut off at zero and scaled back to 1.

    Returns:
        (below, inside, above), each from 0 to 1; they add to 1.
    """
    floor = cdf(z_zero, dof) if z_zero > -INFINITE else 0.0
    whole = 1.0 - floor
    if whole <= 0.0:
        return (0.0, 1.0, 0.0) if z_low <= z_zero else (1.0, 0.0, 0.0)
    below = max(cdf(z_low, dof) - floor, 0.0) / whole if z_low > -INFINITE else 0.0
    above = cdf(-max(z_high, z_zero), dof) / whole if z_high < INFINITE else 0.0
    return below, max(1.0 - below - above, 0.0), min(above, 1.0)
