"""When weight, age and rest are all met: exact days, products of chances, and the coverage of the intervals."""

from datetime import date

import numpy as np
import pytest

from pipeline.findings.growth.curves import CURVES, log_weight
from pipeline.findings.growth.fitting import fit_curves
from pipeline.findings.growth.readiness import (
    add_months,
    coming_season,
    met_between,
    met_by_growth,
    met_on,
    readiness,
    unknown,
)

TODAY = date(2026, 6, 1)
SEASON = date(2027, 1, 1)


def _day(text):
    return date.fromisoformat(text).toordinal()


def _levelling(grown=2000.0, noise=0.03):
    days = np.arange(0, 1100, 70.0)
    logs, _ = log_weight(np.log([grown, 60.0, 1.2]), CURVES[1].power, days / 365.25)
    shaken = logs + noise * np.sin(np.arange(len(days)) * 2.3)
    return fit_curves([(days + _day("2023-03-01"), np.exp(shaken))])[0]


def test_readiness__known_conditions_give_the_last_day():
    asked = [
        met_on("weight", _day("2025-02-01")),
        met_on("age", _day("2026-09-14")),
        met_on("rest", _day("2026-08-01")),
    ]
    answer = readiness(asked, TODAY, SEASON)
    assert {answer.on, answer.early, answer.late} == {_day("2026-09-14")}
    assert (answer.p_ready, answer.blocked_by) == (1.0, "age")


def test_readiness__nothing_waits_when_all_are_past():
    answer = readiness(
        [met_on("weight", _day("2025-02-01")), met_on("age", _day("2024-01-01"))], TODAY, SEASON
    )
    assert (answer.on, answer.blocked_by) == (_day("2025-02-01"), "nothing")


def test_readiness__a_bare_year_spreads_evenly():
    asked = [met_on("weight", _day("2025-02-01")), met_between("age", _day("2026-07-01"), _day("2027-06-30"))]
    answer = readiness(asked, TODAY, SEASON)
    assert (answer.early, answer.on, answer.late) == (
        _day("2026-08-06"),
        _day("2026-12-30"),
        _day("2027-05-25"),
    )
    assert answer.p_ready == pytest.approx(185 / 365)  # 1 July to 1 January, both counted


def test_readiness__two_uncertain_conditions_multiply():
    asked = [met_between("age", 740000, 740099), met_between("rest", 740000, 740099)]
    answer = readiness(asked, date.fromordinal(739990), date.fromordinal(740049))
    assert answer.p_ready == pytest.approx(0.25)
    assert answer.on == 740000 + 70  # the first day on which (d + 1)^2 / 100^2 reaches one half


def test_readiness__unknown_gives_no_date_and_no_chance():
    answer = readiness([unknown("weight"), met_on("age", _day("2025-01-01"))], TODAY, SEASON)
    assert (answer.on, answer.early, answer.late, answer.blocked_by) == (None, None, None, "weight")
    assert np.isnan(answer.p_ready)


def test_readiness__certainly_not_ready_although_weight_is_unknown():
    answer = readiness([unknown("weight"), met_on("age", _day("2028-01-01"))], TODAY, SEASON)
    assert answer.p_ready == 0.0


def test_readiness__late_end_stays_open_near_the_grown_weight():
    fit = _levelling()
    _, low, high = fit.grown()
    answer = readiness([met_by_growth("weight", fit, (low + high) / 2 * 0.99)], TODAY, SEASON)
    assert answer.early < answer.on and answer.late is None and answer.blocked_by == "weight"


def test_readiness__a_weight_beyond_reach_has_no_date():
    answer = readiness([met_by_growth("weight", _levelling(), 3000)], TODAY, SEASON)
    assert (answer.on, answer.late, answer.blocked_by) == (None, None, "weight")
    assert answer.p_ready < 0.01


def test_readiness__a_curve_past_the_weight_still_waits_for_the_scale():
    fit = _levelling()
    answer = readiness([met_by_growth("weight", fit, 1000)], date.fromordinal(fit.last + 200), SEASON)
    assert answer.on == fit.last + 1 and answer.blocked_by == "weight"


def test_readiness__a_weight_on_the_way_down_is_not_called_reached():
    """Courses that fall from 2,400 g toward 1,500 g, last weighed below 1,800 g and never above it again."""
    rng = np.random.default_rng(4)
    days = np.arange(0, 900, 60.0)
    logs, _ = log_weight(np.log([1500.0, 2400.0, 0.6]), CURVES[1].power, days / 365.25)
    series = []
    while len(series) < 200:
        weights = np.exp(logs + rng.normal(0, 0.03, len(days)))
        keep = np.flatnonzero(weights < 1800)[0] + 1
        if keep > 6:
            series.append((_day("2023-01-01") + days[:keep], weights[:keep]))
    answers = [
        readiness([met_by_growth("weight", fit, 1800)], TODAY, SEASON) for fit in fit_curves(series) if fit
    ]
    assert np.mean([answer.on is not None for answer in answers]) < 0.2
    assert all((answer.on is not None) == (answer.p_ready >= 0.5) for answer in answers)


@pytest.mark.parametrize("truth", CURVES, ids=lambda curve: curve.name)
def test_readiness__intervals_cover_four_in_five(truth):
    """Dates a tenth of a year to a year ahead of eight weighings, whichever curve made them."""
    rng = np.random.default_rng(8)
    rate = {"logistic": 2.2, "Gompertz": 1.1, "von Bertalanffy": 0.7}[truth.name]
    series, truths = [], []
    for _ in range(400):
        parameters = np.log([2500, 60, rate]) + rng.normal(0, 0.15, 3)
        days = np.unique(np.append(0, rng.integers(20, rng.integers(440, 910), 7))).astype(float)
        day = days[-1] + rng.integers(36, 365)
        logs, _ = log_weight(parameters, truth.power, np.append(days, day) / 365.25)
        series.append((days, np.exp(logs[:-1] + rng.normal(0, 0.05, len(days)))))
        truths.append((day, float(np.exp(logs[-1]))))
    held = [_covers(fit, *known) for fit, known in zip(fit_curves(series), truths, strict=True) if fit]
    assert 0.72 <= np.mean(held) <= 0.88


def _covers(fit, day, weight):
    today = date.fromordinal(max(fit.last, 1))
    answer = readiness([met_by_growth("weight", fit, weight)], today, today)
    return (
        answer.early is not None
        and answer.early <= day + 1
        and (answer.late is None or day - 1 <= answer.late)
    )


@pytest.mark.parametrize(
    ("start", "months", "end"),
    [
        ("2021-06-14", 42, "2024-12-14"),
        ("2024-01-31", 1, "2024-02-29"),
        ("2024-01-31", 1.5, "2024-03-15"),
        ("2024-05-05", 0, "2024-05-05"),
    ],
)
def test_add_months__keeps_the_day_of_the_month(start, months, end):
    assert add_months(date.fromisoformat(start), months) == date.fromisoformat(end)


@pytest.mark.parametrize(
    ("as_of", "starts", "season"),
    [("2026-06-01", 6, "2026-06-01"), ("2026-06-02", 6, "2027-06-01"), ("2026-06-02", 11, "2026-11-01")],
)
def test_coming_season__on_or_after_today(as_of, starts, season):
    assert coming_season(date.fromisoformat(as_of), starts) == date.fromisoformat(season)
