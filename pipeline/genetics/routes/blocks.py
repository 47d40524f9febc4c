"""Linkage groups of a goal taken together, a few wide tables in place of many narrow ones: the search looks up fewer.

Groups stay in their order, so the flat number of a state over all groups is that over all blocks.
"""

from collections.abc import Mapping, Sequence
from functools import reduce
from math import prod

import numpy as np

from pipeline.genetics.genes import SEXES, Sex
from pipeline.genetics.routes.space import GoalSpace, Parts, Table

WIDEST = 9
"""States of a block: two loci of two alleles each. Wider ones make matrices of which threads cost more than they bring."""


class Blocks:
    """The blocks of a space: `tables[sex]` and `sizes[sex]` as those of its groups.

    `alike` are the sexes of young in sets whose tables are one and the same.
    """

    def __init__(self, space: GoalSpace) -> None:
        self._runs = _runs([max(sizes) for sizes in zip(*space.sizes.values(), strict=True)])
        self._space_sizes = space.sizes
        self.sizes: Mapping[Sex, tuple[int, ...]] = {
            sex: tuple(prod(sizes[run]) for run in self._runs) for sex, sizes in space.sizes.items()
        }
        known: dict[int, tuple[Table, ...]] = {}
        for tables in space.tables.values():
            known.setdefault(id(tables), tuple(reduce(_joined, tables[run]) for run in self._runs))
        self.tables: Mapping[Sex, tuple[Table, ...]] = {sex: known[id(space.tables[sex])] for sex in SEXES}
        alike = self.tables["F"] is self.tables["M"]
        self.alike: tuple[tuple[Sex, ...], ...] = (SEXES,) if alike else tuple((sex,) for sex in SEXES)

    def states(self, parts: Parts, sex: Sex) -> np.ndarray:
        """The states of an animal's parts, parts x blocks."""
        sizes = self._space_sizes[sex]
        own = np.array([state for state, _ in parts], dtype=np.intp)
        return np.stack([np.ravel_multi_index(own[:, run].T, sizes[run]) for run in self._runs], axis=1)


def _runs(widths: Sequence[int]) -> list[slice]:
    """Neighbours in one run as long as it has no more than WIDEST states."""
    starts, width = [0], 1
    for at, own in enumerate(widths):
        if at > starts[-1] and width * own > WIDEST:
            starts.append(at)
            width = 1
        width *= own
    return [slice(start, stop) for start, stop in zip(starts, [*starts[1:], len(widths)], strict=True)]


def _joined(one: Table, other: Table) -> Table:
    """Two groups as one: independent, so all shares multiply."""
    looks = other.looks.shape[2]
    return Table(
        _outer(one.young, other.young),
        _outer(one.looks, other.looks),
        np.add.outer(one.look_of * looks, other.look_of).ravel(),
        np.logical_and.outer(one.wanted, other.wanted).ravel(),
        np.logical_and.outer(one.wanted_looks, other.wanted_looks).ravel(),
    )


def _outer(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """The Kronecker product, axis by axis."""
    shape = tuple(a * b for a, b in zip(one.shape, other.shape, strict=True))
    return np.einsum("abc,def->adbecf", one, other).reshape(shape)
