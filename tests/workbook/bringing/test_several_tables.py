"""Sheets that hold several tables, and tables whose headings are missing or stand elsewhere; all invented."""

from datetime import date
from time import process_time

import pytest

from pipeline.workbook.bringing.grids import Grid
from pipeline.workbook.bringing.left_over import left_over_page
from pipeline.workbook.bringing.tabs import tabs_of

ANIMALS = [
    ["ID", "Name", "Sex", "Morph", "Born"],
    ["C1", "Ruby", "F", "Amel", 2018],
    ["C2", "Storm", "M", "Anery", 2018],
    ["C3", "Opal", "F", "Snow", 2019],
]
WEIGHTS = [
    ["Animal", "Date", "Weight"],
    ["C1", date(2024, 1, 1), 300],
    ["C1", date(2024, 2, 1), 310],
    ["C3", date(2024, 2, 1), 220],
    ["C3", date(2024, 3, 1), 230],
]
NAMED = [("C1", "Ruby"), ("C2", "Storm"), ("C3", "Opal")]


def animals(found) -> list[tuple]:
    return [(row["ID"], row.get("Name")) for row in found.gathered.records["Animals"]]


def weights(found) -> list[tuple]:
    return [(row["Animal"], row["Date"], row["Weight"]) for row in found.gathered.records["Weights"]]


def test_bring__two_tables_one_below_the_other(brought):
    found = brought({"Stuff": [*ANIMALS, [], ["Weighed in 2024"], *WEIGHTS]})
    assert animals(found) == NAMED
    assert weights(found) == [tuple(row) for row in WEIGHTS[1:]]
    left = left_over_page(found.tables, found.gathered).rows
    assert [row[:3] for row in left] == [("Stuff", 6, "Weighed in 2024"), ("Stuff", 7, "Animal")]


def test_bring__blank_rows_and_titles_part_no_table(brought):
    found = brought({"Animals": [["All my snakes"], [], *ANIMALS[:2], [], [], *ANIMALS[2:]]})
    assert animals(found) == NAMED and len(found.tables) == 1


def test_bring__two_tables_side_by_side_keep_their_animals_apart(brought):
    blank = [None] * 5
    left = [*ANIMALS, blank]
    found = brought({"Stuff": [[*a, None, *w] for a, w in zip(left, WEIGHTS, strict=True)]})
    assert animals(found) == NAMED
    assert weights(found) == [tuple(row) for row in WEIGHTS[1:]]


def test_bring__an_empty_column_within_a_list_parts_it_not(brought):
    rows = [[row[0], row[2], None, row[1], *row[3:], None, "rack"] for row in ANIMALS]
    found = brought({"Animals": rows})
    assert animals(found) == NAMED and len(found.tables) == 1


def test_bring__a_header_that_comes_again_on_each_page_is_no_animal(brought):
    found = brought({"Animals": [*ANIMALS[:3], ANIMALS[0], ANIMALS[3], ["FEMALES"]]})
    assert animals(found) == NAMED


def test_bring__the_first_animal_of_a_list_without_headings_is_an_animal(brought):
    rows = [["K1", "F", "Amel, het Anery"], ["K2", "M", "het Anery"], ["K3", "F", "Snow, het Motley"]]
    found = brought({"Sheet1": rows})
    assert [(row["ID"], row["Sex"]) for row in found.gathered.records["Animals"]] == [("K1", "F"), ("K2", "M"), ("K3", "F")]
    left = left_over_page(found.tables, found.gathered).rows
    assert not left


def test_bring__headings_that_slipped_by_a_column_are_put_back(brought):
    said = "tables have their headings one column off; each is read as if it stood over its own column"
    right = brought({"Sheet1": [[None, *ANIMALS[0]], *ANIMALS[1:]]})
    left = brought({"Sheet1": [ANIMALS[0], *([None, *row] for row in ANIMALS[1:])]})
    for found in (right, left):
        assert animals(found) == NAMED
        assert found.gathered.sayings[said] == 1


def test_bring__a_column_of_numbers_without_a_heading_is_no_slip(brought):
    header, *rows = ANIMALS
    found = brought({"Sheet1": [[None, *header, "Notes"], *([n, *row] for n, row in enumerate(rows, start=1))]})
    assert animals(found) == NAMED
    assert not found.tables[0].tab.slid


def test_bring__days_and_weights_in_turn_beside_each_animal(brought):
    rows = [
        ["ID", "Sex", "Date", "Weight", "Date 2", "Weight 2"],
        ["C1", "F", date(2024, 1, 1), 300, date(2024, 2, 1), "310 g"],
        ["C2", "M", date(2024, 1, 5), 250, None, None],
    ]
    found = brought({"Animals": rows})
    assert [(row["ID"], row.get("Born")) for row in found.gathered.records["Animals"]] == [("C1", None), ("C2", None)]
    assert weights(found) == [
        ("C1", date(2024, 1, 1), 300), ("C2", date(2024, 1, 5), 250), ("C1", date(2024, 2, 1), 310),
    ]  # fmt: skip


@pytest.mark.parametrize(
    "rows",
    [
        [["ID", *["Date", "Weight"] * 4_000], *([n] * 8_001 for n in range(20))],
        [["ID", *[None, "Animal", "Weight"] * 4_000], *([1, *[None, 2, 3] * 4_000] for _ in range(20))],
        [["ID", "Name"] if n % 2 else [None, None] for n in range(50_000)],
        [["a", "b", "c"] for _ in range(50_000)],
    ],
)
def test_tabs_of__takes_time_in_proportion_to_the_sheet(rows):
    start = process_time()
    assert len(tabs_of(Grid("Stuff", tuple(map(tuple, rows))))) < 300
    assert process_time() - start < 3
