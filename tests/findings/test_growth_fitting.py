"""The curve fitter against certified and published fits, scipy, and simulation."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.findings.growth.curves import (
    CURVES,
    GOMPERTZ,
    LOGISTIC,
    log_weight,
)
from pipeline.findings.growth.fitting import aicc, fit_curves, least_squares
from tests.findings.growth_data import (
    CHICK_1,
    CHICK_DAYS,
    DNASE_CONCENTRATIONS,
    DNASE_DENSITIES,
    LOBLOLLY_329,
    LOBLOLLY_AGES,
    MISRA1A_X,
    MISRA1A_Y,
    ORANGE,
    ORANGE_AGES,
    RAT42_X,
    RAT42_Y,
    VON_BERTALANFFY_LENGTH,
)
from tests.findings.natural_fits import fit_natural

# nls with SSlogis on each tree: Asym, xmid, scal, residual sum of squares. Recomputed with scipy; Pinheiro & Bates 2000
# agree to four digits (from memory).
ORANGE_LOGISTIC = {
    1: (154.1630, 627.1932, 362.5717, 176.9949),
    2: (218.9983, 700.3451, 332.4934, 290.7189),
    3: (158.8295, 734.8422, 400.9549, 156.6708),
    4: (225.3039, 710.7053, 303.1440, 389.5107),
    5: (207.2579, 861.3038, 379.9459, 259.7001),
}


def _series(days, weights):
    return np.array(days, dtype=float), np.array(weights, dtype=float)


def test_least_squares__rat42_certified():
    """NIST StRD Rat42: b1 / (1 + exp(b2 - b3 x)), certified values."""
    fit = fit_natural(LOGISTIC, RAT42_X, RAT42_Y)
    found = fit.grown, fit.rate * fit.inflection(), fit.rate, fit.squares
    assert found == pytest.approx((72.462237576, 2.6180768402, 0.067359200066, 8.0565229338), rel=1e-7)
    assert fit.grown * fit.log_errors[0] == pytest.approx(1.7340283401, rel=1e-6)
    assert fit.rate * fit.log_errors[2] == pytest.approx(0.0034465663377, rel=1e-6)


def test_least_squares__misra1a_certified():
    """NIST StRD Misra1a: b1 (1 - exp(-b2 x)), a von Bertalanffy length from 0; its weight at 0 is held at nothing."""
    x, y = np.array([MISRA1A_X]), np.array([MISRA1A_Y])

    def model(parameters, index):
        whole = np.insert(parameters, 1, -60.0, axis=1)
        logs, jacobian = log_weight(whole, np.full(len(index), VON_BERTALANFFY_LENGTH.power), x[index])
        return np.exp(logs), np.exp(logs)[..., None] * jacobian[..., [0, 2]]

    start = np.log([[500.0, 1e-4]])  # NIST's own first start
    found, squares = least_squares(model, start, y, np.ones(y.shape, dtype=bool), np.full((1, 2), np.inf))
    assert np.exp(found[0]) == pytest.approx((238.94212918, 5.5015643181e-4), rel=1e-7)
    assert squares[0] == pytest.approx(0.12455138894, rel=1e-7)


@pytest.mark.parametrize("tree", ORANGE)
def test_least_squares__orange_trees_published(tree):
    fit = fit_natural(LOGISTIC, ORANGE_AGES, ORANGE[tree])
    found = fit.grown, fit.inflection(), 1 / fit.rate, fit.squares
    assert found == pytest.approx(ORANGE_LOGISTIC[tree], rel=2e-5)


def test_least_squares__chick_1_published():
    """R help of SSlogis, ChickWeight chick 1; optimum recomputed with scipy."""
    fit = fit_natural(LOGISTIC, CHICK_DAYS, CHICK_1)
    assert (fit.grown, fit.inflection(), 1 / fit.rate) == pytest.approx(
        (937.0206, 35.22279, 11.40519), rel=1e-4
    )
    assert fit.grown * fit.log_errors[0] == pytest.approx(465.86, rel=1e-3)


def test_least_squares__dnase_gompertz_published():
    """R stats examples, SSgompertz on DNase run 1: Asym exp(-b2 b3^x) with x the log concentration."""
    x = np.repeat(np.log(DNASE_CONCENTRATIONS), 2)
    fit = fit_natural(GOMPERTZ, list(x), DNASE_DENSITIES)
    b2 = np.log(fit.grown / fit.first) * np.exp(fit.rate * x[0])
    assert (fit.grown, b2, np.exp(-fit.rate)) == pytest.approx((4.60333, 2.27134, 0.71647), rel=1e-5)
    assert fit.grown * fit.log_errors[0] == pytest.approx(0.65321, rel=1e-4)
    assert fit_natural(LOGISTIC, list(x), DNASE_DENSITIES).squares == pytest.approx(0.0047896, rel=1e-4)


def test_least_squares__loblolly_von_bertalanffy_published():
    """R stats examples, SSasymp on Loblolly seed 329."""
    fit = fit_natural(VON_BERTALANFFY_LENGTH, LOBLOLLY_AGES, LOBLOLLY_329)
    assert (fit.grown, np.log(fit.rate)) == pytest.approx((94.1282, -3.2176), rel=2e-5)
    assert (fit.grown * fit.log_errors[0], fit.log_errors[2]) == pytest.approx((8.4030, 0.1386), rel=1e-3)
    assert fit.squares == pytest.approx(1.684401, rel=1e-6)


def test_least_squares__orange_tree_3_ranks_the_curves():
    """Residual sums of squares recomputed with scipy."""
    curves = (LOGISTIC, GOMPERTZ, VON_BERTALANFFY_LENGTH)
    squares = [fit_natural(curve, ORANGE_AGES, ORANGE[3]).squares for curve in curves]
    assert squares == pytest.approx([156.671, 181.369, 242.520], rel=1e-5)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6), st.integers(4, 14), st.floats(0.0, 0.4))
def test_fit_curves__no_worse_than_scipy(seed, n, noise):
    from scipy.optimize import least_squares as scipy_least_squares

    rng = np.random.default_rng(seed)
    days = np.sort(rng.choice(2500, n, replace=False)).astype(float)
    weights = 2000 * np.exp(-3.5 * np.exp(-days / 500) + rng.normal(0, noise, n))
    (fit,) = fit_curves([(days, weights)])
    since = (days - days.min()) / 365.25
    for curve, start in zip(fit.curves, fit.parameters, strict=True):
        ours = np.sum((log_weight(start, curve.power, since)[0] - np.log(weights)) ** 2)
        top = np.log(weights.max()) + np.log(50) + 1e-9
        theirs = scipy_least_squares(
            lambda p, q=curve.power: log_weight(p, q, since)[0] - np.log(weights),
            np.minimum(start, top - 1e-6),
            jac=lambda p, q=curve.power: log_weight(p, q, since)[1],
            bounds=([-np.inf] * 3, [top, np.inf, np.inf]),
        )
        assert ours <= 2 * theirs.cost * (1 + 1e-3) + 1e-12  # weights that fall leave a direction all but flat


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 3000), st.floats(0.1, 1e5)), min_size=4, max_size=12))
def test_fit_curves__answers_any_weighings_in_any_order(pairs):
    (fit,), (other,) = (fit_curves([_series(*zip(*rows, strict=True))]) for rows in (pairs, pairs[::-1]))
    if len({day for day, _ in pairs}) < 4:
        assert fit is None and other is None
        return
    weight, low, high = fit.interval(np.array([fit.start, fit.last, fit.last + 2000.0]))
    assert np.all(np.isfinite([weight, low, high])) and np.all((low <= weight) & (weight <= high))
    np.testing.assert_array_equal(fit.parameters, other.parameters)


def test_fit_curves__silent_below_four_days():
    short = _series([1, 50, 90, 90], [60, 80, 95, 96])
    assert fit_curves([short, _series([], [])]) == [None, None]


def test_fit_curves__same_alone_as_among_others():
    long = _series(range(0, 1200, 100), np.linspace(60, 900, 12))
    tree = _series(ORANGE_AGES, ORANGE[1])
    together, alone = fit_curves([long, tree])[1], fit_curves([tree])[0]
    np.testing.assert_allclose(together.parameters, alone.parameters, rtol=1e-6)


@pytest.mark.parametrize("truth", CURVES, ids=lambda curve: curve.name)
def test_fit_curves__chooses_the_curve_that_made_the_weights(truth):
    days = np.linspace(0, 2500, 30).round()
    rng = np.random.default_rng(5)
    exact, _ = log_weight(np.log([2000.0, 60.0, 0.9]), truth.power, days / 365.25)
    (fit,) = fit_curves([(days, np.exp(exact + rng.normal(0, 0.02, 30)))])
    assert fit.curve == truth and fit.weights[0] > 0.95
    assert fit.grown()[0] == pytest.approx(2000, rel=0.06)


def test_grown__undetermined_where_the_curve_has_not_levelled_off():
    """ChickWeight chick 1: the asymptote moves from 937 to 349 with one more parameter (R stats examples). Orange tree 3:
    a von Bertalanffy asymptote of 528 +- 852 (recomputed with scipy)."""
    (chick,) = fit_curves([_series(CHICK_DAYS, CHICK_1)])
    (tree,) = fit_curves([_series(ORANGE_AGES, ORANGE[3])], [VON_BERTALANFFY_LENGTH])
    assert np.all(np.isnan(chick.grown())) and np.all(np.isnan(tree.grown()))


def test_grown__determined_where_it_has():
    """NIST's rats, whose certified asymptote is 72.46 +- 1.73 on the natural scale."""
    (rat,) = fit_curves([_series(RAT42_X, RAT42_Y)], [LOGISTIC])
    value, low, high = rat.grown()
    assert low < 72.46 < high and high / low < 1.3 and value == pytest.approx(72.46, rel=0.1)


def test_aicc__equals_statsmodels():
    from statsmodels.tools.eval_measures import aicc as reference

    n, squares = 12, np.array([3.0, 1.7])
    likelihood = -n / 2 * (np.log(2 * np.pi * squares / n) + 1)
    expected = reference(likelihood[0], n, 4) - reference(likelihood[1], n, 4)
    assert aicc(squares[0], n, 4) - aicc(squares[1], n, 4) == pytest.approx(expected)
