"""calamine reads what openpyxl reads, or isn't asked."""

from datetime import date, datetime, time, timedelta
from pathlib import Path

import pandas as pd
import pytest
import xlsxwriter
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pipeline.errors import BookError
from pipeline.workbook import quick, sources
from pipeline.workbook.book import Book
from pipeline.workbook.package import open_package
from pipeline.workbook.quick import QuickBook
from pipeline.workbook.reading import read_book
from tests.libreoffice import SOFFICE, saved_by_libreoffice
from tests.workbook.bare_books import by_hand

WORKBOOKS = Path(__file__).parents[2] / "workbooks"
HEADER = ["Animal", "Date", "Weight (g)", "Length", "Condition", "Notes"]
FORMATS = (
    "General",
    "0.00",
    "0%",
    "yyyy-mm-dd",
    "d.m.yy h:mm",
    "[h]:mm",
    '0.0 "days"',
    "[Red]0;d",
    "*d0",
    "@",
    "mmm",
)

TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=12)
WORDS = st.sampled_from(
    [*"BR", "B1", " B1 ", "-", "12", "1,250", "1.2 kg", "2021-06-14", "05/06/2021", "a_x000D_b", "_x005F_"]
)
NUMBERS = (
    st.floats(-1e9, 1e9)
    | st.integers(-10, 70_000)
    | st.floats(0, 70_000)
    | st.sampled_from([1e300, 2**53, 1e-9])
)
TIMES = (
    st.datetimes(datetime(1900, 1, 1), datetime(9999, 1, 1))
    | st.times()
    | st.timedeltas(timedelta(0), timedelta(9))
)
CELLS = st.none() | TEXTS | WORDS | NUMBERS | st.booleans() | TIMES


def asked_alone(path: Path, monkeypatch: pytest.MonkeyPatch) -> Book:
    """The book as openpyxl alone reads it."""
    with monkeypatch.context() as patch:
        patch.setattr(QuickBook, "grid", lambda *_: None)
        return read_book(path)


def compare(path: Path, monkeypatch: pytest.MonkeyPatch) -> Book:
    """The book, once it has proved to be the same either way."""
    book, other = read_book(path), asked_alone(path, monkeypatch)
    assert book.problems == other.problems
    assert (book.tables.keys(), book.columns) == (other.tables.keys(), other.columns)
    for name, frame in book.tables.items():
        pd.testing.assert_frame_equal(frame, other.tables[name])
    return book


def quick_sheets(path: Path) -> list[str]:
    """Names of the sheets that calamine reads."""
    package = open_package(path)
    book = QuickBook(package, package.sheets)
    return [part.name for part in package.sheets if book.grid(part) is not None]


def written(path: Path, rows: list, **options: object) -> Path:
    """A sheet of weighings; a cell is a value, or a value and its number format."""
    with xlsxwriter.Workbook(
        path, {"nan_inf_to_errors": True, "default_date_format": "yyyy-mm-dd", **options}
    ) as book:
        formats = {code: book.add_format({"num_format": code}) for code in FORMATS}
        sheet = book.add_worksheet("Weights")
        sheet.write_row(0, 0, HEADER)
        for number, row in enumerate(rows, 1):
            for column, cell in enumerate(row):
                value, code = cell if isinstance(cell, tuple) else (cell, None)
                if value is not None:
                    sheet.write(number, column, value, formats.get(code))
    return path


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    rows=st.lists(st.lists(st.tuples(CELLS, st.sampled_from((None, *FORMATS))), max_size=7), max_size=6),
    epoch_1904=st.booleans(),
)
def test_read_book__is_the_same_by_either_reader(tmp_path, monkeypatch, rows, epoch_1904):
    compare(written(tmp_path / "book.xlsx", rows, date_1904=epoch_1904), monkeypatch)


@pytest.mark.parametrize("name", ["blank.xlsx", "demo.xlsx"])
def test_quick_book__reads_our_own_books(monkeypatch, name):
    package = open_package(WORKBOOKS / name)
    assert quick_sheets(WORKBOOKS / name) == [part.name for part in package.sheets]
    compare(WORKBOOKS / name, monkeypatch)


@pytest.mark.program
@pytest.mark.skipif(SOFFICE is None, reason="LibreOffice is not installed")
def test_quick_book__reads_a_book_saved_by_libreoffice(monkeypatch, tmp_path):
    (saved,) = saved_by_libreoffice(tmp_path, WORKBOOKS / "demo.xlsx")
    assert "Hatch results" in quick_sheets(saved)
    compare(saved, monkeypatch)


@pytest.mark.parametrize(
    "cell",
    [
        "<v>1</v>", "<v>1.0</v>", "<v>1E2</v>", "<f>1+1</f>", "<f>1+1</f><v/>", "<f>1+1</f><v>2</v>", "<v></v>",
        ("str", "<f>A1</f><v></v>"), ("str", "<v xml:space='preserve'> x </v>"), ("str", "<v>12</v>"), ("b", "<v>0</v>"),
        ("inlineStr", "<is><t> x </t></is>"), ("inlineStr", "<is><t>a&amp;b&#10;c</t></is>"), ("inlineStr", "<is/>"),
        ("inlineStr", "<is><t>a</t><rPh sb='0' eb='1'><t>b</t></rPh></is>"), ("inlineStr", "<is><t>a\r\nb\tc</t></is>"),
    ],
)  # fmt: skip
def test_quick_book__reads_plain_cells(monkeypatch, tmp_path, cell):
    path = by_hand(tmp_path / "book.xlsx", weighing(cell))
    assert quick_sheets(path) == ([] if "='" in str(cell) else ["Weights"])
    compare(path, monkeypatch)


@pytest.mark.parametrize(
    "cell",
    [
        ("e", "<v>#N/A</v>"), ("e", "<f>A1</f><v>#SPILL!</v>"), ("d", "<v>2021-06-14</v>"), "<v>12345678901234567890</v>", "<v>1e999</v>",
        ("inlineStr", "<is><t>a_x000D_b</t></is>"), ("inlineStr", "<is><r><t>a</t></r><r><t> b</t></r></is>"),
        ("str", "<v>a<!-- remark -->b</v>"), ("inlineStr", "<is><t><![CDATA[a<b]]></t></is>"),
    ],
)  # fmt: skip
def test_quick_book__leaves_other_cells_to_openpyxl(monkeypatch, tmp_path, cell):
    path = by_hand(tmp_path / "book.xlsx", weighing(cell))
    assert quick_sheets(path) == []
    compare(path, monkeypatch)


def weighing(cell: str | tuple[str, str]) -> str:
    """A header, a row of a weighing with that cell among its notes, and one without."""
    kind, body = cell if isinstance(cell, tuple) else ("n", cell)
    names = "".join(
        f'<c r="{c}1" t="inlineStr"><is><t>{name}</t></is></c>'
        for c, name in zip("ABCF", ["Animal", "Date", "Weight", "Notes"], strict=True)
    )
    plain = '<c r="A{0}"><v>7</v></c><c r="B{0}"><v>2024</v></c><c r="C{0}"><v>5.5</v></c>'
    return f'<row r="1">{names}</row><row r="2">{plain.format(2)}<c r="F2" t="{kind}">{body}</c></row><row r="3">{plain.format(3)}</row>'


def test_quick_book__leaves_times_spans_and_far_days_to_openpyxl(monkeypatch, tmp_path):
    for odd in (
        time(12, 30),
        (timedelta(hours=30), "[h]:mm"),
        (-1.5, "yyyy-mm-dd"),
        (2_958_466, "yyyy-mm-dd"),
        (10.0**15, "0.00"),
    ):
        path = written(tmp_path / "book.xlsx", [["B1", date(2024, 5, 1), 350], ["B1", odd, 350]])
        assert quick_sheets(path) == []
        compare(path, monkeypatch)


@pytest.mark.parametrize("far", ["XFD1048576", "AA10000", "A400000", "AAA3", "a9"])
def test_quick_book__is_not_asked_to_lay_out_a_huge_sheet(tmp_path, far):
    """A full rectangle down to XFD1048576 would take 17 thousand million cells."""
    rows = f'<row r="1"><c r="A1"><v>1</v></c></row><row r="3"><c r="{far}"><v>1</v></c></row>'
    assert quick_sheets(by_hand(tmp_path / "book.xlsx", rows)) == []


def test_quick_book__is_asked_for_all_that_fits(monkeypatch, tmp_path):
    monkeypatch.setattr(quick, "LARGEST_COPY", 900)
    with xlsxwriter.Workbook(tmp_path / "book.xlsx") as book:
        for name, rows in (("Weights", 3), ("Animals", 500), ("Goals", 3)):
            book.add_worksheet(name).write_column(0, 0, ["x"] * rows)
    assert quick_sheets(tmp_path / "book.xlsx") == ["Weights"]


def test_quick_book__does_not_read_on_where_the_xml_is_broken(tmp_path):
    """calamine would lose the rows behind an end tag of another name."""
    path = by_hand(
        tmp_path / "book.xlsx",
        '<row r="1"><c r="A1"><v>1</w></c></row><row r="2"><c r="A2"><v>1</v></c></row>',
    )
    assert quick_sheets(path) == []
    with pytest.raises(BookError, match="damaged inside"):
        read_book(path)


def test_quick_book__leaves_texts_with_formatted_stretches_apart(monkeypatch, tmp_path):
    with xlsxwriter.Workbook(tmp_path / "book.xlsx") as book:
        sheet, bold = book.add_worksheet("Weights"), book.add_format({"bold": True})
        sheet.write_row(0, 0, ["Animal", "Date", "Notes"])
        sheet.write_row(1, 0, ["B1", 2024])
        sheet.write_rich_string(1, 2, "shed ", bold, "in one", " piece")
    assert compare(tmp_path / "book.xlsx", monkeypatch).tables["weights"]["notes"].tolist() == [
        "shed in one piece"
    ]


def test_sources__opens_openpyxl_only_where_it_is_needed(monkeypatch):
    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("openpyxl was asked")

    monkeypatch.setattr(sources.openpyxl, "load_workbook", refuse)
    assert len(read_book(WORKBOOKS / "demo.xlsx").tables["animals"]) > 10
