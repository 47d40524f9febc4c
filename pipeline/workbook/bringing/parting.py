"""Where one sheet holds several tables: one below another, side by side, or days and weights in turn."""

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from functools import cache

from pipeline.workbook.bringing.targets import TOPICS, Target, candidates, words_for
from pipeline.workbook.bringing.wording import plain, words_of
from pipeline.workbook.headers import HEADER_WITHIN

Line = tuple[int, tuple]
"""A row of the sheet by its number, as wide as the sheet."""

_LONGEST_HEADER = 100
_NUMBERED = re.compile(r"\s*\d+\s*\Z")
_NEAR, _MOST_BELOW = 6, 200
"""Columns from a name within which another word tells a header, and tables of one sheet looked for one below another."""
_MOST_BESIDE, _MOST_CELLS = 8, 5_000_000
"""Tables looked for side by side, and cells of the tables that days and weights in turn are parted into."""
_NAMING = ("Animals.ID", "Animals.Name", "Weights.Animal")
"""Columns that say whose row it is."""


def tables_of(rows: Sequence[tuple]) -> list[list[Line]]:
    """The lines of each table, blank ones too; all `rows` are of one width. A table keeps its place in the sheet."""
    parted = [below for beside in _beside(list(enumerate(rows, start=1))) for below in _below(beside)]
    return [table for lines in parted for table in _weighings_apart(lines)]


def words_known(row: Sequence) -> int:
    """How many cells are words that headers have."""
    return sum(_is_of(cell, _header_words()) for cell in row)


def _is_of(cell: object, words: frozenset[str]) -> bool:
    return isinstance(cell, str) and len(cell) <= _LONGEST_HEADER and plain(cell) in words


def _below(lines: Sequence[Line]) -> Iterator[list[Line]]:
    """A table ends at blank rows that another header follows, with a title over it or not."""
    begun, headed, parted, left = 0, False, False, _MOST_BELOW
    for at, (_, row) in enumerate(lines):
        blank = all(cell is None for cell in row)
        if headed and left and parted and not blank and any(_is_header(later) for _, later in lines[at : at + 2]):
            yield list(lines[begun:at])
            begun, headed, left = at, False, left - 1
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
    headers = [(at, row) for at, row in enumerate(rows[:HEADER_WITHIN]) if words_known(row) > 1]
    names = [(n, at) for at, row in headers for n, cell in enumerate(row) if _is_of(cell, words_for(*_NAMING))]
    found = []
    for position, at in sorted(names, reverse=True)[:_MOST_BESIDE]:
        gap = bisect_left(empty, position) - 1
        if gap >= 0 and words_known(rows[at][empty[gap] : position + _NEAR]) > 1:
            found.append((empty[gap], at, position))
    return found


def _is_of_others(lines: Sequence[Line], gap: int, position: int) -> bool:
    """Whether the column names animals of the rows left of the gap, and not each in its own row."""
    left = [{words_of(cell) for cell in row[:gap] if cell is not None} for _, row in lines]
    named = [(at, words_of(row[position])) for at, (_, row) in enumerate(lines) if row[position] is not None]
    known = set().union(*left)
    if 2 * sum(words in known for _, words in named) < max(1, len(named)):
        return False
    return any(words not in left[at] for at, words in named)


def _weighings_apart(lines: list[Line]) -> list[list[Line]]:
    """Where days and weights stand in turn beside each animal, each turn is a table of its own: its weights are of its days."""
    for at, (_, header) in enumerate(lines[:HEADER_WITHIN]):
        pairs = list(_pairs(header))
        key = _whose(header[: pairs[0]]) if len(pairs) > 1 else None
        if key is not None and len(pairs) * len(lines) * len(header) <= _MOST_CELLS:
            taken = {column for pair in pairs for column in (pair, pair + 1)}
            rest = [(number, tuple(None if n in taken else c for n, c in enumerate(row))) for number, row in lines]
            return [rest, *(_turn(lines[at:], key, pair) for pair in pairs)]
    return [lines]


def _pairs(header: Sequence) -> Iterator[int]:
    """Where a column of days stands beside one of weights, the left of the two; 'Date 2' is such a column as well."""
    words = [_NUMBERED.sub("", plain(c)) if isinstance(c, str) and len(c) <= _LONGEST_HEADER else "" for c in header]
    days, weights = words_for("Weights.Date"), words_for("Weights.Weight")
    place = 0
    while place + 1 < len(words):
        left, right = words[place : place + 2]
        found = (left in days and right in weights) or (left in weights and right in days)
        if found:
            yield place
        place += 1 + found


def _whose(header: Sequence) -> int | None:
    """The column that says most plainly whose row it is: an ID before a name, a name before a number."""
    words = next(c.words for c in candidates("Weights") if c.target == Target("Weights", "Animal"))
    ranked = [(words.index(plain(cell)), n) for n, cell in enumerate(header) if _is_of(cell, frozenset(words))]
    return min(ranked)[1] if ranked else None


def _turn(lines: Sequence[Line], key: int, pair: int) -> list[Line]:
    (number, header), *rows = lines
    heads = tuple(_NUMBERED.sub("", str(cell)) for cell in header[pair : pair + 2])
    weighed = [(n, row, row[pair : pair + 2]) for n, row in rows if row[pair : pair + 2] != (None, None)]
    told = [(number, header, heads), *weighed]
    left, right = [None] * key, [None] * (len(header) - pair - 2)
    return [(n, (*left, row[key], *[None] * (pair - key - 1), *both, *right)) for n, row, both in told]


@cache
def _header_words() -> frozenset[str]:
    return frozenset(word for topic in TOPICS for candidate in candidates(topic) for word in candidate.words)
