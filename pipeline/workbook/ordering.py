"""An order of records that does not depend on where they stand in the book.

What is computed from a book may not change when its rows are moved. Sums of many small numbers and draws of a seeded
generator do depend on the order of what they are given, so records are put in an order of their own once, here.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import numpy as np

from pipeline.workbook.sheets import Kind, Sheet

if TYPE_CHECKING:
    import pandas as pd

_DIGITS = re.compile(r"\d+")


def natural(text: str) -> tuple[str, str]:
    """A sort key that puts 'b2' before 'B10'; texts that differ in anything are never level."""
    return _DIGITS.sub(lambda digits: f"{len(digits[0]):03}{digits[0]}", text.casefold()), text


def in_order(sheet: Sheet, frame: pd.DataFrame) -> pd.DataFrame:
    """The rows of a sheet by its key or, where it has none, by all that they hold, column after column.

    Rows alike in all of that stay in the order of their numbers: they are the same record twice.
    """
    fields: list[str] = []
    for column in sheet.columns:
        if not sheet.key or column.field in sheet.key:
            fields += [column.field, f"{column.field}_year"] if column.kind is Kind.DATE else [column.field]
    ranks = [_ranks(frame[field]) for field in fields if field in frame.columns]
    order = np.lexsort([frame["row"].to_numpy(), *reversed(ranks)])
    return frame.iloc[order].reset_index(drop=True)


def _ranks(values: pd.Series) -> np.ndarray:
    """Whole numbers in the order of the values; -1 for a blank."""
    codes, distinct = values.factorize()
    if len(distinct) < 2:
        return codes
    is_text = values.dtype.kind not in "iufM"
    keys = [natural(value) for value in distinct] if is_text else list(distinct)
    ranks = np.empty(len(keys), dtype=np.int64)
    ranks[sorted(range(len(keys)), key=keys.__getitem__)] = np.arange(len(keys))
    return np.where(codes < 0, -1, ranks[codes])
