"""Distributions of largest, smallest and largest-minus-smallest of several sizes, each known with a random and a shared doubt.

Given readings m_i with independent standard uncertainty u each and one shared standard uncertainty u_s, the true sizes are taken as
independent normals about m_i moved together by one shared normal (a flat prior, as JCGM 101:2008 does for a Type B size). The shared part
moves every size alike: it cancels in differences of one survey and stays in sizes. Nothing here is a square root of two: a range has a
distribution of its own.

Integrals are sums at equal steps: for integrands that die off like a normal on both sides their error falls faster than any power of the
step, and half a standard uncertainty is fine enough for nine figures.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from functools import lru_cache

SPAN = 6.0
"""Half-width of every integral in standard uncertainties; beyond it lies less than 2 in a thousand million."""
STEP = 0.5
FINEST = 6
"""The step is halved at most so many times, where a shared doubt is much wider than the random one."""
FAR = 7.6
"""A difference this many of its standard uncertainties from a bound lies on its own side of it for certain."""
APART = 50.0
"""So many standard uncertainties between least and greatest, and how far apart they lie changes nothing in the doubt of their difference."""
ROOT_2 = math.sqrt(2.0)
_erfc, _exp = math.erfc, math.exp


@lru_cache(maxsize=16)
def points(halvings: int = 0) -> tuple[tuple[float, float], ...]:
    """(z, weight) over a standard normal at equal steps, the weights adding to 1."""
    n = round(SPAN / STEP) << halvings
    raw = [(SPAN * k / n, _exp(-0.5 * (SPAN * k / n) ** 2)) for k in range(-n, n + 1)]
    total = math.fsum(w for _, w in raw)
    return tuple((z, w / total) for z, w in raw)


def with_shared(chance: Callable[[float], float], u_shared: float, width: float) -> float:
    """Average of ``chance(shift)`` over a shared normal shift of standard uncertainty ``u_shared``.

    ``width``: the random standard uncertainty that ``chance`` changes over; the narrower, the finer the steps.
    """
    if u_shared <= 0:
        return chance(0.0)
    halvings = 0
    while halvings < FINEST and u_shared * STEP > (width * STEP) * (1 << halvings):
        halvings += 1
    return math.fsum(w * chance(z * u_shared) for z, w in points(halvings))


def largest_at_most(sizes: Sequence[float], u: float, x: float) -> float:
    """Chance that every true size is at most ``x`` (random part only)."""
    product, scale = 1.0, 1.0 / (u * ROOT_2)
    for m in sizes:
        product *= 0.5 * _erfc((m - x) * scale)
    return product


def largest_with_shared(sizes: Sequence[float], u: float, u_shared: float) -> Callable[[float], float]:
    """Chance that every true size is at most x, all of them moved together by one shared normal error.

    Where the shared error is the wider, the largest of the sizes alone is put on points once, and each x costs as many terms; else the
    shared error is.
    """
    if u_shared <= u:
        return lambda x: with_shared(lambda shift: largest_at_most(sizes, u, x - shift), u_shared, u)
    top = max(sizes)
    found = _greatest(_counted([m for m in sizes if top - m < 2 * SPAN * u]), u)
    scale = 1.0 / (u_shared * ROOT_2)
    return lambda x: math.fsum(w * 0.5 * _erfc((y - x) * scale) for y, w in found)


def range_at_most(sizes: Sequence[float], u: float, r: float) -> float:
    """Chance that largest minus smallest of the true sizes is at most ``r``; ``u`` the random standard uncertainty of each [same unit].

    P = sum over i of the integral of phi((x - m_i)/u)/u times, for every other j, Phi((x + r - m_j)/u) - Phi((x - m_j)/u): size i is the
    smallest, at x.
    """
    if r < 0 or not sizes:
        return 0.0
    if len(sizes) == 1:
        return 1.0
    low, high = min(sizes), max(sizes)
    far = (r - (high - low)) / (u * ROOT_2)
    if abs(far) > FAR:
        return 1.0 if far > 0 else 0.0
    if len(sizes) == 2:
        return 0.5 * (_erfc(-far / ROOT_2) - _erfc((r + (high - low)) / (2.0 * u)))
    scale = 1.0 / (u * ROOT_2)
    reach = r * scale
    # a size more than the whole integral away from both ends is neither smallest nor largest
    mine = _counted([(m - low) * scale for m in sizes if m - low < 2 * SPAN * u or high - m < 2 * SPAN * u])
    step = STEP / ROOT_2
    x, top = -SPAN / ROOT_2, SPAN / ROOT_2
    total = 0.0
    while x <= top:
        inside, slopes = 1.0, 0.0
        for m, n in mine:
            gap = m - x
            between = _erfc(gap - reach) - _erfc(gap)
            if between <= 0.0:
                inside = 0.0
                break
            inside *= 0.5 * between if n == 1 else (0.5 * between) ** n
            slopes += n * _exp(-gap * gap) / between
        if inside > 0.0:
            total += inside * slopes
        x += step
    return min(total * step * 2.0 / math.sqrt(math.pi), 1.0)


def range_u(sizes: Sequence[float], u: float) -> float:
    """How far the true largest minus smallest lies from the one read, root mean square, by its own distribution.

    E (R - r)^2 = r^2 + integral of 2 (x - r) P(R > x) from 0; up to ``low`` that chance is 1. Two readings: u sqrt 2; more of like size: more.
    Ends far apart are brought nearer: their own digits would leave none for the doubt.
    """
    least, greatest = min(sizes), max(sizes)
    read = greatest - least
    if read > APART * u:
        below = [(m - least) / u for m in sizes if m - least < 2 * SPAN * u]
        return u * range_u([*below, *(APART - (greatest - m) / u for m in sizes if greatest - m < 2 * SPAN * u)], 1.0)
    low, high = max(read - FAR * ROOT_2 * u, 0.0), read + u * (FAR * ROOT_2 + 2.0 * math.sqrt(2.0 * math.log(len(sizes))))
    steps = 2 * math.ceil((high - low) / u)
    step = (high - low) / steps
    values = (2.0 * (x - read) * (1.0 - range_at_most(sizes, u, x)) for x in (low + step * k for k in range(steps + 1)))
    total = math.fsum(v * (1.0 if k in (0, steps) else 4.0 if k % 2 else 2.0) for k, v in enumerate(values)) * step / 3.0
    return math.sqrt((low - read) ** 2 + total)


@lru_cache(maxsize=256)
def alike(n: int) -> tuple[float, float]:
    """Of n things exactly alike, each read with a random doubt of 1: the mean of the largest less the smallest read, and what it stays
    under 19 times in 20."""
    same, step = [0.0] * n, 0.01
    high = 2.0 * (SPAN + math.sqrt(2.0 * math.log(n)))
    mean = math.fsum(1.0 - range_at_most(same, 1.0, step * (k + 0.5)) for k in range(round(high / step))) * step
    low = 0.0
    for _ in range(30):
        middle = (low + high) / 2.0
        low, high = (middle, high) if range_at_most(same, 1.0, middle) < 0.95 else (low, middle)
    return mean, (low + high) / 2.0


def worn_at_most(sizes: Sequence[float], u: float, u_shared: float, new: float, wear: float) -> float:
    """Chance that the largest true size exceeds ``new`` by at most ``wear``. ``u_shared`` includes the doubt of the new size."""
    return with_shared(lambda shift: largest_at_most(sizes, u, new + wear - shift), u_shared, u)


def gap_at_most(bores: Sequence[float], u_bore: float, shafts: Sequence[float], u_shaft: float, u_shared: float, gap: float, smallest: bool) -> float:
    """Chance that the smallest (or largest) clearance of a bore on a shaft is at most ``gap``.

    Smallest: least bore minus greatest shaft. Largest: greatest bore minus least shaft. ``u_shared`` is what is left of the shared errors
    after those common to both have cancelled.
    """
    if smallest:
        return 1.0 - _clears(bores, u_bore, shafts, u_shaft, u_shared, gap)
    return _clears([-b for b in bores], u_bore, [-s for s in shafts], u_shaft, u_shared, -gap)


def _clears(bores: Sequence[float], u_bore: float, shafts: Sequence[float], u_shaft: float, u_shared: float, gap: float) -> float:
    """Chance that the least bore is larger than the greatest shaft by more than ``gap``.

    The greatest shaft and the shared error are put on points with weights; at each the chance that every bore clears it is a product.
    """
    least, greatest = min(bores), max(shafts)
    whole = math.sqrt(u_bore**2 + u_shaft**2 + u_shared**2)
    far = (least - greatest - gap) / whole
    if abs(far) > FAR + math.sqrt(2.0 * math.log(len(bores) * len(shafts))):
        return 1.0 if far > 0 else 0.0
    near = _counted([b for b in bores if b - least < 2 * SPAN * (u_bore + u_shaft + u_shared)])
    tops = _greatest(_counted([s for s in shafts if greatest - s < 2 * SPAN * u_shaft]), u_shaft)
    width = math.hypot(u_bore, u_shaft)
    return with_shared(lambda shift: math.fsum(w * _all_above(near, u_bore, y + gap - shift) for y, w in tops), u_shared, width)


Counted = Sequence[tuple[float, int]]


def _counted(sizes: Sequence[float]) -> Counted:
    """Each size once, with how often it was read: readings come in steps of the tool."""
    return tuple(Counter(sizes).items())


def _all_above(sizes: Counted, u: float, x: float) -> float:
    product, scale = 1.0, 1.0 / (u * ROOT_2)
    for m, n in sizes:
        product *= (0.5 * _erfc((x - m) * scale)) ** n
    return product


def _greatest(sizes: Counted, u: float) -> list[tuple[float, float]]:
    """The greatest of several true sizes as points with weights."""
    top, scale = max(m for m, _ in sizes), 1.0 / (u * ROOT_2)
    found = []
    for z, _ in points():
        x = top + z * u
        product, slopes = 1.0, 0.0
        for m, n in sizes:
            gap = (m - x) * scale
            below = 0.5 * _erfc(gap)
            if below <= 0.0:
                product = 0.0
                break
            product *= below**n
            slopes += n * _exp(-gap * gap) / below
        if product * slopes > 1e-14:
            found.append((x, product * slopes))
    total = math.fsum(w for _, w in found)
    return [(x, w / total) for x, w in found]


FIVE = ((0.0, 8 / 15), (1.3556261799742659, 0.2220759220056126), (-1.3556261799742659, 0.2220759220056126),
        (2.8569700138728056, 0.0112574113277207), (-2.8569700138728056, 0.0112574113277207))  # fmt: skip
"""Five points of Gauss and Hermite for a standard normal (Abramowitz and Stegun 25.4.46 with x sqrt 2 and w / sqrt pi)."""
MANY = 30.0


@lru_cache(maxsize=64)
def scales(dof: float) -> tuple[tuple[float, float], ...]:
    """(factor, weight) of the random uncertainty where it was worked out from scatter with ``dof`` degrees of freedom.

    A scatter from few readings may be too small by chance: the true one is s sqrt(dof / chi-square). Averaged over that, a normal becomes
    Student's t and the distributions above become theirs. The average is taken over the logarithm of chi-square, which is nearly normal.
    """
    if math.isinf(dof):
        return ((1.0, 1.0),)
    centre, spread = math.log(dof), math.sqrt(2.0 / dof)
    grid = FIVE if dof >= MANY else tuple((float(k), math.exp(-0.5 * k * k)) for k in range(-9, 7))
    raw = []
    for z, weight in grid:
        y = centre + spread * z
        true = _exp(0.5 * dof * (y - centre) - 0.5 * (_exp(y) - dof))
        raw.append((math.sqrt(dof / _exp(y)), weight * true * _exp(0.5 * z * z)))
    total = math.fsum(w for _, w in raw)
    return tuple((s, w / total) for s, w in raw if w > 1e-12 * total)
