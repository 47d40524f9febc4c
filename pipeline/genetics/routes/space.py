"""The genotypes that matter for a goal: those at the loci it speaks of, and what each pair gives of them.

A state is one diplotype at each linkage group of the goal, as a tuple of positions. Loci that the goal leaves out, and
variants that neither the goal nor any animal at hand carries, are not there at all. Linked loci keep their phase.
"""

from collections.abc import Callable, Mapping, Sequence
from collections.abc import Collection as AnyOf
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from itertools import product
from math import prod

import numpy as np

from pipeline.genetics.carriers.spaces import Kind, Space
from pipeline.genetics.genes import SEXES, WILD, Catalogue, Gene, Inheritance, LinkageGroup, Sex
from pipeline.genetics.haplotypes import Diplotype, genotype
from pipeline.genetics.looks import look_statement
from pipeline.genetics.statements import Carried, Shown, Statement, genotypes_at

State = tuple[int, ...]
Parts = tuple[tuple[State, float], ...]
MOST_OPEN = 3
"""An animal whose genotype is open at more groups than this is taken as its likeliest one at those least in doubt."""


@dataclass(frozen=True)
class Table:
    """What a pair gives at one linkage group, for young of one sex.

    `young` is dam states x sire states x young states, times twice the share of that sex where more of one live; where
    two genotypes look alike and serve alike, all of them count as the one with fewer copies. `looks` sums it over young
    that look alike, dam x sire x looks. `look_of` is the look of each young state, `wanted` the young states the goal
    accepts, `wanted_looks` the looks that hold one.
    """

    young: np.ndarray
    looks: np.ndarray
    look_of: np.ndarray
    wanted: np.ndarray
    wanted_looks: np.ndarray


class GoalSpace:
    """The states of one goal. `carried` names the genes that any animal at hand may have.

    `sizes[sex]` are the numbers of states at each group, `tables[sex][g]` what pairs give to young of that sex.
    """

    def __init__(self, catalogue: Catalogue, goal: Statement, carried: AnyOf[str]) -> None:
        self.full, self.goal = catalogue, _sure(goal)
        self.catalogue = _trimmed(catalogue, self.goal, carried)
        self.spaces = tuple(Space(group, self.catalogue) for group in self.catalogue.groups)
        self.sizes: Mapping[Sex, tuple[int, ...]] = {
            sex: tuple(len(space.states[space.kind(sex)]) for space in self.spaces) for sex in SEXES
        }
        daughters = tuple(self._table(space, "F") for space in self.spaces)
        apart = any(space.single_sex for space in self.spaces)
        sons = tuple(self._table(space, "M") for space in self.spaces) if apart else daughters
        self.tables: Mapping[Sex, tuple[Table, ...]] = {"F": daughters, "M": sons}
        self._origins = {
            sex: [self._origin(space, space.kind(sex)) for space in self.spaces] for sex in SEXES
        }

    @property
    def number_of_states(self) -> int:
        """States of both sexes."""
        return sum(prod(sizes) for sizes in self.sizes.values())

    def can_live(self) -> bool:
        """Whether any living animal of either sex can be what the goal says."""
        return any(all(table.wanted.any() for table in tables) for tables in self.tables.values())

    def wanted_genes(self) -> tuple[Gene, ...]:
        """Genes of which the goal needs at least one copy, whichever genotype it takes."""
        found = []
        for space in self.spaces:
            for position, locus in enumerate(space.group.loci):
                for allele, gene in enumerate(locus.genes, start=1):
                    states = [
                        state
                        for sex in SEXES
                        for state, wanted in zip(
                            space.states[space.kind(sex)], self._wanted(space, sex), strict=True
                        )
                        if wanted
                    ]
                    if states and all(allele in genotype(state, position) for state in states):
                        found.append(gene)
        return tuple(found)

    def odds(self, groups: Sequence[Mapping[Diplotype, float]], sex: Sex) -> tuple[np.ndarray, ...]:
        """An animal's odds over the states at each group, from its odds at each group of the whole catalogue.

        Variants that are not of this space are struck out and the rest rescaled.
        """
        found = []
        for size, (at, place) in zip(self.sizes[sex], self._origins[sex], strict=True):
            own = np.zeros(size)
            for diplotype, weight in groups[at].items():
                i = place(diplotype)
                if i is not None:
                    own[i] += float(weight)
            found.append(own / own.sum() if own.sum() else np.full(size, 1 / size))
        return tuple(found)

    @staticmethod
    def settled(odds: Sequence[np.ndarray], least: float) -> tuple[np.ndarray, ...]:
        """The odds as the search takes them: what is less likely than `least` at its group is out, and at most MOST_OPEN
        groups, those most in doubt, stay open."""
        kept = [np.where(own >= min(least, own.max()), own, 0.0) for own in odds]
        doubt = sorted(range(len(kept)), key=lambda g: (kept[g].max() / kept[g].sum(), g))
        for g in doubt[MOST_OPEN:]:
            kept[g] = np.eye(len(kept[g]))[int(kept[g].argmax())]
        return tuple(own / own.sum() for own in kept)

    @staticmethod
    def parts(odds: Sequence[np.ndarray]) -> Parts:
        """The states an animal may be in, likeliest first, with weights summing to 1."""
        choices = [[(int(i), float(own[i])) for i in np.flatnonzero(own)] for own in odds]
        parts = [(tuple(i for i, _ in one), prod(weight for _, weight in one)) for one in product(*choices)]
        return tuple(sorted(parts, key=lambda part: (-part[1], part[0])))

    def label(self, weights: Sequence[np.ndarray], sex: Sex) -> Statement:
        """What may be written of young that look alike and have these odds at each group."""
        shows: list[Shown] = []
        carries: list[Carried] = []
        for space, own in zip(self.spaces, weights, strict=True):
            states, total = space.states[space.kind(sex)], float(own.sum())
            for position, locus in enumerate(space.group.loci):
                at: dict[tuple[int, ...], Fraction] = {}
                for i in np.flatnonzero(own):
                    key = genotype(states[i], position)
                    share = Fraction(float(own[i]) / total).limit_denominator(1000)
                    at[key] = at.get(key, Fraction(0)) + share
                shown, hidden = look_statement(locus, at)
                shows += shown
                carries += hidden
        return Statement(tuple(shows), tuple(carries))

    def _table(self, space: Space, sex: Sex) -> Table:
        kind = space.kind(sex)
        wanted, look_of = self._wanted(space, sex), _looks(space, kind)
        young = _counted_alike(space.young(sex), space, kind, wanted, look_of)
        looks = np.stack(
            [young[:, :, look_of == look].sum(axis=2) for look in range(look_of.max() + 1)], axis=2
        )
        wanted_looks = np.array([bool(wanted[look_of == look].any()) for look in range(look_of.max() + 1)])
        return Table(young, looks, look_of, wanted, wanted_looks)

    def _wanted(self, space: Space, sex: Sex) -> np.ndarray:
        """Which states of a group the goal accepts in that sex."""
        kind, spoken = space.kind(sex), self.goal.genes()
        wanted = np.ones(len(space.states[kind]), dtype=bool)
        for position, locus in enumerate(space.group.loci):
            if spoken.isdisjoint(gene.name for gene in locus.genes):
                continue
            fits = genotypes_at(self.goal, locus, single_copy=kind is Kind.ONE)
            wanted &= [genotype(state, position) in fits for state in space.states[kind]]
        return wanted

    def _origin(self, space: Space, kind: Kind) -> tuple[int, Callable[[Diplotype], int | None]]:
        """Where a group comes from: the whole group's position, and which state each of its diplotypes is here, if any."""
        loci = space.group.loci
        at, whole = next((i, one) for i, one in enumerate(self.full.groups) if loci[0].name in _names(one))
        positions = [_names(whole).index(locus.name) for locus in loci]
        alleles = []
        for position, locus in zip(positions, loci, strict=True):
            names = {gene.name: allele for allele, gene in enumerate(locus.genes, start=1)}
            old = enumerate(whole.loci[position].genes, start=1)
            alleles.append({WILD: WILD} | {i: names[gene.name] for i, gene in old if gene.name in names})
        places = {state: i for i, state in enumerate(space.states[kind])}

        @cache
        def place(diplotype: Diplotype) -> int | None:
            strands = (
                tuple(names.get(strand[p], -1) for p, names in zip(positions, alleles, strict=True))
                for strand in diplotype
            )
            return places.get(tuple(sorted(strands)))

        return at, place


def _names(group: LinkageGroup) -> list[str]:
    return [locus.name for locus in group.loci]


def _sure(goal: Statement) -> Statement:
    """The goal with every het it asks for taken as certain; line-bred names take no part."""
    return Statement(goal.shows, tuple(Carried(carried.gene) for carried in goal.carries), goal.lacks)


def _trimmed(catalogue: Catalogue, goal: Statement, carried: AnyOf[str]) -> Catalogue:
    """The catalogue of the loci a goal speaks of; of a group in which it speaks of several, all loci."""
    spoken = {catalogue.locus_of[name].name for name in goal.genes()}
    kept: dict[str, bool] = {}
    for group in catalogue.groups:
        own = [locus.name for locus in group.loci if locus.name in spoken]
        names = own if len(own) < 2 else [locus.name for locus in group.loci]
        kept |= dict.fromkeys(names, group.sex_linked)
    named = goal.genes() | set(carried)
    genes = tuple(
        replace(gene, sex_linked=kept[gene.locus])
        for gene in catalogue.genes
        if gene.inheritance is not Inheritance.LINE_BRED and gene.locus in kept and gene.name in named
    )
    return Catalogue(catalogue.species, genes, catalogue.sex_chromosomes)


def _looks(space: Space, kind: Kind) -> np.ndarray:
    """A number for each state's look."""
    keys: dict[tuple, int] = {}
    numbers = []
    for state in space.states[kind]:
        look = tuple(locus.appearance(genotype(state, i)) for i, locus in enumerate(space.group.loci))
        numbers.append(keys.setdefault(look, len(keys)))
    return np.array(numbers, dtype=np.intp)


def _counted_alike(
    young: np.ndarray, space: Space, kind: Kind, wanted: np.ndarray, look_of: np.ndarray
) -> np.ndarray:
    """Young with two copies of a dominant gene counted as having one, where the goal takes both: nobody can tell them."""
    if len(space.group.loci) > 1 or kind is Kind.ONE:
        return young
    young, states = young.copy(), space.states[kind]
    place = {state: i for i, state in enumerate(states)}
    for allele, gene in enumerate(space.group.loci[0].genes, start=1):
        two, one = place.get(((allele,), (allele,))), place[((WILD,), (allele,))]
        if gene.inheritance is not Inheritance.DOMINANT or two is None:
            continue
        if wanted[one] and wanted[two] and look_of[one] == look_of[two]:
            young[:, :, one] += young[:, :, two]
            young[:, :, two] = 0
    return young
