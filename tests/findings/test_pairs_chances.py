"""Chances of a goal against counting: by hand for the classic crosses, by enumeration of litters for the rest."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.findings.pairs.chances import goal_chances
from pipeline.findings.pairs.couples import Grid, Joint, Side
from pipeline.findings.pairs.goals import Goal, nearness, reached, wanted_copies
from pipeline.findings.pairs.spaces import Groups
from pipeline.genetics.genes import Catalogue, SexChromosomes
from pipeline.genetics.labels import read_label
from tests.findings.pair_books import BOA, DOMINANT, INCOMPLETE, book, gene, pairs_of
from tests.findings.pair_books import animal as boa

TWO = Catalogue("Boa", (gene("Ash"), gene("Bark", DOMINANT)), SexChromosomes.XY)


def goal(label, known=BOA):
    return Goal(label, "Boa", read_label(label, known), 1.0)


def test_goal_chances__double_hets_give_a_double_visual_in_one_of_sixteen():
    """Mendel 1866: the doubly recessive class of a dihybrid F2 is 1/16."""
    found = pairs_of(
        book(boa("D", "F", "het Ash Fog"), boa("S", "M", "het Ash Fog")),
        goals=[("Both", "Ash Fog", 1)],
        litter=8,
    )
    (option,) = found.options.to_dict("records")
    assert option["goal_probability"] == pytest.approx(1 / 16)
    assert option["goal_by_litter"] == pytest.approx(1 - (15 / 16) ** 8)


def test_goal_chances__littermates_share_a_possible_het():
    """A 50 % het on a visual: a litter has the visual with half of 1 - (1/2)^n, far from 1 - (3/4)^n."""
    found = pairs_of(
        book(boa("D", "F", "50% het Ash"), boa("S", "M", "Ash")), goals=[("Ash", "Ash", 1)], litter=4
    )
    (option,) = found.options.to_dict("records")
    assert option["goal_probability"] == pytest.approx(1 / 4)
    assert option["goal_by_litter"] == pytest.approx(0.5 * (1 - 0.5**4))


@pytest.mark.parametrize(("system", "dam", "sire"), [("XY", "Frost", "normal"), ("ZW", "normal", "Frost")])
def test_goal_chances__counts_the_sexes_as_they_live(system, dam, sire):
    """A sex-linked gene lethal without a wild type: of four zygotes, het and normal of one sex and normal of the other
    live (counted by hand), so a third of the live young show it, not half of half."""
    genes = gene("Frost", INCOMPLETE, sex_linked=True, lethal=True), gene("Fog")
    known = Catalogue("Boa", genes, SexChromosomes(system))
    found = pairs_of(
        book(boa("D", "F", f"{dam}, het Fog", known=known), boa("S", "M", f"{sire}, het Fog", known=known), known=known),
        goals=[("Frost", "Frost", 1), ("Fog", "Fog", 2)],
        litter=4,
    )  # fmt: skip
    (option,) = found.options.to_dict("records")
    assert option["goal_probability"] == pytest.approx(1 / 3)
    assert option["goal_by_litter"] == pytest.approx(1 - (2 / 3) ** 4)
    shares = found.outcomes.groupby("label")["probability"].sum()
    assert shares[[label for label in shares.index if "Frost" in label]].sum() == pytest.approx(1 / 3)


def test_nearness__a_triple_het_is_nearer_a_triple_visual_than_two_of_three():
    groups, aim = Groups.of(BOA), goal("Ash Fog Moss")
    wanted = wanted_copies(aim, BOA.loci)
    assert wanted == {"Ash": 2, "Fog": 2, "Moss": 2}

    def near(*copies):
        states = [((0,), (0,)), ((0,), (1,)), ((1,), (1,))]
        places = [
            space.states[space.kind("F")].index(states[n])
            for space, n in zip(groups.spaces, copies, strict=False)
        ]
        return sum(
            nearness(wanted, space, space.kind("F"))[i]
            for space, i in zip(groups.spaces, places, strict=False)
        )

    assert [near(1, 1, 1), near(2, 2, 0), near(2, 2, 2)] == pytest.approx([0.75, 2 / 3, 1])


def test_goal_chances__two_visuals_give_young_nearer_than_both():
    found = pairs_of(book(boa("D", "F", "Ash"), boa("S", "M", "Fog")), goals=[("Both", "Ash Fog", 1)])
    (option,) = found.options.to_dict("records")
    assert option["goal_probability"] == pytest.approx(0)
    assert option["nearer_probability"] == pytest.approx(1)
    assert option["goal_points"] == pytest.approx(30)
    assert "Toward Both: 100 % of young nearer than both parents (+30)" in option["why"]


@given(data=st.data())
@settings(max_examples=30, deadline=None)
def test_goal_chances__equal_the_enumeration_of_litters(data):
    groups, aim = Groups.of(TWO), goal(data.draw(st.sampled_from(["Ash", "Ash Bark", "het Ash, Bark"])), TWO)
    tables = []
    for space in groups.spaces:
        size = len(space.states[space.kind("F")])
        weights = np.array(
            [[data.draw(st.integers(0, 3)) for _ in range(size)] for _ in range(size)], dtype=float
        )
        weights[0, -1] += 1
        tables.append(weights / weights.sum())
    young = data.draw(st.integers(1, 3))
    found = goal_chances(aim, groups, Joint(tuple(t[None] for t in tables), 1), young)
    one, litter = enumerated(aim, groups, tables, young)
    assert [found.one[0], found.litter[0]] == pytest.approx([one, litter])


def enumerated(aim, groups, tables, young):
    """Every couple of genotypes, and every litter of it, hit or miss."""
    hit = [space.trio(space.kind("F")) @ reached(aim, space, space.kind("F")) for space in groups.spaces]
    one = litter = 0.0
    for cells in product(*(list(np.ndindex(t.shape)) for t in tables)):
        weight = np.prod([t[cell] for t, cell in zip(tables, cells, strict=True)])
        q = np.prod([h[cell] for h, cell in zip(hit, cells, strict=True)])
        one += weight * q
        for outcome in product((True, False), repeat=young):
            if any(outcome):
                litter += weight * np.prod([q if got else 1 - q for got in outcome])
    return one, litter


def test_goal_chances__a_grid_is_all_pairs_dam_by_dam():
    groups, aim = Groups.of(TWO), goal("Ash", TWO)
    states = np.eye(3)
    plain = np.array([[1.0, 0, 0]])
    dams = Side(("N", "H"), (states[:2], np.repeat(plain, 2, axis=0)))
    sires = Side(("H", "A"), (states[1:], np.repeat(plain, 2, axis=0)))
    assert goal_chances(aim, groups, Grid(dams, sires), 1).one.tolist() == pytest.approx([0, 0, 0.25, 0.5])
