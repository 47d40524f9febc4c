"""Records that are there twice, and names that no other sheet knows."""

import re
from datetime import date

import pytest

from pipeline.workbook.checking import checked
from pipeline.workbook.checks.wording import did_you_mean

BOA = [{"species": "Boa", "sex_chromosomes": "XY"}, {"species": "Corn snake", "sex_chromosomes": "ZW"}]


def one(lines, pattern):
    """The only complaint, which the pattern fits."""
    assert len(lines) == 1, lines
    assert re.search(pattern, lines[0]), lines[0]


@pytest.mark.parametrize(
    ("table", "row", "pattern"),
    [
        ("animals", {"id": "S1", "species": "Boa"}, r"error Animals A5: ID 'S1' stands in row 4 and again in row 5"),
        ("pairings", {"pairing": "24-1", "season": 2023, "dam": "D1", "sire": "S1"}, r"error Pairings A3: .*'24-1' stands in row 2 and"),
        ("genes", {"species": "Boa", "gene": "ALBINO", "inheritance": "dominant"}, r"error Genes B4: Gene 'ALBINO' stands in row 2 and"),
        ("morph_names", {"species": "Boa", "name": "sunbeam", "genes": "Albino"}, r"error Morph names B3: Name 'sunbeam' stands in row 2"),
        ("goals", {"goal": "one of each", "species": "Boa", "genes": "Albino"}, r"error Goals A3: Goal 'one of each' stands in row 2"),
        ("settings", {"setting": "level", "value": "5"}, r"error Settings A3: Setting 'level' stands in row 2"),
        ("settings", {"setting": "Level (%)", "value": "5"}, r"error Settings A3: Setting 'Level \(%\)' stands in row 2"),
        ("species", {"species": "boa"}, r"error Species A3: Species 'boa' stands in row 2"),
    ],
)  # fmt: skip
def test_check_keys__later_row_of_one_key_is_left_out(complaints, sound, table, row, pattern):
    one(complaints(**sound | {table: [*sound[table], row]}), pattern)


def test_check_keys__the_first_of_two_rows_stays(book_of, sound):
    animals = [*sound["animals"], {"id": "S1", "species": "Boa", "sex": "F"}]
    assert (
        checked(book_of(**sound | {"animals": animals}), date(2025, 1, 1)).collection.animals["S1"].sex == "M"
    )


def test_check_keys__ids_alike_but_for_case_are_doubted(complaints):
    lines = complaints(animals=[{"id": "B1", "species": "Boa"}, {"id": "b 1", "species": "Boa"}])
    one(lines, r"warning Animals A3: 'b 1' \(row 3\) and 'B1' \(row 2\) differ only in case or spaces")


def test_check_keys__signs_tell_genes_apart(complaints):
    genes = [{"species": "Boa", "gene": f"T{sign} Albino", "inheritance": "recessive"} for sign in "+-"]
    assert complaints(species=BOA, genes=genes) == []


def test_check_species__unknown_species_names_the_nearest(complaints):
    lines = complaints(species=BOA, animals=[{"id": "B1", "species": "Cron snake"}])
    one(
        lines,
        r"error Animals C2: 'B1' names the species 'Cron snake', which is not .*Did you mean 'Corn snake'\?",
    )


def test_check_species__spelling_is_made_that_of_the_species_sheet(book_of):
    result = checked(book_of(species=BOA, animals=[{"id": "B1", "species": "CORN SNAKE"}]), date(2025, 1, 1))
    assert result.problems == ()
    assert result.book.tables["animals"]["species"].tolist() == ["Corn snake"]


def test_check_species__species_of_the_genes_sheet_costs_a_warning_alone(complaints):
    genes = [{"species": "Gecko", "gene": "Tangerine", "inheritance": "line-bred"}]
    lines = complaints(
        species=BOA, genes=genes, animals=[{"id": "G1", "species": "gecko", "genes": "Tangerine"}]
    )
    one(lines, r"warning Genes A2: The Genes sheet names the species 'Gecko', which the Species sheet lacks")


def test_check_species__slip_in_the_genes_sheet_is_an_error(complaints):
    lines = complaints(
        species=BOA, genes=[{"species": "Corn snale", "gene": "Ash", "inheritance": "recessive"}]
    )
    one(lines, r"error Genes A2: 'Ash' names the species 'Corn snale'.*Did you mean 'Corn snake'")


def test_check_animals__unknown_parent_counts_as_not_recorded(book_of, complaints):
    animals = [{"id": "Basil-1", "species": "Boa"}, {"id": "X", "species": "Boa", "sire": "Basil-7"}]
    one(
        complaints(animals=animals),
        r"warning Animals H3: The sire of animal X, 'Basil-7', is not on .*Did you mean 'Basil-1'",
    )


def test_resolve_id__case_and_spaces_are_forgiven_with_a_warning(book_of, complaints):
    animals = [{"id": "B 1", "species": "Boa"}, {"id": "X", "species": "Boa", "sire": "b1"}]
    one(complaints(animals=animals), r"warning Animals H3: 'b1' is taken for 'B 1'")


def test_checked__settings_that_cannot_be_used_leave_the_default(book_of, complaints):
    settings = [{"setting": "Level (%)", "value": "often"}, {"setting": "Seed", "value": "7"}]
    one(complaints(settings=settings), r"error Settings B2: Setting 'Level \(%\)' .*the default is used")
    result = checked(book_of(settings=settings), date(2025, 1, 1))
    assert (result.collection.settings.level, result.collection.settings.seed) == (0.05, 7)
    assert result.book.tables["settings"]["setting"].tolist() == ["Seed"]


def test_needs_sheet__one_error_speaks_for_all_rows(complaints, sound):
    lines = complaints(
        pairings=sound["pairings"], hatch_results=sound["hatch_results"], weights=sound["weights"]
    )
    assert [line.split(",")[0] for line in lines] == [
        "error Hatch results None: The book has no Pairings sheet with rows that can be used",
        "error Pairings None: The book has no Animals sheet with rows that can be used",
        "error Weights None: The book has no Animals sheet with rows that can be used",
    ]


def test_did_you_mean__names_equally_near_are_all_named():
    assert did_you_mean("Y9", ["Y1", "Y2", "Z"], "Add it.", cutoff=50) == "Did you mean 'Y1' or 'Y2'?"
    assert did_you_mean("Y9", ["Y1", "Y2", "Y3", "Y4"], "Add it.", cutoff=50) == "Add it."
    assert did_you_mean("Y9", [], "Add it.") == "Add it."
