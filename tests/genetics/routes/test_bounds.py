"""What the search leaves out for being hopeless is hopeless indeed."""

from random import Random

import numpy as np
import pytest

from pipeline.genetics.genes import SEXES
from pipeline.genetics.labels import read_label
from pipeline.genetics.routes.arrival import Arrival
from pipeline.genetics.routes.blocks import Blocks
from pipeline.genetics.routes.litters import Litters
from pipeline.genetics.routes.mates import Mates, Own
from pipeline.genetics.routes.promising import best_rows
from pipeline.genetics.routes.remaining import still_to_come
from pipeline.genetics.routes.space import GoalSpace
from pipeline.genetics.routes.timing import at_least_one
from tests.genetics.routes.oracle import stock_of
from tests.genetics.routes.random_herds import random_catalogue, random_goal, random_herd, random_timing
from tests.genetics.routes.test_search import FAR, found


def a_case(seed, genes=3):
    rng = Random(seed)
    catalogue = random_catalogue(rng, genes, sex_linked=seed % 2 == 0)
    herd, goal = random_herd(rng, catalogue, 6), random_goal(rng, catalogue)
    space = GoalSpace(catalogue, read_label(goal, catalogue), {gene.name for gene in catalogue.genes})
    return catalogue, goal, herd, random_timing(rng), space


@pytest.mark.parametrize("seed", range(12))
def test_bounds__never_below_the_chances(seed):
    *_, herd, timing, space = a_case(seed)
    blocks = Blocks(space)
    stock, mates = stock_of(space, herd), Mates(blocks, "M")
    for number, one in enumerate(one for one in stock if one.sex == "M"):
        mates.add(number, Own.of(one.parts, "M", blocks))
    own = Own.of(next(one for one in stock if one.sex == "F").parts, "F", blocks)
    every = np.arange(len(mates.ids))
    arrival = Arrival(blocks, timing.litter)
    assert (arrival.chances(own, mates, every) <= arrival.bounds(own, mates)).all()
    for sex in SEXES:
        litters = Litters(blocks, sex, timing.litter)
        young = np.arange(len(litters.best(own)))
        bounds = litters.bounds(own, mates, young)
        which, node = np.indices(bounds.shape).reshape(2, -1)
        chances = litters.chances(own, mates, which, node).reshape(bounds.shape)
        assert (chances <= bounds + 1e-12).all() and (chances <= litters.best(own) + 1e-12).all()
        known = litters.known(own, mates)
        assert chances[known] == pytest.approx(bounds[known])


@pytest.mark.parametrize("seed", range(20))
def test_still_to_come__no_route_from_an_animal_is_shorter(seed):
    *case, space = a_case(seed, 2)
    route = found(*case)
    if route is not None:
        rest = still_to_come(Blocks(space), case[-1])
        for step in route[:-1]:
            node = np.ravel_multi_index(step.state, space.sizes[step.sex])
            there = step.expected + case[-1].growth[step.sex]
            assert there + rest[step.sex][node] <= route[-1].expected + 1e-7
        assert route[-1].expected < FAR


@pytest.mark.parametrize("each", [1, 2])
def test_best_rows__equals_looking_at_every_row(each):
    rng = np.random.default_rng(4)
    for _ in range(50):
        values = rng.random((9, 6)) * (rng.random((9, 6)) < 0.7)
        known, least = rng.random(9) < 0.3, rng.random(6) / 2 + 0.01
        bounds = np.where(known[:, None], values, values * (1 + rng.random((9, 6))))
        ranked = np.sort(values, axis=0)[::-1]
        for place, (row, column, value) in enumerate(
            best_rows(bounds, known, least, each, lambda row, column, own=values: own[row, column])
        ):
            assert column.tolist() == np.flatnonzero(ranked[place] >= least).tolist()
            assert (value == ranked[place][column]).all() and (values[row, column] == value).all()


def test_at_least_one__is_the_power_for_whole_and_broken_litters():
    share = np.linspace(0, 1, 11)
    for litter in (1, 2, 7.0, 15, 2.5):
        assert at_least_one(share, litter) == pytest.approx(1 - (1 - share) ** litter)
