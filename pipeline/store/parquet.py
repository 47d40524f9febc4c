"""The records as Parquet files, a folder a sheet and in it one a book: for a pooled data set that outgrows one machine.

Any engine reads the whole, or some of its books, without the database: SELECT * FROM 'season.parquet/animals/*/*.parquet'.
"""

from pathlib import Path

from pipeline.store.database import Store
from pipeline.workbook.sheets import SHEETS

FOLDER = "season.parquet"


def write_records(store: Store, folder: Path) -> None:
    """Every sheet's records as SHEET/book=NAME/NUMBER.parquet, names written as in a web address; empty sheets are left out."""
    folder.mkdir()
    for topic in SHEETS:
        (rows,) = store.connection.execute(f"SELECT count(*) FROM records.{topic.table}").fetchone() or (0,)
        if rows:
            target = str(folder / topic.table).replace("'", "''")
            store.connection.execute(
                f"COPY (SELECT * FROM records.{topic.table} ORDER BY rowid) TO '{target}'"
                " (FORMAT parquet, PARTITION_BY (book))"
            )
