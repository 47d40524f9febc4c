"""The whole check: what a sound book gives, what each sheet may lack, and what a check of a large book costs."""

from datetime import date
from fractions import Fraction

import pytest

from pipeline.genetics.collection import Basis, Outcome
from pipeline.genetics.genes import SexChromosomes
from pipeline.problems import Severity
from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book

AS_OF = date(2025, 1, 1)


def worst(result):
    return [problem for problem in result.problems if problem.severity is not Severity.NOTE]


def test_checked__sound_book_has_no_error_or_warning(book_of, sound):
    result = checked(book_of(**sound), AS_OF)
    assert worst(result) == []
    assert {name: len(frame) for name, frame in result.book.tables.items()} == {
        name: len(rows) for name, rows in sound.items()
    }


def test_checked__collects_animals_parents_first_with_parents_of_their_pairing(book_of, sound):
    result = checked(book_of(**sound), AS_OF)
    animals = result.collection.animals
    assert list(animals)[-1] == "C1"
    assert (animals["C1"].sire, animals["C1"].dam, animals["C1"].basis) == ("S1", "D1", Basis.BRED_HERE)
    assert (animals["D1"].born, animals["D1"].born_year, animals["D1"].basis) == (None, 2018, Basis.PROVED)
    assert animals["S1"].basis is Basis.SELLER
    assert animals["C1"].label.carries[0].probability == Fraction(2, 3)
    [note] = [p for p in result.problems if "taken from pairing" in p.message]
    assert (note.severity, note.place.sheet, note.place.cell) == (Severity.NOTE, "Hatch results", "H3")


def test_checked__fills_the_defaults_of_young_in_the_collection_alone(book_of, sound):
    result = checked(book_of(**sound), AS_OF)
    slug, single, tally = result.collection.young
    assert (tally.clutch, tally.count, tally.outcome, tally.born) == (1, 6, Outcome.LIVE, date(2024, 8, 1))
    assert (single.count, single.animal, slug.label, slug.outcome) == (1, "C1", None, Outcome.SLUG)
    assert result.book.tables["hatch_results"]["clutch"].isna().all()


def test_checked__breeding_ages_reach_the_collection_where_given(book_of, sound):
    boa = {"species": "Boa", "male_breeding_age": 18.0, "female_breeding_age": None}
    collection = checked(book_of(**sound | {"species": [boa]}), AS_OF).collection
    assert collection.breeding_months == {("Boa", "M"): 18}


def test_checked__settings_and_genes_reach_the_collection_as_shares(book_of, sound):
    genes = [
        *sound["genes"],
        {
            "species": "Boa",
            "gene": "Stripe",
            "inheritance": "recessive",
            "linked_locus": "albino",
            "recombination": 10.0,
            "misread": 5.0,
        },
    ]
    collection = checked(book_of(**sound | {"genes": genes}), AS_OF).collection
    catalogue = collection.catalogues["Boa"]
    assert collection.settings.level == 0.01
    assert catalogue.sex_chromosomes is SexChromosomes.XY
    assert (catalogue.by_name["Stripe"].recombination, catalogue.by_name["Stripe"].misread) == (0.1, 0.05)
    assert [group.name for group in catalogue.groups] == ["Albino + Stripe", "Motley"]


@pytest.mark.parametrize(
    "sheets",
    [
        ("genes", "animals", "pairings", "hatch_results"),
        ("animals", "species", "weights"),
        ("prices",),
        ("genes",),
        (),
    ],
)
def test_checked__sheets_may_be_missing(book_of, sound, sheets):
    result = checked(book_of(**{name: sound[name] for name in sheets}), AS_OF)
    assert worst(result) == []
    assert len(result.collection.animals) == (3 if "animals" in sheets else 0)
    assert len(result.collection.young) == (3 if "hatch_results" in sheets else 0)


def test_checked__without_a_species_sheet_species_come_from_the_others(book_of, sound):
    result = checked(
        book_of(genes=sound["genes"], animals=[{"id": "A", "species": "boa", "genes": "Motley"}]), AS_OF
    )
    assert result.collection.animals["A"].species == "Boa"
    assert any("no Species sheet" in p.message and p.severity is Severity.NOTE for p in result.problems)


def test_checked__one_bad_row_costs_no_other(book_of, sound):
    bad = {"pairing": "24-1", "genes": "Motely", "count": 3}
    result = checked(book_of(**sound | {"hatch_results": [bad, *sound["hatch_results"]]}), AS_OF)
    assert [p.severity for p in worst(result)] == [Severity.ERROR]
    assert len(result.collection.young) == len(sound["hatch_results"])


def test_checked__row_order_changes_nothing(book_of, sound):
    forwards = checked(book_of(**sound), AS_OF).collection
    backwards = checked(book_of(**{name: rows[::-1] for name, rows in sound.items()}), AS_OF).collection
    assert list(forwards.animals) == list(backwards.animals)
    assert {a.id: (a.label, a.sire, a.dam) for a in forwards.animals.values()} == {
        a.id: (a.label, a.sire, a.dam) for a in backwards.animals.values()
    }


def test_checked__places_are_named_as_the_excel_file_names_them(make_book):
    path = make_book(
        {
            "animals": [{"SPECIES": "Boa", "id": "B1"}, {"SPECIES": "Boa", "id": "B2"}],
            "GENES": [{"Species": "Boa", "Inheritance": "recessive", "Gene": "Ash"}],
            "Pairings": [{"Pairing": 1, "Season": 2020, "Dam": "B1", "Sire": "B2"}],
            "hatch-results": [{"Genes": "Ahs", "Pairing": 1}, {"Genes": "Ash", "Pairing": "1"}],
        }
    )
    result = checked(read_book(path), AS_OF)
    [error] = worst(result)
    assert (error.place.book, error.place.sheet, error.place.cell) == ("book.xlsx", "hatch-results", "A2")
    assert (error.value, error.hint) == ("Ahs", "Did you mean 'Ash'?")
    assert [young.row for young in result.collection.young] == [3]
