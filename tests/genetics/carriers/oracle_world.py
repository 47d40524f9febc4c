"""One linkage group of a family: the states an animal may have, and what its parents give it.

A state is (sex, diplotype); the sex is None where it makes no difference.
"""

from itertools import combinations_with_replacement, product
from math import prod

from pipeline.genetics.crosses import gametes, genotype, viable
from tests.genetics.carriers.oracle_labels import Labels


class World(Labels):
    """States with their weights, as dicts; a young's and a founder's add up to 1."""

    def __init__(self, collection, family, catalogue, group):
        super().__init__(family, group, collection.settings)
        self.single = catalogue.sex_chromosomes.single_copy_sex if group.sex_linked else None
        self.roles = {h.parent: h.role for h in family.halves}
        for clutch in family.clutches:
            self.roles[clutch.dam] = "F"
            for c in clutch.candidates:
                if c.recorded:
                    self.roles[c.male] = "M"
        self.couples = {}

    def sex(self, animal):
        looked = self.family.looks.get(animal)
        return self.roles.get(animal) or self.family.animals[animal].sex or (looked.sex if looked else None)

    def sexes(self, sex):
        """The sexes to be told apart; None stands for either where it makes no difference."""
        if self.single is None:
            return [None]
        return [sex] if sex else ["F", "M"]

    def copies(self, sex):
        return 1 if self.single is not None and sex == self.single else 2

    def all(self, sex):
        haplotypes = list(product(*(range(len(locus.genes) + 1) for locus in self.group.loci)))
        pairs = combinations_with_replacement(haplotypes, self.copies(sex))
        return [d for d in pairs if viable(d, self.group)]

    def background(self, sex):
        return self._phased(
            sex, lambda locus, own: self._random(locus, own, self.settings.background_carrier)
        )

    def _phased(self, sex, odds):
        """Genotype weights as diplotype weights; every phase alike."""
        n = len(self.group.loci)
        haplotypes = product(*(range(len(locus.genes) + 1) for locus in self.group.loci))
        phases = {}
        for d in combinations_with_replacement(list(haplotypes), self.copies(sex)):
            key = tuple(genotype(d, i) for i in range(n))
            phases[key] = phases.get(key, 0) + 1
        found = {}
        for d in self.all(sex):
            key = tuple(genotype(d, i) for i in range(n))
            found[d] = (
                prod(odds(locus, own) for locus, own in zip(self.group.loci, key, strict=True)) / phases[key]
            )
        return found

    def founder(self, animal):
        row = self.family.animals[animal]
        error = self.error(row)
        found = {}
        sexes = self.sexes(self.sex(animal))
        for sex in sexes:
            own = self._phased(sex, lambda locus, g: self._founder(row.label, locus, g, error))
            names = {gene.name for locus in self.group.loci for gene in locus.genes}
            if (
                len(sexes) == 2
                and sex == self.single
                and row.label
                and any(c.gene in names for c in row.label.carries)
            ):
                continue
            found |= {(sex, d): p / len(sexes) for d, p in own.items()}
        return found

    def young(self, dam, sire, sex):
        """Living young of two states, the dead struck and the rest rescaled."""
        key = (dam[1], sire[1], sex)
        if key in self.couples:
            return self.couples[key]
        found = {}
        for own in self.sexes(sex):
            for (a, p), (b, q) in product(
                gametes(dam[1], self.group).items(), gametes(sire[1], self.group).items()
            ):
                one = (a,) if own == "M" else (b,)
                d = one if self.copies(own) == 1 else tuple(sorted((a, b)))
                if viable(d, self.group):
                    found[own, d] = found.get((own, d), 0) + float(p * q)
        whole = sum(found.values())
        self.couples[key] = {s: p / whole for s, p in found.items()} if whole else {}
        return self.couples[key]

    def sexes_of(self, clutch, dam, sire):
        """Twice P(sex | alive) of every sexed young of a hatched clutch; what was kept without a row was chosen."""
        sexed = [(y.sex, y.count) for y in clutch.tallies if y.outcome.value != "slug"]
        sexed += [(self.sex(child), 1) for child in clutch.children if clutch.key[0]]
        if self.single is None:
            return 1.0
        born = self.young(dam, sire, None)
        shares = {own: 2 * sum(p for (sex, _), p in born.items() if sex == own) for own in "FM"}
        return prod(shares[sex] ** count for sex, count in sexed if sex)

    def half(self, half, chosen):
        found = {}
        other = "M" if half.role == "F" else "F"
        for d, p in self.background(other).items():
            couple = (chosen[half.parent], (other, d))
            young = self.young(*(couple if half.role == "F" else couple[::-1]), self.sex(half.animal))
            for s, q in young.items():
                found[s] = found.get(s, 0) + p * q * self.said(half.animal, s, percents=True)
        return found

    def tallies(self, clutch, dam, sire):
        key = (clutch.key, dam[1], sire[1])
        if key not in self.known:
            self.known[key] = self._tallies(clutch, dam, sire)
        return self.known[key]

    def _tallies(self, clutch, dam, sire):
        value = 1.0
        for young in clutch.tallies:
            if young.label is not None and young.outcome.value != "slug":
                each = self.young(dam, sire, young.sex)
                value *= sum(p * self._hatched(young, d) for (_, d), p in each.items()) ** young.count
        return value
