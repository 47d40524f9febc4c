"""A tab of the book while it is read."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from pipeline.problems import Place, Problem, Severity
from pipeline.workbook.scan import Scan
from pipeline.workbook.sheets import Sheet

Source = Callable[[int, int, int | None], Iterable[Sequence]]
"""Gives the rows from a first to a last (from 1, both included), cut or filled up to a width where one is given."""


@dataclass
class Tab:
    """What reading one tab needs: its place, its sheet, where its rows come from, and what the scan found."""

    place: Place
    sheet: Sheet
    source: Source
    scan: Scan
    epoch_1904: bool = False
    home: str = "USD"
    problems: list[Problem] = field(default_factory=list)

    def tell(
        self,
        level: Severity,
        message: str,
        hint: str = "",
        *,
        row: int | None = None,
        column: str | None = None,
        value: str = "",
    ) -> None:
        """Note a problem of this tab."""
        place = Place(self.place.book, self.place.sheet, row, column)
        self.problems.append(Problem(level, place, message, hint, value))


@dataclass
class Rows:
    """The rows with content: their numbers in the tab, and each field's cells as the file holds them."""

    numbers: list[int]
    raw: dict[str, list]
