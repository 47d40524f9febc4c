"""Carrier odds averaged over the structures, against the longest way."""

from math import inf

import numpy as np
import pytest

from pipeline.genetics.suspicions import carrying
from pipeline.genetics.suspicions.answer import searched
from tests.genetics.carriers import every_structure
from tests.genetics.carriers.every_structure import one_gene_book

DOUBTS = {"misread": 0.05, "wrong_sire": 0.2, "wrong_gene_record": 0.2}
"""Doubts that matter."""


def _worst(book):
    """The largest difference of any odds, and the number of places at which a structural fault may be."""
    (own,) = searched(book, least=-inf)
    expected, worst = every_structure.odds(book), 0.0
    for i, family in enumerate(own.families):
        for gene, table in carrying.averaged_copies(own, i, book.settings).items():
            for animal, row in zip(family.animals, table, strict=True):
                worst = max(worst, np.abs(row[1:4] - expected[animal, gene]).max())
    return worst, len(own.places)


@pytest.mark.parametrize("seeds", [5, pytest.param(30, marks=pytest.mark.study)])
@pytest.mark.parametrize("mode", ["recessive", "incomplete, lethal twice", "sex-linked, ZW", "dominant"])
def test_averaged_copies__equal_the_sum_over_every_structure_of_one_place(mode, seeds, monkeypatch):
    """Sires and a gene record's alternatives; or sires and none at all."""
    monkeypatch.setattr(carrying, "LOSS", 0.0)
    checked = 0
    for seed in range(seeds):
        for doubts in (DOUBTS, DOUBTS | {"wrong_gene_record": 0}):
            worst, places = _worst(one_gene_book(seed, mode, **doubts))
            checked += places == 1
            assert worst < (1e-9 if places == 1 else 0.05), (seed, places)
    assert checked > seeds / 2


@pytest.mark.parametrize("mode", ["recessive", "sex-linked, ZW"])
def test_averaged_copies__places_one_at_a_time_are_close_under_the_usual_doubts(mode):
    """With the settings' own priors two faults at once hardly weigh."""
    usual = {"misread": 0.01, "wrong_sire": 0.02, "wrong_gene_record": 0.01}
    assert max(_worst(one_gene_book(seed, mode, **usual))[0] for seed in range(6)) < 0.003
