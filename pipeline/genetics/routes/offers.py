"""The cheapest pairs found so far for every young genotype of one sex."""

from math import inf

import numpy as np


class Offers:
    """By state, up to `slots` pairs, cheapest first: their cost, chance of a litter, and (dam, sire) numbers."""

    def __init__(self, states: int, slots: int) -> None:
        self._costs = np.full((slots, states), inf)
        self._chances = np.zeros((slots, states))
        self._pairs = np.zeros((slots, states, 2), dtype=np.intp)
        self._closed = np.zeros(states, dtype=bool)

    def cheapest(self) -> tuple[float, int]:
        """The least cost of all, and its state."""
        state = int(np.argmin(self._costs[0]))
        return float(self._costs[0, state]), state

    def take(self, state: int) -> tuple[int, int, float]:
        """The cheapest pair of a state (dam, sire, chance), which is then forgotten."""
        dam, sire = (int(number) for number in self._pairs[0, state])
        chance = float(self._chances[0, state])
        for kept in (self._costs, self._chances, self._pairs):
            kept[:-1, state] = kept[1:, state]
        self._costs[-1, state] = inf
        return dam, sire, chance

    def close(self, state: int) -> None:
        """Take no more pairs for a state."""
        self._costs[:, state], self._closed[state] = inf, True

    def welcome(self, states: np.ndarray, costs: np.ndarray) -> np.ndarray:
        """Which pairs would be remembered."""
        return ~self._closed[states] & (costs < self._costs[-1, states])

    def offer(
        self, states: np.ndarray, costs: np.ndarray, chances: np.ndarray, pairs: np.ndarray, each: int
    ) -> None:
        """Remember the best `each` of these pairs for every state, ties in the order given."""
        order = np.lexsort((costs, states))
        states = states[order]
        first = np.flatnonzero(np.diff(states, prepend=-1))
        rank = np.arange(len(states)) - np.repeat(first, np.diff(first, append=len(states)))
        for turn in range(each):
            at = order[rank == turn]
            self._remember(states[rank == turn], costs[at], chances[at], pairs[at])

    def _remember(
        self, states: np.ndarray, costs: np.ndarray, chances: np.ndarray, pairs: np.ndarray
    ) -> None:
        """One pair a state among those remembered for it; the dearest drops out."""
        joined = np.concatenate([self._costs[:, states], costs[None]])
        order = np.argsort(joined, axis=0, kind="stable")[:-1]
        self._costs[:, states] = np.take_along_axis(joined, order, axis=0)
        joined = np.concatenate([self._chances[:, states], chances[None]])
        self._chances[:, states] = np.take_along_axis(joined, order, axis=0)
        both = np.concatenate([self._pairs[:, states], pairs[None]])
        self._pairs[:, states] = np.take_along_axis(both, order[:, :, None], axis=0)
