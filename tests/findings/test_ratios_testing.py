"""Tests in batches: the same answers as scipy one by one, the right method, blocks that add up, and no hidden chance."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import chisquare

from pipeline.findings.ratios.multinomial import simulated_logs, simulated_p
from pipeline.findings.ratios.testing import DRAWS, Method, fits
from tests.findings.single_tests import block, exact_p, log_probability

cases = st.lists(
    st.integers(2, 5).flatmap(
        lambda k: st.tuples(
            st.lists(st.integers(0, 30), min_size=k, max_size=k),
            st.lists(st.integers(1, 9), min_size=k, max_size=k),
        )
    ),
    min_size=1,
    max_size=6,
)


@settings(max_examples=30, deadline=None)
@given(cases)
def test_fits__chi_squares_equal_scipys(batch):
    blocks = [block(*one) for one in batch]
    for own, fit in zip(blocks, fits([[b] for b in blocks], seed=1), strict=True):
        if own.n:
            expected = chisquare(own.counts, own.n * own.probabilities)
            assert fit.chi_square == pytest.approx(expected.statistic, abs=1e-9)
            assert fit.p_chi_square == pytest.approx(expected.pvalue, abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(cases)
def test_fits__exact_p_values_equal_the_single_test(batch):
    blocks = [block(*one) for one in batch]
    for own, fit in zip(blocks, fits([[b] for b in blocks], seed=1), strict=True):
        if fit.p_exact is not None and not fit.simulations:
            assert fit.p_exact == pytest.approx(exact_p(own.counts, own.probabilities), abs=1e-9)


# Handbook of Biological Statistics (McDonald 2014), by the page; the third of p. 47 has unequal ratios given as shares.
CHI_SQUARES = [
    ((770, 230), (3, 1), 2.1333, 0.1441, "p. 46"),
    ((423, 133), (3, 1), 0.3453, 0.5568, "p. 50"),
    ((1752, 1895), (1, 1), 5.6071, 0.01789, "p. 47"),
    ((772, 1611, 737), (1, 2, 1), 4.1199, 0.1275, "p. 47"),
    ((70, 79, 3, 4), (0.54, 0.40, 0.05, 0.01), 13.5934, 0.003514, "p. 47"),
]


@pytest.mark.parametrize(("counts", "ratio", "statistic", "p", "page"), CHI_SQUARES)
def test_fits__handbook_examples(counts, ratio, statistic, p, page):
    (fit,) = fits([[block(counts, ratio)]], seed=1)
    assert fit.chi_square == pytest.approx(statistic, abs=5e-5), page
    assert fit.p_chi_square == pytest.approx(p, rel=5e-4), page


@pytest.mark.parametrize(
    ("counts", "ratio", "method"),
    [
        ((30, 10), (3, 1), Method.CHI_SQUARE),
        ((12, 4), (3, 1), Method.EXACT),
        ((20, 5, 5, 1), (9, 3, 3, 1), Method.EXACT),
        ([2] * 27, [1, 2, 4] * 9, Method.MONTE_CARLO),
    ],
)
def test_fits__chi_square_by_cochrans_rule_else_exact_else_simulated(counts, ratio, method):
    (fit,) = fits([[block(counts, ratio)]], seed=1)
    assert fit.method is method
    assert fit.p == (fit.p_chi_square if method is Method.CHI_SQUARE else fit.p_exact)
    assert fit.simulations == (DRAWS if method is Method.MONTE_CARLO else 0)


def test_fits__blocks_add_up():
    """Young read at other loci are another multinomial: chi-squares and degrees of freedom add, the exact test is of both."""
    one, other = block((30, 10), (3, 1)), block((5, 5, 2), (1, 2, 1))
    both, first, second = fits([[one, other], [one], [other]], seed=1)
    assert both.chi_square == pytest.approx(first.chi_square + second.chi_square)
    assert (both.df, both.n) == (3, 52)
    assert both.log_likelihood == pytest.approx(first.log_likelihood + second.log_likelihood)


def test_fits__exact_p_of_two_blocks_is_of_all_pairs_of_outcomes():
    (fit,) = fits([[block((2, 1), (3, 1)), block((0, 2), (1, 1))]], seed=1)
    chances = [a * b for a in (27 / 64, 27 / 64, 9 / 64, 1 / 64) for b in (1 / 4, 1 / 2, 1 / 4)]
    observed = 27 / 64 * 1 / 4
    assert fit.p_exact == pytest.approx(sum(c for c in chances if c <= observed * (1 + 1e-9)), abs=1e-12)


def test_fits__a_single_class_has_nothing_to_test():
    (fit,) = fits([[block((7,), (1,))]], seed=1)
    assert (fit.df, fit.p, fit.chi_square, fit.log_likelihood) == (0, 1, 0, 0)


def test_fits__no_young_no_departure():
    (fit,) = fits([[]], seed=1)
    assert (fit.n, fit.p) == (0, 1)
    assert fits([], seed=1) == []


def test_fits__simulations_depend_on_the_seed_and_on_nothing_else():
    wide, other = block([1, 1, 2] * 9, [1, 2, 4] * 9), block([2] * 32, list(range(1, 33)))
    alone = fits([[wide]], seed=5)[0]
    assert alone.method is Method.MONTE_CARLO
    assert fits([[other], [wide]], seed=5)[1] == alone
    assert fits([[wide]], seed=6)[0].p_exact != alone.p_exact


def test_fits__a_simulated_p_is_right_for_a_table_too_large_to_enumerate():
    """Equal shares and n large against the classes: the exact p must be near the chi-square's."""
    counts = np.random.default_rng(3).multinomial(900, [1 / 30] * 30)
    (fit,) = fits([[block(counts, [1] * 29 + [1.0001])]], seed=1)
    assert fit.method is Method.CHI_SQUARE
    own = block(counts, [1] * 30)
    logs = simulated_logs(own.probabilities, [900], 2_000, np.random.default_rng(1))[900]
    assert simulated_p(log_probability(own.counts, own.probabilities), logs) == pytest.approx(
        fit.p_chi_square, abs=0.05
    )
