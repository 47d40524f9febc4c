"""Published counts, entered as a keeper's book and read back from the findings: Excel file to answer.

Sources of the counts stand beside them in published.py. Chi-squares are those the sources print, or recomputed from
their counts; the parts of a joint chi-square follow Mather's contrasts (from memory).
"""

from datetime import date

import pytest

from pipeline.workbook.template import write_book
from tests.endtoend.published import published_rows
from tests.endtoend.running import Findings, complaints, findings_of, only
from tests.mendel import MONOHYBRIDS, THREE_TO_ONE

AS_OF = date(2020, 12, 31)


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    path = tmp_path_factory.mktemp("published") / "published.xlsx"
    write_book(path, published_rows())
    return path


@pytest.fixture(scope="module")
def findings(book) -> Findings:
    return findings_of(book, AS_OF)


def joint(findings, pairing, **where):
    return only(findings["ratio_tests"], scope="pairing", pairing=pairing, gene=None, **where)


def parts(findings, pairing):
    return findings["ratio_parts"].query("pairing == @pairing")


def test_checked__a_book_of_published_counts_is_sound(book):
    (warning,) = complaints(book, AS_OF)
    assert "Pale is recessive and two copies are lethal" in warning


@pytest.mark.parametrize(("trait", "statistic", "p"), [(k, *v) for k, v in THREE_TO_ONE.items()])
def test_season__mendels_monohybrids(findings, trait, statistic, p):
    found = only(findings["ratio_tests"], scope="pairing", pairing=f"F2 {trait}", gene=trait)
    assert (found["n"], found["df"], found["verdict"]) == (sum(MONOHYBRIDS[trait]), 1, "fits")
    assert (found["chi_square"], found["p_chi_square"]) == pytest.approx((statistic, p), abs=1e-6)


HETEROGENEITY = {  # MEN pp. 52-53: X² and df in total, pooled, and by difference; p of the difference
    ("seven traits", "Other"): ((2.138868, 7), (0.109575, 1), (2.029294, 6), 0.916985),
    ("ten plants", "Angular"): ((5.297026, 10), (0.830664, 1), (4.466363, 9), 0.878131),
}


@pytest.mark.parametrize(("pairing", "gene"), HETEROGENEITY)
def test_season__mendels_replicates_agree(findings, pairing, gene):
    found = only(findings["heterogeneity"], pairing=pairing, gene=gene)
    *expected, p = HETEROGENEITY[pairing, gene]
    for part, (statistic, df) in zip(("total", "pooled", "heterogeneity"), expected, strict=True):
        assert found[f"chi_square_{part}"] == pytest.approx(statistic, abs=2e-6)
        assert found[f"df_{part}"] == df
    assert found["p_heterogeneity"] == pytest.approx(p, abs=1e-6)


def test_season__mendels_ten_plants_one_by_one(findings):
    """MEN p. 53, X² of each plant against 3:1."""
    clutches = findings["ratio_tests"].query(
        "scope == 'clutch' and pairing == 'ten plants' and gene == 'Angular'"
    )
    expected = [0.4737, 0.0857, 0.0968, 1.3908, 0.0078, 0.6667, 0.7619, 0.6667, 0.9804, 0.1667]
    assert clutches.sort_values("clutch")["chi_square"].tolist() == pytest.approx(expected, abs=5e-5)


JOINT = {  # X², df, p of all genes jointly, and the parts of the X² in the order of the genes' names, then of pairs
    "dihybrid": (0.470024, 3, 0.925426, (0.345324, 0.009592, 0.115108)),  # MEN p. 53
    "back cross 1": (0.618182, 3, None, (0.145455, 0.327273, 0.145455)),  # MEN p. 54
    "back cross 2": (0.530612, 3, None, None),
    "back cross 3": (1.084337, 3, 0.780856, (0.096386, 0.385542, 0.602410)),
    "nine": (2.810964, 8, None, (0.455577, 0.546314, 1.809074)),  # MEN p. 53
    "27": (
        15.322379,
        26,
        None,
        (1.131455, 0.627543, 0.014085, 3.566510, 2.852895, 1.910798, 5.219092),
    ),  # MEN p. 54
    "maize": (None, 3, None, (0.657202, 0.783624, 286.273190)),  # F2L
    "sweet pea": (134.728201, 3, None, (5.187227, 5.187227, 124.353747)),  # F2L
}


@pytest.mark.parametrize("pairing", JOINT)
def test_season__joint_chi_square_and_its_parts(findings, pairing):
    statistic, df, p, split = JOINT[pairing]
    found = joint(findings, pairing)
    assert (found["df"], found["method"]) == (df, "chi-square")
    assert statistic is None or found["chi_square"] == pytest.approx(statistic, abs=2e-6)
    assert p is None or found["p_chi_square"] == pytest.approx(p, abs=1e-6)
    if split:
        assert parts(findings, pairing)["chi_square"].tolist() == pytest.approx(split, abs=2e-6)
    assert parts(findings, pairing)["chi_square"].sum() == pytest.approx(found["chi_square"], abs=1e-6)


CHI_SQUARES = {  # (pairing, gene): X², df, p
    ("p46", "Dwarf"): (2.1333, 1, 0.1441),  # HBS
    ("p50", "Dwarf"): (0.3453, 1, 0.5568),
    ("p47", "Dwarf"): (5.6071, 1, 0.01789),
    ("p47 rice", "Form"): (4.1199, 2, 0.1275),
    ("split comb", "Form"): (36.277612, 2, 1.3e-8),  # DAV
    ("fowl 1", "Dwarf"): (0.095785, 1, None),
    ("fowl 2", "Dwarf"): (1.090909, 1, None),
    ("white daughters", "White"): (0.647191, 1, None),  # MB16: 457 white and 433 red daughters
    ("short of sons", "Pale"): (8.445325, 1, 0.00366),  # MB16: 890 daughters and 372 sons against 2:1
    ("white eyes", "Eyeless white"): (17.459770, 3, 0.000568),  # from memory
    ("yellow mice 1", "Yellow"): (1.983806, 1, 0.15899),  # from memory, 2:1
    ("yellow mice 2", "Yellow"): (5.466942, 1, 0.01938),  # from memory, 2:1
}


@pytest.mark.parametrize(("pairing", "gene"), CHI_SQUARES)
def test_season__published_chi_squares(findings, pairing, gene):
    statistic, df, p = CHI_SQUARES[pairing, gene]
    found = only(findings["ratio_tests"], scope="pairing", pairing=pairing, gene=gene)
    assert (found["chi_square"], found["df"]) == (pytest.approx(statistic, abs=5e-5), df)
    assert p is None or found["p_chi_square"] == pytest.approx(p, rel=0.02 if p < 1e-6 else 1e-3)


EXACT = {  # (pairing, gene): p by the sum of all outcomes no likelier than the observed
    ("p30", "Dwarf"): 0.1094,  # HBS, 2 of 10
    ("p31", "Dwarf"): 0.1893,  # HBS, 7 of 12
    ("F2 Yellow pod", "Yellow pod"): 0.5022,  # HBS p. 35, 428:152
    ("EMT", "Form"): 0.0766602,  # EMT, 5, 2, 1
}


@pytest.mark.parametrize(("pairing", "gene"), EXACT)
def test_season__published_exact_tests(findings, pairing, gene):
    found = only(findings["ratio_tests"], scope="pairing", pairing=pairing, gene=gene)
    assert found["p_exact"] == pytest.approx(EXACT[pairing, gene], abs=6e-5)


@pytest.mark.parametrize(("males", "n", "p"), [(10, 27, 0.2478), (36, 43, 8.963e-6), (140, 246, 0.03516)])
def test_season__published_binomial_tests_as_sexes(findings, males, n, p):
    """HBS p. 34, against one to one."""
    found = only(findings["sex_ratios"], scope="pairing", pairing=f"sexes {males} of {n}")
    assert (found["males"], found["females"]) == (males, n - males)
    assert found["p"] == pytest.approx(p, rel=3e-4)


LINKAGE = {  # recombination fraction, its standard error, phase
    "coupling": (0.342759, 0.003300, "coupling"),  # MB16 Table 62, 7091 of 20688
    "repulsion": (0.383055, None, "repulsion"),  # MB16 Table 62, 1718 of 4485
    "maize": (0.188977, None, "repulsion"),  # F2L, by maximum likelihood
    "sweet pea": (0.128043, 0.018560, "coupling"),  # F2L, by maximum likelihood
}


@pytest.mark.parametrize("pairing", LINKAGE)
def test_season__published_linkage(findings, pairing):
    fraction, error, phase = LINKAGE[pairing]
    found = only(parts(findings, pairing), part="linkage")
    assert found["recombination"] == pytest.approx(fraction, abs=2e-6)
    assert (found["phase"], joint(findings, pairing)["verdict"]) == (phase, "departs")
    if error:
        width = found["recombination_high"] - found["recombination_low"]
        assert width == pytest.approx(2 * 1.959964 * error, rel=0.06)  # the source gives a symmetric one


EXPECTED = {  # (pairing, gene): the ratio that the classes are held against
    ("F2 Dwarf", "Dwarf"): "3 normal : 1 Dwarf",
    ("dihybrid", None): "9 normal : 3 Angular : 3 Green : 1 Angular Green",
    ("p47 rice", "Form"): "2 Form : 1 normal : 1 Super Form",
    ("yellow mice 1", "Yellow"): "2 Yellow : 1 normal",
    ("short of sons", "Pale"): "2 female normal : 1 male normal",
}


@pytest.mark.parametrize(("pairing", "gene"), EXPECTED)
def test_season__names_the_ratio_in_words(findings, pairing, gene):
    found = only(findings["ratio_tests"], scope="pairing", pairing=pairing, gene=gene)
    assert found["expected"] == EXPECTED[pairing, gene]


def test_season__a_barred_daughter_of_a_plain_cock_is_impossible(findings):
    """MOR Figs. 39-40: barred hen x plain cock gives barred sons and plain daughters only."""
    found = only(findings["ratio_tests"], scope="pairing", pairing="criss-cross", gene="Barred")
    assert (found["verdict"], found["impossible_young"]) == ("impossible", 1)
    classes = findings["ratio_classes"].query(
        "scope == 'pairing' and pairing == 'criss-cross' and gene == 'Barred'"
    )
    assert classes.loc[classes["expected"] == 0, ["class", "observed"]].to_numpy().tolist() == [
        ["female Barred", 1]
    ]
