"""Percentages, money, units and dates, as the whole sheet bears on them: formats, headers, other columns, settings."""

from datetime import datetime

import openpyxl
import pandas as pd
import xlsxwriter

from pipeline.workbook.reading import read_book
from tests.workbook.telling import told

BOA = "Common boa"


def test_read_book__reads_percentages_as_they_are_shown(make_book):
    rows = [
        ["Species", "Gene", "Inheritance", "Misread"],
        *([BOA, f"G{i}", "recessive", value] for i, value in enumerate((0.01, 1, "1%", 0.07))),
    ]
    path = make_book({"Genes": rows, "Settings": [["Setting", "Value"], ["Level", 0.05]]})
    workbook = openpyxl.load_workbook(path)
    for sheet, cell in (("Genes", "D2"), ("Genes", "D5"), ("Settings", "B2")):
        workbook[sheet][cell].number_format = "0.0%"
    workbook.save(path)
    book = read_book(path)
    assert book.tables["genes"]["misread"].tolist() == [1, 1, 1, 7]
    assert book.tables["settings"]["value"].tolist() == ["5 %"]


def test_read_book__settles_the_currency_of_prices(make_book):
    rows = [["Date", "Species", "Genes", "Price", "Currency"]] + [
        ["2024-01-01", BOA, "normal", price, money]
        for price, money in ((100, "usd"), ("€ 90", None), ("£80", "EUR"), ("$70", None), (60, "$"))
    ]
    book = read_book(make_book({"Prices": rows, "Settings": [["Setting", "Value"], ["Currency", "cad"]]}))
    assert book.tables["prices"]["currency"].tolist() == ["USD", "EUR", "CAD", "CAD"]
    assert book.tables["prices"]["price"].tolist() == [100, 90, 70, 60]
    assert told(book) == [("D4", "Price '£80' is in GBP, but its currency is EUR; the row is left out.")]


def test_read_book__what_was_paid_is_in_the_book_s_currency(make_book):
    rows = [{"ID": "B1", "Species": BOA, "Paid": "€ 500"}, {"ID": "B2", "Species": BOA, "Paid": "$350"}]
    book = read_book(make_book({"Animals": rows}))
    assert book.tables["animals"]["paid"].tolist()[1] == 350
    (problem,) = book.problems
    assert (
        problem.message
        == "Paid '€ 500' is in EUR, but the book's currency is USD; the cell is taken as blank."
    )
    assert problem.hint == "Write the amount in USD."


def test_read_book__reads_prices_under_a_currency_in_the_header(make_book):
    rows = [["Date", "Species", "Genes", "Price (EUR)"], ["2024-01-01", BOA, "normal", 90]]
    assert read_book(make_book({"Prices": rows})).tables["prices"]["currency"].tolist() == ["EUR"]


def test_read_book__converts_by_the_unit_in_the_header(make_book):
    rows = [
        ["Animal", "Date", "Weight (kg)", "Length (in)"],
        ["B1", 2024, 1.2, 10],
        ["B1", 2024, "850 g", "30 cm"],
    ]
    frame = read_book(make_book({"Weights": rows})).tables["weights"]
    assert frame["weight"].tolist() == [1200, 850]
    assert frame["length"].tolist() == [25.4, 30]


def test_read_book__keeps_bare_years_apart_from_dates(make_book):
    path = make_book(
        {
            "Animals": [
                ["ID", "Species", "Born"],
                *(
                    [f"B{i}", BOA, value]
                    for i, value in enumerate((2019, "2019", datetime(2019, 5, 1), 2019))
                ),
            ]
        }
    )
    workbook = openpyxl.load_workbook(path)
    workbook.active["C5"].number_format = "yyyy-mm-dd"
    workbook.save(path)
    frame = read_book(path).tables["animals"]
    assert frame["born_year"].tolist() == [2019] * 4
    assert frame["born"].isna().tolist() == [True, True, False, True]


def test_read_book__reads_dates_of_the_1904_system(tmp_path):
    path = tmp_path / "book.xlsx"
    with xlsxwriter.Workbook(path, {"date_1904": True}) as workbook:
        sheet, dated = workbook.add_worksheet("Weights"), workbook.add_format({"num_format": "d.m.yy"})
        sheet.write_row(0, 0, ["Animal", "Date"])
        sheet.write_row(1, 0, ["B1"])
        sheet.write_datetime(1, 1, datetime(2021, 6, 14), dated)
        sheet.write_row(2, 0, ["B2", 2021], dated)
    frame = read_book(path).tables["weights"]
    assert frame["date"].tolist() == [pd.Timestamp(2021, 6, 14), pd.NaT]
    assert frame["date_year"].tolist() == [2021, 2021]
