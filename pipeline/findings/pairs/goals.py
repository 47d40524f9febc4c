"""The Goals sheet as genotypes to aim at, and how near an animal is to them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import pandas as pd

from pipeline.findings.pairs.spaces import Groups, Odds
from pipeline.genetics.carriers.spaces import Kind, Space
from pipeline.genetics.genes import Catalogue, Genotype, Locus, Sex
from pipeline.genetics.haplotypes import genotype
from pipeline.genetics.labels import read_label
from pipeline.genetics.statements import Statement, genotypes_at

_ALL_ALIKE = Fraction(1, 2)
"""A background under which both one and two copies of a dominant gene will do."""


@dataclass(frozen=True)
class Goal:
    """One row of the Goals sheet. `weight` is 1 over its priority, so that a first wish counts twice a second."""

    name: str
    species: str
    label: Statement
    weight: float


def read_goals(goals: pd.DataFrame, catalogues: Mapping[str, Catalogue]) -> tuple[Goal, ...]:
    """The goals of one book (its checked records) in the order of their names; a blank priority comes after all others.

    Left out are goals of a species without genes, whose labels say nothing.
    """
    last = pd.to_numeric(goals["priority"]).max()
    last = 1.0 if pd.isna(last) else float(last)
    found = [
        Goal(
            row.goal,
            row.species,
            read_label(row.genes, catalogues[row.species]),
            1 / max(last + 1 if pd.isna(row.priority) else float(row.priority), 1.0),
        )
        for row in goals.itertuples()
        if row.species in catalogues and catalogues[row.species].genes
    ]
    return tuple(sorted(found, key=lambda goal: goal.name))


def reached(goal: Goal, space: Space, kind: Kind) -> np.ndarray:
    """Per state of a linkage group whether it is what the goal's label says. Loci that the label leaves out are free."""
    single = kind is Kind.ONE
    wanted = {
        position: set(genotypes_at(goal.label, locus, single_copy=single, background=_ALL_ALIKE))
        for position, locus in enumerate(space.group.loci)
        if _named(goal, locus)
    }
    met = [all(genotype(s, i) in allowed for i, allowed in wanted.items()) for s in space.states[kind]]
    return np.array(met, dtype=bool)


def concerns(goal: Goal, space: Space) -> bool:
    """Whether the goal's label names a gene of the linkage group."""
    return any(_named(goal, locus) for locus in space.group.loci)


def nearness(wanted: Mapping[str, int], space: Space, kind: Kind) -> np.ndarray:
    """Per state of a linkage group its part of how near the goal an animal is; parts add up to 0..1 over all groups.

    `wanted` as by `wanted_copies`. Half is the share of the goal's genes of which there is a copy, half the share of the
    copies needed: a triple het is nearer a triple visual (0.75) than an animal that shows two of the three and lacks the
    third (0.67).
    """
    near = np.zeros(len(space.states[kind]))
    for position, locus in enumerate(space.group.loci):
        for allele, gene in enumerate(locus.genes, start=1):
            if gene.name in wanted:
                have = [_have(genotype(s, position), allele, wanted[gene.name]) for s in space.states[kind]]
                near += np.sign(have) / len(wanted) / 2 + np.array(have) / sum(wanted.values()) / 2
    return near


def nearness_of(goal: Goal, groups: Groups, odds: Sequence[Odds], sex: Sex | None) -> np.ndarray:
    """How near animals of one sex are to the goal (0..1), each in its likeliest state at every linkage group."""
    wanted = wanted_copies(goal, groups.catalogue.loci)
    near = np.zeros(len(odds))
    for g, space in enumerate(groups.spaces):
        likeliest = np.array([own[g].argmax() for own in odds], dtype=np.intp)
        near += nearness(wanted, space, space.kind(sex))[likeliest]
    return near


def wanted_copies(goal: Goal, loci: Iterable[Locus]) -> dict[str, int]:
    """Copies that the goal asks of each gene it wants, the fewest that its label allows: two of a lone recessive that shows."""
    wanted = {}
    for locus in loci:
        allowed = genotypes_at(goal.label, locus, background=_ALL_ALIKE) if _named(goal, locus) else {}
        for allele, gene in enumerate(locus.genes, start=1):
            if gene.name in goal.label.genes() and gene.name not in goal.label.lacks:
                wanted[gene.name] = max(1, min((own.count(allele) for own in allowed), default=1))
    return wanted


def _have(own: Genotype, allele: int, wanted: int) -> int:
    """Copies that count: no more than wanted, and the single copy of a sex chromosome for all of them."""
    count = own.count(allele)
    return wanted if count and len(own) == 1 else min(count, wanted)


def _named(goal: Goal, locus: Locus) -> bool:
    return not goal.label.genes().isdisjoint(gene.name for gene in locus.genes)
