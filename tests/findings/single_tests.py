"""One test from plain numbers, where the pipeline runs many at once."""

from collections.abc import Sequence

import numpy as np
from scipy.special import gammaln

from pipeline.findings.ratios.multinomial import Floats, outcome_tables
from pipeline.findings.ratios.testing import Block, ratio_of


def block(counts: Sequence[float] | Floats, probabilities: Sequence[float] | Floats) -> Block:
    """A block; `probabilities` may be any positive weights."""
    weights = np.asarray(probabilities, dtype=float)
    shares = weights / weights.sum()
    return Block(np.asarray(counts, dtype=float), shares, ratio_of(shares))


def log_probability(counts: Floats, probabilities: Floats) -> float:
    """Logarithm of the multinomial probability of the counts; every probability above 0."""
    return float(gammaln(counts.sum() + 1) - gammaln(counts + 1).sum() + counts @ np.log(probabilities))


def exact_p(counts: Floats, probabilities: Floats) -> float:
    """The exact multinomial p-value of one set of counts; every probability above 0."""
    n = int(counts.sum())
    return float(outcome_tables(probabilities, [n])[n].tail(log_probability(counts, probabilities)))
