"""Resolutions in words: what the parents would have to be for each to hold."""

from collections.abc import Sequence
from itertools import product

from pipeline.findings.ratios.nulls import Pairs
from pipeline.findings.ratios.questions import Question
from pipeline.findings.ratios.resolutions import Resolution
from pipeline.findings.ratios.words import gene_name
from pipeline.genetics.collection import Pairing
from pipeline.genetics.crosses import Diplotype, genotype
from pipeline.genetics.genes import WILD, Catalogue, Inheritance, Locus

_Pair = tuple[Diplotype, ...]
_ROLES = ("dam", "sire")


def resolution_words(question: Question, pairing: Pairing, catalogue: Catalogue) -> dict[Resolution, str]:
    """'dam F3 is het Albino' for each resolution of a question; empty where there is only one.

    Of linkage groups the loci asked about are named, and the others only where these leave two resolutions alike: young
    that die of one gene take the looks of a linked one with them.
    """
    found = question.resolutions
    if len(found) < 2:
        return dict.fromkeys(found, "")
    asked = [positions for _, positions, _ in question.groups]
    words = _words(question, pairing, catalogue, asked)
    if len(set(words.values())) == len(found):
        return words
    whole = [tuple(range(len(catalogue.groups[number].loci))) for number, _, _ in question.groups]
    return _words(question, pairing, catalogue, whole)


def _words(
    question: Question, pairing: Pairing, catalogue: Catalogue, positions: Sequence[tuple[int, ...]]
) -> dict[Resolution, str]:
    """The resolutions by what the parents have at these positions of each linkage group."""
    found = question.resolutions
    kept = [{s: _kept(groups, positions) for s, groups in resolution.by_sire.items()} for resolution in found]
    every = {sire for own in kept for sire in own}
    allowed = {
        s: [set().union(*own) for own in zip(*(k[s] for k in kept if s in k), strict=True)] for s in every
    }
    loci = [
        [catalogue.groups[number].loci[i] for i in own]
        for (number, _, _), own in zip(question.groups, positions, strict=True)
    ]
    texts: dict[Resolution, str] = {}
    for resolution, own in zip(found, kept, strict=True):
        lines = []
        for sire, groups in own.items():
            parts = zip(groups, allowed[sire], loci, strict=True)
            words = [
                _pairs_words(pairs, all_, (pairing.dam, sire), at)
                for pairs, all_, at in parts
                if pairs != all_
            ]
            lines.append("; ".join([f"the sire is {sire}", *words] if len(every) > 1 else words))
        texts[resolution] = " / or ".join(dict.fromkeys(filter(None, lines)))
    return texts


def _kept(groups: Sequence[Pairs], positions: Sequence[tuple[int, ...]]) -> list[set[_Pair]]:
    """For each group the pairs of diplotypes, cut down to these positions."""
    return [
        {
            tuple(tuple(sorted(tuple(strand[i] for i in kept) for strand in own)) for own in pair)
            for pair in pairs
        }
        for pairs, kept in zip(groups, positions, strict=True)
    ]


def _pairs_words(
    pairs: set[_Pair], allowed: set[_Pair], animals: tuple[str, str], loci: Sequence[Locus]
) -> str:
    """Pairs of diplotypes in words: each parent's part where the pairs are a product, else what they are not."""
    every = [{pair[k] for pair in allowed} for k in range(2)]
    if words := _product_words(pairs, every, animals, loci):
        return " and ".join(words)
    if words := _product_words(set(product(*every)) - pairs, every, animals, loci):
        return f"not both: {' and '.join(words)}"
    return " / or ".join(" and ".join(_product_words({pair}, every, animals, loci)) for pair in sorted(pairs))


def _product_words(
    pairs: set[_Pair], every: Sequence[set[Diplotype]], animals: tuple[str, str], loci: Sequence[Locus]
) -> list[str]:
    """What each parent is, where every option of the one goes with every option of the other; else nothing."""
    sides = [{pair[k] for pair in pairs} for k in range(2)]
    if not pairs or set(product(*sides)) != pairs:
        return []
    return [
        f"{role} {animal} {_options_words(side, all_, loci)}"
        for role, animal, side, all_ in zip(_ROLES, animals, sides, every, strict=True)
        if side != all_
    ]


def _options_words(side: set[Diplotype], every: set[Diplotype], loci: Sequence[Locus]) -> str:
    """'is het Albino', 'carries no Albino or is het Albino': the genotypes where the options differ, and the phase
    where that does."""
    genotypes = {own: tuple(genotype(own, i) for i in range(len(loci))) for own in every}
    varying = [i for i in range(len(loci)) if len({own[i] for own in genotypes.values()}) > 1]
    phrases: dict[str, None] = {}
    for diplotype in sorted(side):
        parts = [_genotype_words(loci[i], genotypes[diplotype][i]) for i in varying]
        if list(genotypes.values()).count(genotypes[diplotype]) > 1:
            parts.append(_phase_words(diplotype, loci))
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


def _phase_words(diplotype: Diplotype, loci: Sequence[Locus]) -> str:
    """'has Albino and Lilac on one strand', 'has Lilac on one strand, Albino on the other'."""
    strands = [
        " and ".join(locus.genes[a - 1].name for locus, a in zip(loci, strand, strict=True) if a != WILD)
        for strand in diplotype
    ]
    first, *rest = filter(None, strands)
    return f"has {first} on one strand" + (f", {rest[0]} on the other" if rest else "")
