"""Calibration against the whole joint table, in plain numbers and in logarithms."""

from string import ascii_lowercase

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.genetics.carriers.elimination import calibrate, log_evidence
from pipeline.genetics.carriers.factors import Factor
from pipeline.genetics.carriers.ordering import min_fill

SIZES = (3, 2, 3, 2, 3)


def random_factors(rng, *, zeros=0.1, lanes=2):
    scopes = [tuple(rng.permutation(5)[: rng.integers(1, 4)].tolist()) for _ in range(7)]
    factors = []
    for scope in scopes:
        shape = (rng.choice([1, 2]), rng.choice([1, lanes]), *(SIZES[v] for v in scope))
        table = rng.random(shape) * (rng.random(shape) > zeros)
        with np.errstate(divide="ignore"):
            factors.append(Factor(scope, np.log(table)))
    return factors


def joint(factors, group, lane):
    table = np.ones(SIZES)
    for factor in factors:
        own = np.exp(factor.logs[group % factor.logs.shape[0], lane % factor.logs.shape[1]])
        letters = "".join(ascii_lowercase[v] for v in factor.scope)
        table = np.einsum(f"abcde,{letters}->abcde", table, own)
    return table


@settings(max_examples=60)
@given(st.integers(0, 2**32 - 1))
def test_calibrate__equals_the_joint_table(seed):
    factors = random_factors(np.random.default_rng(seed))
    done = calibrate(min_fill([f.scope for f in factors], SIZES), SIZES, factors)
    evidence = np.broadcast_to(done.log_evidence, (2, 2))
    for group, lane in np.ndindex(2, 2):
        whole = joint(factors, group, lane)
        assert np.exp(evidence[group, lane]) == pytest.approx(whole.sum(), rel=1e-12)
        for factor in factors if whole.sum() else ():
            away = tuple(v for v in range(5) if v not in factor.scope)
            expected = whole.sum(axis=away).transpose(np.argsort(np.argsort(factor.scope)))
            own = np.broadcast_to(done.marginal(factor.scope), (2, 2, *expected.shape))[group, lane]
            assert own == pytest.approx(expected / whole.sum(), abs=1e-12)


@settings(max_examples=30)
@given(st.integers(0, 2**32 - 1))
def test_log_evidence__is_that_of_the_calibration(seed):
    factors = random_factors(np.random.default_rng(seed))
    order = min_fill([f.scope for f in factors], SIZES)
    alone = log_evidence(order, SIZES, factors)
    assert np.allclose(alone, calibrate(order, SIZES, factors).log_evidence, equal_nan=True)


def test_calibrate__tells_apart_what_plain_numbers_would_lose():
    """Two factors that contradict each other by 1e-400: only their sum of logarithms decides."""
    one = Factor((0,), np.array([0.0, -1000.0]).reshape(1, 1, 2))
    other = Factor((0,), np.array([-1001.0, 0.0]).reshape(1, 1, 2))
    done = calibrate(min_fill([(0,)], [2]), [2], [one, other])
    assert done.log_evidence[0, 0] == pytest.approx(np.logaddexp(-1001, -1000))
    assert done.marginal((0,))[0, 0] == pytest.approx([1 / (1 + np.e), np.e / (1 + np.e)])


def test_calibrate__the_way_back_holds_where_plain_numbers_would_run_over():
    """Twice in a row a message of 1e-195 meets records that all but contradict it; against the whole joint table."""
    one = np.array([0.0, -np.inf])
    step = np.array([[-450.0, -451.0], [0.0, -1.0]])
    factors = [Factor((v,), one.reshape(1, 1, 2)) for v in (0, 1)]
    factors += [Factor((v, v + 1), step.reshape(1, 1, 2, 2)) for v in (0, 1)]
    order = min_fill([f.scope for f in factors], [2, 2, 2])
    assert order.variables == (0, 1, 2)
    joint = one[:, None, None] + one[None, :, None] + step[:, :, None] + step[None]
    done = calibrate(order, [2, 2, 2], factors)
    assert done.log_evidence[0, 0] == pytest.approx(np.logaddexp.reduce(joint, axis=None))
    for v in range(3):
        away = tuple(axis for axis in range(3) if axis != v)
        expected = np.exp(np.logaddexp.reduce(joint, axis=away) - np.logaddexp.reduce(joint, axis=None))
        assert done.marginal((v,))[0, 0] == pytest.approx(expected)


def test_calibrate__many_faint_messages_meet_at_one_variable():
    """Forty arms on a hub, each all but ruled out by itself with e^-20; every arm is the same sum, worked out by hand."""
    arms, hub = range(1, 41), np.log([0.3, 0.7])
    said = np.array([[-20.0, 0.0], [-20.5, 0.0]])
    end = np.array([[0.0, -np.inf], [-1.0, -np.inf]])
    factors = [Factor((0,), hub.reshape(1, 1, 2))]
    factors += [Factor((0, v), said.reshape(1, 1, 2, 2)) for v in arms]
    factors += [Factor((v + 40, v), end.reshape(1, 1, 2, 2)) for v in arms]
    sizes = [2] * 81
    order = min_fill([f.scope for f in factors], sizes)
    weights = hub + 40 * (said[:, 0] + np.log1p(np.exp(-1)))
    done = calibrate(order, sizes, factors)
    assert done.log_evidence[0, 0] == pytest.approx(np.logaddexp.reduce(weights))
    assert log_evidence(order, sizes, factors)[0, 0] == pytest.approx(np.logaddexp.reduce(weights))
    assert done.marginal((0,))[0, 0] == pytest.approx(np.exp(weights - np.logaddexp.reduce(weights)))


def test_calibrate__messages_may_grow_without_end():
    """A row of 1,500 variables that say nothing of one another: 2^1499 ways, more than plain numbers hold."""
    factors = [Factor((v, v + 1), np.zeros((1, 1, 2, 2))) for v in range(1499)]
    factors.append(Factor((1499,), np.log([0.3, 0.7]).reshape(1, 1, 2)))
    done = calibrate(min_fill([f.scope for f in factors], [2] * 1500), [2] * 1500, factors)
    assert done.log_evidence[0, 0] == pytest.approx(1499 * np.log(2))
    assert done.marginal((1499,))[0, 0] == pytest.approx([0.3, 0.7])
    assert done.marginal((0,))[0, 0] == pytest.approx([0.5, 0.5])


def test_calibrate__impossible_evidence_has_probability_zero():
    one = Factor((0,), np.array([0.0, -np.inf]).reshape(1, 1, 2))
    other = Factor((0,), np.array([-np.inf, 0.0]).reshape(1, 1, 2))
    assert calibrate(min_fill([(0,)], [2]), [2], [one, other]).log_evidence[0, 0] == -np.inf
