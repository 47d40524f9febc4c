"""The states an animal can be in at one linkage group, and Mendel's rules between them, as arrays.

A state is a diplotype that lives. Animals come in three kinds: with two copies of the group, with one (the sex with
one sex chromosome of that sort), or of unknown sex, whose states are those of both sexes.
"""

from collections.abc import Callable, Mapping
from enum import StrEnum
from functools import cached_property
from itertools import combinations_with_replacement, product

import numpy as np

from pipeline.genetics.crosses import Diplotype, gametes, genotype, viable
from pipeline.genetics.genes import Catalogue, Genotype, LinkageGroup, Locus, Sex


class Kind(StrEnum):
    """How many copies of the linkage group an animal has."""

    TWO = "two"
    ONE = "one"
    EITHER = "either"


class Space:
    """All states of one linkage group in one species.

    `catalogue` decides which sex has a single copy. Arrays are float64 and indexed by position in `states[kind]`.
    """

    def __init__(self, group: LinkageGroup, catalogue: Catalogue) -> None:
        self.group = group
        self.single_sex: Sex | None = catalogue.sex_chromosomes.single_copy_sex if group.sex_linked else None
        self.haplotypes = tuple(product(*(range(len(locus.genes) + 1) for locus in group.loci)))
        two = tuple(d for d in combinations_with_replacement(self.haplotypes, 2) if viable(d, group))
        one = tuple((h,) for h in self.haplotypes if viable((h,), group)) if self.single_sex else ()
        self.states: Mapping[Kind, tuple[Diplotype, ...]] = {
            Kind.TWO: two,
            Kind.ONE: one,
            Kind.EITHER: two + one,
        }
        self._trios: dict[Kind, np.ndarray] = {}

    @property
    def shape(self) -> tuple[int, int, Kind | None, Kind | None]:
        """Groups of equal shape can be computed side by side: numbers of states, and what a dam and a sire are."""
        return len(self.states[Kind.TWO]), len(self.states[Kind.ONE]), self.kind("F"), self.kind("M")

    def kind(self, sex: Sex | None) -> Kind:
        """The kind of an animal of that sex; None: unknown."""
        if self.single_sex is None:
            return Kind.TWO
        if sex is None:
            return Kind.EITHER
        return Kind.ONE if sex == self.single_sex else Kind.TWO

    def trio(self, kind: Kind) -> np.ndarray:
        """P(young | dam, sire, its kind, alive): dam states x sire states x young states.

        Young that can't live are struck and the rest of each couple rescaled; a couple none of whose young of that
        kind can live has a row of zeros. With `sexes` it is P(young, its sex | dam, sire, alive).
        """
        if kind not in self._trios:
            self._trios[kind] = self._trio(kind)
        return self._trios[kind]

    def sexes(self, sex: Sex) -> np.ndarray | None:
        """Twice P(sex | dam, sire, alive), dam states x sire states: half of all zygotes are of either sex, and those
        that die shift it. 1 where no young can live; None where no couple of the group has more of one sex.
        """
        genes = [gene for locus in self.group.loci for gene in locus.genes]
        if self.single_sex is None or not any(gene.lethal or gene.survival < 1 for gene in genes):
            return None
        alive = {kind: self._zygotes(kind).sum(axis=2) for kind in (Kind.TWO, Kind.ONE)}
        total = alive[Kind.TWO] + alive[Kind.ONE]
        return np.divide(2 * alive[self.kind(sex)], total, out=np.ones_like(total), where=total > 0)

    def young(self, sex: Sex | None) -> np.ndarray:
        """`trio` of young of that sex, times twice its share where more of one sex live (`sexes`), so that the mean over the
        sexes is that of all young that live."""
        young, shares = self.trio(self.kind(sex)), self.sexes(sex) if sex else None
        return young if shares is None else young * shares[:, :, None]

    def alone(self, kind: Kind) -> np.ndarray:
        """P(young | dam) of young without a sire: dam states x young states.

        One of the dam's gametes is doubled, and all young are female (a simplification: what is known of boas and
        pythons, from memory); a daughter with one copy has the dam's own. Young that can't live are struck.
        """
        gametes = self._gametes[self.kind("F")]
        table = np.zeros((len(gametes), len(self.states[kind])))
        female = self.kind("F")
        for column, state in enumerate(self.states[kind]):
            copies = Kind.ONE if len(state) == 1 else Kind.TWO
            if copies is female and state[0] == state[-1]:
                table[:, column] = gametes[:, self.haplotypes.index(state[0])]
        alive = table.sum(axis=1, keepdims=True)
        return np.divide(table, alive, out=np.zeros_like(table), where=alive > 0)

    def likelihood(self, kind: Kind, odds: Callable[[Locus, bool], Mapping[Genotype, float]]) -> np.ndarray:
        """Per state the product over loci of `odds(locus, single)` at the state's genotypes."""
        if kind is Kind.EITHER:
            return np.concatenate([self.likelihood(Kind.TWO, odds), self.likelihood(Kind.ONE, odds)])
        values = np.ones(len(self.states[kind]))
        for locus, genotypes in zip(self.group.loci, self._genotypes[kind], strict=True):
            at = odds(locus, kind is Kind.ONE)
            values *= [at[g] for g in genotypes]
        return values

    def prior(self, kind: Kind, odds: Callable[[Locus, bool], Mapping[Genotype, float]]) -> np.ndarray:
        """Per state the weight of its genotypes, loci independent, shared evenly among the phases.

        An animal of unknown sex is of either with 1/2.
        """
        if kind is Kind.EITHER:
            parts = [self.prior(part, odds) / 2 for part in (Kind.TWO, Kind.ONE)]
            return np.concatenate(parts)
        return self.likelihood(kind, odds) * self._shares_of[kind]

    def copies(self, kind: Kind, locus: int, allele: int) -> np.ndarray:
        """Per state the number of copies of one allele of the group's `locus`-th locus."""
        return np.array([genotype(state, locus).count(allele) for state in self.states[kind]], dtype=np.int64)

    def shows(self, kind: Kind, locus: int, allele: int) -> np.ndarray:
        """Per state whether one gene of the group's `locus`-th locus shows."""
        at = self.group.loci[locus]
        names = {at.genes[allele - 1].name, at.genes[allele - 1].super_name}
        looks = (at.appearance(genotype(state, locus)) for state in self.states[kind])
        return np.array([not names.isdisjoint(look) for look in looks], dtype=bool)

    @cached_property
    def _genotypes(self) -> Mapping[Kind, tuple[tuple[Genotype, ...], ...]]:
        """By kind and locus the genotype of every state."""
        loci = range(len(self.group.loci))
        return {
            kind: tuple(tuple(genotype(state, i) for state in states) for i in loci)
            for kind, states in self.states.items()
        }

    @cached_property
    def _shares_of(self) -> Mapping[Kind, np.ndarray]:
        return {kind: self._phase_shares(kind) for kind in (Kind.TWO, Kind.ONE)}

    def _phase_shares(self, kind: Kind) -> np.ndarray:
        loci = range(len(self.group.loci))
        pool = (
            combinations_with_replacement(self.haplotypes, 2)
            if kind is Kind.TWO
            else ((h,) for h in self.haplotypes)
        )
        phases: dict[tuple[Genotype, ...], int] = {}
        for state in pool:
            key = tuple(genotype(state, i) for i in loci)
            phases[key] = phases.get(key, 0) + 1
        return np.array([1 / phases[tuple(genotype(state, i) for i in loci)] for state in self.states[kind]])

    def _trio(self, kind: Kind) -> np.ndarray:
        if kind is Kind.EITHER:
            zygotes = np.concatenate([self._zygotes(Kind.TWO), self._zygotes(Kind.ONE)], axis=2)
        else:
            zygotes = self._zygotes(kind)
        alive = zygotes.sum(axis=2, keepdims=True)
        return np.divide(zygotes, alive, out=np.zeros_like(zygotes), where=alive > 0)

    def _zygotes(self, kind: Kind) -> np.ndarray:
        """Chances of living zygotes of one sex, not rescaled."""
        dam, sire = self._gametes[self.kind("F")], self._gametes[self.kind("M")]
        index = {haplotype: i for i, haplotype in enumerate(self.haplotypes)}
        columns = []
        for state in self.states[kind]:
            first, last = index[state[0]], index[state[-1]]
            if kind is Kind.ONE:
                own = dam[:, None, first] if self.single_sex == "M" else sire[None, :, first]
                columns.append(np.broadcast_to(own, (len(dam), len(sire))))
                continue
            both = np.outer(dam[:, first], sire[:, last])
            columns.append(both if first == last else both + np.outer(dam[:, last], sire[:, first]))
        return np.stack(columns, axis=2) * self._survival(kind)

    def _survival(self, kind: Kind) -> np.ndarray:
        """Share of the zygotes of each state that live: below 1 with two copies of a gene whose survival is."""
        shares = np.ones(len(self.states[kind]))
        for position, locus in enumerate(self.group.loci):
            for allele, gene in enumerate(locus.genes, start=1):
                if gene.survival < 1:
                    shares[self.copies(kind, position, allele) == 2] *= gene.survival
        return shares

    @cached_property
    def _gametes(self) -> dict[Kind, np.ndarray]:
        """Per kind, states x haplotypes: what a parent passes on."""
        index = {haplotype: i for i, haplotype in enumerate(self.haplotypes)}
        passed = {}
        for kind in (Kind.TWO, Kind.ONE):
            table = np.zeros((len(self.states[kind]), len(self.haplotypes)))
            for row, state in enumerate(self.states[kind]):
                for haplotype, chance in gametes(state, self.group).items():
                    table[row, index[haplotype]] += float(chance)
            passed[kind] = table
        return passed
