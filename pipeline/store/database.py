"""One DuckDB file: schema `records` holds the book as read, schema `findings` the answers.

A file is written under another name and moved into place when it is complete (see season.py), so no reader ever sees
half of one.
"""

from collections.abc import Iterable, Iterator, Mapping
from importlib.resources import files
from pathlib import Path
from typing import Self

import duckdb
import pandas as pd

from pipeline.store.earlier import stamp
from pipeline.store.tables import FINDINGS, FindingsTable, findings_table
from pipeline.workbook.sheets import SHEETS, Kind, Sheet, sheet

_TYPES = {
    Kind.INTEGER: "BIGINT",
    Kind.YEAR: "INTEGER",
    Kind.NUMBER: "DOUBLE",
    Kind.PERCENT: "DOUBLE",
    Kind.DATE: "DATE",
}


class Store:
    """An open DuckDB file. Use as a context manager; `path` None keeps it in memory.

    All that is written is one transaction, committed on leaving: a file takes its time to make each one safe, and one that
    is cut off is thrown away whole.
    """

    def __init__(self, path: Path | None = None, tables: Iterable[FindingsTable] = FINDINGS) -> None:
        self.connection = duckdb.connect(str(path) if path else ":memory:")
        wanted = [f"records.{topic.table} ({record_columns(topic)})" for topic in SHEETS]
        wanted += [f"findings.{table.name} ({finding_columns(table)})" for table in tables]
        made = (f"CREATE TABLE IF NOT EXISTS {table}" for table in wanted)
        schemas = ("CREATE SCHEMA IF NOT EXISTS records", "CREATE SCHEMA IF NOT EXISTS findings")
        self.connection.execute("; ".join(("BEGIN", *schemas, *made)))
        stamp(self.connection)
        self._read: dict[str, pd.DataFrame] = {}
        """Findings tables as last read, none of them written to since."""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        """Close the file. What can't be written in full is an error here, not a gap in the file."""
        try:
            if kind is None:
                self.connection.execute("COMMIT; CHECKPOINT")
        finally:
            self.connection.close()

    def load(self, tables: Mapping[str, pd.DataFrame]) -> None:
        """Append the tables of one book, by sheet table name. Columns that a table lacks are NULL, others ignored."""
        for name, frame in tables.items():
            known = _record_names(sheet(name))
            self._append(f"records.{name}", frame[[c for c in known if c in frame.columns]])

    def query(self, name: str, **parameters: object) -> pd.DataFrame:
        """The result of sql/NAME.sql; named parameters fill its $placeholders."""
        return self.connection.execute(statement(name), parameters or None).df()

    def records(self, table: str, *, book: str) -> pd.DataFrame:
        """The records of one book from one sheet's table, in the order in which they were loaded."""
        return self.connection.execute(
            f"SELECT * FROM records.{sheet(table).table} WHERE book = $book ORDER BY rowid", {"book": book}
        ).df()

    def all_records(self) -> dict[str, pd.DataFrame]:
        """The records of all books by sheet table name, in the order in which they were loaded."""
        return {
            topic.table: self.connection.execute(f"SELECT * FROM records.{topic.table} ORDER BY rowid").df()
            for topic in SHEETS
        }

    def findings(self) -> dict[str, pd.DataFrame]:
        """Every findings table as it stands, by name. The frames are not to be changed."""
        return {table.name: self.found(table.name) for table in FINDINGS}

    def found(self, name: str) -> pd.DataFrame:
        """One findings table as it stands, in the order of saving. The frame is not to be changed."""
        if name not in self._read:
            self._read[name] = self.connection.execute(f"SELECT * FROM findings.{name} ORDER BY rowid").df()
        return self._read[name]

    def save(self, name: str, frame: pd.DataFrame) -> None:
        """Append rows to a findings table. KeyError where the registry has no such table or column."""
        self._checked(name, frame)
        self._append(f"findings.{name}", frame)
        self._read.pop(name, None)

    def _checked(self, name: str, frame: pd.DataFrame) -> FindingsTable:
        """The findings table of that name, which has every column of the frame."""
        table = findings_table(name)
        strange = set(frame.columns) - set(table.names)
        if strange:
            raise KeyError(f"findings.{name} has no column {', '.join(sorted(strange))}")
        return table

    def _append(self, target: str, frame: pd.DataFrame) -> None:
        if frame.empty:
            return
        names = ", ".join(f'"{column}"' for column in frame.columns)
        # DuckDB finds the frame by its name; one registered with it takes half as long again.
        self.connection.execute(f"INSERT INTO {target} ({names}) SELECT {names} FROM frame")


def record_columns(sheet: Sheet) -> str:
    """Column definitions of a sheet's table. A date column has a twin NAME_year for dates given as a bare year."""
    return ", ".join(f'"{name}" {kind}' for name, kind in _record_types(sheet))


def _record_names(sheet: Sheet) -> list[str]:
    return [name for name, _ in _record_types(sheet)]


def _record_types(sheet: Sheet) -> Iterator[tuple[str, str]]:
    yield from (("book", "VARCHAR"), ("sheet", "VARCHAR"), ("row", "INTEGER"))
    for column in sheet.columns:
        yield column.field, _TYPES.get(column.kind, "VARCHAR")
        if column.kind is Kind.DATE:
            yield f"{column.field}_year", "INTEGER"


def finding_columns(table: FindingsTable) -> str:
    """Column definitions of a findings table."""
    return ", ".join(f'"{column.name}" {column.type}' for column in table.columns)


def statement(name: str) -> str:
    """The text of sql/NAME.sql."""
    return (files("pipeline.store") / "sql" / f"{name}.sql").read_text(encoding="utf-8")
