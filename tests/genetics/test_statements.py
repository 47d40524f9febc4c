"""What a label means at a locus."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.genetics.genes import Locus
from pipeline.genetics.labels import read_label
from pipeline.genetics.looks import look_statement
from pipeline.genetics.statements import Carried, Statement, genotypes_at, shown_at
from tests.genetics.catalogues import BOAS, catalogue, catalogues, gene

ALBINO = BOAS.locus_of["Albino"]
CARAMEL = BOAS.locus_of["T+ Caramel"]


@pytest.mark.parametrize(
    ("text", "weights"),
    [
        ("normal", {(0, 0): 1}),
        ("Albino", {(1, 1): 1}),
        ("het Albino", {(0, 1): 1}),
        ("66% het Albino", {(0, 0): Fraction(1, 3), (0, 1): Fraction(2, 3)}),
        ("possible het Albino", {(0, 0): Fraction(1, 2), (0, 1): Fraction(1, 2)}),
        ("not Albino", {(0, 0): 1}),
    ],
)
def test_genotypes_at__a_recessive_gene(text: str, weights: dict) -> None:
    assert genotypes_at(read_label(text, BOAS), ALBINO) == weights


@pytest.mark.parametrize(
    ("text", "weights"),
    [
        ("Motley", {(0, 1): 1}),
        ("super Motley", {(1, 1): 1}),
        ("het Motley", {(0, 1): 1}),
    ],
)
def test_genotypes_at__an_incomplete_dominant_gene(text: str, weights: dict) -> None:
    assert genotypes_at(read_label(text, BOAS), BOAS.locus_of["Motley"]) == weights


def test_genotypes_at__one_or_two_of_a_dominant_as_the_background_weighs_them() -> None:
    hypo = BOAS.locus_of["Hypo"]
    q = Fraction(1, 100)  # allele frequency at a background of 2 %
    found = genotypes_at(read_label("Hypo", BOAS), hypo, background=2 * q)
    assert found == {
        (0, 1): 2 * q * (1 - q) / (2 * q * (1 - q) + q * q),
        (1, 1): q * q / (2 * q * (1 - q) + q * q),
    }
    assert genotypes_at(read_label("super Hypo", BOAS), hypo) == {(1, 1): 1}
    assert genotypes_at(read_label("het Hypo", BOAS), hypo) == {(0, 1): 1}


def test_genotypes_at__odds_of_two_alleles_exclude_each_other() -> None:
    claims = Statement(carries=(Carried("T+ Caramel", Fraction(1, 2)), Carried("T- Caramel", Fraction(1, 4))))
    assert genotypes_at(claims, CARAMEL) == {
        (0, 0): Fraction(1, 4),
        (0, 1): Fraction(1, 2),
        (0, 2): Fraction(1, 4),
    }
    unsaid = Statement(carries=(Carried("T+ Caramel", None), Carried("T- Caramel", None)))
    assert set(genotypes_at(unsaid, CARAMEL).values()) == {Fraction(1, 3)}


def test_genotypes_at__odds_of_a_covered_allele_hold_beside_a_dominant_of_unknown_copies() -> None:
    series = catalogue(gene("Ash", "dominant", locus="S", rank=1), gene("Bole", locus="S", rank=2))
    found = genotypes_at(read_label("Ash, 66% het Bole", series), series.loci[0])
    assert found[1, 2] == Fraction(2, 3)
    assert found[0, 1] + found[1, 1] == Fraction(1, 3)


def test_genotypes_at__compounds_show_both() -> None:
    assert genotypes_at(read_label("T+ Caramel T- Caramel", BOAS), CARAMEL) == {(1, 2): 1}


def test_genotypes_at__two_lethal_copies_only_where_nothing_else_is_left() -> None:
    deadly = catalogue(gene("Ash", "dominant", lethal=True))
    assert genotypes_at(read_label("Ash", deadly), deadly.loci[0]) == {(0, 1): 1}
    assert genotypes_at(read_label("super Ash", deadly), deadly.loci[0]) == {(1, 1): 1}


@pytest.mark.parametrize(("text", "weights"), [("Ash", {(1,): 1}), ("normal", {(0,): 1}), ("het Ash", {})])
def test_genotypes_at__a_single_copy_shows_and_never_hides(text: str, weights: dict) -> None:
    linked = catalogue(gene("Ash", sex_linked=True), chromosomes="XY")
    assert genotypes_at(read_label(text, linked), linked.loci[0], single_copy=True) == weights


def test_genotypes_at__empty_where_no_genotype_looks_so() -> None:
    both_het = read_label("het T+ Caramel, het T- Caramel", BOAS)
    assert genotypes_at(both_het, CARAMEL) == {}


def every_look(locus: Locus) -> dict[tuple, dict]:
    looks: dict[tuple, dict] = {}
    for genotype in locus.genotypes():
        looks.setdefault(locus.appearance(genotype), {})[genotype] = Fraction(1)
    return looks


@given(catalogues(lethal=False))
@settings(max_examples=150, deadline=None)
def test_genotypes_at__gives_back_what_look_statement_was_told(known) -> None:
    for locus in known.loci:
        for look, alike in every_look(locus).items():
            for genotype in alike:
                shows, carries = look_statement(locus, {genotype: Fraction(1)})
                statement = Statement(tuple(shows), tuple(carries))
                found = genotypes_at(statement, locus)
                assert shown_at(statement, locus) == look
                assert genotype in found and sum(found.values()) == 1
                assert set(found) <= set(alike)
                if all(s.copies or known.by_name[s.gene].inheritance != "dominant" for s in shows):
                    assert found == {genotype: 1}


@given(catalogues(lethal=False), st.sampled_from([Fraction(2, 3), Fraction(1, 2), Fraction(1, 7)]))
@settings(max_examples=100, deadline=None)
def test_genotypes_at__keeps_the_odds_of_what_hides(known, odds: Fraction) -> None:
    for locus in known.loci:
        for alike in every_look(locus).values():
            weights = (
                dict(zip(alike, (1 - odds, odds), strict=False))
                if len(alike) > 1
                else dict.fromkeys(alike, Fraction(1))
            )
            shows, carries = look_statement(locus, weights)
            found = genotypes_at(Statement(tuple(shows), tuple(carries)), locus)
            for claim in carries:
                assert sum(w for g, w in found.items() if locus.allele(claim.gene) in g) == claim.probability


def test_genes__are_those_that_show_hide_or_are_ruled_out_but_no_line() -> None:
    assert read_label("Motley, het Albino, not Anery, Redline", BOAS).genes() == {"Motley", "Albino", "Anery"}
