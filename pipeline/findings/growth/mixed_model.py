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


def em_step(
    effects: Effects, linear: Linear, design: Floats, offset: Floats, covariance: Floats, steady: Steadying
) -> Effects:
    """The next estimate. `design` is X (m, p, b), `offset` (m, p) the known part of the means, `covariance` Sigma_i (m, p, p)."""
    variance = effects.scatter**2
    precision: Floats = np.asarray(np.linalg.inv(covariance))
    posterior: Floats = np.asarray(np.linalg.inv(linear.normal / variance + precision))
    score, information = _marginal(linear, posterior, variance)
    beta, beta_covariance = _means(score, information, design, linear.at - offset, steady)
    gap = offset + _times(design, beta) - linear.at
    found = _times(posterior, linear.pull / variance + _times(precision, gap))
    carried = posterior @ precision @ design  # how far an error of beta moves each animal
    whole = posterior + carried @ beta_covariance @ carried.swapaxes(1, 2)
    squares = (
        linear.squares.sum() - 2 * (found * linear.pull).sum() + (found * _times(linear.normal, found)).sum()
        + (linear.normal * whole).sum()
    )  # fmt: skip
    share = effects.spread @ precision  # of an animal's deviation, what lies in the spread among animals
    own, slack = _times(share, found - gap), share @ (carried - design)
    spread = own.T @ own + (share @ posterior @ share.swapaxes(1, 2) - share @ effects.spread).sum(0)
    spread += len(own) * effects.spread + (slack @ beta_covariance @ slack.swapaxes(1, 2)).sum(0)
    return Effects(
        beta,
        beta_covariance,
        (spread + steady.animals * steady.spread) / (len(own) + steady.animals),
        float(np.sqrt((squares + steady.scatter**2) / (linear.count + 1))),
        _log_likelihood(linear, gap, score, information, posterior, precision, variance),
    )


def posterior_of(effects: Effects, linear: Linear, design: Floats, covariance: Floats) -> Floats:
    """Covariance (m, p, p) of each animal's parameters given its weighings, the error of beta included."""
    precision = np.linalg.inv(covariance)
    posterior = np.linalg.inv(linear.normal / effects.scatter**2 + precision)
    carried = posterior @ precision @ design
    return posterior + carried @ effects.beta_covariance @ carried.swapaxes(1, 2)


def _marginal(linear: Linear, posterior: Floats, variance: float) -> tuple[Floats, Floats]:
    """Score (m, p) and information (m, p, p) of an animal's mean, its own deviation integrated out."""
    left = (np.eye(linear.at.shape[1]) - linear.normal @ posterior / variance) / variance
    return _times(left, linear.pull), left @ linear.normal


def _means(
    score: Floats, information: Floats, design: Floats, at: Floats, steady: Steadying
) -> tuple[Floats, Floats]:
    across = design.swapaxes(1, 2)
    normal = (across @ information @ design).sum(0) + np.diag(steady.beta_precision)
    right = _times(across, score + _times(information, at)).sum(0) + steady.beta_precision * steady.beta_mean
    covariance = np.linalg.inv(normal)
    return covariance @ right, covariance


def _log_likelihood(
    linear: Linear, gap: Floats, score: Floats, information: Floats, posterior: Floats, precision: Floats,
    variance: float,
) -> float:  # fmt: skip
    """Of all weighings, each animal's mean `gap` (m, p) away from the point of linearisation."""
    quadratic = linear.squares.sum() / variance
    quadratic -= (linear.pull * _times(posterior, linear.pull)).sum() / variance**2
    quadratic += (gap * (_times(information, gap) - 2 * score)).sum()
    determinant = linear.count * np.log(2 * np.pi * variance) - 2 * linear.log_white
    determinant -= np.linalg.slogdet(posterior @ precision)[1].sum()
    return float(-(quadratic + determinant) / 2)


def _times(matrices: Floats, vectors: Floats) -> Floats:
    return np.asarray((matrices @ vectors[..., None])[..., 0])
