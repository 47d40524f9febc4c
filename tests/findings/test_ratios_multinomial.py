"""The goodness-of-fit mathematics against scipy, full enumeration and published worked examples."""

from itertools import product
from math import factorial, prod

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest

from pipeline.findings.ratios.multinomial import (
    chi_square_tail,
    cochran_holds,
    distinct_outcomes,
    outcome_tables,
    simulated_logs,
    simulated_p,
)
from tests.findings.single_tests import exact_p, log_probability


def shares(*weights):
    return np.array(weights, dtype=float) / sum(weights)


def enumerated_p(counts, probabilities):
    """The exact test the slow way: every outcome, one by one."""

    def chance(outcome):
        return factorial(sum(outcome)) * prod(
            p**x / factorial(x) for p, x in zip(probabilities, outcome, strict=True)
        )

    n, observed = sum(counts), chance(counts)
    heads = (head for head in product(range(n + 1), repeat=len(counts) - 1) if sum(head) <= n)
    chances = (chance((*head, n - sum(head))) for head in heads)
    return sum(c for c in chances if c <= observed * (1 + 1e-7))


clutches = st.integers(2, 4).flatmap(
    lambda k: st.tuples(
        st.lists(st.integers(0, 5), min_size=k, max_size=k),
        st.lists(st.integers(1, 9), min_size=k, max_size=k),
    )
)


@settings(max_examples=40, deadline=None)
@given(clutches)
def test_exact_p__equals_the_sum_over_every_outcome(clutch):
    counts, weights = clutch
    p = exact_p(np.array(counts, dtype=float), shares(*weights))
    assert p == pytest.approx(enumerated_p(counts, shares(*weights)), abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 60), st.integers(0, 60), st.integers(1, 9), st.integers(1, 9))
def test_exact_p__of_two_classes_equals_scipys_binomtest(one, other, w, v):
    expected = binomtest(one, one + other, w / (w + v)).pvalue if one + other else 1.0
    assert exact_p(np.array([one, other], dtype=float), shares(w, v)) == pytest.approx(expected, abs=1e-9)


# Exact p-values where outcomes are ordered by probability. R package XNomial 1.0.4.1, vignette (Engels 2015), which
# works Handbook of Biological Statistics p. 33 and p. 35; R package EMT 1.3.1, help page (Menzel 2024); Handbook p. 31
# and p. 34 by binomial. The printed digits are compared.
PUBLISHED = [
    ((72, 38, 20, 18), (9, 3, 3, 1), 0.002255, 5e-7, "XNomial"),
    ((428, 152), (3, 1), 0.5022, 5e-5, "XNomial"),
    ((5, 2, 1), (1, 2, 1), 0.0767, 5e-5, "EMT"),
    ((2, 8), (1, 1), 0.1094, 5e-5, "Handbook p. 30"),
    ((7, 5), (3, 1), 0.1893, 5e-5, "Handbook p. 31, method of small p-values"),
    ((10, 17), (1, 1), 0.2478, 5e-5, "Handbook p. 34"),
    ((36, 7), (1, 1), 8.963e-6, 5e-10, "Handbook p. 34"),
    ((140, 106), (1, 1), 0.03516, 5e-6, "Handbook p. 34"),
    ((8, 0), (1, 1), 0.0078125, 1e-12, "by hand: 2 / 2^8"),
    ((6, 0), (3, 1), 0.347412, 5e-7, "by enumeration"),
]


@pytest.mark.parametrize(("counts", "ratio", "p", "within", "source"), PUBLISHED)
def test_exact_p__published_examples(counts, ratio, p, within, source):
    assert exact_p(np.array(counts, dtype=float), shares(*ratio)) == pytest.approx(p, abs=within), source


def test_simulated_p__of_29_million_outcomes_that_were_enumerated():
    """0.9382 by full enumeration: XNomial vignette, Mendel's dihybrid (Handbook of Biological Statistics p. 35)."""
    counts, ratio = np.array([315.0, 108, 101, 32]), shares(9, 3, 3, 1)
    logs = simulated_logs(ratio, [556], 9_999, np.random.default_rng(1))[556]
    assert simulated_p(log_probability(counts, ratio), logs) == pytest.approx(0.9382, abs=4 * 0.0024)


@pytest.mark.parametrize(
    ("df", "point"), [(1, 3.84146), (2, 5.99146), (3, 7.81473), (8, 15.50731), (10, 18.30704)]
)
def test_chi_square_tail__five_percent_points(df, point):
    """Upper 5 % points of chi-square as printed in NIST/SEMATECH e-Handbook 1.3.6.7.4."""
    assert chi_square_tail(point, df) == pytest.approx(0.05, abs=1e-6)


@pytest.mark.parametrize(
    ("expected", "holds"),
    [
        ((5, 5, 5, 5), True),
        ((9, 9, 9, 9, 4.9), True),
        ((9, 9, 9, 4.9), False),
        ((9, 9, 9, 9, 0.9), False),
        ((1, 20), False),
    ],
)
def test_cochran_holds__none_under_one_a_fifth_under_five(expected, holds):
    assert cochran_holds(np.array(expected, dtype=float)) is holds


def test_outcome_tables__sum_to_one_and_count_distinct_outcomes():
    ratio = shares(27, 9, 9, 9, 3, 3, 3, 1)
    for n, table in outcome_tables(ratio, [1, 7, 12]).items():
        assert table.cumulative[-1] == pytest.approx(1, abs=1e-12)
        assert len(table.logs) <= distinct_outcomes((1, 3, 3, 1), n)


def test_distinct_outcomes__of_equal_classes_are_partitions():
    """20 young in 16 equal classes: partitions of 20 into at most 16 parts, 620 (of 627 partitions of 20)."""
    assert distinct_outcomes((16,), 20) == 620
    assert distinct_outcomes((1, 1), 9) == 10


def test_combined__two_clutches_are_one_product():
    one, other = (outcome_tables(shares(3, 1), [n])[n] for n in (4, 5))
    observed = log_probability(np.array([1.0, 3]), shares(3, 1)) + log_probability(
        np.array([2.0, 3]), shares(3, 1)
    )
    slow = sum(
        a * b
        for a in np.exp(np.repeat(one.logs, one.ways.astype(int)))
        for b in np.exp(np.repeat(other.logs, other.ways.astype(int)))
        if a * b <= np.exp(observed) * (1 + 1e-7)
    )
    assert float(one.combined(other).tail(observed)) == pytest.approx(slow, abs=1e-12)


def test_simulated_p__lies_within_its_error_of_the_exact():
    draws, ratio = 20_000, shares(9, 3, 3, 1)
    logs = simulated_logs(ratio, [6, 20], draws, np.random.default_rng(7))
    for counts in ((4, 0, 1, 1), (9, 3, 3, 5), (6, 6, 6, 2), (12, 4, 4, 0)):
        observed = np.array(counts, dtype=float)
        exact = exact_p(observed, ratio)
        found = simulated_p(log_probability(observed, ratio), logs[sum(counts)])
        assert abs(found - exact) < 4 * np.sqrt(exact * (1 - exact) / draws) + 1 / draws


def test_simulated_p__of_a_published_simulation():
    """230:85:108:80:21:32 against 6:3:3:2:1:1: 0.01495 ± 0.00038 by likelihood ratio (XNomial vignette); the ordering
    by probability used here differs a little, so only the size is compared."""
    counts, ratio = np.array([230.0, 85, 108, 80, 21, 32]), shares(6, 3, 3, 2, 1, 1)
    logs = simulated_logs(ratio, [556], 20_000, np.random.default_rng(1))[556]
    assert simulated_p(log_probability(counts, ratio), logs) == pytest.approx(0.01495, abs=0.005)


def test_simulated_logs__of_many_classes_agree_with_few():
    """240 equal classes: whether 5 young are all different is the birthday problem, 240·239·238·237·236 / 240^5."""
    logs = simulated_logs(np.full(240, 1 / 240), [5], 20_000, np.random.default_rng(2))[5]
    different = prod(240 - i for i in range(5)) / 240**5
    all_different = log_probability(np.r_[np.ones(5), np.zeros(235)], np.full(240, 1 / 240))
    assert np.isclose(logs, all_different).mean() == pytest.approx(
        different, abs=4 * np.sqrt(different * (1 - different) / 20_000)
    )
