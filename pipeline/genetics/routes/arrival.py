"""The last step: how likely a litter holds the goal itself, and how long it must take from an animal at the least."""

from collections.abc import Sequence
from math import inf

import numpy as np

from pipeline.genetics.genes import Sex
from pipeline.genetics.routes.litters import Mates, litter_chance
from pipeline.genetics.routes.space import GoalSpace, Parts, State


class Arrival:
    """The goal of a space, of either sex."""

    def __init__(self, space: GoalSpace, litter: float) -> None:
        daughters, sons = space.tables["F"], space.tables["M"]
        self._sexes = [(daughters, 1.0)] if sons is daughters else [(daughters, 0.5), (sons, 0.5)]
        self._litter = litter

    def chances(self, parts: Parts, sex: Sex, mates: Mates) -> np.ndarray:
        """c of the goal, by mate, for an animal of these parts and that sex."""
        chance = np.zeros(len(mates.ids))
        for state, weight in parts:
            right, look = np.zeros(len(mates.states)), np.zeros(len(mates.states))
            for tables, share in self._sexes:
                wanted = [(table.young, table.wanted) for table in tables]
                right += share * _share(wanted, state, mates, sex)
                alike = [(table.looks, table.wanted_looks) for table in tables]
                look += share * _share(alike, state, mates, sex)
            own = litter_chance(look, right, self._litter) * mates.weights
            chance += weight * np.add.reduceat(own, mates.starts)
        return chance

    def litters(self, sex: Sex) -> np.ndarray:
        """By state of that sex, litters on average until the goal is there with the best mate that could be, no less."""
        right: np.ndarray | float = 0.0
        for tables, share in self._sexes:
            best = np.full(1, share)
            for table in tables:
                given = table.young[:, :, table.wanted].sum(axis=2).max(axis=1 if sex == "F" else 0)
                best = np.multiply.outer(best, given).ravel()
            right = right + best
        chance = 1 - (1 - np.minimum(right, 1)) ** self._litter
        return np.divide(1.0, chance, out=np.full(len(chance), inf), where=chance > 0)


def _share(
    outcomes: Sequence[tuple[np.ndarray, np.ndarray]], state: State, mates: Mates, sex: Sex
) -> np.ndarray:
    """The share of young whose outcome at every group is an accepted one, for each row of the mates."""
    parts = []
    for g, (table, accepted) in enumerate(outcomes):
        theirs = mates.states[:, g]
        given = table[state[g], theirs] if sex == "F" else table[theirs, state[g]]
        parts.append(given[:, accepted].sum(axis=1))
    return np.prod(parts, axis=0)
