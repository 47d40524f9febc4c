"""Several books: what each holds and what was found in it, what they share, and what the page has no room for."""

import pandas as pd

from pipeline.report.context import Context, Highlight
from pipeline.report.grid import columns_of, grid
from pipeline.report.sections.part import Part, counted, listed

_FOUND = {"suspicions": "suspicion", "departures": "departure", "errors": "error"}
_MOST_NAMED = 5


def books(context: Context) -> Part:
    """The books in the order they were given; those that could not be answered are the first thing to look at."""
    rows = context.table("books")
    left = rows[~rows["answered"].fillna(False).astype(bool)]
    values = {
        "table": grid(
            "books-found",
            "Each book and what was found in it",
            _worded(rows),
            columns_of("books", _BOOKS),
            empty="",
        ),
        "shared": grid(
            "shared",
            "Animals that several books have",
            context.table("shared_animals"),
            columns_of("shared_animals", _SHARED),
            empty="",
        ),
        "cuts": context.cuts,
    }
    found = []
    if len(left):
        said = f"{counted(len(left), 'book')} could not be answered: {listed(left['book'].tolist(), _MOST_NAMED)}."
        found.append(Highlight(said, "problems"))
    return Part(values, (*found, *_sums(rows)))


_BOOKS = """
    book       | Book | words |
    answered   | Answered | words |
    animals    | Animals | counts | | book book
    pairings   | Pairings | counts | | book book
    clutches   | Clutches | counts | | book book
    young      | Young | counts | | book book
    suspicions | Suspicions | counts |
    departures | Departures | counts |
    errors     | Errors | counts |
    warnings   | Warnings | counts |
    shared     | Shared animals | counts |
"""
_SHARED = """
    book         | Book | words |
    animal       | Animal | words |
    other_book   | Also in | words |
    other_animal | There as | words |
    species      | Species | brief |
"""


def _worded(rows: pd.DataFrame) -> pd.DataFrame:
    """With 'no' where a book has no answers, and without numbers that nobody could count."""
    answered = rows["answered"].eq(True)
    uncounted = ["animals", "pairings", "clutches", "young", "suspicions", "departures", "shared"]
    return rows.assign(
        answered=["yes" if one else "no" for one in answered],
        **{name: rows[name].where(answered) for name in uncounted},
    )


def _sums(rows: pd.DataFrame) -> list[Highlight]:
    """How much was found in all, and in which books the most; that a book can't be answered is said already."""
    told = []
    answered = rows[rows["answered"].eq(True)]
    for field, noun in _FOUND.items():
        most = answered[answered[field] > 0].sort_values(
            [field, "book"], ascending=[False, True], kind="stable"
        )
        if len(most):
            where = listed(
                [f"{row.book} ({getattr(row, field):,})" for row in most.itertuples()], _MOST_NAMED
            )
            told.append(
                f"{counted(int(most[field].sum()), noun)} in {len(most):,} of {counted(len(rows), 'book')}: {where}."
            )
    return [Highlight(said, "books") for said in told]
