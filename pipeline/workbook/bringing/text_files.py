"""Text files with a table (CSV): which encoding, which separator, and then the cells as text."""

import csv
from collections import Counter
from io import StringIO
from itertools import islice

from pipeline.errors import BookError

_SEPARATORS = ";\t,|"
_LOOKED_AT = 50
_LONGEST_CELL = 1_000_000
MOST_ROWS = 1_048_576
"""Rows of a sheet, and so of the book that the list is brought into."""


def text_rows(name: str, data: bytes) -> list[list[str]]:
    """The rows of a CSV file, cells as text. BookError where it is no text, or longer than a sheet."""
    text = _decoded(name, data)
    limit = csv.field_size_limit(_LONGEST_CELL)
    try:
        rows = list(islice(csv.reader(StringIO(text, newline=""), delimiter=separator(text)), MOST_ROWS + 1))
    except csv.Error as error:
        raise BookError(
            f"{name} can't be read as a table ({error}); open it in Excel or LibreOffice and save it as .xlsx."
        ) from error
    finally:
        csv.field_size_limit(limit)
    if len(rows) > MOST_ROWS:
        raise BookError(f"{name} has more than the {MOST_ROWS:,} rows of a sheet; part it, and bring in the parts.")
    return rows


def _decoded(name: str, data: bytes) -> str:
    """UTF-8, UTF-16 with its mark, else Windows-1252, in which older programs of the West save."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace")
    if b"\0" in data:
        raise BookError(f"{name} is no text file; give the workbook or a CSV file saved from it.")
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1")


def separator(text: str) -> str:
    """The separator that parts most rows into the same number of cells, more cells first; a comma where none does."""
    head = "".join(text.splitlines(keepends=True)[:_LOOKED_AT])
    best, most = ",", 1.0
    for candidate in _SEPARATORS:
        try:
            widths = Counter(
                len(row) for row in csv.reader(StringIO(head, newline=""), delimiter=candidate) if row
            )
        except csv.Error:
            continue
        width, times = max(widths.items(), key=lambda item: (item[1], item[0]), default=(1, 0))
        steadiness = times / max(1, widths.total())
        if width > 1 and width * steadiness**3 > most:
            best, most = candidate, width * steadiness**3
    return best
