"""A table of the page: columns chosen from a findings table, written out as text, ready for the template."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

import pandas as pd

from pipeline.report import formats
from pipeline.report.formats import Format, Texts
from pipeline.report.records import FIELDS
from pipeline.store.tables import findings_table

_NUMBERS = (
    formats.counts,
    formats.years,
    formats.numbers,
    formats.tenths,
    formats.p_values,
    formats.percents,
    formats.shares,
    formats.odds,
    formats.bars,
    formats.changes,
)
_KINDS = {
    **dict.fromkeys(_NUMBERS, "right"),
    formats.dates: "brief",
    formats.brief: "brief",
    formats.bars: "brief",
    formats.prose: "prose",
}


@dataclass(frozen=True)
class GridColumn:
    """One column: a field of the frame, its heading and unit, how it is written, and its meaning for a keeper."""

    field: str
    title: str
    show: Format = formats.words
    unit: str = ""
    meaning: str = ""

    @property
    def style(self) -> str:
        """The class of its cells: right, brief, prose, or none."""
        return _KINDS.get(self.show, "")

    @property
    def needs_key(self) -> bool:
        """Whether its cells sort otherwise than they read."""
        return self.show in _NUMBERS


Name = tuple[str, str, Any, Any]
"""Field, book, species and name of what a cell names, as `Records.of` takes them."""


@dataclass(frozen=True)
class Grid:
    """A table as the template takes it. `rows` hold (texts, keys, id, figure) per row; `empty` says what to fill;
    `names` say of each cell which record it names (None: none)."""

    name: str
    caption: str
    columns: Sequence[GridColumn]
    rows: Sequence[tuple[Sequence[Any], Sequence[Any], str, int | None]]
    empty: str = ""
    figures: bool = field(default=False)
    names: Sequence[Sequence[Name | None]] = ()


def grid(
    name: str,
    caption: str,
    frame: pd.DataFrame,
    columns: Iterable[GridColumn],
    *,
    empty: str,
    ids: Sequence[str] = (),
    figures: Sequence[int | None] = (),
) -> Grid:
    """The grid of a frame, without the columns that say nothing.

    `ids` are the anchors of its rows, `figures` the charts that a row can unfold.
    """
    written = [(column, column.show(frame[column.field])) for column in columns]
    said = [one for one in written if _worth_a_column(frame, *one)]
    columns, texts = [column for column, _ in said], [texts for _, texts in said]
    nothing = [""] * len(frame)
    keys = [formats.sort_keys(frame[c.field]) if c.needs_key else nothing for c in columns]
    rows = zip(
        zip(*texts, strict=True),
        zip(*keys, strict=True),
        ids or nothing,
        figures or [None] * len(frame),
        strict=True,
    )
    return Grid(name, caption, columns, list(rows) if len(frame) else [], empty, bool(figures), _names(frame, columns))


def _names(frame: pd.DataFrame, columns: Sequence[GridColumn]) -> list[list[Name | None]]:
    nothing = [""] * len(frame)
    books, species = (frame[name].tolist() if name in frame else nothing for name in ("book", "species"))
    each = [
        list(zip([column.field] * len(frame), books, species, frame[column.field].tolist(), strict=True))
        if column.field in FIELDS
        else [None] * len(frame)
        for column in columns
    ]
    return [list(row) for row in zip(*each, strict=True)]


def columns_of(table: str, text: str, *, book: bool = False) -> tuple[GridColumn, ...]:
    """Columns of a findings table, one a line: field, title, kind, unit. Their meaning comes from the registry."""
    meanings = {column.name: column.meaning for column in findings_table(table).columns}
    lines = [[part.strip() for part in line.split("|")] for line in text.strip().splitlines()]
    made = tuple(
        GridColumn(name, title, getattr(formats, kind), unit, meanings.get(name, ""))
        for name, title, kind, unit in lines
    )
    return (GridColumn("book", "Book", formats.words, "", meanings["book"]), *made) if book else made


def _worth_a_column(frame: pd.DataFrame, column: GridColumn, texts: Texts) -> bool:
    """An empty column says nothing, nor does the species where there is only one."""
    return any(texts) and (column.field != "species" or frame["species"].nunique() > 1)
