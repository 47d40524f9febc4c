"""What a typical litter of each pair would fetch at today's prices."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.findings.pairs.outcomes import Outcomes
from pipeline.findings.prices import LabelPrices

REACH = 1.2816
"""Standard deviations from the middle to either end of an 80 % range (normal)."""


@dataclass(frozen=True)
class Values:
    """By pair, in the keeper's currency: a litter's expected value with an 80 % range (NaN where nothing is priced), and the share of its
    young whose label has a price."""

    value: np.ndarray
    low: np.ndarray
    high: np.ndarray
    priced: np.ndarray


def litter_values(found: Outcomes, pairs: int, young: int, prices: LabelPrices) -> Values:
    """The value of `young` live young of each of `pairs` pairs.

    The range holds what single prices scatter (labels each for itself, as in season_value) and that a litter's mix
    varies by chance: both as variances, ends apart. It never reaches below 0.
    """
    worths = prices.worths(found.labels)
    price, low, high = (_numbers([getattr(w, name) for w in worths]) for name in ("price", "low", "high"))
    known = ~np.isnan(price)[found.label]
    pair, label, share = found.pair[known], found.label[known], found.probability[known]

    def total(each: np.ndarray) -> np.ndarray:
        return np.bincount(pair, weights=each, minlength=pairs)

    mean = total(share * price[label])
    mix = young * (total(share * price[label] ** 2) - mean**2)
    down = total((young * share * (price - low)[label]) ** 2)
    up = total((young * share * (high - price)[label]) ** 2)
    priced = total(share)
    value = np.where(priced > 0, young * mean, np.nan)
    spread = REACH**2 * np.maximum(mix, 0)
    return Values(value, np.maximum(value - np.sqrt(down + spread), 0), value + np.sqrt(up + spread), priced)


def _numbers(prices: Sequence[float | None]) -> np.ndarray:
    return np.array([np.nan if price is None else price for price in prices], dtype=float)
