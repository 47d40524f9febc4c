"""The classes behind each ratio test, found quickly, and drawn when asked for."""

from typing import Any

import pandas as pd

from charts import ratio_bars
from pipeline.report.figures import Figures, Picture

_KEY = ["book", "species", "scope", "pairing", "clutch", "gene"]


class Classes:
    """findings.ratio_classes, looked up by the test that a row of findings.ratio_tests states."""

    def __init__(self, classes: pd.DataFrame) -> None:
        self._classes = classes
        keys = classes[_KEY].astype(object).where(classes[_KEY].notna(), None)
        self._rows: dict[tuple[Any, ...], list[int]] = {}
        for at, key in enumerate(keys.itertuples(index=False, name=None)):
            self._rows.setdefault(key, []).append(at)
        self._figures: dict[tuple[Any, ...], int] = {}

    def of(self, test: Any) -> pd.DataFrame:
        """The class rows of one test; empty where there are none."""
        return self._classes.iloc[self._rows.get(_key(test), [])]

    def figure(self, figures: Figures, test: Any) -> int | None:
        """The number of the test's chart; None where no young were counted. Asked twice, drawn once."""
        key = _key(test)
        if key in self._rows and key not in self._figures:
            self._figures[key] = figures.add(Picture(ratio_bars, (self.of(test),)))
        return self._figures.get(key)


def _key(test: Any) -> tuple[Any, ...]:
    values = (getattr(test, name) for name in _KEY)
    return tuple(None if pd.isna(value) else value for value in values)
