"""Books as the reading hands them on, built without Excel; the blank book, and what LibreOffice makes of it."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path

import pandas as pd
import pytest
from openpyxl import Workbook, load_workbook

from pipeline.problems import Severity
from pipeline.workbook.book import Book
from pipeline.workbook.sheets import Kind, sheet
from pipeline.workbook.template import write_book
from tests.libreoffice import SOFFICE, saved_by_libreoffice

_DTYPES = {Kind.INTEGER: "Int64", Kind.YEAR: "Int64", Kind.NUMBER: "float64", Kind.PERCENT: "float64"}
_LETTERS = "ABCDEFGHIJKLMNOP"

SPECIES = [
    {
        "species": "Boa",
        "sex_chromosomes": "XY",
        "days_to_young": 110,
        "typical_litter": 20,
        "female_breeding_age": 30,
    }
]
GENES = [
    {"species": "Boa", "gene": "Albino", "inheritance": "recessive"},
    {"species": "Boa", "gene": "Motley", "inheritance": "incomplete dominant", "also_written": "Mot"},
]
ANIMALS = [
    {"id": "C1", "species": "Boa", "sex": "F", "born": "2024-08-01", "genes": "Motley, 66% het Albino"},
    {
        "id": "D1",
        "species": "Boa",
        "sex": "F",
        "born": 2018,
        "genes": "Motley het Albino",
        "label_basis": "proved",
    },
    {"id": "S1", "species": "Boa", "sex": "M", "born": "2019-05-05", "genes": "het Albino"},
]
PAIRINGS = [
    {
        "pairing": "24-1",
        "season": 2024,
        "dam": "D1",
        "sire": "S1",
        "first_paired": "2024-01-10",
        "ovulated_or_laid": "2024-04-12",
    }
]
HATCH = [
    {"pairing": "24-1", "date": "2024-08-01", "genes": "Motley", "count": 6},
    {"pairing": "24-1", "date": "2024-08-01", "genes": "Motley", "animal": "C1"},
    {"pairing": "24-1", "outcome": "slug", "count": 2},
]
SOUND = {
    "species": SPECIES,
    "genes": GENES,
    "morph_names": [{"species": "Boa", "name": "Sunbeam", "genes": "Albino Motley"}],
    "animals": ANIMALS,
    "pairings": PAIRINGS,
    "hatch_results": HATCH,
    "weights": [{"animal": "C1", "date": "2024-09-01", "weight": 80.0}],
    "prices": [
        {"date": "2024-09-01", "species": "Boa", "genes": "Sunbeam", "price": 500.0, "currency": "USD"}
    ],
    "goals": [{"goal": "One of each", "species": "Boa", "genes": "Super Motley Albino"}],
    "settings": [{"setting": "Level (%)", "value": "1"}],
}


def table_of(name: str, rows: Sequence[Mapping]) -> pd.DataFrame:
    """Rows by field name as a table of the reading; the first stands in row 2. A date given as an int is a bare year."""
    columns = {
        "book": ["book.xlsx"] * len(rows),
        "sheet": [sheet(name).name] * len(rows),
        "row": range(2, len(rows) + 2),
    }
    frame = pd.DataFrame(columns)
    for column in sheet(name).columns:
        values = [row.get(column.field) for row in rows]
        if column.kind is Kind.DATE:
            bare = [isinstance(value, int) for value in values]
            years = [v if b else v and int(str(v)[:4]) for v, b in zip(values, bare, strict=True)]
            days = [None if b else v for v, b in zip(values, bare, strict=True)]
            frame[column.field] = pd.to_datetime(pd.Series(days, dtype="object")).astype("datetime64[us]")
            frame[f"{column.field}_year"] = pd.array(years, dtype="Int64")
        else:
            frame[column.field] = pd.Series(values, dtype=_DTYPES.get(column.kind, "str"))
    return frame


@pytest.fixture
def book_of() -> Callable[..., Book]:
    """book_of(animals=[{"id": "B1", "species": "Boa"}], …): a Book whose columns stand in the registry's order."""

    def build(**rows_by_table: Sequence[Mapping]) -> Book:
        letters = {
            name: dict(zip((column.field for column in sheet(name).columns), _LETTERS, strict=False))
            for name in rows_by_table
        }
        tables = {name: table_of(name, rows) for name, rows in rows_by_table.items()}
        return Book(Path("book.xlsx"), "book.xlsx", tables, letters)

    return build


@pytest.fixture
def sound() -> dict[str, list[dict]]:
    """A small book without a fault: one pair, one litter, as rows by table."""
    return {name: list(rows) for name, rows in SOUND.items()}


@pytest.fixture
def complaints(book_of: Callable[..., Book]) -> Callable[..., list[str]]:
    """complaints(animals=[…], …): errors and warnings of the check, each as 'error Animals F2: message hint'."""
    from pipeline.workbook.checking import checked

    def lines(**rows_by_table: Sequence[Mapping]) -> list[str]:
        problems = checked(book_of(**rows_by_table), date(2025, 1, 1)).problems
        return [
            f"{p.severity} {p.place.sheet} {p.place.cell}: {p.message} {p.hint}"
            for p in problems
            if p.severity is not Severity.NOTE
        ]

    return lines


@pytest.fixture(scope="module")
def blank(tmp_path_factory) -> Workbook:
    """The blank book, not to be changed."""
    path = tmp_path_factory.mktemp("blank") / "book.xlsx"
    write_book(path)
    return load_workbook(path)


@pytest.fixture(scope="module")
def through_libreoffice(tmp_path_factory):
    """Saves a workbook anew with LibreOffice, by a profile of its own, and loads it, with values where asked."""
    if SOFFICE is None:
        pytest.skip("LibreOffice (soffice) is not installed")
    folder = tmp_path_factory.mktemp("libreoffice")

    def convert(path: Path, *, values: bool = False) -> Workbook:
        (saved,) = saved_by_libreoffice(folder, path)
        return load_workbook(saved, data_only=values)

    return convert
