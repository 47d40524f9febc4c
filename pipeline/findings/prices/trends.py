"""Is there a trend, and how steep: Mann-Kendall's test and Theil-Sen's slope, neither moved by a few odd prices.

Mann 1945, Econometrica 13:245-259; Kendall, Rank Correlation Methods; Theil 1950; Sen 1968, J. Am. Stat. Assoc.
63:1379-1389 (the last seen in the documentation of R packages, the others from memory). Written out here because the
statistics part of scipy takes 0.7 s to load; the tests hold them to its results.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from pipeline.findings.prices.robust import Floats

EXACT_UP_TO = 10
"""From eleven values on the normal approximation errs by less than 0.01 in p."""


@dataclass(frozen=True)
class Slope:
    """Theil-Sen: slope and its interval per unit of x. The line passes through (`x0`, `y0`), the medians."""

    slope: float
    low: float
    high: float
    x0: float
    y0: float


@dataclass(frozen=True)
class Trend:
    """Mann-Kendall: `s` counts rises less falls over all pairs; `p` is two-sided; `exact` says how it was got."""

    s: int
    variance: float
    z: float
    p: float
    exact: bool


def theil_sen(x: ArrayLike, y: ArrayLike, level: float = 0.95) -> Slope:
    """The median of the slopes of all pairs that differ in x, with Sen's interval. ValueError where none do.

    Where x and y both have ties the variance keeps Kendall's two terms that Sen leaves out: the interval is the wider.
    """
    from scipy.special import ndtri

    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    run, rise = _pairs(x), _pairs(y)
    if not np.any(run):
        raise ValueError("a slope needs values at two different x")
    slopes = np.sort(rise[run != 0] / run[run != 0])
    reach = ndtri((1 + level) / 2) * np.sqrt(_variance(x, y))
    lower = max(round((len(slopes) - reach) / 2) - 1, 0)
    upper = min(round((len(slopes) + reach) / 2), len(slopes) - 1)
    middle = np.median(slopes), slopes[lower], slopes[upper], np.median(x), np.median(y)
    return Slope(*(float(value) for value in middle))


def mann_kendall(x: ArrayLike, y: ArrayLike) -> Trend:
    """Whether y tends to rise or fall with x (time); ties in either are allowed for.

    Without ties and up to EXACT_UP_TO values p is exact, else normal with continuity correction.
    """
    from scipy.special import ndtr

    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    n = len(x)
    s = int(np.sum(np.sign(_pairs(x)) * np.sign(_pairs(y))))
    variance = _variance(x, y)
    z = float((s - np.sign(s)) / np.sqrt(variance)) if variance > 0 else 0.0
    untied = len(np.unique(x)) == n == len(np.unique(y))
    if untied and n <= EXACT_UP_TO:
        return Trend(s, variance, z, min(1.0, 2 * exact_tail(n, abs(s))) if s else 1.0, True)
    return Trend(s, variance, z, float(2 * ndtr(-abs(z))), False)


def exact_tail(n: int, s: int) -> float:
    """P(S >= s) when all n! orders of n different values are alike."""
    counts = _inversions(n)
    pairs = n * (n - 1) // 2
    return sum(count for falls, count in enumerate(counts) if pairs - 2 * falls >= s) / sum(counts)


@cache
def _inversions(n: int) -> tuple[int, ...]:
    """How many orders of n values have 0, 1, 2, … pairs out of order: the product of 1 + q + … + q^(i-1)."""
    counts = np.ones(1, dtype=object)
    for i in range(2, n + 1):
        counts = np.convolve(counts, np.ones(i, dtype=object))
    return tuple(int(count) for count in counts)


def _variance(x: Floats, y: Floats) -> float:
    """Variance of S with ties in both (Kendall); with ties in y alone it is the usual Mann-Kendall variance.

    Where all y are equal the three terms are 0 together, and in floating point a hair above or below.
    """
    n = len(x)
    first = n * (n - 1) * (2 * n + 5) - _tied(x, 1) - _tied(y, 1)
    second = _tied(x, 2) * _tied(y, 2) / (9 * n * (n - 1) * (n - 2)) if n > 2 else 0.0
    third = _tied(x, 0) * _tied(y, 0) / (2 * n * (n - 1)) if n > 1 else 0.0
    return max(float(first / 18 + second + third), 0.0)


def _tied(values: Floats, kind: int) -> float:
    """Sum over groups of t equal values of t(t-1), t(t-1)(2t+5) or t(t-1)(t-2)."""
    t = np.unique(values, return_counts=True)[1].astype(float)
    return float(np.sum(t * (t - 1) * (np.ones_like(t), 2 * t + 5, t - 2)[kind]))


def _pairs(values: Floats) -> Floats:
    """Later value less earlier one for every pair, by position."""
    earlier, later = np.triu_indices(len(values), 1)
    return values[later] - values[earlier]
