"""Genes that two books may only spell otherwise are told in both; nothing is told of two that are surely one or two."""

from datetime import date

import pytest

from pipeline.workbook.checking import checked
from pipeline.workbook.pooling.offer import offer_of, recorded_animals
from pipeline.workbook.pooling.sharing import linked
from pipeline.workbook.reading import read_book
from tests.endtoend.club_books import BOA, SPECIES
from tests.simulate.keepers import write_book_of


@pytest.fixture
def told(tmp_path):
    def told(**genes):
        """The problems that each book is told of the others, from the genes of each: cell, message, hint."""
        books = {}
        for name, own in genes.items():
            rows = [
                {"Species": BOA, "Gene": gene, "Also written": also, "Inheritance": "recessive"} for gene, also in own
            ]
            write_book_of({"Species": SPECIES, "Genes": rows}, tmp_path / f"{name}.xlsx")
            books[f"{name}.xlsx"] = checked(read_book(tmp_path / f"{name}.xlsx"), date(2025, 11, 1))
        links = linked([offer_of(book) for book in books.values()], lambda book: recorded_animals(books[book]))
        return {
            book: [(one.place.sheet, one.place.cell, one.message, one.hint) for one in problems]
            for book, problems in links.problems.items()
        }  # fmt: skip

    return told


@pytest.mark.parametrize("gene", ["A-nery", "An Ery", "a.nery", "Anery-"])
def test_spellings__that_may_be_one_gene_are_told_in_both_books(told, gene):
    end = "spelled differently, they are taken for two genes."
    write = "If they are one, write {} under Also written here, or spell it alike in all books."
    assert told(ann=[("Anery", None)], ben=[("Motley", None), (gene, None)]) == {
        "ann.xlsx": [("Genes", "B2", f"Anery (Common boa) may be the {gene} of ben.xlsx; {end}", write.format(gene))],
        "ben.xlsx": [("Genes", "B3", f"{gene} (Common boa) may be the Anery of ann.xlsx; {end}", write.format("Anery"))],
    }  # fmt: skip


def test_spellings__an_alias_is_looked_at_too_and_every_other_book_counted(told):
    found = told(ann=[("Blacktail", "A nery; Ane-ry")], ben=[("Anery", None)], cat=[("anery", None)])
    ((sheet, cell, message, _),) = found["ann.xlsx"]
    assert (sheet, cell) == ("Genes", "C2")
    assert message.startswith("A nery (Common boa) may be the Anery of ben.xlsx (and 1 more book);")
    assert [message[:52] for _, _, message, _ in found["cat.xlsx"]] == ["anery (Common boa) may be the A nery of ann.xlsx; sp"]


@pytest.mark.parametrize(
    ("hers", "his"),
    [
        ([("Anery", None)], [("A-nery", "Anery")]),
        ([("Anery", None)], [("ANERY", None)]),
        ([("T+ Albino", None)], [("T- Albino", None)]),
        ([("Anery", None)], [("Anery", None), ("A nery", None)]),
        ([("Anery", None)], [("Albino", None)]),
    ],
    ids=["said to be one", "case", "plus and minus", "said to be two", "other letters"],
)
def test_spellings__nothing_is_told_where_nothing_is_open(told, hers, his):
    assert told(ann=hers, ben=his) == {}
