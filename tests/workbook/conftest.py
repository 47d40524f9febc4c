"""Books as the reading hands them on, built without Excel."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pandas as pd
import pytest

from pipeline.workbook.book import Book
from pipeline.workbook.sheets import Kind, sheet

_DTYPES = {Kind.INTEGER: "Int64", Kind.YEAR: "Int64", Kind.NUMBER: "float64", Kind.PERCENT: "float64"}
_LETTERS = "ABCDEFGHIJKLMNOP"


def table_of(name: str, rows: Sequence[Mapping]) -> pd.DataFrame:
    """Rows by field name as a table of the reading; the first stands in row 2. A date given as an int is a bare year."""
    columns = {
        "book": ["book.xlsx"] * len(rows),
        "sheet": [sheet(name).name] * len(rows),
        "row": range(2, len(rows) + 2),
    }
    frame = pd.DataFrame(columns)
    for column in sheet(name).columns:
        values = [row.get(column.field) for row in rows]
        if column.kind is Kind.DATE:
            bare = [isinstance(value, int) for value in values]
            years = [v if b else v and int(str(v)[:4]) for v, b in zip(values, bare, strict=True)]
            days = [None if b else v for v, b in zip(values, bare, strict=True)]
            frame[column.field] = pd.to_datetime(pd.Series(days, dtype="object")).astype("datetime64[us]")
            frame[f"{column.field}_year"] = pd.array(years, dtype="Int64")
        else:
            frame[column.field] = pd.Series(values, dtype=_DTYPES.get(column.kind, "str"))
    return frame


@pytest.fixture
def book_of() -> Callable[..., Book]:
    """book_of(animals=[{"id": "B1", "species": "Boa"}], …): a Book whose columns stand in the registry's order."""

    def build(**rows_by_table: Sequence[Mapping]) -> Book:
        letters = {
            name: dict(zip((column.field for column in sheet(name).columns), _LETTERS, strict=False))
            for name in rows_by_table
        }
        tables = {name: table_of(name, rows) for name, rows in rows_by_table.items()}
        return Book(Path("book.xlsx"), "book.xlsx", tables, letters)

    return build
