"""Where one party of books is answered among many: in memory, and in DuckDB no more than its queries need.

A table takes DuckDB some milliseconds to make, to fill and to read again, forty of them longer than some questions take
to answer. So its tables are made once in a process, and records and findings stay the frames that they were loaded and
saved as; the store of the whole run takes them from here.
"""

from collections.abc import Mapping, Sequence
from functools import cache

import pandas as pd

from pipeline.store.database import Store
from pipeline.store.findings_table import FindingsTable
from pipeline.store.tables import PRICE_POINTS, RATIO_TESTS

ASKED = (PRICE_POINTS, RATIO_TESTS)
"""Findings that the queries about a single book read."""
_KINDS = {
    "VARCHAR": "str",
    "DOUBLE": "float64",
    "INTEGER": "Int64",
    "BOOLEAN": "boolean",
    "DATE": "datetime64[us]",
}


class Scratch(Store):
    """A store of a few books' answers, not kept in a file: what is written is seen here alone, and forgotten on leaving."""

    def __init__(self) -> None:
        self.connection = _tables().connection.cursor()
        self.connection.execute("BEGIN")
        self._read = {}
        self._loaded: dict[str, list[pd.DataFrame]] = {}
        self._saved: dict[str, list[pd.DataFrame]] = {}

    def __exit__(self, *_: object) -> None:
        self.connection.close()

    def load(self, tables: Mapping[str, pd.DataFrame]) -> None:
        """Append the tables of one book, by sheet table name."""
        super().load(tables)
        for name, frame in tables.items():
            self._loaded.setdefault(name, []).append(frame)

    def records(self, table: str, *, book: str) -> pd.DataFrame:
        """The records of one book from one sheet's table, in the order in which they were loaded."""
        if table not in self._loaded:
            return super().records(table, book=book)
        frame = joined(self._loaded[table])
        return frame[frame["book"] == book].reset_index(drop=True)

    def all_records(self) -> dict[str, pd.DataFrame]:
        """The records of all books by sheet table name, in the order in which they were loaded."""
        return {name: joined(frames) for name, frames in self._loaded.items()}

    def save(self, name: str, frame: pd.DataFrame) -> None:
        """Append rows to a findings table. KeyError where the registry has no such table or column."""
        table = self._checked(name, frame)
        self._saved.setdefault(name, []).append(_typed(table, frame))
        if table in ASKED:
            super().save(name, frame)

    def saved(self) -> dict[str, pd.DataFrame]:
        """What was saved, by table; columns in the registry's order and of its types."""
        return {name: joined(frames) for name, frames in self._saved.items()}

    def findings(self) -> dict[str, pd.DataFrame]:
        """Every findings table as a file would give it back: to compare with one that did."""
        with Store() as whole:
            for name, frame in self.saved().items():
                whole.save(name, frame)
            return whole.findings()


@cache
def _tables() -> Store:
    """The empty tables of this process, which works on a single core beside the others."""
    store = Store(tables=ASKED)
    store.connection.execute("COMMIT; SET threads = 1")
    return store


def joined(frames: Sequence[pd.DataFrame]) -> pd.DataFrame:
    """The rows of all frames, one at least, as one; a lone frame is itself."""
    return frames[0] if len(frames) == 1 else pd.concat(frames, ignore_index=True)


def _typed(table: FindingsTable, frame: pd.DataFrame) -> pd.DataFrame:
    """The frame with every column of the table, in its type; what has it already is not copied."""
    missing = pd.Series([None] * len(frame), index=frame.index, dtype="object")
    columns = {}
    for column in table.columns:
        own, kind = frame.get(column.name, missing), _KINDS[column.type]
        columns[column.name] = own if own.dtype == kind else own.astype(kind)
    return pd.DataFrame(columns, copy=False)
