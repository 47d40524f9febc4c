"""Problems as a table of schema `findings`."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from pipeline.problems import Problem, sorted_problems

if TYPE_CHECKING:
    import pandas as pd

_COLUMNS = ("book", "severity", "sheet", "cell", "value", "message", "hint")


def problems_frame(problems: Iterable[Problem]) -> pd.DataFrame:
    """One row a problem, worst first; columns of the findings table `problems`, all text, `cell` missing for a whole sheet."""
    import pandas as pd

    rows = [
        (p.place.book, p.severity.value, p.place.sheet, p.place.cell, p.value, p.message, p.hint)
        for p in sorted_problems(problems)
    ]
    return pd.DataFrame(rows, columns=list(_COLUMNS), dtype="str")
