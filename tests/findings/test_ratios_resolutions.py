"""Composite nulls: labels that leave room, and other sires."""

import numpy as np
import pandas as pd
import pytest

from pipeline.findings.ratios import ratio_findings
from pipeline.findings.ratios.nulls import Nulls
from pipeline.findings.ratios.readings import readings
from pipeline.findings.ratios.resolutions import MOST, groups_of, resolutions
from pipeline.genetics.collection import Pairing
from tests.findings.ratio_books import (
    GENES,
    animal,
    asked,
    catalogue,
    collection,
    dominant,
    pair,
    recessive,
    row,
    young,
)
from tests.findings.single_tests import exact_p


def test_resolutions__the_kindest_speaks_for_the_verdict():
    """Possible het x het: 3:1 or all normal. One Albino of 12 leaves 3:1, p by enumeration."""
    found = ratio_findings(
        pair(GENES, "possible het Albino", "het Albino"), young([("normal", 11), ("Albino", 1)]), seed=1
    )
    one = row(found.tests, scope="pairing", gene="Albino")
    assert one["p"] == pytest.approx(exact_p(np.array([11.0, 1]), np.array([0.75, 0.25])))
    assert (one["verdict"], one["resolution"], one["impossible_young"]) == ("fits", "dam D is het Albino", 0)
    both = found.resolutions.query("scope == 'pairing' and gene == 'Albino'").set_index("resolution")
    assert both.loc["dam D carries no Albino", "p"] == 0
    assert both["best"].to_dict() == {"dam D is het Albino": True, "dam D carries no Albino": False}


def test_resolutions__two_possible_hets_are_one_question_of_both():
    found = ratio_findings(
        pair(GENES, "possible het Albino", "50% het Albino"), young([("normal", 9)]), seed=1
    ).resolutions
    words = found.query("scope == 'pairing' and gene == 'Albino'")["resolution"].tolist()
    assert words == [
        "not both: dam D is het Albino and sire S is het Albino",
        "dam D is het Albino and sire S is het Albino",
    ]


def test_resolutions__one_or_two_copies_of_a_dominant():
    genes = catalogue(dominant("Ghost"))
    assert (
        asked("Ghost", "normal", [("Ghost", 12)], genes, gene="Ghost")["resolution"]
        == "dam D has two copies of Ghost"
    )
    one = asked("Ghost", "normal", [("Ghost", 5), ("normal", 7)], genes, gene="Ghost")
    assert (one["resolution"], one["expected"]) == ("dam D has one copy of Ghost", "1 normal : 1 Ghost")


def test_resolutions__hets_that_the_parents_may_have_passed_on():
    """The label names no het, but the sire's dam was Albino: he is het for certain; her grandson may be."""
    animals = [
        animal("G", "F", "Albino", GENES),
        animal("F", "M", "normal", GENES, dam="G"),
        animal("X", "F", "normal", GENES),
        animal("S", "M", "normal", GENES, sire="F", dam="X"),
        animal("D", "F", "Albino", GENES),
    ]
    rows = young(
        [("normal", 6, {"pairing": "P1"}), ("normal", 4, {"pairing": "P2"}), ("Albino", 4, {"pairing": "P2"})]
    )
    book = collection(
        GENES, animals, [Pairing("P1", "Pea", 2024, "D", "S"), Pairing("P2", "Pea", 2024, "D", "F")]
    )
    tests = ratio_findings(book, rows, seed=1).tests
    assert (
        row(tests, scope="pairing", pairing="P1", gene="Albino")["resolution"] == "sire S carries no Albino"
    )
    assert pd.isna(row(tests, scope="pairing", pairing="P2", gene="Albino")["resolution"])


def test_resolutions__each_sire_is_one():
    book = pair(GENES, "Albino", "normal", others={"T": "het Albino", "U": "Albino"})
    found = ratio_findings(book, young([("normal", 6), ("Albino", 5)]), seed=1)
    one = row(found.tests, scope="pairing", gene="Albino")
    assert (one["verdict"], one["resolution"], one["expected"]) == (
        "fits",
        "the sire is T",
        "1 normal : 1 Albino",
    )
    p = found.resolutions.query("scope == 'pairing' and gene == 'Albino'").set_index("resolution")["p"]
    assert p[["the sire is S", "the sire is U"]].tolist() == [0, 0]


def test_resolutions__young_that_no_single_sire_explains_are_not_impossible():
    book = pair(GENES, "Albino", "normal", others={"U": "Albino"})
    one = row(
        ratio_findings(book, young([("normal", 6), ("Albino", 5)]), seed=1).tests,
        scope="pairing",
        gene="Albino",
    )
    assert (one["verdict"], one["p"], one["impossible_young"]) == ("departs", 0, 0)
    assert "A clutch of two fathers could look like this" in one["meaning"]


def test_resolutions__impossible_young_beside_those_that_no_single_sire_explains():
    """An Anery of parents without Anery is impossible; the other eleven leave none of the sires, so their p is 0."""
    book = pair(GENES, "Albino", "normal", others={"U": "Albino"})
    rows = [("normal", 6), ("Albino", 5), ("Albino Anery", 1)]
    one = row(ratio_findings(book, young(rows), seed=1).tests, scope="pairing", gene=None)
    assert (one["verdict"], one["impossible_young"]) == ("impossible", 1)
    assert (one["p"], one["p_exact"], one["method"]) == (0, 0, "exact")


def test_resolutions__a_p_too_small_for_a_number_is_no_want_of_a_reading():
    """2,000 young of one class against 1:1: X² 2,000, whose tail (about 1e-436) no float holds."""
    one = asked("het Albino", "Albino", [("Albino", 2000)], gene="Albino")
    assert (one["chi_square"], one["p"]) == (2000, 0)
    assert "chance is a poor excuse" in one["meaning"]


def test_resolutions__two_sires_alike_are_one_resolution():
    found = ratio_findings(
        pair(GENES, "Albino", "het Albino", others={"T": "het Albino"}), young([("normal", 9)]), seed=1
    )
    assert found.resolutions.empty


def test_resolutions__beyond_the_bound_the_likeliest_are_kept():
    """Ten possible hets on a visual of all ten: 1,024 readings; the bound keeps the true one."""
    names = [f"Gene {letter}" for letter in "ABCDEFGHIJ"]
    genes = catalogue(*(recessive(name) for name in names))
    book = pair(genes, ", ".join(f"possible het {name}" for name in names), " ".join(names))
    rows = young([("Gene A", 6), ("Gene B", 5), ("Gene A Gene B", 6), ("normal", 5)])
    nulls, pairing = Nulls(book), book.pairings["P1"]
    seen = readings(book, rows)["P1"][1]
    found = resolutions(nulls, pairing, groups_of(nulls.places("Pea")), seen)
    assert len(found) <= MOST
    split = [[len(e.looks[0]) for e in resolution.expectations] for resolution in found]
    assert [2, 2] + [1] * 8 in split


def test_resolutions__beyond_the_bound_an_impossible_young_does_not_hide_the_likeliest():
    """Twenty Hypo of a Hypo dam and one Rose that can't be: two copies of Hypo are 2^20 times as likely as one."""
    names = [f"Gene {letter}" for letter in "ABCDEFG"]
    genes = catalogue(dominant("Hypo", locus="H"), recessive("Rose", locus="H"), *map(recessive, names))
    hets = ", ".join(f"possible het {name}" for name in names)
    book = pair(genes, f"Hypo, {hets}", " ".join(names))
    seen = readings(book, young([("Hypo", 20), ("Rose", 1)]))["P1"][1]
    nulls = Nulls(book)
    found = resolutions(nulls, book.pairings["P1"], groups_of(nulls.places("Pea")), seen)
    assert len(found) <= MOST
    assert {one.expectations[0].looks[0] for one in found} >= {(((("Hypo",),), 1),)}


@pytest.mark.parametrize("sire", ["possible het Albino", "het Albino"])
def test_composite__keeps_its_level_under_simulation(sire):
    """Young of a true het under a label that leaves room: p below 5 % in at most 5 % of clutches (and 3 errors)."""
    clutches, generator = 400, np.random.default_rng(11)
    names = [f"P{i}" for i in range(clutches)]
    sizes = generator.integers(4, 16, clutches)
    drawn = generator.binomial(sizes, 0.5)
    rows = [
        (label, int(n), {"pairing": name})
        for name, albino, size in zip(names, drawn, sizes, strict=True)
        for label, n in (("Albino", albino), ("normal", size - albino))
        if n
    ]
    tests = ratio_findings(pair(GENES, "Albino", sire, pairings=names), young(rows), seed=1).tests
    own = tests.query("scope == 'pairing' and gene == 'Albino'")
    assert len(own) == clutches
    assert (own["p"] < 0.05).mean() <= 0.05 + 3 * np.sqrt(0.05 * 0.95 / clutches)
    assert not own["verdict"].isin(["impossible", "departs"]).any()
