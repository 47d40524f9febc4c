"""Products of tables over parts of a clique, their sums, and how those sums change with each of the tables.

All tables of a clique have its axes in its order, of size 1 where they don't depend on a variable. A table over the whole
clique is built only where it is asked for: the last two tables of a product are multiplied and summed at once.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import prod

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES, Arithmetic

WIDE = 20_000
"""Entries of a clique from which it pays to look for the best order in which to multiply."""


class Product:
    """The product of tables, one at least, brought down to two that are left unmultiplied.

    Where tables are large the pair with the smallest product is multiplied first, else the smallest tables.
    """

    def __init__(self, parts: Sequence[np.ndarray], by: Arithmetic) -> None:
        self._tables, self._by = list(parts), by
        self._pairs: list[tuple[int, int]] = []
        left = sorted(range(len(parts)), key=lambda i: parts[i].size)
        wide = len(left) > 2 and prod(_together(*parts)) > WIDE
        while len(left) > 2:
            one, other = self._smallest(left) if wide else (0, 1)
            self._pairs.append((left[one], left.pop(other)))
            left[one] = len(self._tables)
            self._tables.append(by.times(*(self._tables[i] for i in self._pairs[-1])))
        self._left = left

    def whole(self) -> np.ndarray:
        """The product at full size: a lone table itself, not to be written to."""
        one, *other = (self._tables[i] for i in self._left)
        return self._by.times(one, other[0]) if other else one

    def summed(self) -> np.ndarray:
        """The product summed over the clique's first variable: without that axis."""
        one, *other = (self._tables[i] for i in self._left)
        if other:
            return self._by.contracted(one, other[0], (LANES,)).squeeze(LANES)
        return self._by.total(one, (LANES,))

    def gradients(self, outer: np.ndarray) -> list[np.ndarray]:
        """By table, the product of all others and of `outer`, summed to what the table depends on.

        That is the derivative by each of its entries of the sum of the product times `outer`. Of size 1 where it is the
        same along an axis.
        """
        found = [outer] * len(self._tables)
        for number, one, other in self._backwards():
            for own, beside in ((one, other), (other, one)):
                away = tuple(a for a in range(LANES, outer.ndim) if self._tables[own].shape[a] == 1)
                above = outer if number is None else found[number]
                found[own] = self._by.contracted(self._tables[beside], above, away)
        return found[: len(found) - len(self._pairs)]

    def _backwards(self) -> Iterator[tuple[int | None, int, int]]:
        """Each product made with the two tables that it is of, the last first; None for all of it."""
        if len(self._left) > 1:
            yield None, self._left[0], self._left[1]
        for number in reversed(range(len(self._pairs))):
            yield len(self._tables) - len(self._pairs) + number, *self._pairs[number]

    def _smallest(self, left: Sequence[int]) -> tuple[int, int]:
        """The places of the pair with the smallest product."""
        tables = [self._tables[i] for i in left]
        pairs = combinations(range(len(left)), 2)
        return min(pairs, key=lambda pair: prod(_together(*(tables[i] for i in pair))))


def _together(*tables: np.ndarray) -> tuple[int, ...]:
    """The shape of a product."""
    return tuple(map(max, *(table.shape for table in tables)))
