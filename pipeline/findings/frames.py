"""Rows as frames of the registry's tables, and days between the two: ordinal numbers to reckon with, dates to show."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from pipeline.store.tables import FindingsTable

_EPOCH = date(1970, 1, 1).toordinal()


def own_names(table: FindingsTable) -> list[str]:
    """The table's columns without `book`, which the run adds."""
    return [name for name in table.names if name != "book"]


def findings_frame(
    table: FindingsTable, rows: Sequence[Mapping[str, Any]] | Mapping[str, ArrayLike]
) -> pd.DataFrame:
    """Rows, or columns by name, as a frame of the table's own columns; a DATE is given as an ordinal day or None."""
    names = own_names(table)
    if isinstance(rows, Mapping) or not rows:
        columns: Mapping[str, Any] = dict(pd.DataFrame(rows, columns=names))
    else:
        columns = {name: [row.get(name) for row in rows] for name in names}
    kinds = {column.name: column.type for column in table.columns}
    return pd.DataFrame({name: _typed(values, kinds[name]) for name, values in columns.items()})


def _typed(values: Any, kind: str) -> Any:
    """A column's values in the type that the registry names; texts and truths as pandas takes them."""
    if kind == "DATE":
        return as_dates(np.asarray(values, dtype=float))
    if kind == "DOUBLE":
        return np.asarray(values, dtype=float)
    return pd.array(values, dtype="Int64") if kind == "INTEGER" else values


def ordinal_days(dates: pd.Series) -> pd.Series:
    """Dates as ordinal days (date.toordinal), NaN where there is none."""
    stamps = pd.to_datetime(dates).to_numpy().astype("datetime64[D]")
    days = stamps.astype("int64").astype(float) + _EPOCH
    return pd.Series(np.where(np.isnat(stamps), np.nan, days), index=dates.index)


def as_dates(days: ArrayLike) -> np.ndarray:
    """Ordinal days as dates (datetime64 in seconds, the coarsest pandas takes), missing where NaN."""
    days = np.asarray(days, dtype=float)
    whole = np.where(np.isnan(days), 0, np.round(days - _EPOCH)).astype("int64").astype("datetime64[D]")
    return np.where(np.isnan(days), np.datetime64("NaT", "D"), whole).astype("datetime64[s]")
