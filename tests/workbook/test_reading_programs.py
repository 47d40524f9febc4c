"""Books as programs write them: with macros, with the least that a file may hold, formatted to the last row."""

import time
import zipfile
from datetime import datetime

import pandas as pd
import pytest

from pipeline.workbook.reading import read_book
from tests.libreoffice import SOFFICE, saved_by_libreoffice
from tests.workbook.bare_books import by_hand, inline


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
