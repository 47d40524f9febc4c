"""What one animal's pairs bring: for each mate and each young genotype asked for, the chance that a litter yields it.

The chance c of a pair is a mean over what its two animals may be, and takes every combination. But c is at most
f(q) = 1 - (1 - q)^n of the share q of right young, f is concave, and the mean share is a product over blocks: f of the mean
share bounds c from above (Jensen's inequality) at little cost. Only pairs whose bound is good enough are worked out.
"""

from collections.abc import Callable
from functools import reduce

import numpy as np

from pipeline.genetics.genes import Sex
from pipeline.genetics.routes.blocks import Blocks
from pipeline.genetics.routes.mates import Mates, Own
from pipeline.genetics.routes.timing import at_least_one, litter_chance

Shares = Callable[[np.ndarray, np.ndarray, np.ndarray], tuple[np.ndarray, np.ndarray]]
"""Of dams' and sires' states (... x blocks) and the places of their pairs: the share of right young, and of those that look so."""


class Litters:
    """The young of one sex, half of all. `young` are flat numbers of states."""

    def __init__(self, blocks: Blocks, young: Sex, litter: float) -> None:
        self._tables = blocks.tables[young]
        self._sizes, self._litter = blocks.sizes[young], litter
        self._most = {
            sex: [table.young.max(axis=axis) for table in self._tables] for sex, axis in (("F", 1), ("M", 0))
        }
        both = [np.concatenate([table.young, table.looks], axis=2) for table in self._tables]
        self._both = {"F": both, "M": [table.transpose(1, 0, 2).copy() for table in both]}

    def best(self, own: Own) -> np.ndarray:
        """By young state, what no c of the animal exceeds, whatever its mate."""
        most = zip(own.odds, self._most[own.sex], strict=True)
        return at_most(reduce(np.kron, [odds @ share for odds, share in most]) / 2, self._litter)

    def bounds(self, own: Own, mates: Mates, young: np.ndarray) -> np.ndarray:
        """What c is at most, mates x young; c itself where both can be one thing alone (`known`)."""
        at = np.unravel_index(young, self._sizes)
        right, look = np.full((2, len(mates.ids), len(young)), 0.5)
        for b, (table, both) in enumerate(zip(self._tables, self._both[own.sex], strict=True)):
            shares = given(both, own, mates, b)
            right *= shares[:, at[b]]
            look *= shares[:, table.young.shape[2] + table.look_of[at[b]]]
        known = self.known(own, mates)
        found = np.empty_like(right)
        found[known] = litter_chance(look[known], right[known], self._litter)
        found[~known] = at_most(right[~known], self._litter)
        return found

    @staticmethod
    def known(own: Own, mates: Mates) -> np.ndarray:
        """Of which mates `bounds` tells c itself."""
        return mates.sure & (len(own.weights) == 1)

    def chances(self, own: Own, mates: Mates, which: np.ndarray, young: np.ndarray) -> np.ndarray:
        """c by pair: one of the mates (`which`, its place among them) and a young state."""
        at = np.unravel_index(young, self._sizes)

        def shares(dam: np.ndarray, sire: np.ndarray, pair: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
            right = look = np.full(1, 0.5)
            for b, table in enumerate(self._tables):
                parents, young = (dam[..., b], sire[..., b]), at[b][pair]
                right = right * table.young[(*parents, young)]
                look = look * table.looks[(*parents, table.look_of[young])]
            return right, look

        return chances(own, mates, which, shares, self._litter)


def chances(own: Own, mates: Mates, which: np.ndarray, shares: Shares, litter: float) -> np.ndarray:
    """c of an animal by each of the mates that `which` names: the mean over all that both may be."""
    states, weights, pair = mates.rows(which)
    mine = own.states[:, None]
    right, look = shares(mine, states, pair) if own.sex == "F" else shares(states, mine, pair)
    mean = own.weights @ litter_chance(look, right, litter) * weights
    return np.bincount(pair, weights=mean, minlength=len(which))


def given(table: np.ndarray, own: Own, mates: Mates, block: int) -> np.ndarray:
    """The mean of a block's table (own states x mate's x k) over what the animal and each of its mates may be: mates x k."""
    size, theirs, outcomes = table.shape
    side = own.odds[block] @ table.reshape(size, theirs * outcomes)
    return mates.odds(block) @ side.reshape(theirs, outcomes)


def at_most(share: np.ndarray, litter: float) -> np.ndarray:
    """f, a hair more: what c is at most where that share of the young is right."""
    return at_least_one(np.minimum(share, 1), litter) * (1 + 1e-12)
