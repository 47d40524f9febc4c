"""The old list as plain grids of cells: every worksheet of a workbook, or the one table of a text file."""

import re
import warnings
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, time
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.errors import BookError
from pipeline.workbook.bringing.text_files import text_rows
from pipeline.workbook.cells import tidy
from pipeline.workbook.package import Package, content_of, open_package
from pipeline.workbook.scan import scan_sheet
from pipeline.workbook.sheets import OWN_SHEETS
from pipeline.workbook.slimming import slimmed
from pipeline.workbook.xstring import decoded_row

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

TEXT_FILES = frozenset({".csv", ".tsv", ".txt", ".tab"})
_UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
"""Characters that no workbook can hold."""


@dataclass(frozen=True)
class Grid:
    """A table as it stands in the file: `rows[0]` is row 1, None where a cell is blank.

    `remarks` are the notes that hang on cells, by cell ('B5'), in the order of the rows.
    """

    name: str
    rows: tuple[tuple, ...]
    remarks: tuple[tuple[str, str], ...] = ()


def read_grids(path: Path) -> tuple[Grid, ...]:
    """The tables of an old list with anything in them; BookError, in one sentence, where it can't be read.

    A text file is one table by the file's name. The help and list sheets of a book of ours are passed over.
    """
    if path.suffix.lower() in TEXT_FILES:
        grids = [_grid(path.stem, text_rows(path.name, content_of(path)))]
    else:
        grids = _worksheets(slimmed(open_package(path)))
    filled = tuple(grid for grid in grids if grid.rows or grid.remarks)
    if not filled:
        raise BookError(f"{path.name} holds no filled cell; check that it is the list you mean.")
    return filled


def _worksheets(package: Package) -> list[Grid]:
    import openpyxl

    _refuse_unstored(package)
    with warnings.catch_warnings(), package.guarded():
        warnings.simplefilter("ignore")
        book = openpyxl.load_workbook(BytesIO(package.data), data_only=True, keep_links=False)
    ours = {part.name for part in package.sheets if part.name in OWN_SHEETS}
    passed = ours if set(OWN_SHEETS[:2]) <= ours else set()
    return [
        _grid(sheet.title, _values(sheet), _remarks(sheet))
        for sheet in book.worksheets
        if sheet.title not in passed
    ]


def _refuse_unstored(package: Package) -> None:
    """A formula without a stored value is a cell nobody can read: better no book than one that lacks it."""
    for part in package.sheets:
        with package.archive() as archive, archive.open(part.part) as stream:
            unstored = scan_sheet(stream).unstored if part.name not in OWN_SHEETS else ()
        if unstored:
            raise BookError(
                f"{package.name} has {len(unstored)} formulas without a stored value on sheet '{part.name}'; "
                "open it in Excel or LibreOffice, save it there, and bring it in again."
            )


def _values(sheet: "Worksheet") -> list[list]:
    """All cells; one merged down several rows of a column holds for each of them."""
    rows = [decoded_row(row) for row in sheet.iter_rows(values_only=True)]
    for area in sheet.merged_cells.ranges:
        for row in range(area.min_row, min(area.max_row, len(rows))):
            rows[row][area.min_col - 1] = rows[area.min_row - 1][area.min_col - 1]
    return rows


def _remarks(sheet: "Worksheet") -> list[tuple[str, str]]:
    return [
        (cell.coordinate, _writable(cell.comment.text))
        for row in sheet.iter_rows()
        for cell in row
        if cell.comment and tidy(cell.comment.text or "")
    ]


def _grid(name: str, rows: Iterable[Sequence], remarks: Iterable[tuple[str, str]] = ()) -> Grid:
    cleaned = [tuple(_cell(value) for value in row) for row in rows]
    while cleaned and all(value is None for value in cleaned[-1]):
        cleaned.pop()
    return Grid(name, tuple(cleaned), tuple(remarks))


def _cell(value: object) -> object:
    """A blank text is no content, a midnight is a day, and what no workbook can hold is left out."""
    if isinstance(value, str):
        words = _writable(value)
        return words if tidy(words) else None
    if isinstance(value, datetime) and value.time() == time():
        return value.date()
    return value


def _writable(text: str) -> str:
    return _UNWRITABLE.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))
