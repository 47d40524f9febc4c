"""Curves drawn toward their species: coverage under simulation, shrinkage, and what is not known."""

import tracemalloc
from dataclasses import replace

import numpy as np
import pytest

from pipeline.findings.growth import pooled
from pipeline.findings.growth.curves import CURVES, GOMPERTZ, LOGISTIC, log_weight
from pipeline.findings.growth.fitting import DAYS_A_YEAR, Fit
from pipeline.findings.growth.members import Members, members
from pipeline.findings.growth.pooled import PooledFit, intervals, pooled_fits
from pipeline.findings.growth.population import population_of
from pipeline.findings.growth.species import FEWEST_ANIMALS, fits_by_animal
from pipeline.findings.growth.weighings import NEVER_WEIGHED
from tests.findings.simulated_growth import BORN, MEAN, SCATTER, SPREAD, boa, grower, weighings, weight_ready

YOUNG = (0, 2, 3, 6)


def _book(seed, curve=GOMPERTZ, grown=12, young=5):
    """Grown animals weighed ten times, and young ones weighed as often as YOUNG says."""
    rng = np.random.default_rng(seed)
    growers = [grower(f"A{i:02}", rng, rng.uniform(20, 1800, 10), curve) for i in range(grown)]
    for n in YOUNG:
        growers += [grower(f"Y{n}{i:02}", rng, rng.uniform(15, 400, n), curve) for i in range(young)]
    return growers


def _fitted(growers):
    series = {g.animal.id: g.series for g in growers if len(g.series.days)}
    ordered = sorted(growers, key=lambda g: g.animal.id)
    return fits_by_animal([g.animal for g in ordered], series)


@pytest.mark.parametrize("curve", CURVES, ids=lambda curve: curve.name)
def test_fits_by_animal__intervals_cover_four_in_five(curve):
    """Simulated books; dates on which 0, 2, 3 and 6 weighings are asked for a weight not yet reached."""
    covered = {n: [] for n in YOUNG}
    for seed in range(12):
        growers = _book(seed, curve)
        fits, _ = _fitted(growers)
        for own in (g for g in growers if g.animal.id.startswith("Y")):
            grams = 900 if own.animal.sex == "F" else 500
            day, fit = own.reaches(grams), fits[own.animal.id]
            if day > fit.last:
                answer = weight_ready(fit, grams)
                late = np.inf if answer.late is None else answer.late
                covered[len(own.series.days)].append(answer.early <= day + 1 and day - 1 <= late)
    assert all(0.68 <= np.mean(held) <= 0.93 for held in covered.values())
    assert 0.74 <= np.mean([held for several in covered.values() for held in several]) <= 0.88


def test_population_of__finds_what_the_animals_were_drawn_from():
    growers = _book(3, grown=90)
    found = population_of(members([g.animal for g in growers], [g.series for g in growers]))
    assert found.curve == GOMPERTZ and found.wander == 0
    assert found.of_sex(0.5) == pytest.approx(MEAN["F"], abs=0.08)
    assert found.of_sex(-0.5) == pytest.approx(MEAN["M"], abs=0.08)
    assert found.scatter == pytest.approx(SCATTER, rel=0.1)
    assert np.sqrt(np.diag(found.effects.spread)) == pytest.approx(SPREAD, rel=0.4)


@pytest.mark.parametrize("curve", CURVES, ids=lambda curve: curve.name)
def test_population_of__chooses_the_curve_that_made_the_weights(curve):
    growers = _book(4, curve, grown=15)
    assert population_of(members([g.animal for g in growers], [g.series for g in growers])).curve == curve


def test_population_of__courses_that_wander_are_told_from_scatter():
    rng = np.random.default_rng(2)
    growers = []
    for own in _book(5, grown=40, young=0):
        steps = np.diff(own.series.days, prepend=BORN.toordinal()) / 365.25
        carried = np.exp(np.cumsum(rng.normal(0, 0.15 * np.sqrt(steps))))
        growers.append(replace(own, series=weighings(own.series.days, own.series.grams * carried)))
    found = population_of(members([g.animal for g in growers], [g.series for g in growers]))
    assert found.scatter * np.sqrt(found.wander) == pytest.approx(0.15, rel=0.35)


def test_fits_by_animal__few_weighings_are_drawn_toward_the_mean():
    """An odd animal: with two weighings its grown weight is that of its kind, with ten its own."""
    growers = _book(6, grown=20, young=0)
    kind = MEAN["F"][0]
    grown = []
    for n in (2, 4, 10):
        days = np.linspace(30, 1800 if n == 10 else 330, n)
        odd = replace(grower("Z", np.random.default_rng(1), days, sex="F"))
        heavy = replace(odd, series=weighings(odd.series.days, odd.series.grams * 1.4))
        fits, _ = _fitted([*growers, heavy])
        grown.append(fits["Z"].parameters[0])
    assert abs(grown[0] - kind) < abs(grown[2] - kind)
    assert np.exp(grown[2] - kind) > 1.15


def test_fits_by_animal__an_animal_never_weighed_gets_the_curve_of_its_sex():
    growers = _book(7)
    nobody = [replace(growers[-1], animal=boa(f"Z{sex}", sex=sex), series=NEVER_WEIGHED) for sex in "FM"]
    fits, populations = _fitted([*growers, *nobody])
    for sex, code in (("F", 0.5), ("M", -0.5)):
        assert fits[f"Z{sex}"].parameters == pytest.approx(populations["Boa"].of_sex(code), abs=1e-6)
        assert fits[f"Z{sex}"].n == 0


def test_fits_by_animal__an_unknown_birth_or_sex_widens_the_interval():
    growers = _book(8)
    rng = np.random.default_rng(4)
    known = grower("Z", rng, [200, 300], sex="F")
    widths = []
    for facts in ({}, {"born": None}, {"born": None, "born_year": None}, {"sex": None}):
        fits, _ = _fitted([*growers, replace(known, animal=boa("Z", **facts))])
        _, low, high = fits["Z"].interval(np.array([BORN.toordinal() + 900.0]))
        widths.append(float(np.log(high / low)[0]))
    assert all(width > 1.01 * widths[0] for width in widths[1:])


def test_fits_by_animal__no_birth_and_no_weighing_no_fit():
    stranger = replace(_book(9)[0], animal=boa("Z", born=None, born_year=None), series=NEVER_WEIGHED)
    fits, _ = _fitted([*_book(9), stranger])
    assert "Z" not in fits


def test_fits_by_animal__too_few_animals_keep_their_own_curves():
    rng = np.random.default_rng(1)
    few = [grower(f"A{i}", rng, rng.uniform(20, 1800, 8)) for i in range(FEWEST_ANIMALS)]
    fits, populations = _fitted(few[1:])
    assert not populations and all(isinstance(fit, Fit) for fit in fits.values())
    fits, populations = _fitted(few)
    assert populations and all(isinstance(fit, PooledFit) for fit in fits.values())


def test_pooled_fit__the_band_narrows_at_a_weighing_and_widens_ahead():
    growers = _book(10)
    own = growers[0]
    fits, _ = _fitted(growers)
    last = own.series.days[-1]
    _, error = fits[own.animal.id].at(last + np.array([0.0, 200.0, 800.0]))
    assert error[0] < error[1] < error[2]


def test_pooled_fit__lead_is_kept_where_courses_wander():
    """A course above its curve at the last weighing is expected to stay above it."""
    rng = np.random.default_rng(11)
    growers = []
    for own in _book(11, LOGISTIC, grown=30, young=0):
        carried = np.exp(np.cumsum(rng.normal(0, 0.12, len(own.series.days))))
        growers.append(replace(own, series=weighings(own.series.days, own.series.grams * carried)))
    fits, populations = _fitted(growers)
    assert populations["Boa"].wander > 0
    off = {"curve": 0.0, "course": 0.0}
    for own in growers:
        fit, at, weighed = fits[own.animal.id], own.series.days[-1:], np.log(own.series.grams[-1])
        curve, _ = log_weight(fit.parameters, fit.curve.power, (at - fit.start) / 365.25)
        off["curve"] += abs(curve[0] - weighed)
        off["course"] += abs(fit.at(at)[0][0] - weighed)
    assert off["course"] < 0.7 * off["curve"]


def _told(animals):
    """The curves of the animals at their weighings with their intervals, and the most memory that telling them took, in MB."""
    population = population_of(animals)
    tracemalloc.start()
    fits = pooled_fits(population, animals)
    told = intervals(fits, [fit.start + fit.since * DAYS_A_YEAR for fit in fits])
    most = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    return np.stack(told), most


def test_pooled_fits__many_weighings_of_many_animals_need_little_besides_the_fits(monkeypatch):
    """A fit of 60 weighings keeps 60 x 60 numbers; of 300 animals that is 9 MB, and a step has a dozen such tables."""
    rng = np.random.default_rng(1)
    since = np.sort(rng.uniform(0.1, 5, (300, 60)), axis=1)
    own = np.log([2500.0, 60.0, 0.9]) + rng.normal(0, 0.15, (300, 3))
    logs = log_weight(own, GOMPERTZ.power, since)[0] + rng.normal(0, 0.04, since.shape)
    nought = np.zeros(300)
    animals = Members(nought, since, logs, since > 0, 0 * since, nought, nought, nought + np.nan)
    found = {}
    for together in (10**9, 50_000):
        monkeypatch.setattr(pooled, "TOGETHER", together)
        found[together] = _told(animals)
    assert (found[50_000][0] == found[10**9][0]).all()
    assert found[50_000][1] < 20 < found[10**9][1]
