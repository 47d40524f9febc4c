"""Where each record stands: the sheet and rows of the book behind every name and sum on the page, which links here."""

import pandas as pd

from pipeline.report.context import Context
from pipeline.report.grid import grid
from pipeline.report.sections.part import Part


def records(context: Context) -> Part:
    """One row an animal, pairing, gene, goal, price or sum, with all the rows of the book that speak of it."""
    found = list(context.records)
    rows = pd.DataFrame(
        [(one.book, one.name, _WHAT.get(one.topic, one.topic), one.species, one.words) for one in found],
        columns=["book", "id", "kind", "species", "where"],
        dtype="str",
    )
    columns = context.columns("record_places", _COLUMNS)
    caption = "Animals, pairings, genes, goals, prices and sums in the book"
    table = grid("records-list", caption, rows, columns, empty="", ids=[one.anchor for one in found])
    return Part({"table": table})


_WHAT = {
    "parents": "parents of the season's young",
    "sexed": "sexed young",
    "crosses": "crosses of the gene",
    "market": "all prices",
}
_COLUMNS = """
    id      | Name | words |
    kind    | What | words |
    where   | In the book | prose |
    species | Species | brief |
"""
