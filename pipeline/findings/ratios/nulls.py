"""The null hypotheses of a pairing: what its young should be if every label is right.

A label often leaves room (a possible het, one or two copies of a dominant gene, a het that the animal's own parents
may have passed on, another sire). Each way to fill it is a resolution; those that lead to the same young are one.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import product

from pipeline.genetics.collection import Collection, Pairing
from pipeline.genetics.crosses import Cross, CrossError, Diplotype, Parent, Weights, cross, genotype
from pipeline.genetics.genes import SEXES, Appearance, Catalogue, LinkageGroup, SexChromosomes
from pipeline.genetics.possible import possible_diplotypes

Look = tuple[Appearance, ...]
Pairs = tuple[tuple[Diplotype, Diplotype], ...]
"""Diplotypes of dam and sire, each pair a way to have the same young."""


Shares = tuple[tuple[Look, Fraction], ...]


@dataclass(frozen=True, eq=False)
class Expectation:
    """Looks of the young at some loci of one linkage group; equal ones are one object within a Nulls.

    `looks` are shares given the sex, daughters first; `sexes` the shares of daughters and sons among the living. `sexed`
    is true for a sex-linked group: there daughters and sons are classes apart.
    """

    looks: tuple[Shares, Shares]
    sexes: tuple[Fraction, Fraction]
    sexed: bool

    @cached_property
    def single(self) -> bool:
        """Whether all young are expected alike."""
        return len(self.looks[0]) == 1 and self.looks[0] == self.looks[1] and self.sexes[0] == self.sexes[1]


@dataclass(frozen=True)
class Place:
    """A locus to be tested: its position in the catalogue, its linkage group and its position in that group."""

    locus: int
    group: int
    position: int


class Nulls:
    """Expectations of every pairing of a collection; remembers each cross it has worked out."""

    def __init__(self, collection: Collection) -> None:
        self.collection = collection
        self.possible = possible_diplotypes(collection)
        self._crossed: dict[tuple, Mapping[Expectation, Pairs]] = {}
        self._single: dict[tuple, Cross | None] = {}
        self._same: dict[tuple, Expectation] = {}

    def testable(self, pairing: Pairing) -> bool:
        """False where a parent's genes are unknown: no label and no recorded parents."""
        parents = (self.collection.animals[i] for i in (pairing.dam, *sires(pairing)))
        return all(animal.label is not None or animal.dam or animal.sire for animal in parents)

    def places(self, species: str) -> tuple[Place, ...]:
        """The places of a species' loci, in the catalogue's order."""
        catalogue = self.collection.catalogues[species]
        home = {
            locus.name: (g, i)
            for g, group in enumerate(catalogue.groups)
            for i, locus in enumerate(group.loci)
        }
        return tuple(Place(k, *home[locus.name]) for k, locus in enumerate(catalogue.loci))

    def group_expectations(
        self, pairing: Pairing, sire: str, group: int, kept: tuple[int, ...]
    ) -> Mapping[Expectation, Pairs]:
        """The distinct expectations at the kept positions of a group, with the parents' diplotypes behind each."""
        dams, sires_ = self.possible[pairing.dam][group], self.possible[sire][group]
        key = (pairing.species, group, dams, sires_, kept)
        if key not in self._crossed:
            merged: dict[Expectation, list[tuple[Diplotype, Diplotype]]] = {}
            for pair in product(sorted(dams), sorted(sires_)):
                found = self._expectation(pairing.species, group, pair, kept)
                if found:
                    merged.setdefault(found, []).append(pair)
            self._crossed[key] = {expectation: tuple(pairs) for expectation, pairs in merged.items()}
        return self._crossed[key]

    def _expectation(
        self, species: str, group: int, pair: tuple[Diplotype, Diplotype], kept: tuple[int, ...]
    ) -> Expectation | None:
        """None where no young of the pair could live."""
        young = self._young(species, group, pair)
        if young is None:
            return None
        catalogue = self.collection.catalogues[species]
        own = catalogue.groups[group]
        daughters, sons = (_looks(own, young.young[sex][0], kept) for sex in SEXES)
        sexed = own.sex_linked and catalogue.sex_chromosomes.single_copy_sex is not None
        key = (daughters, sons, young.sexes["F"], young.sexes["M"], sexed)
        return self._same.setdefault(key, Expectation(key[:2], key[2:4], sexed))

    def _young(self, species: str, group: int, pair: tuple[Diplotype, Diplotype]) -> Cross | None:
        key = (species, group, pair)
        if key not in self._single:
            catalogue = self.collection.catalogues[species]
            self._single[key] = _crossed(catalogue.groups[group], catalogue.sex_chromosomes, pair)
        return self._single[key]


@lru_cache(maxsize=4096)
def _crossed(group: LinkageGroup, system: SexChromosomes, pair: tuple[Diplotype, Diplotype]) -> Cross | None:
    """The young of two diplotypes of one linkage group, which are those of any book; None where none could live."""
    genes = tuple(gene for locus in group.loci for gene in locus.genes)
    dam, sire = (Parent(sex, ({own: Fraction(1)},)) for sex, own in zip(SEXES, pair, strict=True))
    try:
        return cross(dam, sire, Catalogue("", genes, system))
    except CrossError:
        return None


def sires(pairing: Pairing) -> tuple[str, ...]:
    """The recorded sire and the others that may be the father, each once."""
    return tuple(dict.fromkeys((pairing.sire, *pairing.other_sires)))


def _looks(group: LinkageGroup, young: Weights, kept: tuple[int, ...]) -> Shares:
    """The looks of young at the kept positions, with their shares."""
    shares: dict[Look, Fraction] = {}
    for diplotype, weight in young.items():
        look = tuple(group.loci[i].appearance(genotype(diplotype, i)) for i in kept)
        shares[look] = shares.get(look, Fraction(0)) + weight
    return tuple(sorted(shares.items()))
