"""The published table of full journal bearings, read between its rows.

Along the eccentricity the table is read monotonically in ln S. Across length over diameter, S and friction follow the published
interpolation formula through the rows for endless, 1, 1/2 and 1/4; a factor, one on those rows, brings it onto our own solutions at 3/4,
1-1/4, 1-1/2 and 2 (it moves S by 3 % at most). Flow, side share and peak pressure do not bear the formula - between rows it misses side
flow by up to a third - and are read monotonically in ln(l/d) between the rows and our own solutions; past 2 they are not told.
Below 1/4 the short-bearing form is used, and nowhere else.
"""

from __future__ import annotations

import csv
import math
from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib.resources import files

Row = tuple[float, float, float, float, float]
"""S, (r/c) f, Q/(r c N l), side share of the flow, mean over peak pressure."""

NODES = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.97)
PUBLISHED = (math.inf, 1.0, 0.5, 0.25)
CHECKED = (0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0)
"""Length over diameter where the reading is exact: published rows or own solutions."""

SHORT = 0.25
THICKEST, THINNEST = NODES[0], NODES[-1]


@dataclass(frozen=True, slots=True)
class FilmState:
    """One working point: ``eccentricity``, friction variable (r/c)f, flow Q/(rcNl), side share Qs/Q, mean over peak pressure. No units.

    The last three are None past a length of twice the diameter.
    """

    eccentricity: float
    friction: float
    flow: float | None
    side_share: float | None
    peak_share: float | None


def _load() -> dict[tuple[float, float], Row]:
    """Rows by (length over diameter, eccentricity); where both a quoted row and our own exist, the quoted one."""
    text = files(__package__).joinpath("tables/journal_bearing.csv").read_text("utf-8")
    rows: dict[tuple[float, float], Row] = {}
    for line in sorted(csv.DictReader(text.splitlines()), key=lambda r: r["grade"]):
        rows[float(line["l_over_d"]), float(line["eccentricity"])] = (
            float(line["sommerfeld"]), float(line["friction"]), float(line["flow"]), float(line["side_share"]), float(line["peak_share"]),
        )  # fmt: skip
    return rows


TABLE = _load()
_BASE = tuple(tuple(TABLE[x, e] for x in PUBLISHED) for e in NODES)


def weights(x: float) -> tuple[float, float, float, float]:
    """Weights of the endless, 1, 1/2 and 1/4 rows at length over diameter ``x``: the interpolation formula of the paper."""
    a, b, c, cube = 1.0 - x, 1.0 - 2.0 * x, 1.0 - 4.0 * x, x**3
    return -a * b * c / (8.0 * cube), b * c / (3.0 * cube), -a * c / (4.0 * cube), a * b / (24.0 * cube)


def _joined(w: Sequence[float], i: int, column: int) -> float:
    base = _BASE[i]
    return w[0] * base[0][column] + w[1] * base[1][column] + w[2] * base[2][column] + w[3] * base[3][column]


def _factors() -> tuple[tuple[tuple[float, ...], ...], ...]:
    """ln(own solution / formula) by place in CHECKED, node and column; nothing on the published rows."""
    found = []
    for x in CHECKED:
        w = weights(x)
        per_node = []
        for i, e in enumerate(NODES):
            own = None if x in PUBLISHED else TABLE.get((x, e)) or TABLE[x, 0.95]
            at = i if (x, e) in TABLE else NODES.index(0.95)
            per_node.append(tuple(math.log(own[k] / _joined(w, at, k)) if own else 0.0 for k in range(5)))
        found.append(tuple(per_node))
    return tuple(found)


_FACTORS = _factors()


_LOGS = tuple(math.log(x) for x in CHECKED)
_SMOOTH = tuple(
    tuple(tuple(_joined(weights(x), i, k) * math.exp(_FACTORS[j][i][k]) for j, x in enumerate(CHECKED)) for k in range(5))
    for i in range(len(NODES))
)
"""By node and column, the value at each place of CHECKED."""


def _reader(x: float) -> Callable[[int, int], float]:
    """S (column 0) or friction (column 1) by node, for one length over diameter."""
    w = weights(x)
    place = min(bisect_right(CHECKED, x), len(CHECKED) - 1)
    low, high = CHECKED[place - 1], CHECKED[place]
    t = min(1.0, math.log(x / low) / math.log(high / low))
    below, above = _FACTORS[place - 1], _FACTORS[place]

    def read(i: int, column: int) -> float:
        return _joined(w, i, column) * math.exp((1.0 - t) * below[i][column] + t * above[i][column])

    return read


def film_state(x: float, sommerfeld: float) -> FilmState | None:
    """The working point at length over diameter ``x`` and Sommerfeld number (r/c)^2 mu N / P.

    Returns None where the film is thinner than the last row, 0.03 of the radial clearance.
    """
    if x < SHORT:
        return _short_state(x, sommerfeld)
    read = _reader(x)
    logs = [-math.log(read(i, 0)) for i in range(len(NODES))]
    wanted = -math.log(sommerfeld)
    if wanted > logs[-1]:
        return None
    if wanted <= logs[0]:
        return _nearly_centred(x, read, sommerfeld)
    eccentricity = monotone(logs, NODES, wanted)
    start, stop = _window(logs, wanted)
    friction = math.exp(monotone(logs[start:stop], [math.log(read(i, 1)) for i in range(start, stop)], wanted))
    flow, side, peak = (_between(x, k, start, stop, eccentricity) for k in (2, 3, 4))
    return FilmState(eccentricity, friction, flow, side, peak)


def _window(xs: Sequence[float], x: float) -> tuple[int, int]:
    """The rows that can matter at ``x``: two each side."""
    at = max(1, min(len(xs) - 1, bisect_right(xs, x)))
    return max(0, at - 2), min(len(xs), at + 2)


def _between(x: float, column: int, start: int, stop: int, eccentricity: float) -> float | None:
    """Flow, side share or peak share: monotone in ln(l/d), then in the eccentricity."""
    if x > CHECKED[-1]:
        return None
    at = math.log(x)
    a, b = _window(_LOGS, at)
    values = [monotone(_LOGS[a:b], _SMOOTH[i][column][a:b], at) for i in range(start, stop)]
    return values[0] if len(values) == 1 else monotone(NODES[start:stop], values, eccentricity)


def _nearly_centred(x: float, read: Callable[[int, int], float], sommerfeld: float) -> FilmState:
    """Above the first row: eccentricity as 1/S, friction to Petroff's 2 pi^2 S, flow to pi, side share to nothing."""
    share = read(0, 0) / sommerfeld
    excess = read(0, 1) / (2.0 * math.pi**2 * read(0, 0)) - 1.0
    friction = 2.0 * math.pi**2 * sommerfeld * (1.0 + excess * share**2)
    flow, side, peak = (_between(x, k, 0, 1, THICKEST) for k in (2, 3, 4))
    if flow is not None and side is not None:
        flow, side = math.pi + (flow - math.pi) * share, side * share
    return FilmState(THICKEST * share, friction, flow, side, peak)


def short_sommerfeld(x: float, eccentricity: float) -> float:
    """Sommerfeld number of the short-bearing form (Ocvirk) at length over diameter ``x``."""
    e2 = eccentricity**2
    return (1.0 - e2) ** 2 / (math.pi * eccentricity * math.sqrt(math.pi**2 * (1.0 - e2) + 16.0 * e2)) / x**2


def short_eccentricity(x: float, sommerfeld: float) -> float:
    """Eccentricity ratio of the short-bearing form, by halving: its Sommerfeld number falls all the way from 0 to 1."""
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2.0
        if short_sommerfeld(x, middle) > sommerfeld:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def _short_state(x: float, sommerfeld: float) -> FilmState | None:
    e = short_eccentricity(x, sommerfeld)
    if e > THINNEST:
        return None
    root = math.sqrt(1.0 - e**2)
    attitude = math.atan2(math.pi * root, 4.0 * e)
    friction = 2.0 * math.pi**2 * sommerfeld / root + e / 2.0 * math.sin(attitude)
    cosine = (1.0 - math.sqrt(1.0 + 24.0 * e**2)) / (4.0 * e) if e > 1e-6 else 0.0
    sine = math.sqrt(1.0 - cosine**2)
    peak = 1.0 / (6.0 * math.pi * x**2 * e * sine / (1.0 + e * cosine) ** 3 * sommerfeld)
    return FilmState(e, friction, math.pi * (1.0 + e), 2.0 * e / (1.0 + e), peak)


def monotone(xs: Sequence[float], ys: Sequence[float], x: float) -> float:
    """Piecewise cubic through rising ``xs`` that never overshoots the ``ys`` (Fritsch and Butland's slopes)."""
    i = max(0, min(len(xs) - 2, bisect_right(xs, x) - 1))
    h = xs[i + 1] - xs[i]
    t = (x - xs[i]) / h
    a, b = _slope(xs, ys, i) * h, _slope(xs, ys, i + 1) * h
    rise = ys[i + 1] - ys[i]
    return ys[i] + t * (a + t * (3.0 * rise - 2.0 * a - b + t * (a + b - 2.0 * rise)))


def _slope(xs: Sequence[float], ys: Sequence[float], i: int) -> float:
    last = len(xs) - 1
    if 0 < i < last:
        h0, h1 = xs[i] - xs[i - 1], xs[i + 1] - xs[i]
        d0, d1 = (ys[i] - ys[i - 1]) / h0, (ys[i + 1] - ys[i]) / h1
        return 0.0 if d0 * d1 <= 0.0 else 3.0 * (h0 + h1) / ((2.0 * h1 + h0) / d0 + (h1 + 2.0 * h0) / d1)
    j, k, m = (0, 1, 2) if i == 0 else (last, last - 1, last - 2)
    h0, h1 = xs[k] - xs[j], xs[m] - xs[k]
    d0, d1 = (ys[k] - ys[j]) / h0, (ys[m] - ys[k]) / h1
    slope = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1)
    if slope * d0 <= 0.0:
        return 0.0
    return 3.0 * d0 if d0 * d1 <= 0.0 and abs(slope) > abs(3.0 * d0) else slope
