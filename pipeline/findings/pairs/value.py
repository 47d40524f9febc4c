"""What a typical litter of each pair would fetch at today's prices."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.findings.pairs.couples import Couples
from pipeline.findings.pairs.mixtures import distinct, one_of
from pipeline.findings.pairs.outcomes import Outcomes
from pipeline.findings.pairs.spaces import Groups
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


def litter_values(
    found: Outcomes, groups: Groups, couples: Couples, young: int, prices: LabelPrices
) -> Values:
    """The value of `young` live young of each pair, whose young are `found`.

    The range holds what single prices scatter (labels each for itself, as in season_value), that a litter's mix varies
    by chance, and that littermates share what their parents hide: all as variances, ends apart. It never reaches below 0.
    """
    pairs = couples.size
    worths = prices.worths(found.labels)
    price, low, high = (_numbers([getattr(w, name) for w in worths]) for name in ("price", "low", "high"))
    known = ~np.isnan(price)[found.label]
    pair, label, share = found.pair[known], found.label[known], found.probability[known]

    def total(each: np.ndarray) -> np.ndarray:
        return np.bincount(pair, weights=each, minlength=pairs)

    mean = total(share * price[label])
    shared = _shared(found, np.where(known, found.probability * price[found.label], 0.0), groups, couples)
    mix = young * (total(share * price[label] ** 2) - mean**2) + (young**2 - young) * shared
    down = total((young * share * (price - low)[label]) ** 2)
    up = total((young * share * (high - price)[label]) ** 2)
    priced = total(share)
    value = np.where(priced > 0, young * mean, np.nan)
    spread = REACH**2 * np.maximum(mix, 0)
    return Values(value, np.maximum(value - np.sqrt(down + spread), 0), value + np.sqrt(up + spread), priced)


def _shared(found: Outcomes, fetched: np.ndarray, groups: Groups, couples: Couples) -> np.ndarray:
    """By pair the variance of what one young is worth with what its parents are: that which littermates share.

    `fetched` is by entry of `found` its probability times its price. The linkage groups' parts are added up, without what
    two of them make together (the first terms of Hoeffding 1948, from memory).
    """
    variance = np.zeros(couples.size)
    for g, space in enumerate(groups.spaces):
        told = [groups.looks(g, sex) for sex in groups.sexes]
        starts = np.cumsum([0, *(len(own.looks) for own in told)])
        tables = [
            space.young(sex) @ own.columns[:, : len(own.looks)] / len(told)
            for sex, own in zip(groups.sexes, told, strict=True)
        ]
        looks = np.concatenate(tables, axis=-1)
        kinds, place = distinct(looks.reshape(-1, starts[-1]))
        weights = couples.weigh(g, one_of(place, len(kinds)).reshape(*looks.shape[:2], -1))
        chance = weights @ kinds
        cell = found.pair * starts[-1] + starts[found.sex] + found.looks[:, g]
        worth = np.bincount(cell, weights=fetched, minlength=chance.size).reshape(chance.shape)
        each = np.divide(worth, chance, out=np.zeros_like(worth), where=chance > 0) @ kinds.T
        variance += (weights * each**2).sum(axis=1) - (weights * each).sum(axis=1) ** 2
    return np.maximum(variance, 0.0)


def _numbers(prices: Sequence[float | None]) -> np.ndarray:
    return np.array([np.nan if price is None else price for price in prices], dtype=float)
