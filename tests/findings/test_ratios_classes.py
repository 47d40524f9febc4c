"""Classes of young: those that can't be, those that were not told apart, those of each sex; and the rows they have."""

import numpy as np
import pandas as pd
import pytest
from scipy.stats import binom

from pipeline.findings.ratios import ratio_findings
from pipeline.findings.ratios.distributions import Distributions
from pipeline.findings.ratios.nulls import Nulls
from pipeline.findings.ratios.resolutions import groups_of, resolutions
from pipeline.genetics.genes import SexChromosomes
from tests.findings.ratio_books import GENES, asked, catalogue, pair, recessive, row, young


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


def test_distributions__probabilities_sum_to_one():
    book = pair(GENES, "Motley, het Albino, het Anery", "Motley, het Albino, het Anery")
    nulls = Nulls(book)
    (only,) = resolutions(nulls, book.pairings["P1"], groups_of(nulls.places("Pea")), {})
    distribution = Distributions().of(only.expectations, ((0,), (0,), (0,)), by_sex=True)
    assert distribution.probabilities.sum() == pytest.approx(1, abs=1e-12)
    assert len(distribution.classes) == 2 * 2 * 2 * 3


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
