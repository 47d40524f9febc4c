"""The odds of a step by hand, and the spread of a route against lives lived through young by young."""

from random import Random

import numpy as np
import pytest

from pipeline.genetics.genes import Inheritance
from pipeline.genetics.labels import read_label, write_label
from pipeline.genetics.routes.outlook import played, step_odds
from pipeline.genetics.routes.search import quickest_route
from pipeline.genetics.routes.space import GoalSpace
from tests.genetics.routes.lives import Lives
from tests.genetics.routes.oracle import Beast, stock_of
from tests.genetics.routes.random_herds import random_catalogue, random_goal, random_herd, random_timing
from tests.genetics.routes.test_search import BOAS, FAR, GENES


def a_route(catalogue, goal, beasts, timing):
    """The space, the animals, the quickest route, and the animals' odds by name."""
    space = GoalSpace(catalogue, read_label(goal, catalogue), {gene.name for gene in catalogue.genes})
    stock = stock_of(space, beasts)
    odds = {one.name: as_odds(space, one) for one in stock}
    return space, stock, quickest_route(space, stock, timing, by=FAR), odds


def as_odds(space, one):
    found = [np.zeros(size) for size in space.sizes[one.sex]]
    for state, weight in one.parts:
        for own, i in zip(found, state, strict=True):
            own[i] += weight
    return tuple(own / own.sum() for own in found)


def seasons(case, runs=4000, seed=3):
    space, stock, route, odds = case[0]
    ready = {one.name: one.ready for one in stock}
    return played(space, route, case[1], ready, odds, runs=runs, seed=seed).born[-1]


def test_step_odds__two_of_three_normals_of_two_hets_are_het():
    pair = [
        Beast("X", "F", "het Albino", 2027),
        Beast("Y", "M", "het Albino", 2027),
        Beast("Z", "M", "Anery", 2027),
    ]
    space, _, route, odds = a_route(GENES, "Albino Anery", pair, BOAS)
    found = step_odds(space, route, len(route) - 1, odds, 15)
    assert found.right == 1
    young = np.array([0.25, 0.5, 0.25])
    label = space.label((young * [1, 1, 0], np.array([1.0, 0, 0])), "F")
    assert write_label(label, GENES) == "Normal, 66% het Albino"


def test_step_odds__sixteenth_needs_47_young_for_95_percent():
    """1 - (15/16)^46 = 0.9486, ^47 = 0.9518."""
    pair = [Beast("X", "F", "het Albino Anery", 2027), Beast("Y", "M", "het Albino Anery", 2027)]
    space, _, route, odds = a_route(GENES, "Albino Anery", pair, BOAS)
    found = step_odds(space, route, 0, odds, 15)
    assert (found.one, found.young_for_95) == (1 / 16, 47)
    assert found.litter == pytest.approx(1 - (15 / 16) ** 15)


def test_step_odds__half_of_a_het_by_a_normal_is_right():
    pair = [Beast("X", "F", "het Albino", 2027), Beast("Y", "M", "normal", 2027)]
    space, _, route, odds = a_route(GENES, "Albino", pair, BOAS)
    found = step_odds(space, route, 0, odds, 15)
    assert (found.one, found.right) == (0.5, 0.5)


def test_played__lost_gamble_is_lost_for_good():
    pair = [Beast("X", "F", "66% het Albino", 2027), Beast("Y", "M", "Albino", 2027)]
    case = a_route(GENES, "Albino", pair, BOAS), BOAS
    assert np.isinf(seasons(case)).mean() == pytest.approx(1 / 3, abs=0.03)


def test_played__a_dam_needed_twice_has_one_litter_after_the_other():
    herd = [Beast("X", "F", "Albino", 2027), Beast("Y", "M", "Anery", 2027), Beast("Z", "M", "Albino", 2027)]
    space, stock, route, odds = a_route(GENES, "Albino Anery", herd, BOAS)
    swapped = (route[0], route[0].__class__("X", "Z", "M", (2, 0), 2027, 1.0, 2027), route[0])
    ready = {one.name: one.ready for one in stock}
    found = played(space, swapped, BOAS, ready, odds, runs=50, seed=1)
    assert not found.held[0].any() and found.held[1].all()
    assert (found.begins[1] == found.born[0] + BOAS.cycle).all()


def test_played__same_seed_same_seasons():
    pair = [Beast("X", "F", "het Albino Anery", 2027), Beast("Y", "M", "het Albino Anery", 2027)]
    case = a_route(GENES, "Albino Anery", pair, BOAS), BOAS
    assert (seasons(case) == seasons(case)).all() and (seasons(case) != seasons(case, seed=4)).any()


def has_no_twin_dominants(case):
    """Two copies of a dominant gene count as one on the way, so such routes run a little sooner than stated."""
    return all(gene.inheritance is not Inheritance.DOMINANT for gene in case[0][0].catalogue.genes)


def random_case(seed):
    rng = Random(seed)
    catalogue = random_catalogue(rng, rng.randint(1, 3))
    timing = random_timing(rng)
    return a_route(catalogue, random_goal(rng, catalogue), random_herd(rng, catalogue, 5), timing), timing


@pytest.mark.study
def test_played__routes_arrive_as_often_as_stated():
    """200 random collections, 150 lives each: by the stated middle, late and last seasons as many arrive as stated."""
    stated, lived = [], []
    for seed in range(200):
        case = random_case(seed)
        space, stock, route, _ = case[0]
        if route is None or len(route) > 6 or not has_no_twin_dominants(case):
            continue
        told = seasons(case)
        rng = np.random.default_rng(seed)
        life = Lives(space, route, stock, case[1])
        found = np.array([life.season(rng) for _ in range(150)])
        for season in {np.quantile(told, q, method="inverted_cdf") for q in (0.1, 0.5, 0.9)} - {np.inf}:
            stated.append((told <= season).mean())
            lived.append((found <= season).mean())
    stated, lived = np.array(stated), np.array(lived)
    assert len(stated) > 60
    assert abs((lived - stated).mean()) < 0.01
    spread = np.sqrt(stated * (1 - stated) * (1 / 150 + 1 / 4000) + 1e-6)
    assert np.mean(np.abs(lived - stated) <= 2.6 * spread + 0.01) > 0.97


@pytest.mark.study
def test_played__copies_nobody_can_tell_never_make_a_route_late():
    """With dominant genes, of which two copies count as one: at least as many arrive as stated."""
    stated, lived = [], []
    for seed in range(200, 280):
        case = random_case(seed)
        space, stock, route, _ = case[0]
        if route is None or len(route) > 6 or has_no_twin_dominants(case):
            continue
        told = seasons(case)
        rng = np.random.default_rng(seed)
        life = Lives(space, route, stock, case[1])
        middle = np.quantile(told, 0.5, method="inverted_cdf")
        stated.append((told <= middle).mean())
        lived.append(np.mean([life.season(rng) <= middle for _ in range(100)]))
    assert len(stated) >= 15
    assert np.mean(np.array(lived) - np.array(stated)) > -0.02
