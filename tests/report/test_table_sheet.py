"""A table written by columns reads back as it was, beside what xlsxwriter itself writes to the sheet."""

import pytest
import xlsxwriter
from openpyxl import load_workbook

from pipeline.report.table_sheet import TableSheet

COLUMNS = {
    "texts": ["a", None, " spaced ", "a", "=1+1", "<&\x07>"],
    "numbers": [1.5, 0.1 + 0.2, None, -3.0, 1e-300, 123456789012345.0],
    "truths": [True, None, False, True, False, True],
    "nothing": [None] * 6,
}


@pytest.fixture
def written(tmp_path):
    """The sheet as openpyxl reads it: a heading by xlsxwriter, the columns from its third row on, one link."""
    path = tmp_path / "table.xlsx"
    with xlsxwriter.Workbook(str(path), {"strings_to_formulas": False}) as book:
        sheet = book.add_worksheet("Table", TableSheet)
        plain, link = book.add_format({"bold": True}), book.add_format({"italic": True})
        sheet.write_string(0, 0, "Heading")
        for at, values in enumerate(COLUMNS.values()):
            sheet.fill(2, at, values, plain)
        sheet.link(3, 1, "external:book.xlsx#'Animals'!A7", link, "0.3", "book.xlsx: Animals, A7")
    return load_workbook(path)["Table"]


def test_fill__cells_read_back_as_they_were(written):
    read = [[cell.value for cell in column] for column in written.iter_cols(min_row=3, max_col=4, max_row=8)]
    texts = [*COLUMNS["texts"][:-1], "<&_x0007_>"]  # as the standard writes what XML can't hold
    assert written["A1"].value == "Heading"
    assert read[0] in (texts, COLUMNS["texts"]) and read[2] == COLUMNS["truths"] and read[3] == [None] * 6
    for cell, number in zip(read[1], COLUMNS["numbers"], strict=True):
        assert cell is number is None or cell == pytest.approx(number, rel=1e-15)
    assert written.dimensions == "A1:D8"


def test_link__makes_the_cell_a_link_and_keeps_its_number(written):
    cell = written["B4"]
    assert cell.value == pytest.approx(0.3) and cell.hyperlink.location == "'Animals'!A7"
    assert (cell.font.i, cell.font.b, written["B3"].font.b) == (True, False, True)
    assert [one.coordinate for row in written for one in row if one.hyperlink] == ["B4"]


def test_fill__refuses_what_is_no_number(tmp_path):
    with xlsxwriter.Workbook(str(tmp_path / "none.xlsx")) as book:
        sheet = book.add_worksheet("Table", TableSheet)
        with pytest.raises(ValueError, match="a cell can't hold inf"):
            sheet.fill(0, 0, [1.0, float("inf")], book.add_format())
