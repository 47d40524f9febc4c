"""Expected information against its definition: every litter in order, Bayes' rule, entropy before and after."""

from itertools import product
from math import log2

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.findings.pairs import information as module
from pipeline.findings.pairs.couples import Grid, Side
from pipeline.findings.pairs.information import information, look_chances, told
from pipeline.findings.pairs.spaces import Groups
from pipeline.genetics.collection import Settings
from pipeline.genetics.genes import Catalogue, SexChromosomes
from tests.findings.pair_books import INCOMPLETE, book, gene, pairs_of
from tests.findings.pair_books import animal as boa

ONE = Catalogue("Boa", (gene("Ash"),), SexChromosomes.XY)
SERIES = Catalogue("Boa", (gene("Ash", locus="tone"), gene("Ember", INCOMPLETE, "tone")), SexChromosomes.XY)
LINKED = Catalogue("Boa", (gene("Fog", sex_linked=True),), SexChromosomes.ZW)
EXACTLY = Settings(misread=0.0)


def entropy(chances):
    return -sum(p * log2(p) for p in chances if p > 0)


def by_definition(couples, chances, young):
    """H(parents) - E H(parents | litter): all sequences of young, the posterior after each."""
    left = 0.0
    for litter in product(range(chances.shape[-1]), repeat=young):
        joint = couples * np.prod([chances[..., look] for look in litter], axis=0)
        if joint.sum() > 0:
            left += joint.sum() * entropy((joint / joint.sum()).ravel())
    return entropy(couples.ravel()) - left


@st.composite
def odds(draw, states):
    weights = np.array([draw(st.integers(0, 4)) for _ in range(states)], dtype=float)
    weights[draw(st.integers(0, states - 1))] += 1
    return weights / weights.sum()


@pytest.mark.parametrize("known", [ONE, SERIES, LINKED], ids=["recessive", "series", "sex-linked"])
@given(data=st.data())
@settings(max_examples=25, deadline=None)
def test_information__equals_its_definition(known, data):
    groups = Groups.of(known)
    (space,) = groups.spaces
    dam, sire = (data.draw(odds(len(space.states[space.kind(sex)]))) for sex in ("F", "M"))
    young = data.draw(st.integers(1, 3))
    rates = Settings(misread=data.draw(st.sampled_from([0.0, 0.05])))
    chances = look_chances(groups.spaces[0], groups, rates)
    grid = Grid(Side(("D",), (dam[None],)), Side(("S",), (sire[None],)))
    assert information(groups, grid, young, rates)[0, 0] == pytest.approx(
        by_definition(np.outer(dam, sire), chances, young), abs=1e-7
    )


def test_information__a_possible_het_on_a_visual_by_hand():
    """Half het on a visual, two young: half the litters of a het have at least... 1 - H(1/5) * 5/8 bits."""
    found = pairs_of(book(boa("D", "F", "50% het Ash"), boa("S", "M", "Ash")), litter=2)
    (option,) = found.options.to_dict("records")
    # both young normal: 1/2 + 1/2 * 1/4 = 5/8, after which she is het with (1/8) / (5/8) = 1/5
    assert option["information_bits"] == pytest.approx(1 - 5 / 8 * entropy([1 / 5, 4 / 5]))
    assert option["information_on"] == "Ash"


def test_information__the_sexes_tell_of_a_gene_that_kills_one_of_them():
    """ZW: half the daughters of a het sire die. One live young is female with 1/2, of a het sire with 1/3."""
    known = Catalogue("Boa", (gene("Frost", sex_linked=True, lethal=True),), SexChromosomes.ZW)
    sire = boa("S", "M", "50% het Frost", known=known)
    found = pairs_of(book(boa("D", "F", "normal", known=known), sire, known=known), litter=1)
    told = entropy([5 / 12, 7 / 12]) - (entropy([1 / 2, 1 / 2]) + entropy([1 / 3, 2 / 3])) / 2
    assert found.options["information_bits"].iloc[0] == pytest.approx(told)


def test_information__nothing_is_told_where_nothing_is_open_or_nothing_can_be_read():
    sure = pairs_of(book(boa("D", "F", "het Ash"), boa("S", "M", "Ash")))
    assert sure.options["information_bits"].iloc[0] == pytest.approx(0)
    known = Catalogue("Boa", (gene("Ash", later=True),), SexChromosomes.XY)
    later = book(boa("D", "F", "50% het Ash", known=known), boa("S", "M", "Ash", known=known), known=known)
    assert pairs_of(later).options["information_bits"].iloc[0] == pytest.approx(0)


def test_told__beyond_the_enumerated_it_is_simulated_close_by(monkeypatch):
    chances = np.array([[1.0, 0, 0], [0.5, 0.25, 0.25], [0.25, 0.25, 0.5]])
    weights = np.array([[0.4, 0.4, 0.2], [0.1, 0.1, 0.8]])
    exact = told(weights, chances, 6, seed=1)
    monkeypatch.setattr(module, "ENUMERATED", 1)
    drawn = told(weights, chances, 6, seed=1)
    assert drawn == pytest.approx(exact, abs=0.06)
    assert (drawn == told(weights, chances, 6, seed=1)).all()
    assert (drawn != told(weights, chances, 6, seed=2)).any()
