"""A copy of the keeper's workbook with its problems marked where they are."""

import warnings
from collections import defaultdict
from collections.abc import Iterable
from copy import copy as copied
from io import BytesIO
from pathlib import Path

from openpyxl import Workbook, load_workbook
from openpyxl.cell import Cell, MergedCell
from openpyxl.styles.colors import Color
from openpyxl.worksheet.worksheet import Worksheet

from pipeline.errors import RequestError
from pipeline.problems import Place, Problem, sorted_problems
from pipeline.workbook.dropdowns import extended_validations
from pipeline.workbook.notes import extended, note
from pipeline.workbook.package import Package, open_package
from pipeline.workbook.saving import refuse_existing, save_book
from pipeline.workbook.sheets import snake
from pipeline.workbook.styles import MARKS

_TAKEN = "give the marked copy another name"
_WITH_MACROS = {".xlsm", ".xltm"}


def mark_copy(book: Path, problems: Iterable[Problem], copy: Path) -> int:
    """Write `copy`, a copy of the workbook `book` with every problem's cell coloured and noted.

    A problem of a row marks the row's first cell; one of a whole sheet is a note on its A1, one of a sheet that the
    book lacks a note on the first sheet's. Only problems of that book are marked. Returns how many cells were marked.
    The original is only read. The copy keeps sheets, formats, notes, drop-downs, formulas and macros; Excel computes
    the formulas anew when it opens the copy. Drawn shapes are not kept.

    RequestError where `copy` exists or has another ending than `book`; BookError where `book` can't be read.
    """
    refuse_existing(copy, _TAKEN)
    if copy.suffix.lower() != book.suffix.lower():
        raise RequestError(f"{copy.name} must end in {book.suffix}, as the book does; {_TAKEN}.")
    package = open_package(book)
    workbook = _load(package, book.suffix.lower() in _WITH_MACROS)
    marks: dict[tuple[str, str], list[Problem]] = defaultdict(list)
    for problem in sorted_problems(problems):
        if problem.place.book == book.name:
            marks[_cell_of(workbook, problem.place)].append(problem)
    for (sheet, place), found in marks.items():
        _mark(workbook[sheet][place], found)
    save_book(workbook, copy, _TAKEN)
    return len(marks)


def _load(package: Package, with_macros: bool) -> Workbook:
    """The whole workbook. openpyxl warns of extensions it drops; those that matter are put back here."""
    with package.guarded(), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        workbook = load_workbook(BytesIO(package.data), keep_vba=with_macros, rich_text=True)
    for sheet, rule in extended_validations(package):
        workbook[sheet].add_data_validation(rule)
    for sheet in workbook.worksheets:
        _fit_header_notes(sheet)
    return workbook


def _fit_header_notes(sheet: Worksheet) -> None:
    """Give the notes of row 1 boxes of their size again: the library forgets it."""
    for cell in sheet[1]:
        if isinstance(cell, Cell) and cell.comment:
            cell.comment = note(cell.comment.text, cell.comment.author)


def _cell_of(workbook: Workbook, place: Place) -> tuple[str, str]:
    """The sheet's name on its tab and the cell that stands for a place; of merged cells the one that holds the value."""
    titles = {snake(sheet.title): sheet for sheet in reversed(workbook.worksheets)}
    sheet = titles.get(snake(place.sheet))
    if sheet is None:
        return workbook.worksheets[0].title, "A1"
    cell = sheet[f"{place.column or 'A'}{place.row or 1}"]
    if isinstance(cell, MergedCell):
        cell = next(area.start_cell for area in sheet.merged_cells.ranges if cell.coordinate in area)
    return sheet.title, cell.coordinate


def _mark(cell: Cell, problems: list[Problem]) -> None:
    """Colour the cell by its worst problem, unless all are about the sheet, and add the words to its note."""
    about_cell = [problem for problem in problems if problem.place.row is not None]
    if about_cell:
        cell.fill = MARKS[about_cell[0].severity]
        font = copied(cell.font)
        font.color = Color("FF000000")
        cell.font = font
    for problem in problems:
        cell.comment = extended(cell.comment, _words(cell, problem))


def _words(cell: Cell, problem: Problem) -> str:
    """'Error: ...' and the remedy on a line of its own; names the sheet where the note can't stand on it."""
    elsewhere = snake(cell.parent.title) != snake(problem.place.sheet)
    sheet = f"{problem.place.sheet}: " if elsewhere else ""
    return f"{problem.severity.capitalize()}: {sheet}{problem.message}" + (f"\n{problem.hint}" if problem.hint else "")
