"""Whole books as people really keep them."""

import time
import zipfile
from datetime import datetime
from pathlib import Path

import numpy as np
import openpyxl
import pandas as pd
import pytest
import xlsxwriter

from pipeline.problems import Severity
from pipeline.workbook.reading import read_book
from pipeline.workbook.sheets import SHEETS, Kind
from tests.libreoffice import SOFFICE, saved_by_libreoffice

BOA = "Common boa"
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"


def told(book, severity: Severity | None = None) -> list[tuple]:
    """Cell and message of the problems, by the sheet they are in."""
    return [
        (problem.place.cell, problem.message)
        for problem in book.problems
        if severity in (None, problem.severity)
    ]


def by_hand(path: Path, rows: str, *, title: str = "Weights", rest: str = "") -> Path:
    """A workbook with nothing but what must be there: no styles, no stated size, no shared strings."""
    types = (
        '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>'
        '<Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>'
    )
    relations = '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="{}" Target="{}"/></Relationships>'
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", types)
        archive.writestr("_rels/.rels", relations.format(f"{OFFICE}/officeDocument", "xl/workbook.xml"))
        archive.writestr(
            "xl/_rels/workbook.xml.rels", relations.format(f"{OFFICE}/worksheet", "/xl/worksheets/sheet1.xml")
        )
        archive.writestr(
            "xl/workbook.xml",
            f'<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}"><sheets><sheet name="{title}" sheetId="1" r:id="rId1"/></sheets></workbook>',
        )
        with archive.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as sheet:
            sheet.write(f'<worksheet xmlns="{MAIN}"><sheetData>{rows}'.encode())
            sheet.write(f"</sheetData>{rest}</worksheet>".encode())
    return path


def inline(*values: object) -> str:
    """A row of cells without references, texts inline."""
    cells = (
        f"<c><v>{value}</v></c>"
        if isinstance(value, (int, float))
        else f'<c t="inlineStr"><is><t>{value}</t></is></c>'
        for value in values
    )
    return f"<row>{''.join(cells)}</row>"


def test_read_book__gives_every_field_its_type(make_book):
    rows = {each.name: [[column.header for column in each.columns]] for each in SHEETS}
    rows["Animals"].append(
        [
            12,
            None,
            BOA,
            "female",
            datetime(2021, 6, 14),
            " Motley,  het Albino ",
            None,
            3.0,
            "B1",
            None,
            250,
            None,
        ]
    )
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


def merged(path: Path, *ranges: str) -> Path:
    workbook = openpyxl.load_workbook(path)
    for cells in ranges:
        workbook.active.merge_cells(cells)
    workbook.save(path)
    return path


def test_read_book__spreads_a_cell_merged_down_over_its_rows(make_book):
    rows = [["Animal", "Date", "Weight"], ["B1", 2023, 5], [None, 2024, 6], [None, 2025, 7], ["B2", 2025, 8]]
    book = read_book(merged(make_book({"Weights": rows}), "A2:A4"))
    assert book.tables["weights"]["animal"].tolist() == ["B1", "B1", "B1", "B2"]
    assert told(book) == [("A2", "A2 to A4 are merged; the value is taken for each of these rows.")]


def test_read_book__warns_of_a_cell_merged_across(make_book):
    rows = [["Animal", "Date", "Weight", "Length"], ["B1", 2023, 5, None], ["B1", 2024, 6, 70]]
    book = read_book(merged(make_book({"Weights": rows}), "C2:D2"))
    assert np.isnan(book.tables["weights"]["length"][0])
    assert told(book) == [
        ("C2", "C2 to D2 are merged across columns; the value is taken for column C alone.")
    ]


def test_read_book__passes_over_a_merged_title(make_book):
    rows = [["My weights", None, None], ["Animal", "Date", "Weight"], ["B1", 2023, 5]]
    book = read_book(merged(make_book({"Weights": rows}), "A1:C1"))
    assert len(book.tables["weights"]) == 1
    assert [problem.severity for problem in book.problems] == [Severity.NOTE]


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


def test_read_book__reads_macro_books_by_their_content(make_book):
    path = make_book({"Weights": [["Animal", "Date"], ["B1", 2024]]})
    plain, macro = b"spreadsheetml.sheet.main+xml", b"ms-excel.sheet.macroEnabled.main+xml"
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(path.with_suffix(".xlsm"), "w") as target:
        for name in source.namelist():
            target.writestr(
                name,
                source.read(name).replace(
                    b"application/vnd.openxmlformats-officedocument." + plain, b"application/vnd." + macro
                ),
            )
    assert len(read_book(path.with_suffix(".xlsm")).tables["weights"]) == 1


def test_read_book__reads_bare_exports_without_styles_sizes_or_references(tmp_path):
    rows = (
        inline("Animal", "Date", "Weight (g)") + inline("B1", "2024-05-01", 350) + inline(12, 45413, "1.2 kg")
    )
    frame = read_book(by_hand(tmp_path / "export.xlsx", rows)).tables["weights"]
    assert frame["animal"].tolist() == ["B1", "12"]
    assert frame["date"].tolist() == [pd.Timestamp(2024, 5, 1)] * 2
    assert frame["weight"].tolist() == [350, 1200]


def test_read_book__does_not_trust_the_stated_size(tmp_path):
    path = by_hand(tmp_path / "book.xlsx", inline("Animal", "Date") + inline("B1", 2024) * 3)
    with zipfile.ZipFile(path) as source:
        parts = {name: source.read(name) for name in source.namelist()}
    parts["xl/worksheets/sheet1.xml"] = parts["xl/worksheets/sheet1.xml"].replace(
        b"<sheetData>", b'<dimension ref="A1"/><sheetData>'
    )
    with zipfile.ZipFile(path, "w") as target:
        for name, content in parts.items():
            target.writestr(name, content)
    assert len(read_book(path).tables["weights"]) == 3


def test_read_book__reads_a_sheet_formatted_to_its_last_row_in_bounded_time(tmp_path):
    """1,048,576 rows is the most a sheet can have; all but three hold formats, the last one a stray space besides."""
    formats = "".join(
        f'<row r="{row}" s="1"><c r="A{row}" s="1"/><c r="B{row}" s="1"/></row>'
        for row in range(5, 1_048_576)
    )
    stray = '<row r="1048576"><c r="A1048576" t="inlineStr"><is><t> </t></is></c></row>'
    path = by_hand(tmp_path / "book.xlsx", inline("Animal", "Date") + inline(7, 2024) * 3 + formats + stray)
    start = time.process_time()
    book = read_book(path)
    assert time.process_time() - start < 5
    assert book.tables["weights"]["row"].tolist() == [2, 3, 4]
    assert book.problems == ()


@pytest.mark.program
@pytest.mark.skipif(SOFFICE is None, reason="LibreOffice is not installed")
def test_read_book__reads_a_book_saved_by_libreoffice(make_book, tmp_path):
    rows = [
        ["animal", "Date", "Weight (g)", "Notes"],
        [12, datetime(2024, 5, 1), "=400+20", "first"],
        ["B2", 2023, "1.2 kg", None],
    ]
    path = make_book({"Weights": rows, "Hatch results": [["Pairing", "Count"], ["P1", 3]]})
    (saved,) = saved_by_libreoffice(tmp_path / "saved", path)
    book = read_book(saved)
    frame = book.tables["weights"]
    assert frame["weight"].tolist() == [420, 1200]
    assert frame["animal"].tolist() == ["12", "B2"]
    assert (frame["date"][0], frame["date_year"].tolist()) == (pd.Timestamp(2024, 5, 1), [2024, 2023])
    assert book.tables["hatch_results"]["count"].tolist() == [3]
    assert book.problems == ()


def test_read_book__never_writes_to_the_book(make_book):
    path = make_book({"Weights": [["Animal", "Date"], ["B1", 2024]]})
    before = (path.read_bytes(), path.stat().st_mtime_ns, sorted(path.parent.iterdir()))
    read_book(path)
    assert (path.read_bytes(), path.stat().st_mtime_ns, sorted(path.parent.iterdir())) == before
