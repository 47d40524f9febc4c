"""One step of EM for a linear model with random effects: animals about their species, weighings about their animals.

    theta_i ~ N(X_i beta, Sigma_i),    r_i ~ N(J_i (theta_i - at_i), sigma^2 I)

Sigma_i is the spread Sigma among animals plus what is known to come on top for this one (an unknown birth or sex). The
means come by generalised least squares, the spread and the scatter by EM with the means integrated out (Laird & Ware
1982, Biometrics 38:963-974, citation from memory).
"""

from dataclasses import dataclass

import numpy as np

from pipeline.findings.growth.curves import Floats


@dataclass(frozen=True)
class Linear:
    """What the weighings say of m animals' p parameters near `at` (m, p): J'J (m, p, p), J'r (m, p), r'r (m), their number,
    and the sum of log determinants of the whitening."""

    at: Floats
    normal: Floats
    pull: Floats
    squares: Floats
    count: int
    log_white: float = 0.0


@dataclass(frozen=True)
class Prior:
    """What is known of m animals before they are weighed. `kind` (m) is which of k kinds each is of; `design` X (k, p, b)
    and `covariance` Sigma (k, p, p) are those of a kind, `offset` (m, p) the known part of each animal's mean."""

    kind: np.ndarray
    design: Floats
    covariance: Floats
    offset: Floats

    def mean(self, beta: Floats) -> Floats:
        """Each animal's parameters (m, p) as expected."""
        return self.offset + (self.design @ beta)[self.kind]

    def error(self, beta_covariance: Floats) -> Floats:
        """What an error of beta does to the mean of each kind: its covariance (k, p, p)."""
        return self.design @ beta_covariance @ self.design.swapaxes(1, 2)

    def summed(self, values: Floats) -> Floats:
        """Values (m, ...) added up by kind (k, ...)."""
        own = (self.kind == np.arange(len(self.design))[:, None]).astype(float)
        return (own @ values.reshape(len(values), -1)).reshape(-1, *values.shape[1:])


@dataclass(frozen=True)
class Effects:
    """`beta` (b) and its covariance (b, b), `spread` (p, p) among animals, `scatter` of a weighing; `log_likelihood` is the
    marginal one of the estimate that the step set out from, at the new beta."""

    beta: Floats
    beta_covariance: Floats
    spread: Floats
    scatter: float
    log_likelihood: float = -np.inf


@dataclass(frozen=True)
class Steadying:
    """What a small sample is steadied with: precision (b) and mean (b) of beta, `spread` (p, p) with the weight of so many
    animals, `scatter` with the weight of one weighing."""

    beta_precision: Floats
    beta_mean: Floats
    spread: Floats
    animals: float
    scatter: float


def em_step(effects: Effects, linear: Linear, prior: Prior, steady: Steadying) -> Effects:
    """The next estimate."""
    variance = effects.scatter**2
    normal, pull = linear.normal / variance, linear.pull / variance
    precision: Floats = np.asarray(np.linalg.inv(prior.covariance))
    posterior: Floats = np.asarray(np.linalg.inv(normal + precision[prior.kind]))
    kept = posterior @ precision[prior.kind]  # how far an error of its mean moves each animal
    score, information = _times(kept.swapaxes(1, 2), pull), normal @ kept
    beta, beta_covariance = _means(score, information, prior, linear.at, steady)
    gap, error = prior.mean(beta) - linear.at, prior.error(beta_covariance)
    alone = _times(posterior, pull)  # where the weighings would move it without that
    found = alone + _times(kept, gap)
    squares = linear.squares.sum() + (found * (_times(linear.normal, found) - 2 * linear.pull)).sum()
    squares += (linear.normal * posterior).sum()
    squares += variance * (prior.summed(kept.swapaxes(1, 2) @ information) * error).sum()
    return Effects(
        beta,
        beta_covariance,
        _spread(effects.spread, precision, prior, posterior, kept, found - gap, error, steady),
        float(np.sqrt((squares + steady.scatter**2) / (linear.count + 1))),
        _log_likelihood(linear, gap, score, information, (pull * alone).sum(), kept, variance),
    )


def posterior_of(effects: Effects, linear: Linear, prior: Prior) -> Floats:
    """Covariance (m, p, p) of each animal's parameters given its weighings, the error of beta included."""
    precision = np.linalg.inv(prior.covariance)[prior.kind]
    posterior = np.linalg.inv(linear.normal / effects.scatter**2 + precision)
    kept = posterior @ precision
    return posterior + kept @ prior.error(effects.beta_covariance)[prior.kind] @ kept.swapaxes(1, 2)


def _means(
    score: Floats, information: Floats, prior: Prior, at: Floats, steady: Steadying
) -> tuple[Floats, Floats]:
    """beta and its covariance, from the score (m, p) and information (m, p, p) of each animal's mean, its own deviation
    integrated out."""
    across = prior.design.swapaxes(1, 2)
    normal = (across @ prior.summed(information) @ prior.design).sum(0) + np.diag(steady.beta_precision)
    right = _times(across, prior.summed(score + _times(information, at - prior.offset))).sum(0)
    covariance = np.linalg.inv(normal)
    return covariance @ (right + steady.beta_precision * steady.beta_mean), covariance


def _spread(
    before: Floats, precision: Floats, prior: Prior, posterior: Floats, kept: Floats, deviation: Floats,
    error: Floats, steady: Steadying,
) -> Floats:  # fmt: skip
    """The spread among animals, of whose deviations (m, p) from their means only a share lies in it."""
    share = before @ precision
    own = _times(share[prior.kind], deviation)
    moved = np.eye(len(before)) - kept
    unsure = prior.summed(posterior + moved @ error[prior.kind] @ moved.swapaxes(1, 2))
    count = np.bincount(prior.kind, minlength=len(share))[:, None, None]
    spread = own.T @ own + (share @ unsure @ share.swapaxes(1, 2) - count * (share @ before)).sum(0)
    return (spread + len(own) * before + steady.animals * steady.spread) / (len(own) + steady.animals)


def _log_likelihood(
    linear: Linear,
    gap: Floats,
    score: Floats,
    information: Floats,
    told: float,
    kept: Floats,
    variance: float,
) -> float:
    """Of all weighings, each animal's mean `gap` (m, p) away from the point of linearisation; `told` is what its own
    deviation takes from the sum of squares there."""
    quadratic = linear.squares.sum() / variance - told
    quadratic += (gap * (_times(information, gap) - 2 * score)).sum()
    determinant = linear.count * np.log(2 * np.pi * variance) - 2 * linear.log_white
    determinant -= np.linalg.slogdet(kept)[1].sum()
    return float(-(quadratic + determinant) / 2)


def _times(matrices: Floats, vectors: Floats) -> Floats:
    return np.asarray((matrices @ vectors[..., None])[..., 0])
