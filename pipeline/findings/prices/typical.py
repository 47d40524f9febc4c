"""The typical price of the last year and the range that such prices keep to."""

from dataclasses import dataclass

import numpy as np

from pipeline.findings.prices.robust import FINEST, Floats

LAST_YEAR = 365
HALVING = 182.5
"""Days after which a price counts half: last spring's adverts say more of today than last summer's."""
FEWEST = 3
"""Two prices have a middle but show no more of their spread than the one gap between them."""


@dataclass(frozen=True)
class Typical:
    """Weighted median and 80 % range, in the currency of the prices; NaN with fewer than three."""

    n: int
    price: float
    low: float
    high: float


def typical_price(days: Floats, prices: Floats, today: int) -> Typical:
    """What a morph fetches, from prices (> 0) on ordinal days within the year before `today`.

    The range is the 80 % prediction interval of one more such price: median times exp(± t s sqrt(1 + 1/n)), with s the
    weighted scatter of log price (FINEST at least: prices alike are no proof of the next one) and n the effective number
    (sum of weights, squared, over the sum of squares).
    """
    recent = (days > today - LAST_YEAR) & (days <= today)
    n = int(recent.sum())
    if n < FEWEST:
        return Typical(n, np.nan, np.nan, np.nan)
    from scipy.special import stdtrit

    logs = np.log(prices[recent])
    weights = 0.5 ** ((today - days[recent]) / HALVING)
    weights /= weights.sum()
    effective = 1 / np.sum(weights**2)
    middle = weighted_median(logs, weights)
    scatter = np.sqrt(np.sum(weights * (logs - middle) ** 2) * effective / (effective - 1))
    half = stdtrit(effective - 1, 0.9) * max(scatter, FINEST) * np.sqrt(1 + 1 / effective)
    return Typical(n, *(float(v) for v in np.exp(middle + half * np.array([0, -1, 1]))))


def weighted_median(values: Floats, weights: Floats) -> float:
    """The value at which half the weight lies on either side; with equal weights the plain median."""
    order = np.argsort(values, kind="stable")
    share = weights[order] / weights.sum()
    return float(np.interp(0.5, np.cumsum(share) - share / 2, values[order]))
