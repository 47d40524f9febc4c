"""Whole books as people really keep them: sheets, rows and the types of their fields."""

from datetime import datetime

import openpyxl
import pandas as pd

from pipeline.problems import Severity
from pipeline.workbook.reading import read_book
from pipeline.workbook.sheets import SHEETS, Kind
from tests.workbook.telling import told

BOA = "Common boa"


def test_read_book__gives_every_field_its_type(make_book):
    rows = {each.name: [[column.header for column in each.columns]] for each in SHEETS}
    born, genes = datetime(2021, 6, 14), " Motley,  het Albino "
    rows["Animals"].append([12, None, BOA, "female", born, genes, None, 3.0, "B1", None, 250, None])
    book = read_book(make_book(rows))
    assert list(book.tables) == ["settings", *(each.table for each in SHEETS[:-1])]
    for each in SHEETS:
        frame = book.tables[each.table]
        assert list(frame)[:3] == ["book", "sheet", "row"]
        for column in each.columns:
            expected = {
                Kind.NUMBER: "float64",
                Kind.PERCENT: "float64",
                Kind.INTEGER: "Int64",
                Kind.YEAR: "Int64",
                Kind.DATE: "datetime64[us]",
            }
            assert frame[column.field].dtype == expected.get(column.kind, "str")
    (animal,) = book.tables["animals"].to_dict("records")
    assert (animal["id"], animal["sex"], animal["sire"], animal["genes"], animal["row"]) == (
        "12",
        "F",
        "3",
        "Motley, het Albino",
        2,
    )
    assert (animal["born"], animal["born_year"], animal["sheet"]) == (
        pd.Timestamp(2021, 6, 14),
        2021,
        "Animals",
    )
    assert pd.isna(animal["name"]) and book.problems == ()


def test_read_book__leaves_sheets_out_that_are_not_there(make_book):
    book = read_book(make_book({"Animals": [["Species", "ID"], [BOA, "B1"]], "Goals": []}))
    assert list(book.tables) == ["animals"]
    assert book.columns == {"animals": {"species": "A", "id": "B"}}
    assert book.problems == ()


def test_read_book__tells_all_faults_at_once_and_keeps_the_rest(make_book):
    rows = [
        {"Pairing": "P1", "Count": 3, "Outcome": "live", "Date": "2024-08-01"},
        {"Pairing": "P1", "Count": 3.5, "Outcome": "slugg", "Date": "2024-08-01"},
        {"Pairing": "P1", "Count": 2, "Outcome": "Slug", "Date": "03/04/2024"},
        {"Count": 1, "Outcome": "live"},
    ]
    book = read_book(make_book({"Hatch results": rows}))
    assert book.tables["hatch_results"]["row"].tolist() == [2, 4]
    assert book.tables["hatch_results"]["outcome"].tolist() == ["live", "slug"]
    assert told(book, Severity.ERROR) == [
        ("B3", "Count '3.5' is not a whole number; the row is left out."),
        ("C3", "Outcome 'slugg' is not a word of the list; the row is left out."),
        ("A5", "Pairing is empty; the row is left out."),
    ]
    assert told(book, Severity.WARNING) == [
        ("D4", "Date '03/04/2024' may mean 3 April or 4 March 2024; the cell is taken as blank.")
    ]
    assert [problem.hint for problem in book.problems][
        1
    ] == "Did you mean 'slug'? Write live, stillborn, died in egg or slug."
    assert {problem.value for problem in book.problems} == {"3.5", "slugg", "", "03/04/2024"}


def test_read_book__joins_ids_typed_as_numbers_and_as_text(make_book):
    animals = [{"ID": 12, "Species": BOA}, {"ID": "012", "Species": BOA}]
    weights = [
        {"Animal": value, "Date": "2024-01-01", "Weight": 5} for value in ("12", 12.0, "012", "12\u00a0")
    ]
    book = read_book(make_book({"Animals": animals, "Weights": weights}))
    assert book.tables["animals"]["id"].tolist() == ["12", "012"]
    assert book.tables["weights"]["animal"].tolist() == ["12", "12", "012", "12"]


def test_read_book__skips_blank_rows_and_rows_of_strangers(make_book):
    rows = [
        ["Animal", "Date", "Weight", "Fed on"],
        ["B1", 2024, 5, None],
        [None, None, None, None],
        [" ", "-", None, "mouse"],
        ["B2", 2024, 6, "rat"],
    ]
    book = read_book(make_book({"Weights": rows}))
    assert book.tables["weights"]["row"].tolist() == [2, 5]
    assert told(book) == [("D1", "Column 'Fed on' is none of those that are read; it is left alone.")]


def test_read_book__leaves_a_sheet_out_that_lacks_a_needed_column(make_book):
    book = read_book(make_book({"Animals": [["ID", "Name"], ["B1", "Ruby"]], "Weights": [["B1", 2024]]}))
    assert book.tables == {}
    assert told(book) == [
        ("row 1", "Animals has no column 'Species', which it needs; it has ID, Name. The sheet is not read."),
        (None, "Weights has no header row; the sheet is not read."),
    ]


def test_read_book__reads_hidden_sheets_and_rows_and_says_so(make_book):
    path = make_book({"Notes": [["x"]], "Weights": [["Animal", "Date"], ["B1", 2024], ["B2", 2024]]})
    workbook = openpyxl.load_workbook(path)
    workbook["Weights"].sheet_state = "hidden"
    workbook["Weights"].row_dimensions[3].hidden = True
    workbook.save(path)
    book = read_book(path)
    assert len(book.tables["weights"]) == 2
    assert [message for _, message in told(book)][1:] == [
        "Sheet 'Weights' is hidden; it was read like the others.",
        "A hidden row was read like the others.",
    ]


def test_read_book__never_writes_to_the_book(make_book):
    path = make_book({"Weights": [["Animal", "Date"], ["B1", 2024]]})
    before = (path.read_bytes(), path.stat().st_mtime_ns, sorted(path.parent.iterdir()))
    read_book(path)
    assert (path.read_bytes(), path.stat().st_mtime_ns, sorted(path.parent.iterdir())) == before
