"""What each record says of the genotypes at one locus: priors of founders, likelihoods of everything else.

The model is the project's own; where a record is wrong with probability e or m, nothing is ever impossible. All
functions return weights by genotype over the viable genotypes of the locus. A claim that no animal of that sex can
meet ('het' where there is one copy) says nothing.
"""

from collections.abc import Callable, Iterable
from fractions import Fraction
from math import prod

from pipeline.genetics.genes import WILD, Appearance, Genotype, Inheritance, Locus
from pipeline.genetics.statements import Statement, shown_at

Odds = dict[Genotype, float]
RARE = 1e-12
"""Stands for a background of 0 where copies that show must still be weighed against each other."""


def viable_genotypes(locus: Locus, *, single: bool) -> list[Genotype]:
    """The genotypes of living animals in the locus's fixed order; `single`: of the sex with one copy."""
    return [g for g in locus.genotypes(single_copy=single) if locus.viable(g)]


def background_odds(locus: Locus, background: float, *, single: bool) -> Odds:
    """Genotypes of an animal taken at random: each allele is a given variant with probability background / 2.

    Genotypes that don't live are struck and the rest rescaled, so the weights sum to 1.
    """
    frequency = min(background / 2, 1 / (len(locus.genes) + 1))
    share = {g: _drawn(g, frequency, len(locus.genes)) for g in viable_genotypes(locus, single=single)}
    return _scaled(share)


def founder_odds(
    label: Statement | None, locus: Locus, *, error: float, misread: float, background: float, single: bool
) -> Odds:
    """The prior of an animal without recorded parents, by its label; None where nobody looked.

    What shows: the copies that can show so with 1 - error, other genotypes of the background with error. 'P% het':
    one copy with P (1 - error), else none; a bare 'possible het' counts as 50 %. 'not': none with 1 - error, else
    one. A gene left out: background alleles, times the reading's likelihood. A label that nothing living has is wrong:
    the background with error.
    """
    base = background_odds(locus, background, single=single)
    if label is None:
        return base
    if shown_at(label, locus):
        return _shown_prior(label, locus, base, error, background, single)
    claimed = _claims(label, locus, error, single)
    left_out = [a for a in range(1, len(locus.genes) + 1) if a not in claimed]
    tells = left_out or len(claimed) > 1
    read = reading_odds(label, locus, misread=misread, single=single) if tells else dict.fromkeys(base, 1.0)
    frequency = min(background / 2, 1 / (len(locus.genes) + 1))
    prior = {
        g: prod(claim(g.count(a)) for a, claim in claimed.items())
        * _drawn(tuple(a for a in g if a not in claimed), frequency, len(left_out))
        for g in base
    }
    return {g: weight * read[g] for g, weight in _scaled(prior).items()}


def reading_odds(label: Statement, locus: Locus, *, misread: float, single: bool) -> Odds:
    """Likelihood of a look as read: 1 - misread for the true class, misread / (classes - 1) for each other one.

    A look that no living animal has says nothing; one that only the other sex has was misread, as any class may be.
    """
    genotypes = viable_genotypes(locus, single=single)
    classes = {locus.appearance(g) for g in genotypes}
    look = shown_at(label, locus)
    if look not in classes:
        return dict.fromkeys(genotypes, misread / len(classes) if _other_sex(locus, look, single) else 1.0)
    if len(classes) == 1:
        return dict.fromkeys(genotypes, 1.0)
    other = misread / (len(classes) - 1)
    return {
        g: sum(share * (1 - misread if own == look else other) for own, share in looks_at(locus, g))
        for g in genotypes
    }


def _other_sex(locus: Locus, look: Appearance, single: bool) -> bool:
    """Whether animals of the other sex can look so: that with one copy of a locus has no look of its own."""
    return single and look in map(locus.appearance, viable_genotypes(locus, single=False))


def looks_at(locus: Locus, genotype: Genotype) -> list[tuple[Appearance, float]]:
    """What a genotype looks like, and how often; a gene whose penetrance is below 1 does not always show."""
    look = locus.appearance(genotype)
    weak = {
        name: gene for gene in locus.genes if gene.penetrance < 1 for name in (gene.name, gene.super_name)
    }
    hidden = [name for name in look if name in weak]
    if not hidden:
        return [(look, 1.0)]
    shown = weak[hidden[0]].penetrance
    return [(look, shown), (tuple(name for name in look if name not in weak), 1 - shown)]


def claim_odds(label: Statement, locus: Locus, *, error: float, percents: bool, single: bool) -> Odds:
    """Likelihood of what a label claims beyond the look: 1 - error where a claim agrees, error where not.

    With `percents`, 'P% het' weighs one copy by P (1 - error) against the rest; without, and for a bare 'possible
    het', it says nothing.
    """
    weights = dict.fromkeys(viable_genotypes(locus, single=single), 1.0)
    if single:
        return weights
    for allele, copies, chance in _stated(label, locus):
        if chance is None or (chance != 1 and not percents):
            continue
        agrees = float(chance) * (1 - error)
        for g in weights:
            count = g.count(allele)
            weights[g] *= agrees if count == copies else (1 - agrees if count == 0 else error)
    return weights


def misread_at(locus: Locus, setting: float) -> float:
    """How often the locus is misread: the largest of its genes' own rates, `setting` where a gene states none."""
    return max(setting if gene.misread is None else gene.misread for gene in locus.genes)


def readable(locus: Locus, unreadable: Iterable[str]) -> bool:
    """Whether young can be read at the locus: none of its genes shows later or is marked unreadable."""
    return not locus.later and not {gene.name for gene in locus.genes} & set(unreadable)


def _drawn(alleles: Genotype, frequency: float, variants: int) -> float:
    """Probability of one or two alleles drawn at random, in either order."""
    wild = 1 - variants * frequency
    orders = 2 if len(alleles) == 2 and alleles[0] != alleles[1] else 1
    return orders * prod(wild if allele == WILD else frequency for allele in alleles)


def _scaled(weights: Odds, total: float = 1.0) -> Odds:
    """Weights that sum to `total`; all zero where they were."""
    whole = sum(weights.values())
    return {g: total * weight / whole if whole else 0.0 for g, weight in weights.items()}


def _shown_prior(
    label: Statement, locus: Locus, base: Odds, error: float, background: float, single: bool
) -> Odds:
    look = shown_at(label, locus)
    weighed = background_odds(locus, max(background, RARE), single=single)
    fits = {
        g: weighed[g] * _hidden_share(label, locus, g)
        for g in base
        if locus.appearance(g) == look and (single or _copies_fit(label, locus, g))
    }
    fits = {g: weight for g, weight in fits.items() if weight}
    if not fits:
        return _scaled(base, error)
    others = {g: weight for g, weight in base.items() if g not in fits}
    if not sum(others.values()):
        return dict.fromkeys(base, 0.0) | _scaled(fits)
    return _scaled(fits, 1 - error) | _scaled(others, error)


def _copies_fit(label: Statement, locus: Locus, genotype: Genotype) -> bool:
    shown = {s.gene: s.copies for s in label.shows if s.copies is not None}
    return all(
        shown.get(gene.name, genotype.count(allele)) == genotype.count(allele)
        for allele, gene in enumerate(locus.genes, start=1)
    )


def _hidden_share(label: Statement, locus: Locus, genotype: Genotype) -> Fraction:
    """How the claims about genes hidden behind the look weigh a genotype."""
    share = Fraction(1)
    names = {gene.name for gene in locus.genes}
    for claim in label.carries:
        if claim.gene in names:
            chance = Fraction(1, 2) if claim.probability is None else claim.probability
            share *= chance if locus.allele(claim.gene) in genotype else 1 - chance
    lacking = [locus.allele(name) for name in label.lacks if name in names]
    return Fraction(0) if any(allele in genotype for allele in lacking) else share


def _claims(label: Statement, locus: Locus, error: float, single: bool) -> dict[int, Callable[[int], float]]:
    """By allele, the probability of a number of copies as a label that shows nothing claims it."""
    names = {gene.name for gene in locus.genes}
    claims: dict[int, Callable[[int], float]] = {}
    for claim in label.carries:
        if claim.gene in names and not single:
            chance = 0.5 if claim.probability is None else float(claim.probability)
            claims[locus.allele(claim.gene)] = _one_copy(chance * (1 - error))
    for name in label.lacks:
        if name in names:
            claims[locus.allele(name)] = _one_copy(error)
    return claims


def _one_copy(chance: float) -> Callable[[int], float]:
    return lambda copies: (1 - chance, chance, 0.0)[copies]


def _stated(label: Statement, locus: Locus) -> list[tuple[int, int, Fraction | None]]:
    """(allele, copies, probability) of every claim that a look alone doesn't tell."""
    names = {gene.name for gene in locus.genes}
    hidden = [(locus.allele(c.gene), 1, c.probability) for c in label.carries if c.gene in names]
    absent = [(locus.allele(name), 0, Fraction(1)) for name in label.lacks if name in names]
    counted = [
        (locus.allele(s.gene), s.copies, Fraction(1))
        for s in label.shows
        if s.gene in names and s.copies is not None and _look_hides_copies(locus, s.gene)
    ]
    return hidden + absent + counted


def _look_hides_copies(locus: Locus, name: str) -> bool:
    return locus.genes[locus.allele(name) - 1].inheritance is Inheritance.DOMINANT
