"""Crosses against published ratios, and against counting every gamete."""

from collections import defaultdict
from fractions import Fraction
from itertools import product
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.genetics.crosses import Cross, CrossError, Parent, cross, diplotypes, gametes, parent_from
from pipeline.genetics.genes import Catalogue, LinkageGroup
from pipeline.genetics.labels import read_label, write_label
from tests.genetics.catalogues import BOAS, catalogue, catalogues, gene, looks_of

HALF, QUARTER = Fraction(1, 2), Fraction(1, 4)


def crossed(dam: str, sire: str, known: Catalogue) -> Cross:
    parents = [parent_from(read_label(text, known), sex, known) for text, sex in ((dam, "F"), (sire, "M"))]
    return cross(*parents, known)


def ratio(found: Cross) -> dict[tuple, Fraction]:
    """Share of each class by what shows, the sex first where the sexes differ."""
    return {
        ((entry.sex,) if entry.sex else ()) + looks_of(entry.looks): entry.probability
        for entry in found.classes()
    }


def parts(found: Cross, *looks: tuple) -> list[int]:
    """The shares of these looks as the whole numbers of a ratio."""
    shares = ratio(found)
    whole = min(shares[look] for look in looks)
    while any((shares[look] / whole).denominator > 1 for look in looks):
        whole /= 2
    return [int(shares[look] / whole) for look in looks]


def test_cross__mendel_1866_one_two_and_three_traits() -> None:
    """3:1, 9:3:3:1 and 27:9:9:9:3:3:3:1 (Mendel 1866, in Bateson 1902, Mendel's Principles of Heredity)."""
    peas = catalogue(gene("wrinkled"), gene("green"), gene("white"))
    assert parts(crossed("het wrinkled", "het wrinkled", peas), (), ("wrinkled",)) == [3, 1]
    two = crossed("het wrinkled green", "het wrinkled green", peas)
    assert parts(two, (), ("wrinkled",), ("green",), ("wrinkled", "green")) == [9, 3, 3, 1]
    three = ratio(crossed("het wrinkled green white", "het wrinkled green white", peas))
    assert sorted((share * 64 for share in three.values()), reverse=True) == [27, 9, 9, 9, 3, 3, 3, 1]


def test_cross__mendel_1866_test_cross_of_two_traits() -> None:
    peas = catalogue(gene("wrinkled"), gene("green"))
    found = crossed("het wrinkled green", "wrinkled green", peas)
    assert set(ratio(found).values()) == {QUARTER}
    assert len(ratio(found)) == 4


def test_cross__two_thirds_of_the_plain_young_of_two_hets_carry() -> None:
    """2:1 among dominants: Mendel 1866, experiments 1 to 7."""
    plain, albino = crossed("het Albino", "het Albino", BOAS).classes()
    assert write_label(plain.statement, BOAS) == "Normal, 66% het Albino"
    assert plain.statement.carries[0].probability == Fraction(2, 3)
    assert (write_label(albino.statement, BOAS), albino.probability) == ("Albino", QUARTER)


def test_cross__blue_fowl_one_black_two_blue_one_splashed() -> None:
    """1:2:1 without dominance: Punnett 1911, Mendelism, p. 70."""
    fowl = catalogue(gene("blue", "incomplete dominant", two_copies_name="splashed"))
    assert parts(crossed("blue", "blue", fowl), (), ("blue",), ("splashed",)) == [1, 2, 1]


def test_cross__yellow_mice_two_to_one() -> None:
    """2:1 where two copies die: Castle & Little 1910, Science 32:868 (from memory)."""
    mice = catalogue(gene("yellow", "dominant", lethal=True))
    found = crossed("het yellow", "het yellow", mice)
    assert ratio(found) == {("yellow",): Fraction(2, 3), (): Fraction(1, 3)}
    assert found.lost == QUARTER


@pytest.mark.parametrize(
    ("rate", "numbers"),
    [(4, (41, 7, 7, 9)), (8, (177, 15, 15, 49)), (16, (737, 31, 31, 225)), (32, (3009, 63, 63, 961)), (64, (12161, 127, 127, 3969))],
)  # fmt: skip
def test_cross__punnett_1911_gamete_series_in_coupling(rate: int, numbers: tuple) -> None:
    """F2 of gametes n-1:1:1:n-1 (Punnett 1911, Mendelism, table p. 98).

    The first line is the one that sums to 64; rates of 1/4 to 1/64 are exact decimals.
    """
    pea = catalogue(gene("a"), gene("b", linked_locus="a", recombination=1 / rate))
    dam, sire = (Parent(sex, ({((0, 0), (1, 1)): Fraction(1)},)) for sex in ("F", "M"))
    found = ratio(cross(dam, sire, pea))
    assert tuple(found[look] * sum(numbers) for look in ((), ("a",), ("b",), ("a", "b"))) == numbers


def test_cross__complete_repulsion_gives_one_two_one_and_no_double() -> None:
    """Punnett 1911, Mendelism, pp. 90-93."""
    pea = catalogue(gene("a"), gene("b", linked_locus="a", recombination=0.0))
    dam, sire = (Parent(sex, ({((0, 1), (1, 0)): Fraction(1)},)) for sex in ("F", "M"))
    assert ratio(cross(dam, sire, pea)) == {(): HALF, ("a",): QUARTER, ("b",): QUARTER}


def test_cross__an_unknown_phase_is_both_phases_alike() -> None:
    pea = catalogue(gene("a"), gene("b", linked_locus="a", recombination=0.1))
    found = ratio(crossed("het a b", "a b", pea))
    assert set(found.values()) == {QUARTER}


FOWL = catalogue(gene("barred", "dominant", sex_linked=True), chromosomes="ZW")


def test_cross__barred_male_on_black_female_bars_all_and_then_half_the_daughters() -> None:
    """Morgan 1916, A Critique of the Theory of Evolution, Figs. 39-40."""
    first = crossed("normal", "super barred", FOWL)
    assert ratio(first) == {("barred",): 1}
    second = crossed("barred", "het barred", FOWL)
    assert ratio(second) == {("F",): QUARTER, ("F", "barred"): QUARTER, ("M", "barred"): HALF}


def test_cross__the_reciprocal_crosses_over() -> None:
    """Black male on barred female: barred sons, black daughters, then 1:1 in both sexes (Morgan 1916, Fig. 40)."""
    assert ratio(crossed("barred", "normal", FOWL)) == {("F",): HALF, ("M", "barred"): HALF}
    assert ratio(crossed("normal", "het barred", FOWL)) == {(): HALF, ("barred",): HALF}


def test_cross__a_sex_linked_lethal_leaves_two_daughters_to_one_son() -> None:
    """Half the sons die: Morgan & Bridges 1916, Sex-linked Inheritance in Drosophila, p. 32."""
    flies = catalogue(gene("lethal 1", sex_linked=True, lethal=True), chromosomes="XY")
    found = crossed("het lethal 1", "normal", flies)
    assert found.sexes == {"F": Fraction(2, 3), "M": Fraction(1, 3)}
    assert ratio(found) == {("F",): Fraction(2, 3), ("M",): Fraction(1, 3)}
    assert found.lost == QUARTER
    assert write_label(found.classes()[0].statement, flies) == "Normal, 50% het lethal 1"


def test_cross__where_all_young_of_one_sex_die_the_others_are_all_that_live() -> None:
    """A dam with two different lethal alleles: no son lives, each daughter carries one of them."""
    flies = catalogue(
        gene("lethal 1", locus="l", sex_linked=True, lethal=True),
        gene("lethal 2", locus="l", sex_linked=True, lethal=True),
        chromosomes="XY",
    )
    dam = Parent("F", ({((1,), (2,)): Fraction(1)},))
    found = cross(dam, parent_from(read_label("normal", flies), "M", flies), flies)
    assert found.sexes == {"F": Fraction(1), "M": Fraction(0)}
    assert (found.lost, ratio(found)) == (HALF, {("F",): Fraction(1)})


def test_cross__sex_linked_recessive_criss_cross_under_xy() -> None:
    """White-eyed female by red male: red daughters, white sons (Morgan 1916)."""
    flies = catalogue(gene("white", sex_linked=True), chromosomes="XY")
    assert ratio(crossed("white", "normal", flies)) == {("F",): HALF, ("M", "white"): HALF}


def test_cross__compounds_of_an_allelic_series_show_both() -> None:
    found = crossed("T+ Caramel", "T- Caramel", BOAS)
    assert ratio(found) == {("T+ Caramel", "T- Caramel"): 1}
    second = crossed("T+ Caramel T- Caramel", "T+ Caramel T- Caramel", BOAS)
    assert parts(second, ("T+ Caramel",), ("T+ Caramel", "T- Caramel"), ("T- Caramel",)) == [1, 2, 1]


def test_cross__dominance_rank_hides_an_allele_behind_another() -> None:
    """Three alleles ranked, each recessive to those above: 3:1 of the upper two (from memory: rabbit coat colour)."""
    series = catalogue(
        *(
            gene(name, "recessive", locus="C", rank=rank)
            for rank, name in enumerate(("Chin", "Himal", "Albin"), 1)
        )
    )
    found = crossed("Chin het Albin", "Chin het Albin", series)
    assert ratio(found) == {("Chin",): Fraction(3, 4), ("Albin",): QUARTER}
    assert write_label(found.classes()[0].statement, series) == "Chin, 66% het Albin"


def test_cross__possible_hets_mix() -> None:
    found = ratio(crossed("66% het Albino", "het Albino", BOAS))
    assert found["Albino",] == Fraction(2, 3) * QUARTER


def test_cross__eight_loci_are_exact_and_quick() -> None:
    start = process_time()
    names = [f"G{i}" for i in range(8)]
    known = catalogue(*(gene(name, "incomplete dominant") for name in names))
    classes = crossed(" ".join(names), " ".join(names), known).classes()
    assert len(classes) == 3**8
    assert sum(entry.probability for entry in classes) == 1
    assert process_time() - start < 1


def test_classes__the_likeliest_of_millions_without_listing_them() -> None:
    names = [f"G{i}" for i in range(14)]
    known = catalogue(*(gene(name, "incomplete dominant") for name in names))
    found = crossed(" ".join(names), " ".join(names), known)
    assert found.number_of_classes() == 3**14
    best = found.classes(most=15)
    assert [entry.probability for entry in best] == [HALF**14] + [HALF**15] * 14


@pytest.mark.parametrize(
    ("dam", "sire", "message"),
    [
        ("het white", "het white", "no male can be what the label says at white"),
        (
            "super yellow",
            "super yellow",
            "no young of this pair can live: every one would have a lethal pair at yellow",
        ),
    ],
)
def test_cross__refuses(dam: str, sire: str, message: str) -> None:
    flies = catalogue(
        gene("white", sex_linked=True), gene("yellow", "dominant", lethal=True), chromosomes="XY"
    )
    with pytest.raises(CrossError, match=message):
        crossed(dam, sire, flies)


def test_cross__needs_a_female_and_a_male() -> None:
    male = parent_from(read_label("Albino", BOAS), "M", BOAS)
    with pytest.raises(CrossError, match="needs a female as the dam and a male as the sire"):
        cross(male, male, BOAS)


@st.composite
def parents(draw: st.DrawFn, known: Catalogue) -> tuple[Parent, Parent]:
    """A dam and a sire, each of one or two possible diplotypes a group."""

    def group_of(group: LinkageGroup, sex: str) -> dict:
        single = known.single_copy(group, sex)
        options = {}
        for _ in range(draw(st.integers(1, 2))):
            own = {
                place.name: draw(st.sampled_from(place.genotypes(single_copy=single))) for place in group.loci
            }
            options[draw(st.sampled_from(sorted(diplotypes(own, group))))] = Fraction(1)
        return {diplotype: weight / len(options) for diplotype, weight in options.items()}

    return tuple(Parent(sex, tuple(group_of(group, sex) for group in known.groups)) for sex in ("F", "M"))


def by_events(diplotype: tuple, group: LinkageGroup) -> dict[tuple, Fraction]:
    """Gametes counted by events: the strand at the first locus, and for each link whether it changes strand."""
    if len(diplotype) == 1:
        return {diplotype[0]: Fraction(1)}
    passed: dict[tuple, Fraction] = defaultdict(Fraction)
    for start, *changes in product((0, 1), repeat=1 + len(group.links)):
        strands, chance = {0: start}, HALF
        for _ in group.loci:
            for (a, b, rate), change in zip(group.links, changes, strict=True):
                for known, new in ((a, b), (b, a)):
                    if known in strands and new not in strands:
                        strands[new] = strands[known] ^ change
                        chance *= Fraction(str(rate)) if change else 1 - Fraction(str(rate))
        passed[tuple(diplotype[strands[i]][i] for i in range(len(group.loci)))] += chance
    return passed


def counted(dam: Parent, sire: Parent, known: Catalogue) -> dict[tuple, Fraction]:
    """Shares of (sex, looks) by going through every zygote of every group, dead ones dropped at the end."""
    total: dict[tuple, Fraction] = defaultdict(Fraction)
    for sex in ("F", "M"):
        sums = {(): HALF}
        for group, mothers, fathers in zip(known.groups, dam.groups, sire.groups, strict=True):
            longer: dict[tuple, Fraction] = defaultdict(Fraction)
            for (mother, p), (father, q) in product(mothers.items(), fathers.items()):
                for (egg, r), (sperm, s) in product(
                    by_events(mother, group).items(), by_events(father, group).items()
                ):
                    zygote = [egg, sperm]
                    if group.sex_linked and known.sex_chromosomes.value == {"F": "ZW", "M": "XY"}[sex]:
                        zygote = [sperm] if sex == "F" else [egg]
                    genotypes = [
                        tuple(sorted(strand[i] for strand in zygote)) for i in range(len(group.loci))
                    ]
                    if all(place.viable(own) for place, own in zip(group.loci, genotypes, strict=True)):
                        looks = tuple(
                            (pl.name, pl.appearance(own))
                            for pl, own in zip(group.loci, genotypes, strict=True)
                        )
                        for before, share in sums.items():
                            longer[before + looks] += share * p * q * r * s
            sums = longer
        for looks, share in sums.items():
            total[sex, frozenset(looks)] += share
    return total


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_cross__equals_counting_every_gamete(data: st.DataObject) -> None:
    known = data.draw(catalogues(loci=3))
    dam, sire = data.draw(parents(known))
    expected = counted(dam, sire, known)
    alive = sum(expected.values())
    if not alive:
        with pytest.raises(CrossError, match="no young of this pair can live"):
            cross(dam, sire, known)
        return
    found = cross(dam, sire, known)
    assert found.lost == 1 - alive
    shares: dict[tuple, Fraction] = defaultdict(Fraction)
    for entry in found.classes():
        for sex in [entry.sex] if entry.sex else "FM":
            shares[sex, frozenset(entry.looks.items())] += entry.probability / (1 if entry.sex else 2)
    assert shares == {key: value / alive for key, value in expected.items() if value}


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_gametes__equal_counting_by_events(data: st.DataObject) -> None:
    known = data.draw(catalogues(loci=4))
    dam, _ = data.draw(parents(known))
    for group, weights in zip(known.groups, dam.groups, strict=True):
        for diplotype in weights:
            assert gametes(diplotype, group) == {h: p for h, p in by_events(diplotype, group).items() if p}


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_classes__a_cut_list_is_the_head_of_the_whole(data: st.DataObject) -> None:
    known = data.draw(catalogues(loci=3, lethal=False))
    found = cross(*data.draw(parents(known)), known)
    whole = found.classes()
    assert len(whole) == found.number_of_classes()
    assert [e.probability for e in found.classes(most=3)] == [e.probability for e in whole[:3]]
    assert sum(entry.probability for entry in whole) == 1
