"""Alerts: what was planted is told, what breeding does is not, and clean books raise few."""

from dataclasses import replace
from datetime import date

import numpy as np
import pandas as pd
import pytest

from tests.findings import simulated_growth
from tests.findings.simulated_growth import BORN, findings_of, grower, weighings, weights_frame

AS_OF = date(2026, 6, 1)
TODAY = AS_OF.toordinal()
GROWN = np.linspace(40, (TODAY - BORN.toordinal()) - 20, 12).round()


def _book(seed=1, n=14, **facts):
    """Animals weighed every ninety days until shortly before AS_OF."""
    rng = np.random.default_rng(seed)
    return [grower(f"A{i:02}", rng, GROWN, **facts) for i in range(n)]


def _changed(own, change):
    """The animal with `change` done to its weights."""
    grams = own.series.grams.copy()
    change(grams)
    return replace(own, series=weighings(own.series.days, grams))


def _alerts(growers, animal="A00", **tables):
    alerts = findings_of(growers, AS_OF, **tables).alerts
    return alerts[alerts["animal"] == animal]


def _loses(grams):
    grams[-1] = 0.84 * grams[-2]


def _calendar(**days):
    """One litter of A00."""
    frame = {"dam": ["A00"]} | {name: [pd.NaT] for name in ("due_on", "born_on", "rested_on")}
    return pd.DataFrame(frame | {name: [pd.Timestamp(day)] for name, day in days.items()})


def test_growth_alerts__weight_lost():
    first, *others = _book(sex="F")
    (alert,) = _alerts([_changed(first, _loses), *others]).itertuples()
    assert alert.kind == "weight lost" and alert.date == pd.Timestamp(date.fromordinal(TODAY - 20))
    assert "Lost 16 % in 91 days" in alert.message and "vet decides" in alert.message


@pytest.mark.parametrize(
    "calendar",
    [_calendar(born_on="2026-04-20"), _calendar(due_on="2026-05-25"), _calendar(born_on="2025-12-20")],
)
def test_growth_alerts__loss_after_a_litter_is_none(calendar):
    first, *others = _book(sex="F")
    assert _alerts([_changed(first, _loses), *others], calendar=calendar).empty


@pytest.mark.parametrize("state", ["gravid", "spent"])
def test_growth_alerts__loss_after_a_weighing_as_gravid_or_spent_is_none(state):
    first, *others = _book(sex="F")
    between = weights_frame("A00", np.array([TODAY - 60.0]), np.array([2500.0]), state)
    assert _alerts([_changed(first, _loses), *others], extra=between).empty


def test_growth_alerts__an_old_litter_excuses_nothing():
    first, *others = _book(sex="F")
    old = _calendar(born_on="2024-06-01")
    assert list(_alerts([_changed(first, _loses), *others], calendar=old)["kind"]) == ["weight lost"]


def test_growth_alerts__no_gain_far_from_grown():
    first, *others = _book(sex="F")

    def stalls(grams):
        grams[6:] = grams[5] * np.array([1.0, 1.01, 1.0, 0.99, 1.0, 1.01])

    (alert,) = _alerts([_changed(first, stalls), *others]).itertuples()
    assert alert.kind == "no gain" and "rather than feed harder" in alert.message


def test_growth_alerts__a_grown_animal_may_keep_its_weight():
    first, *others = _book(sex="F")

    def levels(grams):
        grams[-4:] = 2800.0 * np.array([1.0, 1.01, 1.0, 1.0])
        grams[:-4] = np.minimum(grams[:-4], 2500.0)

    assert "no gain" not in set(_alerts([_changed(first, levels), *others])["kind"])


def test_growth_alerts__a_slip_is_told_and_kept_out_of_the_curve():
    first, *others = _book(sex="F")

    def slips(grams):
        grams[6] /= 10

    whole = findings_of([first, *others], AS_OF)
    found = findings_of([_changed(first, slips), *others], AS_OF)
    (alert,) = found.alerts[found.alerts["animal"] == "A00"].itertuples()
    assert alert.kind == "likely slip" and "a slipped decimal" in alert.message
    assert f"{first.series.grams[6]:,.0f} g would fit" in alert.message
    assert found.growth["n"][0] == 11 and "look slipped" in found.growth["note"][0]
    assert found.points.query("animal == 'A00'")["state"].value_counts()["doubted"] == 1
    last = [table.curves.query("animal == 'A00'")["weight_g"].iloc[-1] for table in (whole, found)]
    assert last[1] == pytest.approx(last[0], rel=0.1)


@pytest.mark.parametrize(
    ("status", "told"), [("keeping", True), ("on loan", True), ("for sale", False), ("sold", False)]
)
def test_growth_alerts__not_weighed_for_long(status, told):
    rng = np.random.default_rng(5)
    late = grower("A00", rng, GROWN[:7], status=status)
    kinds = list(_alerts([late, *_book(2)[1:]])["kind"])
    assert kinds == (["not weighed"] if told else [])


def test_growth_alerts__ill_goes_to_a_vet():
    ill = weights_frame("A00", np.array([TODAY - 5.0]), np.array([700.0]), "ill")
    (alert,) = _alerts(_book(), extra=ill).itertuples()
    assert alert.kind == "ill" and "a reptile vet decides" in alert.message


@pytest.mark.parametrize(("rate", "lost", "no_gain"), [(0.0, 0.01, 0.01), (1.2, 0.04, 0.01)])
def test_growth_alerts__clean_books_raise_few(monkeypatch, rate, lost, no_gain):
    """Simulated, 1,000 animals with 4 % scatter, still growing and grown: a tenth is then 1.8 deviations of the difference
    of two weighings, which 4 in 100 grown animals exceed. No slip is seen."""
    faster = {sex: mean + [0.0, 0.0, rate] for sex, mean in simulated_growth.MEAN.items()}
    monkeypatch.setattr(simulated_growth, "MEAN", faster)
    alerts = pd.concat([findings_of(_book(seed, n=50), AS_OF).alerts for seed in range(20)])
    counts = alerts["kind"].value_counts()
    assert set(counts.index) <= {"weight lost", "no gain"}
    assert counts.get("weight lost", 0) <= 1000 * lost and counts.get("no gain", 0) <= 1000 * no_gain


def test_growth_alerts__same_in_any_row_order():
    growers = [_changed(_book()[0], _loses), *_book()[1:]]
    forth, back = findings_of(growers, AS_OF), findings_of(growers[::-1], AS_OF)
    for name in ("growth", "curves", "points", "alerts"):
        pd.testing.assert_frame_equal(getattr(forth, name), getattr(back, name))
