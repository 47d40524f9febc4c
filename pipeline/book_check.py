"""The check of one book, top to bottom: all that the season would find fault with in its cells."""

from datetime import date
from pathlib import Path

from pipeline.findings.carriers import carrier_findings
from pipeline.findings.kin import kin_findings
from pipeline.problems import Problem, sorted_problems
from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book


def run_check(path: Path, *, as_of: date) -> tuple[Problem, ...]:
    """Every problem of the book at `path`, worst first.

    Some show only when animals are weighed together, such as a het that its ancestors don't give; those are found here
    as the season finds them. What the season says of its own methods is left to it. Raises BookError for a file that
    can't be read.
    """
    book = checked(read_book(path), as_of)
    genes = book.book.columns.get("animals", {}).get("genes")
    weighed = (*carrier_findings(book.collection, genes).problems, *kin_findings(book.collection).problems)
    found = (problem for problem in weighed if problem.place.row is not None)
    return tuple(sorted_problems([*book.problems, *found]))
