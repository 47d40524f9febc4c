"""Where one sheet holds several tables: one below another, or side by side."""

from collections.abc import Iterator, Sequence
from functools import cache

from pipeline.workbook.bringing.targets import TOPICS, candidates
from pipeline.workbook.bringing.wording import plain, words_of
from pipeline.workbook.headers import HEADER_WITHIN

Line = tuple[int, tuple]
"""A row of the sheet by its number, as wide as the sheet."""

_LONGEST_HEADER = 100
_MOST_BESIDE = 8
"""Tables looked for side by side."""
_NAMING = ("Animals.ID", "Animals.Name", "Weights.Animal")
"""Columns that say whose row it is."""


def tables_of(rows: Sequence[tuple]) -> list[list[Line]]:
    """The lines of each table, blank ones too; all `rows` are of one width. A table keeps its place in the sheet."""
    return [below for beside in _beside(list(enumerate(rows, start=1))) for below in _below(beside)]


def words_known(row: Sequence) -> int:
    """How many cells are words that headers have."""
    return sum(_is_of(cell, _header_words()) for cell in row)


def _is_of(cell: object, words: frozenset[str]) -> bool:
    return isinstance(cell, str) and len(cell) <= _LONGEST_HEADER and plain(cell) in words


def _below(lines: Sequence[Line]) -> Iterator[list[Line]]:
    """A table ends at blank rows that another header follows, with a title over it or not."""
    begun, headed, parted = 0, False, False
    for at, (_, row) in enumerate(lines):
        blank = all(cell is None for cell in row)
        if headed and parted and not blank and any(_is_header(later) for _, later in lines[at : at + 2]):
            yield list(lines[begun:at])
            begun, headed = at, False
        headed = headed or (at - begun < HEADER_WITHIN and _is_header(row))
        parted = blank
    yield list(lines[begun:])


def _is_header(row: Sequence) -> bool:
    filled = [cell for cell in row if cell is not None]
    known = words_known(filled)
    return known >= 2 and known * 2 > len(filled) and all(isinstance(cell, str) for cell in filled)


def _beside(lines: list[Line]) -> list[list[Line]]:
    """Parted at an empty column where what stands right of it is of other animals than the row left of it."""
    for gap, header, position in _named_right(lines):
        if _is_of_others(lines[header + 1 :], gap, position):
            left = [(number, row[:gap] + (None,) * (len(row) - gap)) for number, row in lines]
            right = [(number, (None,) * gap + row[gap:]) for number, row in lines]
            return [*_beside(left), right]
    return [lines]


def _named_right(lines: Sequence[Line]) -> list[tuple[int, int, int]]:
    """Columns that say whose row it is and have an empty column left of them, the last first: gap, header's line, column."""
    rows = [row for _, row in lines]
    empty = [position for position, column in enumerate(zip(*rows, strict=True)) if not any(c is not None for c in column)]
    found = []
    for at, row in enumerate(rows[:HEADER_WITHIN]):
        for position, cell in enumerate(row):
            gaps = [gap for gap in empty if gap < position] if _is_of(cell, _naming()) else []
            if gaps and words_known(row[gaps[-1] :]) >= 2:
                found.append((gaps[-1], at, position))
    return sorted(found, reverse=True)[:_MOST_BESIDE]


def _is_of_others(lines: Sequence[Line], gap: int, position: int) -> bool:
    """Whether the column names animals of the rows left of the gap, and not each in its own row."""
    left = [{words_of(cell) for cell in row[:gap] if cell is not None} for _, row in lines]
    named = [(at, words_of(row[position])) for at, (_, row) in enumerate(lines) if row[position] is not None]
    known = set().union(*left)
    if 2 * sum(words in known for _, words in named) < max(1, len(named)):
        return False
    return any(words not in left[at] for at, words in named)


@cache
def _header_words() -> frozenset[str]:
    return frozenset(word for topic in TOPICS for candidate in candidates(topic) for word in candidate.words)


@cache
def _naming() -> frozenset[str]:
    every = (candidate for topic in TOPICS for candidate in candidates(topic) if not candidate.target.given)
    return frozenset(word for c in every if f"{c.target.sheet}.{c.target.column}" in _NAMING for word in c.words)
