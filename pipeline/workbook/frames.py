"""A sheet's cells as read, as a data frame of the registry's columns."""

from collections.abc import Mapping, Sequence
from itertools import compress

import numpy as np
import pandas as pd

from pipeline.problems import Place
from pipeline.workbook.columns import Cells
from pipeline.workbook.sheets import Column, Kind, Sheet


def frame_of(
    place: Place, sheet: Sheet, read: Mapping[str, Cells], numbers: Sequence[int], dropped: set[int]
) -> pd.DataFrame:
    """The rows of a sheet as a frame in the types of its columns; `dropped` rows, counted from 0, are left out."""
    keep = [index not in dropped for index in range(len(numbers))]
    rows = list(compress(numbers, keep))
    columns: dict[str, object] = {
        "book": pd.array([place.book] * len(rows), dtype="str"),
        "sheet": pd.array([place.sheet] * len(rows), dtype="str"),
        "row": np.array(rows, dtype=np.int64),
    }
    for column in sheet.columns:
        values = (
            list(compress(read[column.field].values, keep)) if column.field in read else [None] * len(rows)
        )
        columns |= _typed(column, values)
    return pd.DataFrame(columns)


def _typed(column: Column, values: list) -> dict[str, object]:
    """The column's array, by field; a date has a twin for its year."""
    match column.kind:
        case Kind.DATE:
            days = np.array([found and found.day for found in values], dtype="datetime64[us]")
            return {
                column.field: days,
                f"{column.field}_year": _integers([found and found.year for found in values]),
            }
        case Kind.INTEGER | Kind.YEAR:
            return {column.field: _integers(values)}
        case Kind.NUMBER | Kind.PERCENT:
            return {column.field: np.array(values, dtype=float)}
        case _:
            return {column.field: pd.array(values, dtype="str")}


def _integers(values: list) -> pd.arrays.IntegerArray:
    missing = np.array([value is None for value in values], dtype=bool)
    return pd.arrays.IntegerArray(np.array([value or 0 for value in values], dtype=np.int64), missing)
