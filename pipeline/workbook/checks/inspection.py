"""The working state of a check: the book's tables as they shrink, and the problems as they gather."""

from __future__ import annotations

from collections import defaultdict, namedtuple
from datetime import date
from functools import cache
from typing import TYPE_CHECKING, Any

from pipeline.problems import Place, Problem, Severity
from pipeline.workbook.book import Book
from pipeline.workbook.ordering import in_order
from pipeline.workbook.sheets import Kind, sheet

if TYPE_CHECKING:
    import pandas as pd

Row = Any
"""A record as a namedtuple: `table`, `sheet`, `row`, then the registry's fields (dates with their `_year` twin); None for blank."""


class Inspection:
    """Tables of one book under check.

    Rows to leave out and cells to correct are collected and take effect with `settle`, so that every rule of one
    round sees the same rows. `unusable` holds genes whose name must stay readable though their row is left out.
    """

    def __init__(self, book: Book, as_of: date) -> None:
        self.book = book
        self.as_of = as_of
        self.tables: dict[str, pd.DataFrame] = dict(book.tables)
        self.problems: list[Problem] = []
        self.unusable: list[Row] = []
        self._out: dict[str, set[int]] = defaultdict(set)
        self._replaced: dict[str, dict[str, dict[int, Any]]] = defaultdict(lambda: defaultdict(dict))
        self._rows: dict[str, list[Row]] = {}

    def has(self, table: str) -> bool:
        """Whether the sheet is there and holds a row."""
        return table in self.tables and len(self.tables[table]) > 0

    def rows(self, table: str) -> list[Row]:
        """The table's rows that are still in, as namedtuples in the order of the table; [] for an absent sheet."""
        if table not in self._rows:
            self._rows[table] = as_rows(table, self.tables[table]) if table in self.tables else []
        return self._rows[table]

    def read_with_errors(self, table: str) -> bool:
        """Whether anything of the sheet was left out already while the book was read."""
        titles = {self.book.title(table), sheet(table).name}
        read = set(self.book.tables[table]["row"]) if table in self.book.tables else set()
        return any(
            p.severity is Severity.ERROR and p.place.sheet in titles and p.place.row not in read
            for p in self.book.problems
        )

    def error(
        self, row: Row, column: str | None, message: str, hint: str = "", *, keep_row: bool = False
    ) -> None:
        """Report an error and leave the row out, unless only a cell of it is (`keep_row`)."""
        self._report(Severity.ERROR, row, column, message, hint)
        if not keep_row:
            self.leave_out(row)

    def warning(self, row: Row, column: str | None, message: str, hint: str = "") -> None:
        """Report a doubt; the row stays."""
        self._report(Severity.WARNING, row, column, message, hint)

    def note(self, row: Row, column: str | None, message: str, hint: str = "") -> None:
        """Report something good to know."""
        self._report(Severity.NOTE, row, column, message, hint)

    def note_on_sheet(self, table: str, message: str, hint: str = "") -> None:
        """Report something good to know of a sheet as a whole, present or not."""
        self.problems.append(Problem(Severity.NOTE, self.book.place(table), message, hint))

    def error_on_sheet(self, table: str, message: str, hint: str = "") -> None:
        """Report an error of a sheet as a whole; which rows go is the caller's to say."""
        self.problems.append(Problem(Severity.ERROR, self.book.place(table), message, hint))

    def leave_out(self, row: Row) -> None:
        """Leave the row out without a problem of its own (another one tells why)."""
        self._out[row.table].add(row.row)

    def replace(self, row: Row, column: str, value: Any) -> None:
        """Put another value, or None for blank, in a cell of the working table."""
        self._replaced[row.table][column][row.row] = value

    def settle(self, *tables: str) -> None:
        """Apply what was collected for these tables."""
        for table in tables:
            out, replaced = self._out.pop(table, set()), self._replaced.pop(table, {})
            if not out and not replaced:
                continue
            frame = self.tables[table]
            for column, values in replaced.items():
                frame = frame.assign(**{column: _with_values(frame, column, values)})
            self.tables[table] = frame[~frame["row"].isin(out)].reset_index(drop=True)
            self._rows.pop(table, None)

    def put_in_order(self) -> None:
        """Sort every table so that what is computed from it does not depend on where the rows stand in the book."""
        self.tables = {name: in_order(sheet(name), frame) for name, frame in self.tables.items()}
        self._rows.clear()

    def _report(self, severity: Severity, row: Row, column: str | None, message: str, hint: str) -> None:
        letters = self.book.columns.get(row.table, {}).get(column) if column else None
        place = Place(self.book.name, row.sheet, row.row, letters)
        value = None if column is None else getattr(row, column)
        if value is None and column is not None:
            value = getattr(row, f"{column}_year", None)
        self.problems.append(Problem(severity, place, message, hint, "" if value is None else f"{value}"))


def as_rows(table: str, frame: pd.DataFrame) -> list[Row]:
    """Rows of a table as namedtuples of plain Python values, None for blank; a field the table lacks is blank."""
    record = _record(table)
    columns = (_plain(frame, field) for field in record._fields[1:])
    return [record(table, *values) for values in zip(*columns, strict=True)]


@cache
def _record(table: str) -> Any:
    """The namedtuple of a table's rows."""
    fields = ["table", "sheet", "row"]
    for column in sheet(table).columns:
        fields += [column.field, f"{column.field}_year"] if column.kind is Kind.DATE else [column.field]
    return namedtuple(table, fields)  # noqa: PYI024


def selected(table: str, frame: pd.DataFrame, mask: pd.Series) -> list[Row]:
    """The rows of a table under a mask, as namedtuples: for rules that look at whole columns at once."""
    return as_rows(table, frame[mask]) if mask.any() else []


def _plain(frame: pd.DataFrame, field: str) -> list[Any]:
    if field not in frame.columns:
        return [None] * len(frame)
    values = frame[field]
    if values.dtype.kind == "M":
        return values.to_numpy("datetime64[D]").astype(object).tolist()
    return values.to_numpy(dtype=object, na_value=None).tolist()


def _with_values(frame: pd.DataFrame, column: str, values: dict[int, Any]) -> pd.Series:
    import pandas as pd

    old = zip(frame["row"].tolist(), _plain(frame, column), strict=True)
    return pd.Series(
        [values.get(row, value) for row, value in old], index=frame.index, dtype=frame[column].dtype
    )
