"""Elimination orders: cliques that hold every factor, and what they cost."""

from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.genetics.carriers.ordering import min_fill

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
    assert min_fill(chain, [3] * 10).largest == 9
    assert min_fill([*chain, (9, 0)], [3] * 10).largest == 27


def test_min_fill__counts_the_table_entries_of_all_cliques():
    order = min_fill([(0, 1)], [3, 10])
    assert (order.entries, order.largest) == (40, 30) or (order.entries, order.largest) == (33, 30)


def test_min_fill__keeps_the_last_to_the_end():
    order = min_fill([(0, 1), (1, 2), (2, 3)], [3] * 4, last=(0, 3))
    assert order.variables[-2:] == (0, 3)
    assert order.cliques[-2] == (0, 3)
