"""What a pair's young are, how they look, and what a keeper writes of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from random import Random

from pipeline.genetics.crosses import Parent, cross, genotype
from pipeline.genetics.genes import SEXES, Appearance, Catalogue, Inheritance, Locus, Sex
from pipeline.genetics.labels import write_label
from pipeline.genetics.statements import Shown, Statement

Looks = tuple[tuple[str, Appearance], ...]
"""What an animal shows at each locus, by the locus's name in the order of the catalogue."""


@dataclass(frozen=True)
class Hatchling:
    """A young animal as it really is, what its keeper takes it for, and the label that its parents entitle it to."""

    parent: Parent
    look: str
    label: str


class Litter:
    """A pair's young: drawn from its cross, and put in words as the cross would have them."""

    def __init__(self, dam: Parent, sire: Parent, catalogue: Catalogue) -> None:
        self._cross, self._catalogue = cross(dam, sire, catalogue), catalogue
        self._odds = {
            sex: [(list(weights), [float(p) for p in weights.values()]) for weights in self._cross.young[sex]]
            for sex in SEXES
        }
        self._words: dict[tuple[Looks, str], tuple[str, str]] = {}

    def drawn(self, rng: Random) -> Parent:
        """One young; catalogues here have a linkage group a locus."""
        sex: Sex = rng.choice("FM")
        groups = [rng.choices(diplotypes, odds)[0] for diplotypes, odds in self._odds[sex]]
        return Parent(sex, tuple({diplotype: Fraction(1)} for diplotype in groups))

    def looks(self, young: Parent) -> Looks:
        """What a young really shows."""
        return tuple(
            (locus.name, locus.appearance(genotype(next(iter(weights)), 0)))
            for locus, weights in zip(self._catalogue.loci, young.groups, strict=True)
        )

    @cached_property
    def _classes(self) -> Mapping[Looks, Statement]:
        order = [locus.name for locus in self._catalogue.loci]
        return {
            tuple((name, kind.looks[name]) for name in order): kind.statement
            for kind in self._cross.classes()
        }

    def words(self, looks: Looks, hidden: str = "") -> tuple[str, str]:
        """The look in words without the hidden gene, and the label; a look that the cross can't give is the label itself."""
        if (looks, hidden) not in self._words:
            statement = self._classes.get(looks) or Statement(_shown(looks, self._catalogue))
            seen = Statement(tuple(shown for shown in statement.shows if shown.gene != hidden))
            look, label = (write_label(s, self._catalogue) for s in (seen, statement))
            self._words[looks, hidden] = look, label
        return self._words[looks, hidden]


def _shown(looks: Looks, catalogue: Catalogue) -> tuple[Shown, ...]:
    """Each locus here has one gene."""
    found = []
    for locus, (_, look) in zip(catalogue.loci, looks, strict=True):
        gene = locus.genes[0]
        if look:
            both = gene.inheritance is Inheritance.INCOMPLETE
            found.append(Shown(gene.name, (2 if look == (gene.super_name,) else 1) if both else None))
    return tuple(found)


def appearances(locus: Locus) -> list[Appearance]:
    """All that a locus can show."""
    return sorted({locus.appearance(kind) for kind in locus.genotypes()})
