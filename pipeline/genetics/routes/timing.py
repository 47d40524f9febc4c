"""How litters follow one another, and how long young grow."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

import numpy as np

from pipeline.genetics.genes import Sex


@dataclass(frozen=True)
class Timing:
    """Seasons: `cycle` from a female's litter to her next, `growth` from birth to breeding by sex. `litter`: young."""

    litter: float
    cycle: int
    growth: Mapping[Sex, int]

    def waits(self, chance: np.ndarray) -> np.ndarray:
        """Seasons in vain, on average, before the litter that brings what a litter has with that chance."""
        return (np.divide(1.0, chance, out=np.full_like(chance, inf), where=chance > 0) - 1) * self.cycle

    def chance(self, seasons: np.ndarray) -> np.ndarray:
        """The chance that a litter must have for no more than so many seasons in vain; over 1 where no litter will do."""
        return np.where(seasons >= 0, 1 / (np.maximum(seasons, 0) / self.cycle + 1) * (1 - 1e-12), 2.0)


def litter_chance(look: np.ndarray, right: np.ndarray, litter: float) -> np.ndarray:
    """c: the chance that a litter holds a young of the look, share `look`, times the share of those that are right.

    `right` is the share of all young that have the look and are right.
    """
    share = np.divide(right, look, out=np.zeros_like(right), where=look > 0)
    return at_least_one(look, litter) * share


def at_least_one(share: np.ndarray, litter: float) -> np.ndarray:
    """1 - (1 - q)^n: the chance that a litter of n has one of which a share q is to be had. Whole n by squaring: far quicker."""
    if litter != int(litter):
        return 1 - (1 - share) ** litter
    left, square, power = np.ones_like(share), 1 - share, int(litter)
    while power:
        if power % 2:
            left = left * square
        square, power = square * square, power // 2
    return 1 - left
