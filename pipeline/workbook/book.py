"""A book as it was read: its tables, where each column stands, and the problems met on the way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.problems import Place, Problem
from pipeline.workbook.sheets import sheet

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Book:
    """One workbook as plain tables.

    `tables` are keyed by the sheet's table name; a sheet that the book lacks is an absent key. Each has the columns
    `book` (the file's name), `sheet`, `row` (1-based row in the sheet), then the registry's fields; a date has a twin
    `<field>_year` (a bare year: date missing, year set). `columns[table][field]` are spreadsheet letters.
    Rows with a cell that could not be read are left out already; `problems` says which.
    """

    path: Path
    name: str
    tables: Mapping[str, pd.DataFrame]
    columns: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()

    def title(self, table: str) -> str:
        """The sheet's name as this book writes it ('HATCH RESULTS'), the registry's where the book has no such rows."""
        frame = self.tables.get(table)
        return sheet(table).name if frame is None or frame.empty else str(frame["sheet"].iloc[0])

    def place(self, table: str, row: int | None = None, column: str | None = None) -> Place:
        """Where a record stands: the sheet, its row, and the letters of the column of that field name."""
        letters = self.columns.get(table, {}).get(column) if column else None
        return Place(self.name, self.title(table), None if row is None else int(row), letters)
