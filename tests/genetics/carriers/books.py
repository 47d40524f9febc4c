"""Little collections for tests: one species, labels as text."""

from pipeline.genetics.carriers.solving import group_evidence
from pipeline.genetics.carriers.stacks import stacks
from pipeline.genetics.collection import Animal, Basis, Collection, Pairing, Settings, Young
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, SexChromosomes
from pipeline.genetics.labels import read_label

CERTAIN = Settings(
    background_carrier=0,
    misread=0,
    wrong_sire=0,
    wrong_label_proved=0,
    wrong_label_bred_here=0,
    wrong_label_seller=0,
)
"""Nothing is ever wrong: the textbook's world."""
ASH = Catalogue("Boa", (Gene("Ash", Inheritance.RECESSIVE, "Ash"),))
FOG = Catalogue("Boa", (Gene("Fog", Inheritance.RECESSIVE, "Fog", sex_linked=True),), SexChromosomes.XY)


def book(animals, pairings=(), young=(), *, catalogue=ASH, settings=CERTAIN):
    """`animals`: (ID, sex, label or None, sire, dam[, basis]); `pairings`: (ID, dam, sire, *others);
    `young`: (pairing, label, count[, further fields])."""
    herd = {}
    for row, (name, sex, label, sire, dam, *basis) in enumerate(animals, start=2):
        default = Basis.BRED_HERE if sire and dam else Basis.SELLER
        herd[name] = Animal(
            name,
            catalogue.species,
            sex,
            _label(label, catalogue),
            basis[0] if basis else default,
            sire,
            dam,
            row=row,
        )
    pairs = {
        p: Pairing(p, catalogue.species, 2020, dam, sire, tuple(more)) for p, dam, sire, *more in pairings
    }
    rows = tuple(
        Young(pairing, _label(label, catalogue), count, row=row, **(more[0] if more else {}))
        for row, (pairing, label, count, *more) in enumerate(young, start=2)
    )
    return Collection("book.xlsx", {catalogue.species: catalogue}, herd, pairs, rows, settings)


def _label(text, catalogue):
    return None if text is None else read_label(text, catalogue)


def family_evidence(family, own, settings, sires, guests=None):
    """ln P(all records of a family) under a catalogue or its stacks; the rest as group_evidence has it."""
    shapes = stacks(own, settings) if isinstance(own, Catalogue) else own
    return sum((float(one.sum()) for one in group_evidence(family, shapes, settings, sires, guests)), 0.0)
