"""Structural faults against the model summed the long way: every fault, every sire, every genotype."""

from dataclasses import replace
from math import exp, log

import pytest

from pipeline.genetics.carriers.families import families
from pipeline.genetics.carriers.solving import solve
from pipeline.genetics.collection import Settings
from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from pipeline.genetics.suspicions.alternatives import Fault, changed, touched
from pipeline.genetics.suspicions.faults import GeneFault, NoSire
from pipeline.genetics.suspicions.search import structures
from pipeline.genetics.suspicions.unsired import sexed_daughters, without_sire
from tests.findings.suspicions.faulty_world import FaultyWorld, constants, said_twice
from tests.genetics.carriers import oracle
from tests.genetics.carriers.books import book
from tests.genetics.carriers.random_books import random_book

NEVER = float("-inf")


def _small_book(seed, mode, **settings):
    """A random book with few young in each row, one family, and doubts that matter."""
    book = random_book(seed, mode, animals=3)
    young = tuple(replace(y, count=min(y.count, 2)) for y in book.young)[:4]
    wrong = Settings(**{"misread": 0.05, "wrong_sire": 0.2, "wrong_gene_record": 0.2, **settings})
    return replace(book, young=young, settings=wrong)


def _ln_weight(book, moves, monkeypatch):
    """ln of prior times evidence of a structure, by brute force; the prior of no fault is 1."""
    before = book.catalogues["Boa"]
    changes, total = {}, 0.0
    for move in moves:
        if isinstance(move, GeneFault):
            changes |= move.variant.changes
            wrong = book.settings.wrong_gene_record
            total += log(move.alternative.prior * move.variant.share / (1 - wrong))
    after = changed(before, changes)
    other = replace(book, catalogues={"Boa": after})
    found = list(families(other))
    for move in moves:
        if isinstance(move, NoSire):
            share = 0.05 * book.settings.wrong_sire
            total += log(share / (1 - share)) + log(2) * sexed_daughters(found[move.family], move.clutch)
            found[move.family] = without_sire(found[move.family], move.clutch)
    monkeypatch.setattr(oracle, "families", lambda _: found)
    monkeypatch.setattr(oracle, "_World", FaultyWorld.knowing(before, after, said_twice(book)))
    weights = [weight for weight, _, _ in oracle.posteriors(other)]
    if min(weights) <= 0:
        return NEVER
    return total + sum(map(log, weights)) + sum(constants(f, before, after, book.settings) for f in found)


def _worst(book, monkeypatch):
    """The largest difference of any option's odds against the best structure's."""
    found = structures(solve(book), book.catalogues["Boa"], book.settings, book.animals, least=NEVER)
    adopted = [p.options[p.best].fault for p in found.places if p.options[p.best].fault is not None]
    best, worst, told = _ln_weight(book, adopted, monkeypatch), 0.0, 0
    for place in found.places:
        here = place.options[place.best].fault
        pairs = []
        for option in place.options:
            moves = [m for m in adopted if m is not here] + ([option.fault] if option.fault else [])
            if not _left_out(moves, book):
                pairs.append((option.probability, exp(_ln_weight(book, moves, monkeypatch) - best)))
        if not pairs:
            continue
        stated, whole = (sum(part) for part in zip(*pairs, strict=True))
        for probability, weight in pairs:
            worst = max(worst, abs(probability / stated - weight / whole))
            told += probability < 0.999
    return worst, told


def _left_out(moves, book):
    """Faults at one place at once; and hets at a locus of several genes, which the long way does not read."""
    catalogue = book.catalogues["Boa"]
    faults = [m for m in moves if isinstance(m, GeneFault)]
    genes = [touched(catalogue, m.variant.changes) for m in faults]
    if any(one & other for i, one in enumerate(genes) for other in genes[:i]):
        return True
    kinds = {m.alternative.fault for m in faults}
    labels = [a.label for a in book.animals.values() if a.label] + [y.label for y in book.young if y.label]
    hets = any(label.carries or label.lacks for label in labels)
    return Fault.ALLELES in kinds and hets


MODES = {
    "recessive": 2,
    "incomplete, lethal twice": 4,
    "dominant": 2,
    "series": 1,
    "sex-linked, ZW": 4,
    "sex-linked, XY": 4,
}


@pytest.mark.parametrize("mode", MODES)
def test_structures__equal_brute_force_over_faults_sires_and_genotypes(mode, monkeypatch):
    told = 0
    for seed in range(MODES[mode]):
        worst, options = _worst(_small_book(seed, mode), monkeypatch)
        assert worst < 1e-9, seed
        told += options
    assert told > 10


def test_structures__causes_that_leave_nothing_to_each_other_share_one_place(monkeypatch):
    """Three Ash of an Ash and a Dun: no sire at all, or two alleles of which Ash shows; the sum over both and neither."""
    known = Catalogue("Boa", tuple(Gene(name, Inheritance.RECESSIVE, name) for name in ("Ash", "Dun")))
    animals = [("D", "F", "Ash", None, None), ("S", "M", "Dun", None, None)]
    rare = Settings(misread=0.001, background_carrier=0.001)
    told = book(animals, [("P", "D", "S")], [("P", "Ash", 3)], catalogue=known, settings=rare)
    found = structures(solve(told), known, told.settings, told.animals)
    (place,) = (p for p in found.places if any(isinstance(o.fault, NoSire) for o in p.options))
    assert any(
        isinstance(o.fault, GeneFault) and o.fault.alternative.fault is Fault.ALLELES for o in place.options
    )
    assert _worst(told, monkeypatch)[0] < 1e-9


@pytest.mark.study
@pytest.mark.parametrize("mode", MODES)
def test_structures__equal_brute_force_on_dozens_of_books(mode, monkeypatch):
    for seed in range(100, 100 + 5 * MODES[mode]):
        assert _worst(_small_book(seed, mode), monkeypatch)[0] < 1e-9, seed
