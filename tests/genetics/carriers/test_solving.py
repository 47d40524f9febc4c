"""Evidence on request: other sires, other catalogues."""

from dataclasses import replace

import numpy as np
import pytest

from pipeline.genetics.carriers import solving, structures
from pipeline.genetics.carriers.families import families
from pipeline.genetics.carriers.solving import as_recorded, solve
from pipeline.genetics.collection import Settings
from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from tests.genetics.carriers.books import ASH, CERTAIN, book, family_evidence

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


DOUBTFUL = replace(CERTAIN, misread=0.01, wrong_sire=0.1)
TWO_FAMILIES = [
    ("D", "F", "Ash", None, None),
    ("S", "M", "normal", None, None),
    ("T", "M", "50% het Ash", None, None),
]


def test_solve__a_clutch_tells_of_a_likely_sire_of_another_family():
    """By hand: by a carrier half of six young show; else each of the three that do was misread, and each other one not."""
    young = [("P", "Ash", 3), ("P", "normal", 3)]
    (solved,) = solve(book(TWO_FAMILIES, [("P", "D", "S")], young, settings=DOUBTFUL))
    by_carrier, else_ = 0.05 * 0.5 * 0.5**6, (0.01 * 0.99) ** 3
    whole = by_carrier + 0.975 * else_
    assert solved.posterior.states["T"][0][0, 1] == pytest.approx((by_carrier + 0.95 * 0.5 * else_) / whole)
    assert solved.posterior.sires[0][2] == pytest.approx((by_carrier + 0.025 * else_) / whole)
    assert solved.posterior.method == "exact"


def test_solve__families_stay_apart_where_no_male_of_another_is_a_likely_sire():
    young = [("P", "normal", 3)]
    pair, alone = solve(book(TWO_FAMILIES, [("P", "D", "S")], young, settings=DOUBTFUL))
    assert list(pair.family.animals) == ["D", "S"]
    assert alone.posterior.states["T"][0][0] == pytest.approx([0.5, 0.5, 0])


def test_solve__families_that_would_be_too_tangled_together_stay_apart(monkeypatch):
    """Narrow by themselves, wide together: the joint answer is not worth sampling."""
    exactly = solving.solve_family

    def narrow(family, *rest):
        own = exactly(family, *rest)
        return replace(own, entries=2199) if len(family.animals) > 2 else own

    monkeypatch.setattr(solving, "solve_family", narrow)
    young = [("P", "Ash", 3), ("P", "normal", 3)]
    pair, alone = solve(book(TWO_FAMILIES, [("P", "D", "S")], young, settings=DOUBTFUL))
    assert (pair.entries, alone.entries) == (0, 0)
    assert pair.posterior.sires[0][2] > solving.LIKELY


def test_solve_family__too_many_structures_of_wide_tables_are_summed_clutch_by_clutch(monkeypatch):
    collection = book([*ANIMALS], [("P", "D", "S", "T")], [("P", "normal", 4)], settings=CERTAIN)
    assert {own.posterior.method for own in solve(collection)} == {"exact"}
    monkeypatch.setattr(structures, "FULL_WORK", 40)
    assert {own.posterior.method for own in solve(collection)} == {"clutch by clutch"}


def test_solve__a_row_of_any_number_of_young_costs_no_more_than_one():
    """A billion normal young tell no more than a thousand did, and no list of a billion is made."""
    pairs, settings = [("P", "D", "S")], Settings(wrong_sire=0)
    many, few = (
        solve(book(ANIMALS[:2], pairs, [("P", "normal", count)], settings=settings))[0].posterior.states
        for count in (10**9, 1_000)
    )
    assert many["S"][0][0] == pytest.approx(few["S"][0][0], abs=1e-6)
    assert many["D"][0][0] == pytest.approx(few["D"][0][0], abs=1e-6)
