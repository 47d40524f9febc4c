"""From log weights and their errors to grams and the ends of an interval: the same for an animal's own curve and a pooled one."""

from functools import lru_cache

import numpy as np

from pipeline.findings.growth.curves import Floats

HEAVIEST = np.log(50.0)
"""A grown weight beyond fifty times the heaviest weighing means that the weighings say nothing of it."""
WIDEST = 1.5
"""A grown weight is called undetermined where its 80 % interval spans more than this factor, a fifth either way."""


@lru_cache(maxsize=1024)
def quantile(df: float, level: float) -> float:
    """How many errors Student's t with `df` degrees of freedom lies either way of its middle with probability `level`."""
    from scipy.special import stdtrit

    return float(stdtrit(df, (1 + level) / 2))


def weight_interval(log_weight: Floats, half: Floats) -> tuple[Floats, Floats, Floats]:
    """Weights in grams and the ends of their intervals, `half` a width on log weight (taken as fiftyfold at most)."""
    half = np.minimum(half, HEAVIEST)
    return np.exp(log_weight), np.exp(log_weight - half), np.exp(log_weight + half)


def grown_interval(log_weight: float, half: float) -> tuple[float, float, float]:
    """A grown weight in grams and its interval; all NaN where that is wider than WIDEST."""
    if 2 * half > np.log(WIDEST):
        return np.nan, np.nan, np.nan
    value, low, high = np.exp(log_weight + half * np.array([0, -1, 1]))
    return float(value), float(low), float(high)
