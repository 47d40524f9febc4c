"""A keeper's book as plain tables, with everything that is wrong in it told at once."""

import gc
import warnings
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from io import BytesIO
from pathlib import Path

import openpyxl
import pandas as pd
from openpyxl.utils.datetime import MAC_EPOCH

from pipeline.genetics.collection import Settings
from pipeline.problems import Place, Severity, sorted_problems
from pipeline.workbook.book import Book
from pipeline.workbook.headers import match_tabs
from pipeline.workbook.package import Package, SheetPart, open_package
from pipeline.workbook.scan import scan_sheet
from pipeline.workbook.settings import read_settings
from pipeline.workbook.sheets import SETTINGS_SHEET, Sheet
from pipeline.workbook.slimming import slimmed
from pipeline.workbook.tab import Source, Tab
from pipeline.workbook.table import read_tab


def read_book(path: Path) -> Book:
    """The book at `path`; BookError, in one sentence, where the file can't be read at all."""
    path = Path(path)
    package = slimmed(open_package(path))
    sheets, problems = match_tabs(package.name, [part.name for part in package.sheets])
    parts = [part for part in package.sheets if part.name in sheets]
    parts.sort(key=lambda part: sheets[part.name] is not SETTINGS_SHEET)
    tables: dict[str, pd.DataFrame] = {}
    columns: dict[str, Mapping[str, str]] = {}
    home = Settings().currency
    with _uncollected(), _workbook(package) as workbook:
        for part in parts:
            tab = _tab(package, part, sheets[part.name], workbook)
            tab.home = home
            frame, letters = read_tab(tab)
            problems += tab.problems
            if frame is not None:
                tables[tab.sheet.table], columns[tab.sheet.table] = frame, letters
            if tab.sheet is SETTINGS_SHEET:
                home = read_settings(frame)[0].currency
    return Book(path, package.name, tables, columns, tuple(sorted_problems(problems)))


@contextmanager
def _uncollected() -> Iterator[None]:
    """Pauses the cycle collector: rows hold no cycles, and walking them again and again costs an eighth of the time."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()


@contextmanager
def _workbook(package: Package) -> Iterator[openpyxl.Workbook]:
    """The book opened for streaming, stored values in place of formulas; its remarks about lost extras are muted."""
    if not openpyxl.DEFUSEDXML:
        raise RuntimeError("openpyxl does not use defusedxml; install defusedxml beside it")
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", module="openpyxl")
        with package.guarded():
            workbook = openpyxl.load_workbook(
                BytesIO(package.data), read_only=True, data_only=True, keep_links=False
            )
        with closing(workbook):
            yield workbook


def _tab(package: Package, part: SheetPart, sheet: Sheet, workbook: openpyxl.Workbook) -> Tab:
    with package.archive() as archive, archive.open(part.part) as stream:
        scan = scan_sheet(stream, package.percent_styles)
    place = Place(package.name, part.name)
    source = _source(package, workbook, part.name)
    tab = Tab(place, sheet, source, scan, epoch_1904=workbook.epoch == MAC_EPOCH)
    if part.hidden:
        tab.tell(Severity.NOTE, f"Sheet '{part.name}' is hidden; it was read like the others.")
    return tab


def _source(package: Package, workbook: openpyxl.Workbook, title: str) -> Source:
    """A worksheet's rows as plain values. The size that the file states is often wrong and is not asked."""

    def rows(first: int, last: int, width: int | None) -> Iterator[tuple]:
        with package.guarded():
            worksheet = workbook[title]
            worksheet.reset_dimensions()
            if last >= first:
                yield from worksheet.iter_rows(min_row=first, max_row=last, max_col=width, values_only=True)

    return rows
