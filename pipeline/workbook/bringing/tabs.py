"""The tables of an old list: where the header stands, what the columns hold."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import compress

from openpyxl.utils import get_column_letter

from pipeline.workbook.bringing.grids import Grid
from pipeline.workbook.bringing.targets import TOPICS, candidates
from pipeline.workbook.bringing.wording import plain, title, words_of
from pipeline.workbook.headers import HEADER_WITHIN

_TOTALS = frozenset(
    {
        "total",
        "totals",
        "grand total",
        "subtotal",
        "sum",
        "count",
        "average",
        "mean",
        "summe",
        "gesamt",
        "totaal",
    }
)
_MEASURE = re.compile(r"[\W\d_]*(\d\s*[^\W\d_]+\.?)?")
"""'42', '1,250 g', '3 animals', or no word at all."""
_WIDE, _SENTENCE = 4, 4
"""Columns of a table from which a lone cell is told from a record, and words of a remark."""


@dataclass(frozen=True)
class OldTab:
    """A table with its header told apart. `rows` are the records below it, `numbers` their rows in the file.

    `above` are rows over the header (titles, dates of printing), `asides` rows below it that are no records (totals,
    sentences), `remarks` the notes that hang on cells.
    """

    name: str
    header_row: int
    headers: tuple
    rows: tuple[tuple, ...]
    numbers: tuple[int, ...]
    above: tuple[tuple[int, tuple], ...] = ()
    asides: tuple[tuple[int, tuple], ...] = ()
    remarks: tuple[tuple[str, str], ...] = ()

    @property
    def positions(self) -> list[int]:
        """Columns with a header or any value, from 0."""
        return [p for p, header in enumerate(self.headers) if header is not None or any(self.filled(p))]

    def title(self, position: int) -> str:
        """What the column is called."""
        return title(self.headers[position], get_column_letter(position + 1))

    def values(self, position: int) -> list:
        """The column's cells, a blank one as None."""
        return [row[position] for row in self.rows]

    def filled(self, position: int) -> Iterator:
        """The column's cells that hold something."""
        return (row[position] for row in self.rows if row[position] is not None)


def tab_of(grid: Grid) -> OldTab:
    """The table of a grid: its header is the row, among the first, with most of the words that headers have."""
    width = max(map(len, grid.rows), default=0)
    rows = [row + (None,) * (width - len(row)) for row in grid.rows]
    head = _header_index(rows)
    filled = [(n, row) for n, row in enumerate(rows, start=1) if any(cell is not None for cell in row)]
    below = [(number, row) for number, row in filled if number > head + 1]
    aside = [_is_aside(row) for _, row in below]
    records = [line for line, is_aside in zip(below, aside, strict=True) if not is_aside]
    return OldTab(
        grid.name,
        head + 1,
        rows[head] if rows else (),
        tuple(row for _, row in records),
        tuple(number for number, _ in records),
        tuple((number, row) for number, row in filled if number <= head),
        tuple(compress(below, aside)),
        grid.remarks,
    )


def _is_aside(row: Sequence) -> bool:
    """A line of totals, or one long remark at the head of an else empty row; both stand under many a table."""
    first, *rest = [cell for cell in row if cell is not None]
    if not isinstance(first, str):
        return False
    if words_of(first).casefold().rstrip(":.") in _TOTALS:
        return all(not isinstance(cell, str) or _MEASURE.fullmatch(words_of(cell)) for cell in rest)
    return not rest and row[0] is not None and len(row) >= _WIDE and len(first.split()) >= _SENTENCE


def _header_index(rows: Sequence[Sequence]) -> int:
    """Counted from 0; the first filled row where none holds a word that we know."""
    hits = [
        sum(isinstance(cell, str) and plain(cell) in _header_words() for cell in row)
        for row in rows[:HEADER_WITHIN]
    ]
    if max(hits, default=0) > 0:
        return hits.index(max(hits))
    return next((n for n, row in enumerate(rows) if any(cell is not None for cell in row)), 0)


@cache
def _header_words() -> frozenset[str]:
    return frozenset(word for topic in TOPICS for candidate in candidates(topic) for word in candidate.words)
