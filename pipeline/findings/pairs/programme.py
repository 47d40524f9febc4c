"""The best set of pairs as an integer programme: pure numbers, no animals.

Maximise the points of the chosen pairs; each female at most once, each male at most so often, young at most as many as
there are places. Solved to the end, not to a gap. While nothing limits the young it is an assignment of females to males'
turns (scipy.optimize.linear_sum_assignment, Crouse 2016); with limited places, an integer programme (scipy.optimize.milp,
HiGHS). Of a large herd only the pairs that can be in the best plan are handed to that: linear prices of females, males and
places (the dual of the linear relaxation) tell which can't, by reduced cost (Dantzig & Wolfe 1960 for the columns, from
memory), so nothing is lost.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pipeline.findings.pairs.mixtures import closed_up

_TIE = 1e-5
"""Equal plans are told apart by the order of their pairs: so much at most is taken off a pair's points for that."""
WHOLE = 2_000
"""Up to so many pairs all are handed on; of more, the best FIRST of each female and male to begin with."""
FIRST, ROUNDS = 6, 30


@dataclass(frozen=True)
class Programme:
    """Pairs by place: their female and male (small integers), points and young; `per_male` and `places` (None: no limit).

    `forced` places are in every plan, whatever the limits say: those give way as far as it takes. `banned` are in none.
    `hint` are places worth beginning with, such as those that a programme much like it came to; it changes no answer.
    """

    dam: np.ndarray
    sire: np.ndarray
    points: np.ndarray
    young: np.ndarray
    per_male: int
    places: int | None = None
    forced: tuple[int, ...] = ()
    banned: tuple[int, ...] = ()
    hint: tuple[int, ...] = ()

    def best(self) -> tuple[int, ...]:
        """The places of the best plan, ascending. Empty where there is nothing to choose from."""
        return self.solved()[0]

    def solved(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """The best plan, and the pairs that it was chosen from in the end: a hint to programmes much like this one."""
        forced = list(self.forced)
        used = np.bincount(self.sire[forced], minlength=self._size(self.sire))
        left = np.maximum(self.per_male - used, 0)
        places = None if self.places is None else max(self.places - int(self.young[forced].sum()), 0)
        free = (left[self.sire] > 0) & ~np.isin(self.dam, self.dam[forced]) & (self.points > 0)
        free[list(self.banned)] = False
        at = np.flatnonzero(free)
        worth = self.points[at] - _TIE * (at / max(len(self.dam), 1)) ** 2
        if not len(at):
            return tuple(sorted(forced)), ()
        begin = np.flatnonzero(np.isin(at, self.hint))
        chosen, columns = _Free(self.dam[at], self.sire[at], worth, self.young[at], left, places).best(begin)
        return tuple(sorted({*forced, *at[chosen].tolist()})), tuple(at[columns].tolist())

    def total(self, plan: Sequence[int]) -> float:
        """The points of a plan."""
        return float(self.points[list(plan)].sum())

    def without(self, place: int) -> tuple[int, ...]:
        """The best plan that lacks a pair."""
        return replace(self, banned=(*self.banned, place)).best()

    def including(self, place: int) -> tuple[int, ...] | None:
        """The best plan that has a pair; None where the limits leave no room for it."""
        forced = [f for f in self.forced if f != place]
        his = int((self.sire[forced] == self.sire[place]).sum())
        young = int(self.young[forced].sum() + self.young[place])
        crowded = his >= self.per_male or self.dam[place] in self.dam[forced]
        if place not in self.forced and (crowded or (self.places is not None and young > self.places)):
            return None
        return replace(self, forced=(*forced, place)).best()

    @staticmethod
    def _size(side: np.ndarray) -> int:
        return int(side.max(initial=-1)) + 1


@dataclass(frozen=True)
class _Free:
    """What is left to choose once the forced pairs stand: `left` pairs of each male, `places` for young."""

    dam: np.ndarray
    sire: np.ndarray
    worth: np.ndarray
    young: np.ndarray
    left: np.ndarray
    places: int | None

    def best(self, begin: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Places of the best choice, and those it was chosen from; `begin`: pairs to begin with."""
        every = np.arange(len(self.dam))
        if self.places is None:
            chosen = self._assigned()
            return chosen, chosen
        priced = self._priced(begin) if len(every) > WHOLE else None
        if priced is None:
            return self._solved(every), every
        columns, bound, reduced = priced
        chosen = self._solved(columns)
        gap = bound - self.worth[chosen].sum()
        could = np.flatnonzero(reduced >= -gap - 1e-6)
        if np.isin(could, columns).all():
            return chosen, columns
        columns = np.union1d(could, columns)
        return self._solved(columns), columns

    def _assigned(self) -> np.ndarray:
        """The best choice where young need no places: each female takes at most one of the males' turns."""
        from scipy.optimize import linear_sum_assignment

        (dams, dam), (sires, sire) = closed_up(self.dam), closed_up(self.sire)
        place = np.full((len(dams), len(sires)), -1)
        order = np.arange(len(dam))
        if np.bincount(dam * len(sires) + sire).max() > 1:  # a pair that is there twice counts as the better
            order = np.argsort(self.worth, kind="stable")
        place[dam[order], sire[order]] = order
        worth = np.where(place >= 0, np.maximum(self.worth[place], 0.0), 0.0)
        turns = np.repeat(np.arange(len(sires)), np.minimum(self.left[sires], len(dams)))
        rows, columns = linear_sum_assignment(worth[:, turns], maximize=True)
        taken = worth[rows, turns[columns]] > 0
        return np.sort(place[rows, turns[columns]][taken])

    def _solved(self, columns: np.ndarray) -> np.ndarray:
        """The best choice among some of the pairs."""
        from scipy.optimize import Bounds, LinearConstraint, milp

        rows, limits = self._limits(columns)
        answer = milp(
            -self.worth[columns],
            integrality=np.ones(len(columns)),
            bounds=Bounds(0, 1),
            constraints=LinearConstraint(rows, ub=limits),
            options={"mip_rel_gap": 0.0},
        )
        if answer.x is None:
            raise ArithmeticError(f"the plan could not be computed: {answer.message}")
        return columns[answer.x > 0.5]

    def _priced(self, begin: np.ndarray) -> tuple[np.ndarray, float, np.ndarray] | None:
        """Pairs enough for the linear relaxation, its value, and what each pair earns beyond the prices of its limits.

        None where that does not settle within ROUNDS.
        """
        from scipy.optimize import linprog

        columns = begin if len(begin) else self._first()
        for _ in range(ROUNDS):
            rows, limits = self._limits(columns)
            answer = linprog(-self.worth[columns], A_ub=rows, b_ub=limits, bounds=(0, None), method="highs")
            if not answer.success:
                return None
            prices = -answer.ineqlin.marginals
            reduced = self.worth - prices[self.dam] - prices[len(prices) - self._tail() :][self.sire]
            if self.places is not None:
                reduced = reduced - prices[-1] * self.young
            missing = np.setdiff1d(np.flatnonzero(reduced > 1e-9), columns)
            if not len(missing):
                return columns, -float(answer.fun), reduced
            order = missing[np.argsort(-reduced[missing], kind="stable")]
            columns = np.union1d(columns, order[: 2 * len(self.left)])
        return None

    def _tail(self) -> int:
        """Limits after those of the females."""
        return len(self.left) + (self.places is not None)

    def _first(self) -> np.ndarray:
        """The best pairs of each female and of each male."""
        found = []
        for side in (self.dam, self.sire):
            order = np.lexsort((-self.worth, side))
            starts = np.searchsorted(side[order], side[order])
            found.append(order[np.arange(len(order)) - starts < FIRST])
        return np.union1d(*found)

    def _limits(self, columns: np.ndarray):
        """Rows of counts over pairs, and what each may reach: females, males, young."""
        from scipy.sparse import coo_array, vstack

        dams, many = int(self.dam.max()) + 1, len(columns)
        ones, at = np.ones(many), np.arange(many)
        parts = [
            coo_array((ones, (self.dam[columns], at)), shape=(dams, many)),
            coo_array((ones, (self.sire[columns], at)), shape=(len(self.left), many)),
        ]
        most = [np.ones(dams), self.left.astype(float)]
        if self.places is not None:
            parts.append(coo_array(self.young[columns][None].astype(float)))
            most.append(np.array([float(self.places)]))
        return vstack(parts).tocsr(), np.concatenate(most)
