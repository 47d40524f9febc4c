"""The typical price and its range."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from pipeline.findings.prices.typical import typical_price, weighted_median

TODAY = 740000


@given(st.lists(st.floats(1, 1e4), min_size=1, max_size=30))
def test_weighted_median__equal_weights_give_the_median(values):
    assert weighted_median(np.array(values), np.ones(len(values))) == pytest.approx(np.median(values))


def test_typical_price__same_day_is_a_t_prediction_interval():
    prices = np.array([80.0, 95, 100, 105, 130])
    found = typical_price(np.full(5, TODAY), prices, TODAY)
    logs = np.log(prices)
    scatter = np.sqrt(np.sum((logs - np.log(100)) ** 2) / 4)
    low, high = stats.t.interval(0.8, 4, np.log(100), scatter * np.sqrt(1 + 1 / 5))
    assert (found.price, found.low, found.high) == pytest.approx((100, np.exp(low), np.exp(high)))


def test_typical_price__equal_prices_still_have_a_range():
    """Three adverts alike don't make a fourth certain."""
    found = typical_price(TODAY - np.array([300, 200, 100]), np.full(3, 100.0), TODAY)
    assert found.low < found.price < found.high and found.price == pytest.approx(100)


def test_typical_price__recent_prices_weigh_more():
    days = TODAY - np.array([360, 350, 340, 5, 4, 3])
    found = typical_price(days, np.array([200.0, 200, 200, 100, 100, 100]), TODAY)
    assert found.price < 130


def test_typical_price__silent_below_three_in_the_last_year():
    found = typical_price(TODAY - np.array([900, 800, 400, 30, 20]), np.full(5, 100.0), TODAY)
    assert found.n == 2 and np.isnan([found.price, found.low, found.high]).all()


def test_typical_price__range_holds_four_in_five():
    """Of six adverts and a seventh to come, all of one log-normal market (simulation)."""
    rng = np.random.default_rng(3)
    held = 0
    for _ in range(1000):
        prices = np.exp(rng.normal(5, 0.3, 7))
        found = typical_price(TODAY - rng.integers(0, 365, 6), prices[:6], TODAY)
        held += found.low <= prices[6] <= found.high
    assert 0.77 <= held / 1000 <= 0.87
