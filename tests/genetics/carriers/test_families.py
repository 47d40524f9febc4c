"""Who belongs together, and who may have sired what."""

from dataclasses import replace
from datetime import date

import pytest

from pipeline.genetics.carriers import sires
from pipeline.genetics.carriers.families import Half, families
from pipeline.genetics.carriers.solving import solve
from pipeline.genetics.collection import Settings
from tests.genetics.carriers.books import book

DOUBT = Settings(wrong_sire=0.1)
ANIMALS = [
    ("D", "F", "normal", None, None),
    ("S", "M", "normal", None, None),
    ("T", "M", "normal", None, None),
    ("X", "M", "normal", "S", "D"),
]


def _born(collection, **years):
    herd = {a.id: replace(a, born_year=years.get(a.id)) for a in collection.animals.values()}
    return replace(collection, animals=herd)


def test_families__are_linked_by_recorded_parents_not_by_candidates():
    found = families(book(ANIMALS, settings=DOUBT))
    assert [set(family.animals) for family in found] == [{"D", "S", "X"}, {"T"}]


def test_families__candidates_share_what_the_record_leaves():
    (clutch,) = families(book(ANIMALS, settings=DOUBT))[0].clutches
    assert {c.male: c.prior for c in clutch.candidates} == pytest.approx({"S": 0.9, None: 0.05, "T": 0.05})


def test_families__other_sires_share_evenly_and_no_other_male_leaves_all_to_the_unknown():
    collection = book(ANIMALS[:3], [("P", "D", "S", "T")], [("P", "normal", 2)], settings=DOUBT)
    (family,) = families(collection)
    assert [(c.male, c.recorded) for c in family.clutches[0].candidates] == [
        ("S", True),
        ("T", True),
        (None, False),
    ]
    assert [c.prior for c in family.clutches[0].candidates] == pytest.approx([0.45, 0.45, 0.1])


def test_families__a_male_not_yet_grown_is_no_candidate():
    for year, known in [(2017, {"S", "T", None}), (2018, {"S", None}), (None, {"S", "T", None})]:
        collection = _born(book(ANIMALS, settings=DOUBT), X=2018, T=year)
        assert {c.male for c in families(collection)[0].clutches[0].candidates} == known


def test_families__a_male_counts_as_grown_after_half_a_year():
    young = [("P", "normal", 1, {"born": date(2020, 9, 1)})]
    for born, known in [(date(2020, 1, 1), True), (date(2020, 5, 1), False)]:
        collection = book(ANIMALS[:3], [("P", "D", "S")], young, settings=DOUBT)
        herd = collection.animals | {"T": replace(collection.animals["T"], born=born)}
        clutch = families(replace(collection, animals=herd))[0].clutches[0]
        assert ("T" in {c.male for c in clutch.candidates}) is known


def test_families__a_male_counts_as_grown_from_the_breeding_age_that_the_book_gives():
    young = [("P", "normal", 1, {"born": date(2020, 9, 1)})]
    for born, known in [(date(2018, 8, 1), True), (date(2018, 11, 1), False)]:
        collection = book(ANIMALS[:3], [("P", "D", "S")], young, settings=DOUBT)
        herd = collection.animals | {"T": replace(collection.animals["T"], born=born)}
        collection = replace(collection, animals=herd, breeding_months={("Boa", "M"): 24, ("Boa", "F"): 36})
        (clutch,) = families(collection)[0].clutches
        assert ("T" in {c.male for c in clutch.candidates}) is known


def test_families__no_animal_sires_its_own_forebears():
    animals = [*ANIMALS[:2], ("X", "M", None, "S", "D"), ("Y", "M", None, "X", "D")]
    first = families(book(animals, settings=DOUBT))[0].clutches[0]
    assert {c.male for c in first.candidates} == {"S", None}


def test_families__an_animal_without_a_hatch_row_joins_the_one_clutch_it_can_be_of():
    collection = _born(book(ANIMALS, [("P", "D", "S")], [("P", "normal", 3)], settings=DOUBT), X=2020)
    (clutch,) = families(collection)[0].clutches
    assert (clutch.key, clutch.children, len(clutch.tallies)) == (("P", 1), ("X",), 1)
    elsewhere = families(_born(collection, X=2016))[0]
    assert [c.key for c in elsewhere.clutches] == [("P", 1), ("", "D x S, 2016")]


def test_families__one_recorded_parent_makes_a_half():
    family = families(book([ANIMALS[0], ("X", "M", None, None, "D")]))[0]
    assert (family.clutches, family.halves) == ((), (Half("X", "D", "F"),))


def test_families__in_a_large_collection_other_families_males_are_one_crowd(monkeypatch):
    """Two strangers, one of them visual, weigh like one male who is their mean."""
    young = [("P", "Ash", 1), ("P", "normal", 3)]
    strangers = [("T", "M", "Ash", None, None), ("U", "M", "normal", None, None)]
    collection = book([*ANIMALS[:2], *strangers], [("P", "D", "S")], young, settings=DOUBT)
    collection = _born(collection, S=2010, T=2010, U=2010)
    one_by_one = solve(collection)[0].posterior
    monkeypatch.setattr(sires, "CROWD_FROM", 1)
    crowd = solve(collection)[0].posterior
    assert [round(c.prior, 6) for c in crowd.family.clutches[0].candidates] == [0.9, 0.05, 0.05]
    assert crowd.method == "clutch by clutch"
    expected = one_by_one.states["D"][0]
    assert crowd.states["D"][0] == pytest.approx(expected, abs=0.01)
