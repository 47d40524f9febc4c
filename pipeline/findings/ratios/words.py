"""Classes, ratios, resolutions and verdicts in words a keeper uses."""

from collections.abc import Sequence
from itertools import product

import numpy as np

from pipeline.findings.ratios.distributions import Distribution, YoungKind
from pipeline.findings.ratios.nulls import Pairs
from pipeline.findings.ratios.questions import Question, Tally
from pipeline.findings.ratios.resolutions import Resolution
from pipeline.genetics.collection import Pairing
from pipeline.genetics.crosses import Diplotype, genotype
from pipeline.genetics.genes import WILD, Catalogue, Inheritance, Locus

MOST_NAMED = 6
"""Classes up to which a ratio names each."""
_SEXES = {"F": "female", "M": "male", None: ""}
_Pair = tuple[Diplotype, ...]


def gene_name(locus: Locus) -> str:
    """What a locus is called: by its gene where it has one, else by its own name."""
    return locus.genes[0].name if len(locus.genes) == 1 else locus.name


def kind_name(kind: YoungKind, tally: Tally, question: Question, catalogue: Catalogue) -> str:
    """A class of young as a label; genes that could not be read are named as such."""
    shown = " ".join(name for look in kind.looks for name in look or ()) or "normal"
    read = {loci[i] for (_, _, loci), own in zip(question.groups, tally.readable, strict=True) for i in own}
    unread = [gene_name(catalogue.loci[locus]) for locus in question.loci if locus not in read]
    text = f"{_SEXES[kind.sex]} {shown}".strip()
    return f"{text} ({', '.join(unread)} not readable)" if unread else text


def ratio_words(distribution: Distribution) -> str:
    """'3 normal : 1 Albino'; with many classes the numbers alone, with very many their count."""
    terms = whole_ratio(distribution)
    if len(terms) > 16:
        return f"{len(terms)} classes"
    if len(terms) > MOST_NAMED:
        return ":".join(terms)
    names = [
        f"{_SEXES[kind.sex]} {' '.join(name for look in kind.looks for name in look or ()) or 'normal'}".strip()
        for kind in distribution.classes
    ]
    if len(names) == 1:
        return f"all {names[0]}"
    return " : ".join(f"{term} {name}" for term, name in zip(terms, names, strict=True))


def whole_ratio(distribution: Distribution) -> list[str]:
    """The probabilities as the smallest whole numbers, up to 1024 in all; as percentages where there are none."""
    shares = distribution.probabilities
    totals = np.arange(1, 1025)
    scaled = totals[:, None] * shares
    fits = np.flatnonzero((np.abs(scaled - scaled.round()) < 1e-6).all(axis=1))
    if not fits.size:
        return [f"{100 * share:.3g} %" for share in shares.tolist()]
    return [str(int(value)) for value in scaled[fits[0]].round()]


def resolution_words(question: Question, pairing: Pairing, catalogue: Catalogue) -> dict[Resolution, str]:
    """What the parents would have to be for each resolution to hold: 'dam F3 is het Albino'. Empty where it is the only one."""
    found = question.resolutions
    if len(found) < 2:
        return dict.fromkeys(found, "")
    kept = [{s: _kept(groups, question) for s, groups in resolution.by_sire.items()} for resolution in found]
    every = {sire for own in kept for sire in own}
    allowed = {
        s: [set().union(*own) for own in zip(*(k[s] for k in kept if s in k), strict=True)] for s in every
    }
    texts: dict[Resolution, str] = {}
    for resolution, own in zip(found, kept, strict=True):
        lines = []
        for sire, groups in own.items():
            words = [f"the sire is {sire}"] if len(every) > 1 else []
            for (number, positions, _), pairs, all_ in zip(
                question.groups, groups, allowed[sire], strict=True
            ):
                if pairs != all_:
                    loci = [catalogue.groups[number].loci[i] for i in positions]
                    words.append(_pairs_words(pairs, all_, (pairing.dam, sire), loci))
            lines.append(", ".join(words))
        texts[resolution] = "; or ".join(dict.fromkeys(filter(None, lines)))
    return texts


def _kept(groups: Sequence[Pairs], question: Question) -> list[set[_Pair]]:
    """For each group the pairs of diplotypes, cut down to the loci asked about."""
    return [
        {
            tuple(tuple(sorted(tuple(strand[i] for i in positions) for strand in own)) for own in pair)
            for pair in pairs
        }
        for pairs, (_, positions, _) in zip(groups, question.groups, strict=True)
    ]


def _pairs_words(
    pairs: set[_Pair], allowed: set[_Pair], animals: tuple[str, str], loci: Sequence[Locus]
) -> str:
    """Pairs of diplotypes in words: each parent's part where the pairs are a product, else what they are not."""
    every = [{pair[k] for pair in allowed} for k in range(2)]
    for chosen, negated in ((pairs, False), (set(product(*every)) - pairs, True)):
        sides = [{pair[k] for pair in chosen} for k in range(2)]
        if chosen and set(product(*sides)) == chosen:
            words = [
                f"{role} {animal} {_options_words(side, all_, loci)}"
                for role, animal, side, all_ in zip(("dam", "sire"), animals, sides, every, strict=True)
                if side != all_
            ]
            if words:
                lead = "" if not negated else "not both: " if len(words) > 1 else "not: "
                return lead + " and ".join(words)
    return "; or ".join(
        " and ".join(
            f"{role} {animal} {_options_words({own}, all_, loci)}"
            for role, animal, own, all_ in zip(("dam", "sire"), animals, pair, every, strict=True)
            if len(all_) > 1
        )
        for pair in sorted(pairs)
    )


def _options_words(side: set[Diplotype], every: set[Diplotype], loci: Sequence[Locus]) -> str:
    """'is het Albino', 'carries no Albino or is het Albino': the genotypes where the options differ.

    Where the options differ in phase alone, the strands are named.
    """
    genotypes = {own: tuple(genotype(own, i) for i in range(len(loci))) for own in every}
    varying = [i for i in range(len(loci)) if len({own[i] for own in genotypes.values()}) > 1]
    phrases: dict[str, None] = {}
    for diplotype in sorted(side):
        parts = [_genotype_words(loci[i], genotypes[diplotype][i]) for i in varying]
        if list(genotypes.values()).count(genotypes[diplotype]) > 1:
            parts.append(f"has the strands {' / '.join(_strand_words(strand, loci) for strand in diplotype)}")
        phrases[" and ".join(parts)] = None
    return " or ".join(phrases)


def _genotype_words(locus: Locus, own: tuple[int, ...]) -> str:
    variants = [locus.genes[allele - 1] for allele in own if allele != WILD]
    if not variants:
        return f"carries no {gene_name(locus)}"
    if len(variants) == 2 and variants[0] != variants[1]:
        return f"has {variants[0].name} and {variants[1].name}"
    if len(variants) == 2:
        return f"has two copies of {variants[0].name}"
    hidden = variants[0].inheritance is Inheritance.RECESSIVE and len(own) == 2
    return f"is het {variants[0].name}" if hidden else f"has one copy of {variants[0].name}"


def _strand_words(strand: tuple[int, ...], loci: Sequence[Locus]) -> str:
    names = [
        locus.genes[allele - 1].name for locus, allele in zip(loci, strand, strict=True) if allele != WILD
    ]
    return "+".join(names) or "wild type"
