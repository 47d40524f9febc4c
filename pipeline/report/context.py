"""What every section of the page is given: complete findings, the head, the figures, and the season's pairings."""

import re
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import pandas as pd

from pipeline.report.figures import Figures
from pipeline.report.grid import GridColumn, columns_of
from pipeline.report.head import PageHead
from pipeline.report.records import Records
from pipeline.store.foremost import Cut
from pipeline.store.tables import FINDINGS, FindingsTable

_OF_THE_RUN = {"problems", "runs", "books", "shared_animals", "record_places"}
"""Tables that answer no question."""


@dataclass(frozen=True)
class Highlight:
    """One line of the page's first answer: a sentence, and the place on the page that bears it out."""

    text: str
    anchor: str
    urgent: bool = True


@dataclass(frozen=True)
class Context:
    """`tables` are complete (see `complete`); `drawn` numbers the charts made for the page by
    'kind/subject', and `left_out` counts by kind those that were not made."""

    tables: Mapping[str, pd.DataFrame]
    head: PageHead
    drawn: Mapping[str, int] = field(default_factory=dict)
    left_out: Mapping[str, int] = field(default_factory=dict)
    figures: Figures = field(default_factory=Figures)
    cuts: tuple[Cut, ...] = ()
    """Tables of which only the most telling rows are here."""

    def table(self, name: str) -> pd.DataFrame:
        """A findings table with every column of the registry; empty where the run made none."""
        return self.tables[name]

    def columns(self, name: str, text: str) -> tuple[GridColumn, ...]:
        """Columns of a findings table as `columns_of` has them, the book's among them where there are several."""
        return columns_of(name, text, book=self.several_books)

    @cached_property
    def records(self) -> Records:
        """Where the records behind the answers stand."""
        return Records(self.table("record_places"))

    @property
    def several_books(self) -> bool:
        """Whether rows must say which book they speak of."""
        return len(self.head.books) > 1

    @property
    def has_answers(self) -> bool:
        """Whether the run answered anything, beside what it says of the books and of itself."""
        return any(len(self.table(table.name)) for table in FINDINGS if table.name not in _OF_THE_RUN)

    def seasons(self) -> pd.Series:
        """The season of each pairing, indexed by (book, pairing), as the calendar has it."""
        calendar = self.table("calendar").dropna(subset=["pairing", "season"])
        return calendar.drop_duplicates(["book", "pairing"]).set_index(["book", "pairing"])["season"]

    def with_season(self, frame: pd.DataFrame) -> pd.DataFrame:
        """The rows with a column `season` from their pairing; missing where no pairing names one."""
        seasons = self.seasons().astype("Int64").rename("season")
        return frame.drop(columns="season", errors="ignore").join(seasons, on=["book", "pairing"])

    def is_current(self, seasons: pd.Series) -> pd.Series:
        """Whether each season is the page's; a missing one is shown, never hidden."""
        if self.head.season is None:
            return pd.Series(True, index=seasons.index)
        return seasons.isna() | (seasons == self.head.season).fillna(False).astype(bool)

    def of_book(self, name: object, book: str) -> str:
        """A name as a sentence has it: with its book where there are several, for two keepers may have the same ID."""
        return f"{name} in {book}" if self.several_books else str(name)

    def subject(self, book: str, *names: object) -> str:
        """What a chart is of, in the same words wherever it is asked for; the book is named where there are several."""
        known = [str(name) for name in names if not pd.isna(name)]
        return " ".join([*known, book] if self.several_books else known)

    def way(self, book: str, goal: str, route: int) -> str:
        """What the chart of a way to a goal is of: the goal, and which way where it is not the first."""
        return self.subject(book, goal if route == 1 else f"{goal}, way {route}")

    def drawn_of(self, kind: str) -> dict[str, int]:
        """The numbers of the charts of one kind, by their subject."""
        return {
            key.partition("/")[2]: number for key, number in self.drawn.items() if key.startswith(f"{kind}/")
        }


def complete(findings: Mapping[str, pd.DataFrame]) -> dict[str, pd.DataFrame]:
    """Every table of the registry with every column of it, and tables beyond the registry as they are."""
    known = {table.name: _completed(findings.get(table.name), table) for table in FINDINGS}
    return {**findings, **known}


def _completed(frame: pd.DataFrame | None, table: FindingsTable) -> pd.DataFrame:
    if frame is None:
        frame = pd.DataFrame()
    whole = frame.reindex(columns=table.names).reset_index(drop=True)
    whole["book"] = whole["book"].fillna("") if "book" in frame else ""
    return whole


def anchor(kind: str, *names: object) -> str:
    """An id for a place on the page: readable, and distinct even where names differ in punctuation alone."""
    text = "-".join(str(name) for name in names)
    plain = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:40]
    return f"{kind}-{plain}-{zlib.crc32(text.encode()):08x}"
