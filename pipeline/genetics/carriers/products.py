"""Products of tables over parts of a clique, and their sums, with as few passes over a large clique as it takes.

All tables of a clique have its axes in its order, of size 1 where they don't depend on a variable.
"""

from collections.abc import Sequence
from itertools import combinations
from math import prod

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES, Arithmetic

WIDE = 20_000
"""Entries of a clique from which it pays to look for the best order in which to multiply."""


def product(parts: Sequence[np.ndarray], whole: tuple[int, ...], by: Arithmetic) -> np.ndarray:
    """The product of tables as a table over all of a clique, of shape `whole` or with more groups and lanes; a lone one's is
    a view not to be written to."""
    if not parts:
        return by.table(np.zeros(whole))
    few = _multiplied(parts, by)
    found = by.times(*few) if len(few) > 1 else few[0]
    if len(few) > 1 and found.shape[LANES:] == whole[LANES:]:
        return found
    return np.broadcast_to(found, np.broadcast_shapes(found.shape, whole))


def summed(parts: Sequence[np.ndarray], whole: tuple[int, ...], by: Arithmetic) -> np.ndarray:
    """The product of tables summed over a clique's first variable: as `product`, without that axis."""
    few = _multiplied(parts, by)
    if len(few) > 1 and prod(_together(*few)) > WIDE:
        return by.contracted(*few)
    return by.total(product(few, whole, by), (LANES,))


def _multiplied(parts: Sequence[np.ndarray], by: Arithmetic) -> list[np.ndarray]:
    """The same product of two tables at most. Where tables are large the pair with the smallest product is multiplied
    first, else the smallest tables."""
    left = sorted(parts, key=lambda table: table.size)
    wide = len(left) > 2 and prod(_together(*left)) > WIDE
    while len(left) > 2:
        one, other = _smallest(left) if wide else (0, 1)
        found = by.times(left[one], left.pop(other))
        left[one] = found
    return left


def _smallest(tables: Sequence[np.ndarray]) -> tuple[int, int]:
    """The pair with the smallest product."""
    pairs = combinations(range(len(tables)), 2)
    return min(pairs, key=lambda pair: prod(_together(*(tables[i] for i in pair))))


def _together(*tables: np.ndarray) -> tuple[int, ...]:
    """The shape of a product."""
    return tuple(map(max, *(table.shape for table in tables)))
