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

    def dearest(self) -> np.ndarray:
        """By state, the cost that a pair must stay below to be remembered."""
        return np.where(self._closed, -inf, self._costs[-1])

    def offer(self, states: np.ndarray, costs: np.ndarray, chances: np.ndarray, pairs: np.ndarray) -> None:
        """One pair more for each of these states, all different; the dearest of each drops out, of equals the latest."""
        joined = np.concatenate([self._costs[:, states], costs[None]])
        order = np.argsort(joined, axis=0, kind="stable")[:-1]
        self._costs[:, states] = np.take_along_axis(joined, order, axis=0)
        joined = np.concatenate([self._chances[:, states], chances[None]])
        self._chances[:, states] = np.take_along_axis(joined, order, axis=0)
        both = np.concatenate([self._pairs[:, states], pairs[None]])
        self._pairs[:, states] = np.take_along_axis(both, order[:, :, None], axis=0)
