"""The best set of pairs against trying every set."""

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.findings.pairs import programme as module
from pipeline.findings.pairs.programme import Programme


def allowed(programme, chosen):
    """Whether a set keeps to the limits, which give way for the forced pairs as far as it takes."""
    forced = list(programme.forced)
    most = {
        "dam": {d: max(1, sum(programme.dam[forced] == d)) for d in set(programme.dam)},
        "sire": {s: max(programme.per_male, sum(programme.sire[forced] == s)) for s in set(programme.sire)},
    }
    own = list(chosen)
    if not set(forced) <= set(own) or set(own) & (set(programme.banned) - set(forced)):
        return False
    if any(sum(programme.dam[own] == d) > n for d, n in most["dam"].items()):
        return False
    if any(sum(programme.sire[own] == s) > n for s, n in most["sire"].items()):
        return False
    places = programme.places
    return places is None or programme.young[own].sum() <= max(places, programme.young[forced].sum())


def exhaustive(programme):
    """The most points of any allowed set."""
    pairs = range(len(programme.dam))
    sets = (chosen for size in range(len(pairs) + 1) for chosen in combinations(pairs, size))
    return max((programme.total(chosen) for chosen in sets if allowed(programme, chosen)), default=None)


@st.composite
def programmes(draw):
    dams, sires = draw(st.integers(1, 4)), draw(st.integers(1, 3))
    grid = np.array(list(product(range(dams), range(sires))))[: draw(st.integers(1, 9))]
    many = len(grid)
    points = np.array([draw(st.integers(5, 40)) for _ in range(many)], dtype=float)
    young = np.array([draw(st.integers(3, 9)) for _ in range(many)])
    places = draw(st.one_of(st.none(), st.integers(0, 30)))
    forced = tuple(draw(st.lists(st.integers(0, many - 1), max_size=2, unique=True)))
    return Programme(grid[:, 0], grid[:, 1], points, young, draw(st.integers(0, 3)), places, forced)


@given(programmes())
@settings(max_examples=120, deadline=None)
def test_best__equals_trying_every_set(programme):
    chosen = programme.best()
    assert allowed(programme, chosen)
    assert programme.total(chosen) == pytest.approx(exhaustive(programme), abs=1e-3)


@given(programmes())
@settings(max_examples=80, deadline=None)
def test_best__of_a_large_herd_leaves_out_only_pairs_that_can_not_be_in_it(programme):
    """With columns priced from the first pair on, where else all would be handed to the solver."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "WHOLE", 0)
        patch.setattr(module, "FIRST", 1)
        chosen, hint = programme.solved()
        again = Programme(**{**vars(programme), "hint": hint}).best()
    assert allowed(programme, chosen)
    assert programme.total(chosen) == pytest.approx(exhaustive(programme), abs=1e-3)
    assert again == chosen


@given(programmes(), st.data())
@settings(max_examples=60, deadline=None)
def test_without_and_including__equal_trying_every_set(programme, data):
    place = data.draw(st.integers(0, len(programme.dam) - 1))
    if place not in programme.forced:
        banned = Programme(**{**vars(programme), "banned": (place,)})
        assert programme.total(programme.without(place)) == pytest.approx(exhaustive(banned), abs=1e-3)
        changed = programme.including(place)
        sets = [
            s
            for n in range(10)
            for s in combinations(range(len(programme.dam)), n)
            if place in s and allowed(programme, s)
        ]
        if changed is None:
            assert not sets
        else:
            assert programme.total(changed) == pytest.approx(max(map(programme.total, sets)), abs=1e-3)


def test_best__of_nothing_is_nothing():
    none = np.array([], dtype=int)
    assert Programme(none, none, none.astype(float), none, 3).best() == ()


def test_best__of_equal_plans_takes_the_first_by_order():
    programme = Programme(np.array([0, 0]), np.array([0, 1]), np.array([10.0, 10.0]), np.array([5, 5]), 3)
    assert programme.best() == (0,)


@pytest.mark.parametrize("seed", range(3))
def test_best__without_limited_places_equals_the_integer_programme(seed):
    """As an assignment, against the same with more places than any plan needs, which scipy.optimize.milp solves."""
    rng = np.random.default_rng(seed)
    dam, sire = (axis.ravel() for axis in np.indices((30, 20)))
    points, young = rng.uniform(5, 40, len(dam)), np.full(len(dam), 4)
    programme = Programme(dam, sire, points, young, 2, forced=(7,), banned=(35, 80))
    with_places = Programme(**{**vars(programme), "places": 1_000})
    assert programme.best() == with_places.best()
