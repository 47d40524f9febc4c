"""One animal's sheet, top to bottom: a book in, a page to print out. The analysis is the season's, as far as it is needed."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pandas as pd

from pipeline.findings.asked import find_animal
from pipeline.findings.one_animal import TABLES, one_animal
from pipeline.questions import answers
from pipeline.report.animal_sheet import refuse_foreign, sheet_html, sheet_path, write_sheet
from pipeline.store.database import Store
from pipeline.store.tables import FINDINGS
from pipeline.workbook.checking import Checked, checked
from pipeline.workbook.reading import read_book

Say = Callable[[str], None]


def run_sheet(
    path: Path, asked: str, out: Path | None = None, *, as_of: date, say: Say = lambda step: None
) -> Path:
    """Write the sheet of the animal `asked` (its ID) and return where it lies; `out` defaults to BOOK-ID.html beside the book.

    Raises BookError for a file that can't be read, RequestError for an animal that the book hasn't and for a file that
    is not ours to replace. The book is only read.
    """
    say("Reading")
    read = read_book(path)
    book = checked(read, as_of)
    rows = read.tables["animals"]["id"].dropna() if "animals" in read.tables else ()
    animal = find_animal(book.collection, asked, rows)
    place = out or sheet_path(path, animal.id)
    refuse_foreign(place)
    findings, species = _analysed(book, as_of, say)
    found = one_animal(book.collection, animal, findings, species)
    say("Writing the sheet")
    text = sheet_html(found, book=book.book.name, keeper=book.collection.settings.keeper, as_of=as_of)
    write_sheet(text, place)
    return place


_ASKED = ("ratios", "carriers", "kin", "growth", "suspicions")
"""The season's questions that a sheet tells of."""


def _analysed(book: Checked, as_of: date, say: Say) -> tuple[dict[str, pd.DataFrame], pd.DataFrame]:
    """The findings tables that a sheet needs, and the records of the species.

    The whole book is analysed, not the animal's kin alone: how surely a ratio departs depends on how many were tested,
    and a curve leans on all animals of the species. So the sheet never says other than the season's report.
    """
    wanted = TABLES & {table.name for table in FINDINGS}
    with Store() as store:
        store.load(book.book.tables)
        for name, frame in answers(book, store, as_of, say, _ASKED):
            if name in wanted:
                store.save(name, frame.assign(book=book.book.name))
        findings = store.findings()
        return {name: findings[name] for name in wanted}, store.records("species", book=book.book.name)
