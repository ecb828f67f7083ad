"""Our own Student t and normal against scipy, which referees and stays out of the service."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from halfthou_service.bench.probability import INFINITE, cdf, chances, quantile

DOFS = (1e-3, 0.01, 0.1, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.2, 7.3, 10.0, 16.7, 30.0, 100.0, 1e3, 9_999.0, 1e4, 1e5, 1e6, 1e8, 1e10, 1e12, 1e15)
TS = (1e-9, 1e-6, 1e-3, 0.01, 0.1, 0.5, 0.84, 1.0, 1.28, 1.645, 2.33, 2.92, 3.09, 5.0, 8.0, 12.71, 20.0, 37.0, 300.0, 1e4, 1e8, 1e30)
REL = 1e-12


@pytest.mark.parametrize("dof", DOFS)
def test_cdf_is_scipys_student_t(dof: float) -> None:
    for t in (*TS, *(-t for t in TS)):
        expected = float(stats.t.cdf(t, dof))
        if dof == 1.0 and abs(t) < 1:  # scipy loses the Cauchy centre below 1e-6; the arctangent is exact
            expected = 0.5 + math.atan(t) / math.pi
        assert cdf(t, dof) == pytest.approx(expected, rel=REL, abs=1e-300), t


def test_cdf_without_dof_is_scipys_normal() -> None:
    grid = np.linspace(-37.5, 37.5, 1501)
    ours = np.array([cdf(float(z)) for z in grid])
    assert np.allclose(ours, stats.norm.cdf(grid), rtol=REL, atol=0)


def test_cdf_at_the_ends() -> None:
    for dof in (0.5, 3.0, INFINITE):
        assert (cdf(-math.inf, dof), cdf(0.0, dof), cdf(math.inf, dof)) == (0.0, 0.5, 1.0)
    # so few degrees of freedom that even 1e200 is not far out: the tail falls as |t| to the power -dof
    assert cdf(-1e200, 1e-3) == pytest.approx(cdf(-1e140, 1e-3) * 10 ** (-60 * 1e-3), rel=1e-9)
    for dof in (0.0, -1.0, math.nan):
        with pytest.raises(ValueError, match="positive"):
            cdf(1.0, dof)


@pytest.mark.parametrize("dof", [d for d in DOFS if d >= 0.1])
def test_quantile_is_scipys(dof: float) -> None:
    for p in (1e-12, 1e-6, 0.005, 0.05, 0.3, 0.7, 0.9, 0.95, 0.975, 0.99, 0.999, 1 - 1e-6):
        expected = float(stats.t.ppf(p, dof))
        if not math.isfinite(expected) or abs(expected) > 1e100:
            continue
        assert quantile(p, dof) == pytest.approx(expected, rel=1e-9 if p > 0.5 else 1e-10), p


def test_quantile_of_the_normal() -> None:
    for p in (1e-12, 0.05, 0.5, 0.8, 0.95, 0.999):
        assert quantile(p) == pytest.approx(float(stats.norm.ppf(p)), rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("p", [0.0, 1.0, -0.1, 1.1, math.nan])
def test_a_quantile_needs_a_chance_strictly_inside(p: float) -> None:
    with pytest.raises(ValueError, match="strictly between"):
        quantile(p)


@settings(deadline=None)
@given(p=st.floats(1e-9, 1 - 1e-9), dof=st.one_of(st.floats(0.5, 1e9), st.just(INFINITE)))
def test_quantile_undoes_cdf(p: float, dof: float) -> None:
    assert cdf(quantile(p, dof), dof) == pytest.approx(p, rel=1e-9)


@settings(deadline=None)
@given(low=st.floats(-60, 60), width=st.floats(0, 100), dof=st.one_of(st.floats(0.3, 1e7), st.just(INFINITE)))
def test_chances_are_scipys_and_add_to_one(low: float, width: float, dof: float) -> None:
    high = low + width
    law = stats.norm if dof == INFINITE else stats.t(dof)
    below, inside, above = chances(low, high, dof)
    assert below == pytest.approx(float(law.cdf(low)), rel=REL, abs=1e-14)
    assert above == pytest.approx(float(law.sf(high)), rel=REL, abs=1e-14)
    assert inside == pytest.approx(1 - float(law.cdf(low)) - float(law.sf(high)), rel=REL, abs=1e-14)
    assert below + inside + above == pytest.approx(1.0, rel=1e-12)


@pytest.mark.parametrize(("z_low", "z_high"), [(-math.inf, 1.3), (-0.4, math.inf), (-math.inf, math.inf)])
def test_an_open_side_takes_nothing(z_low: float, z_high: float) -> None:
    below, inside, above = chances(z_low, z_high)
    assert (below == 0.0, above == 0.0) == (z_low == -math.inf, z_high == math.inf)
    assert inside == pytest.approx(float(stats.norm.cdf(z_high) - stats.norm.cdf(z_low)), rel=REL)


@settings(deadline=None)
@given(y=st.floats(0, 10), high=st.floats(0.001, 10), u=st.floats(0.01, 10), dof=st.one_of(st.floats(2, 1e6), st.just(INFINITE)))
def test_cut_off_at_zero(y: float, high: float, u: float, dof: float) -> None:
    """reference/metrology section 7: pc = [F((TU-y)/u) - F(-y/u)] / [1 - F(-y/u)]."""
    law = stats.norm if dof == INFINITE else stats.t(dof)
    zero, top = -y / u, (high - y) / u
    expected = 1 - float(law.sf(top)) / float(law.sf(zero))
    below, inside, above = chances(-math.inf, top, dof, zero)
    assert below == 0.0
    assert inside == pytest.approx(expected, rel=1e-9, abs=1e-12)
    assert above == pytest.approx(1 - expected, rel=1e-9, abs=1e-12)


def test_nothing_left_above_zero() -> None:
    assert chances(-math.inf, 50.0, INFINITE, 45.0) == (0.0, 1.0, 0.0)
    assert chances(46.0, 50.0, INFINITE, 45.0) == (1.0, 0.0, 0.0)
