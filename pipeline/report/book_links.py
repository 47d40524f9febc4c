"""Links from a cell of findings.xlsx to the cell of the keeper's book that it speaks of.

A link is part of the cell's relations, never a formula. Its way to the book is relative to the findings' own folder, so
that both may move together.
"""

import os
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pipeline.report.records import FIELDS, Record, Records, Rows
from pipeline.report.table_sheet import TableSheet

MOST_LINKS = 65_530
"""Excel opens no sheet with more."""
LOOKED_AT = ("book", "species", "kind", "sheet", "cell", "first_row", "last_row", "records", "row", "subject")
"""The columns by which a row's place in a book is found, beside the one to be linked."""
_LONGEST_WAY, _LONGEST_TIP = 2_079, 255
_CELL = re.compile(r"([A-Z]{1,3}[0-9]{1,7})|row ([0-9]{1,7})")
_SUMS = {
    ("season_summary", "season"): "season",
    ("season_value", "season"): "season",
    ("sex_ratios", "species"): "sexed",
    ("price_factors", "currency"): "market",
    ("label_prices", "currency"): "market",
    ("books", "animals"): "book",
}
"""Columns of a table that name what its row sums, and the topic of that."""
_OTHERS = {
    ("problems", "cell"),
    ("record_places", "id"),
    ("price_outliers", "row"),
    ("suspicions", "subject"),
}
_ESCAPED = {one: f"%{ord(one):02x}" for one in '% "<>[]^`{}#'}


class BookLinks:
    """Where the records of the answers stand, and the way to each book from the folder of the findings.

    `books` are paths by file name, relative to that folder; a book not among them is looked for in the folder above.
    """

    def __init__(self, records: Records, books: Mapping[str, str]) -> None:
        self._records = records
        self._books = books
        self._ways: dict[str, str] = {}
        self._made: dict[str, int] = {}

    def turn(self, table: str, field: str) -> int | None:
        """When the cells of this column are asked for a record: first those that name the very row that the finding is about,
        then those that name anything, then those that sum; None where they speak of none."""
        if (table, field) in _OTHERS:
            return 0
        return 1 if field in FIELDS else 2 if (table, field) in _SUMS else None

    def cell_of(self, table: str, field: str, row: Mapping[str, Any]) -> tuple[str, str, str] | None:
        """Book, sheet and cells that a cell of a findings table speaks of; None where that is not known."""
        if table == "problems":
            place = _CELL.fullmatch(str(row["cell"])) if field == "cell" else None
            return (row["book"], row["sheet"], place[1] or f"A{place[2]}") if place else None
        if table == "record_places":
            own = Rows(row["sheet"], int(row["first_row"]), int(row["last_row"]), int(row["records"]))
            return (row["book"], own.sheet, own.cells) if field == "id" else None
        if table == "price_outliers" and field == "row":
            price = self._records.of_row(row, "morph")
            return (row["book"], price.rows[0].sheet, f"A{row['row']:.0f}") if price else None
        if table == "suspicions" and field == "subject":
            doubted = self._records.of_suspicion(
                row["book"], row["kind"], row["species"], str(row["subject"])
            )
            return _first_of(doubted[0]) if doubted else None
        if topic := _SUMS.get((table, field)):
            name = row["book" if topic == "book" else field]
            return _first_of(self._records.of(topic, row["book"], row.get("species"), name))
        return _first_of(self._records.of_row(row, field)) if field in FIELDS else None

    def write(
        self, sheet: TableSheet, at: tuple[int, int], text: str, place: tuple[str, str, str], style: Any
    ) -> bool:
        """Make the cell `at`, which says `text`, a link to `place`; False, and nothing done, where Excel allows no link."""
        book, title, cell = place
        quoted = title.replace("'", "''")
        if book not in self._ways:
            self._ways[book] = "".join(_ESCAPED.get(c, c) for c in self._books.get(book, f"../{book}"))
        link = f"external:{self._ways[book]}#'{quoted}'!{cell}"
        made = self._made.get(sheet.get_name(), 0)
        if not text or made >= MOST_LINKS or len(link.encode("utf-16-le")) > 2 * _LONGEST_WAY:
            return False
        tip = f"{book}: {title}, {cell}"
        sheet.link(*at, link, style, text, tip if len(tip) < _LONGEST_TIP // 2 else "In your book")
        self._made[sheet.get_name()] = made + 1
        return True


def _first_of(record: Record | None) -> tuple[str, str, str] | None:
    """Book, sheet and cells of the first sheet that speaks of it."""
    return (record.book, record.rows[0].sheet, record.rows[0].cells) if record else None


def ways_from(folder: Path, paths: Mapping[str, Path]) -> dict[str, str]:
    """The way from `folder` to each book; whole where there is none, as from one drive to another."""
    return {name: _way(folder.resolve(), path.resolve()) for name, path in paths.items()}


def _way(folder: Path, path: Path) -> str:
    try:
        return Path(os.path.relpath(path, folder)).as_posix()
    except ValueError:
        return path.as_posix()
