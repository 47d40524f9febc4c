"""Runs a book through the pipeline as the season does, without the page."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path

import pandas as pd

from pipeline.problems import Severity
from pipeline.questions import answers
from pipeline.store.database import Store
from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book

Findings = Mapping[str, pd.DataFrame]


def findings_of(path: Path, as_of: date) -> Findings:
    """Excel file -> tables and problems -> DuckDB -> every findings table, by name."""
    book = checked(read_book(path), as_of)
    with Store() as store:
        store.load(book.book.tables)
        for name, frame in answers(book, store, as_of):
            store.save(name, frame.assign(book=book.book.name))
        return store.findings()


def complaints(path: Path, as_of: date) -> list[str]:
    """Errors and warnings of a book, as 'Sheet cell: message'."""
    return [
        f"{problem.place.sheet} {problem.place.cell}: {problem.message}"
        for problem in checked(read_book(path), as_of).problems
        if problem.severity is not Severity.NOTE
    ]


def only(frame: pd.DataFrame, **where: object) -> dict[str, object]:
    """The one row with these values; None stands for an empty cell."""
    for column, value in where.items():
        frame = frame[frame[column].isna() if value is None else frame[column] == value]
    (found,) = frame.to_dict("records")
    return found


def assert_same(one: pd.DataFrame, other: pd.DataFrame, name: str) -> None:
    """Two findings tables are equal, whatever the order of their rows."""
    pd.testing.assert_frame_equal(_in_order(one), _in_order(other), obj=name)


def _in_order(frame: pd.DataFrame) -> pd.DataFrame:
    """Rows in the order of their contents; numbers that differ by rounding alone sort alike."""
    keys = [[_key(value) for value in row] for row in frame.itertuples(index=False)]
    return frame.iloc[sorted(range(len(keys)), key=keys.__getitem__)].reset_index(drop=True)


def _key(value: object) -> str:
    return f"{value:.9g}" if isinstance(value, float) else str(value)
