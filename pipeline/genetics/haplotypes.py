"""What travels together on one chromosome, and what a parent passes on.

A haplotype is what one strand of a linkage group carries, an allele per locus; a diplotype is a sorted pair of
haplotypes, or a single one in the sex that has one copy of the chromosome.
"""

from collections.abc import Mapping
from fractions import Fraction
from itertools import product

from pipeline.genetics.genes import Genotype, LinkageGroup

Haplotype = tuple[int, ...]
Diplotype = tuple[Haplotype, ...]
Weights = Mapping[Diplotype, Fraction]


def fraction(rate: float) -> Fraction:
    """A recombination fraction given in decimals as the exact fraction meant: 0.1 is 1/10."""
    return Fraction(rate).limit_denominator(1_000_000)


def genotype(diplotype: Diplotype, position: int) -> Genotype:
    """The genotype of a diplotype at one locus of its group."""
    return tuple(sorted(strand[position] for strand in diplotype))


def viable(diplotype: Diplotype, group: LinkageGroup) -> bool:
    """Whether young of that diplotype live: no locus holds a lethal pair."""
    return all(locus.viable(genotype(diplotype, i)) for i, locus in enumerate(group.loci))


def gametes(diplotype: Diplotype, group: LinkageGroup) -> dict[Haplotype, Fraction]:
    """Haplotypes that a parent passes on, with their probabilities, under the group's links without interference."""
    if len(diplotype) == 1 or diplotype[0] == diplotype[1]:
        return {diplotype[0]: Fraction(1)}
    passed: dict[Haplotype, Fraction] = {}
    for strands in product((0, 1), repeat=len(group.loci)):
        chance = _strand_chance(strands, group)
        if chance:
            haplotype = tuple(diplotype[strand][i] for i, strand in enumerate(strands))
            passed[haplotype] = passed.get(haplotype, Fraction(0)) + chance
    return passed


def _strand_chance(strands: tuple[int, ...], group: LinkageGroup) -> Fraction:
    """Each tree of links starts on either strand; each link keeps or changes it."""
    trees = len(group.loci) - len(group.links)
    chance = Fraction(1, 2) ** trees
    for a, b, rate in group.links:
        changed = fraction(rate)
        chance *= changed if strands[a] != strands[b] else 1 - changed
    return chance


def diplotypes(genotypes: Mapping[str, Genotype], group: LinkageGroup) -> dict[Diplotype, Fraction]:
    """All phases of the genotypes of a group's loci (by locus name), equally likely."""
    own = [genotypes[locus.name] for locus in group.loci]
    if len(own[0]) == 1:
        return {(tuple(g[0] for g in own),): Fraction(1)}
    phases: dict[Diplotype, Fraction] = {}
    for flips in product((0, 1), repeat=len(own)):
        pair = tuple(
            sorted(
                (
                    tuple(g[f] for g, f in zip(own, flips, strict=True)),
                    tuple(g[1 - f] for g, f in zip(own, flips, strict=True)),
                )
            )
        )
        phases[pair] = phases.get(pair, Fraction(0)) + Fraction(1, 2 ** len(own))
    return phases


def pooled_gametes(parent: Weights, group: LinkageGroup) -> dict[Haplotype, Fraction]:
    """Gametes of a parent known in probability; right for one young, while littermates share the one parent."""
    pooled: dict[Haplotype, Fraction] = {}
    for diplotype, weight in parent.items():
        for haplotype, chance in gametes(diplotype, group).items():
            pooled[haplotype] = pooled.get(haplotype, Fraction(0)) + weight * chance
    return pooled
