"""Genes, loci and linkage groups."""

import pytest

from pipeline.genetics.genes import WILD_TYPE, Locus, SexChromosomes
from tests.genetics.catalogues import BOAS, catalogue, gene


def locus(*genes) -> Locus:
    return Locus("Place", genes)


@pytest.mark.parametrize(
    ("inheritance", "one", "two"),
    [
        ("recessive", WILD_TYPE, ("Ash",)),
        ("dominant", ("Ash",), ("Ash",)),
        ("incomplete dominant", ("Ash",), ("Super Ash",)),
    ],
)
def test_appearance__one_and_two_copies(inheritance: str, one: tuple, two: tuple) -> None:
    ash = locus(gene("Ash", inheritance))
    assert [ash.appearance(g) for g in ash.genotypes()] == [WILD_TYPE, one, two]


@pytest.mark.parametrize(
    ("ranks", "both"),
    [
        ((1, 2), ("Ash",)),
        ((2, 1), ("Bole",)),
        ((1, 1), ("Ash", "Bole")),
        ((None, 2), ("Ash", "Bole")),
        ((None, None), ("Ash", "Bole")),
    ],
)
def test_appearance__of_two_variants_the_lower_rank_shows(ranks: tuple, both: tuple) -> None:
    pair = locus(gene("Ash", rank=ranks[0]), gene("Bole", "incomplete dominant", rank=ranks[1]))
    assert pair.appearance((1, 2)) == both


@pytest.mark.parametrize("inheritance", ["recessive", "dominant", "incomplete dominant"])
def test_appearance__a_single_copy_without_a_partner_shows_as_one(inheritance: str) -> None:
    ash = locus(gene("Ash", inheritance, sex_linked=True))
    assert ash.appearance((1,)) == ("Ash",)
    assert ash.appearance((0,)) == WILD_TYPE


def test_viable__two_lethal_copies_or_a_single_one_without_a_partner_die() -> None:
    ash = locus(gene("Ash", lethal=True), gene("Bole"))
    dying = [g for g in ash.genotypes() + ash.genotypes(single_copy=True) if not ash.viable(g)]
    assert dying == [(1, 1), (1,)]


def test_allele__numbers_genes_from_one_and_refuses_strangers() -> None:
    pair = locus(gene("Ash"), gene("Bole"))
    assert (pair.allele("Ash"), pair.allele("Bole")) == (1, 2)
    with pytest.raises(ValueError, match="not in list"):
        pair.allele("Char")


def test_loci__alleles_share_one_and_line_bred_genes_have_none() -> None:
    assert [place.name for place in BOAS.loci] == ["Motley", "Hypo", "Albino", "Anery", "Jungle", "Caramel"]
    assert BOAS.locus_of["T- Caramel"] is BOAS.locus_of["T+ Caramel"]
    assert "Redline" not in BOAS.locus_of


def test_groups__links_by_gene_or_by_locus_name_make_one_group() -> None:
    known = catalogue(
        gene("Ash", locus="A"),
        gene("Bole"),
        gene("Char", linked_locus="A", recombination=0.1),
        gene("Dusk", linked_locus="Char", recombination=0.2),
    )
    assert [group.name for group in known.groups] == ["A + Char + Dusk", "Bole"]
    assert known.groups[0].links == ((1, 0, 0.1), (2, 1, 0.2))


def test_groups__a_ring_of_links_loses_the_last_one() -> None:
    known = catalogue(
        gene("Ash", linked_locus="Bole", recombination=0.1),
        gene("Bole", linked_locus="Char", recombination=0.2),
        gene("Char", linked_locus="Ash", recombination=0.3),
    )
    assert known.groups[0].links == ((0, 1, 0.1), (1, 2, 0.2))


def test_groups__a_link_to_nothing_known_is_no_link() -> None:
    assert len(catalogue(gene("Ash", linked_locus="Gone", recombination=0.1), gene("Bole")).groups) == 2


@pytest.mark.parametrize(("chromosomes", "single"), [("XY", "M"), ("ZW", "F"), ("unknown", None)])
def test_single_copy__follows_the_sex_chromosomes(chromosomes: str, single: str | None) -> None:
    known = catalogue(gene("Ash", sex_linked=True), gene("Bole"), chromosomes=chromosomes)
    assert SexChromosomes(chromosomes).single_copy_sex == single
    assert [sex for sex in "FM" if known.single_copy(known.loci[0], sex)] == ([single] if single else [])
    assert not any(known.single_copy(known.loci[1], sex) for sex in ("F", "M", None))


def test_single_copy__what_is_linked_to_a_sex_linked_gene_is_on_its_chromosome() -> None:
    known = catalogue(
        gene("Ash", sex_linked=True), gene("Bole", linked_locus="Ash", recombination=0.1), chromosomes="XY"
    )
    assert known.single_copy(known.locus_of["Bole"], "M")
    assert known.single_copy(known.groups[0], "M")
