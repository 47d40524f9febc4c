"""Rows of the findings tables by what they hold, found without comparing every row each time."""

from collections.abc import Mapping
from typing import Any

import pandas as pd


class Lookup:
    """The findings tables, each gone through once for the columns it is asked by."""

    def __init__(self, tables: Mapping[str, pd.DataFrame]) -> None:
        self._tables = tables
        self._found: dict[tuple[str, ...], dict[tuple[Any, ...], list[int]]] = {}

    def rows(self, table: str, keys: Mapping[str, Any]) -> pd.DataFrame:
        """The rows of a table that hold these values in these columns, in their order."""
        frame, asked = self._tables[table], (table, *keys)
        if asked not in self._found:
            places = self._found[asked] = {}
            held = zip(*(frame[name].tolist() for name in keys), strict=True)
            for at, values in enumerate(held):
                places.setdefault(values, []).append(at)
        return frame.iloc[self._found[asked].get(tuple(keys.values()), [])]
