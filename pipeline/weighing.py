"""What rests on genes and descent, worked out once: who carries what, which record is wrong, who is kin.

Of one book by itself, or of several that share animals as one; each of these is told its own part of the whole.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

import pandas as pd

from pipeline.genetics.collection import Collection
from pipeline.workbook.checking import Checked
from pipeline.workbook.pooling.sharing import Group

if TYPE_CHECKING:
    from pipeline.findings.carriers import CarrierFindings
    from pipeline.findings.kin import KinFindings
    from pipeline.findings.pairs.breeding import Breeding
    from pipeline.findings.suspicions import SuspicionFindings
    from pipeline.genetics.carriers.odds import Carriers
    from pipeline.genetics.joined.view import View
    from pipeline.genetics.suspicions.faults import Structures

Say = Callable[[str], None]
Growth = Callable[[], pd.DataFrame]
"""The findings table growth, when it is wanted."""


class Weighing:
    """One collection by itself. `genes_column` are the letters of the Genes column on the sheet Animals."""

    def __init__(
        self,
        collection: Collection,
        growth: Growth,
        *,
        as_of: date,
        say: Say,
        genes_column: str | None = None,
    ) -> None:
        self.collection, self.as_of, self.say = collection, as_of, say
        self._growth, self._genes_column = growth, genes_column

    @cached_property
    def carriers(self) -> "Carriers":
        """With every gene record right."""
        from pipeline.genetics.carriers.odds import carriers_untold
        from pipeline.genetics.carriers.solving import solve

        self.say("Weighing who carries what")
        return carriers_untold(solve(self.collection))

    @cached_property
    def breeding(self) -> "Breeding":
        """What a plan rests on."""
        from pipeline.findings.pairs.breeding import Breeding

        return Breeding.of(self.collection, self.carriers)

    @cached_property
    def structures(self) -> "tuple[Structures, ...]":
        """What may be wrong with the records of each species, searched once for odds and suspicions alike."""
        from pipeline.genetics.suspicions.answer import searched

        solved = self.carriers.solved
        self.say("Asking which record is wrong")
        return searched(self.collection, solved)

    @cached_property
    def odds(self) -> "CarrierFindings":
        """Who carries what, averaged over the faults that may be."""
        from pipeline.findings.carriers import carrier_findings

        return carrier_findings(self.collection, self._genes_column, self.structures, self.carriers.solved)

    @cached_property
    def suspicions(self) -> "SuspicionFindings":
        """Which records are likely wrong, told from the same search as the odds."""
        from pipeline.findings.suspicions import suspicion_findings

        return suspicion_findings(
            self.collection, self._growth(), as_of=self.as_of, structures=self.structures
        )

    @cached_property
    def kin(self) -> "KinFindings":
        """Inbreeding and kinship by the parents as recorded."""
        from pipeline.findings.kin import kin_findings

        return kin_findings(self.collection)

    def named(self, frame: pd.DataFrame) -> pd.DataFrame:
        """A table of the book with the names that the collection goes by."""
        return frame

    def own(self, frame: pd.DataFrame) -> pd.DataFrame:
        """A table about the collection in the words of the book."""
        return frame


class Pool:
    """Books weighed as one. What is asked of the whole is shared out to all of them when the first asks."""

    def __init__(
        self, whole: Weighing, views: Sequence["View"], letters: Mapping[str, Mapping[str, str]]
    ) -> None:
        self.whole, self.views, self._letters = whole, views, letters

    @cached_property
    def odds(self) -> "dict[str, CarrierFindings]":
        """The whole's odds of each book's own animals, in its own words."""
        from pipeline.findings.pooled import counted_once, own_odds, own_problems

        found = self.whole.odds
        problems, twice = own_problems(found.problems, self.views, self._letters), counted_once(self.views)
        return {
            book: replace(found, odds=odds, problems=(*problems[book], *twice[book]))
            for book, odds in own_odds(found, self.views).items()
        }

    @cached_property
    def suspicions(self) -> "dict[str, SuspicionFindings]":
        """The whole's suspicions of each book's own records."""
        from pipeline.findings.pooled import own_suspicions

        return own_suspicions(self.whole.suspicions, self.views)

    @cached_property
    def kin(self) -> "dict[str, KinFindings]":
        """The whole's inbreeding and kinship as far as they are each book's own."""
        from pipeline.findings.pooled import own_kin

        return own_kin(self.whole.kin, self.views)


class Part(Weighing):
    """A book's part of several weighed as one."""

    def __init__(self, pool: Pool, view: "View") -> None:
        whole = pool.whole
        super().__init__(view.collection, whole._growth, as_of=whole.as_of, say=whole.say)
        self._pool, self._view = pool, view

    @cached_property
    def breeding(self) -> "Breeding":
        """The book's own animals, with what is known of the whole."""
        return replace(self._pool.whole.breeding, collection=self.collection)

    @property
    def odds(self) -> "CarrierFindings":
        """The whole's odds of this book's own animals, in its own words."""
        return self._pool.odds[self._view.book]

    @property
    def suspicions(self) -> "SuspicionFindings":
        """The whole's suspicions of this book's own records."""
        return self._pool.suspicions[self._view.book]

    @property
    def kin(self) -> "KinFindings":
        """The whole's inbreeding and kinship as far as they are this book's own."""
        return self._pool.kin[self._view.book]

    def named(self, frame: pd.DataFrame) -> pd.DataFrame:
        """A table of the book with its animals and species as the whole names them."""
        from pipeline.findings.pooled import named

        return named(frame, self._view)

    def own(self, frame: pd.DataFrame) -> pd.DataFrame:
        """A table about the whole in the words of the book."""
        from pipeline.findings.pooled import own_words

        return own_words(frame, self._view)


def weighed_as_one(
    books: Sequence[Checked],
    shared: Sequence[Group],
    growth: Mapping[str, Growth],
    *,
    as_of: date,
    say: Say,
) -> dict[str, Part]:
    """Books that share animals weighed as one, by book. `growth` gives each book's findings table growth."""
    from pipeline.genetics.joined import join
    from pipeline.genetics.joined.view import View

    joined = join(
        [book.collection for book in books], [{one.book: one.id for one in group} for group in shared]
    )
    views = {book.book.name: View(joined, book.book.name) for book in books}

    def grown() -> pd.DataFrame:
        """Growth of all books, each animal as the whole names it."""
        from pipeline.findings.pooled import named

        return pd.concat([named(growth[name](), view) for name, view in views.items()], ignore_index=True)

    whole = Weighing(joined.collection, grown, as_of=as_of, say=say, genes_column="genes")
    letters = {book.book.name: book.book.columns.get("animals", {}) for book in books}
    pool = Pool(whole, list(views.values()), letters)
    return {name: Part(pool, view) for name, view in views.items()}
