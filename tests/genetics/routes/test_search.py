"""The search against exhaustive search and against routes reckoned by hand."""

from random import Random

import numpy as np
import pytest

from pipeline.genetics.genes import Catalogue, Gene, Inheritance, SexChromosomes
from pipeline.genetics.labels import read_label
from pipeline.genetics.routes.search import quickest_route
from pipeline.genetics.routes.space import GoalSpace
from pipeline.genetics.routes.timing import Timing
from tests.genetics.routes.oracle import Beast, Exhaustive, stock_of
from tests.genetics.routes.random_herds import random_catalogue, random_goal, random_herd, random_timing

FAR = 2400
GENES = Catalogue(
    "Boa",
    tuple(Gene(name, Inheritance.RECESSIVE, name) for name in ("Albino", "Anery")),
    SexChromosomes.XY,
)
BOAS = Timing(15, 2, {"F": 4, "M": 3})
LITTER_OF_F2 = 1 - (15 / 16) ** 15


def found(catalogue, goal, beasts, timing, **limits):
    space = GoalSpace(catalogue, read_label(goal, catalogue), {gene.name for gene in catalogue.genes})
    return quickest_route(space, stock_of(space, beasts), timing, **{"by": FAR, **limits})


def expected(route):
    return np.inf if route is None else route[-1].expected


def a_case(seed, genes, **more):
    rng = Random(seed)
    catalogue = random_catalogue(rng, genes, **more)
    beasts = random_herd(rng, catalogue, rng.randint(2, 6))
    return catalogue, random_goal(rng, catalogue), beasts, random_timing(rng)


@pytest.mark.parametrize("seed", range(45))
def test_quickest_route__equals_exhaustive_search_for_one_to_three_genes(seed):
    case = a_case(seed, 1 + seed % 3)
    assert expected(found(*case)) == pytest.approx(Exhaustive(*case).best(), abs=1e-7)


@pytest.mark.parametrize("seed", range(2))
def test_quickest_route__equals_exhaustive_search_for_four_genes(seed):
    case = a_case(500 + seed, 4)
    assert expected(found(*case)) == pytest.approx(Exhaustive(*case).best(), abs=1e-7)


@pytest.mark.parametrize("seed", [1004, 1088, 1109, 1127, 1178, 1219])
def test_quickest_route__counts_the_sexes_as_they_live(seed):
    """The first gene is sex-linked and lethal without a wild type, so that more of one sex live."""
    case = a_case(seed, 2, sex_linked=True)
    assert case[0].genes[0].lethal
    assert expected(found(*case)) == pytest.approx(Exhaustive(*case).best(), abs=1e-7)


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("more", [{"linked": True}, {"sex_linked": True}], ids=["linked", "sex-linked"])
def test_quickest_route__keeps_phases_and_sex_chromosomes(seed, more):
    case = a_case(100 + seed, 2, **more)
    assert expected(found(*case)) == pytest.approx(Exhaustive(*case).best(), abs=1e-7)


@pytest.mark.parametrize("seed", range(10))
def test_quickest_route__within_four_generations_nothing_is_quicker(seed):
    case = a_case(200 + seed, 2)
    assert expected(found(*case)) <= Exhaustive(*case).best(generations=4) + 1e-7


def test_quickest_route__two_visuals_by_way_of_double_hets():
    """Breeding theory: F1 all double hets, 1/16 of F2 the double visual (9:3:3:1; Mendel 1866)."""
    route = found(
        GENES, "Albino Anery", [Beast("X", "F", "Albino", 2027), Beast("Y", "M", "Anery", 2027)], BOAS
    )
    first = 1 / (1 - 0.5**15) - 1
    begins = 2027 + 2 * first + 4
    assert [(step.dam, step.sire, step.sex) for step in route] == [
        ("X", "Y", "F"),
        ("X", "Y", "M"),
        (0, 1, None),
    ]
    assert route[2].begins == pytest.approx(begins)
    assert route[2].expected == pytest.approx(begins + 2 * (1 / LITTER_OF_F2 - 1))


def test_quickest_route__double_hets_at_hand_save_a_generation():
    pair = [Beast("X", "F", "het Albino Anery", 2027), Beast("Y", "M", "het Albino Anery", 2028)]
    (step,) = found(GENES, "Albino Anery", pair, BOAS)
    assert (step.begins, step.chance) == (2028, pytest.approx(LITTER_OF_F2))


def test_quickest_route__a_het_in_each_visual_gives_a_quarter():
    pair = [Beast("X", "F", "Albino, het Anery", 2027), Beast("Y", "M", "Anery, het Albino", 2027)]
    (step,) = found(GENES, "Albino Anery", pair, BOAS)
    assert step.chance == pytest.approx(1 - 0.75**15)


def test_quickest_route__waits_for_a_son_rather_than_a_daughter():
    """Back to the mother: her son can be paired after three seasons, her daughter with the father after four."""
    pair = [Beast("X", "F", "Albino", 2027), Beast("Y", "M", "normal", 2027)]
    first, second = found(GENES, "Albino", pair, BOAS)
    assert (first.sex, second.dam, second.sire) == ("M", "X", 0)
    assert second.begins == pytest.approx(2030, abs=1e-3)


def test_quickest_route__possible_het_counts_with_its_odds():
    """A litter of a 66 % het by a visual: 2/3 of 1 - (1/2)^15."""
    pair = [Beast("X", "F", "66% het Albino", 2027), Beast("Y", "M", "Albino", 2027)]
    (step,) = found(GENES, "Albino", pair, BOAS)
    assert step.chance == pytest.approx(2 / 3 * (1 - 0.5**15), rel=1e-3)


def test_quickest_route__unsure_young_take_longer_than_sure_ones():
    """Hets by a normal are half of the young and look like the rest: it takes two litters until the one kept is het."""
    pair = [Beast("X", "F", "het Albino", 2027), Beast("Y", "M", "normal", 2027)]
    route = found(GENES, "Albino", pair, BOAS)
    kept = route[0]
    assert kept.chance == pytest.approx((1 - 0.5**15) / 2)


def test_quickest_route__none_without_a_mate_or_before_its_time():
    alone = [Beast("X", "F", "Albino", 2027), Beast("Y", "F", "Anery", 2027)]
    assert found(GENES, "Albino Anery", alone, BOAS) is None
    pair = [Beast("X", "F", "Albino", 2027), Beast("Y", "M", "Anery", 2027)]
    assert found(GENES, "Albino Anery", pair, BOAS, by=2031) is None


def test_quickest_route__keeps_within_the_inbreeding_limit():
    """Two unrelated couples: the double hets come one from each; brother by sister would be 25 % (Wright 1922)."""
    herd = [
        Beast("X", "F", "Albino", 2027), Beast("Y", "M", "Anery", 2027),
        Beast("V", "F", "Albino", 2028), Beast("W", "M", "Anery", 2028),
    ]  # fmt: skip
    route = found(GENES, "Albino Anery", herd, BOAS, kinship=np.eye(4) / 2, most_kin=0.0)
    pairs = {(step.dam, step.sire) for step in route[:-1]}
    assert len(pairs) == 2 and len({name for pair in pairs for name in pair}) == 4
    assert found(GENES, "Albino Anery", herd[:2], BOAS, kinship=np.eye(2) / 2, most_kin=0.2) is None


def test_quickest_route__the_order_of_the_animals_does_not_matter():
    catalogue, goal, beasts, timing = a_case(7, 3)
    one, other = (found(catalogue, goal, order, timing) for order in (beasts, beasts[::-1]))
    assert expected(one) == pytest.approx(expected(other))
