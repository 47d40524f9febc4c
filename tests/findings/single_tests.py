"""One test from plain numbers, where the pipeline runs many at once."""

from collections.abc import Sequence

import numpy as np

from pipeline.findings.ratios.multinomial import Floats, log_probability, outcome_tables
from pipeline.findings.ratios.testing import Block, ratio_of


def block(counts: Sequence[float] | Floats, probabilities: Sequence[float] | Floats) -> Block:
    """A block; `probabilities` may be any positive weights."""
    weights = np.asarray(probabilities, dtype=float)
    shares = weights / weights.sum()
    return Block(np.asarray(counts, dtype=float), shares, ratio_of(shares))


def exact_p(counts: Floats, probabilities: Floats) -> float:
    """The exact multinomial p-value of one set of counts; every probability above 0."""
    n = int(counts.sum())
    return float(outcome_tables(probabilities, [n])[n].tail(log_probability(counts, probabilities)))
