"""How the animals of a species grow: mean and spread of their curves' parameters, by empirical Bayes.

The parameters of an animal are normal about the mean of its species and sex; log weights scatter about a course that
wanders from its curve. The curve is linearised at each animal's most probable parameters and the linear model's marginal
likelihood maximised by EM; the two steps alternate (Lindstrom & Bates 1990, Biometrics 46:673-687, citation from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pipeline.findings.growth.curves import CURVES, PARAMETERS, Curve, Floats, log_weight
from pipeline.findings.growth.fitting import first_guess, least_squares
from pipeline.findings.growth.members import Members
from pipeline.findings.growth.mixed_model import Effects, Linear, Prior, Steadying, em_step

SIZE = len(PARAMETERS)
FIRST = PARAMETERS.log_first
USUAL_SPREAD = np.array([0.15, 0.10, 0.20])
"""Standard deviations of log grown weight, log birth weight and log rate among animals of a sex. This and the next five
steady a small sample and fade as animals come in (common practice, no source)."""
STEADIED_BY = 2.0
"""The weight of USUAL_SPREAD, in animals."""
SEXES_APART = 0.5
"""Standard deviation of the sexes' difference in each log parameter."""
GROWN_WITHIN = 1.0
"""Standard deviation of the log grown weight about the heaviest weighing: growth seen only in its beginnings leaves the
grown weight open."""
OPEN_WITHIN = 3.0
"""Standard deviation of the log birth weight about the lightest weighing, and of the log rate about once a year: where
weighings tell nothing of these, anything from 0 up would fit."""
USUAL_SCATTER = 0.04
"""Scatter of a log weight about its course: a meal, a shed."""
ANY_FIRST = 2.0
"""Standard deviation of the log of a first weight of which no birth tells the age."""
WANDERS = (4.0, 0.0, 0.5, 32.0, 256.0, 2048.0)
"""How far courses may wander over a usual record, in scatters squared; the likelihood is flat between these steps."""
ENOUGH = 100
"""A population of more animals is estimated from this many of them, evenly picked."""
OUTER, INNER = 8, 8


@dataclass(frozen=True)
class Population:
    """One curve in one species. `effects.beta` (6) holds the parameters in the middle between the sexes, and F less M;
    `wander` is the variance a year by which courses leave their curves, as a multiple of scatter^2; `animals` the number
    it rests on."""

    curve: Curve
    effects: Effects
    wander: float
    animals: int

    @property
    def log_likelihood(self) -> float:
        """Marginal, the animals' own courses summed out."""
        return self.effects.log_likelihood

    @property
    def scatter(self) -> float:
        """The residual standard deviation of log weight about an animal's own course."""
        return self.effects.scatter

    def of_sex(self, sex: float) -> Floats:
        """The mean parameters (3) of a sex: 0.5 F, -0.5 M, 0 the middle."""
        return self.effects.beta[:SIZE] + sex * self.effects.beta[SIZE:]

    def prior(self, members: Members) -> Prior:
        """What is expected of these animals before they are weighed."""
        kinds, kind = members.kinds
        middle = self.of_sex(0)
        early = log_weight(middle, self.curve.power, np.array([0.0, 0.5]))[0]
        unborn = (kinds.span * 2 * (early[1] - early[0])) ** 2 / 12
        apart = self.effects.beta[SIZE:]
        covariance = self.effects.spread + (kinds.sex == 0)[:, None, None] * np.outer(apart, apart) / 4
        covariance[:, FIRST, FIRST] += np.where(np.isnan(kinds.first), unborn, ANY_FIRST**2)
        offset = np.zeros((len(members), SIZE))
        offset[:, FIRST] = np.where(np.isnan(members.first), 0.0, members.first - middle[FIRST])
        return Prior(kind, design(kinds), covariance, offset)

    def mean(self, members: Members) -> Floats:
        """Each animal's parameters (m, 3) as expected before it is weighed."""
        return self.prior(members).mean(self.effects.beta)


def design(members: Members) -> Floats:
    """X (m, 3, 6): the middle of the sexes, and their difference by the animal's sex."""
    eye = np.broadcast_to(np.eye(SIZE), (len(members), SIZE, SIZE))
    return np.concatenate([eye, members.sex[:, None, None] * eye], axis=2)


def population_of(members: Members) -> Population:
    """The likeliest population these animals are drawn from: its curve first, then how far courses wander.

    All curves have as many parameters, so that likelihood alone decides between them, as AICc would.
    """
    sample = members.weighed().take(np.flatnonzero(members.weighed().used.any(axis=1)))
    if len(sample) > ENOUGH:
        sample = sample.take(np.linspace(0, len(sample) - 1, ENOUGH).round().astype(int))
    usual = float(np.median(np.max(np.where(sample.used, sample.since, 0), axis=1))) or 1.0
    start = WANDERS[0] / usual
    best = max((estimate(sample, begun) for begun in starting(sample, CURVES, start)), key=_worth)
    for wander in WANDERS[1:]:
        trial = estimate(sample, replace(best, wander=wander / usual))
        if wander > WANDERS[0] and _worth(trial) < _worth(best):
            break
        best = max(best, trial, key=_worth)
    return best


def _worth(population: Population) -> float:
    """The log likelihood less what Akaike's criterion asks for the one parameter that not all have."""
    return population.log_likelihood - (population.wander > 0)


def estimate(members: Members, population: Population) -> Population:
    """The population of this curve and wander under which the weighings are likeliest, sought from the one given."""
    parameters, steady = population.mean(members), _steadying(members)
    white = members.whitening(population.wander, population.scatter)
    for _ in range(OUTER):
        parameters = most_probable(population, members, white, parameters, rounds=2)
        before, linear = population, linearised(population, members, white, parameters)
        for _ in range(INNER):
            last = population.log_likelihood
            effects = em_step(population.effects, linear, population.prior(members), steady)
            population = replace(population, effects=effects)
            if abs(population.log_likelihood - last) < 0.02:
                break
        if abs(population.log_likelihood - before.log_likelihood) < 0.1:
            break
    return population


def starting(members: Members, curves: Sequence[Curve], wander: float) -> list[Population]:
    """Of each kind the one curve through all weighings of known age, with the usual spread."""
    known = members.used & (np.isnan(members.first) & (members.span == 0))[:, None]
    known = known if len(np.unique(members.since[known])) > SIZE else members.used
    since, logs = (np.tile(own[known], (len(curves), 1)) for own in (members.since, members.logs))
    used, power = np.ones(logs.shape, dtype=bool), np.array([curve.power for curve in curves])
    upper = np.tile([logs.max() + GROWN_WITHIN, np.inf, np.inf], (len(curves), 1))

    def model(parameters: Floats, index: np.ndarray) -> tuple[Floats, Floats]:
        return log_weight(parameters, power[index], since[index])

    fitted, _ = least_squares(model, first_guess(power, since, logs, used), logs, used, upper, rounds=30)
    ends = np.array([[logs.min(), logs.min(), 0.0], [logs.max(), logs.max(), 0.0]])
    fitted = np.clip(fitted, ends[0] - OPEN_WITHIN, ends[1] + OPEN_WITHIN)
    spread, unsure, apart = np.diag(USUAL_SPREAD**2), np.eye(2 * SIZE), np.zeros(SIZE)
    return [
        Population(
            curve,
            Effects(np.concatenate([own, apart]), unsure, spread, 2 * USUAL_SCATTER),
            wander,
            len(members),
        )
        for curve, own in zip(curves, fitted, strict=True)
    ]


def _steadying(members: Members) -> Steadying:
    logs = members.logs[members.used]
    precision = np.array([GROWN_WITHIN, OPEN_WITHIN, OPEN_WITHIN, *[SEXES_APART] * SIZE]) ** -2.0
    mean = np.zeros(2 * SIZE)
    mean[PARAMETERS.log_grown], mean[FIRST] = logs.max(), logs.min()
    return Steadying(precision, mean, np.diag(USUAL_SPREAD**2), STEADIED_BY, USUAL_SCATTER)


def most_probable(
    population: Population, members: Members, white: Floats, start: Floats, rounds: int = 25
) -> Floats:
    """Each animal's most probable parameters (m, 3): its weighings against what its population expects."""
    prior = population.prior(members)
    mean = prior.mean(population.effects.beta)
    precision = np.linalg.inv(prior.covariance)
    root = (np.linalg.cholesky(precision).swapaxes(1, 2) * population.scatter)[prior.kind]
    target = np.concatenate([_times(white, members.logs), _times(root, mean)], axis=1)
    used = np.concatenate([members.used, np.ones((len(members), SIZE), dtype=bool)], axis=1)

    def model(parameters: Floats, index: np.ndarray) -> tuple[Floats, Floats]:
        there = members.used[index]
        logs, jacobian = log_weight(parameters, population.curve.power, members.since[index])
        logs, jacobian = np.where(there, logs, 0), np.where(there[..., None], jacobian, 0)
        expected = np.concatenate([_times(white[index], logs), _times(root[index], parameters)], axis=1)
        return expected, np.concatenate([white[index] @ jacobian, root[index]], axis=1)

    upper = np.full((len(members), SIZE), np.inf)
    return least_squares(model, start, target, used, upper, rounds, least_gain=1e-8)[0]


def linearised(population: Population, members: Members, white: Floats, at: Floats) -> Linear:
    """The curves near each animal's parameters `at` (m, 3)."""
    logs, jacobian = log_weight(at, population.curve.power, members.since)
    residual = _times(white, np.where(members.used, members.logs - logs, 0))
    jacobian = white @ np.where(members.used[..., None], jacobian, 0)
    across = jacobian.swapaxes(1, 2)
    log_white = float(np.log(np.einsum("mii->mi", white)).sum())
    return Linear(
        at,
        across @ jacobian,
        _times(across, residual),
        (residual**2).sum(1),
        int(members.used.sum()),
        log_white,
    )


def _times(matrices: Floats, vectors: Floats) -> Floats:
    return np.asarray((matrices @ vectors[..., None])[..., 0])
