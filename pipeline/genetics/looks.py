"""What young of one linkage group look like, and what hides behind each look."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from pipeline.genetics.genes import Appearance, Gene, Genotype, Inheritance, LinkageGroup, Locus
from pipeline.genetics.haplotypes import Diplotype, Weights, genotype
from pipeline.genetics.statements import Carried, Shown

Look = tuple[tuple[str, Appearance], ...]


@dataclass
class GroupLook:
    """One look of a linkage group: its share, what shows, and each hidden gene with its odds within the look."""

    probability: Fraction
    shows: tuple[Shown, ...]
    carries: tuple[Carried, ...]


def group_looks(
    group: LinkageGroup, weights: Weights, wanted: set[str] | None = None
) -> dict[Look, GroupLook]:
    """The looks of one group, keyed by ((locus, appearance), …), with what hides behind each."""
    kept = [(i, locus) for i, locus in enumerate(group.loci) if wanted is None or locus.name in wanted]
    members: dict[Look, dict[Diplotype, Fraction]] = {}
    for diplotype, weight in weights.items():
        key = tuple((locus.name, locus.appearance(genotype(diplotype, i))) for i, locus in kept)
        members.setdefault(key, {})[diplotype] = weight
    return {key: _group_look(kept, own) for key, own in members.items()}


def _group_look(kept: list[tuple[int, Locus]], members: Mapping[Diplotype, Fraction]) -> GroupLook:
    total = sum(members.values(), Fraction(0))
    shows: list[Shown] = []
    carries: list[Carried] = []
    for position, locus in kept:
        at_locus: dict[Genotype, Fraction] = {}
        for diplotype, weight in members.items():
            own = genotype(diplotype, position)
            at_locus[own] = at_locus.get(own, Fraction(0)) + weight / total
        shown, hidden = look_statement(locus, at_locus)
        shows += shown
        carries += hidden
    return GroupLook(total, tuple(shows), tuple(carries))


def look_statement(locus: Locus, weights: Mapping[Genotype, Fraction]) -> tuple[list[Shown], list[Carried]]:
    """What may be written of animals that look alike at a locus and whose genotypes have these odds (sum 1).

    Copies are stated as a label states them: of an incomplete dominant gene by its look, of a dominant one where two
    are certain. What does not show is carried with its probability.
    """
    look = locus.appearance(next(iter(weights)))
    shows, carries = [], []
    for allele, gene in enumerate(locus.genes, start=1):
        if gene.name in look or gene.super_name in look:
            shows.append(
                Shown(gene.name, _copies(gene, look, all(own.count(allele) == 2 for own in weights)))
            )
            continue
        chance = sum((weight for own, weight in weights.items() if allele in own), Fraction(0))
        if chance:
            carries.append(Carried(gene.name, chance))
    return shows, carries


def _copies(gene: Gene, look: Appearance, two: bool) -> int | None:
    if gene.inheritance is Inheritance.INCOMPLETE:
        return 1 if gene.name in look else 2
    return 2 if two and gene.inheritance is Inheritance.DOMINANT else None
