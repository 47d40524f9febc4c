"""An animal's growth as its own weighings and its species tell it together: a curve, a course about it, and their error."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pipeline.findings.growth.curves import PARAMETERS, Curve, Floats, log_weight
from pipeline.findings.growth.fitting import DAYS_A_YEAR
from pipeline.findings.growth.intervals import grown_interval, quantile, weight_interval
from pipeline.findings.growth.members import Members
from pipeline.findings.growth.mixed_model import posterior_of
from pipeline.findings.growth.population import Population, linearised, most_probable

CERTAIN = 12.0
"""Standard errors from a weight beyond which a course is taken to be certainly on one side of it."""
TOGETHER = 500_000
"""Numbers in a table of the animals reckoned side by side. Theirs grow by the square of their weighings: thousands of
animals with a hundred each would take gigabytes at once."""


@dataclass(frozen=True)
class PooledFit:
    """One animal's joint posterior: `parameters` (3) with `covariance` (3, 3), the population's error in it. Or those of
    several animals with as many weighings each, side by side along a first axis (see `abreast`).

    Its course leaves the curve by what its weighings show and is expected to keep that lead or lag: at time s by
    c(s) V^-1 r, with c(s) the covariance of the course at s with the weighings (at `since`, n), V that of the weighings,
    r their residuals. `lead` is V^-1 r (n), `tilt` V^-1 J (n, 3), `settled` V^-1 (n, n). `start` is the ordinal day of time
    0, `last` that of the last weighing, `start` where there is none. `wander` is variance of log weight a year.
    """

    curve: Curve
    parameters: Floats
    covariance: Floats
    since: Floats
    lead: Floats
    tilt: Floats
    settled: Floats
    wander: float
    df: int
    start: int
    last: int

    @property
    def n(self) -> int:
        """The number of weighings that it rests on."""
        return self.since.shape[-1]

    def at(self, days: Floats) -> tuple[Floats, Floats]:
        """Log weight of its course and the standard error (delta method) on ordinal days, none before `start`."""
        since = (np.asarray(days, dtype=float) - np.asarray(self.start)[..., None]) / DAYS_A_YEAR
        value, gradient = log_weight(self.parameters, self.curve.power, since)
        shared = self.wander * self.since[..., None, :]
        if since.min(initial=np.inf) < self.since.max(initial=0):
            shared = np.minimum(self.wander * since[..., None], shared)
        gradient = gradient - shared @ self.tilt
        variance = ((gradient @ self.covariance) * gradient).sum(-1)
        variance += self.wander * since - ((shared @ self.settled) * shared).sum(-1)
        return value + (shared @ self.lead[..., None])[..., 0], np.sqrt(np.maximum(variance, 0))

    def chance(self, days: Floats, grams: float) -> Floats:
        """Probability that its course is at or above a weight on each ordinal day (Student's t on log weight)."""
        from scipy.special import stdtr

        value, error = self.at(days)
        off = (value - np.log(grams)) / np.maximum(error, 1e-9)
        unsure = np.abs(off) < CERTAIN
        found = (off > 0).astype(float)
        found[unsure] = stdtr(self.df, off[unsure])
        return found

    def interval(self, days: Floats, level: float = 0.8) -> tuple[Floats, Floats, Floats]:
        """Weight of its course in grams, and the ends of its interval (at most fiftyfold), on ordinal days."""
        value, error = self.at(days)
        return weight_interval(value, quantile(self.df, level) * error)

    def grown(self, level: float = 0.8) -> tuple[float, float, float]:
        """The grown weight by its curve in grams and its interval, all NaN where that is too wide to tell."""
        place = PARAMETERS.log_grown
        error = np.sqrt(self.covariance[place, place])
        return grown_interval(self.parameters[place], quantile(self.df, level) * error)


def intervals(fits: Sequence[PooledFit], days: Sequence[Floats]) -> list[Floats]:
    """The weights of each animal's course and the ends of their intervals (3, d) on its own days (d).

    Animals of one population with as many weighings each are reckoned side by side.
    """
    alike: dict[tuple[Curve, float, int, int], list[int]] = defaultdict(list)
    for place, fit in enumerate(fits):
        alike[fit.curve, fit.wander, fit.df, fit.n].append(place)
    found = [np.empty((3, 0))] * len(fits)
    for places in alike.values():
        counts = [len(days[place]) for place in places]
        width = np.arange(max(counts))
        padded = [
            days[place][np.minimum(width, count - 1)] for place, count in zip(places, counts, strict=True)
        ]
        for some in _blocks(len(places), len(width) * fits[places[0]].n):
            side_by_side = abreast([fits[place] for place in places[some]])
            told = np.stack(side_by_side.interval(np.stack(padded[some])), axis=1)
            for place, own, count in zip(places[some], told, counts[some], strict=True):
                found[place] = own[:, :count].copy()
    return found


def _blocks(animals: int, each: int) -> Iterator[slice]:
    """The places of so many animals, as many at a time as TOGETHER allows with `each` numbers for one."""
    step = max(TOGETHER // max(each, 1), 1)
    return (slice(begin, begin + step) for begin in range(0, animals, step))


def abreast(fits: Sequence[PooledFit]) -> PooledFit:
    """Fits of one population with as many weighings each, as one: each field but the population's has an animal a row."""

    def rows(name: str) -> Any:
        return np.stack([getattr(fit, name) for fit in fits])

    one = fits[0]
    return PooledFit(
        one.curve, rows("parameters"), rows("covariance"), rows("since"), rows("lead"), rows("tilt"), rows("settled"),
        one.wander, one.df, rows("start"), rows("last"),
    )  # fmt: skip


def pooled_fits(population: Population, members: Members) -> list[PooledFit]:
    """The posterior of each animal under its population."""
    blocks = _blocks(len(members), members.used.shape[1] ** 2)
    return [fit for some in blocks for fit in _fits(population, members.take(some))]


def _fits(population: Population, members: Members) -> list[PooledFit]:
    white = members.whitening(population.wander, population.scatter)
    mean = population.mean(members)
    at = most_probable(population, members, white, mean)
    linear = linearised(population, members, white, at)
    covariance = posterior_of(population.effects, linear, population.prior(members))
    logs, jacobian = log_weight(at, population.curve.power, members.since)
    settled = white.swapaxes(1, 2) @ white / population.scatter**2
    residual = np.where(members.used, members.logs - logs, 0)
    lead = (settled @ residual[..., None])[..., 0]
    tilt = settled @ np.where(members.used[..., None], jacobian, 0)
    counts = members.used.sum(axis=1)
    start = members.start.astype(int)
    last = start + np.round(np.max(np.where(members.used, members.since, 0), axis=1, initial=0) * DAYS_A_YEAR)
    return [
        PooledFit(
            population.curve, at[i], covariance[i], members.since[i, :n], lead[i, :n], tilt[i, :n], settled[i, :n, :n].copy(),
            population.wander * population.scatter**2, max(population.animals - 1, 1), int(start[i]), int(last[i]),
        )
        for i, n in enumerate(counts)
    ]  # fmt: skip
