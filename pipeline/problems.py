"""A problem of one record: where it is, what it is, and what to do about it."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a problem costs: an error leaves the row out, a warning doubts it, a note explains."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, order=True)
class Place:
    """A row of a keeper's book, or one cell of it when `column` is given (spreadsheet letters, 'F')."""

    book: str
    sheet: str
    row: int | None = None
    column: str | None = None

    @property
    def cell(self) -> str | None:
        """'F12', 'row 12' where no single cell is at fault, None for the sheet as a whole."""
        if self.row is None:
            return None
        return f"{self.column}{self.row}" if self.column else f"row {self.row}"


@dataclass(frozen=True)
class Problem:
    """One sentence about one place; `hint` is the remedy, `value` what stood in the cell."""

    severity: Severity
    place: Place
    message: str
    hint: str = ""
    value: str = ""


_ORDER = {Severity.ERROR: 0, Severity.WARNING: 1, Severity.NOTE: 2}


def sorted_problems(problems: Iterable[Problem]) -> list[Problem]:
    """Problems worst first, then in the order a reader walks the book."""
    return sorted(problems, key=lambda problem: (_ORDER[problem.severity], *_walked(problem.place)))


def _walked(place: Place) -> tuple[str, str, int, int, str]:
    """Where a place comes: column B before column AA."""
    column = place.column or ""
    return place.book, place.sheet, place.row or 0, len(column), column
