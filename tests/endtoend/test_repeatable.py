"""The same book, day and seed give the same findings to the last digit, wherever its rows stand and whoever computes them."""

import os
import pickle
import random
import subprocess
import sys
from collections.abc import Mapping, Sequence

import pandas as pd
import pytest

from pipeline.example.collection import AS_OF as DEMO_AS_OF
from pipeline.example.collection import example_rows
from pipeline.store.tables import FINDINGS
from pipeline.workbook.sheets import SHEETS
from pipeline.workbook.template import write_book
from tests.endtoend.running import findings_of
from tests.endtoend.small import AS_OF, SMALL

FIRST = 2
"""The row of a sheet's first record."""
Moved = Mapping[str, Mapping[int, int]]
"""By sheet, the row where each row of the shuffled book stands in the other."""


def shuffled(rows: Mapping[str, Sequence], seed: int) -> tuple[dict[str, list], Moved]:
    """Every sheet's rows in another order, and from where each came."""
    order = random.Random(seed)
    places = {sheet: order.sample(range(len(records)), len(records)) for sheet, records in rows.items()}
    mixed = {sheet: [records[place] for place in places[sheet]] for sheet, records in rows.items()}
    moved = {
        sheet: {FIRST + now: FIRST + then for now, then in enumerate(found)}
        for sheet, found in places.items()
    }
    return mixed, moved


def moved_back(findings: Mapping[str, pd.DataFrame], moved: Moved) -> dict[str, pd.DataFrame]:
    """The findings with the rows that they name as they are numbered in the unshuffled book.

    First and last rows of what stands in several places say nothing of the order and are left out.
    """
    prices, places = findings["price_points"], findings["record_places"]
    alone = places["records"] == 1
    at = [
        moved[sheet][row]
        for sheet, row in zip(places["sheet"][alone], places["first_row"][alone], strict=True)
    ]
    rows = {
        "price_points": prices.assign(row=[moved["Prices"][row] for row in prices["row"]]),
        "price_outliers": findings["price_outliers"].assign(
            row=[moved["Prices"][row] for row in findings["price_outliers"]["row"]]
        ),
        "record_places": places[alone].assign(first_row=at, last_row=at),
    }
    return {**findings, **rows}


def differing(one: Mapping[str, pd.DataFrame], other: Mapping[str, pd.DataFrame]) -> list[str]:
    """Tables that are not alike to the last digit, in the order of their rows too."""
    same = {table.name: range(len(table.columns)) for table in FINDINGS}
    return [name for name in same if not _exactly(one[name], other[name])]


def _exactly(one: pd.DataFrame, other: pd.DataFrame) -> bool:
    return one.reset_index(drop=True).astype(object).equals(other.reset_index(drop=True).astype(object))


def unmoved(rows: Mapping[str, Sequence]) -> Moved:
    return {sheet: {FIRST + at: FIRST + at for at in range(len(records))} for sheet, records in rows.items()}


@pytest.fixture(scope="module")
def demo_rows():
    return example_rows()[0]


@pytest.fixture(scope="module")
def demo_findings(demo_rows, tmp_path_factory):
    path = tmp_path_factory.mktemp("demo") / "book.xlsx"
    write_book(path, demo_rows)
    return moved_back(findings_of(path, DEMO_AS_OF), unmoved(demo_rows))


@pytest.mark.parametrize("seed", [5, 6])
def test_season__the_order_of_the_demo_s_rows_does_not_matter(demo_rows, demo_findings, tmp_path, seed):
    mixed, moved = shuffled(demo_rows, seed)
    write_book(tmp_path / "book.xlsx", mixed)
    found = moved_back(findings_of(tmp_path / "book.xlsx", DEMO_AS_OF), moved)
    assert differing(found, demo_findings) == []


def tabs_and_columns_shuffled(path, seed: int) -> None:
    """The same book with its tabs, and each tab's columns, in another order."""
    from openpyxl import Workbook, load_workbook

    order, old, new = random.Random(seed), load_workbook(path), Workbook()
    new.remove(new.active)
    names = [sheet.name for sheet in SHEETS if sheet.name in old.sheetnames]
    for name in order.sample(names, len(names)):
        columns = list(old[name].iter_cols(values_only=True))
        columns = order.sample(columns, len(columns))
        tab = new.create_sheet(name)
        for row in zip(*columns, strict=True):
            tab.append(row)
    new.save(path)


SETTINGS = [
    {"Setting": "Rate EUR", "Value": "1.1"},
    {"Setting": "Seed", "Value": "7"},
    {"Setting": "Currency", "Value": "USD"},
]
SMALL_BOOK = {**SMALL, "Settings": SETTINGS}


@pytest.fixture(scope="module")
def small_findings(tmp_path_factory):
    path = tmp_path_factory.mktemp("small") / "book.xlsx"
    write_book(path, SMALL_BOOK)
    return moved_back(findings_of(path, AS_OF), unmoved(SMALL_BOOK))


@pytest.mark.parametrize("seed", range(6))
def test_season__the_order_of_rows_columns_and_tabs_does_not_matter(small_findings, tmp_path, seed):
    mixed, moved = shuffled(SMALL_BOOK, seed)
    write_book(tmp_path / "book.xlsx", mixed)
    tabs_and_columns_shuffled(tmp_path / "book.xlsx", seed)
    assert differing(moved_back(findings_of(tmp_path / "book.xlsx", AS_OF), moved), small_findings) == []


COMPUTED = """
import os, pickle, sys
from datetime import date
from pathlib import Path

path, as_of, cores = sys.argv[1:]
if cores == "1" and hasattr(os, "sched_setaffinity"):
    os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
from tests.endtoend.running import findings_of

sys.stdout.buffer.write(pickle.dumps(findings_of(Path(path), date.fromisoformat(as_of))))
"""


def computed_elsewhere(path, as_of, *, cores: int, hash_seed: int):
    """The findings by a process of its own that hashes otherwise and may use so many threads."""
    threads = {f"{library}_NUM_THREADS": f"{cores}" for library in ("OMP", "OPENBLAS", "MKL")}
    environment = {**os.environ, **threads, "PYTHONHASHSEED": f"{hash_seed}"}
    command = [sys.executable, "-c", COMPUTED, str(path), as_of.isoformat(), f"{cores}"]
    return pickle.loads(subprocess.run(command, env=environment, check=True, stdout=subprocess.PIPE).stdout)


@pytest.mark.parametrize(("cores", "hash_seed"), [(1, 1), (8, 2)])
def test_season__neither_threads_nor_hashing_matter(demo_rows, demo_findings, tmp_path, cores, hash_seed):
    write_book(tmp_path / "book.xlsx", demo_rows)
    found = computed_elsewhere(tmp_path / "book.xlsx", DEMO_AS_OF, cores=cores, hash_seed=hash_seed)
    assert differing(moved_back(found, unmoved(demo_rows)), demo_findings) == []
