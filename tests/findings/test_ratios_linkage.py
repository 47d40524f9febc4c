"""Recombination fractions and the split of joint departures, against published crosses.

MB16 Morgan & Bridges 1916, Sex-linked Inheritance in Drosophila, Table 62 p. 80.
"""

import numpy as np
import pytest
from scipy.stats import binomtest

from pipeline.findings.ratios import ratio_findings
from pipeline.findings.ratios.interaction import DRAWS
from pipeline.findings.ratios.linkage import phases, recombination
from pipeline.genetics.genes import SexChromosomes
from tests.findings.ratio_books import catalogue, dominant, incomplete, pair, recessive, row, young

KINDS = ("normal", "Green", "Short", "Short Green")


def crossed(counts, dam="het Short, het Green", sire="Short Green", genes=None):
    """Findings of young that are wild type, Green, Short, both, in that order."""
    genes = genes or catalogue(recessive("Short"), recessive("Green"))
    return ratio_findings(pair(genes, dam, sire), young(list(zip(KINDS, counts, strict=True))), seed=1)


def linkage_of(counts, **more):
    return row(crossed(counts, **more).parts, part="linkage")


# MB16: both parental classes, both crossover classes, recombination fraction. Coupling: the parental classes are the
# wild type and the double recessive.
TEST_CROSSES = [
    ((6219, 3754, 3337, 7378), 0.342759, "coupling"),  # white miniature
    ((671, 1651, 1116, 1047), 0.383055, "repulsion"),  # white miniature in repulsion
    ((1685, 32, 36, 1460), 0.021164, "coupling"),  # vermilion miniature
    ((1600, 10, 7, 1807), 0.004965, "coupling"),  # yellow white
    ((198, 168, 166, 272), 0.415423, "coupling"),  # white Bar
]


@pytest.mark.parametrize(("counts", "fraction", "phase"), TEST_CROSSES)
def test_recombination__two_point_test_crosses(counts, fraction, phase):
    found = linkage_of(counts)
    assert found["recombination"] == pytest.approx(fraction, abs=1e-6)
    assert found["phase"] == phase
    n, r = sum(counts), fraction
    half = 1.96 * np.sqrt(r * (1 - r) / n)
    assert (found["recombination_low"], found["recombination_high"]) == pytest.approx(
        (r - half, r + half), abs=0.0012
    )


def test_recombination__black_vestigial_and_its_parts():
    """965, 206, 185, 944 (textbook counts, from memory): r 0.17; X² 1002.646957 = 0.766957 + 0 + 1001.88."""
    found = crossed((965, 206, 185, 944))
    assert row(found.tests, scope="pairing", gene=None)["chi_square"] == pytest.approx(1002.646957, abs=1e-6)
    linkage = row(found.parts, part="linkage")
    assert (linkage["chi_square"], linkage["recombination"]) == pytest.approx((1001.88, 0.17), abs=1e-6)
    assert sorted(found.parts["chi_square"]) == pytest.approx([0, 0.766957, 1001.88], abs=1e-6)


def test_recombination__purple_vestigial():
    """1339, 151, 154, 1195 (Griffiths, Introduction to Genetic Analysis, p. 118): 305 / 2839."""
    assert linkage_of((1339, 151, 154, 1195))["recombination"] == pytest.approx(305 / 2839, abs=1e-6)


F2 = [  # wild type, one, other, both; r; phase; the parts of X²
    ((1997, 906, 904, 32), 0.188977, "repulsion", (0.783624, 0.657202, 286.273190)),
    ((284, 21, 21, 55), 0.128043, "coupling", (5.187227, 5.187227, 124.353747)),
    ((4831, 390, 393, 1338), 0.120052, "coupling", (0.037591, 0.076717, 3371.477049)),
]


@pytest.mark.parametrize(("counts", "fraction", "phase", "parts"), F2)
def test_recombination__of_an_f2_by_maximum_likelihood(counts, fraction, phase, parts):
    """Maize starchy x green (counts in four published repositories; Fisher, Statistical Methods for Research Workers,
    ch. IX, from memory); sweet pea 284:21:21:55 (attribution from memory); sweet pea 4831... (from memory)."""
    found = crossed(counts, sire="het Short, het Green")
    linkage = row(found.parts, part="linkage")
    assert (linkage["recombination"], linkage["phase"]) == (pytest.approx(fraction, abs=1e-6), phase)
    assert sorted(found.parts["chi_square"]) == pytest.approx(sorted(parts), abs=1e-6)


@pytest.mark.parametrize(
    ("counts", "error"), [((284, 21, 21, 55), 0.018560), ((4831, 390, 393, 1338), 0.004204)]
)
def test_recombination__interval_of_an_f2(counts, error):
    """Standard errors by information for these counts; the likelihood interval is close to 1.96 of them each way."""
    found = linkage_of(counts, sire="het Short, het Green")
    width = found["recombination_high"] - found["recombination_low"]
    assert width == pytest.approx(2 * 1.96 * error, rel=0.5 / np.sqrt(min(counts)))


def test_recombination__complete_repulsion_has_no_double_recessive():
    """Punnett 1911, Mendelism, pp. 90-93: 2:1:1:0."""
    found = linkage_of((200, 100, 100, 0), sire="het Short, het Green")
    assert (found["recombination"], found["recombination_low"]) == (0, 0)
    assert found["phase"] == "repulsion"


def test_recombination__is_not_estimated_where_genes_are_independent():
    found = linkage_of((26, 25, 24, 25))
    assert np.isnan(found["recombination"])
    assert found["p"] > 0.5


def test_recombination__leaves_no_trace_where_no_parent_is_doubly_heterozygous():
    genes = catalogue(recessive("Short"), recessive("Green"))
    single = ((0, 0), (1, 0)), ((0, 1), (1, 1))
    young_ = {(None, look, other): 5 for look in ((), ("Short",)) for other in ((), ("Green",))}
    assert recombination(genes, genes.loci, [single], young_) is None


def test_phases__of_two_double_hets_the_alike_come_first():
    het = ((0, 0), (1, 1))
    found = phases([het], [het])
    assert len(found) == 4
    assert found[:2] == [(((0, 0), (1, 1)),) * 2, (((0, 1), (1, 0)),) * 2]


def test_linked_genes__are_expected_in_their_recorded_proportions():
    """Punnett 1911, Mendelism, p. 98: gametes 7:1:1:7 (r = 1/8) give 177:15:15:49 in F2."""
    short = recessive("Short", linked_locus="Green", recombination=0.125)
    found = crossed(
        (177, 15, 15, 49), sire="het Short, het Green", genes=catalogue(short, recessive("Green"))
    )
    joint = row(found.tests, scope="pairing", gene=None)
    assert joint["chi_square"] == pytest.approx(0, abs=1e-9)
    assert joint["expected"] == "177 normal : 49 Short Green : 15 Short : 15 Green"
    same = "has Short and Green on one strand"
    assert joint["resolution"] == f"dam D {same} and sire S {same}"


def test_linked_genes__a_lethal_neighbour_drags_a_gene_along():
    """Two copies of Dune die, 5 % recombine. By hand, of 40 zygotes 30 live; in coupling 10.5 of them have Ash
    (0.475 x 1/2 + 0.025 of all), in repulsion 19.5 (0.475 + 0.025 x 1/2)."""
    genes = catalogue(dominant("Ash", linked_locus="Dune", recombination=0.05), dominant("Dune", lethal=True))
    found = ratio_findings(pair(genes, "het Ash, Dune", "Dune"), young([("normal", 65), ("Ash", 35)]), seed=1)
    single = row(found.tests, scope="pairing", gene="Ash")
    assert (single["expected"], single["chi_square"]) == ("13 normal : 7 Ash", pytest.approx(0, abs=1e-9))
    told = found.resolutions[(found.resolutions["gene"] == "Ash") & (found.resolutions["scope"] == "pairing")]
    assert told["resolution"].tolist() == [
        "dam D has Ash and Dune on one strand",
        "dam D has Dune on one strand, Ash on the other",
    ]


def test_linked_genes__part_is_the_estimate_against_the_record():
    """Recorded 5 %, seen 17 % (the black vestigial counts): likelihood ratio of 0.17 against 0.05 by hand."""
    short = recessive("Short", linked_locus="Green", recombination=0.05)
    found = linkage_of((965, 206, 185, 944), genes=catalogue(short, recessive("Green")))
    assert found["recombination"] == pytest.approx(0.17, abs=1e-6)
    ratio = 2 * (1909 * np.log(0.83 / 0.95) + 391 * np.log(0.17 / 0.05))
    assert (found["chi_square"], found["df"]) == (pytest.approx(ratio), 1)


def test_recombination__of_sex_linked_genes_comes_from_the_dam():
    """As MB16's vermilion miniature was bred: XY, all young of a het dam and a double recessive sire."""
    short = recessive("Short", sex_linked=True)
    genes = catalogue(short, recessive("Green", sex_linked=True), sex_chromosomes=SexChromosomes.XY)
    rows = [
        (kind, n, {"sex": sex})
        for sex, counts in (("F", (843, 16, 18, 730)), ("M", (842, 16, 18, 730)))
        for kind, n in zip(KINDS, counts, strict=True)
    ]
    found = ratio_findings(pair(genes, "het Short, het Green", "Short Green"), young(rows), seed=1).parts
    linkage = row(found, part="linkage")
    assert linkage["recombination"] == pytest.approx(68 / 3213, abs=1e-6)


def test_parts__three_looks_a_gene_and_a_remainder():
    genes = catalogue(incomplete("Motley"), recessive("Short"), recessive("Green"))
    rows = [
        (" ".join(filter(None, (m, s, g))) or "normal", 3)
        for m in ("", "Motley", "Super Motley")
        for s in ("", "Short")
        for g in ("", "Green")
    ]
    found = ratio_findings(pair(genes, *["Motley, double het Short Green"] * 2), young(rows), seed=1)
    joint = row(found.tests, scope="pairing", gene=None)
    assert found.parts["df"].tolist() == [2, 1, 1, 2, 2, 1, 2]
    assert found.parts["part"].tolist() == ["segregation"] * 3 + ["linkage"] * 3 + ["remainder"]
    assert found.parts["chi_square"].sum() == pytest.approx(joint["chi_square"])
    assert found.parts["df"].sum() == joint["df"]


@pytest.mark.parametrize("counts", [(9, 1, 1, 6), (7, 2, 2, 6), (4, 4, 4, 5)])
def test_parts__linkage_of_few_young_is_simulated_and_close_to_the_exact(counts):
    """On a test cross the interaction is how far the recombinants are from half: a binomial test (scipy)."""
    exact = binomtest(counts[1] + counts[2], sum(counts)).pvalue
    found = linkage_of(counts)["p"]
    if exact < 0.2:
        assert abs(found - exact) < 4 * np.sqrt(exact * (1 - exact) / DRAWS) + 1 / DRAWS
    else:
        assert found > 0.2


def test_interactions__depend_on_the_seed_and_the_young_alone():
    genes = catalogue(recessive("Short"), recessive("Green"))
    book = pair(genes, "het Short, het Green", "Short Green")
    rows = young(list(zip(KINDS, (7, 2, 1, 6), strict=True)))
    one, again, other = (ratio_findings(book, rows, seed=seed).parts["p"].tolist() for seed in (1, 1, 2))
    assert one == again
    assert one != other
