"""What the ratio tables say in words."""

from pipeline.findings.ratios import ratio_findings
from tests.findings.ratio_books import catalogue, pair, recessive, young

GENES = catalogue(recessive("Albino"), recessive("Anery"))


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
