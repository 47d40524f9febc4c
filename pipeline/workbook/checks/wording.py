"""How the checks speak: names of records, lists of rows, and the nearest known name."""

import re
from collections.abc import Iterable, Sequence

from pipeline.genetics.label_words import fold as fold
from pipeline.workbook.checks.inspection import Inspection, Row
from pipeline.workbook.sheets import sheet

_LISTED = 5
_CLOSE = 65.0
_TIES = 3


def spaceless(text: str) -> str:
    """An ID without case and spaces: what a slip of the keyboard leaves alike. Punctuation counts ('1-1', '11')."""
    return re.sub(r"\s+", "", text.casefold())


def did_you_mean(text: str, known: Iterable[str], otherwise: str, *, cutoff: float = _CLOSE) -> str:
    """A hint with the nearest known name, or up to three that are equally near; another remedy where none is."""
    from rapidfuzz import fuzz, process, utils

    found = process.extract(
        text,
        list(known),
        scorer=fuzz.ratio,
        processor=utils.default_process,
        score_cutoff=cutoff,
        limit=_TIES + 1,
    )
    ties = sorted(name for name, score, _ in found if score == found[0][1])
    if not ties or len(ties) > _TIES:
        return otherwise
    quoted = [f"'{name}'" for name in ties]
    return f"Did you mean {listed(quoted, joint='or')}?"


def listed(words: Sequence[object], most: int = _LISTED, joint: str = "and") -> str:
    """'A', 'A and B', 'A, B, C, D, E and 7 more'."""
    shown = [str(word) for word in words[:most]]
    if len(words) > most:
        return f"{', '.join(shown)} and {len(words) - most} more"
    return f" {joint} ".join(filter(None, [", ".join(shown[:-1]), shown[-1]]))


def rows_of(rows: Sequence[Row]) -> str:
    """'row 12', 'rows 12, 13 and 15'."""
    return f"{'row' if len(rows) == 1 else 'rows'} {listed([row.row for row in rows])}"


def left_out_rows(inspection: Inspection, table: str) -> str:
    """A second thought for names that are not found: their row may have been left out while reading."""
    if not inspection.read_with_errors(table):
        return ""
    return f" (Rows of {sheet(table).name} with an error of their own are left out: mend those first.)"
