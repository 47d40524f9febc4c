"""What carrier odds cost beside pyAgrum's exact engines on the same network: `python -m tests.benchmarks.carriers`.

Ours is all of it, from the collection to every marginal; theirs is the inference alone, by the faster of two engines, on one
thread as ours: a second takes more computing for the same work. Its variable elimination begins afresh for every animal and
is left out. All odds must agree to 1e-8. How much faster depends on the pedigree, so closed collections of 1,000 are several.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from random import Random
from time import process_time

import numpy as np

from pipeline.genetics.carriers.network import order_of
from pipeline.genetics.carriers.odds import Carriers, carriers
from pipeline.genetics.carriers.solving import solve
from pipeline.genetics.collection import Collection, Settings
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, SexChromosomes
from tests.benchmarks.measuring import Row, seconds, table
from tests.genetics.carriers.books import book
from tests.genetics.carriers.random_books import closed_pedigree
from tests.genetics.carriers.test_reference import library, marginals, reference_net

ENGINES = ("ShaferShenoyInference", "LazyPropagation")
OTHER = "pyAgrum, the faster of two exact engines"
CERTAIN = Settings(wrong_sire=0)
"""Every sire is as recorded, so that the network is one; all labels and readings may be wrong."""
CLOSED, IN_FAMILIES = "carriers, closed, 60 breeders", "carriers, in families of 50"
SIZES = {CLOSED: (250, 500, 1_000), IN_FAMILIES: (1_000, 10_000, 100_000)}
TEN = tuple(f"Gene {letter}" for letter in "ABCDEFGHIJ")


def rows(sizes: Mapping[str, Sequence[int]] = SIZES) -> Iterator[Row]:
    """Closed collections, and collections of families that share no animal."""
    for size in sizes[CLOSED]:
        yield beside(CLOSED, [book(sixty_breeders(size), settings=CERTAIN)])
    for size in sizes[IN_FAMILIES]:
        yield beside(IN_FAMILIES, [book(closed_pedigree(50, i), settings=CERTAIN) for i in range(size // 50)])


def beside(stage: str, families: list[Collection]) -> Row:
    """One locus of some families that share no animal, as one collection by us, one by one by the library."""
    whole = families[0] if len(families) == 1 else _together(families)
    ours = seconds(lambda: _afresh(whole))
    known = _states(whole)
    return Row(stage, len(whole.animals), "animals", ours, OTHER, _theirs(families, known))


def closed(seeds: Sequence[int] = range(6)) -> list[Row]:
    """Closed collections of 1,000 animals and 60 breeders, one a seed."""
    return [beside(CLOSED, [book(sixty_breeders(1_000, seed), settings=CERTAIN)]) for seed in seeds]


def sixty_breeders(size: int, seed: int = 0, founders: int = 8, latest: int = 8) -> list[tuple]:
    """Rows for books.book: 60 breeders at most, paired among the latest of either sex, until there are so many animals."""
    rng = Random(seed)
    animals, grown = [], {"F": [], "M": []}
    for i in range(founders):
        label = rng.choice(["Ash", "het Ash", "66% het Ash", "normal", None])
        animals.append((f"F{i}", "FM"[i % 2], label, None, None))
        grown["FM"[i % 2]].append(f"F{i}")
    while len(animals) < size:
        dam, sire = (rng.choice(grown[sex][-latest:]) for sex in "FM")
        for _ in range(min(rng.randint(3, 10), size - len(animals))):
            label = rng.choice(["normal", "normal", "normal", "Ash", None])
            animals.append((f"C{len(animals)}", rng.choice("FM"), label, sire, dam))
        if sum(map(len, grown.values())) < 60:
            grown[animals[-1][1]].append(animals[-1][0])
    return animals


def ten_genes(size: int = 1_000) -> tuple[float, Carriers]:
    """Seconds for the carrier odds of ten unlinked genes, any sire in doubt, and the odds."""
    genes = tuple(Gene(name, Inheritance.RECESSIVE, name) for name in TEN)
    known = Catalogue("Boa", genes, SexChromosomes.XY)
    rng, rows = Random(1), []
    for name, sex, _, sire, dam in sixty_breeders(size):
        words = [rng.choice(["{}"] + ["het {}"] * 3 + [""] * 20).format(gene) for gene in TEN]
        if sire:
            words = [gene if rng.random() < 0.02 else "" for gene in TEN]
        rows.append((name, sex, ", ".join(filter(None, words)) or "normal", sire, dam))
    collection = book(rows, catalogue=known, settings=Settings())
    start = process_time()
    found = carriers(collection)
    return process_time() - start, found


def _theirs(families: list[Collection], known: Mapping[str, np.ndarray]) -> float:
    """Seconds of the faster engine over all families, each answer checked against ours."""
    library().setNumberOfThreads(1)
    taken = dict.fromkeys(ENGINES, 0.0)
    for i, family in enumerate(families):
        net, said = reference_net(family, family.settings)
        for name in ENGINES:
            engine = getattr(library(), name)(net)
            start = process_time()
            found = marginals(engine, said, family.animals)
            taken[name] += process_time() - start
            for animal, states in found.items():
                ours = known[animal if len(families) == 1 else f"{i}-{animal}"]
                if np.abs(states - ours).max() > 1e-8:
                    raise AssertionError(f"{name} has other odds of {animal}")
    return min(taken.values())


def _afresh(collection: Collection) -> None:
    """All of it, no order of elimination known from before."""
    order_of.cache_clear()
    solve(collection)


def _states(collection: Collection) -> dict[str, np.ndarray]:
    return {
        animal: own[0][0] for solved in solve(collection) for animal, own in solved.posterior.states.items()
    }


def _together(families: list[Collection]) -> Collection:
    """Families as one collection, their animals' IDs made different."""
    rows = []
    for i, family in enumerate(families):
        for own in family.animals.values():
            parents = (name and f"{i}-{name}" for name in (own.sire, own.dam))
            rows.append((f"{i}-{own.id}", own.sex, None, *parents))
    whole = book(rows, settings=CERTAIN)
    labels = [own.label for family in families for own in family.animals.values()]
    animals = zip(whole.animals.items(), labels, strict=True)
    return replace(whole, animals={name: replace(own, label=label) for (name, own), label in animals})


if __name__ == "__main__":
    print(table(list(rows())))
    many = closed()
    each = ", ".join(f"{row.ratio:.0f}" for row in many)
    whole = sum(row.theirs for row in many) / sum(row.ours for row in many)
    print(f"\nclosed collections of 1,000: {each} times as fast, all together {whole:.0f}")
    taken, found = ten_genes()
    print(f"\n10 genes, 1,000 animals, sires in doubt: {taken:.1f} s, {found.solved[0].posterior.method}")
