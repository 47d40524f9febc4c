"""Products of tables over parts of a clique, their sums, and how those sums change with each of the tables.

All tables of a clique have its axes in its order, of size 1 where they don't depend on a variable. Small products are
multiplied out. A table over the whole of a large clique is built only where it is asked for: the last two tables of its
product are multiplied and summed at once.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import prod

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES, Arithmetic

SMALL = 2500
"""Entries of a product up to which it is multiplied out."""
WIDE = 20_000
"""Entries of a product from which it pays to look for the best order in which to multiply."""


class Product:
    """The product of tables, one at least, brought down to one, or to two that are left unmultiplied.

    Where tables are large the pair with the smallest product is multiplied first, else the smallest tables.
    """

    def __init__(self, parts: Sequence[np.ndarray], by: Arithmetic) -> None:
        self._parts, self._by = parts, by
        self._tables = list(parts)
        self._pairs: list[tuple[int, int]] = []
        left = sorted(range(len(parts)), key=lambda i: parts[i].size)
        entries = prod(_together(*parts)) if len(left) > 1 else 0
        while len(left) > (1 if entries <= SMALL else 2):
            one, other = self._smallest(left) if entries > WIDE else (0, 1)
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

    def told(self, outer: np.ndarray, believed: Sequence[bool]) -> Iterator[np.ndarray]:
        """Of each table the gradient or, where `believed`, its belief: the gradient times the table.

        The gradient is how the sum of the product times `outer` changes with each of the table's entries: the product of all
        other tables and of `outer`, summed to what the table depends on. Of size 1 where it is the same along an axis.
        """
        if len(self._left) > 1 or len(self._parts) == 1:
            yield from self._by_gradients(outer, believed)
        else:
            yield from self._by_sums(outer, believed)

    def _by_sums(self, outer: np.ndarray, believed: Sequence[bool]) -> Iterator[np.ndarray]:
        """All multiplied out, then summed to each table's axes; the gradient is what is left without the table."""
        by, joint = self._by, self._by.times(self._tables[-1], outer)
        for part, as_belief in zip(self._parts, believed, strict=True):
            belief = by.total(joint, _lacking(part), keep=True)
            yield belief if as_belief else by.ratio(belief, part)

    def _by_gradients(self, outer: np.ndarray, believed: Sequence[bool]) -> Iterator[np.ndarray]:
        """From the last product back to the tables that it is of (reverse differentiation)."""
        by, tables, found = self._by, self._tables, [outer] * len(self._tables)
        for above, one, other in self._backwards(outer, found):
            for own, beside in ((one, other), (other, one)):
                found[own] = by.contracted(tables[beside], above, _lacking(tables[own]))
        for part, gradient, as_belief in zip(self._parts, found, believed, strict=False):
            yield by.times(part, gradient) if as_belief else gradient

    def _backwards(
        self, outer: np.ndarray, found: Sequence[np.ndarray]
    ) -> Iterator[tuple[np.ndarray, int, int]]:
        """The gradient of each product made, the last first, and the two tables that it is of."""
        if len(self._left) > 1:
            yield outer, self._left[0], self._left[1]
        for number in reversed(range(len(self._pairs))):
            yield found[len(self._parts) + number], *self._pairs[number]

    def _smallest(self, left: Sequence[int]) -> tuple[int, int]:
        """The places of the pair with the smallest product."""
        tables = [self._tables[i] for i in left]
        pairs = combinations(range(len(left)), 2)
        return min(pairs, key=lambda pair: prod(_together(*(tables[i] for i in pair))))


def _lacking(table: np.ndarray) -> tuple[int, ...]:
    """The axes that a table does not depend on."""
    return tuple([a for a, size in enumerate(table.shape) if size == 1 and a >= LANES])


def _together(*tables: np.ndarray) -> tuple[int, ...]:
    """The shape of a product."""
    return tuple(map(max, *(table.shape for table in tables)))
