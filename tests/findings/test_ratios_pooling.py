"""Each gene across the collection: which pairings go into it, and what they add up to."""

import pytest

from pipeline.findings.ratios import ratio_findings
from tests.findings.ratio_books import GENES, litters, row, two_pairings


def test_gene_scope__leaves_out_pairings_whose_ratio_is_open():
    """Sorting possible hets by their young would fill the pool with litters that have one at least."""
    book = two_pairings(GENES, "het Albino", "het Albino", "66% het Albino")
    rows = litters([("normal", 9), ("Albino", 3)], [("normal", 5), ("Albino", 3)])
    one = row(ratio_findings(book, rows, seed=1).tests, scope="gene", gene="Albino")
    assert one["n"] == 12
    assert "8 young of pairings whose labels leave more than one ratio are left out" in one["meaning"]


def test_gene_scope__adds_a_chi_square_for_each_ratio():
    book = two_pairings(GENES, "het Albino", "het Albino", "Albino")
    rows = litters([("normal", 30), ("Albino", 6)], [("normal", 14), ("Albino", 10)])
    one = row(ratio_findings(book, rows, seed=1).tests, scope="gene", gene="Albino")
    assert one["chi_square"] == pytest.approx(9 / 27 + 9 / 9 + 4 / 12 + 4 / 12)
    assert (one["df"], one["expected"]) == (2, "1 normal : 1 Albino; 3 normal : 1 Albino")
