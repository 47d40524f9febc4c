"""The growth curves against their textbook forms, and their Jacobian against differences."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import approx_fprime

from pipeline.findings.growth.curves import (
    GOMPERTZ,
    LOGISTIC,
    VON_BERTALANFFY,
    log_weight,
)
from tests.findings.growth_data import VON_BERTALANFFY_LENGTH

AGES = np.linspace(0, 8, 9)
GROWN, FIRST, RATE = 2000.0, 60.0, 0.9
# The usual forms, each by its grown weight, rate and a constant that sets the weight at age 0 (common knowledge, no source).
TEXTBOOK = {
    LOGISTIC: GROWN / (1 + (GROWN / FIRST - 1) * np.exp(-RATE * AGES)),
    GOMPERTZ: GROWN * np.exp(-np.log(GROWN / FIRST) * np.exp(-RATE * AGES)),
    VON_BERTALANFFY: GROWN * (1 - (1 - (FIRST / GROWN) ** (1 / 3)) * np.exp(-RATE * AGES)) ** 3,
    VON_BERTALANFFY_LENGTH: GROWN * (1 - (1 - FIRST / GROWN) * np.exp(-RATE * AGES)),
}


@pytest.mark.parametrize("curve", TEXTBOOK, ids=lambda curve: curve.name)
def test_log_weight__is_the_textbook_curve(curve):
    logs, _ = log_weight(np.log([GROWN, FIRST, RATE]), curve.power, AGES)
    np.testing.assert_allclose(np.exp(logs), TEXTBOOK[curve], rtol=1e-8)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(list(TEXTBOOK)),
    st.floats(4, 9),
    st.floats(2, 9.5),
    st.floats(-2, 1.5),
    st.floats(0.01, 6),
)
def test_log_weight__jacobian_equals_differences(curve, grown, first, rate, age):
    parameters = np.array([grown, first, rate])
    slope = approx_fprime(parameters, lambda p: log_weight(p, curve.power, np.array([age]))[0][0], 1e-6)
    np.testing.assert_allclose(
        log_weight(parameters, curve.power, np.array([age]))[1][0], slope, rtol=1e-3, atol=2e-5
    )
