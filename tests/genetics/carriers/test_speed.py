"""How long carrier odds take, beside pyAgrum on the same network in the same run; run with -m benchmark -s."""

from math import log
from time import perf_counter

import numpy as np
import pytest

from pipeline.genetics.carriers.odds import carriers
from pipeline.genetics.carriers.solving import solve
from pipeline.genetics.collection import Settings
from tests.genetics.carriers.books import book
from tests.genetics.carriers.random_books import closed_pedigree
from tests.genetics.carriers.test_reference import reference

pytestmark = pytest.mark.benchmark


def _seconds(call, times=3):
    took = []
    for _ in range(times):
        start = perf_counter()
        answer = call()
        took.append(perf_counter() - start)
    return min(took), answer


def test_solve__is_twenty_times_faster_than_pyagrum_on_a_closed_thousand():
    """pyAgrum's time includes building its network, ours includes everything from the collection on."""
    settings = Settings(wrong_sire=0)
    collection = book(closed_pedigree(1000, 1), settings=settings)
    ours, solved = _seconds(lambda: solve(collection))
    theirs, expected = _seconds(lambda: reference(collection, settings), times=1)
    print(
        f"\n1,000 animals, one locus: ours {ours * 1000:.0f} ms, pyAgrum {theirs * 1000:.0f} ms, {theirs / ours:.0f} times"
    )
    for family in solved:
        for animal, states in family.posterior.states.items():
            assert np.abs(states[0][0] - expected[animal]).max() < 1e-8
    assert theirs > 20 * ours


def _families(count):
    """Rows of so many closed pedigrees of 500 animals that share no animal."""

    def own(i, name):
        return name and f"{i}-{name}"

    return [
        (own(i, name), sex, label, own(i, sire), own(i, dam))
        for i in range(count)
        for name, sex, label, sire, dam in closed_pedigree(500, i)
    ]


def test_carriers__grow_in_proportion_to_animals():
    counts, took = (1, 2, 4, 8), []
    for count in counts:
        collection = book(_families(count), settings=Settings(wrong_sire=0))
        took.append(_seconds(lambda collection=collection: carriers(collection), times=1)[0])
    exponent = log(took[-1] / took[0]) / log(counts[-1] / counts[0])
    print(f"\n{[500 * c for c in counts]} animals: {[round(t, 2) for t in took]} s, exponent {exponent:.2f}")
    assert exponent < 1.3
