"""Reading against openpyxl handing out the cells alone: run with `pytest -m benchmark -s`."""

import time
from datetime import date, timedelta
from pathlib import Path
from random import Random
from statistics import median

import pytest
import xlsxwriter

from pipeline.workbook.reading import read_book
from pipeline.workbook.sheets import sheet
from tests.benchmarks.reading import streamed

LABELS = (
    "Motley",
    "Hypo",
    "Motley Hypo",
    "Albino het Anery",
    "66% het Albino",
    "normal",
    "Super Motley, het Albino",
)
AT_MOST = 0.6


def big_book(path: Path) -> Path:
    """500 animals, 3,000 hatch rows, 5,000 weights, 3,000 prices; invented, from seed 1."""
    with xlsxwriter.Workbook(path, {"default_date_format": "yyyy-mm-dd"}) as workbook:
        for table, rows in invented(Random(1)).items():
            page = workbook.add_worksheet(sheet(table).name)
            page.write_row(0, 0, [column.header for column in sheet(table).columns])
            for number, row in enumerate(rows, 1):
                page.write_row(number, 0, row)
    return path


def invented(rng: Random) -> dict[str, list[list]]:
    """The rows by table; their cells stand in the registry's order."""

    def day() -> date:
        return date(2018, 1, 1) + timedelta(days=rng.randrange(2500))

    def animal(i: int) -> list:
        return [f"B{i}", None, "Common boa", rng.choice("MF"), day(), rng.choice(LABELS), None, f"B{i // 2}", f"B{i // 3}"]  # fmt: skip

    def hatch(i: int) -> list:
        return [f"P{i // 20}", 1, day(), rng.choice(LABELS), rng.choice("MF"), 1, "live"]

    def weight(_: int) -> list:
        return [f"B{rng.randrange(500)}", day(), rng.randrange(50, 4000), rng.randrange(50, 300)]

    def price(_: int) -> list:
        return [day(), "Common boa", rng.choice(LABELS), rng.choice("MF"), "hatchling", rng.randrange(50, 900), "USD", "asked"]  # fmt: skip

    rows = (("animals", animal, 500), ("hatch_results", hatch, 3000), ("weights", weight, 5000), ("prices", price, 3000))  # fmt: skip
    return {table: [row(i) for i in range(number)] for table, row, number in rows}


def seconds(work, path: Path) -> float:
    start = time.perf_counter()
    work(path)
    return time.perf_counter() - start


@pytest.mark.benchmark
def test_read_book__costs_little_beyond_the_xml(tmp_path):
    path = big_book(tmp_path / "book.xlsx")
    assert read_book(path).problems == ()
    streamed(path)
    ratios = [seconds(read_book, path) / seconds(streamed, path) for _ in range(9)]
    print(
        f"\nreading / bare iteration: {median(ratios):.2f} (lowest {min(ratios):.2f}, highest {max(ratios):.2f})"
    )
    assert median(ratios) <= AT_MOST
