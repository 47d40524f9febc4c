"""What a label states, once its words are understood.

The text of a label becomes a Statement in labels.py; this module says what a Statement means at a locus.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from pipeline.genetics.genes import Appearance, Genotype, Inheritance, Locus


@dataclass(frozen=True)
class Shown:
    """A gene that shows. `copies` is None where the look alone can't tell (one or two of a dominant gene)."""

    gene: str
    copies: int | None = None


@dataclass(frozen=True)
class Carried:
    """One copy that does not show. `probability` is 1 for 'het', None for a bare 'possible het'."""

    gene: str
    probability: Fraction | None = Fraction(1)


@dataclass(frozen=True)
class Statement:
    """A label taken apart; every gene by the name the Genes sheet gives it.

    `lacks` are genes known to be absent ('not NAME'), `lines` line-bred names, kept and never analysed.
    An animal nobody looked at has no Statement at all (None).
    """

    shows: tuple[Shown, ...] = ()
    carries: tuple[Carried, ...] = ()
    lacks: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()

    def genes(self) -> frozenset[str]:
        """Every gene the label speaks of, line-bred names left out."""
        return frozenset([s.gene for s in self.shows] + [c.gene for c in self.carries] + list(self.lacks))


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

    What shows must show; 'het' is one copy, 'P% het' one copy with probability P, 'possible het' with 1/2; a gene the
    label leaves out is absent. One or two copies of a dominant gene are weighed as in animals taken at random, each
    allele being the variant with probability background / 2. Empty where no genotype of the locus looks like that.
    """
    look = shown_at(statement, locus)
    weights = {
        genotype: _claims_weight(statement, locus, genotype) * _copies_weight(locus, genotype, background)
        for genotype in locus.genotypes(single_copy=single_copy)
        if locus.appearance(genotype) == look and _copies_fit(statement, locus, genotype)
    }
    total = sum(weights.values())
    return {genotype: weight / total for genotype, weight in weights.items() if weight} if total else {}


def _copies_fit(statement: Statement, locus: Locus, genotype: Genotype) -> bool:
    """Stated copies are met, and no allele is there that the label neither shows nor claims."""
    shown = {s.gene: s.copies for s in statement.shows}
    carried = {c.gene for c in statement.carries}
    for allele, gene in enumerate(locus.genes, start=1):
        copies = genotype.count(allele)
        if gene.name in shown:
            if shown[gene.name] is not None and len(genotype) == 2 and copies != shown[gene.name]:
                return False
        elif copies and gene.name not in carried or copies > 1:
            return False
    return True


def _claims_weight(statement: Statement, locus: Locus, genotype: Genotype) -> Fraction:
    weight = Fraction(1)
    shown = {s.gene for s in statement.shows}
    for claim in statement.carries:
        if claim.gene not in {gene.name for gene in locus.genes} or claim.gene in shown:
            continue
        chance = Fraction(1, 2) if claim.probability is None else claim.probability
        present = locus.allele(claim.gene) in genotype
        weight *= chance if present else 1 - chance
    return weight


def _copies_weight(locus: Locus, genotype: Genotype, background: Fraction) -> Fraction:
    """How two copies of a dominant gene weigh against one, in animals taken at random."""
    frequency = background / 2
    first = genotype[0]
    if len(genotype) == 2 and genotype[0] != genotype[1] and locus.appearance(genotype):
        return 2 * (1 - frequency)
    if len(genotype) == 2 and first and genotype[0] == genotype[1] and locus.genes[first - 1].inheritance is Inheritance.DOMINANT:
        return frequency
    return Fraction(1)


def normal() -> Statement:
    """The statement of a plain 'normal'."""
    return Statement()


def merged(statements: Iterable[Statement]) -> Statement:
    """Several statements about one animal as one, in order, without repeats."""
    parts = list(statements)
    return Statement(
        tuple(dict.fromkeys(s for part in parts for s in part.shows)),
        tuple(dict.fromkeys(c for part in parts for c in part.carries)),
        tuple(dict.fromkeys(name for part in parts for name in part.lacks)),
        tuple(dict.fromkeys(name for part in parts for name in part.lines)),
    )
