"""A book that LibreOffice opened and saved says what it said before."""

import shutil
import subprocess

import pytest

from pipeline.example.collection import AS_OF
from pipeline.store.tables import FINDINGS
from pipeline.workbook.template import write_book
from tests.endtoend.running import assert_same, findings_of

SOFFICE = shutil.which("soffice") or shutil.which("libreoffice")
pytestmark = [
    pytest.mark.program,
    pytest.mark.skipif(SOFFICE is None, reason="LibreOffice is not installed"),
]


@pytest.fixture(scope="module")
def saved_anew(demo, tmp_path_factory):
    """The findings of the blank and the demo book, each before and after LibreOffice saved it as .xlsx."""
    folder = tmp_path_factory.mktemp("libreoffice")
    write_book(folder / "blank.xlsx")
    shutil.copy(demo.book, folder / "demo.xlsx")
    books = [folder / "blank.xlsx", folder / "demo.xlsx"]
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    convert = ["--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", folder / "saved"]
    subprocess.run([SOFFICE, profile, *convert, *books], check=True, capture_output=True, timeout=180)
    return {
        book.stem: (demo.findings if book.stem == "demo" else findings_of(book, AS_OF), findings_of(folder / "saved" / book.name, AS_OF))
        for book in books
    }  # fmt: skip


@pytest.mark.parametrize("name", [table.name for table in FINDINGS])
@pytest.mark.parametrize("book", ["blank", "demo"])
def test_season__a_trip_through_libreoffice_changes_no_finding(saved_anew, book, name):
    before, after = saved_anew[book]
    assert_same(before[name], after[name], name)
