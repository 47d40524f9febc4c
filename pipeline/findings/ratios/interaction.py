"""Whether two independent genes travel together, where expected counts are too small for chi-square: by simulation.

The interaction of a pair is the chi-square of its joint classes less those of the two genes alone. Its distribution
under the null is drawn from the multinomial of the pair itself.
"""

import zlib

import numpy as np

from pipeline.findings.ratios.distributions import Distribution
from pipeline.findings.ratios.multinomial import Floats

DRAWS = 1_999
"""Simulated litters behind each p-value: the smallest it can be is 1 in 2,000."""

Sides = tuple[bool, bool]
"""For each of the two genes whether daughters and sons are classes apart at it."""


class Interactions:
    """Simulated interactions by distribution and number of young, each drawn once."""

    def __init__(self, seed: int) -> None:
        self._seed = seed
        self._drawn: dict[tuple[Distribution, int, Sides, int], Floats] = {}

    def p(self, statistic: float, pairs: list[tuple[Distribution, int]], sexed: Sides) -> float:
        """(b + 1) / (m + 1), b of m simulated interactions being as large as `statistic`.

        `pairs` are the distributions of the pair's classes, each with its number of young (those sexed apart from
        those not); their interactions add up.
        """
        drawn = np.sum([self._of(d, n, sexed, stream) for stream, (d, n) in enumerate(pairs)], axis=0)
        return float((np.count_nonzero(drawn >= statistic - 1e-9) + 1) / (DRAWS + 1))

    def _of(self, pair: Distribution, n: int, sexed: Sides, stream: int) -> Floats:
        key = (pair, n, sexed, stream)
        if key not in self._drawn:
            generator = np.random.default_rng(
                [self._seed, stream, n, zlib.crc32(repr(pair.classes).encode())]
            )
            counts = generator.multinomial(n, pair.probabilities / pair.probabilities.sum(), DRAWS)
            sides = [self._side(pair, i, apart) for i, apart in enumerate(sexed)]
            whole = _chi_squares(counts, n * pair.probabilities)
            parts = [_chi_squares(counts @ side, n * pair.probabilities @ side) for side in sides]
            self._drawn[key] = whole - parts[0] - parts[1]
        return self._drawn[key]

    @staticmethod
    def _side(pair: Distribution, gene: int, apart: bool) -> Floats:
        """Which class of one gene each class of the pair belongs to, as a matrix of 0 and 1."""
        own = [(kind.sex if apart else None, kind.looks[gene]) for kind in pair.classes]
        classes = list(dict.fromkeys(own))
        return np.array([[float(one == other) for other in classes] for one in own])


def _chi_squares(counts: np.ndarray, expected: Floats) -> Floats:
    return ((counts - expected) ** 2 / expected).sum(axis=1)
