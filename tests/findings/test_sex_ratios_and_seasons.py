"""Sexes against one to one, and the share of eggs that lived, against scipy, statsmodels and published counts."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest, false_discovery_control
from statsmodels.stats.proportion import proportion_confint

from pipeline.findings.seasons import season_summary, wilson_interval
from pipeline.findings.sex_ratios import equal_sexes_p, sex_ratios
from pipeline.store.tables import findings_table


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 400), st.integers(0, 400))
def test_equal_sexes_p__equals_scipys_binomtest(males, females):
    expected = binomtest(males, males + females).pvalue if males + females else 1.0
    assert equal_sexes_p(np.array([males]), np.array([females]))[0] == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(("one", "other", "p"), [(2, 8, 0.1094), (10, 17, 0.2478), (140, 106, 0.03516)])
def test_equal_sexes_p__handbook_examples(one, other, p):
    """McDonald 2014, Handbook of Biological Statistics, pp. 30 and 34."""
    assert equal_sexes_p(np.array([one]), np.array([other]))[0] == pytest.approx(p, rel=5e-4)


def counts(*rows):
    frame = pd.DataFrame(rows, columns=["scope", "males", "females"])
    return frame.assign(species="Corn", pairing=[f"P{i}" for i in range(len(rows))], clutch=1)


def test_sex_ratios__verdicts_and_families():
    found = sex_ratios(counts(("clutch", 5, 0), ("clutch", 6, 0), ("clutch", 5, 5), ("pairing", 20, 2)), 0.05)
    assert found["verdict"].tolist() == ["too few", "strained", "fits", "departs"]
    assert found["q"].tolist()[:3] == pytest.approx(false_discovery_control(found["p"][:3]).tolist())
    assert found["q"].tolist()[3] == found["p"].tolist()[3]


def test_sex_ratios__columns_are_the_registrys():
    assert ["book", *sex_ratios(counts(), 0.05).columns] == findings_table("sex_ratios").names


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 300).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_wilson_interval__equals_statsmodels(both):
    low, high = wilson_interval(*(np.array([float(x)]) for x in both))
    assert (low[0], high[0]) == pytest.approx(proportion_confint(*both, method="wilson"), abs=1e-9)


def test_season_summary__share_that_lived_and_none_without_young():
    columns = [
        "season",
        "species",
        "pairings",
        "clutches",
        "eggs_or_young",
        "live",
        "stillborn",
        "died_in_egg",
        "slugs",
    ]
    rows = [(2024, "Corn", 2, 2, 20, 15, 1, 2, 2), (2025, "Corn", 1, 0, 0, 0, 0, 0, 0)]
    found = season_summary(pd.DataFrame(rows, columns=columns))
    assert found["success"].tolist()[0] == 0.75
    assert found[["success", "success_low", "success_high"]].iloc[1].isna().all()
    assert ["book", *found.columns] == findings_table("season_summary").names
