"""Verdicts: the number of tests counted in, too few to tell, and how many young would settle it."""

from math import log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import chi2, false_discovery_control, ncx2

from pipeline.findings.ratios import ratio_findings
from pipeline.findings.ratios.verdicts import benjamini_hochberg, smallest_testable
from tests.findings.ratio_books import catalogue, dominant, litters, pair, recessive, row, two_pairings, young
from tests.findings.single_tests import exact_p

# Benjamini & Hochberg 1995, J. R. Statist. Soc. B 57, p. 295: 15 p-values of which 4 are rejected at 0.05.
THROMBOLYSIS = [
    0.0001,
    0.0004,
    0.0019,
    0.0095,
    0.0201,
    0.0278,
    0.0298,
    0.0344,
    0.0459,
    0.3240,
    0.4262,
    0.5719,
    0.6528,
    0.7590,
    1,
]


def test_benjamini_hochberg__of_the_paper():
    q = benjamini_hochberg(THROMBOLYSIS)
    assert (q < 0.05).sum() == 4
    assert q[:5].tolist() == pytest.approx([0.0015, 0.003, 0.0095, 0.035625, 0.0603], abs=1e-9)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.floats(0, 1), max_size=30))
def test_benjamini_hochberg__equals_scipys(p):
    expected = false_discovery_control(p) if p else []
    assert benjamini_hochberg(p).tolist() == pytest.approx(list(expected), abs=1e-12)


def found(normal, hidden, sire="het Green", dam="het Green"):
    genes = catalogue(recessive("Green"))
    book = pair(genes, dam, sire)
    rows = [(name, n) for name, n in (("normal", normal), ("Green", hidden)) if n]
    return ratio_findings(book, young(rows), seed=1).tests.pipe(row, scope="pairing", gene="Green")


@pytest.mark.parametrize(
    ("normal", "hidden", "verdict"),
    [
        (9, 3, "fits"),
        (0, 12, "departs"),
        (2, 0, "too few"),
        (1, 1, "too few"),
        (3, 0, "fits"),
        (1, 3, "fits"),
        (3, 3, "fits"),
    ],
)
def test_verdict__against_three_to_one(normal, hidden, verdict):
    """Of two young even 0:2 has p 1/16 > 0.05; of three 0:3 has 1/64."""
    assert found(normal, hidden)["verdict"] == verdict


def test_verdict__strained_where_many_tests_explain_it():
    """One clutch in twenty strains; with 20 clutches q is above the level."""
    names = [f"P{i}" for i in range(20)]
    book = pair(catalogue(recessive("Green")), "Green", "het Green", pairings=names)
    rows = [(label, n, {"pairing": name}) for name in names for label, n in (("normal", 5), ("Green", 4))]
    rows[:2] = [("normal", 8, {"pairing": "P0"}), ("Green", 1, {"pairing": "P0"})]
    tests = ratio_findings(book, young(rows), seed=1).tests
    one = row(tests, scope="pairing", gene="Green", pairing="P0")
    assert (one["verdict"], one["p"]) == ("strained", pytest.approx(20 / 512))
    assert one["q"] == pytest.approx(20 * 20 / 512)
    assert "of 20 tests" in one["meaning"]


def test_judged__each_scope_is_a_family_of_its_own():
    tests = ratio_findings(
        pair(catalogue(recessive("Green")), "Green", "het Green"),
        young([("normal", 8, {"clutch": 1}), ("Green", 2, {"clutch": 1}), ("Green", 5, {"clutch": 2})]),
        seed=1,
    ).tests
    for scope in ("clutch", "pairing"):
        own = tests[(tests["scope"] == scope) & (tests["gene"] == "Green")]
        assert own["q"].tolist() == pytest.approx(false_discovery_control(own["p"]).tolist())


@pytest.mark.parametrize("level", [0.05, 0.01, 0.001])
@pytest.mark.parametrize("ratio", [(3, 1), (1, 1), (9, 3, 3, 1), (1, 1, 1, 1), (1, 2, 1)])
def test_smallest_testable__is_the_first_n_whose_worst_outcome_reaches_the_level(ratio, level):
    shares = np.array(ratio) / sum(ratio)
    worst = [
        exact_p(np.where(np.arange(len(ratio)) == np.argmin(shares), n, 0.0), shares) for n in range(1, 30)
    ]
    assert smallest_testable(shares, level) == next(n for n, p in enumerate(worst, start=1) if p < level)


def test_young_to_settle__too_few_names_the_young_that_are_missing():
    """Against 3:1 three young are the first of which an outcome (all hidden, 1/64) is rare enough."""
    assert found(2, 0)["young_to_settle"] == 1
    assert found(1, 0)["young_to_settle"] == 2


def test_young_to_settle__of_a_possible_het():
    """All normal, a possible het on a het is settled by the first n with 1 - (3/4)^n >= 0.95, which is 11."""
    tested = {n: found(n, 0, sire="possible het Green") for n in (3, 10, 11, 12)}
    assert {n: one["young_to_settle"] for n, one in tested.items()} == {3: 8, 10: 1, 11: 0, 12: 0}
    assert tested[3]["resolution"] == "sire S carries no Green"
    assert "some 8 more young should tell" in tested[3]["meaning"]


def test_young_to_settle__of_a_possible_het_on_a_visual():
    """Five young settle it, but only six could reject the ratio, so five are still too few."""
    assert found(5, 0, dam="Green", sire="possible het Green")["verdict"] == "too few"
    assert found(6, 0, dam="Green", sire="possible het Green")["young_to_settle"] == 0


def test_young_to_settle__a_departure_of_this_size_has_its_power():
    """n by Cohen's effect size: with the total named, noncentral chi-square (scipy) has 80 % power."""
    one = found(60, 26)
    total = one["n"] + one["young_to_settle"]
    power = ncx2.sf(chi2.isf(0.05, 1), 1, one["chi_square"] / one["n"] * total)
    assert power == pytest.approx(0.8, abs=0.002)
    assert power >= 0.8


def test_young_to_settle__nothing_more_where_it_is_settled():
    assert found(0, 20)["young_to_settle"] == 0
    assert found(9, 1, dam="normal", sire="normal")["young_to_settle"] == 0


def test_meaning__says_what_it_does_not_mean():
    assert "A fit is no proof" in found(9, 3)["meaning"]
    assert "no fit either" in found(2, 0)["meaning"]
    assert "can't say which record is wrong" in found(0, 12)["meaning"]
    impossible = found(9, 1, dam="normal", sire="normal")["meaning"]
    assert impossible.startswith("1 of 10 young (1 Green) can't be if the records are right")


def test_smallest_testable__half_is_six():
    assert smallest_testable(np.array([0.5, 0.5]), 0.05) == 6 == int(log(0.05 / 2) / log(0.5)) + 1


def test_judged__a_gene_that_alone_segregates_shares_the_verdict_of_its_pairing():
    genes = catalogue(recessive("Green"), recessive("Short"))
    book = two_pairings(genes, "Green Short", "het Green", "double het Green Short")
    rows = litters([("normal", 10), ("Green", 2)], [("normal", 4), ("Green Short", 3)])
    tests = ratio_findings(book, rows, seed=1).tests.query("scope == 'pairing'")
    joint, alone = row(tests, pairing="P1", gene=None), row(tests, pairing="P1", gene="Green")
    assert (alone["q"], alone["verdict"], alone["meaning"]) == (
        joint["q"],
        joint["verdict"],
        joint["meaning"],
    )
    both = tests[(tests["pairing"] == "P2") & tests["gene"].notna()]
    assert both["q"].tolist() == pytest.approx(false_discovery_control(both["p"]).tolist())


def test_answer__names_the_likeliest_reading_and_judges_by_the_kindest():
    """12 young all Ghost: two copies are far likelier than one copy in both parents, whatever joint p-values say."""
    genes = catalogue(dominant("Ghost"), *(recessive(name) for name in ("Green", "Short", "Tall")))
    label = "Ghost, triple het Green Short Tall"
    kinds = ["Ghost"] * 7 + [
        "Ghost Green",
        "Ghost Short",
        "Ghost Tall",
        "Ghost Green Short",
        "Ghost Tall Short",
    ]
    found = ratio_findings(pair(genes, label, label), young([(kind, 1) for kind in kinds]), seed=1)
    joint = row(found.tests, scope="pairing", gene=None)
    readings = found.resolutions.query("scope == 'pairing'")
    readings = readings[readings["gene"].isna()]
    assert joint["p"] == readings["p"].max()
    best = row(readings, best=True)
    assert best["log_likelihood"] == readings["log_likelihood"].max()
    assert (
        joint["resolution"]
        == best["resolution"]
        == "not both: dam D has one copy of Ghost and sire S has one copy of Ghost"
    )
