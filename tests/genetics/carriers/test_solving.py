"""Evidence on request: other sires, other catalogues."""

from dataclasses import replace

import numpy as np
import pytest

from pipeline.genetics.carriers.families import families
from pipeline.genetics.carriers.solving import as_recorded, solve
from pipeline.genetics.collection import Settings
from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from tests.genetics.carriers.books import ASH, book, family_evidence

ANIMALS = [
    ("D", "F", "Ash", None, None),
    ("S", "M", "normal", None, None),
    ("X", "M", "normal", "S", "D"),
    ("T", "M", "Ash", None, None),
]


def _collection(**settings):
    young = [("P", "normal", 4), ("P", "Ash", 4)]
    return book(ANIMALS, [("P", "D", "S")], young, settings=Settings(**settings))


def test_family_evidence__sums_to_the_posteriors_evidence_over_sires():
    collection = _collection(wrong_sire=0.1)
    solved = solve(collection)[0]
    family, settings = solved.family, collection.settings
    guest = {
        "T": solve(replace(collection, settings=replace(settings, wrong_sire=0)))[1].posterior.states["T"]
    }
    total = -np.inf
    for a in family.clutches[0].candidates:
        for b in family.clutches[1].candidates:
            one = family_evidence(family, ASH, settings, {0: a.male, 1: b.male}, guest)
            total = np.logaddexp(total, np.log(a.prior * b.prior) + one)
    assert total == pytest.approx(solved.posterior.log_evidence, abs=1e-9)


def test_family_evidence__prefers_the_male_that_fits():
    collection = _collection(wrong_sire=0)
    (family, _) = families(collection)
    by_x = family_evidence(family, ASH, collection.settings, {0: "X"})
    by_s = family_evidence(family, ASH, collection.settings, {0: "S"})
    assert by_x > by_s + 3


def test_family_evidence__of_another_catalogue():
    """Half the young of a visual and a normal show: as a dominant gene should."""
    dominant = Catalogue("Boa", (Gene("Ash", Inheritance.DOMINANT, "Ash"),))
    collection = _collection(wrong_sire=0)
    family = as_recorded(families(collection)[0])
    recessive = family_evidence(family, ASH, collection.settings, {})
    assert family_evidence(family, dominant, collection.settings, {}) > recessive + 3


def test_solve__families_without_young_or_labels_get_the_background():
    (solved,) = solve(book([("D", "F", None, None, None)], settings=Settings(background_carrier=0.02)))
    assert solved.posterior.states["D"][0][0] == pytest.approx([0.99**2, 2 * 0.99 * 0.01, 0.01**2])
