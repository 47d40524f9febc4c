"""The quick look against the evidence worked out in full for the same sires."""

from dataclasses import replace

import pytest

from pipeline.genetics.carriers.solving import as_recorded, solve
from pipeline.genetics.collection import Basis, Settings
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, SexChromosomes
from pipeline.genetics.labels import read_label
from pipeline.genetics.suspicions.alternatives import Fault, alternatives, changed, part_of, touched
from pipeline.genetics.suspicions.answer import suspicions
from pipeline.genetics.suspicions.looks import doubled_in, looks_of, odd_looks
from pipeline.genetics.suspicions.rereading import restacked
from pipeline.genetics.suspicions.rewording import Wording
from pipeline.genetics.suspicions.screening import QuickLook
from pipeline.genetics.suspicions.sheets import Desk
from tests.genetics.carriers.books import book, family_evidence
from tests.simulate.faults import CATALOGUE, simulated

SETTINGS = Settings()
EMBER = Catalogue(
    "Boa",
    (Gene("Ember", Inheritance.INCOMPLETE, "Ember"), Gene("Ash", Inheritance.RECESSIVE, "Ash")),
    SexChromosomes.XY,
)


def _in_full(family, catalogue, changes, genes):
    """ln evidence of one sheet without pruning, all young and animals said again."""
    part = part_of(changed(catalogue, changes), genes)
    looks = looks_of(family)
    wording = Wording(catalogue, part, doubled_in([family], catalogue))
    told = family_evidence(family, restacked(wording, part, SETTINGS), SETTINGS, {})
    return told + odd_looks(looks, wording, part, SETTINGS)


@pytest.mark.parametrize("fault", sorted({a.fault for a in alternatives(CATALOGUE, 0.01, 0.01)}))
def test_quick_look__equals_the_whole_evidence(fault):
    """Pruning leaves out states of less than a millionth, unless a record must be wrong: then none."""
    told = [a for a in alternatives(CATALOGUE, 0.01, 0.01) if a.fault is fault]
    for seed in range(2):
        collection, _ = simulated(seed, SETTINGS, litters=6, dams=3, males=3)
        for own in solve(collection):
            family = as_recorded(own.family)
            desk = Desk(CATALOGUE, SETTINGS, doubled_in([family], CATALOGUE))
            look = QuickLook(family, desk, collection.animals)
            for variant in (v for a in told for v in a.variants):
                genes = touched(CATALOGUE, variant.changes)
                parts = look.desk.parts(variant.changes, genes)
                look.ask(parts)
                expected = _in_full(family, CATALOGUE, variant.changes, genes)
                assert look.evidence(parts) == pytest.approx(expected, abs=1e-3)


def test_suspicions__no_gene_is_lethal_for_want_of_a_test():
    """Eight hundred young of a visual by normals, half and half, say nothing of two copies; nor that none was misread."""
    animals = [("S", "M", "Ember", None, None)]
    animals += [(f"D{i}", "F", "normal", None, None) for i in range(40)]
    pairs = [(f"P{i}", f"D{i}", "S") for i in range(40)]
    young = [(f"P{i}", look, 10) for i in range(40) for look in ("Ember", "normal")]
    found = suspicions(book(animals, pairs, young, catalogue=EMBER, settings=SETTINGS), 0.005).found
    assert found == ()


def test_reread__what_cant_be_told_of_one_gene_is_still_told_of_the_other():
    """Merged with a gene that shows later, a look still says what it says of the first."""
    catalogue = replace(EMBER, genes=(EMBER.genes[0], replace(EMBER.genes[1], later=True)))
    (own,) = (a for a in alternatives(catalogue, 0.01, 0.01) if a.fault is Fault.ALLELES)
    after = changed(catalogue, own.variants[-1].changes)
    (stack,) = restacked(Wording(catalogue, after, {}), after, SETTINGS)
    said = stack.reading(read_label("Ember", catalogue), stack.kind("F"), frozenset())[0]
    assert said.max() == pytest.approx(0.99) and said.min() == pytest.approx(0.005)


def test_suspicions__three_odd_crosses_are_one_wrong_gene_record_rather_than_three_wrong_sires():
    """Albino by albino may give wild type, where the two are no alleles (Bechtel & Bechtel, Elaphe obsoleta; abstract).

    Summed by hand over the sires and the males' genotypes: three wrong sires are 1.6e-6 (0.0116 each: a male unknown, or
    another whose own clutch is then not his), a wrong gene record 1 in 300 with 24 looks read right, 0.786; so 0.9994.
    """
    catalogue = Catalogue(
        "Boa", tuple(Gene(name, Inheritance.RECESSIVE, "Tyr") for name in ("Ash", "Coal")), SexChromosomes.XY
    )
    dams = [(f"D{i}", "F", "Ash", None, None, Basis.PROVED) for i in range(3)]
    sires = [(f"S{i}", "M", "Coal", None, None, Basis.PROVED) for i in range(3)]
    pairs = [(f"P{i}", f"D{i}", f"S{i}") for i in range(3)]
    young = [(f"P{i}", "normal", 8) for i in range(3)]
    (found,) = suspicions(book(dams + sires, pairs, young, catalogue=catalogue, settings=SETTINGS), 0.5).found
    assert (found.kind, found.subject) == ("gene record", "Ash, Coal")
    assert found.probability == pytest.approx(0.9994, abs=2e-4)


def test_suspicions__living_young_with_two_copies_prove_that_two_copies_live():
    """Blue fowl, 1 black : 2 blue : 1 splashed (Punnett 1911, Mendelism, 3rd ed., p. 70), with two copies recorded as lethal."""
    lethal = replace(EMBER, genes=(replace(EMBER.genes[0], lethal=True),))
    animals = [
        (f"{name}{i}", sex, "Ember", None, None, Basis.PROVED)
        for i in range(4)
        for name, sex in (("D", "F"), ("S", "M"))
    ]
    pairs = [(f"P{i}", f"D{i}", f"S{i}") for i in range(4)]
    looks = (("normal", 4), ("Ember", 8), ("super Ember", 4))
    young = [(f"P{i}", look, n) for i in range(4) for look, n in looks]
    (found,) = suspicions(book(animals, pairs, young, catalogue=lethal, settings=SETTINGS), 0.5).found
    assert found.rivals[0][0].fault is Fault.VIABLE and found.rivals[0][1] > 0.9
