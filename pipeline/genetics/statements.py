"""What a label states, once its words are understood.

The text of a label becomes a Statement in labels.py; this module says what a Statement means at a locus.
"""

from collections.abc import Container
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache

from pipeline.genetics.genes import WILD, Appearance, Genotype, Inheritance, Locus
from pipeline.genetics.hashing import HashedOnce


@dataclass(frozen=True)
class Shown:
    """A gene that shows.

    `copies` is 1 or 2 of an incomplete dominant gene; 1, 2 or None (the look can't tell) of a dominant one; None of a
    recessive one, whose copies follow from what else is at the locus.
    """

    gene: str
    copies: int | None = None


@dataclass(frozen=True)
class Carried:
    """One copy that does not show. `probability` is 1 for 'het', None for a bare 'possible het'."""

    gene: str
    probability: Fraction | None = Fraction(1)


@dataclass(frozen=True)
class Statement(HashedOnce):
    """A label taken apart; every gene by the name the Genes sheet gives it.

    `lacks` are genes known to be absent ('not NAME'), `lines` line-bred names, kept and never analysed.
    An animal nobody looked at has no Statement at all (None).
    """

    shows: tuple[Shown, ...] = ()
    carries: tuple[Carried, ...] = ()
    lacks: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    __hash__ = HashedOnce.__hash__

    def genes(self) -> frozenset[str]:
        """Every gene the label speaks of, line-bred names left out."""
        return self._genes

    @cached_property
    def _genes(self) -> frozenset[str]:
        return frozenset([s.gene for s in self.shows] + [c.gene for c in self.carries] + list(self.lacks))


NOTHING = Statement()
"""What a plain 'normal' states, and what a label states of genes that it doesn't name."""


@lru_cache(maxsize=8192)
def one_of_alike(statement: Statement) -> Statement:
    """The first of all equal statements: looked up by identity, which is quick, where many are looked up."""
    return statement


def about(statement: Statement, genes: Container[str]) -> Statement:
    """What a statement says of some genes alone."""
    return one_of_alike(
        Statement(
            tuple(s for s in statement.shows if s.gene in genes),
            tuple(c for c in statement.carries if c.gene in genes),
            tuple(name for name in statement.lacks if name in genes),
        )
    )


def shown_at(statement: Statement, locus: Locus) -> Appearance:
    """The appearance the label states at a locus; wild type where it shows none of the locus's genes."""
    names = {gene.name: gene for gene in locus.genes}
    shown = [s for s in statement.shows if s.gene in names]
    looks = [
        names[s.gene].super_name
        if s.copies == 2 and names[s.gene].inheritance is Inheritance.INCOMPLETE
        else s.gene
        for s in shown
    ]
    order = {gene.name: index for index, gene in enumerate(locus.genes)}
    return tuple(sorted(looks, key=lambda look: order.get(look, -1)))


def genotypes_at(
    statement: Statement, locus: Locus, *, single_copy: bool = False, background: Fraction = Fraction(1, 100)
) -> dict[Genotype, Fraction]:
    """The genotypes a label allows when taken at its word, with their weights (they sum to 1).

    What shows must show; 'het' is one copy, 'P% het' one copy with probability P, 'possible het' as likely as not; a
    gene the label leaves out is absent. One or two copies of a dominant gene are weighed as in animals taken at
    random, each allele being the variant with probability background / 2 (background 0: one copy, unless 'super' says
    two). Two lethal copies count only where the label leaves nothing else. Empty where no genotype of the locus looks like that.
    """
    look = shown_at(statement, locus)
    fitting = [
        genotype
        for genotype in locus.genotypes(single_copy=single_copy)
        if locus.appearance(genotype) == look and _copies_fit(statement, locus, genotype)
    ]
    hidden: dict[str | None, dict[Genotype, Fraction]] = {}
    for genotype in [g for g in fitting if locus.viable(g)] or fitting:
        hidden.setdefault(_hidden_gene(statement, locus, genotype), {})[genotype] = _copies_weight(
            locus, genotype, background
        )
    odds = _hidden_odds(statement, locus)
    total = sum((odds[gene] for gene in hidden), Fraction(0))
    return {
        genotype: odds[gene] / total * weight
        for gene, alike in hidden.items()
        if odds[gene]
        for genotype, weight in _shares(alike).items()
        if weight
    }


def _shares(weights: dict[Genotype, Fraction]) -> dict[Genotype, Fraction]:
    """Weights scaled to sum 1; all alike where none has any."""
    total = sum(weights.values())
    return {
        genotype: weight / total if total else Fraction(1, len(weights))
        for genotype, weight in weights.items()
    }


def _copies_fit(statement: Statement, locus: Locus, genotype: Genotype) -> bool:
    """Stated copies are met, certain hets are there, and no allele that the label neither shows nor claims."""
    shown = {s.gene: s.copies for s in statement.shows}
    carried = {c.gene: c.probability for c in statement.carries}
    for allele, gene in enumerate(locus.genes, start=1):
        copies = genotype.count(allele)
        if gene.name in shown:
            fits = shown[gene.name] in (None, copies) or len(genotype) == 1
        elif gene.name in carried:
            fits = copies == 1 or (copies == 0 and carried[gene.name] != 1)
        else:
            fits = copies == 0
        if not fits:
            return False
    return True


def _hidden_gene(statement: Statement, locus: Locus, genotype: Genotype) -> str | None:
    """The gene of a fitting genotype that is there and does not show; a locus hides one at most."""
    shown = {s.gene for s in statement.shows}
    names = (locus.genes[allele - 1].name for allele in genotype if allele != WILD)
    return next((name for name in names if name not in shown), None)


def _hidden_odds(statement: Statement, locus: Locus) -> dict[str | None, Fraction]:
    """The odds of each claimed gene of a locus, None standing for no hidden gene.

    Two alleles can't both hide, so their odds exclude each other; claims without a number share evenly, with 'none of
    them', what the others leave.
    """
    names = {gene.name for gene in locus.genes} - {s.gene for s in statement.shows}
    claims = [claim for claim in statement.carries if claim.gene in names]
    left = max(
        Fraction(0), 1 - sum((c.probability for c in claims if c.probability is not None), Fraction(0))
    )
    share = left / (1 + sum(claim.probability is None for claim in claims))
    return {None: share} | {c.gene: share if c.probability is None else c.probability for c in claims}


def _copies_weight(locus: Locus, genotype: Genotype, background: Fraction) -> Fraction:
    """How two copies of a dominant gene weigh against one, in animals taken at random."""
    frequency = background / 2
    first = genotype[0]
    if len(genotype) == 2 and genotype[0] != genotype[1] and locus.appearance(genotype):
        return 2 * (1 - frequency)
    dominant = first != WILD and locus.genes[first - 1].inheritance is Inheritance.DOMINANT
    return frequency if dominant and genotype == (first, first) else Fraction(1)
