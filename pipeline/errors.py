"""What can go wrong, as a keeper meets it.

    ProveoutError            anything a keeper is told in one sentence; the command exits non-zero
    ├── BookError            the workbook can't be read at all (exit code 2)
    └── RequestError         the command asks for what the book doesn't hold (exit code 1)

A fault of a record inside a readable book is no exception but a `Problem` (see problems.py), so that all are
told at once. Faults of our own are not caught: they keep their traceback for whoever mends them.
"""


class ProveoutError(Exception):
    """One sentence that says what is wrong and what to do."""

    exit_code = 1


class BookError(ProveoutError):
    """The workbook can't be read: wrong format, broken, encrypted, missing."""

    exit_code = 2


class RequestError(ProveoutError):
    """The request can't be met: an unknown animal, a season without records."""
