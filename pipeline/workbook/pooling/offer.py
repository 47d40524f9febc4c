"""What one book tells the others before any is answered: its genes, and the animals it marks as shared."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from pipeline.genetics.collection import Basis, Settings
from pipeline.genetics.genes import Gene, Sex, SexChromosomes
from pipeline.problems import Place
from pipeline.workbook.book import Book
from pipeline.workbook.checking import Checked
from pipeline.workbook.checks.inspection import as_rows

_SHARED = re.compile(r"\s*shared\b", re.IGNORECASE)
"""The Notes of a shared animal begin with this word."""
TABLES = ("species", "genes", "animals", "shared_animals")


@dataclass(frozen=True)
class Recorded:
    """An animal as one book records it; parents by that book's IDs, `label` as typed."""

    book: str
    id: str
    species: str
    sex: Sex | None
    born: date | None
    born_year: int | None
    sire: str | None
    dam: str | None
    label: str
    basis: Basis
    row: int


@dataclass(frozen=True)
class Mapped:
    """One row of the sheet Shared animals; `book` None is the book that holds the sheet."""

    book: str | None
    id: str
    same_book: str
    same_id: str
    row: int


@dataclass(frozen=True)
class Offer:
    """One book's part in a run of several. `genes` are its genes by species, each with its row; None: it is at fault
    itself, so that its name can be read and no more. `chromosomes` are those that it knows, by species, each with its row."""

    book: str
    settings: Settings
    genes: Mapping[str, tuple[tuple[Gene, int | None], ...]]
    chromosomes: Mapping[str, tuple[SexChromosomes, int]]
    marked: tuple[Recorded, ...]
    mapped: tuple[Mapped, ...]
    titles: Mapping[str, str]
    columns: Mapping[str, Mapping[str, str]]

    def place(self, table: str, row: int | None = None, field: str | None = None) -> Place:
        """Where a record of the book stands (see Book.place)."""
        letters = self.columns.get(table, {}).get(field) if field else None
        return Place(self.book, self.titles[table], row, letters)


def offer_of(checked: Checked) -> Offer:
    """What a checked book tells the others."""
    book = checked.book
    animals = recorded_animals(checked)
    notes = _notes(book)
    return Offer(
        book.name,
        checked.collection.settings,
        _genes(checked),
        {
            row.species: (SexChromosomes(row.sex_chromosomes), row.row)
            for row in _rows(book, "species")
            if _known(row)
        },
        tuple(one for one in animals.values() if _SHARED.match(notes.get(one.row, ""))),
        tuple(_mapped(book)),
        {table: book.title(table) for table in TABLES},
        {table: book.columns.get(table, {}) for table in TABLES},
    )


def _known(row: Any) -> bool:
    """Whether a row of the sheet Species says which sex chromosomes the species has."""
    return row.sex_chromosomes not in (None, SexChromosomes.UNKNOWN)


def recorded_animals(checked: Checked) -> dict[str, Recorded]:
    """All animals of a checked book, by their IDs."""
    typed = {row.id: row.genes for row in _rows(checked.book, "animals")}
    return {
        own.id: Recorded(
            checked.book.name, own.id, own.species, own.sex, own.born, own.born_year, own.sire, own.dam,
            typed.get(own.id) or "", own.basis, own.row,
        )
        for own in checked.collection.animals.values()
    }  # fmt: skip


def _rows(book: Book, table: str) -> list:
    frame = book.tables.get(table)
    return [] if frame is None or frame.empty else as_rows(table, frame)


def _notes(book: Book) -> dict[int, str]:
    """The Notes of each row of the sheet Animals that has any."""
    return {row.row: row.notes for row in _rows(book, "animals") if row.notes}


def _genes(checked: Checked) -> dict[str, tuple[tuple[Gene, int | None], ...]]:
    rows = {(row.species, row.gene): row.row for row in _rows(checked.book, "genes")}
    return {
        species: tuple((gene, rows.get((species, gene.name))) for gene in catalogue.genes)
        for species, catalogue in checked.collection.catalogues.items()
    }


def _mapped(book: Book) -> list[Mapped]:
    return [
        Mapped(row.in_book, row.id, row.same_as_book, row.same_as_id or row.id, row.row)
        for row in _rows(book, "shared_animals")
    ]
