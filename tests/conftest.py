"""Helpers that tests of every floor share."""

import shutil
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pytest

from tests.chromium import CHROMIUM, FLAGS


@pytest.fixture(scope="module")
def browser():
    """A real browser, for tests that look at a page as a keeper does (mark them NEEDS_CHROMIUM)."""
    sync_api = pytest.importorskip("playwright.sync_api")
    with sync_api.sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield started
        started.close()


@pytest.fixture(scope="session")
def kept(tmp_path_factory) -> Path:
    """A small collection's book as its keeper has it, written once a worker; not to be changed."""
    from pipeline.workbook.template import write_book
    from tests.endtoend.small import SMALL

    path = tmp_path_factory.mktemp("kept") / "small.xlsx"
    write_book(path, SMALL)
    return path


@pytest.fixture(scope="session")
def finished(kept, tmp_path_factory) -> Path:
    """The folder of its complete season, made once a worker; not to be changed."""
    from pipeline.season import run_season
    from tests.endtoend.small import AS_OF

    return run_season([kept], tmp_path_factory.mktemp("finished") / "season", as_of=AS_OF).folder


@pytest.fixture
def book(kept, tmp_path) -> Path:
    """The keeper's book in a folder of its own, to do with as a test likes."""
    return shutil.copy(kept, tmp_path / "small.xlsx")


@pytest.fixture
def make_book(tmp_path: Path) -> Callable[..., Path]:
    """Writes a workbook and returns its path: make_book({"Animals": [{"ID": "B1", "Species": "Boa"}, ...]}).

    Rows are dicts by header (the first row's order, then what later rows add) or plain lists, header included.
    A text that starts with '=' is a formula without a stored value.
    """

    def build(rows_by_sheet: Mapping[str, Sequence], name: str = "book.xlsx") -> Path:
        from openpyxl import Workbook

        workbook = Workbook()
        workbook.remove(workbook.active)
        for title, rows in rows_by_sheet.items():
            worksheet = workbook.create_sheet(title)
            for row in _as_lists(rows):
                worksheet.append(row)
        path = tmp_path / name
        workbook.save(path)
        return path

    return build


def _as_lists(rows: Sequence) -> list[list]:
    if not rows or not isinstance(rows[0], Mapping):
        return [list(row) for row in rows]
    headers = list(dict.fromkeys(header for row in rows for header in row))
    return [headers, *([row.get(header) for header in headers] for row in rows)]
