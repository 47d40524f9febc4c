"""Young of pairs against gametes counted one by one, and against the exact crosses of single pairs."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import product
from math import prod

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pipeline.findings.pairs.couples import Grid, Side
from pipeline.findings.pairs.outcomes import LEAST, outcomes
from pipeline.findings.pairs.spaces import Groups
from pipeline.genetics.carriers.odds import trade_label
from pipeline.genetics.crosses import Parent, cross, gametes, viable
from pipeline.genetics.genes import Catalogue, Inheritance, SexChromosomes
from pipeline.genetics.label_claims import canonical
from pipeline.genetics.labels import write_label
from pipeline.genetics.statements import Carried, Shown, Statement
from tests.findings.pair_books import DOMINANT, INCOMPLETE, book, gene, pairs_of
from tests.findings.pair_books import animal as boa
from tests.genetics.catalogues import catalogues

CLAIM = {"100% het": Fraction(1), "66% het": Fraction(2, 3), "50% het": Fraction(1, 2)}


def side(groups, sex, odds):
    """One animal from odds by group: {state: probability}."""
    rows = [
        np.array([float(own.get(state, 0)) for state in space.states[space.kind(sex)]])
        for space, own in zip(groups.spaces, odds, strict=True)
    ]
    return Side(("X",), tuple(row[None] for row in rows))


@st.composite
def species(draw, **wanted):
    """Up to three loci; at most nine haplotypes a linkage group, so that counting them is quick."""
    known = draw(catalogues(loci=3, **wanted))
    assume(all(prod(len(locus.genes) + 1 for locus in group.loci) <= 9 for group in known.groups))
    return Groups.of(known)


@st.composite
def parents(draw, groups, sex):
    """A parent of certain genotype."""
    return tuple({draw(st.sampled_from(space.states[space.kind(sex)])): 1} for space in groups.spaces)


def counted(groups, dam, sire):
    """Shares of live young by sex and diplotypes: every gamete of either parent with every one of the other."""
    catalogue, young = groups.catalogue, {"F": Counter({(): Fraction(1)}), "M": Counter({(): Fraction(1)})}
    for group, own, theirs in zip(catalogue.groups, dam, sire, strict=True):
        (mother,), (father,) = own, theirs
        for sex, before in young.items():
            here = Counter()
            for (egg, p), (sperm, q) in product(
                gametes(mother, group).items(), gametes(father, group).items()
            ):
                single = catalogue.single_copy(group, sex)
                zygote = ((egg,) if sex == "M" else (sperm,)) if single else tuple(sorted((egg, sperm)))
                here[zygote] += p * q * viable(zygote, group)
            young[sex] = Counter(
                {(*old, new): w * v for (old, w), (new, v) in product(before.items(), here.items())}
            )
    whole = sum(sum(shares.values()) for shares in young.values())
    return (
        {(sex, key): w / whole for sex, shares in young.items() for key, w in shares.items()} if whole else {}
    )


def probabilities(groups, found):
    """Share of young by sex (None where it makes no difference) and label, the copies of dominant genes left unsaid."""
    shares = Counter()
    for s, n, p in zip(found.sex, found.label, found.probability, strict=True):
        said = uncounted(found.labels[n], groups.catalogue)
        shares[groups.sexes[s], write_label(said, groups.catalogue)] += p
    return shares


def uncounted(statement, catalogue):
    """Without the copies of dominant genes: a plan calls two what has two with 94.5 %, a cross only what is sure to."""
    unseen = {own.name for own in catalogue.genes if own.inheritance is Inheritance.DOMINANT}
    shows = tuple(Shown(own.gene, None if own.gene in unseen else own.copies) for own in statement.shows)
    return replace(statement, shows=shows)


def claimed(statement, catalogue):
    """A statement with its odds as the trade may write them."""
    steps = [(c.gene, trade_label(float(c.probability) + 1e-9)) for c in statement.carries]
    carries = tuple(Carried(name, CLAIM[words]) for name, words in steps if words)
    said = canonical(Statement(statement.shows, carries), catalogue)
    return write_label(uncounted(said, catalogue), catalogue)


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_outcomes__have_the_looks_that_gametes_counted_one_by_one_give(data):
    groups = data.draw(species())
    dam, sire = (data.draw(parents(groups, sex)) for sex in ("F", "M"))
    expected = Counter()
    for (sex, young), share in counted(groups, dam, sire).items():
        looks = tuple(
            locus.appearance(tuple(sorted(strand[i] for strand in diplotype)))
            for group, diplotype in zip(groups.catalogue.groups, young, strict=True)
            for i, locus in enumerate(group.loci)
        )
        expected[(sex if groups.sexes != (None,) else None, looks)] += share
    found = outcomes(groups, Grid(side(groups, "F", dam), side(groups, "M", sire)))
    kept = sorted(float(share) for share in expected.values() if share >= LEAST)
    assert sorted(by_look(found)) == pytest.approx(kept)


def test_outcomes__two_sex_linked_lethal_genes_shift_the_sexes_together():
    """By hand: of a dam het at both every fourth son lives and every daughter; so one in five is a son."""
    genes = [replace(gene(name), lethal=True, sex_linked=True) for name in ("Ash", "Fog")]
    groups = Groups.of(Catalogue("Boa", tuple(genes), SexChromosomes.XY))
    dam, sire = [{((0,), (1,)): 1}] * 2, [{((0,),): 1}] * 2
    found = outcomes(groups, Grid(side(groups, "F", dam), side(groups, "M", sire)))
    assert Counter(dict(zip(found.sex.tolist(), found.probability.tolist(), strict=True))) == pytest.approx(
        {groups.sexes.index("F"): 0.8, groups.sexes.index("M"): 0.2}
    )


def by_look(found):
    return found.probability.tolist()


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_outcomes__of_parents_known_in_odds_are_those_of_the_exact_cross(data):
    """Catalogues without lethal genes: the cross rescales the mixture, outcomes each couple."""
    groups = data.draw(species(lethal=False))
    odds = {}
    for sex in ("F", "M"):
        states = [space.states[space.kind(sex)] for space in groups.spaces]
        picked = [
            data.draw(st.lists(st.sampled_from(own), min_size=1, max_size=3, unique=True)) for own in states
        ]
        odds[sex] = tuple({state: Fraction(1, len(own)) for state in own} for own in picked)
    exact = cross(Parent("F", odds["F"]), Parent("M", odds["M"]), groups.catalogue)
    expected = Counter()
    for sex in groups.sexes:
        for entry in exact.classes():
            if entry.sex in (sex, None) or sex is None:
                half = Fraction(1, 2) if entry.sex is None and sex else Fraction(1)
                expected[sex, claimed(entry.statement, groups.catalogue)] += entry.probability * half
    found = probabilities(
        groups, outcomes(groups, Grid(side(groups, "F", odds["F"]), side(groups, "M", odds["M"])))
    )
    assert sum(found.values()) == pytest.approx(1, abs=0.2)
    several = {key: float(p) for key, p in expected.items() if p >= 4 * LEAST}
    assert {key: found.get(key) for key in several} == pytest.approx(several, abs=4 * LEAST)


def test_outcomes__lethal_pairs_drop_out_and_the_rest_is_rescaled():
    found = pairs_of(book(boa("D", "F", "Frost"), boa("S", "M", "Frost")))
    shares = found.outcomes.set_index("label")["probability"]
    assert shares.to_dict() == pytest.approx({"Frost": 2 / 3, "Normal": 1 / 3})
    (option,) = found.options.to_dict("records")
    assert option["lost"] == pytest.approx(0.25)
    assert "25 % of what is conceived dies" in option["cautions"]
    assert "Frost: Two copies die." in option["cautions"]
    assert option["lost_points"] == pytest.approx(-25)


def test_outcomes__a_possible_het_is_a_mixture():
    found = pairs_of(book(boa("D", "F", "66% het Ash"), boa("S", "M", "Ash")))
    shares = found.outcomes.set_index("label")["probability"]
    assert shares.to_dict() == pytest.approx({"Normal, het Ash": 2 / 3, "Ash": 1 / 3}, abs=0.005)


def test_cautions__a_lethal_gene_is_a_matter_of_both_parents():
    """Frost on Frost: a quarter dies (1:2:1). On a normal only a misread label could bring the second copy."""
    herd = book(
        boa("D1", "F", "Frost"), boa("D2", "F", "normal"), boa("S", "M", "Frost"), background_carrier=0.01, misread=0.01
    )  # fmt: skip
    said = pairs_of(herd).options.set_index("dam")
    assert said["lost"]["D1"] == pytest.approx(0.25, abs=0.01) and 0 < said["lost"]["D2"] < 0.001
    assert ["Two lethal copies can meet" in said["cautions"][dam] for dam in ("D1", "D2")] == [True, False]


def test_outcomes__sexes_stand_apart_where_a_gene_is_sex_linked():
    """XY: a recessive father gives it to no son, and to every daughter unseen; the mother's sons show hers."""
    known = Catalogue("Boa", (gene("Fog", sex_linked=True),), SexChromosomes.XY)
    found = pairs_of(
        book(boa("D", "F", "het Fog", known=known), boa("S", "M", "normal", known=known), known=known)
    )
    rows = found.outcomes.set_index(["sex", "label"])["probability"].to_dict()
    assert rows == pytest.approx(
        {("F", "Normal, 50% het Fog"): 0.5, ("M", "Normal"): 0.25, ("M", "Fog"): 0.25}
    )


def test_outcomes__probabilities_of_a_pair_add_up_to_one():
    label = "het Ash, het Fog, het Moss, Bark, Ember"
    found = pairs_of(book(boa("D", "F", label), boa("S", "M", label), background_carrier=0.02))
    assert found.outcomes["probability"].sum() == pytest.approx(1)
    assert (found.outcomes["label"] == "rarer labels").sum() == 1


def test_cross__agrees_on_a_pair_none_of_whose_young_live():
    known = Catalogue(
        "Boa",
        (gene("Ember", INCOMPLETE, lethal=True, sex_linked=True), gene("Bark", DOMINANT)),
        SexChromosomes.XY,
    )
    groups = Groups.of(known)
    ember, bark = ({((0,), (1,)): 1}, {((0,), (0,)): 1})
    found = outcomes(groups, Grid(side(groups, "F", (ember, bark)), side(groups, "M", ({((0,),): 1}, bark))))
    exact = cross(Parent("F", (ember, bark)), Parent("M", ({((0,),): 1}, bark)), known)
    assert found.lost[0] == pytest.approx(float(exact.lost))
    assert found.probability.sum() == pytest.approx(1)
