"""Which books of a run are answered together, and what each is told about the others."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from pipeline.club.reading import Kept, Member, fetched
from pipeline.problems import Problem
from pipeline.store.tables import SHARED_ANIMALS
from pipeline.workbook.checking import Checked
from pipeline.workbook.pooling.offer import Recorded, recorded_animals
from pipeline.workbook.pooling.sharing import Group, linked

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Party:
    """Books answered together: mostly one; several where they share animals, then in the order of their names.

    `problems` are, by book, what was found by looking at all books of the run.
    """

    books: tuple[str, ...]
    kept: tuple[Kept, ...]
    problems: Mapping[str, tuple[Problem, ...]] = field(default_factory=dict)
    shared: tuple[Group, ...] = ()


def parties(members: Sequence[Member]) -> list[Party]:
    """The readable books of a run in parties, in the order of their first books."""
    kept = {member.given.name: member.kept for member in members if member.kept}
    remarks = {member.given.name: member.given.remarks for member in members}
    known: dict[str, Mapping[str, Recorded]] = {}

    def animals_of(book: str) -> Mapping[str, Recorded]:
        """A book's animals; it is fetched once, and only where another book speaks of them."""
        if book not in known:
            known[book] = recorded_animals(fetched(kept[book]))
        return known[book]

    links = linked([member.offer for member in members if member.offer], animals_of)
    pool_of = {book: pool for pool in links.pools for book in pool}
    made = dict.fromkeys(pool_of.get(book, (book,)) for book in kept)
    return [
        Party(
            books,
            tuple(kept[book] for book in books),
            {book: (*remarks[book], *links.problems.get(book, ())) for book in books},
            tuple(group for group in links.shared if group[0].book in books),
        )
        for books in made
    ]


def told_more(book: Checked, party: Party) -> Checked:
    """The book with the problems that looking at all books has found in it."""
    return replace(book, problems=(*book.problems, *party.problems.get(book.book.name, ())))


def shared_frame(shared: Sequence[Group], book: str) -> "pd.DataFrame":
    """The findings table shared_animals of one book: a row for each animal and each other book that has it."""
    import pandas as pd

    rows = [
        (one.book, one.species, one.id, other.book, other.id)
        for group in shared
        for one in group
        for other in group
        if one.book == book != other.book
    ]
    return pd.DataFrame(rows, columns=SHARED_ANIMALS.names, dtype="str")
