"""The colours of what can't be and of what is missing, as LibreOffice computes them."""

import datetime as dt
import re

import pytest
from openpyxl import load_workbook

from pipeline.workbook.sheets import SHEETS
from pipeline.workbook.template import write_book

WRONG = {
    "Species": [{"Species": "Corn snake"}],
    "Animals": [
        {"ID": "1", "Species": "Corn snake", "Sex": "F"},
        {"ID": "2", "Species": "Corn snake", "Sex": "M", "Born": 2019},
        {"ID": "2", "Species": "Corn", "Sex": "M", "Born": dt.date(2099, 1, 1)},
        {"ID": "4", "Species": "Corn snake", "Sire": "1", "Dam": "2"},
        {"Species": "Corn snake", "Name": "x"},
        {"ID": "6", "Species": "Corn snake", "Sire": "nobody", "Dam": "1", "Born": 2090},
    ],
    "Pairings": [
        {"Pairing": "24-03", "Season": 2024, "Dam": "1", "Sire": "2"},
        {"Pairing": "24-03", "Season": 2024, "Dam": "2", "Sire": "zz"},
    ],
    "Hatch results": [{"Pairing": "24-03", "Count": 4}, {"Pairing": "24-99", "Outcome": "slug"}],
    "Weights": [{"Animal": "9", "Date": dt.date(2099, 1, 1)}],
}
COLOURED = {
    "Animals": {"A4", "C4", "E4", "H5", "I5", "A6", "H7", "E7"},
    "Pairings": {"A3", "C3", "D3"},
    "Hatch results": {"A3"},
    "Weights": {"A2", "B2"},
}  # A6 waits to be filled, the others can't be so


def asked_of(formula: str, sheet: str, row: int) -> str:
    """A rule about row 2 as a question about another row, put from another sheet."""
    moved = re.sub(
        r"(:?)\$([A-Z]+)2\b", lambda m: m[1] + ("" if m[1] else f"'{sheet}'!") + f"${m[2]}{row}", formula
    )
    return moved.replace("ROW()", str(row))


@pytest.mark.program
def test_write_book__colours_what_can_not_be_and_what_is_missing(tmp_path, through_libreoffice):
    """LibreOffice computes every colour rule for the first rows, each as a formula on a sheet of its own."""
    write_book(tmp_path / "rules.xlsx", WRONG)
    book = load_workbook(tmp_path / "rules.xlsx")
    asked = book.create_sheet("Asked")
    for name in COLOURED:
        for area in book[name].conditional_formatting:
            letter = str(area.sqref)[0]
            for rule, row in ((rule, row) for rule in area.rules for row in range(2, 8)):
                asked.append([name, f"{letter}{row}", f"={asked_of(rule.formula[0], name, row)}"])
    book.save(tmp_path / "rules-asked.xlsx")
    found = through_libreoffice(tmp_path / "rules-asked.xlsx", values=True)["Asked"].values
    coloured = {name: set() for name in COLOURED}
    for name, cell, holds in found:
        assert holds in (True, False), (name, cell)
        if holds:
            coloured[name].add(cell)
    assert coloured == COLOURED


@pytest.mark.program
def test_write_book__colour_rules_survive_libreoffice(tmp_path, blank, through_libreoffice):
    write_book(tmp_path / "colours.xlsx")
    saved = through_libreoffice(tmp_path / "colours.xlsx")
    for sheet in SHEETS:
        kept, found = (
            {str(a.sqref): len(a.rules) for a in page.conditional_formatting}
            for page in (blank[sheet.name], saved[sheet.name])
        )
        assert found == kept and kept
