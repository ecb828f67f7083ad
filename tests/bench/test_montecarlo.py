"""The distributions of clearances, tapers, ranges and wear against brute force: draws of the stated model, fixed seeds, numpy only here.

The two must agree within sampling error: four standard errors of a share of a quarter of a million draws, plus what a chance told to six
figures may be off by.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from tests.bench.survey_shop import answer, figure, grid, shop

from halfthou_service.bench.extremes import (
    gap_at_most,
    largest_at_most,
    range_at_most,
    scales,
    with_shared,
    worn_at_most,
)
from halfthou_service.bench.surveys.survey import clearances

DRAWS = 250_000
SHARES = (0.02, 0.05, 0.3, 0.7, 0.95, 0.99)


def agrees(draws: np.ndarray, at_most: Callable[[float], float]) -> None:
    """At several quantiles of the draws."""
    for share in SHARES:
        x = float(np.quantile(draws, share))
        seen = float(np.mean(draws <= x))
        within = 4.0 * math.sqrt(max(seen * (1.0 - seen), 1e-5) / len(draws)) + 1e-6
        assert at_most(x) == pytest.approx(seen, rel=0, abs=within), (share, x)


def drawn(seed: int, sizes: list[float], u: float) -> np.ndarray:
    return np.asarray(sizes) + u * np.random.default_rng(seed).standard_normal((DRAWS, len(sizes)))


SIZES = [[0.0, 1.0], [0.0, 0.0, 0.0], [0.0, 0.3, 1.1], [5.0, 5.2, 5.1, 4.9, 5.6, 5.0], [0.0, 40.0, 80.0, 80.5], [0.0] * 18]


@pytest.mark.parametrize("sizes", SIZES, ids=str)
@pytest.mark.parametrize("u", [0.05, 0.5, 2.0])
def test_largest_minus_smallest(sizes: list[float], u: float) -> None:
    found = drawn(11, sizes, u)
    agrees(found.max(axis=1) - found.min(axis=1), lambda r: range_at_most(sizes, u, r))


def test_a_range_is_not_the_square_root_of_two() -> None:
    """Six readings of a perfect part: the mean range is d2 = 2.534 u (control-chart constant), a difference of two only 1.128 u."""
    for n, d2 in ((2, 1.128), (3, 1.693), (4, 2.059), (6, 2.534)):
        step = 0.001
        mean = sum((1.0 - range_at_most([0.0] * n, 1.0, k * step)) * step for k in range(9000))
        assert mean == pytest.approx(d2, abs=0.0015)


@pytest.mark.parametrize("shared", [0.0, 0.02, 0.5, 12.0])
@pytest.mark.parametrize("sizes", SIZES[1:4], ids=str)
def test_wear_from_a_size_when_new(sizes: list[float], shared: float) -> None:
    found = drawn(12, sizes, 0.4).max(axis=1) + shared * np.random.default_rng(13).standard_normal(DRAWS) - 0.25
    agrees(found, lambda wear: worn_at_most(sizes, 0.4, shared, 0.25, wear))


CLEARANCES = [
    ([10.0, 10.1, 11.0, 10.3], 0.3, [5.0, 5.2, 4.1], 0.1, 0.05), ([10.0] * 6, 0.3, [5.0] * 6, 0.1, 0.8), ([10.0] * 6, 0.02, [5.0] * 6, 0.3, 3.0),
    ([10.0, 12.0], 0.3, [5.0], 0.002, 0.0), ([1.0], 0.2, [0.0], 0.2, 0.2), ([10.0] * 18, 0.1, [9.0] * 18, 0.1, 0.1),
]  # fmt: skip


@pytest.mark.parametrize(("bores", "u_bore", "shafts", "u_shaft", "shared"), CLEARANCES)
def test_clearance_of_a_bore_on_a_shaft(bores: list[float], u_bore: float, shafts: list[float], u_shaft: float, shared: float) -> None:
    bore, shaft = drawn(14, bores, u_bore), drawn(15, shafts, u_shaft)
    both = shared * np.random.default_rng(16).standard_normal(DRAWS)
    agrees(bore.min(axis=1) - shaft.max(axis=1) + both, lambda g: gap_at_most(bores, u_bore, shafts, u_shaft, shared, g, True))
    agrees(bore.max(axis=1) - shaft.min(axis=1) + both, lambda g: gap_at_most(bores, u_bore, shafts, u_shaft, shared, g, False))


@pytest.mark.parametrize(("u", "shared"), [(0.1, 4.0), (1.0, 0.01), (0.02, 0.9)])
def test_largest_size_with_a_shared_error(u: float, shared: float) -> None:
    sizes = [1.0, 1.2, 1.1]
    found = drawn(17, sizes, u).max(axis=1) + shared * np.random.default_rng(18).standard_normal(DRAWS)
    agrees(found, lambda x: with_shared(lambda s: largest_at_most(sizes, u, x - s), shared, u))


@pytest.mark.parametrize("dof", [3, 6, 17])
def test_scatter_from_few_readings(dof: int) -> None:
    """A range whose u was worked out from scatter: u sqrt(dof / chi-square) in place of u."""
    rng = np.random.default_rng(19)
    u = np.sqrt(dof / rng.chisquare(dof, DRAWS))[:, None]
    found = np.array([0.0, 0.4, 1.0]) + 0.5 * u * rng.standard_normal((DRAWS, 3))
    ranges = found.max(axis=1) - found.min(axis=1)
    agrees(ranges, lambda r: math.fsum(w * range_at_most([0.0, 0.4, 1.0], 0.5 * s, r) for s, w in scales(float(dof))))


# -- the figures of a survey, from what was sent to its own distribution ---------------------------------------------

ROWS = [[2.0004, 2.0001, 2.0003], [2.0006, 2.0002, 2.0002], [2.0009, 2.0004, 2.0005]]
RANDOM, SHARED = 0.00012, 0.0002


def model(seed: int = 21, rows: list[list[float]] = ROWS, random: float = RANDOM, shared: float = SHARED) -> np.ndarray:
    """Draws x stations x axes."""
    rng = np.random.default_rng(seed)
    sizes = np.asarray(rows)
    return sizes + random * rng.standard_normal((DRAWS, *sizes.shape)) + shared * rng.standard_normal((DRAWS, 1, 1))


def test_every_figure_of_a_bore() -> None:
    found = answer("hole", grid(ROWS), u=f"{RANDOM} in", shared=f"{SHARED} in")
    draws = model()
    means = draws.mean(axis=2)
    told = {
        "smallest": draws.min(axis=(1, 2)), "largest": draws.max(axis=(1, 2)), "mean": draws.mean(axis=(1, 2)),
        "out-of-round": (draws.max(axis=2) - draws.min(axis=2)).max(axis=1), "taper": means.max(axis=1) - means.min(axis=1),
        "signed-taper": means[:, 0] - means[:, -1], "wear": draws[:, :2].max(axis=(1, 2)) - draws[:, 2].min(axis=1),
        "taper-on-axis": draws[:, :, 0].max(axis=1) - draws[:, :, 0].min(axis=1),
        "out-of-round-at-station": draws[:, 0].max(axis=1) - draws[:, 0].min(axis=1),
    }  # fmt: skip
    assert set(told) == {f.name for f in found.figures}
    for name, values in told.items():
        agrees(values, figure(found, name).at_most)


def test_taper_of_a_shaft_between_its_ends_on_axes_chosen_beforehand() -> None:
    found = answer("shaft", grid(ROWS), u=f"{RANDOM} in", shared=f"{SHARED} in")
    means = model(22).mean(axis=2)
    agrees(np.abs(means[:, 0] - means[:, 2]), figure(found, "taper").at_most)


@pytest.mark.parametrize("same", [False, True])
def test_wear_of_a_shaft(same: bool) -> None:
    more = {"new": "2.0015 in", "new_uncertainty": "0.0001 in", "measured_by_same_tool": same}
    found = answer("shaft", grid(ROWS), u=f"{RANDOM} in", shared=f"{SHARED} in", **more)
    draws = model(23, shared=0.0 if same else SHARED)
    new = 2.0015 + 0.0001 * np.random.default_rng(24).standard_normal(DRAWS)
    agrees(new - draws.min(axis=(1, 2)), figure(found, "wear").at_most)


@pytest.mark.parametrize("same", [False, True])
def test_clearance_of_two_surveys(same: bool) -> None:
    """One micrometer for both: what is common (0.00015 of the bore's, 0.0002 of the shaft's) drops out as far as the smaller of the two."""
    more = {"measured_by_same_tool": same}
    bore = answer("hole", grid([[2.0024, 2.0026], [2.0025, 2.0027]]), u="0.00012 in", shared="0.00015 in", **more)
    shaft = answer("shaft", grid([[2.0004, 2.0001], [2.0003, 2.0002]]), u="0.00008 in", shared="0.0002 in", **more)
    table = shop().table
    found = clearances(table, table.pairs["play"], bore, shaft)
    rng = np.random.default_rng(25)
    one, other, left = rng.standard_normal((3, DRAWS))
    common = 0.00015 if same else 0.0
    e_bore = common * one + math.sqrt(0.00015**2 - common**2) * other
    e_shaft = common * one + math.sqrt(0.0002**2 - common**2) * left
    bores, shafts = drawn(26, [2.0024, 2.0026, 2.0025, 2.0027], 0.00012), drawn(27, [2.0004, 2.0001, 2.0003, 2.0002], 0.00008)
    agrees(bores.min(axis=1) + e_bore - shafts.max(axis=1) - e_shaft, found.smallest.at_most)
    agrees(bores.max(axis=1) + e_bore - shafts.min(axis=1) - e_shaft, found.largest.at_most)
