"""Any workbook at all goes through reading, check and season: what is wrong with it becomes problems, never a traceback."""

import tempfile
from datetime import date, datetime, time, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from pipeline.errors import BookError
from pipeline.problems import Severity
from pipeline.questions import answers
from pipeline.store.database import Store
from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book
from pipeline.workbook.sheets import SHEETS, Kind
from tests.endtoend.small import AS_OF, small_book
from tests.hostile.labels_at_random import WORDS

CHEAP = ("ratios", "carriers", "kin", "growth", "prices")
JUNK = st.one_of(
    st.none(), st.booleans(), st.integers(-(10**12), 10**12), st.floats(allow_nan=False, allow_infinity=False),
    st.dates(date(1900, 1, 1), date(9999, 12, 31)), st.datetimes(datetime(1900, 1, 1), datetime(9999, 12, 31)),
    st.just(time(1, 2)), st.just(timedelta(days=3)),
    st.sampled_from(["", " ", "?", "-", "n/a", "=1/0", "=A1", "#REF!", "#N/A", "nan", "1e999", "1,250", "2 lb 3 oz", "12/5/2020", "9999", "💥", "\u202e", "x" * 300]),
    st.text(st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\ufffe\uffff"), max_size=12),
)  # fmt: skip
LABELS = st.lists(st.sampled_from(WORDS), min_size=1, max_size=6).map(" ".join)
NAMED = st.sampled_from(
    ["B1", "b1", "B2", "B3", "B4", "P23", "P25", "Common boa", "common  boa", "Corn snake", "Motley", "Anery"]
)


def cells(column):
    """What may stand in a column: mostly what belongs there."""
    fits = {
        Kind.CHOICE: st.sampled_from(column.choices or ("x",)), Kind.DATE: st.dates(date(2015, 1, 1), date(2026, 1, 1)),
        Kind.INTEGER: st.integers(0, 30), Kind.NUMBER: st.floats(0, 3000), Kind.PERCENT: st.floats(0, 100), Kind.YEAR: st.integers(2015, 2026),
        Kind.GENES: LABELS,
    }.get(column.kind, NAMED)  # fmt: skip
    return st.one_of(fits, fits, fits, st.none(), JUNK)


@st.composite
def tabs(draw, sheet):
    """Rows of a sheet: the small collection's, some of them changed, doubled, shuffled, with columns lost, added, moved."""
    headers = [column.header for column in sheet.columns]
    rows = [[row.get(header) for header in headers] for row in small_book().get(sheet.name, ())]
    if not rows or draw(st.booleans()):
        rows += draw(st.lists(st.tuples(*map(cells, sheet.columns)).map(list), max_size=4))
    for _ in range(draw(st.integers(0, 4))):
        if rows:
            row, at = draw(st.sampled_from(rows)), draw(st.integers(0, len(headers) - 1))
            row[at] = draw(cells(sheet.columns[at]))
    if rows and draw(st.booleans()):
        rows.append(list(draw(st.sampled_from(rows))))
    order = draw(st.permutations(range(len(headers)))) if draw(st.booleans()) else range(len(headers))
    lost = draw(st.sets(st.sampled_from(range(len(headers))), max_size=2)) if draw(st.booleans()) else set()
    table = [headers, *draw(st.permutations(rows))]
    table = [[row[at] for at in order if at not in lost] for row in table]
    above = draw(st.lists(st.lists(JUNK, max_size=3), max_size=2)) if draw(st.integers(0, 5)) == 0 else []
    return above + table


@st.composite
def books(draw):
    """Tabs by title, and ranges to merge."""
    named = draw(
        st.lists(
            st.sampled_from(SHEETS), min_size=1, max_size=len(SHEETS), unique_by=lambda sheet: sheet.name
        )
    )
    book = {sheet.name: draw(tabs(sheet)) for sheet in named}
    if draw(st.integers(0, 4)) == 0:
        book["Anything"] = draw(st.lists(st.lists(JUNK, max_size=4), max_size=4))
    merged = draw(
        st.lists(
            st.tuples(st.sampled_from(sorted(book)), st.sampled_from(["A2:A4", "B2:C3", "A1:B1", "C3:C9"])),
            max_size=2,
        )
    )
    return book, merged


def written(book, merged, path: Path) -> Path:
    workbook = Workbook()
    workbook.remove(workbook.active)
    for title, rows in book.items():
        tab = workbook.create_sheet(title)
        for row in rows:
            tab.append(row)
    for title, area in dict(merged).items():
        workbook[title].merge_cells(area)
    workbook.save(path)
    return path


def goes_through(book, merged) -> None:
    """Read, checked, answered; each problem has a place in the book and a sentence."""
    with tempfile.TemporaryDirectory() as folder:
        path = written(book, merged, Path(folder) / "book.xlsx")
        try:
            found = checked(read_book(path), AS_OF)
        except BookError as refused:
            assert str(refused).endswith(".")
            return
        for problem in found.problems:
            assert problem.place.book == "book.xlsx" and problem.message.endswith((".", "?"))
            assert problem.severity is not Severity.ERROR or problem.place.sheet
        with Store() as store:
            store.load(found.book.tables)
            for name, frame in answers(found, store, AS_OF, questions=CHEAP):
                store.save(name, frame.assign(book="book.xlsx"))


SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example]


@settings(max_examples=15, deadline=None, suppress_health_check=SLOW)
@given(books())
def test_season__any_workbook_goes_through(book):
    goes_through(*book)


@pytest.mark.study
@settings(max_examples=2_000, deadline=None, suppress_health_check=SLOW)
@given(books())
def test_season__any_of_very_many_workbooks_goes_through(book):
    goes_through(*book)
