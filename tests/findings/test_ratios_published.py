"""Published counts as a keeper's records, through the whole of the ratio tests.

MEN  Mendel 1866, in the translation of Bateson 1902, Mendel's Principles of Heredity, pp. 52-54.
MB16 Morgan & Bridges 1916, Sex-linked Inheritance in Drosophila.
DAV  Davenport 1909, Inheritance of Characteristics in Domestic Fowl.
Chi-squares are recomputed from the printed counts, and agree with the sources where those print them.
"""

from itertools import product

import pytest

from pipeline.findings.ratios import ratio_findings
from pipeline.genetics.collection import Pairing
from pipeline.genetics.genes import SexChromosomes
from tests.findings.ratio_books import (
    animal,
    catalogue,
    collection,
    dominant,
    incomplete,
    pair,
    recessive,
    row,
    young,
)
from tests.mendel import MONOHYBRIDS, TEN_PLANTS, THREE_TO_ONE, TRIHYBRID


def selfed(counts):
    """Young of two animals het for recessive a."""
    return ratio_findings(
        pair(catalogue(recessive("Green")), "het Green", "het Green"), young(counts), seed=1
    )


@pytest.mark.parametrize("trait", THREE_TO_ONE)
def test_ratio_findings__mendels_monohybrids(trait):
    (shown, hidden), (statistic, p) = MONOHYBRIDS[trait], THREE_TO_ONE[trait]
    found = row(selfed([("normal", shown), ("Green", hidden)]).tests, scope="pairing", gene="Green")
    assert found["chi_square"] == pytest.approx(statistic, abs=1e-6)
    assert found["p"] == pytest.approx(p, abs=1e-6)
    assert (found["df"], found["method"], found["verdict"]) == (1, "chi-square", "fits")


DIHYBRID = [("normal", 315), ("Green", 108), ("Angular", 101), ("Angular Green", 32)]


def dihybrid(counts, dam="het Angular, het Green", sire="het Angular, het Green"):
    genes = catalogue(recessive("Angular"), recessive("Green"))
    return ratio_findings(pair(genes, dam, sire), young(counts), seed=1)


def test_ratio_findings__mendels_dihybrid_and_its_parts():
    """MEN p. 53; the split by Mather's contrasts (from memory) into shape, colour and linkage."""
    found = dihybrid(DIHYBRID)
    joint = row(found.tests, scope="pairing", gene=None)
    assert (joint["chi_square"], joint["p"]) == pytest.approx((0.470024, 0.925426), abs=1e-6)
    assert joint["expected"] == "9 normal : 3 Angular : 3 Green : 1 Angular Green"
    parts = found.parts["chi_square"].tolist()
    assert parts == pytest.approx([0.345324, 0.009592, 0.115108], abs=1e-6)
    assert found.parts["p"].tolist() == pytest.approx([0.556772, 0.921980, 0.734402], abs=1e-6)
    assert sum(parts) == pytest.approx(joint["chi_square"], abs=1e-9)


TEST_CROSSES = [  # MEN p. 54, 1:1:1:1: joint X², its parts
    ((31, 26, 27, 26), 0.618182, (0.145455, 0.327273, 0.145455)),
    ((47, 38, 40, 41), 1.084337, (0.096386, 0.385542, 0.602410)),
]


@pytest.mark.parametrize(("counts", "joint", "parts"), TEST_CROSSES)
def test_ratio_findings__mendels_test_crosses(counts, joint, parts):
    labels = ["normal", "Green", "Angular", "Angular Green"]
    found = dihybrid(list(zip(labels, counts, strict=True)), sire="Angular Green")
    assert row(found.tests, scope="pairing", gene=None)["chi_square"] == pytest.approx(joint, abs=1e-6)
    assert found.parts["chi_square"].tolist() == pytest.approx(parts, abs=1e-6)


def looks(*genes):
    return [("normal", gene, f"Super {gene}") for gene in genes]


def by_genotype(counts, *genes):
    """Counts in order of copies of each gene, as young whose every genotype can be told."""
    kinds = [" ".join(n for n in names if n != "normal") or "normal" for names in product(*looks(*genes))]
    book = catalogue(*(incomplete(gene) for gene in genes))
    return ratio_findings(
        pair(book, " ".join(genes), " ".join(genes)), young(list(zip(kinds, counts, strict=True))), seed=1
    )


def test_ratio_findings__mendels_nine_genotypes():
    """MEN p. 53: form 0.546314 (2 df), colour 0.455577 (2), interaction 1.809074 (4), total 2.810964 (8)."""
    found = by_genotype([38, 65, 35, 60, 138, 67, 28, 68, 30], "Form", "Colour")
    joint = row(found.tests, scope="pairing", gene=None)
    assert (joint["chi_square"], joint["df"]) == (pytest.approx(2.810964, abs=1e-6), 8)
    assert found.parts["chi_square"].tolist() == pytest.approx([0.546314, 0.455577, 1.809074], abs=1e-6)
    assert found.parts["df"].tolist() == [2, 2, 4]


def test_ratio_findings__mendels_27_genotypes_split_into_every_part():
    """MEN p. 54."""
    found = by_genotype(TRIHYBRID, "Form", "Coat", "Cotyledon")
    joint = row(found.tests, scope="pairing", gene=None)
    assert (joint["n"], joint["chi_square"], joint["df"]) == (639, pytest.approx(15.322379, abs=1e-6), 26)
    parts = [0.014085, 1.131455, 0.627543, 2.852895, 1.910798, 3.566510, 5.219092]
    assert found.parts["chi_square"].tolist() == pytest.approx(parts, abs=1e-6)
    assert found.parts["df"].tolist() == [2, 2, 2, 4, 4, 4, 8]


def plants(column):
    return [
        (label, count, {column: number if column == "clutch" else f"P{number}"})
        for number, both in enumerate(TEN_PLANTS, start=1)
        for label, count in zip(("normal", "Green"), both, strict=True)
    ]


def test_ratio_findings__mendels_ten_plants_as_clutches():
    """Total 5.297026 (10 df), pooled 0.830664 (1), heterogeneity by subtraction 4.466363 (9 df, p 0.878131); the
    contingency table would give 4.712566."""
    found = row(selfed(plants("clutch")).heterogeneity, pairing="P1", gene="Green")
    values = [found[f"chi_square_{part}"] for part in ("total", "pooled", "heterogeneity")]
    assert values == pytest.approx([5.297026, 0.830664, 4.466363], abs=1e-6)
    assert [found[f"df_{part}"] for part in ("total", "pooled", "heterogeneity")] == [10, 1, 9]
    assert found["p_heterogeneity"] == pytest.approx(0.878131, abs=1e-6)


def test_ratio_findings__mendels_ten_plants_as_pairings():
    names = [f"P{number}" for number in range(1, 11)]
    book = pair(catalogue(recessive("Green")), "het Green", "het Green", pairings=names)
    found = ratio_findings(book, young(plants("pairing")), seed=1)
    gene = row(found.tests, scope="gene", gene="Green")
    assert (gene["n"], gene["chi_square"]) == (437, pytest.approx(0.830664, abs=1e-6))
    across = row(found.heterogeneity, pairing=None, gene="Green")
    assert (across["clutches"], across["chi_square_heterogeneity"]) == (10, pytest.approx(4.466363, abs=1e-6))
    single = found.tests.query("scope == 'pairing' and gene == 'Green'")["chi_square"].tolist()
    assert single[0] == pytest.approx(0.4737, abs=5e-5)


def test_heterogeneity__counts_no_clutch_that_can_not_vary():
    """The first two of Mendel's ten plants (45:12, 27:8), and a cross of a plant without Green that gave a Green one."""
    genes = catalogue(recessive("Green"))
    animals = [animal("D", "F", "het Green", genes), animal("S", "M", "het Green", genes), animal("N", "F", "normal", genes)]
    pairings = [Pairing(name, genes.species, 2024, dam, "S") for name, dam in (("P1", "D"), ("P2", "D"), ("P3", "N"))]
    rows = [*plants("pairing")[:4], ("normal", 9, {"pairing": "P3"}), ("Green", 1, {"pairing": "P3"})]
    found = ratio_findings(collection(genes, animals, pairings), young(rows), seed=1)
    across = row(found.heterogeneity, pairing=None, gene="Green")
    assert (across["clutches"], across["df_total"], across["df_pooled"]) == (2, 2, 1)
    assert across["chi_square_total"] == pytest.approx(0.4737 + 0.0857, abs=1e-4)
    assert row(found.tests, scope="gene", gene="Green")["impossible_young"] == 1


def test_ratio_findings__arm_folding_across_six_peoples():
    """Guttman et al. 1967, as worked in McDonald's Handbook of Biological Statistics ('Repeated G-tests'), in X²: total
    31.684122, pooled 25.016362, heterogeneity 6.667760."""
    counts = [(168, 174), (132, 195), (167, 204), (162, 212), (143, 194), (153, 174)]
    rows = [
        (g, n, {"clutch": k})
        for k, both in enumerate(counts, 1)
        for g, n in zip(("normal", "Green"), both, strict=True)
    ]
    book = pair(catalogue(recessive("Green")), "Green", "het Green")
    found = row(ratio_findings(book, young(rows), seed=1).heterogeneity, pairing="P1", gene="Green")
    values = [found[f"chi_square_{part}"] for part in ("total", "pooled", "heterogeneity")]
    assert values == pytest.approx([31.684122, 25.016362, 6.667760], abs=1e-6)


def test_ratio_findings__imperfect_dominance_fails_one_two_one():
    """DAV Table 4: comb single 235, split 291, none 144 against 1:2:1: X² 36.277612, 2 df, p 1.3e-8."""
    counts = [("normal", 235), ("Split", 291), ("Super Split", 144)]
    found = ratio_findings(pair(catalogue(incomplete("Split")), "Split", "Split"), young(counts), seed=1)
    test = row(found.tests, scope="pairing", gene="Split")
    assert test["chi_square"] == pytest.approx(36.277612, abs=1e-6)
    assert test["p"] == pytest.approx(1.3e-8, rel=0.05)
    assert (test["verdict"], test["expected"]) == ("departs", "2 Split : 1 normal : 1 Super Split")


@pytest.mark.parametrize(("counts", "statistic"), [((64, 23), 0.095785), ((30, 14), 1.090909)])
def test_ratio_findings__white_fowl(counts, statistic):
    """DAV chapter X: follow-up crosses against 3:1."""
    found = row(selfed([("normal", counts[0]), ("Green", counts[1])]).tests, scope="pairing", gene="Green")
    assert found["chi_square"] == pytest.approx(statistic, abs=1e-6)


YELLOW_MICE = [  # Castle & Little 1910 and Cuénot 1905, counts from memory: yellow, other, X² against 2:1
    (800, 435, 1.983806),
    (263, 100, 5.466942),
]


@pytest.mark.parametrize(("yellow", "other", "statistic"), YELLOW_MICE)
def test_ratio_findings__lethal_two_copies(yellow, other, statistic):
    genes = catalogue(incomplete("Yellow", lethal=True))
    found = ratio_findings(
        pair(genes, "Yellow", "Yellow"), young([("Yellow", yellow), ("normal", other)]), seed=1
    )
    test = row(found.tests, scope="pairing", gene="Yellow")
    assert (test["expected"], test["chi_square"]) == (
        "2 Yellow : 1 normal",
        pytest.approx(statistic, abs=1e-6),
    )


def test_ratio_findings__sex_linked_lethal_of_morgans_flies():
    """MB16 p. 32: a mother that carries a sex-linked lethal has 890 daughters and 372 sons: X² 8.445325, p 0.00366."""
    genes = catalogue(recessive("Pale", sex_linked=True, lethal=True), sex_chromosomes=SexChromosomes.XY)
    counts = [("normal", 890, {"sex": "F"}), ("normal", 372, {"sex": "M"})]
    found = ratio_findings(pair(genes, "het Pale", "normal"), young(counts), seed=1)
    test = row(found.tests, scope="pairing", gene="Pale")
    assert test["expected"] == "2 female normal : 1 male normal"
    assert (test["chi_square"], test["p"]) == (
        pytest.approx(8.445325, abs=1e-6),
        pytest.approx(0.00366, abs=5e-6),
    )


def test_ratio_findings__sex_linked_back_cross():
    """Morgan 1910, counts from memory: red and white daughters and sons 129, 132, 88, 86: X² 17.459770, p 0.000568."""
    genes = catalogue(recessive("White", sex_linked=True), sex_chromosomes=SexChromosomes.XY)
    kinds = [("normal", "F"), ("White", "F"), ("normal", "M"), ("White", "M")]
    rows = [(g, n, {"sex": sex}) for (g, sex), n in zip(kinds, (129, 132, 88, 86), strict=True)]
    test = row(
        ratio_findings(pair(genes, "het White", "White"), young(rows), seed=1).tests,
        scope="pairing",
        gene="White",
    )
    assert (test["chi_square"], test["p"]) == pytest.approx((17.459770, 0.000568), abs=1e-6)


def test_ratio_findings__barred_fowl_criss_cross():
    """Morgan 1916, A Critique of the Theory of Evolution, Figs. 39-40 (ZW): sons of a barred male x black female's F1
    all barred, daughters half; a barred daughter of a black male and barred female can't be."""
    genes = catalogue(dominant("Barred", sex_linked=True), sex_chromosomes=SexChromosomes.ZW)
    f2 = [("Barred", 24, {"sex": "M"}), ("Barred", 12, {"sex": "F"}), ("normal", 12, {"sex": "F"})]
    f1_son = "Super Barred"
    found = ratio_findings(pair(genes, "Barred", f1_son), young([("Barred", 20)]), seed=1).tests
    assert found.empty
    genes = catalogue(incomplete("Barred", sex_linked=True), sex_chromosomes=SexChromosomes.ZW)
    rows = [("Super Barred", 12, {"sex": "M"}), ("Barred", 12, {"sex": "M"}), *f2[1:]]
    test = row(
        ratio_findings(pair(genes, "Barred", "Barred"), young(rows), seed=1).tests,
        scope="pairing",
        gene="Barred",
    )
    assert (test["chi_square"], test["df"]) == (0, 3)
    crossed = [("Barred", 9, {"sex": "M"}), ("normal", 8, {"sex": "F"}), ("Barred", 1, {"sex": "F"})]
    test = row(
        ratio_findings(pair(genes, "Barred", "normal"), young(crossed), seed=1).tests,
        scope="pairing",
        gene="Barred",
    )
    assert (test["verdict"], test["impossible_young"]) == ("impossible", 1)
