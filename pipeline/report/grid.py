"""A table of the page: columns chosen from a findings table, written out as text, ready for the template."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd
from markupsafe import Markup

from pipeline.report import formats
from pipeline.report.formats import Format, Texts
from pipeline.report.records import FIELDS
from pipeline.store.tables import findings_table

WRITTEN = 20
"""Rows of a table that the page holds as they are, for whoever reads without scripts and for the first look."""
UPRIGHT = 12
"""Columns that an upright sheet of paper has room for."""
_NUMBERS = (
    formats.counts,
    formats.money,
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
_SHARE = " (0..1)"
"""How the tables hold what the page writes in percent."""
_ALIKE = ("species", "currency")
"""Columns that tell rows apart, or say nothing."""
_KINDS: dict[Format, str] = {
    **dict.fromkeys(_NUMBERS, "right"),
    formats.dates: "line",
    formats.bars: "line",
    formats.brief: "brief",
    formats.day_ranges: "brief",
    formats.prose: "prose",
}


@dataclass(frozen=True)
class GridColumn:
    """One column: a field of the frame, its heading and unit, how it is written, and its meaning for a keeper.

    `behind` are the topic of the records behind its cells and the field that names them, where it isn't itself a name.
    """

    field: str
    title: str
    show: Format = formats.words
    unit: str = ""
    meaning: str = ""
    behind: tuple[str, ...] = ()

    @property
    def style(self) -> str:
        """The class of its cells: right, line, brief, prose, or none."""
        return _KINDS.get(self.show, "")

    @property
    def needs_key(self) -> bool:
        """Whether its cells sort otherwise than they read."""
        return self.show in _NUMBERS


Name = tuple[str, str, Any, Any]
"""Topic, book, species and name of what a cell names, as `Records.of` takes them."""


@dataclass(frozen=True)
class Cells:
    """One column of a table, a text for each row; `keys` where it sorts otherwise than it reads, `names` where its cells
    name records, else empty."""

    column: GridColumn
    texts: Texts
    keys: Sequence[Any] = ()
    names: Sequence[Name] = ()


@dataclass(frozen=True)
class Grid:
    """A table as the template takes it, true where it has rows. `empty` says what to fill where it has none; `ids` are the
    anchors of its rows and `figures` the charts they can unfold ('' and None: none), both empty where no row has one."""

    name: str
    caption: str
    cells: Sequence[Cells]
    rows: int
    empty: str = ""
    ids: Sequence[str] = ()
    figures: Sequence[int | None] = ()

    def __len__(self) -> int:
        return self.rows

    @property
    def wide(self) -> bool:
        """Whether it has more columns than a sheet of paper has room for upright."""
        return len(self.cells) > UPRIGHT

    @property
    def written(self) -> int:
        """How many rows the page holds as they are; the rest are packed (see packing.py)."""
        return min(self.rows, WRITTEN)

    @property
    def texts(self) -> list[tuple[str | Markup, ...]]:
        """What every row says, cell by cell."""
        return list(zip(*(cells.texts for cells in self.cells), strict=True))


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
    """The grid of a frame, without the columns that say nothing; a currency that all rows share stands in the caption."""
    shown = [(column, column.show(frame[column.field])) for column in columns] if len(frame) else []
    cells = [
        Cells(column, texts, _keys(frame, column), _names(frame, column, texts))
        for column, texts in shown
        if _worth_a_column(frame, column, texts)
    ]
    return Grid(name, caption + _in_currency(frame, shown), cells, len(frame), empty, ids, figures)


def _keys(frame: pd.DataFrame, column: GridColumn) -> Sequence[Any]:
    return formats.sort_keys(frame[column.field]) if column.needs_key else ()


def _names(frame: pd.DataFrame, column: GridColumn, texts: Texts) -> Sequence[Name]:
    """What the cells name; an empty one names nothing."""
    topic, field = column.behind or (FIELDS.get(column.field), column.field)
    if topic is None:
        return ()
    nothing = [""] * len(frame)
    books, species = (frame[name].tolist() if name in frame else nothing for name in ("book", "species"))
    names = [name if text else None for name, text in zip(frame[field].tolist(), texts, strict=True)]
    return list(zip([topic] * len(frame), books, species, names, strict=True))


def columns_of(table: str, text: str, *, book: bool = False) -> tuple[GridColumn, ...]:
    """Columns of a findings table, one a line: field, title, kind, unit, and what is behind it (see GridColumn) where it
    sums records. Their meaning comes from the registry. `book` puts the book's second: what the row is of stays in sight."""
    meanings = {column.name: column.meaning.replace(_SHARE, "") for column in findings_table(table).columns}
    lines = [[part.strip() for part in line.split("|")] for line in text.strip().splitlines()]
    made = tuple(
        GridColumn(
            name, title, getattr(formats, kind), unit, meanings.get(name, ""), tuple(" ".join(behind).split())
        )
        for name, title, kind, unit, *behind in lines
    )
    return (made[0], GridColumn("book", "Book", meaning=meanings["book"]), *made[1:]) if book else made


def _worth_a_column(frame: pd.DataFrame, column: GridColumn, texts: Texts) -> bool:
    """An empty column says nothing, nor does the species or the currency where there is only one."""
    return any(texts) and (column.field not in _ALIKE or frame[column.field].nunique() > 1)


def _in_currency(frame: pd.DataFrame, shown: Sequence[tuple[GridColumn, Texts]]) -> str:
    """' (prices in USD)' where a table of amounts has one currency; else its column tells."""
    told = any(column.field == "currency" for column, _ in shown)
    known = frame["currency"].dropna().unique().tolist() if told else []
    return f" (prices in {known[0]})" if len(known) == 1 else ""
