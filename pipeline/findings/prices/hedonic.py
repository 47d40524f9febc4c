"""Least squares on many columns that few adverts bear: shrunken, with standard errors that do not trust the scatter.

Without prior precision and weights this is ordinary least squares with White's errors, HC0 and HC3 (MacKinnon and White
1985, J. Econometrics 29:305-325, from memory). With them it is ridge regression whose strengths are chosen by marginal
likelihood: MacKay's fixed point (1992, Neural Computation 4:415-447, from memory), a group of columns at a time.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pipeline.findings.prices.robust import Floats

HUBER = 2.5
"""Residuals beyond so many scales count less, in proportion (Huber 1964, from memory)."""
ROUNDS, PASSES = 40, 3
FINEST = 1e-3
SETTLED = 1e-3


@dataclass(frozen=True)
class Group:
    """Columns that share one prior, normal about zero. `spread` is its standard deviation; where `learned`, the
    columns themselves settle it and `spread` counts as one more of them."""

    columns: NDArray[np.intp]
    spread: float
    learned: bool = True


@dataclass(frozen=True)
class Regression:
    """A fit: coefficients (p), residuals and leverage (n), the residual variance and (X'WX + P)^-1.

    `freedom` is n less the effective number of parameters; `precision` is that of the prior times the variance.
    """

    design: Floats
    weights: Floats
    coefficients: Floats
    residuals: Floats
    leverage: Floats
    variance: float
    inverse: Floats
    precision: Floats
    freedom: float

    def covariance(self, kind: str = "HC3") -> Floats:
        """Of the coefficients: 'plain', 'HC0' or 'HC3'.

        The data's part of the plain one, s^2 A (X'WX) A, is replaced by what the residuals say; the prior's part,
        s^2 A P A, stays. Without data that leaves the prior, without a prior White's errors.
        """
        if kind == "plain":
            return self.variance * self.inverse
        kept = np.maximum(1 - self.leverage, 1e-6) if kind == "HC3" else 1.0
        scores = self.design * (self.weights * self.residuals / kept)[:, None]
        return self.inverse @ (scores.T @ scores + np.diag(self.variance * self.precision)) @ self.inverse


def regress(
    design: ArrayLike, y: ArrayLike, precision: ArrayLike | None = None, weights: ArrayLike | None = None
) -> Regression:
    """y (n) on the columns of `design` (n, p); `precision` (p) of a normal prior about zero, times the variance.

    Columns that can't be told apart share their effect (least norm), so nothing is ever missing.
    """
    x, y = np.asarray(design, dtype=float), np.asarray(y, dtype=float)
    n, p = x.shape
    weights = np.ones(n) if weights is None else np.asarray(weights, dtype=float)
    precision = np.zeros(p) if precision is None else np.asarray(precision, dtype=float)
    root = np.sqrt(weights)
    if np.all(precision > 0):
        inverse = np.linalg.inv((x * weights[:, None]).T @ x + np.diag(precision))
        coefficients = inverse @ (x.T @ (weights * y))
    else:
        inverse, coefficients = _by_triangle(x * root[:, None], y * root, precision)
    residuals = y - x @ coefficients
    leverage = weights * np.sum((x @ inverse) * x, axis=1)
    freedom = max(n - float(leverage.sum()), 1e-9)
    variance = float(weights @ residuals**2) / freedom
    return Regression(x, weights, coefficients, residuals, leverage, variance, inverse, precision, freedom)


def _by_triangle(x: Floats, y: Floats, precision: Floats) -> tuple[Floats, Floats]:
    """(X'X + P)^-1 and the coefficients by QR and SVD of columns of one length, so that near-ties keep their digits."""
    tall = np.vstack([x, np.diag(np.sqrt(precision))[precision > 0]])
    size = np.sqrt(np.sum(tall**2, axis=0))
    size[size == 0] = 1.0
    orthogonal, triangle = np.linalg.qr(tall / size)
    left, values, right = np.linalg.svd(triangle, full_matrices=False)
    kept = values > 1e-12 * values.max(initial=0)
    half = right.T * np.where(kept, 1 / np.where(kept, values, 1.0), 0.0) / size[:, None]
    target = np.concatenate([y, np.zeros(len(tall) - len(y))])
    return half @ half.T, half @ (left.T @ (orthogonal.T @ target))


def shrunken(design: Floats, y: Floats, groups: Sequence[Group]) -> tuple[Regression, list[float]]:
    """The fit whose prior spreads (one for each group, returned) the data make likeliest, odd values counting less.

    Every column must be in one group.
    """
    spreads = [group.spread for group in groups]
    weights, variance = np.ones(len(y)), max(float(np.var(y)) / 4, FINEST**2)
    for turn in range(PASSES):
        spreads, variance = _likeliest(design, y, weights, groups, spreads, variance)
        precision = np.empty(design.shape[1])
        for group, spread in zip(groups, spreads, strict=True):
            precision[group.columns] = variance / spread**2
        fit = regress(design, y, precision, weights)
        if turn < PASSES - 1:
            weights = _huber(fit.residuals)
    return fit, spreads


def _huber(residuals: Floats) -> Floats:
    scale = max(1.4826 * float(np.median(np.abs(residuals))), FINEST)
    return np.minimum(1.0, HUBER * scale / np.maximum(np.abs(residuals), 1e-12))


def _likeliest(
    design: Floats,
    y: Floats,
    weights: Floats,
    groups: Sequence[Group],
    spreads: Sequence[float],
    variance: float,
) -> tuple[list[float], float]:
    """MacKay's fixed point: a group's variance is its sum of squares over the parameters it effectively has."""
    weighted = design * weights[:, None]
    gram, score, total = weighted.T @ design, weighted.T @ y, float(weights @ y**2)
    spreads, precision = list(spreads), np.empty(len(gram))
    for _ in range(ROUNDS):
        for group, spread in zip(groups, spreads, strict=True):
            precision[group.columns] = variance / spread**2
        inverse = np.linalg.inv(gram + np.diag(precision))
        told = 1 - precision * np.diag(inverse)
        coefficients = inverse @ score
        before = [variance, *spreads]
        loss = total - 2 * coefficients @ score + coefficients @ gram @ coefficients
        variance = max(loss / max(len(y) - told.sum(), 1.0), FINEST**2)
        for i, group in enumerate(groups):
            if group.learned and len(group.columns):
                squares = float(np.sum(coefficients[group.columns] ** 2)) + group.spread**2
                spreads[i] = float(np.sqrt(squares / (told[group.columns].sum() + 1)))
        if np.allclose(before, [variance, *spreads], rtol=SETTLED):
            break
    return spreads, variance
