"""What heads the page: whose book, which season, as of when, and the settings the answers rest on."""

from dataclasses import dataclass
from datetime import date

MOST_NAMED = 6
"""Books whose names the head of the page has room for."""


@dataclass(frozen=True)
class PageHead:
    """`books` are file names; `season` is None where the book holds no pairing; `level` is a share (0.05).

    `watched` numbers the runs of `--watch` from 1; 0 is a run of its own, whose page looks at nothing.
    """

    books: tuple[str, ...]
    as_of: date
    season: int | None = None
    keeper: str = ""
    level: float = 0.05
    seed: int = 1
    watched: int = 0

    @property
    def whose(self) -> str:
        """The keeper of a book by itself; of several each has its own."""
        return self.keeper if len(self.books) == 1 else ""

    @property
    def named_books(self) -> str:
        """'ann.xlsx, ben.xlsx', the first few of many."""
        more = len(self.books) - MOST_NAMED
        return ", ".join(self.books[:MOST_NAMED]) + (f" and {more:,} more" if more > 0 else "")
