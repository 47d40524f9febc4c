"""Books that LibreOffice opened, reckoned anew and saved say what they said before, and keep what a keeper works with."""

import re
import shutil
import zipfile
from datetime import date, datetime, timedelta
from functools import cache
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from pipeline.example.collection import AS_OF
from pipeline.problems import Place, Problem, Severity
from pipeline.store.tables import FINDINGS
from pipeline.workbook.marking import mark_copy
from pipeline.workbook.template import write_book
from tests.endtoend.running import assert_same, findings_of
from tests.libreoffice import NEEDS_LIBREOFFICE, saved_by_libreoffice
from tests.workbook.own_book import write_own_book

pytestmark = [
    *NEEDS_LIBREOFFICE,
    pytest.mark.filterwarnings("ignore:.*extension is not supported and will be removed"),
]
BOOKS = ("blank", "demo", "findings", "marked", "own", "own-marked")
OURS = ("blank", "demo", "marked")
"""Those with the drop-downs of the blank book."""
MARKED = [("Animals", 3, "F"), ("Animals", 5, "G"), ("Hatch results", 9, "D"), ("Pairings", 4, None)]
EPOCH = datetime(1899, 12, 30)


@pytest.fixture(scope="module")
def folder(demo, tmp_path_factory) -> Path:
    """All books, and in `saved` each as LibreOffice saved it; started once, since that takes seconds."""
    folder = tmp_path_factory.mktemp("libreoffice")
    write_book(folder / "blank.xlsx")
    shutil.copy(demo.book, folder / "demo.xlsx")
    shutil.copy(demo.season.folder / "findings.xlsx", folder / "findings.xlsx")
    mark_copy(folder / "demo.xlsx", problems("demo.xlsx"), folder / "marked.xlsx")
    write_own_book(folder / "own.xlsx")
    where = Place("own.xlsx", "Animals", 3, "B")
    mark_copy(folder / "own.xlsx", [Problem(Severity.ERROR, where, "Too heavy.")], folder / "own-marked.xlsx")
    saved_by_libreoffice(folder / "saved", *(folder / f"{name}.xlsx" for name in BOOKS))
    return folder


def problems(book: str) -> list[Problem]:
    return [
        Problem(Severity.WARNING, Place(book, sheet, row, column), "Look again.")
        for sheet, row, column in MARKED
    ]


@cache
def loaded(path: Path, values: bool) -> Workbook:
    return load_workbook(path, data_only=values)


def two(folder: Path, name: str, values: bool = False) -> tuple[Workbook, Workbook]:
    """A book before and after, with its formulas or with their values."""
    return tuple(loaded(place / f"{name}.xlsx", values) for place in (folder, folder / "saved"))


@cache
def cells(book: Workbook) -> dict[tuple[str, str], object]:
    """What every filled cell says, dates as their number and numbers to ten digits."""
    return {
        (page.title, cell.coordinate): said(cell.value)
        for page in book
        for row in page.iter_rows()
        for cell in row
        if cell.value not in (None, "")
    }


TRUTHS = {"=TRUE()": True, "=FALSE()": False}
"""LibreOffice writes a truth as a formula."""


def said(value: object) -> object:
    if value in TRUTHS:
        return TRUTHS[value]
    if isinstance(value, datetime | date):
        value = datetime(*value.timetuple()[:6]) - EPOCH
    if isinstance(value, timedelta):
        value = value / timedelta(days=1)
    if isinstance(value, bool):
        return value
    return float(f"{value:.10g}") if isinstance(value, int | float) else value


@cache
def formulas(book: Workbook) -> set[tuple[str, str]]:
    return {
        (page.title, cell.coordinate)
        for page in book
        for row in page.iter_rows()
        for cell in row
        if cell.data_type == "f" and cell.value not in TRUTHS
    }


@pytest.mark.parametrize("name", [table.name for table in FINDINGS])
@pytest.mark.parametrize("book", ["blank", "demo"])
def test_season__a_trip_through_libreoffice_changes_no_finding(found, book, name):
    before, after = found[book]
    assert_same(before[name], after[name], name)


@pytest.fixture(scope="module")
def found(demo, folder):
    """The findings of the blank and the demo book before and after."""
    return {
        "blank": (
            findings_of(folder / "blank.xlsx", AS_OF),
            findings_of(folder / "saved" / "blank.xlsx", AS_OF),
        ),
        "demo": (demo.findings, findings_of(folder / "saved" / "demo.xlsx", AS_OF)),
    }


@pytest.mark.parametrize("name", BOOKS)
def test_libreoffice__every_cell_says_what_it_said(folder, name):
    before, after = two(folder, name)
    assert before.sheetnames == after.sheetnames
    reckoned = formulas(before)
    assert formulas(after) == reckoned
    old, new = (
        {at: value for at, value in cells(book).items() if at not in reckoned} for book in (before, after)
    )
    assert {
        at: (old.get(at), new.get(at)) for at in old.keys() | new.keys() if old.get(at) != new.get(at)
    } == {}


@pytest.mark.parametrize("name", BOOKS)
def test_libreoffice__reckons_every_formula_to_a_value_and_to_that_which_was_stored(folder, name):
    reckoned = formulas(loaded(folder / f"{name}.xlsx", False))
    stored, values = (cells(book) for book in two(folder, name, True))
    assert {at: values[at] for at in reckoned if str(values.get(at)).startswith(("#", "Err:"))} == {}
    differing = {
        at: (stored[at], values.get(at)) for at in reckoned & stored.keys() if stored[at] != values.get(at)
    }
    assert differing == {}


def lists(page: Worksheet) -> set[tuple[str, str]]:
    """The first cell of each drop-down and what it offers, written alike."""
    return {
        (str(area).split(":")[0], rule.formula1.replace("$", "").replace("'", "").replace(" ", ""))
        for rule in page.data_validations.dataValidation
        if rule.type == "list"
        for area in rule.sqref.ranges
    }


@pytest.mark.parametrize("name", OURS)
def test_libreoffice__drop_downs_and_colour_rules_survive(folder, name):
    before, after = two(folder, name)
    offered = [(page.title, *one) for page in before for one in lists(page)]
    assert len(offered) > 20
    kept = {(page.title, cell) for page in after for cell, _ in lists(page)}
    assert {(title, cell) for title, cell, _ in offered} <= kept
    rules = [(page.title, len(page.conditional_formatting)) for page in before]
    assert [(page.title, len(page.conditional_formatting)) for page in after] == rules


def test_libreoffice__marks_are_seen_and_read(folder):
    _, after = two(folder, "marked")
    for sheet, row, column in MARKED:
        cell = after[sheet][f"{column or 'A'}{row}"]
        assert cell.fill.fgColor.rgb == "FFF7F1A0" and cell.comment.text.endswith("Warning: Look again.")


def test_libreoffice__findings_keep_their_links_filters_and_charts(folder):
    links, filters, charts = (
        [told(place, loaded(place / "findings.xlsx", False)) for place in (folder, folder / "saved")]
        for told in (links_of, filters_of, charts_of)
    )
    assert links[0] == links[1] and len(links[0]) > 500
    assert filters[0] == filters[1] and len(filters[0]) > 20
    assert charts[0] == charts[1] > 0


def links_of(_: Path, book: Workbook) -> set[tuple[str, str]]:
    cells = ((page.title, cell) for page in book for row in page.iter_rows() for cell in row)
    return {(title, cell.coordinate) for title, cell in cells if cell.hyperlink}


def filters_of(_: Path, book: Workbook) -> set[tuple[str, str]]:
    return {(page.title, page.auto_filter.ref) for page in book if page.auto_filter.ref}


def charts_of(folder: Path, _: Workbook) -> int:
    with zipfile.ZipFile(folder / "findings.xlsx") as book:
        return sum(name.startswith("xl/charts/chart") for name in book.namelist())


def test_libreoffice__a_keeper_s_own_pictures_charts_and_formats_survive_marking(folder):
    """What LibreOffice makes of the marked copy is what it makes of the book, the one mark aside."""
    plain, marked = (folder / "saved" / f"{name}.xlsx" for name in ("own", "own-marked"))
    assert drawn(plain) == drawn(marked) and len(drawn(plain)) == 3
    before, after = (looks_of(loaded(path, False)) for path in (plain, marked))
    assert {at for at in before if before[at] != after[at]} == {("Animals", "B3")}


_AXES = re.compile(rb'(axId|crossAx) val="\d+"')
"""Numbers that LibreOffice draws anew for every chart it writes."""


def drawn(path: Path) -> list[bytes]:
    """The contents of its charts and pictures."""
    with zipfile.ZipFile(path) as book:
        names = [name for name in book.namelist() if name.startswith(("xl/charts/chart", "xl/media/"))]
        return sorted(_AXES.sub(b"", book.read(name)) for name in names)


def looks_of(book: Workbook) -> dict[tuple[str, str], tuple]:
    return {
        (page.title, cell.coordinate): (
            cell.number_format,
            cell.font.b,
            cell.fill.fgColor.rgb,
            cell.alignment.horizontal,
        )
        for page in book
        for row in page.iter_rows()
        for cell in row
    }
