"""The best of many, where each is costly to work out and a bound on it is cheap: only the promising are."""

from collections.abc import Callable, Iterator

import numpy as np

Exact = Callable[[np.ndarray, np.ndarray], np.ndarray]


def best_rows(
    bounds: np.ndarray, known: np.ndarray, least: np.ndarray, each: int, exact: Exact
) -> Iterator[tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """By column the best rows: yields rows, columns and values, the best row of every column first, `each` times at most.

    `bounds` (rows x columns) are never below the values and are the values in the rows `known`; `least` (columns, above 0)
    is what a value must reach. `exact(rows, columns)` works out the values of some entries: of the most promising in each
    column first, then of those that could still be better.
    """
    values = np.where(known[:, None], bounds, 0.0)
    open_ = np.where(known[:, None], 0.0, bounds)
    columns = np.arange(bounds.shape[1])
    for turn in range(2):
        floor = np.maximum(least, _nth(values, each))
        if turn:
            row, column = np.nonzero(open_ >= floor)
        else:
            top = open_.argmax(axis=0)
            column = np.flatnonzero(open_[top, columns] >= floor)
            row = top[column]
        if not len(row):
            break
        values[row, column] = exact(row, column)
        open_[row, column] = 0.0
    for _ in range(each):
        top = values.argmax(axis=0)
        value = values[top, columns]
        column = np.flatnonzero(value >= least)
        yield top[column], column, value[column]
        values[top, columns] = 0.0


def _nth(values: np.ndarray, place: int) -> np.ndarray:
    """By column the best value, or the second best: 0 where there are fewer."""
    if place == 1:
        return values.max(axis=0)
    columns = np.arange(values.shape[1])
    top = values.argmax(axis=0)
    best = values[top, columns]
    values[top, columns] = 0.0
    second = values.max(axis=0)
    values[top, columns] = best
    return second
