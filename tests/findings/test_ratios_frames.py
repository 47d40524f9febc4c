"""The ratio tables: their columns, which tests have a row, and what they say in words."""

import pandas as pd
import pytest

from pipeline.findings.ratios import ratio_findings
from pipeline.genetics.collection import Pairing
from pipeline.store.tables import findings_table
from tests.findings.ratio_books import GENES, animal, catalogue, collection, pair, recessive, young


def expected(rows):
    """The joint test's expected ratio of a pairing of double hets."""
    parents = pair(GENES, "het Albino Anery", "het Albino Anery")
    tests = ratio_findings(parents, young(rows), seed=1).tests
    return tests[(tests["scope"] == "pairing") & tests["gene"].isna()]["expected"].item()


def test_tests__the_expected_ratio_leaves_out_genes_that_nobody_could_read():
    unread = {"unreadable": "Anery"}
    assert expected([("normal", 6, unread), ("Albino", 2, unread)]) == "3 normal : 1 Albino"


def test_tests__the_expected_ratio_tells_of_every_gene_that_some_young_were_read_at():
    rows = [("normal", 6, {"unreadable": "Anery"}), ("Albino", 2, {"unreadable": "Anery"}), ("Anery", 1)]
    assert expected(rows) == "9 normal : 3 Albino : 3 Anery : 1 Albino Anery"


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


@pytest.mark.parametrize(("genes", "jointly"), [(8, True), (13, False)])
def test_questions__of_many_genes_are_joint_up_to_a_bound(genes, jointly):
    names = [f"Gene {letter}" for letter in "ABCDEFGHIJKLM"[:genes]]
    label = ", ".join(f"het {name}" for name in names)
    book = pair(catalogue(*map(recessive, names)), label, label)
    tests = ratio_findings(book, young([("normal", 5), ("Gene A", 2), ("Gene B Gene C", 1)]), seed=1).tests
    assert tests.query("scope == 'pairing'")["gene"].isna().any() == jointly
    assert tests.query("scope == 'pairing'")["gene"].notna().sum() == genes


def test_unknown_parent__leaves_the_pairing_untested():
    animals = [animal("D", "F", None, GENES), animal("S", "M", "Albino", GENES)]
    book = collection(GENES, animals, [Pairing("P1", "Pea", 2024, "D", "S")])
    assert ratio_findings(book, young([("normal", 5), ("Albino", 5)]), seed=1).tests.empty
