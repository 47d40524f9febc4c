"""Exact inference against the model summed the long way."""

import numpy as np
import pytest

from pipeline.genetics.carriers.solving import solve
from tests.genetics.carriers.oracle import posteriors
from tests.genetics.carriers.random_books import CATALOGUES, random_book


def _difference(collection):
    """The largest difference of any probability, and that of ln P(records)."""
    worst, evidence = 0.0, 0.0
    for solved, (weight, states, sires) in zip(solve(collection), posteriors(collection), strict=True):
        groups = list(collection.catalogues[solved.family.species].groups)
        evidence = max(evidence, abs(solved.posterior.log_evidence - np.log(weight)))
        for i, stack in enumerate(solved.stacks):
            scores = solved.posterior.scores[i]
            for g, space in enumerate(stack.spaces):
                expected = states[groups.index(space.group)]
                for animal, own in solved.posterior.states.items():
                    kind = scores.kind_of(animal)
                    slow = {}
                    for (_, diplotype), p in expected[animal].items():
                        slow[diplotype] = p
                    fast = dict(zip(space.states[kind], own[i][g], strict=True))
                    worst = max([worst, *(abs(p - slow.get(d, 0.0)) for d, p in fast.items())])
        for own, slow in zip(solved.posterior.sires, sires, strict=True):
            worst = max([worst, *np.abs(own - np.array(slow))])
    return worst, evidence


@pytest.mark.parametrize("mode", CATALOGUES)
def test_summed__equals_brute_force_over_genotypes_and_sires(mode):
    for seed in range(30):
        worst, evidence = _difference(random_book(seed, mode))
        assert worst < 1e-9, seed
        assert evidence < 1e-9, seed
