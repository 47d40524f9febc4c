"""Straight and bent lines that a few odd prices don't move: regression with Student-t errors, many designs at once.

Errors of four degrees of freedom (Lange, Little and Taylor 1989, J. Am. Stat. Assoc. 84:881-896, from memory): like
Theil-Sen they let an odd price count little, and unlike it they have a likelihood, by which a turn can be tested and
dated.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
FREEDOM = 4.0
ROUNDS = 30
FINEST = 0.005
"""The scatter of log price is never taken below half a per cent: prices are rounded, and points may lie on a line."""


@dataclass(frozen=True)
class Fits:
    """One fit per design: coefficients (K, p), scale (K), log-likelihood (K, without its constant) and the covariance
    of the coefficients (K, p, p)."""

    coefficients: Floats
    scale: Floats
    log_likelihood: Floats
    covariance: Floats


def t_fits(designs: Floats, y: Floats, rounds: int = ROUNDS) -> Fits:
    """Maximum-likelihood fits of y (n) to each of the designs (K, n, p; n > p, full rank), by parameter-expanded EM.

    The covariance is the inverse of the expected information, scale^2 (f + 3)/(f + 1) (X'X)^-1.
    """
    upright = designs.transpose(0, 2, 1)
    gram = upright @ designs
    coefficients: np.ndarray = np.linalg.solve(gram, (upright @ y)[..., None])[..., 0]
    residual = y - (designs @ coefficients[..., None])[..., 0]
    square = np.maximum(np.median(np.abs(residual), axis=1) * 1.4826, FINEST) ** 2
    for _ in range(rounds):
        weight = (FREEDOM + 1) / (FREEDOM + residual**2 / square[:, None])
        weighted = upright * weight[:, None, :]
        coefficients = np.linalg.solve(weighted @ designs, (weighted @ y)[..., None])[..., 0]
        residual = y - (designs @ coefficients[..., None])[..., 0]
        square = np.maximum(np.sum(weight * residual**2, axis=1) / weight.sum(axis=1), FINEST**2)
    spread = np.log1p(residual**2 / (FREEDOM * square[:, None])).sum(axis=1)
    likelihood = -(FREEDOM + 1) / 2 * spread - len(y) / 2 * np.log(square)
    factor = (square * (FREEDOM + 3) / (FREEDOM + 1))[:, None, None]
    return Fits(coefficients, np.sqrt(square), likelihood, factor * np.linalg.inv(gram))
