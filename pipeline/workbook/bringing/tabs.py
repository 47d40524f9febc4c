"""The tables of an old list: where the header stands, what the columns hold."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import compress
from math import isclose

from openpyxl.utils import get_column_letter

from pipeline.workbook.bringing.grids import Grid
from pipeline.workbook.bringing.parting import Line, tables_of, words_known
from pipeline.workbook.bringing.wording import title, words_of
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
_GROUPS = frozenset({"males", "females", "breeders", "adults", "juveniles", "hatchlings", "holdbacks", "sold", "died", "dead"})
"""What a lone cell says over a part of a list."""
_MEASURE = re.compile(r"[\W\d_]*(\d\s*[^\W\d_]+\.?)?")
"""'42', '1,250 g', '3 animals', or no word at all."""
_WIDE, _SENTENCE = 4, 4
"""Columns of a table from which a lone cell is told from a record, and words of a remark."""


@dataclass(frozen=True)
class OldTab:
    """A table with its header told apart, in row 0 where it has none. `rows` are the records, `numbers` their rows in the file.

    `above` are rows over the header (titles, dates of printing), `asides` rows below it that are no records (totals,
    sentences), `remarks` the notes that hang on cells. `slid` says that the header was moved by a column.
    """

    name: str
    header_row: int
    headers: tuple
    rows: tuple[tuple, ...]
    numbers: tuple[int, ...]
    above: tuple[tuple[int, tuple], ...] = ()
    asides: tuple[tuple[int, tuple], ...] = ()
    remarks: tuple[tuple[str, str], ...] = ()
    slid: bool = False

    @property
    def positions(self) -> list[int]:
        """Columns with a header or any value, from 0."""
        return [p for p, header in enumerate(self.headers) if header is not None or any(self.filled(p))]

    def title(self, position: int) -> str:
        """What the column is called."""
        return title(self.headers[position], get_column_letter(position + 1))

    def with_header_slid(self) -> "OldTab | None":
        """With every heading a column to the side, where they end on an empty column and one at the other end has none."""
        if len(self.positions) < 2:
            return None
        first, *_, last = self.positions
        if self.headers[first] is None and not any(self.filled(last)):
            return replace(self, headers=(*self.headers[1:], None), slid=True)
        if self.headers[last] is None and not any(self.filled(first)):
            return replace(self, headers=(None, *self.headers[:-1]), slid=True)
        return None

    def values(self, position: int) -> list:
        """The column's cells, a blank one as None."""
        return [row[position] for row in self.rows]

    def filled(self, position: int) -> Iterator:
        """The column's cells that hold something."""
        return (row[position] for row in self.rows if row[position] is not None)


def tabs_of(grid: Grid) -> list[OldTab]:
    """The tables of a grid, from the top and the left; the notes that hang on cells are with the first."""
    width = max(map(len, grid.rows), default=0)
    parted = tables_of([row + (None,) * (width - len(row)) for row in grid.rows])
    return [_tab(grid, lines, () if n else grid.remarks) for n, lines in enumerate(parted)]


def _tab(grid: Grid, lines: Sequence[Line], remarks: tuple[tuple[str, str], ...]) -> OldTab:
    """One table: its header is the row, among the first, with most of the words that headers have."""
    filled = [(number, row) for number, row in lines if any(cell is not None for cell in row)]
    head = _header_index([row for _, row in filled])
    number, headers = filled[head] if head is not None else (0, (None,) * len(lines[0][1]) if lines else ())
    below = [(n, row) for n, row in filled if n > number and row != headers]
    aside = [_is_aside(row) for _, row in below]
    if below and not aside[-1]:
        aside[-1] = _sums_up([row for _, row in below])
    records = [line for line, is_aside in zip(below, aside, strict=True) if not is_aside]
    return OldTab(
        grid.name,
        number,
        headers,
        tuple(row for _, row in records),
        tuple(n for n, _ in records),
        tuple(line for line in filled if line[0] < number),
        tuple(compress(below, aside)),
        remarks,
    )


def _is_aside(row: Sequence) -> bool:
    """A line of totals, a heading of a part of the list, or one long remark at the head of an else empty row."""
    first, *rest = [cell for cell in row if cell is not None]
    if not isinstance(first, str):
        return False
    if words_of(first).casefold().rstrip(":.") in _TOTALS:
        return all(not isinstance(cell, str) or _MEASURE.fullmatch(words_of(cell)) for cell in rest)
    lone = not rest and row[0] is not None and len(row) >= _WIDE
    return lone and (len(first.split()) >= _SENTENCE or words_of(first).casefold().rstrip(":.") in _GROUPS)


def _sums_up(rows: Sequence[Sequence]) -> bool:
    """Whether the last row holds nothing but the sums of numbers above it, and is nameless: blank where all above are filled.

    A third litter may be as large as the first two, and its number as theirs together.
    """
    *above, last = rows
    if all(cell is not None or any(row[n] is None for row in above) for n, cell in enumerate(last)):
        return False
    sums = [(cell, [row[n] for row in above if _is_number(row[n])]) for n, cell in enumerate(last) if cell is not None]
    return all(_is_number(cell) and len(parts) > 1 and isclose(cell, sum(parts)) for cell, parts in sums)


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _header_index(rows: Sequence[Sequence]) -> int | None:
    """Counted from 0; the first row where none holds a word that we know, and None where that is a record as well."""
    known = [words_known(row) for row in rows[:HEADER_WITHIN]]
    most = max(known, default=0)
    at = known.index(most) if most else 0
    return None if not rows or (most < 2 and _is_record(rows, at, bool(most))) else at


def _is_record(rows: Sequence[Sequence], at: int, named: bool) -> bool:
    """Whether a row is like those below it: it says what they say again, or holds numbers and days and no known word."""
    again = any(cell is not None and cell == row[n] for row in rows[at + 1 :] for n, cell in enumerate(rows[at]))
    return again or (not named and any(not isinstance(cell, str) for cell in rows[at] if cell is not None))
