"""The quickest way by trying everything: every pair of every genotype, over and over, until nothing gets quicker.

Slow and plain. Young come from `crosses.cross`, genotype by genotype; the search's own tables are not used.
"""

from dataclasses import dataclass
from functools import cache
from itertools import product
from math import inf

from pipeline.genetics.crosses import Parent, cross, genotype, parent_from
from pipeline.genetics.genes import SEXES, Catalogue, Inheritance
from pipeline.genetics.labels import read_label
from pipeline.genetics.routes.search import Stock
from pipeline.genetics.routes.space import GoalSpace
from pipeline.genetics.routes.timing import Timing
from pipeline.genetics.statements import genotypes_at


@dataclass(frozen=True)
class Beast:
    """An animal at hand: its label, and the first season it can be paired in."""

    name: str
    sex: str
    label: str
    ready: int


def stock_of(space: GoalSpace, beasts: list[Beast]) -> list[Stock]:
    """The animals as the search takes them."""
    found = []
    for one in beasts:
        groups = parent_from(read_label(one.label, space.full), one.sex, space.full).groups
        found.append(Stock(one.name, one.sex, one.ready, space.parts(space.odds(groups, one.sex))))
    return found


class Exhaustive:
    """All ways at once. Every gene of the catalogue must be one of the goal's."""

    def __init__(self, catalogue: Catalogue, goal: str, beasts: list[Beast], timing: Timing) -> None:
        self.catalogue, self.timing = catalogue, timing
        self.goal = read_label(goal, catalogue)
        self.known: dict[tuple, float] = {}
        self.beasts = [(one, self._mixture(one)) for one in beasts]
        self._young = cache(self._young_of)

    def best(self, generations: int | None = None) -> float:
        """The expected season of the goal; `generations`: pairings in a row at most, the goal's own included."""
        best, sweeps = inf, 0
        while True:
            before, animals = dict(self.known), self._animals()
            for dam, sire in product(animals["F"], animals["M"]):
                best = min(best, self._weigh(dam, sire))
            sweeps += 1
            if self.known == before or sweeps == generations:
                return best

    def _mixture(self, one: Beast) -> list[tuple[tuple, float]]:
        groups = parent_from(read_label(one.label, self.catalogue), one.sex, self.catalogue).groups
        chosen = product(*(group.items() for group in groups))
        mixture = []
        for choice in chosen:
            weight = 1.0
            for _, share in choice:
                weight *= float(share)
            mixture.append((tuple(state for state, _ in choice), weight))
        return mixture

    def _animals(self) -> dict[str, list]:
        found = {sex: [(one.ready, own) for one, own in self.beasts if one.sex == sex] for sex in SEXES}
        for (sex, state), cost in self.known.items():
            found[sex].append((cost, [(state, 1.0)]))
        return found

    def _weigh(self, dam: tuple, sire: tuple) -> float:
        """Note all young of a pair that come sooner than known; the season of the goal by it."""
        start, n = max(dam[0], sire[0]), self.timing.litter
        chances: dict[tuple, float] = {}
        goal = 0.0
        for (mother, p), (father, q) in product(dam[1], sire[1]):
            young = self._young(mother, father)
            for key, (right, look, _) in young.items():
                chances[key] = chances.get(key, 0) + p * q * (1 - (1 - look) ** n) * right / look
            looks = {self._look(key) for key, (*_, wanted) in young.items() if wanted}
            alike = sum(right for key, (right, *_) in young.items() if self._look(key) in looks)
            wanted = sum(right for right, _, wanted in young.values() if wanted)
            goal += p * q * (1 - (1 - alike) ** n) * wanted / alike if wanted else 0
        for (sex, state), chance in chances.items():
            cost = start + (1 / chance - 1) * self.timing.cycle + self.timing.growth[sex]
            if cost < self.known.get((sex, state), inf) - 1e-9:
                self.known[sex, state] = cost
        return start + (1 / goal - 1) * self.timing.cycle if goal else inf

    def _young_of(self, mother: tuple, father: tuple) -> dict[tuple, tuple[float, float, bool]]:
        """Of all young: the share of each sex and genotype, that of its look in its sex, and whether it is the goal."""
        parents = [Parent(sex, tuple({s: 1} for s in own)) for sex, own in (("F", mother), ("M", father))]
        found = cross(*parents, self.catalogue)
        shares: dict[tuple, float] = {}
        for sex in SEXES:
            for choice in product(*(group.items() for group in found.young[sex])):
                share = float(found.sexes[sex])
                for _, weight in choice:
                    share *= float(weight)
                if share:
                    key = (sex, self._folded(tuple(state for state, _ in choice)))
                    shares[key] = shares.get(key, 0) + share
        looks: dict[tuple, float] = {}
        for key, share in shares.items():
            looks[self._look(key)] = looks.get(self._look(key), 0) + share
        return {key: (share, looks[self._look(key)], self._wanted(key)) for key, share in shares.items()}

    def _folded(self, state: tuple) -> tuple:
        """Two copies of a dominant gene as one, where the goal takes both and the gene is alone in its group."""
        folded = []
        for group, own in zip(self.catalogue.groups, state, strict=True):
            gene = group.loci[0].genes[0]
            alone = len(group.loci) == 1 and len(group.loci[0].genes) == 1 and len(own) == 2
            any_copies = all(shown.copies is None for shown in self.goal.shows if shown.gene == gene.name)
            asked = gene.name in {shown.gene for shown in self.goal.shows}
            if (
                alone
                and gene.inheritance is Inheritance.DOMINANT
                and any_copies
                and asked
                and own == ((1,), (1,))
            ):
                own = ((0,), (1,))
            folded.append(own)
        return tuple(folded)

    def _look(self, key: tuple) -> tuple:
        sex, state = key
        return (
            sex,
            *(
                locus.appearance(genotype(own, i))
                for group, own in zip(self.catalogue.groups, state, strict=True)
                for i, locus in enumerate(group.loci)
            ),
        )

    def _wanted(self, key: tuple) -> bool:
        spoken = self.goal.genes()
        return all(
            genotype(own, i) in genotypes_at(self.goal, locus, single_copy=len(own) == 1)
            for group, own in zip(self.catalogue.groups, key[1], strict=True)
            for i, locus in enumerate(group.loci)
            if not spoken.isdisjoint(gene.name for gene in locus.genes)
        )
