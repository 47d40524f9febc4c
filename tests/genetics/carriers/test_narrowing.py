"""The narrow part summed out and brought back, against one calibration of the whole."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pipeline.genetics.carriers.elimination import calibrate
from pipeline.genetics.carriers.factors import Factor
from pipeline.genetics.carriers.narrowing import Widened, narrowed
from pipeline.genetics.carriers.ordering import min_fill
from tests.genetics.carriers.test_elimination import SIZES, random_factors


@settings(max_examples=60)
@given(st.integers(0, 2**32 - 1), st.sampled_from([1, 5, 9, 20, 1000]))
def test_widened__brings_back_every_marginal(seed, widest):
    factors = random_factors(np.random.default_rng(seed), lanes=1)
    scopes = [f.scope for f in factors]
    whole = calibrate(min_fill(scopes, SIZES), SIZES, factors)
    assume(np.isfinite(whole.log_evidence).all())
    part = narrowed(min_fill(scopes, SIZES, widest=widest), SIZES, factors)
    core = min_fill([f.scope for f in part.core], SIZES)
    wide = Widened(part, calibrate(core, SIZES, part.core))
    for factor in factors:
        assert wide.marginal(factor.scope) == pytest.approx(whole.marginal(factor.scope), abs=1e-12)


def test_narrowed__no_factor_of_the_core_lies_within_another():
    part = narrowed(
        min_fill([(0, 1, 2, 3, 4)], SIZES, widest=1), SIZES, random_factors(np.random.default_rng(1))
    )
    scopes = [set(f.scope) for f in part.core]
    assert not any(a <= b for i, a in enumerate(scopes) for j, b in enumerate(scopes) if i != j)


def test_narrowed__the_core_keeps_what_plain_numbers_would_lose():
    """e^-1000 is 0 as a number; it decides where other records say e^-2000."""
    one = Factor((0, 1), np.array([[0.0, -1000.0], [-2.0, -1500.0]]).reshape(1, 1, 2, 2))
    part = narrowed(min_fill([(0, 1)], (2, 2), widest=1), (2, 2), [one])
    (core,) = part.core
    assert core.scope == (0, 1)
    np.testing.assert_array_equal(core.logs, one.logs)
