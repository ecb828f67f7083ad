"""Chances behind a verdict: Student's t with its normal limit.

The regularised incomplete beta function is worked out by its continued fraction (Abramowitz and Stegun, Handbook of Mathematical
Functions, 26.5.8 and 26.7.1); scipy referees it in the tests and stays out of the service, which it would slow to start.
"""

from __future__ import annotations

import math
from functools import lru_cache

INFINITE = math.inf
_TINY = 1e-300
_MANY = 1e4
"""From here on Hill's expansion about the normal is exact to twelve figures and the continued fraction grows slow."""


def cdf(t: float, dof: float = INFINITE) -> float:
    """Chance that a Student t variable with ``dof`` degrees of freedom is at most ``t`` [-]. ``inf`` gives the normal."""
    if dof == INFINITE:
        return 0.5 * math.erfc(-t / math.sqrt(2.0))
    if not dof > 0:
        raise ValueError("degrees of freedom must be positive")
    if math.isinf(t):
        return 1.0 if t > 0 else 0.0
    ratio = (t / math.sqrt(dof)) ** 2 if abs(t) < 1e150 else INFINITE
    grown = math.log1p(ratio) if ratio < INFINITE else 2.0 * math.log(abs(t)) - math.log(dof)
    tail = _tail_many(grown, dof) if dof >= _MANY else 0.5 * _beta_half(ratio, grown, 0.5 * dof)
    return 1.0 - tail if t > 0 else tail


def _tail_many(grown: float, dof: float) -> float:
    """Upper tail for many degrees of freedom (G. W. Hill, Algorithm 395, Communications of the ACM 13, 1970)."""
    a = dof - 0.5
    b, y = 48.0 * a * a, a * grown
    z = math.sqrt(y) * (1.0 + ((((-0.4 * y - 3.3) * y - 24.0) * y - 85.5) / (0.8 * y * y + 100.0 + b) + y + 3.0) / b)
    return 0.5 * math.erfc(z / math.sqrt(2.0))


def _beta_half(ratio: float, grown: float, a: float) -> float:
    """Regularised incomplete beta of (a, 1/2) at x = 1 / (1 + ratio); ``grown`` is log(1 + ratio).

    x and 1 - x are both worked out from the ratio, so that neither end loses its digits.
    """
    if ratio <= 0.0:
        return 1.0
    x, rest = (1.0 / (1.0 + ratio), ratio / (1.0 + ratio)) if ratio < INFINITE else (0.0, 1.0)
    front = math.exp(_log_beta_front(a) - a * grown + 0.5 * math.log(rest))
    if x < (a + 1.0) / (a + 2.5):
        return front * _fraction(x, a, 0.5) / a
    return 1.0 - front * _fraction(rest, 0.5, a) / 0.5


def _log_beta_front(a: float) -> float:
    """log of Gamma(a + 1/2) / (Gamma(a) Gamma(1/2)); by its series where the two gammas are large and would cancel."""
    if a < 20.0:
        return math.lgamma(a + 0.5) - math.lgamma(a) - 0.5 * math.log(math.pi)
    series = (-1 / 8 + (1 / 192 + (-1 / 640 + (17 / 14336 - 31 / 18432 / a**2) / a**2) / a**2) / a**2) / a
    return 0.5 * math.log(a / math.pi) + series


def _fraction(x: float, a: float, b: float) -> float:
    c, d = 1.0, 1.0 - (a + b) * x / (a + 1.0)
    d = 1.0 / (d if abs(d) > _TINY else _TINY)
    total = d
    for m in range(1, 2000):
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
