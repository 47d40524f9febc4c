"""Merged cells."""

from pathlib import Path

import numpy as np
import openpyxl

from pipeline.problems import Severity
from pipeline.workbook.reading import read_book
from tests.workbook.telling import told


def merged(path: Path, *ranges: str) -> Path:
    workbook = openpyxl.load_workbook(path)
    for cells in ranges:
        workbook.active.merge_cells(cells)
    workbook.save(path)
    return path


def test_read_book__spreads_a_cell_merged_down_over_its_rows(make_book):
    rows = [["Animal", "Date", "Weight"], ["B1", 2023, 5], [None, 2024, 6], [None, 2025, 7], ["B2", 2025, 8]]
    book = read_book(merged(make_book({"Weights": rows}), "A2:A4"))
    assert book.tables["weights"]["animal"].tolist() == ["B1", "B1", "B1", "B2"]
    assert told(book) == [("A2", "A2 to A4 are merged; the value is taken for each of these rows.")]


def test_read_book__warns_of_a_cell_merged_across(make_book):
    rows = [["Animal", "Date", "Weight", "Length"], ["B1", 2023, 5, None], ["B1", 2024, 6, 70]]
    book = read_book(merged(make_book({"Weights": rows}), "C2:D2"))
    assert np.isnan(book.tables["weights"]["length"][0])
    assert told(book) == [
        ("C2", "C2 to D2 are merged across columns; the value is taken for column C alone.")
    ]


def test_read_book__passes_over_a_merged_title(make_book):
    rows = [["My weights", None, None], ["Animal", "Date", "Weight"], ["B1", 2023, 5]]
    book = read_book(merged(make_book({"Weights": rows}), "A1:C1"))
    assert len(book.tables["weights"]) == 1
    assert [problem.severity for problem in book.problems] == [Severity.NOTE]
