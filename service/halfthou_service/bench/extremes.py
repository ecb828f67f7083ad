"""Distributions of largest, smallest and largest-minus-smallest of several sizes, each known with a random and a shared doubt.

Given readings m_i with independent standard uncertainty u_r each and one shared standard uncertainty u_s, the true sizes are taken as
independent normals about m_i moved together by one shared normal (a flat prior, as JCGM 101:2008 does for a Type B size). The shared part
moves every size alike: it cancels in differences of one survey and stays in sizes. Nothing here is a square root of two: a range has a
distribution of its own, worked out by Gauss-Legendre quadrature.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import lru_cache

from .probability import cdf

SPAN = 6.0
"""Half-width of the integration in standard uncertainties; beyond it lies less than 2 in a thousand million."""
NODES = 40
SHARED_NODES = 20
GRID = 48


@lru_cache(maxsize=8)
def nodes(n: int = NODES) -> tuple[tuple[float, float], ...]:
    """Gauss-Legendre nodes and weights on (-1, 1), by Newton's method on the Legendre polynomial (Abramowitz and Stegun 25.4.29)."""
    found = []
    for i in range(n):
        x = math.cos(math.pi * (i + 0.75) / (n + 0.5))
        slope = 1.0
        for _ in range(100):
            p0, p1 = 1.0, x
            for k in range(2, n + 1):
                p0, p1 = p1, ((2 * k - 1) * x * p1 - (k - 1) * p0) / k
            slope = n * (x * p1 - p0) / (x * x - 1.0)
            step = p1 / slope
            x -= step
            if abs(step) < 1e-15:
                break
        found.append((x, 2.0 / ((1.0 - x * x) * slope * slope)))
    return tuple(found)


@lru_cache(maxsize=8)
def _standard(n: int = NODES) -> tuple[tuple[float, float], ...]:
    """Nodes over a standard normal: (z, weight) with the weights adding to 1."""
    raw = [(SPAN * x, w * math.exp(-0.5 * (SPAN * x) ** 2)) for x, w in nodes(n)]
    total = math.fsum(w for _, w in raw)
    return tuple((z, w / total) for z, w in raw if w / total > 1e-16)


def range_at_most(sizes: Sequence[float], u: float, r: float) -> float:
    """Chance that largest minus smallest of the true sizes is at most ``r``; ``u`` the random standard uncertainty of each [same unit].

    P = sum_i int phi(z) prod_{j != i} [Phi((m_i + u z + r - m_j)/u) - Phi((m_i + u z - m_j)/u)] dz: size i is the smallest.
    """
    if r < 0 or not sizes:
        return 0.0
    if len(sizes) == 1:
        return 1.0
    if len(sizes) == 2:
        gap = (sizes[0] - sizes[1]) / (u * math.sqrt(2.0))
        reach = r / (u * math.sqrt(2.0))
        return cdf(reach - gap) - cdf(-reach - gap)
    total = 0.0
    for i, smallest in enumerate(sizes):
        others = [(smallest - m) / u for j, m in enumerate(sizes) if j != i]
        if min(others) > 2 * SPAN:
            continue
        reach = r / u
        for z, weight in _standard():
            inside = weight
            for gap in others:
                inside *= cdf(z + gap + reach) - cdf(z + gap)
                if inside < 1e-18:
                    break
            total += inside
    return min(total, 1.0)


def largest_at_most(sizes: Sequence[float], u: float, x: float) -> float:
    """Chance that every true size is at most ``x`` (random part only)."""
    product = 1.0
    for m in sizes:
        product *= cdf((x - m) / u)
    return product


def with_shared(chance: Callable[[float], float], u_shared: float) -> float:
    """Average of ``chance(shift)`` over a shared normal shift of standard uncertainty ``u_shared``."""
    if u_shared <= 0:
        return chance(0.0)
    return math.fsum(w * chance(z * u_shared) for z, w in _standard(SHARED_NODES))


def worn_at_most(sizes: Sequence[float], u: float, u_shared: float, new: float, wear: float) -> float:
    """Chance that the largest true size exceeds ``new`` by at most ``wear``. ``u_shared`` includes the doubt of the new size."""
    return with_shared(lambda shift: largest_at_most(sizes, u, new + wear - shift), u_shared)


def gap_at_most(bores: Sequence[float], u_bore: float, shafts: Sequence[float], u_shaft: float, u_shared: float, gap: float, smallest: bool) -> float:
    """Chance that the smallest (or largest) clearance of a bore on a shaft is at most ``gap``.

    Smallest: least bore minus greatest shaft. Largest: greatest bore minus least shaft. ``u_shared`` is what is left of the shared errors
    after those common to both have cancelled.
    """
    if smallest:
        clears = _Clears(bores, u_bore, shafts, u_shaft)
        return 1.0 - with_shared(lambda s: clears.by_more_than(gap - s), u_shared)
    clears = _Clears([-b for b in bores], u_bore, [-s for s in shafts], u_shaft)
    return with_shared(lambda s: clears.by_more_than(s - gap), u_shared)


class _Clears:
    """min(bores) - max(shafts): the greatest shaft is put on a grid once, then any gap is a sum over it."""

    def __init__(self, bores: Sequence[float], u_bore: float, shafts: Sequence[float], u_shaft: float) -> None:
        self.bores, self.u_bore = bores, u_bore
        top, bottom = max(shafts) + SPAN * u_shaft, max(shafts) - SPAN * u_shaft
        edges = [bottom + (top - bottom) * k / GRID for k in range(GRID + 1)]
        below = [largest_at_most(shafts, u_shaft, y) for y in edges]
        self.cells = [((a + b) / 2, q - p) for a, b, p, q in zip(edges, edges[1:], below, below[1:], strict=False) if q - p > 1e-12]

    def by_more_than(self, gap: float) -> float:
        """Chance that the smallest bore clears the greatest shaft by more than ``gap``."""
        total = 0.0
        for y, weight in self.cells:
            for b in self.bores:
                weight *= cdf((b - y - gap) / self.u_bore)
            total += weight
        return min(total, 1.0)
