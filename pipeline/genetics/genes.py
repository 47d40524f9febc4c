"""Genes, the loci whose alleles they are, and what a genotype looks like.

An allele is a small integer: 0 is wild type, k the k-th gene of the locus. A genotype is a sorted tuple of alleles,
two of them, or one in the sex that has a single copy of the chromosome. An appearance is the tuple of names a
breeder would write for what shows; the empty tuple is wild type.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from itertools import combinations_with_replacement
from typing import Literal

from pipeline.genetics.hashing import HashedOnce

Sex = Literal["M", "F"]
SEXES: tuple[Sex, Sex] = ("F", "M")
SEX_WORDS: Mapping[Sex, str] = {"F": "female", "M": "male"}
Genotype = tuple[int, ...]
Appearance = tuple[str, ...]
WILD = 0
WILD_TYPE: Appearance = ()


class Inheritance(StrEnum):
    """How one and two copies of a gene look."""

    RECESSIVE = "recessive"
    INCOMPLETE = "incomplete dominant"
    DOMINANT = "dominant"
    LINE_BRED = "line-bred"


class SexChromosomes(StrEnum):
    """Which sex has two unlike sex chromosomes: the male (XY), the female (ZW)."""

    XY = "XY"
    ZW = "ZW"
    UNKNOWN = "unknown"

    @property
    def single_copy_sex(self) -> Sex | None:
        """The sex with one copy of a sex-linked locus; None where the system is unknown."""
        return _SINGLE_COPY_SEX.get(self)


_SINGLE_COPY_SEX: Mapping[SexChromosomes, Sex] = {SexChromosomes.XY: "M", SexChromosomes.ZW: "F"}


@dataclass(frozen=True)
class Gene(HashedOnce):
    """One row of the Genes sheet. `locus` is never blank: a gene of a locus of its own names itself.

    `recombination` (0 to 0.5) and `linked_locus` are given together or not at all; `misread` (0 to 0.5) is None where
    the setting holds; `later` says that young do not show it yet. `unsettled` says that its record can't be used: its
    name is read on labels as a line-bred one, and copies of it say nothing. `survival` (share of young with two copies
    that live) and `penetrance` (share of those that should show it that do) are no columns: they are what a suspicion
    of the record tries, and only carriers/ heeds them.
    """

    name: str
    inheritance: Inheritance
    locus: str
    aliases: tuple[str, ...] = ()
    rank: float | None = None
    two_copies_name: str = ""
    lethal: bool = False
    sex_linked: bool = False
    linked_locus: str | None = None
    recombination: float | None = None
    later: bool = False
    misread: float | None = None
    welfare: str = ""
    unsettled: bool = False
    survival: float = 1.0
    penetrance: float = 1.0
    __hash__ = HashedOnce.__hash__

    @property
    def super_name(self) -> str:
        """What two copies are called."""
        return self.two_copies_name or f"Super {self.name}"


@dataclass(frozen=True)
class Locus(HashedOnce):
    """A place on a chromosome and its variants; allele k (1, 2, …) is genes[k - 1]."""

    name: str
    genes: tuple[Gene, ...]
    __hash__ = HashedOnce.__hash__

    @property
    def sex_linked(self) -> bool:
        """Whether it lies on a sex chromosome: so as soon as one of its genes is said to."""
        return any(gene.sex_linked for gene in self.genes)

    @property
    def later(self) -> bool:
        """Whether young can't be read at this locus: true as soon as one of its genes shows later."""
        return any(gene.later for gene in self.genes)

    def allele(self, gene_name: str) -> int:
        """The number of the gene's allele; ValueError where the gene is of another locus."""
        return [gene.name for gene in self.genes].index(gene_name) + 1

    def genotypes(self, *, single_copy: bool = False) -> tuple[Genotype, ...]:
        """All genotypes in a fixed order, wild type first; lethal ones included."""
        alleles = range(len(self.genes) + 1)
        return tuple(combinations_with_replacement(alleles, 1 if single_copy else 2))

    def viable(self, genotype: Genotype) -> bool:
        """False where every allele of the genotype is one and the same gene whose two copies are lethal.

        A single copy that no wild type covers (sex-linked) dies like two.
        """
        first = genotype[0]
        return (
            first == WILD or any(allele != first for allele in genotype) or not self.genes[first - 1].lethal
        )

    def appearance(self, genotype: Genotype) -> Appearance:
        """What the genotype looks like.

        Against wild type one copy of a recessive gene hides. Of two different variants the lower dominance rank shows
        alone; equal or blank ranks: both show. A single copy of a sex-linked gene, with no wild type to cover it,
        shows as one copy.
        """
        return self._appearances[genotype]

    @cached_property
    def _appearances(self) -> Mapping[Genotype, Appearance]:
        both = self.genotypes() + self.genotypes(single_copy=True)
        return {genotype: self._look(genotype) for genotype in both}

    def _look(self, genotype: Genotype) -> Appearance:
        variants = [self.genes[allele - 1] for allele in genotype if allele != WILD]
        if not variants:
            return WILD_TYPE
        if len(variants) == 1:
            (gene,) = variants
            hidden = gene.inheritance is Inheritance.RECESSIVE and len(genotype) == 2
            return WILD_TYPE if hidden else (gene.name,)
        one, other = variants
        if one == other:
            return (one.super_name if one.inheritance is Inheritance.INCOMPLETE else one.name,)
        if one.rank is not None and other.rank is not None and one.rank != other.rank:
            return (one.name if one.rank < other.rank else other.name,)
        return (one.name, other.name)


@dataclass(frozen=True)
class LinkageGroup:
    """Loci of one chromosome that travel together.

    `links` is a tree over positions in `loci`: (a, b, recombination fraction). A gamete starts on either strand with
    probability 1/2 and changes strand along a link with that link's fraction, independently (no interference).
    """

    loci: tuple[Locus, ...]
    links: tuple[tuple[int, int, float], ...] = ()

    @property
    def sex_linked(self) -> bool:
        """Whether it lies on a sex chromosome: so as soon as one of its loci does."""
        return any(locus.sex_linked for locus in self.loci)

    @property
    def name(self) -> str:
        """Those of its loci, joined by ' + '."""
        return " + ".join(locus.name for locus in self.loci)


@dataclass(frozen=True)
class Catalogue:
    """All that is known of one species' genes.

    `morphs` maps a morph name to the label text it stands for; `lines` are the line-bred names.
    Line-bred genes are in `genes` but belong to no locus.
    """

    species: str
    genes: tuple[Gene, ...]
    sex_chromosomes: SexChromosomes = SexChromosomes.UNKNOWN
    morphs: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def by_name(self) -> Mapping[str, Gene]:
        """The genes by name, in the order of the sheet."""
        return {gene.name: gene for gene in self.genes}

    @cached_property
    def place(self) -> Mapping[str, int]:
        """Where each gene stands among `genes`, by name."""
        return {name: index for index, name in enumerate(self.by_name)}

    @cached_property
    def loci(self) -> tuple[Locus, ...]:
        """The loci in the order in which the genes name them."""
        members: dict[str, list[Gene]] = {}
        for gene in self.genes:
            if gene.inheritance is not Inheritance.LINE_BRED:
                members.setdefault(gene.locus, []).append(gene)
        return tuple(Locus(name, tuple(genes)) for name, genes in members.items())

    @cached_property
    def locus_of(self) -> Mapping[str, Locus]:
        """The locus of each gene, by the gene's name."""
        return {gene.name: locus for locus in self.loci for gene in locus.genes}

    @cached_property
    def groups(self) -> tuple[LinkageGroup, ...]:
        """Linkage groups; a locus without links is a group of its own. A link that would close a ring is left out."""
        return _grouped(self.loci)

    def single_copy(self, locus: Locus | LinkageGroup, sex: Sex | None) -> bool:
        """Whether animals of that sex have one copy of the locus; what is linked to a sex-linked locus is so itself."""
        if sex is None or sex != self.sex_chromosomes.single_copy_sex:
            return False
        return locus.sex_linked or (isinstance(locus, Locus) and locus.name in self._on_sex_chromosome)

    @cached_property
    def _on_sex_chromosome(self) -> frozenset[str]:
        return frozenset(locus.name for group in self.groups if group.sex_linked for locus in group.loci)


def _grouped(loci: tuple[Locus, ...]) -> tuple[LinkageGroup, ...]:
    home = {locus.name: locus.name for locus in loci}
    place = {name: locus.name for locus in loci for name in (*(g.name for g in locus.genes), locus.name)}
    links: list[tuple[str, str, float]] = []
    for locus in loci:
        for gene in locus.genes:
            other = place.get(gene.linked_locus or "")
            if other is None or gene.recombination is None or home[other] == home[locus.name]:
                continue
            links.append((locus.name, other, gene.recombination))
            old, new = home[locus.name], home[other]
            home = {name: new if group == old else group for name, group in home.items()}
    groups = []
    for root in dict.fromkeys(home[locus.name] for locus in loci):
        members = tuple(locus for locus in loci if home[locus.name] == root)
        position = {locus.name: index for index, locus in enumerate(members)}
        own = tuple((position[a], position[b], r) for a, b, r in links if a in position)
        groups.append(LinkageGroup(members, own))
    return tuple(groups)
