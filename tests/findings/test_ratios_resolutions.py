"""Composite nulls: labels that leave room, other sires, genes that could not be read, classes that can't be."""

import numpy as np
import pandas as pd
import pytest
from scipy.stats import binom

from pipeline.findings.ratios import ratio_findings
from pipeline.findings.ratios.distributions import Distributions
from pipeline.findings.ratios.multinomial import exact_p
from pipeline.findings.ratios.nulls import Nulls
from pipeline.findings.ratios.readings import readings
from pipeline.findings.ratios.resolutions import MOST, groups_of, resolutions
from pipeline.genetics.collection import Pairing
from pipeline.genetics.genes import SexChromosomes
from pipeline.store.tables import findings_table
from tests.findings.ratio_books import (
    animal,
    catalogue,
    collection,
    dominant,
    incomplete,
    pair,
    recessive,
    young,
)
from tests.findings.test_ratios_published import row

GENES = catalogue(recessive("Albino"), recessive("Anery"), incomplete("Motley"))


def asked(dam, sire, rows, genes=GENES, **where):
    tests = ratio_findings(pair(genes, dam, sire), young(rows), seed=1).tests
    return row(tests, scope="pairing", **where)


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


def test_resolutions__two_sires_alike_are_one_resolution():
    found = ratio_findings(
        pair(GENES, "Albino", "het Albino", others={"T": "het Albino"}), young([("normal", 9)]), seed=1
    )
    assert found.resolutions.empty


def test_impossible__is_counted_apart_and_the_rest_tested():
    """3 Super Motley of Motley x normal can't be; the other young are 1:1."""
    one = asked("Motley", "normal", [("normal", 10), ("Motley", 12), ("Super Motley", 3)], gene="Motley")
    assert (one["verdict"], one["impossible_young"], one["n"], one["df"]) == ("impossible", 3, 25, 1)
    assert one["chi_square"] == pytest.approx(4 / 22)
    assert "3 of 25 young (3 Super Motley)" in one["meaning"]


def test_impossible__of_a_gene_neither_parent_carries():
    one = asked("normal", "normal", [("normal", 10), ("Anery", 1)], gene="Anery")
    assert (one["verdict"], one["impossible_young"], one["expected"]) == ("impossible", 1, "all normal")
    assert pd.isna(one["p"]) and pd.isna(one["q"])


def test_impossible__has_a_class_row_that_expects_none():
    classes = ratio_findings(
        pair(GENES, "normal", "normal"), young([("normal", 10), ("Anery", 1)]), seed=1
    ).classes
    one = row(classes, scope="pairing", gene="Anery", **{"class": "Anery"})
    assert (one["observed"], one["expected"], one["low"], one["high"]) == (1, 0, 0, 0)


def test_unreadable__young_count_for_the_other_genes():
    """4 young unread for Anery: 16 for Albino, 12 for Anery; jointly 9:3:3:1 on 12 and 3:1 on 4, which add up."""
    rows = [("normal", 7), ("Albino", 2), ("Anery", 2), ("Albino Anery", 1)]
    unread = [("normal", 3, {"unreadable": "Anery"}), ("Albino", 1, {"unreadable": "anery"})]
    args = ("double het Albino Anery", "double het Albino Anery", rows + unread)
    joint = asked(*args, gene=None)
    assert [asked(*args, gene=gene)["n"] for gene in ("Albino", "Anery")] == [16, 12]
    assert (joint["n"], joint["df"]) == (16, 3 + 1)
    expected = 12 * np.array([9, 3, 3, 1]) / 16
    full = (((np.array([7, 2, 2, 1]) - expected) ** 2) / expected).sum()
    assert joint["chi_square"] == pytest.approx(full + 0)


def test_unreadable__classes_name_what_was_not_read():
    rows = [("normal", 7), ("Albino", 3, {"unreadable": "Anery"})]
    found = ratio_findings(
        pair(GENES, "double het Albino Anery", "double het Albino Anery"), young(rows), seed=1
    )
    joint = found.classes.query("scope == 'pairing'")
    names = joint[joint["gene"].isna()]["class"].tolist()
    assert "Albino (Anery not readable)" in names
    assert joint[joint["gene"].isna()]["expected"].sum() == pytest.approx(10)


def test_later__counts_on_the_grown_alone():
    genes = catalogue(recessive("Axan", later=True))
    book = pair(genes, "het Axan", "Axan")
    assert ratio_findings(book, young([("normal", 9)]), seed=1).tests.empty
    grown = [("normal", 9), ("normal", 3, {"grown": True}), ("Axan", 4, {"grown": True})]
    assert row(ratio_findings(book, young(grown), seed=1).tests, scope="pairing", gene="Axan")["n"] == 7


def test_unknown_parent__leaves_the_pairing_untested():
    animals = [animal("D", "F", None, GENES), animal("S", "M", "Albino", GENES)]
    book = collection(GENES, animals, [Pairing("P1", "Pea", 2024, "D", "S")])
    assert ratio_findings(book, young([("normal", 5), ("Albino", 5)]), seed=1).tests.empty


def test_sex_linked__unsexed_young_are_the_mixture():
    """Het mother x normal father, XY: sons half White, daughters none; unsexed 3:1; sexed 2:0:1:1."""
    genes = catalogue(recessive("White", sex_linked=True), sex_chromosomes=SexChromosomes.XY)
    rows = [
        ("normal", 8, {"sex": "F"}),
        ("normal", 4, {"sex": "M"}),
        ("White", 4, {"sex": "M"}),
        ("normal", 12),
        ("White", 4),
    ]
    one = asked("het White", "normal", rows, genes, gene="White")
    assert (one["n"], one["chi_square"], one["df"]) == (32, 0, 2 + 1)
    white = [*rows, ("White", 1, {"sex": "F"})]
    assert asked("het White", "normal", white, genes, gene="White")["impossible_young"] == 1


def test_sex_linked__is_not_tested_where_neither_parent_carries_it():
    genes = catalogue(recessive("White", sex_linked=True), sex_chromosomes=SexChromosomes.XY)
    rows = young([("normal", 20, {"sex": "F"}), ("normal", 2, {"sex": "M"})])
    assert ratio_findings(pair(genes, "normal", "normal"), rows, seed=1).tests.empty


def test_alleles__compounds_are_classes_of_their_locus():
    """A compound of two recessive alleles that both show, x a het of one: 2 normal : 1 Amel : 1 compound, no Ultra."""
    genes = catalogue(recessive("Amel", locus="A"), recessive("Ultra", locus="A"))
    rows = [("Amel", 6), ("Amel Ultra", 4), ("normal", 10), ("Ultra", 1)]
    one = asked("Amel Ultra", "het Amel", rows, genes, gene="A")
    assert (one["verdict"], one["impossible_young"]) == ("impossible", 1)
    assert one["expected"] == "2 normal : 1 Amel : 1 Amel Ultra"
    assert one["chi_square"] == pytest.approx(0.4)


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


def test_gene_scope__leaves_out_pairings_whose_ratio_is_open():
    """Sorting possible hets by their young would fill the pool with litters that have one at least."""
    animals = [
        animal("D", "F", "het Albino", GENES),
        animal("S", "M", "het Albino", GENES),
        animal("T", "M", "66% het Albino", GENES),
    ]
    book = collection(
        GENES, animals, [Pairing("P1", "Pea", 2024, "D", "S"), Pairing("P2", "Pea", 2024, "D", "T")]
    )
    rows = young(
        [("normal", 9), ("Albino", 3), ("normal", 5, {"pairing": "P2"}), ("Albino", 3, {"pairing": "P2"})]
    )
    one = row(ratio_findings(book, rows, seed=1).tests, scope="gene", gene="Albino")
    assert one["n"] == 12
    assert "8 young of pairings whose labels leave more than one ratio are left out" in one["meaning"]


def test_gene_scope__adds_a_chi_square_for_each_ratio():
    animals = [
        animal("D", "F", "het Albino", GENES),
        animal("S", "M", "het Albino", GENES),
        animal("T", "M", "Albino", GENES),
    ]
    book = collection(
        GENES, animals, [Pairing("P1", "Pea", 2024, "D", "S"), Pairing("P2", "Pea", 2024, "D", "T")]
    )
    rows = young(
        [("normal", 30), ("Albino", 6), ("normal", 14, {"pairing": "P2"}), ("Albino", 10, {"pairing": "P2"})]
    )
    one = row(ratio_findings(book, rows, seed=1).tests, scope="gene", gene="Albino")
    assert one["chi_square"] == pytest.approx(9 / 27 + 9 / 9 + 4 / 12 + 4 / 12)
    assert (one["df"], one["expected"]) == (2, "1 normal : 1 Albino; 3 normal : 1 Albino")


def test_ratio_findings__columns_are_the_registrys():
    found = ratio_findings(pair(GENES, "het Albino", "possible het Albino"), young([("normal", 3)]), seed=1)
    names = {"tests": "ratio_tests", "classes": "ratio_classes", "resolutions": "ratio_resolutions"}
    names |= {"parts": "ratio_parts", "heterogeneity": "heterogeneity"}
    for attribute, name in names.items():
        assert ["book", *getattr(found, attribute).columns] == findings_table(name).names


def test_ratio_findings__the_order_of_the_rows_does_not_matter():
    rows = young(
        [
            (f"{a}{b}".strip() or "normal", 2, {"clutch": c})
            for c in (1, 2)
            for a in ("", "Albino ")
            for b in ("", "Anery", "Motley")
        ]
    )
    book = pair(GENES, "Motley, double het Albino Anery", "possible het Albino, het Anery")
    one, other = ratio_findings(book, rows, seed=1), ratio_findings(book, rows.iloc[::-1], seed=1)
    pd.testing.assert_frame_equal(one.tests, other.tests)
    pd.testing.assert_frame_equal(one.classes, other.classes)
    pd.testing.assert_frame_equal(one.resolutions, other.resolutions)


def test_ratio_findings__no_young_no_rows():
    found = ratio_findings(pair(GENES, "het Albino", "het Albino"), young([]), seed=1)
    assert found.tests.empty and found.classes.empty and found.parts.empty


def test_distributions__probabilities_sum_to_one():
    book = pair(GENES, "Motley, het Albino, het Anery", "Motley, het Albino, het Anery")
    nulls = Nulls(book)
    (only,) = resolutions(nulls, book.pairings["P1"], groups_of(nulls.places("Pea")), {})
    distribution = Distributions().of(only.expectations, ((0,), (0,), (0,)), by_sex=True)
    assert distribution.probabilities.sum() == pytest.approx(1, abs=1e-12)
    assert len(distribution.classes) == 2 * 2 * 2 * 3


@pytest.mark.parametrize(("genes", "jointly"), [(8, True), (13, False)])
def test_questions__of_many_genes_are_joint_up_to_a_bound(genes, jointly):
    names = [f"Gene {letter}" for letter in "ABCDEFGHIJKLM"[:genes]]
    label = ", ".join(f"het {name}" for name in names)
    book = pair(catalogue(*map(recessive, names)), label, label)
    tests = ratio_findings(book, young([("normal", 5), ("Gene A", 2), ("Gene B Gene C", 1)]), seed=1).tests
    assert tests.query("scope == 'pairing'")["gene"].isna().any() == jointly
    assert tests.query("scope == 'pairing'")["gene"].notna().sum() == genes


def test_classes__of_very_many_those_that_came_have_a_row_and_the_others_share_one():
    names = [f"Gene {letter}" for letter in "ABCDEF"]
    label = ", ".join(f"het {name}" for name in names)
    book = pair(catalogue(*map(recessive, names)), label, label)
    classes = ratio_findings(book, young([("normal", 5), ("Gene A", 2)]), seed=1).classes.query(
        "scope == 'pairing'"
    )
    joint = classes[classes["gene"].isna()].set_index("class")
    assert joint.index.tolist() == ["normal", "Gene A", "all other classes"]
    share = 1 - 0.75**6 - 0.75**5 / 4
    assert joint["expected"].tolist() == pytest.approx([7 * 0.75**6, 7 * 0.75**5 / 4, 7 * share])
    assert joint.loc["all other classes", "high"] == binom.ppf(0.975, 7, share)


def test_classes__range_is_scipys_binomial():
    classes = ratio_findings(
        pair(GENES, "Motley, het Albino", "Motley, het Albino"),
        young([("normal", 9), ("Motley", 21)]),
        seed=1,
    ).classes
    share = classes["expected"] / 30
    assert classes["low"].tolist() == binom.ppf(0.025, 30, share).tolist()
    assert classes["high"].tolist() == binom.ppf(0.975, 30, share).tolist()
