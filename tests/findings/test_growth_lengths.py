"""Weights by length: the regression against statsmodels, and where lengths are too few."""

from datetime import date

import numpy as np
import pandas as pd
import pytest

from pipeline.findings.growth.lengths import FEWEST_PAIRS, weight_by_length, with_weights_by_length
from pipeline.findings.growth.weighings import series_by_animal, weighing_points

SPECIES = pd.Series({"B1": "Boa"})


def _points(pairs, alone=(120.0,), state=None):
    """Rows with weight (a cube of the length) and length, then rows with a length alone."""
    lengths = np.append(np.linspace(60, 150, pairs), alone)
    noise = np.exp(0.05 * np.sin(np.arange(pairs) * 1.7))
    weights = np.append(0.001 * lengths[:pairs] ** 3 * noise, [np.nan] * len(alone))
    dates = pd.Timestamp("2024-01-01") + pd.to_timedelta(np.arange(len(lengths)) * 30, unit="D")
    frame = pd.DataFrame(
        {"animal": "B1", "date": dates, "weight": weights, "length": lengths, "state": state}
    )
    return weighing_points(frame, date(2026, 6, 1))


def test_weight_by_length__equals_statsmodels():
    import statsmodels.api as sm

    points = _points(12, alone=()).dropna()
    x, y = np.log(points["length_cm"].to_numpy()), np.log(points["weight_g"].to_numpy())
    reference = sm.OLS(y, sm.add_constant(x)).fit().get_prediction(sm.add_constant(np.log([70.0, 120.0])))
    value, variance = weight_by_length(x, y, np.log([70.0, 120.0]))
    assert value == pytest.approx(reference.predicted_mean)
    assert variance == pytest.approx(reference.se_obs**2)


def test_with_weights_by_length__a_length_stands_in_for_a_weight():
    found = with_weights_by_length(_points(FEWEST_PAIRS), SPECIES)
    row = found[found["state"] == "by length"].iloc[0]
    assert row.weight_g == pytest.approx(0.001 * 120**3, rel=0.1) and row.used and row.rough > 0
    series = series_by_animal(found)["B1"]
    assert len(series.days) == FEWEST_PAIRS and len(series.fit_days) == FEWEST_PAIRS + 1
    assert np.count_nonzero(series.fit_rough) == 1


@pytest.mark.parametrize("change", ["few", "alike", "gravid"])
def test_with_weights_by_length__silent_where_it_can_t_be_told(change):
    points = _points(FEWEST_PAIRS - (change == "few"), state="gravid" if change == "gravid" else None)
    if change == "alike":
        points["length_cm"] = points["length_cm"].clip(100, 110)
    found = with_weights_by_length(points, SPECIES)
    assert not (found["state"] == "by length").any() and found["weight_g"].isna().sum() == 1
