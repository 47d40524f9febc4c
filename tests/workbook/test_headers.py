"""Which tab is which sheet, and which column is which field."""

import pytest

from pipeline.problems import Place, Severity
from pipeline.workbook.headers import find_header, key, match_tabs, missing_columns
from pipeline.workbook.sheets import SHEETS, sheet

TAB = Place("book.xlsx", "Weights")
WEIGHTS = sheet("weights")


def header(*rows, of=WEIGHTS):
    return find_header(TAB, of, rows)


@pytest.mark.parametrize("written", ["Weight (g)", "WEIGHT", " weight [kg] ", "Weight*", "W eight (g) *"])
def test_key__ignores_case_spacing_and_a_unit(written):
    assert key(written) == "weight"


def test_key__tells_all_columns_of_a_sheet_apart():
    for each in SHEETS:
        assert len({key(column.header) for column in each.columns}) == len(each.columns)


def test_match_tabs__ignores_case_and_spacing():
    found, problems = match_tabs("book.xlsx", ["hatch_results", "MORPHNAMES", " animals "])
    assert [each.name for each in found.values()] == ["Hatch results", "Morph names", "Animals"]
    assert problems == []


def test_match_tabs__notes_each_stranger_once_and_passes_over_its_own():
    _, problems = match_tabs("book.xlsx", ["Animals", "Feeding", "Wieghts", "Start here", "Lists"])
    assert [(problem.severity, problem.place.sheet) for problem in problems] == [
        (Severity.NOTE, "Feeding"),
        (Severity.WARNING, "Wieghts"),
    ]
    assert problems[1].hint == "Rename it to 'Weights', if that is meant."


def test_match_tabs__reads_the_first_of_two_alike():
    found, (problem,) = match_tabs("book.xlsx", ["Weights", "weights_"])
    assert list(found) == ["Weights"]
    assert "'weights_' is not read" in problem.message


def test_find_header__takes_columns_in_any_order():
    found = header(("Notes", None, "LENGTH (cm)", "date", "animal"))
    assert found.position == {"notes": 0, "length": 2, "date": 3, "animal": 4}
    assert found.letters["animal"] == "E" and found.width == 5
    assert found.problems == []


def test_find_header__finds_a_header_below_a_title():
    found = header((), ("My weights of 2024", None), ("Animal", "Date", "Weight"))
    assert found.row == 3
    assert [problem.message for problem in found.problems] == [
        "The header of Weights stands in row 3; what stands above it is not read."
    ]


def test_find_header__takes_the_unit_a_header_names():
    assert header(("Animal", "Date", "Weight (kg)", "Length (in)")).unit == {
        "animal": "",
        "date": "",
        "weight": "kg",
        "length": "in",
    }


def test_find_header__leaves_out_a_column_in_an_unknown_unit():
    found = header(("Animal", "Date", "Weight (stone)"))
    assert "weight" not in found.position
    assert (
        found.problems[0].message
        == "The header 'Weight (stone)' has 'stone', which is no unit of this column. The column is not read."
    )
    assert found.problems[0].place.cell == "C1"


def test_find_header__tells_of_a_column_that_stands_twice():
    (problem,) = header(("Animal", "Date", "Weight", "weight (g)")).problems
    assert problem.severity is Severity.ERROR
    assert problem.message == "Column 'Weight' stands twice, in C and D; D is not read."


def test_find_header__notes_strangers_and_names_what_they_may_be():
    problems = header(("Animal", "Date", "Wieght (g)", "Fed on", 7)).problems
    assert [(problem.severity, problem.place.cell) for problem in problems] == [
        (Severity.WARNING, "C1"),
        (Severity.NOTE, "D1"),
        (Severity.NOTE, "E1"),
    ]
    assert problems[0].hint == "Rename it to 'Weight', if that is meant."


def test_find_header__passes_over_the_blank_books_own_columns():
    assert header(("Setting", "Value", "Meaning"), of=sheet("settings")).problems == []


def test_missing_columns__names_what_is_there_and_what_is_nearest():
    rows = [("Animl", "Date", "Weight")]
    (problem,) = missing_columns(header(*rows), TAB, WEIGHTS, rows)
    assert (
        problem.message
        == "Weights has no column 'Animal', which it needs; it has Animl, Date, Weight. The sheet is not read."
    )
    assert problem.hint == "Rename 'Animl' to 'Animal', if that is it."


def test_missing_columns__asks_for_a_header_where_there_is_none():
    rows = [("B1", 2024, 350)]
    (problem,) = missing_columns(header(*rows), TAB, WEIGHTS, rows)
    assert problem.message == "Weights has no header row; the sheet is not read."
    assert problem.hint == "Row 1 names the columns; it needs at least Animal, Date."
