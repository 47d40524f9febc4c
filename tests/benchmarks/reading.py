"""Reading a book, and checking it, beside the two libraries that only hand out its cells."""

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import openpyxl
from python_calamine import CalamineWorkbook

from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book
from tests.benchmarks.measuring import Row, seconds
from tests.simulate.keepers import keeper, write_book_of

SIZES = (400, 1_600, 6_400)
"""Animals; with their young, weighings and prices eight rows each."""
AS_OF = date(2025, 12, 31)


def rows(sizes: Sequence[int] = SIZES) -> Iterator[Row]:
    """Reading alone against both libraries; reading and checking against openpyxl."""
    with TemporaryDirectory() as folder:
        for animals in sizes:
            path = Path(folder) / f"{animals}.xlsx"
            sheets = keeper(animals, seed=animals)
            write_book_of(sheets, path)
            yield from _of(path, sum(map(len, sheets.values())))


def _of(path: Path, size: int) -> Iterator[Row]:
    alone, both = seconds(lambda: read_book(path)), seconds(lambda: checked(read_book(path), AS_OF))
    bare = seconds(lambda: streamed(path), times=1)
    yield Row("reading", size, "rows", alone, "openpyxl, cells alone", bare)
    yield Row("reading", size, "rows", alone, "python-calamine, cells alone", seconds(lambda: _cells(path)))
    yield Row("reading and checking", size, "rows", both, "openpyxl, cells alone", bare)


def streamed(path: Path) -> None:
    """Every cell of every sheet through openpyxl's streaming reader, and nothing done with it."""
    workbook = openpyxl.load_workbook(path, read_only=True, data_only=True)
    for page in workbook.worksheets:
        for _ in page.iter_rows(values_only=True):
            pass
    workbook.close()


def _cells(path: Path) -> None:
    workbook = CalamineWorkbook.from_path(path)
    for name in workbook.sheet_names:
        workbook.get_sheet_by_name(name).to_python()
