"""Cells that hold a formula, or an error of Excel's."""

from pipeline.problems import Severity
from pipeline.workbook.reading import read_book
from tests.workbook.bare_books import by_hand, inline
from tests.workbook.telling import told


def test_read_book__takes_stored_values_of_formulas(tmp_path):
    """Rows in which nothing but formulas run on are no records; an empty text is stored as t="str" without content."""
    rows = inline("Animal", "Date", "Weight (g)")
    rows += "<row><c><v>7</v></c><c><v>2024</v></c><c><f>400+20</f><v>420</v></c></row>"
    rows += '<row><c t="str"><f>""</f><v></v></c><c/><c><f>400+20</f><v>420</v></c></row>'
    book = read_book(by_hand(tmp_path / "book.xlsx", rows))
    assert book.tables["weights"]["weight"].tolist() == [420]
    assert book.problems == ()


def test_read_book__asks_once_for_formulas_without_stored_values(make_book):
    rows = [
        ["Animal", "Date", "Weight", "Length"],
        *(["B1", 2024, "=1+1", "=A1"] for _ in range(3)),
        ["B1", 2024, 5, None],
    ]
    book = read_book(make_book({"Weights": rows}))
    assert book.tables["weights"]["row"].tolist() == [5]
    assert told(book) == [
        ("C2", "3 cells of Weight, C2 to C4, hold formulas without a stored value; the rows are left out."),
        (
            "D2",
            "3 cells of Length, D2 to D4, hold formulas without a stored value; the cells are taken as blank.",
        ),
    ]
    assert book.problems[0].hint.startswith("Open the book in Excel or LibreOffice and save it there")


def test_read_book__tells_of_excel_errors(make_book):
    rows = [
        ["Animal", "Date", "Weight", "Notes"],
        ["#REF!", 2024, 5, None],
        ["B1", 2024, "#DIV/0!", None],
        ["B1", 2024, 5, "#N/A"],
    ]
    book = read_book(make_book({"Weights": rows}))
    assert book.tables["weights"]["row"].tolist() == [4]
    assert [cell for cell, _ in told(book, Severity.ERROR)] == ["A2", "C3"]
    assert told(book, Severity.WARNING) == [
        ("D4", "Notes '#N/A' is an error of Excel's; the cell is taken as blank.")
    ]
