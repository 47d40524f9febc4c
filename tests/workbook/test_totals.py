"""The sheet of totals: formulas, and the values that stand beside them."""

import pytest
from openpyxl import load_workbook

from pipeline.example.collection import write_example
from pipeline.workbook.template import write_book
from tests.workbook.blank_books import TWO_SPECIES


def test_write_totals__values_stand_beside_the_formulas(tmp_path):
    write_book(tmp_path / "book.xlsx", TWO_SPECIES | {"Species": [{"Species": "Corn snake"}]})
    page = load_workbook(tmp_path / "book.xlsx", data_only=True)["Totals"]
    assert [cell.value for cell in page[5]][:3] == ["Corn snake", 1, 0]
    assert [cell.value for cell in page[19]][:3] == [2024, 1, 4]


@pytest.mark.program
def test_write_totals__a_spreadsheet_program_comes_to_the_same_values(tmp_path, through_libreoffice):
    """Of the demo collection; the stored values are taken out first, so that LibreOffice must count."""
    write_example(tmp_path / "demo.xlsx")
    stored = list(load_workbook(tmp_path / "demo.xlsx", data_only=True)["Totals"].values)
    load_workbook(tmp_path / "demo.xlsx").save(tmp_path / "bare.xlsx")
    counted = list(through_libreoffice(tmp_path / "bare.xlsx", values=True)["Totals"].values)
    assert sum(value or 0 for value in stored[19][2:6]) > 100
    assert [[value or None for value in row] for row in counted] == [
        [value or None for value in row] for row in stored
    ]
