"""Elimination orders: cliques that hold every factor, and what they cost."""

from math import log10
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.genetics.carriers.ordering import held_apart, min_fill
from tests.genetics.carriers.random_books import closed_pedigree

SCOPES = st.lists(st.lists(st.integers(0, 7), min_size=1, max_size=4, unique=True), min_size=1, max_size=12)


@settings(max_examples=100)
@given(SCOPES)
def test_min_fill__every_factor_lies_in_the_clique_of_its_first_variable(scopes):
    order = min_fill(scopes, [3] * 8)
    place = {variable: i for i, variable in enumerate(order.variables)}
    assert sorted(place) == list(range(8))
    for scope in scopes:
        first = min(scope, key=place.__getitem__)
        assert set(scope) <= set(order.cliques[place[first]])


@settings(max_examples=50)
@given(SCOPES)
def test_min_fill__what_is_left_of_a_clique_lies_in_its_parent(scopes):
    order = min_fill(scopes, [3] * 8)
    place = {variable: i for i, variable in enumerate(order.variables)}
    for clique in order.cliques:
        if len(clique) > 1:
            assert set(clique[1:]) <= set(order.cliques[place[clique[1]]])


def test_min_fill__a_chain_needs_pairs_a_ring_needs_triples():
    chain = [(i, i + 1) for i in range(9)]
    assert max(map(len, min_fill(chain, [3] * 10).cliques)) == 2
    assert max(map(len, min_fill([*chain, (9, 0)], [3] * 10).cliques)) == 3


def test_min_fill__counts_the_table_entries_of_all_cliques():
    """The pair is one table of 30; what is left of it is the other variable's own."""
    order = min_fill([(0, 1)], [3, 10])
    assert order.entries == 30 + [3, 10][order.variables[1]]


@settings(max_examples=50)
@given(SCOPES, st.sampled_from([3, 9, 27, 81]))
def test_min_fill__leaves_over_what_is_too_wide(scopes, widest):
    order = min_fill(scopes, [3] * 8, widest=widest)
    assert sorted((*order.variables, *order.rest)) == list(range(8))
    assert all(3 ** len(clique) <= widest for clique in order.cliques)
    next_table = order.entries - sum(3 ** len(clique) for clique in order.cliques)
    assert next_table > widest if order.rest else next_table == 0


@settings(max_examples=50)
@given(SCOPES, st.sampled_from([3, 9, 27]), st.sets(st.integers(0, 7)))
def test_held_apart__what_is_not_held_falls_apart_into_narrow_tables(scopes, widest, spared):
    held, order = held_apart(scopes, [3] * 8, widest, spared)
    place = {variable: i for i, variable in enumerate(order.variables)}
    assert held | set(place) == {v for scope in scopes for v in scope}
    assert all(3 ** len(clique) <= widest for clique in order.cliques)
    for scope in scopes:
        free = set(scope) - held
        if free:
            assert free <= set(order.cliques[min(place[v] for v in free)])


def test_held_apart__holds_the_hub_of_a_wheel_unless_it_is_spared():
    spokes = [(0, i) for i in range(1, 6)] + [(i, i % 5 + 1) for i in range(1, 6)]
    assert 0 in held_apart(spokes, [3] * 6, 9, ())[0]
    assert 0 not in held_apart(spokes, [3] * 6, 9, {0})[0]


@pytest.mark.benchmark
def test_min_fill__takes_time_in_proportion_to_families():
    took = []
    for count in (2, 20):
        scopes = [s for i in range(count) for s in _trios(closed_pedigree(500, i), 600 * i)]
        start = process_time()
        min_fill(scopes, [3] * 600 * count)
        took.append(process_time() - start)
    print(f"\n1,000 animals {took[0]:.3f} s, 10,000 {took[1]:.3f} s, exponent {log10(took[1] / took[0]):.2f}")
    assert log10(took[1] / took[0]) < 1.2


def _trios(rows, first):
    place = {row[0]: first + i for i, row in enumerate(rows)}
    return [(place[dam], place[sire], place[own]) for own, _, _, sire, dam in rows if sire and dam]
