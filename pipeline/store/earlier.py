"""What an earlier run left in the same folder: read where it can be understood, else told in one sentence.

Every file carries the number of its layout (see `stamp`). A file without one is of a version before there were stamps,
and is read by the names of its tables and columns.
"""

from contextlib import closing
from pathlib import Path

import duckdb
import pandas as pd

from pipeline.errors import RequestError
from pipeline.store.tables import FINDINGS, FindingsTable

LAYOUT = 1
"""To be raised when a column's meaning changes under its old name; new and lost tables and columns don't need it."""
_NEEDED = {"runs": {"book", "as_of"}}
"""What must be there for two runs to be compared."""
_BESIDE = ("report.html", "findings.xlsx")


def stamp(connection: duckdb.DuckDBPyConnection) -> None:
    """Write the number of the layout into a new file."""
    connection.execute(
        f"CREATE TABLE IF NOT EXISTS main.layout AS SELECT 'proveout' AS program, {LAYOUT} AS number"
    )


def understood(path: Path) -> str:
    """Why the file at `path` can't be compared with, in one sentence; '' where it can, or where there is none.

    Every findings table is read once: a damaged one shows nowhere else.

    Raises RequestError where the file is another program's, or open in one: then it is not for us to replace.
    """
    if not path.exists():
        return ""
    replaced = "this run takes its place, with nothing to compare"
    try:
        with closing(duckdb.connect(str(path), read_only=True)) as connection:
            kept = _kept(connection)
            number = _number(connection)
            for name in kept:
                connection.execute(f'SELECT bit_xor(hash(kept)) FROM findings."{name}" AS kept').fetchone()
    except duckdb.Error as error:
        return _unreadable(path, error, replaced)
    if not kept and number is None:
        raise RequestError(f"{path} was made by another program; name a folder of its own with --out.")
    if number is not None and number != LAYOUT:
        version = "a later" if number > LAYOUT else "an earlier"
        return f"The earlier results were made by {version} version of proveout; {replaced}."
    if any(not columns <= kept.get(name, set()) for name, columns in _NEEDED.items()):
        return f"The earlier results were made by a version of proveout that did not say of which day they speak; {replaced}."
    return ""


def earlier_findings(path: Path, book: str) -> dict[str, pd.DataFrame] | None:
    """The findings of one book in an earlier run's file: tables and columns that today's registry has, of the same types.

    None where there is no such file, or it can't be read; ask `understood` first whether it may be compared with.
    """
    if not path.exists():
        return None
    try:
        with closing(duckdb.connect(str(path), read_only=True)) as connection:
            kept = _kept(connection)
            return {
                table.name: _rows(connection, table, kept[table.name], book)
                for table in FINDINGS
                if "book" in kept.get(table.name, ())
            }
    except duckdb.Error:
        return None


def _rows(
    connection: duckdb.DuckDBPyConnection, table: FindingsTable, kept: set[str], book: str
) -> pd.DataFrame:
    columns = ", ".join(f'"{name}"' for name in table.names if name in kept)
    return connection.execute(
        f"SELECT {columns} FROM findings.{table.name} WHERE book = $book", {"book": book}
    ).df()


def _kept(connection: duckdb.DuckDBPyConnection) -> dict[str, set[str]]:
    """Columns by table of schema `findings`: those that today's registry has, and of the type it gives them."""
    found = connection.execute(
        "SELECT table_name, column_name, data_type FROM information_schema.columns WHERE table_schema = 'findings'"
    ).fetchall()
    types = {(table.name, column.name): column.type for table in FINDINGS for column in table.columns}
    kept: dict[str, set[str]] = {}
    for table, column, type_ in found:
        columns = kept.setdefault(table, set())
        if types.get((table, column)) == type_:
            columns.add(column)
    return kept


def _number(connection: duckdb.DuckDBPyConnection) -> int | None:
    """The number of the layout that the file is stamped with; None without a stamp of ours."""
    stamped = connection.execute(
        "SELECT 1 FROM information_schema.columns WHERE table_schema = 'main' AND table_name = 'layout'"
        " AND column_name IN ('program', 'number') HAVING count(*) = 2"
    ).fetchone()
    if not stamped:
        return None
    found = connection.execute("SELECT number FROM main.layout WHERE program = 'proveout'").fetchone()
    return int(found[0]) if found else None


def _unreadable(path: Path, error: duckdb.Error, replaced: str) -> str:
    """A file in use is not to be replaced, nor is one without a page beside it, which may be anybody's."""
    words = str(error)
    if "set lock on file" in words or "being used by another process" in words:
        raise RequestError(f"{path} is open in another program; close it there and run again.") from error
    if not any((path.parent / name).exists() for name in _BESIDE):
        raise RequestError(
            f"{path} can't be read and may not be ours; name another folder with --out, or delete it."
        ) from error
    if "version number" in words:
        return f"The earlier results were written by another version of the database; {replaced}."
    return f"The earlier results are damaged; {replaced}."
