"""Records partitioned by book are the records."""

import duckdb
import pandas as pd
import pytest

from pipeline.store.database import Store
from pipeline.store.parquet import write_records

NAMES = ["north.xlsx", "south & 'sons' = 1.xlsx"]


@pytest.fixture
def pooled():
    """Two books of three animals each."""
    with Store() as store:
        for book in NAMES:
            rows = {
                "book": book,
                "sheet": "Animals",
                "row": [4, 2, 3],
                "id": ["B3", "B1", "B2"],
                "species": "Boa",
            }
            store.load({"animals": pd.DataFrame(rows).assign(born=pd.Timestamp(2024, 8, 1))})
        yield store


def test_write_records__a_folder_a_book_holds_its_rows(pooled, tmp_path):
    write_records(pooled, tmp_path / "keeper's.parquet")
    folder = tmp_path / "keeper's.parquet"
    assert [one.name for one in folder.iterdir()] == ["animals"]
    assert len(list((folder / "animals").iterdir())) == 2
    back = duckdb.read_parquet(str(folder / "animals" / "*" / "*.parquet"), hive_partitioning=True).df()
    back = back[pooled.all_records()["animals"].columns].sort_values(["book", "row"], ignore_index=True)
    own = pooled.all_records()["animals"].sort_values(["book", "row"], ignore_index=True)
    pd.testing.assert_frame_equal(back, own)


def test_write_records__one_book_can_be_read_alone(pooled, tmp_path):
    write_records(pooled, tmp_path / "out")
    files = str(tmp_path / "out" / "animals" / "book=north.xlsx" / "*.parquet")
    assert duckdb.read_parquet(files).order("row").df()["id"].tolist() == ["B1", "B2", "B3"]
