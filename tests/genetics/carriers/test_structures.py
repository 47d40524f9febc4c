"""Exact inference against the model summed the long way."""

from dataclasses import replace

import numpy as np
import pytest

from pipeline.genetics.carriers.solving import solve
from pipeline.genetics.collection import Animal, Settings
from tests.genetics.carriers.oracle import posteriors
from tests.genetics.carriers.random_books import CATALOGUES, random_book


def _difference(collection):
    """The largest difference of any probability, and that of ln P(records)."""
    worst, evidence = 0.0, 0.0
    every = solve(collection)
    slow = posteriors(collection, [solved.family for solved in every])
    for solved, (weight, states, sires) in zip(every, slow, strict=True):
        groups = list(collection.catalogues[solved.family.species].groups)
        evidence = max(evidence, abs(solved.posterior.log_evidence - np.log(weight)))
        for i, stack in enumerate(solved.stacks):
            scores = solved.posterior.scores[i]
            for g, space in enumerate(stack.spaces):
                expected = states[groups.index(space.group)]
                for animal, own in solved.posterior.states.items():
                    kind = scores.kind_of(animal)
                    known = {diplotype: p for (_, diplotype), p in expected[animal].items()}
                    fast = dict(zip(space.states[kind], own[i][g], strict=True))
                    worst = max([worst, *(abs(p - known.get(d, 0.0)) for d, p in fast.items())])
        for own, chances in zip(solved.posterior.sires, sires, strict=True):
            worst = max([worst, *np.abs(own - np.array(chances))])
    return worst, evidence


SLOW = {"series": 8, "ranked series": 8, "linked": 5}
"""Pedigrees of modes with many states, for which the long way takes up to a second each."""


@pytest.mark.parametrize("mode", CATALOGUES)
def test_summed__equals_brute_force_over_genotypes_and_sires(mode):
    for seed in range(SLOW.get(mode, 20)):
        worst, evidence = _difference(random_book(seed, mode, animals=4))
        assert worst < 1e-9, seed
        assert evidence < 1e-9, seed


@pytest.mark.study
@pytest.mark.parametrize("mode", CATALOGUES)
def test_summed__equals_brute_force_on_hundreds_of_pedigrees(mode):
    for seed in range(1000, 1200):
        assert max(_difference(random_book(seed, mode, animals=5 if mode not in SLOW else 4))) < 1e-9, seed


def test_summed__leaves_a_structure_out_in_which_an_animal_is_its_own_ancestor():
    """Two males of unknown age may each have sired the other's clutch, never both at once."""
    book = random_book(0, "recessive", animals=4)
    herd = {
        "D": Animal("D", "Boa", "F"),
        "S": Animal("S", "Boa", "M"),
        "X": Animal("X", "Boa", "M", sire="S", dam="D"),
        "Y": Animal("Y", "Boa", "M", sire="S", dam="D", born_year=2015),
    }
    (solved,) = solve(replace(book, animals=herd, pairings={}, young=(), settings=Settings(wrong_sire=0.4)))
    assert [len(sires) for sires in solved.posterior.sires] == [3, 3]
    assert sum(solved.posterior.sires[0]) == pytest.approx(1)
    assert solved.posterior.log_evidence == pytest.approx(0)
