"""The animals of a search as it reckons with them: the states each may be in, block by block."""

from dataclasses import dataclass

import numpy as np

from pipeline.genetics.genes import Sex
from pipeline.genetics.routes.blocks import Blocks
from pipeline.genetics.routes.space import Parts


@dataclass(frozen=True)
class Own:
    """One animal: `states` (parts x blocks) with `weights`, and by block the odds of its states. Blocks are independent."""

    sex: Sex
    states: np.ndarray
    weights: np.ndarray
    odds: tuple[np.ndarray, ...]

    @classmethod
    def of(cls, parts: Parts, sex: Sex, blocks: Blocks) -> "Own":
        """From the states of its groups."""
        states, weights = blocks.states(parts, sex), np.array([weight for _, weight in parts])
        odds = tuple(
            np.bincount(states[:, b], weights=weights, minlength=size)
            for b, size in enumerate(blocks.sizes[sex])
        )
        return cls(sex, states, weights, odds)


class Mates:
    """All settled animals of one sex, in the order in which they were settled. `ids` are their numbers in the search."""

    def __init__(self, blocks: Blocks, sex: Sex) -> None:
        self.ids: list[int] = []
        sizes = blocks.sizes[sex]
        self._odds = [np.zeros((64, size)) for size in sizes]
        self._states, self._weights = np.zeros((64, len(sizes)), dtype=np.intp), np.zeros(64)
        self._firsts, self._counts = np.zeros(64, dtype=np.intp), np.zeros(64, dtype=np.intp)
        self._used = 0

    def add(self, number: int, own: Own) -> None:
        """One animal more."""
        at, rows = len(self.ids), slice(self._used, self._used + len(own.weights))
        if at == len(self._firsts):
            self._firsts, self._counts = _doubled(self._firsts), _doubled(self._counts)
            self._odds = [_doubled(odds) for odds in self._odds]
        while rows.stop > len(self._weights):
            self._states, self._weights = _doubled(self._states), _doubled(self._weights)
        for kept, odds in zip(self._odds, own.odds, strict=True):
            kept[at] = odds
        self._states[rows], self._weights[rows] = own.states, own.weights
        self._firsts[at], self._counts[at] = rows.start, len(own.weights)
        self.ids.append(number)
        self._used = rows.stop

    def odds(self, block: int) -> np.ndarray:
        """Animals x states of a block."""
        return self._odds[block][: len(self.ids)]

    @property
    def sure(self) -> np.ndarray:
        """Which animals can be one thing alone."""
        return self._counts[: len(self.ids)] == 1

    def rows(self, which: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """The parts of these animals one after the other: states (rows x blocks), weights, and whose each is (place in `which`)."""
        counts = self._counts[which]
        again = np.repeat(np.arange(len(which)), counts)
        at = np.arange(len(again)) + (self._firsts[which] - np.cumsum(counts) + counts)[again]
        return self._states[at], self._weights[at], again


def _doubled(array: np.ndarray) -> np.ndarray:
    return np.concatenate([array, np.zeros_like(array)])
