"""Books answered by other engines' processes, and records left for other engines to read."""

from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import closing
from datetime import date
from pathlib import Path

import duckdb
import pandas as pd
import pytest

from pipeline.season import run_season
from pipeline.store.tables import FINDINGS
from tests.simulate.keepers import keeper, write_book_of

AS_OF = date(2025, 12, 31)
QUESTIONS = ("ratios", "carriers", "kin")


@pytest.fixture(scope="module")
def club(tmp_path_factory):
    """Three small books."""
    folder = tmp_path_factory.mktemp("club")
    paths = [folder / f"keeper-{number}.xlsx" for number in range(3)]
    for number, path in enumerate(paths):
        write_book_of(keeper(30, seed=number), path)
    return paths


def answers(out: Path) -> dict[str, pd.DataFrame]:
    with closing(duckdb.connect(str(out / "season.duckdb"), read_only=True)) as connection:
        return {
            table.name: connection.execute(f"SELECT * FROM findings.{table.name}").df() for table in FINDINGS
        }


def compare(club: list[Path], tmp_path: Path, executor: Executor) -> None:
    """The same answers, row by row, from this process and from the executor's."""
    for name, engine in (("here", None), ("there", executor)):
        run = run_season(club, tmp_path / name, as_of=AS_OF, questions=QUESTIONS, jobs=1, executor=engine)
        assert not run.troubles
    here, there = answers(tmp_path / "here"), answers(tmp_path / "there")
    for name, frame in here.items():
        pd.testing.assert_frame_equal(frame, there[name])


def test_run_season__answers_alike_on_any_executor_and_leaves_it_open(club, tmp_path):
    with ThreadPoolExecutor(1) as executor:
        compare(club, tmp_path, executor)
        assert executor.submit(len, "still open").result() == 10


@pytest.mark.cluster
def test_run_season__answers_alike_on_a_cluster(club, tmp_path):
    distributed = pytest.importorskip("distributed")
    with (
        distributed.LocalCluster(2, threads_per_worker=1, dashboard_address=None) as cluster,
        distributed.Client(cluster) as client,
    ):
        compare(club, tmp_path, client.get_executor(pure=False))


def test_run_season__leaves_records_as_parquet_by_book(club, tmp_path):
    out = run_season(club, tmp_path / "out", as_of=AS_OF, questions=(), jobs=1, parquet=True).folder
    files = out / "season.parquet" / "hatch_results" / "*" / "*.parquet"
    counted = (
        duckdb.read_parquet(str(files), hive_partitioning=True)
        .aggregate("book, sum(coalesce(count, 1)) AS young")
        .df()
    )
    assert sorted(zip(counted["book"], counted["young"], strict=True)) == [(p.name, 150) for p in club]
    again = run_season(club, out, as_of=AS_OF, questions=(), jobs=1).folder
    assert not (again / "season.parquet").exists()
