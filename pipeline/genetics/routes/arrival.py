"""The last step: how likely a litter holds the goal itself."""

import numpy as np

from pipeline.genetics.routes.blocks import Blocks
from pipeline.genetics.routes.litters import at_most, chances
from pipeline.genetics.routes.mates import Mates, Own


class Arrival:
    """The goal of a space, of either sex."""

    def __init__(self, blocks: Blocks, litter: float) -> None:
        self._litter = litter
        self._sexes = [
            (
                [table.young[:, :, table.wanted].sum(axis=2) for table in blocks.tables[sexes[0]]],
                [table.looks[:, :, table.wanted_looks].sum(axis=2) for table in blocks.tables[sexes[0]]],
                len(sexes) / 2,
            )
            for sexes in blocks.alike
        ]

    def bounds(self, own: Own, mates: Mates) -> np.ndarray:
        """By mate, what the chance c that a litter holds the goal is at most."""
        total = np.zeros(len(mates.ids))
        for rights, _, share in self._sexes:
            found = np.full(len(total), share)
            for b, right in enumerate(rights):
                side = right if own.sex == "F" else right.T
                found *= mates.odds(b) @ (own.odds[b] @ side)
            total += found
        return at_most(total, self._litter)

    def chances(self, own: Own, mates: Mates, which: np.ndarray) -> np.ndarray:
        """c by each of the mates that `which` names."""
        return chances(own, mates, which, self._shares, self._litter)

    def _shares(self, dam: np.ndarray, sire: np.ndarray, pair: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        right, look = np.zeros(1), np.zeros(1)
        for rights, looks, share in self._sexes:
            right = right + share * _product(rights, dam, sire)
            look = look + share * _product(looks, dam, sire)
        return right, look


def _product(shares: list[np.ndarray], dam: np.ndarray, sire: np.ndarray) -> np.ndarray:
    """The share of young accepted at every block."""
    return np.prod([own[dam[..., b], sire[..., b]] for b, own in enumerate(shares)], axis=0)
