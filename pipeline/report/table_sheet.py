"""A worksheet that takes a table column by column, and writes it as fast as its size allows.

xlsxwriter keeps an object for every cell, and asks each again how it looks when it writes the file. The cells of a column
look alike, so here a column is kept as its values and one format. To do so this class stands in for the one method of
xlsxwriter that writes rows; whatever else a sheet has is xlsxwriter's own.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import repeat
from math import isfinite
from typing import Any

from xlsxwriter.format import Format
from xlsxwriter.utility import xl_col_to_name
from xlsxwriter.worksheet import Worksheet


@dataclass(frozen=True)
class _Column:
    """Values as the file has them, of the type `kind`; `links` are the formats of the cells that are links, by place."""

    kind: str
    values: Sequence[str | None]
    style: Format
    links: dict[int, Format] = field(default_factory=dict)


class TableSheet(Worksheet):
    """A worksheet with at most one table, below all else that is written to it."""

    def __init__(self) -> None:
        super().__init__()
        self._first = 0
        self._columns: dict[int, _Column] = {}
        self._heights: Sequence[float | None] = ()

    def fill(self, first: int, at: int, values: Sequence[Any], style: Format) -> None:
        """Write `values` down the column `at` from the row `first` on, the same for all columns.

        They are texts, numbers or booleans, all of one kind; None leaves a cell empty.

        Raises ValueError for a number that is not finite.
        """
        self._first = first
        sample = next((value for value in values if value is not None), None)
        if isinstance(sample, str):
            column = _Column(' t="s"', self._shared(values), style)
        elif isinstance(sample, bool):
            column = _Column(' t="b"', [None if one is None else f"{one:d}" for one in values], style)
        else:
            column = _Column("", [None if one is None else _digits(one) for one in values], style)
        self._columns[at] = column
        self._check_dimensions(first + len(values) - 1, at)

    def heighten(self, heights: Sequence[float | None]) -> None:
        """Give the rows of the table their heights in points, from the first on; None leaves the usual one.

        Excel makes room for wrapped text when it opens a file, other programs don't.
        """
        self._heights = heights

    def link(self, row: int, at: int, url: str, style: Format, text: str, tip: str) -> None:
        """Make a filled cell a link, in a format of its own."""
        self.ignore_write_string = True
        self.write_url(row, at, url, style, text, tip)
        self.ignore_write_string = False
        self._columns[at].links[row - self._first] = style

    def _shared(self, texts: Sequence[str | None]) -> list[str | None]:
        """The places of the texts in the workbook's list of texts."""
        known = {
            text: f"{self.str_table._get_shared_string_index(text)}"
            for text in dict.fromkeys(texts)
            if text is not None
        }
        return [None if text is None else known[text] for text in texts]

    def _write_rows(self) -> None:
        super()._write_rows()
        columns = [self._cells(at, column) for at, column in sorted(self._columns.items())]
        heights = self._heights or repeat(None)
        for row, (cells, height) in enumerate(
            zip(zip(*columns, strict=True), heights, strict=False), start=self._first + 1
        ):
            tall = f' ht="{height:g}" customHeight="1"' if height else ""
            self.fh.write(f'<row r="{row}"{tall}>{"".join(cells)}</row>')

    def _cells(self, at: int, column: _Column) -> list[str]:
        styles = [column.style._get_xf_index()] * len(column.values)
        for place, style in column.links.items():
            styles[place] = style._get_xf_index()
        name, kind = xl_col_to_name(at), column.kind
        cells = enumerate(zip(column.values, styles, strict=True), start=self._first + 1)
        return [
            "" if value is None else f'<c r="{name}{row}" s="{style}"{kind}><v>{value}</v></c>'
            for row, (value, style) in cells
        ]


def _digits(number: float) -> str:
    if not isfinite(number):
        raise ValueError(f"a cell can't hold {number}")
    return f"{number:.16G}"
