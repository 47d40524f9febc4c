"""Which tab is which sheet, and which column of a tab is which column of the registry."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from openpyxl.utils import get_column_letter

from pipeline.problems import Place, Problem, Severity
from pipeline.workbook.cells import CellFault, shown, unit_of_header
from pipeline.workbook.money import currency
from pipeline.workbook.sheets import OWN_COLUMNS, OWN_SHEETS, SHEETS, Column, Sheet
from pipeline.workbook.words import nearest

HEADER_WITHIN = 30
"""A header row is looked for in the first rows only."""
MONEY = frozenset({"price", "paid"})
_BRACKET = re.compile(r"\s*[(\[]([^()\[\]]*)[)\]]\s*\*?\s*$")
_ALIKE = 80.0
_STRANGERS = 50
"""Unknown columns named one by one, at most."""


@dataclass
class Header:
    """The header row of a tab: where each field stands (from 0) and in which unit, where its header names one."""

    row: int
    position: dict[str, int] = field(default_factory=dict)
    unit: dict[str, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    @property
    def letters(self) -> dict[str, str]:
        """The spreadsheet letters of each field's column."""
        return {name: get_column_letter(index + 1) for name, index in self.position.items()}

    @property
    def width(self) -> int:
        """Columns to read."""
        return max(self.position.values()) + 1


@lru_cache(maxsize=4096)
def key(words: str) -> str:
    """A name without case, spaces, marks and a trailing unit in brackets: 'Weight (g)*' is 'weight'."""
    return re.sub(r"[\W_]+", "", _BRACKET.sub("", words).casefold())


def match_tabs(book: str, tabs: Sequence[str]) -> tuple[dict[str, Sheet], list[Problem]]:
    """The sheet of each tab that is one, and a problem for each tab that is none or repeats one."""
    known = {key(sheet.name): sheet for sheet in SHEETS}
    own = {key(name) for name in OWN_SHEETS}
    found: dict[str, Sheet] = {}
    problems = []
    for tab in tabs:
        sheet, place = known.get(key(tab)), Place(book, tab)
        if sheet is not None and sheet not in found.values():
            found[tab] = sheet
        elif sheet is not None:
            message = f"Sheets of the name '{sheet.name}' stand twice; '{tab}' is not read."
            problems.append(
                Problem(Severity.ERROR, place, message, "Copy its rows into the other one, or rename it.")
            )
        elif key(tab) not in own:
            missing = [sheet.name for sheet in SHEETS if key(sheet.name) not in map(key, tabs)]
            problems.append(_strange(place, "Sheet", tab, nearest(tab, missing, _ALIKE)))
    return found, problems


def find_header(place: Place, sheet: Sheet, rows: Sequence[Sequence]) -> Header | None:
    """The first of the rows that names most of the sheet's columns; None where no row names any.

    `place` is the tab as a whole. Fields that are missing stay missing: see `missing_columns`.
    """
    names = {key(column.name) for column in sheet.columns}
    hits = [len({key(cell) for cell in row if isinstance(cell, str)} & names) for row in rows]
    best = max(hits, default=0)
    if best == 0:
        return None
    header = Header(hits.index(best) + 1)
    for index, cell in enumerate(rows[header.row - 1]):
        if isinstance(cell, str) and cell.strip():
            _place_column(header, place, sheet, index, cell)
    _note_strangers(header, place, sheet, rows[header.row - 1])
    if header.row > 1:
        message = f"The header of {sheet.name} stands in row {header.row}; what stands above it is not read."
        header.problems.append(
            Problem(Severity.NOTE, _cell(place, header.row), message, "Put the header in row 1.")
        )
    return header


def missing_columns(
    header: Header | None, place: Place, sheet: Sheet, rows: Sequence[Sequence]
) -> list[Problem]:
    """One error for each required column that the tab lacks; the tab can't be read then."""
    needed = [column for column in sheet.columns if column.required]
    if header is None:
        hint = f"Row 1 names the columns; it needs at least {', '.join(column.name for column in needed)}."
        return [
            Problem(Severity.ERROR, place, f"{sheet.name} has no header row; the sheet is not read.", hint)
        ]
    present = [shown(cell) for cell in rows[header.row - 1] if cell is not None and shown(cell)]
    known = {key(column.name) for column in sheet.columns}
    return [
        Problem(
            Severity.ERROR,
            _cell(place, header.row),
            f"{sheet.name} has no column '{column.name}', which it needs; it has {', '.join(present)}. The sheet is not read.",
            _rename(column.name, [name for name in present if key(name) not in known]),
        )
        for column in needed
        if column.field not in header.position
    ]


def _rename(wanted: str, present: list[str]) -> str:
    near = nearest(wanted, present)
    return f"Rename '{near}' to '{wanted}', if that is it." if near else f"Add a column '{wanted}'."


def _place_column(header: Header, place: Place, sheet: Sheet, index: int, cell: str) -> None:
    column = next((column for column in sheet.columns if key(column.name) == key(cell)), None)
    if column is None:
        return
    at = _cell(place, header.row, index)
    if column.field in header.position:
        first = get_column_letter(header.position[column.field] + 1)
        message = f"Column '{column.name}' stands twice, in {first} and {at.column}; {at.column} is not read."
        header.problems.append(
            Problem(Severity.ERROR, at, message, "Delete one of them, or rename it.", shown(cell))
        )
        return
    try:
        header.unit[column.field] = _unit_of(column, cell)
    except CellFault as fault:
        message = f"The header '{shown(cell)}' {fault.message}. The column is not read."
        header.problems.append(Problem(Severity.ERROR, at, message, fault.hint, shown(cell)))
        return
    header.position[column.field] = index


def _unit_of(column: Column, cell: str) -> str:
    bracket = _BRACKET.search(cell)
    words = bracket[1].strip() if bracket else ""
    if column.field not in MONEY:
        return unit_of_header(words, column.unit)
    return currency(words) or "" if words else ""


def _note_strangers(header: Header, place: Place, sheet: Sheet, cells: Sequence) -> None:
    """One note for each column that the registry does not know; a warning where it looks like a missing one."""
    known = {key(column.name) for column in sheet.columns} | {
        key(name) for name in OWN_COLUMNS.get(sheet.name, ())
    }
    missing = [column.name for column in sheet.columns if column.field not in header.position]
    strange = [
        (_cell(place, header.row, index), cell)
        for index, cell in enumerate(cells)
        if cell is not None and shown(cell) and key(str(cell)) not in known
    ]
    for at, cell in strange[:_STRANGERS]:
        near = nearest(_BRACKET.sub("", str(cell)), missing, _ALIKE)
        header.problems.append(_strange(at, "Column", shown(cell), near))
    if more := strange[_STRANGERS:]:
        message = f"{len(more):,} more columns, {more[0][0].column} to {more[-1][0].column}, are none of those that are read; they are left alone."
        header.problems.append(Problem(Severity.NOTE, more[0][0], message))


def _strange(place: Place, what: str, name: str, near: str | None) -> Problem:
    message = f"{what} '{name}' is none of those that are read; it is left alone."
    if near:
        return Problem(Severity.WARNING, place, message, f"Rename it to '{near}', if that is meant.", name)
    return Problem(Severity.NOTE, place, message, value=name)


def _cell(place: Place, row: int, index: int | None = None) -> Place:
    return Place(place.book, place.sheet, row, None if index is None else get_column_letter(index + 1))
