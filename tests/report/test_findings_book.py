"""findings.xlsx: cells equal the frames, nothing typed turns into a formula or a link, empty tables are said."""

from datetime import date
from urllib.parse import unquote

import pandas as pd
import pytest
from openpyxl import load_workbook

from pipeline.report.excel_charts import TITLE
from pipeline.report.findings_book import DRAWN, HEADER, write_findings_book
from pipeline.store.tables import FINDINGS
from tests.libreoffice import SOFFICE, saved_by_libreoffice
from tests.report.invented import BOOK, HEAD, findings
from tests.report.test_excel_charts import grown


@pytest.fixture
def write(tmp_path):
    def written(frames, name="findings.xlsx"):
        path = tmp_path / name
        write_findings_book(frames, path, as_of=HEAD.as_of)
        return path

    return written


def rows_of(sheet):
    head, *rows = sheet.iter_rows(min_row=HEADER + 1, values_only=True)
    return [dict(zip(head, row, strict=True)) for row in rows]


def same(one, other):
    """Equal; numbers to the 15 digits that a spreadsheet keeps; an empty text is an empty cell."""
    if isinstance(one, int | float) and isinstance(other, int | float):
        return one == pytest.approx(other, rel=1e-14)
    return (one or None) == (other or None)


def plain(value):
    """A cell as openpyxl reads it back."""
    if pd.isna(value):
        return None
    return value.to_pydatetime() if isinstance(value, pd.Timestamp) else value


@pytest.mark.parametrize(
    "name, sheet",
    [("ratio_tests", "Ratios"), ("growth", "Growth and readiness"), ("problems", "Problems in the book")],
)
def test_write_findings_book__cells_equal_the_frame(write, name, sheet):
    frames = findings()
    read = rows_of(load_workbook(write(frames))[sheet])
    assert len(read) == len(frames[name])
    for row, (_, expected) in zip(read, frames[name].iterrows(), strict=True):
        for column in expected.index:
            cell = row[column.replace("_", " ")]
            assert same(cell, plain(expected[column])), column


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(A1)", "{=1}", "http://127.0.0.1/", "12", "0042", "<b>", "a\nb"]
)
def test_write_findings_book__what_was_typed_stays_text(write, text):
    frames = findings()
    frames["problems"].loc[0, "value"] = text
    cell = load_workbook(write(frames))["Problems in the book"].cell(HEADER + 2, 5)
    assert (cell.value, cell.data_type, cell.hyperlink) == (text, "s", None)


def test_write_findings_book__a_cell_holds_no_more_than_excel_allows(write):
    frames = findings()
    frames["problems"].loc[0, "value"] = "x" * 40_000
    assert len(load_workbook(write(frames))["Problems in the book"].cell(HEADER + 2, 5).value) == 32_767


def test_write_findings_book__rows_are_as_tall_as_what_wraps_in_them(write):
    frames = findings()
    frames["problems"].loc[0, ["message", "hint"]] = ["word " * 40, "a\nb\nc"]
    frames["problems"].loc[1, ["message", "hint"]] = ["short", "short"]
    rows = load_workbook(write(frames))["Problems in the book"].row_dimensions
    assert rows[HEADER + 2].height > 4 * 15 and rows[HEADER + 3].height is None


def test_write_findings_book__contents_lists_every_table_and_says_which_are_empty(write):
    contents = load_workbook(write({}))["Contents"]
    rows = {row[0]: row[1:] for row in contents.iter_rows(min_row=HEADER + 2, max_col=3, values_only=True)}
    shown = [table for table in FINDINGS if table.name not in DRAWN]
    assert all(rows[table.title] == (0, f"Nothing found. {table.meaning}") for table in shown)


def test_write_findings_book__sheets_follow_the_registry(write):
    names = load_workbook(write(findings())).sheetnames
    assert names[:4] == ["Contents", "Problems in the book", "Ratios", "Ratio classes"]
    assert all(len(name) <= 31 for name in names)


def test_write_findings_book__header_is_frozen_filtered_and_explained(write):
    sheet = load_workbook(write(findings()))["Ratios"]
    assert sheet.freeze_panes == f"A{HEADER + 2}"
    assert sheet.auto_filter.ref.startswith(f"A{HEADER + 1}:")
    assert sheet.cell(HEADER + 1, 2).comment.text == "The species."


def test_write_findings_book__same_findings_same_file(write):
    assert write(findings(), "one.xlsx").read_bytes() == write(findings(), "two.xlsx").read_bytes()


def test_write_findings_book__dates_of_either_kind_become_excel_dates(write):
    frames = findings()
    frames["calendar"] = frames["calendar"].assign(due_on=date(2026, 6, 1))
    (cell,) = {row["due on"] for row in rows_of(load_workbook(write(frames))["Calendar"])}
    assert cell.date() == date(2026, 6, 1)


def links(book, folder):
    """Where each linked cell leads: the file, resolved from the folder, and the place in it."""
    found = {}
    for sheet in ("Ratios", "Growth and readiness", "Problems in the book"):
        for cell in (cell for row in book[sheet] for cell in row if cell.hyperlink):
            way = unquote(cell.hyperlink.target.replace("\\", "/"))
            place = unquote(cell.hyperlink.location).replace("'", "")
            found[sheet, cell.coordinate] = ((folder / way).resolve(), place)
    return found


@pytest.mark.program
@pytest.mark.skipif(SOFFICE is None, reason="LibreOffice is not installed")
def test_write_findings_book__libreoffice_opens_it_without_loss(write, tmp_path):
    places = pd.DataFrame([{
        "book": BOOK, "kind": kind, "species": "Corn snake", "id": name, "sheet": "My Animals", "first_row": 7,
        "last_row": 7, "records": 1,
    } for kind, name in (("animal", "A001"), ("pairing", "P001"))])  # fmt: skip
    path, out = write({**grown(), "record_places": places}), tmp_path / "out"
    (saved,) = saved_by_libreoffice(out, path)
    opened, written = load_workbook(saved), load_workbook(path)
    assert opened.sheetnames == written.sheetnames and TITLE in written.sheetnames
    assert len(opened[TITLE]._charts) == len(written[TITLE]._charts) == 1
    assert links(opened, out) == links(written, tmp_path) != {}
    for sheet in ("Ratios", "Growth and readiness", "Prices"):
        after, before = (rows_of(book[sheet]) for book in (opened, written))
        assert [list(row) for row in after] == [list(row) for row in before]
        pairs = zip(after, before, strict=True)
        assert all(same(one[name], other[name]) for one, other in pairs for name in one)
