"""Slipped weighings: planted ones found with the value that was meant, sound growth left alone."""

import numpy as np
import pandas as pd
import pytest

from pipeline.findings.growth.curves import CURVES, log_weight
from pipeline.findings.growth.slips import FACTORS, doubt_slips, slips

GRAMS_AN_OUNCE, GRAMS_A_POUND = (
    28.349523125,
    453.59237,
)  # the international avoirdupois ounce and pound (1959), exact


def _growth(seed, n=12, gap=75, noise=0.04, curve=CURVES[1], rate=1.0):
    rng = np.random.default_rng(seed)
    days = np.cumsum(gap + rng.integers(0, 30, n)).astype(float)
    logs, _ = log_weight(np.log([2500.0, 60.0, rate]), curve.power, days / 365.25)
    return days, logs + rng.normal(0, noise, n)


@pytest.mark.parametrize("factor", FACTORS, ids=lambda factor: f"{factor.times:.4g}")
@pytest.mark.parametrize("place", [0, 1, 5, 10, 11])
def test_slips__a_planted_one_is_found_alone(factor, place):
    days, logs = _growth(place)
    typed = logs.copy()
    typed[place] += np.log(factor.times)
    assert slips(days, typed) == [(place, factor)]


def test_slips__two_of_one_animal():
    days, logs = _growth(7)
    logs[4] -= np.log(10)
    logs[8] += np.log(10)
    assert sorted(place for place, _ in slips(days, logs)) == [4, 8]


@pytest.mark.parametrize("curve", CURVES, ids=lambda curve: curve.name)
def test_slips__none_in_sound_growth(curve):
    """Simulated: 300 animals of each curve, fast growers and wide gaps among them."""
    for seed in range(300):
        days, logs = _growth(
            seed, gap=(40, 75, 300)[seed % 3], curve=curve, rate=(0.5, 1.0, 2.0)[seed // 3 % 3], noise=0.06
        )
        assert slips(days, logs) == []


def test_slips__two_weighings_tell_nothing():
    assert slips(np.array([0.0, 30.0]), np.log([500.0, 50.0])) == []


def test_slips__a_year_old_hatchling_may_have_grown_tenfold():
    assert slips(np.array([0.0, 365.0, 420.0]), np.log([60.0, 600.0, 650.0])) == []


def test_doubt_slips__pounds_and_ounces_are_told_with_the_weight_meant():
    points = pd.DataFrame(
        {
            "animal": ["B1"] * 5, "day": np.arange(5) * 60.0, "state": "plain", "used": True,
            "weight_g": [1500, 1550 / GRAMS_A_POUND, 1600, 1620 / GRAMS_AN_OUNCE, 1650],
        }
    )  # fmt: skip
    found = doubt_slips(points)
    assert list(found["used"]) == [True, False, True, False, True]
    assert found["likelier_g"][[1, 3]].tolist() == pytest.approx([1550, 1620])
    assert "pounds" in found["cause"][1] and "ounces" in found["cause"][3]
    assert (found["state"] == "doubted").tolist() == [False, True, False, True, False]
