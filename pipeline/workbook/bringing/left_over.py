"""Two pages of the new book that account for the old one: 'Brought in', what went where, and 'Left over'."""

from collections.abc import Iterator, Sequence

from openpyxl.utils import get_column_letter

from pipeline.workbook.bringing.matching import Placing
from pipeline.workbook.bringing.records import LONGEST_CELL, Gathered
from pipeline.workbook.bringing.topics import Matched
from pipeline.workbook.bringing.wording import words_of
from pipeline.workbook.own_pages import OwnPage
from pipeline.workbook.sheets import BROUGHT_IN, LEFT_OVER

UNPLACED = "Notes and Left over"
LEFT = "Left over"


def examples(table: Matched, placing: Placing, many: int = 3) -> list[str]:
    """The first different values of a column, as text."""
    words = dict.fromkeys(words_of(value) for value in table.tab.filled(placing.position))
    return list(words)[:many]


def destination(table: Matched, placing: Placing) -> str:
    """Where a column goes, in words."""
    if placing.target:
        return str(placing.target)
    return UNPLACED if table.topic else LEFT


def account_page(tables: Sequence[Matched], gathered: Gathered) -> OwnPage:
    """A line for every column of the old list, then what was made up or changed."""
    lines: list[tuple] = [
        (
            table.tab.name,
            table.tab.headers[placing.position],
            destination(table, placing),
            round(placing.confidence) if placing.target else None,
            placing.why,
            " | ".join(example[:60] for example in examples(table, placing)),
        )
        for table in tables
        for placing in table.placings
    ]
    lines += [
        (None, None, sentence, None, "once" if many == 1 else f"{many} times", None)
        for sentence, many in gathered.sayings.items()
    ]
    return OwnPage(
        BROUGHT_IN,
        ("Their sheet", "Their column", "Went to", "Sure (%)", "Matched by", "Examples"),
        tuple(lines),
        (20, 28, 48, 12, 18, 70),
    )


def left_over_page(tables: Sequence[Matched], gathered: Gathered) -> OwnPage:
    """The rows that hold anything without a place of its own, each as it stood, with titles, totals, remarks and notes."""
    left = set(gathered.left_over)
    rows = [line for table in tables for line in _of_table(table, left)]
    width = max((len(line) for line in rows), default=2)
    letters = tuple(f"Column {get_column_letter(n)}" for n in range(1, width - 1))
    return OwnPage(LEFT_OVER, ("Their sheet", "Row", *letters), tuple(rows), (20, 8, *(18 for _ in letters)))


def _of_table(table: Matched, left: set[tuple[str, int]]) -> Iterator[tuple]:
    tab = table.tab
    kept = [(n, row) for n, row in zip(tab.numbers, tab.rows, strict=True) if (tab.name, n) in left]
    kept = sorted([*kept, *tab.asides], key=lambda line: line[0])
    if kept or tab.above or not (table.topic or tab.rows):
        kept = [*tab.above, *([(tab.header_row, tab.headers)] if tab.header_row else []), *kept]
    for number, row in kept:
        yield from _lines(tab.name, number, row)
    for cell, words in tab.remarks:
        yield from _lines(tab.name, f"note on {cell}", (words,))


def _lines(name: str, number: object, row: Sequence) -> Iterator[tuple]:
    """The row as it stood; a text longer than a cell holds goes on in lines of its own below."""
    long = {p: words_of(value) for p, value in enumerate(row) if len(words_of(value or "")) > LONGEST_CELL}
    yield (name, number, *(long[p][:LONGEST_CELL] if p in long else value for p, value in enumerate(row)))
    for position, words in long.items():
        for start in range(LONGEST_CELL, len(words), LONGEST_CELL):
            yield (name, number, *([None] * position), words[start : start + LONGEST_CELL])
