"""Labels against odds, and young that settle an open het, against the textbook's risks."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.findings.carrier_claims import further_young, says, young_to_rule_out
from pipeline.genetics.carriers.odds import CarrierOdds
from pipeline.genetics.genes import Gene, Inheritance
from pipeline.genetics.statements import Carried, Shown, Statement

OPEN = CarrierOdds("Boa", "B1", "Anery", 2 / 3, 1 / 3, 2 / 3, 0.0, "66% het", 0, "open", "exact")
ANERY = Gene("Anery", Inheritance.RECESSIVE, "Anery")


def het(chance) -> Statement:
    return Statement((), (Carried("Anery", chance),))


def odds(carries, label) -> CarrierOdds:
    return replace(OPEN, p_none=1 - carries, p_one=carries, label=label)


@pytest.mark.parametrize(
    "carries, honest, label, expected",
    [
        (0.66, "66% het", het(Fraction(2, 3)), "fair"),
        (0.66, "66% het", het(Fraction(1)), "too much"),
        (0.66, "66% het", het(Fraction(1, 2)), "too little"),
        (0.66, "66% het", Statement(), "too little"),
        (0.66, "66% het", None, "too little"),
        (0.98, "100% het", het(Fraction(1)), "fair"),
        (0.98, "100% het", het(None), "too little"),
        (0.30, "", het(None), "fair"),
        (0.05, "", het(None), "too much"),
        (0.05, "", Statement(), "fair"),
        (1.00, "Anery", Statement((Shown("Anery", 2),)), "fair"),
        (0.30, "", Statement((Shown("Anery", 2),)), "too much"),
        (1.00, "Anery", Statement(), "too little"),
    ],
)
def test_says__the_book_s_label_beside_the_honest_one(carries, honest, label, expected):
    assert says(odds(carries, honest), label) == expected


def test_says__nothing_where_there_are_no_odds():
    assert says(odds(float("nan"), ""), Statement()) == ""


@pytest.mark.parametrize(
    "share, sure, mating, even",
    [(1 / 2, 0.95, 5, 5), (1 / 2, 0.99, 7, 7), (1 / 4, 0.95, 11, 11), (1 / 4, 0.99, 17, 16)],
)
def test_young_to_rule_out__from_even_odds_beside_a_test_mating(share, sure, mating, even):
    """A test mating shows a het with 1 - (1 - share)^n: 5, 7, 11 and 17 young (common practice, arithmetic exact).

    From even odds Bayes' rule asks for (1 - share)^n <= (1 - sure) / sure, a hair less.
    """
    assert 1 - (1 - share) ** mating >= sure > 1 - (1 - share) ** (mating - 1)
    assert young_to_rule_out(0.5, share, sure) == even


def test_young_to_rule_out__a_sib_of_affected_young():
    """Unaffected young of two hets, 2/3 a carrier; with n unaffected young of an affected mate 2 (1/2)^n / (1 + 2 (1/2)^n).

    A textbook risk, from memory: Young, Introduction to Risk Calculation in Genetic Counseling.
    """
    n = young_to_rule_out(2 / 3, 1 / 2, 0.95)
    risk = [2 * 0.5**k / (1 + 2 * 0.5**k) for k in range(10)]
    assert n == next(k for k, left in enumerate(risk) if left <= 0.05) == 6


@given(st.floats(0.001, 0.999), st.sampled_from([1 / 2, 1 / 4]), st.sampled_from([0.95, 0.99]))
def test_young_to_rule_out__is_the_least_number_that_does(carries, share, sure):
    def left(young):
        return carries * (1 - share) ** young / (carries * (1 - share) ** young + 1 - carries)

    n = young_to_rule_out(carries, share, sure)
    assert left(n) <= 1 - sure + 1e-9
    assert n == 0 or left(n - 1) > 1 - sure


@pytest.mark.parametrize(
    "entry, gene",
    [
        (replace(OPEN, settled="proved"), ANERY),
        (replace(OPEN, p_one=0.4, p_two=0.26), ANERY),
        (OPEN, replace(ANERY, inheritance=Inheritance.DOMINANT)),
        (OPEN, replace(ANERY, sex_linked=True)),
        (replace(OPEN, p_none=float("nan"), p_one=float("nan")), ANERY),
    ],
)
def test_further_young__none_where_no_test_cross_is_called_for(entry, gene):
    assert set(further_young(entry, gene).values()) == {None}


def test_further_young__of_an_open_het():
    assert further_young(OPEN, ANERY) == {
        "on_visual_95": 6, "on_visual_99": 8, "on_het_95": 13, "on_het_99": 19,
    }  # fmt: skip
