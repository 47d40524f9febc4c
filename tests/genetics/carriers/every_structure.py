"""Carrier odds the longest way: every sire, every genotype, and every combination of structural faults.

Structural faults are each alternative of each gene record, and each clutch without a sire; an alternative has an even
share of its record's prior, however often its variants come. Faults of the same genes exclude each other.
"""

from dataclasses import replace
from math import exp, log
from unittest import mock

import numpy as np

from pipeline.genetics.carriers.solving import solve
from pipeline.genetics.crosses import genotype
from pipeline.genetics.statements import Statement
from pipeline.genetics.suspicions.alternatives import alternatives, changed, touched
from pipeline.genetics.suspicions.faults import GeneFault, NoSire
from pipeline.genetics.suspicions.unsired import can_be_unsired, sexed_daughters, without_sire
from tests.findings.suspicions.faulty_world import FaultyWorld, constants, said_twice
from tests.genetics.carriers import oracle
from tests.genetics.carriers.random_books import random_book


def odds(book):
    """P(no, one, two copies) by animal and gene of a book of one species, averaged over every structure."""
    total, sums = 0.0, {}
    found = [own.family for own in solve(book)]
    for moves in combinations(book, found):
        weight, copies = _structure(book, found, moves)
        total += weight
        for key, own in copies.items():
            sums[key] = sums.get(key, 0.0) + weight * own
    return {key: own / total for key, own in sums.items()}


def combinations(book, families):
    """Lists of faults that can be so at once, the empty one first."""
    (catalogue,) = book.catalogues.values()
    found = [[]]
    for own in alternatives(catalogue, book.settings.wrong_gene_record, book.settings.misread):
        genes = [touched(catalogue, variant.changes) for variant in own.variants]
        faults = [GeneFault(own, variant) for variant in own.variants] if own.prior else []
        found += [
            [*moves, fault]
            for fault, mine in zip(faults, genes, strict=False)
            for moves in found
            if not any(mine & touched(catalogue, other.variant.changes) for other in moves)
        ]
    for i, family in enumerate(families if book.settings.wrong_sire else ()):
        for k in range(len(family.clutches)):
            if can_be_unsired(family, k):
                found += [[*moves, NoSire(i, k)] for moves in found]
    return found


def _structure(book, families, moves):
    """Prior times evidence, that of no fault being 1, and the copies of each animal and gene."""
    (before,) = book.catalogues.values()
    faults = [move for move in moves if isinstance(move, GeneFault)]
    after = changed(before, {gene: own for fault in faults for gene, own in fault.variant.changes.items()})
    told = replace(book, catalogues={"Boa": after})
    found, prior = list(families), 0.0
    for fault in faults:
        share = fault.alternative.prior * fault.variant.share
        prior += log(share / (1 - book.settings.wrong_gene_record))
    for move in (move for move in moves if isinstance(move, NoSire)):
        share = 0.05 * book.settings.wrong_sire
        prior += log(share / (1 - share)) + log(2) * sexed_daughters(found[move.family], move.clutch)
        found[move.family] = without_sire(found[move.family], move.clutch)
    with mock.patch.object(oracle, "_World", FaultyWorld.knowing(before, after, said_twice(book))):
        answers = oracle.posteriors(told, found)
    if min(weight for weight, *_ in answers) <= 0:
        return 0.0, {}
    fixed = sum(constants(family, before, after, book.settings) for family in found)
    copies = {}
    for family, (_, states, _) in zip(found, answers, strict=True):
        copies |= _copies(family, after, states, book.animals)
    return exp(prior + fixed + sum(log(weight) for weight, *_ in answers)), copies


def _copies(family, catalogue, states, animals):
    copies = {}
    for g, group in enumerate(catalogue.groups):
        for place, locus in enumerate(group.loci):
            for allele, gene in enumerate(locus.genes, 1):
                for animal in family.animals.keys() & animals.keys():
                    own = copies[animal, gene.name] = np.zeros(3)
                    for (_, diplotype), p in states[g][animal].items():
                        own[genotype(diplotype, place).count(allele)] += p
    return copies


def one_gene_book(seed, mode, **settings):
    """A random book of three animals at most and its first gene alone, few young in each row."""
    book = random_book(seed, mode, animals=3)
    catalogue = replace(book.catalogues["Boa"], genes=book.catalogues["Boa"].genes[:1])
    (gene,) = catalogue.genes

    def cut(label):
        if label is None:
            return None
        return Statement(
            tuple(s for s in label.shows if s.gene == gene.name),
            tuple(c for c in label.carries if c.gene == gene.name),
            tuple(name for name in label.lacks if name == gene.name),
        )

    young = tuple(
        replace(y, count=min(y.count, 2), label=cut(y.label), unreadable=y.unreadable & {gene.name})
        for y in book.young
    )
    return replace(
        book,
        catalogues={"Boa": catalogue},
        animals={n: replace(a, label=cut(a.label)) for n, a in book.animals.items()},
        young=young[:4],
        settings=replace(book.settings, **settings),
    )
