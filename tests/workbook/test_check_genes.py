"""The Genes and Morph names sheets, and labels that use them."""

import re
from datetime import date

import pytest

from pipeline.genetics.genes import Inheritance
from pipeline.problems import Severity
from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book

BOA = [{"species": "Boa", "sex_chromosomes": "XY"}]


def gene(name, inheritance="recessive", **more):
    return {"species": "Boa", "gene": name, "inheritance": inheritance} | more


def one(lines, pattern):
    """The only complaint, which the pattern fits."""
    assert len(lines) == 1, lines
    assert re.search(pattern, lines[0]), lines[0]


@pytest.mark.parametrize(
    ("genes", "pattern"),
    [
        ([gene("Normal")], r"error Genes B2: A gene can't be called 'Normal'"),
        ([gene("het Ash")], r"error Genes B2: A gene can't be called 'het Ash'"),
        ([gene("X")], r"error Genes B2: A gene can't be called 'X': .* Give the gene a name of its own, which does not begin with het"),
        ([gene("Ash", "incomplete dominant"), gene("Super Ash", "dominant")], r"error Genes B3: 'Super Ash' is what two copies of Ash \(row 2\)"),
        ([gene("Ash", also_written="Birch"), gene("Birch")], r"warning Genes C2: 'Birch', another spelling of Ash, is also the gene Birch"),
        ([gene("Ash", also_written="A1; het")], r"warning Genes C2: 'het', another spelling of Ash, is also a word that labels use"),
        ([gene("Ash", also_written="X1"), gene("Birch", also_written="x1")], r"warning Genes C3: 'x1', another .* another spelling of Ash \(row 2\)"),
        ([gene("Ash", "incomplete dominant", two_copies_name="Birch"), gene("Birch")], r"warning Genes G2: Two copies of Ash can't be called 'Birch'"),
        ([gene("A", "incomplete dominant", two_copies_name="Ivory"), gene("B", "incomplete dominant", two_copies_name="ivory")],
         r"warning Genes G3: Two copies of B can't be called 'ivory': that is what two copies of A"),
        ([gene("Ash", two_copies="lethal")], r"warning Genes H2: Ash is recessive and two copies are lethal"),
        ([gene("Ash", locus="A", dominance_rank=1.0), gene("Birch", locus="a")], r"warning Genes F3: Of the alleles of A, row 2 have a dominance rank and row 3"),
        ([gene("Ash", locus="A", sex_linked="yes"), gene("Birch", locus="A")], r"error Genes I3: Birch and Ash \(row 2\) are alleles of the locus A"),
    ],
)  # fmt: skip
def test_check_genes__says_what_is_wrong_with_a_row(complaints, genes, pattern):
    one(complaints(species=BOA, genes=genes), pattern)


def test_check_genes__sex_linked_gene_needs_sex_chromosomes_and_stays_readable(book_of):
    genes = [gene("Ash", sex_linked="yes"), gene("Birch")]
    animals = [{"id": "B1", "species": "Boa", "genes": "Ash Birch"}]
    result = checked(book_of(species=[{"species": "Boa"}], genes=genes, animals=animals), date(2025, 1, 1))
    one(
        [f"{p.message} {p.hint}" for p in result.problems],
        r"Ash is sex-linked, .*Write XY or ZW under 'Sex chromosomes' for Boa",
    )
    assert result.collection.catalogues["Boa"].by_name["Ash"].inheritance is Inheritance.LINE_BRED
    assert result.collection.animals["B1"].label.lines == ("Ash",)
    assert result.book.tables["genes"]["gene"].tolist() == ["Birch"]


def test_check_genes__a_slip_in_a_gene_s_row_is_told_once(make_book):
    """Not again by each label that has the gene, and what the labels say of other genes counts."""
    rows = [{"Species": "Boa", "Gene": "Ash", "Inheritance": "resesive"}, {"Species": "Boa", "Gene": "Birch", "Inheritance": None},
            {"Species": "Boa", "Gene": "Cedar", "Inheritance": "recessive"}]  # fmt: skip
    animals = [{"ID": f"B{n}", "Species": "Boa", "Genes": "Cedar, het Ash Birch"} for n in range(3)]
    result = checked(read_book(make_book({"Genes": rows, "Animals": animals})), date(2025, 1, 1))
    told = [(p.place.cell, p.message) for p in result.problems if p.severity is Severity.ERROR]
    assert told == [
        ("C2", "Inheritance 'resesive' is not a word of the list; until then the gene is read on labels but takes no part in ratios."),
        ("C3", "Inheritance is empty; until then the gene is read on labels but takes no part in ratios."),
    ]  # fmt: skip
    assert [animal.label.shows[0].gene for animal in result.collection.animals.values()] == ["Cedar"] * 3
    assert result.book.tables["genes"]["gene"].tolist() == ["Cedar"]


def test_check_genes__cells_without_effect_are_noted(book_of):
    genes = [
        gene("Ash", "line-bred", locus="A"),
        gene("Birch", two_copies_name="Super Birch"),
        gene("Cedar", dominance_rank=1.0),
    ]
    problems = checked(book_of(species=BOA, genes=genes), date(2025, 1, 1)).problems
    assert [(p.severity, p.place.cell) for p in problems] == [("note", "D2"), ("note", "G3"), ("note", "F4")]


@pytest.mark.parametrize(
    ("genes", "pattern"),
    [
        ([gene("A", linked_locus="B"), gene("B")], r"warning Genes K2: A is linked to B, but has no recombination; the link is not used"),
        ([gene("A", recombination=10.0)], r"warning Genes K2: A has a recombination, but names no linked locus"),
        ([gene("Ash", linked_locus="Brich", recombination=10.0), gene("Birch")], r"warning Genes J2: .*'Brich', which is no gene .*Did you mean 'Birch'"),
        ([gene("A", linked_locus="a", recombination=10.0)], r"warning Genes J2: A is linked to a, which is its own locus"),
        ([gene("A", sex_linked="yes", linked_locus="B", recombination=1.0), gene("B")], r"warning Genes J2: .*only one of the two is sex-linked"),
        ([gene("A", linked_locus="B", recombination=10.0), gene("B", linked_locus="A", recombination=20.0)], r"warning Genes K3: B is linked to A with 20 %, but row 2 says 10 %"),
        ([gene("A", linked_locus="B", recombination=1.0), gene("B", linked_locus="C", recombination=1.0), gene("C", linked_locus="A", recombination=1.0)],
         r"warning Genes J4: C is linked to A, which other links join to C already, so that they close a ring"),
    ],
)  # fmt: skip
def test_check_links__link_that_cannot_be_used_is_taken_off(complaints, genes, pattern):
    one(complaints(species=BOA, genes=genes), pattern)


def test_check_links__one_link_told_from_both_sides_is_sound(complaints):
    genes = [gene("A", linked_locus="B", recombination=10.0), gene("B", linked_locus="A", recombination=10.0)]
    assert complaints(species=BOA, genes=genes) == []


def morphs(**genes_by_name):
    return [{"species": "Boa", "name": name, "genes": genes} for name, genes in genes_by_name.items()]


@pytest.mark.parametrize(
    ("rows", "pattern"),
    [
        (morphs(Ash="Birch"), r"error Morph names B2: The morph name 'Ash' is also a name of the gene Ash"),
        (morphs(classic="Ash"), r"error Morph names B2: A morph can't be called 'classic'"),
        (
            morphs(Snow="Ash Brich"),
            r"error Morph names C2: .*'Snow' can't be read: 'Brich' is no gene.*Did you mean 'Birch'",
        ),
        (morphs(Snow="Snow Ash"), r"error Morph names C2: The morph name 'Snow' stands for 'Snow'"),
    ],
)
def test_check_morph_names__unusable_names_are_left_out(complaints, rows, pattern):
    one(complaints(species=BOA, genes=[gene("Ash"), gene("Birch")], morph_names=rows), pattern)


def test_check_morph_names__a_circle_names_its_members(complaints):
    lines = complaints(
        species=BOA, genes=[gene("Ash")], morph_names=morphs(Dusk="Dawn Ash", Dawn="Dusk", Noon="Ash")
    )
    assert [line[:28] for line in lines] == ["error Morph names C2: The mo", "error Morph names C3: The mo"]
    assert "'Dusk' stands for 'Dawn'" in lines[0]


def test_check_morph_names__one_may_stand_for_another_in_any_order(book_of):
    rows = morphs(Blizzard="Snow Cedar", Snow="Ash Birch")
    book = book_of(
        genes=[gene("Ash"), gene("Birch"), gene("Cedar")],
        morph_names=rows,
        animals=[{"id": "X", "species": "Boa", "genes": "Blizzard"}],
    )
    label = checked(book, date(2025, 1, 1)).collection.animals["X"].label
    assert [shown.gene for shown in label.shows] == ["Ash", "Birch", "Cedar"]


GENES = [
    gene("Ash"), gene("Birch", "incomplete dominant", two_copies="lethal"), gene("Cedar", sex_linked="yes"),
    gene("Dune", locus="D"), gene("Ember", locus="D"), gene("Fern", locus="D"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("animal", "pattern"),
    [
        (
            {"genes": "Bicrh het Ash"},
            r"error Animals F2: Animal B1: 'Bicrh' is no gene .*; the animal counts as unlabelled\. Did you mean 'Birch'",
        ),
        ({"genes": "het Dune, het Ember, het Fern"}, r"error Animals F2: Animal B1: .*two copies in all"),
        ({"genes": "het Ash, not Ash"}, r"error Animals F2: Animal B1: .*can't both be so"),
        (
            {"genes": "het Cedar", "sex": "M"},
            r"warning Animals F2: Animal B1: a male has one copy of the sex-linked Cedar",
        ),
        (
            {"genes": "Super Birch"},
            r"warning Animals F2: Animal B1: it shows two copies of Birch, which the Genes sheet calls lethal",
        ),
        (
            {"genes": "het Dune, het Ember"},
            r"warning Animals F2: Animal B1: Dune and Ember are alleles of one locus, and no animal has what is said",
        ),
    ],
)
def test_check_labels__animal_stays_whatever_its_label(complaints, animal, pattern):
    one(complaints(species=BOA, genes=GENES, animals=[{"id": "B1", "species": "Boa"} | animal]), pattern)


def test_check_labels__het_of_a_sex_linked_gene_is_sound_in_the_sex_with_two_copies(book_of):
    animals = [{"id": sex, "species": "Boa", "sex": sex, "genes": "het Cedar, het Ash"} for sex in "FM"]
    collection = checked(book_of(species=BOA, genes=GENES, animals=animals), date(2025, 1, 1)).collection
    carried = {name: [c.gene for c in animal.label.carries] for name, animal in collection.animals.items()}
    assert carried == {"F": ["Ash", "Cedar"], "M": ["Ash"]}


@pytest.mark.parametrize(
    ("table", "row", "pattern"),
    [
        (
            "prices",
            {"date": "2024-01-01", "species": "Boa", "price": 9.0},
            r"error Prices C2: The price in row 2: 'Asj' is no gene .*row is left out",
        ),
        ("goals", {"goal": "Wish", "species": "Boa"}, r"error Goals C2: Goal 'Wish': 'Asj' is no gene"),
    ],
)
def test_check_labels__other_rows_fall_with_their_label(complaints, table, row, pattern):
    one(complaints(species=BOA, genes=GENES, **{table: [row | {"genes": "Asj"}]}), pattern)


@pytest.mark.parametrize(
    ("label", "remedy"),
    [
        ("Quartz", "Correct the label, or add the name to Genes or Morph names."),
        ("Ash, not Ash", "Correct the label."),
        ("Assh", "Did you mean 'Ash'?"),
    ],
)
def test_check_labels__the_remedy_fits_the_fault(book_of, label, remedy):
    animals = [{"id": "B1", "species": "Boa", "genes": label}]
    (problem,) = checked(
        book_of(species=BOA, genes=[gene("Ash")], animals=animals), date(2025, 1, 1)
    ).problems
    assert problem.hint == remedy


@pytest.mark.parametrize(("inheritance", "copies"), [("dominant", None), ("incomplete dominant", 1)])
def test_check_labels__super_of_the_sex_with_one_copy_shows_as_it_can(book_of, inheritance, copies):
    animals = [{"id": "B1", "species": "Boa", "sex": "M", "genes": "super Ash"}]
    book = book_of(species=BOA, genes=[gene("Ash", inheritance, sex_linked="yes")], animals=animals)
    (shown,) = checked(book, date(2025, 1, 1)).collection.animals["B1"].label.shows
    assert shown.copies == copies
