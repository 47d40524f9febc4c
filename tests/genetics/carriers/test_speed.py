"""How long carrier odds take, beside pyAgrum on the same network in the same run; run with -m benchmark -s."""

from math import log
from time import process_time

import numpy as np
import pytest

from pipeline.genetics.carriers.odds import carriers
from pipeline.genetics.carriers.posterior import SAMPLED
from pipeline.genetics.carriers.solving import solve
from pipeline.genetics.collection import Settings
from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book
from pipeline.workbook.template import write_book
from tests.genetics.carriers.books import book
from tests.genetics.carriers.random_books import closed_pedigree
from tests.genetics.carriers.test_reference import library, marginals, reference_net
from tests.simulate.colony import AS_OF, colony

pytestmark = pytest.mark.benchmark


def _seconds(call, times=3):
    """Processor time, the least of a few runs, and the answer."""
    took = []
    for _ in range(times):
        start = process_time()
        answer = call()
        took.append(process_time() - start)
    return min(took), answer


@pytest.mark.parametrize(
    ("dams", "sires", "engines", "least"),
    [
        (6, 3, ("LazyPropagation", "ShaferShenoyInference"), 2),
        (8, 4, ("LazyPropagation", "ShaferShenoyInference"), 20),
    ],
)
def test_solve__beside_pyagrums_fastest_engine_on_a_closed_thousand(dams, sires, engines, least):
    """Ours includes everything from the collection on, theirs the inference alone, not the building of the network.

    Its variable elimination begins afresh for every animal (54 s for the narrower thousand) and is left out.
    """
    settings = Settings(wrong_sire=0)
    collection = book(closed_pedigree(1000, 1, dams, sires), settings=settings)
    ours, solved = _seconds(lambda: solve(collection))
    print(
        f"\n1,000 animals, {dams} x {sires} breeders a time, one locus: ours {ours * 1000:.0f} ms of processor time"
    )
    net, said = reference_net(collection, settings)
    ratios = []
    for name in engines:
        engine = getattr(library(), name)(net)
        theirs, expected = _seconds(
            lambda engine=engine: marginals(engine, said, collection.animals), times=1
        )
        ratios.append(theirs / ours)
        print(f"pyAgrum {library().__version__} {name} {theirs * 1000:.0f} ms, {ratios[-1]:.0f} times")
        for family in solved:
            for animal, states in family.posterior.states.items():
                assert np.abs(states[0][0] - expected[animal]).max() < 1e-8
    assert min(ratios) > least


def test_carriers__a_closed_tangle_of_five_hundred_takes_half_a_minute_at_most(tmp_path):
    """350 breeders mated at random: exact tables would take over 10^30 entries."""
    path = tmp_path / "tangle.xlsx"
    write_book(path, colony(500, 3000, 10, 10, seed=1, lines=1))
    took, found = _seconds(lambda: carriers(checked(read_book(path), AS_OF).collection), times=1)
    known = max((s.posterior for s in found.solved), key=lambda own: len(own.states))
    print(f"\na tangle of 500 animals: {took:.1f} s, error {known.error:.3f}, {known.withheld} odds withheld")
    assert known.method == SAMPLED
    assert took < 30


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
