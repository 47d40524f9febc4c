"""What a reading complains of."""

from pipeline.problems import Severity
from pipeline.workbook.book import Book


def told(book: Book, severity: Severity | None = None) -> list[tuple[str | None, str]]:
    """Cell and message of the problems, of all severities or of one."""
    return [
        (problem.place.cell, problem.message)
        for problem in book.problems
        if severity in (None, problem.severity)
    ]
