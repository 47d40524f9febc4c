"""Goodness-of-fit tests of many small clutches, exact p-values included, beside scipy test by test."""

from collections.abc import Iterator, Sequence

import numpy as np
from scipy.stats import chisquare, multinomial

from pipeline.findings.ratios.multinomial import Floats
from pipeline.findings.ratios.testing import fits
from tests.benchmarks.measuring import Row, seconds
from tests.findings.single_tests import block

SIZES = (200, 2_000, 20_000)
LOOPED = 100
RATIOS = ((1, 1), (3, 1), (1, 2, 1), (1, 1, 1, 1))
"""Of one and two genes; scipy enumerates the larger ones too slowly to wait for."""


def rows(sizes: Sequence[int] = SIZES) -> Iterator[Row]:
    """The loop is run on a few clutches and scaled; their p-values are compared first."""
    for size in sizes:
        clutches = invented(size)
        cases = [[block(counts, ratio)] for counts, ratio in clutches]
        looped = clutches[:LOOPED]
        ours = [fit.p_exact for fit in fits(cases[:LOOPED], seed=1)]
        if not np.allclose(ours, [one_by_one(*clutch) for clutch in looped], atol=1e-6):
            raise AssertionError("scipy finds other p-values")
        loop = seconds(lambda few=looped: [one_by_one(*clutch) for clutch in few]) * size / len(looped)
        yield Row(
            "exact tests",
            size,
            "clutches",
            seconds(lambda c=cases: fits(c, seed=1)),
            "scipy.stats in a loop",
            loop,
        )


def invented(size: int) -> list[tuple[Floats, Sequence[int]]]:
    """Clutches of 6 to 25 young with the ratio that they are tested against."""
    rng = np.random.default_rng(1)
    chosen = [RATIOS[i] for i in rng.integers(len(RATIOS), size=size)]
    numbers = rng.integers(6, 26, size)
    return [
        (rng.multinomial(n, np.array(ratio) / sum(ratio)).astype(float), ratio)
        for n, ratio in zip(numbers, chosen, strict=True)
    ]


def one_by_one(counts: Floats, ratio: Sequence[int]) -> float:
    """Chi-square and the exact test of one clutch: the chances of all outcomes no likelier than the one observed."""
    n, shares = int(counts.sum()), np.array(ratio) / sum(ratio)
    chisquare(counts, n * shares)
    outcomes = np.array(list(_outcomes(n, len(ratio))))
    logs = multinomial.logpmf(outcomes, n, shares)
    return float(np.exp(logs[logs <= multinomial.logpmf(counts, n, shares) + 1e-9]).sum())


def _outcomes(n: int, classes: int) -> Iterator[tuple[int, ...]]:
    if classes == 1:
        yield (n,)
        return
    for first in range(n + 1):
        yield from ((first, *rest) for rest in _outcomes(n - first, classes - 1))
