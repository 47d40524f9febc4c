"""A keeper's book as plain tables, with everything that is wrong in it told at once."""

import gc
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pandas as pd

from pipeline.genetics.collection import Settings
from pipeline.problems import Place, Severity, sorted_problems
from pipeline.workbook.book import Book
from pipeline.workbook.headers import match_tabs
from pipeline.workbook.package import Package, SheetPart, open_package
from pipeline.workbook.scan import Scan, scan_sheet
from pipeline.workbook.settings import read_settings
from pipeline.workbook.sheets import SETTINGS_SHEET, Sheet
from pipeline.workbook.slimming import slimmed
from pipeline.workbook.sources import Sources
from pipeline.workbook.tab import Tab
from pipeline.workbook.table import read_tab


def read_book(path: Path, name: str = "") -> Book:
    """The book at `path`; BookError, in one sentence, where the file can't be read at all.

    `name` is what the book is called in all that is said of it; blank: its file name.
    """
    path = Path(path)
    package = slimmed(open_package(path))
    if name and name != package.name:
        package = replace(package, name=name)
    sheets, problems = match_tabs(package.name, [part.name for part in package.sheets])
    parts = [part for part in package.sheets if part.name in sheets]
    parts.sort(key=lambda part: sheets[part.name] is not SETTINGS_SHEET)
    tables: dict[str, pd.DataFrame] = {}
    columns: dict[str, Mapping[str, str]] = {}
    home = Settings().currency
    scans = {part: _scanned(package, part) for part in parts}
    with _uncollected(), Sources(package, parts) as sources:
        for part, scan in scans.items():
            tab = _tab(package, part, sheets[part.name], sources, scan)
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


def _scanned(package: Package, part: SheetPart) -> Scan:
    """What a look through the sheet finds. It comes first: what it refuses, no reader could hold in memory."""
    with package.archive() as archive, archive.open(part.part) as stream:
        return scan_sheet(stream, package.percent_styles)


def _tab(package: Package, part: SheetPart, sheet: Sheet, sources: Sources, scan: Scan) -> Tab:
    place = Place(package.name, part.name)
    tab = Tab(place, sheet, sources.of(part), scan, epoch_1904=package.epoch_1904)
    if part.hidden:
        tab.tell(Severity.NOTE, f"Sheet '{part.name}' is hidden; it was read like the others.")
    return tab
