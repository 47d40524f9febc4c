"""The best set of pairs as an integer programme: pure numbers, no animals.

Maximise the points of the chosen pairs; each female at most once, each male at most so often, young at most as many as
there are places. Solved by scipy.optimize.milp (HiGHS) to the end, not to a gap.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

_TIE = 1e-5
"""Equal plans are told apart by the order of their pairs: so much at most is taken off a pair's points for that."""


@dataclass(frozen=True)
class Programme:
    """Pairs by place: their female and male (small integers), points and young; `per_male` and `places` (None: no limit).

    `forced` places are in every plan, whatever the limits say: those give way as far as it takes. `banned` are in none.
    """

    dam: np.ndarray
    sire: np.ndarray
    points: np.ndarray
    young: np.ndarray
    per_male: int
    places: int | None = None
    forced: tuple[int, ...] = ()
    banned: tuple[int, ...] = ()

    def best(self) -> tuple[int, ...]:
        """The places of the best plan, ascending. Empty where there is nothing to choose from."""
        if not len(self.dam):
            return ()
        from scipy.optimize import Bounds, LinearConstraint, milp

        low, high = np.zeros(len(self.dam)), np.ones(len(self.dam))
        high[list(self.banned)] = 0
        low[list(self.forced)] = high[list(self.forced)] = 1
        rows, limits = self._limits()
        worth = self.points - _TIE * np.linspace(0, 1, len(self.dam)) ** 2
        answer = milp(
            -worth, integrality=np.ones(len(self.dam)), bounds=Bounds(low, high),
            constraints=LinearConstraint(rows, ub=limits), options={"mip_rel_gap": 0.0},
        )  # fmt: skip
        if answer.x is None:
            raise ArithmeticError(f"the plan could not be computed: {answer.message}")
        return tuple(np.flatnonzero(answer.x > 0.5).tolist())

    def total(self, plan: Sequence[int]) -> float:
        """The points of a plan."""
        return float(self.points[list(plan)].sum())

    def without(self, place: int) -> tuple[int, ...]:
        """The best plan that lacks a pair."""
        return replace(self, banned=(*self.banned, place)).best()

    def including(self, place: int) -> tuple[int, ...] | None:
        """The best plan that has a pair; None where the limits leave no room for it."""
        rows, limits = self._limits()
        chosen = np.zeros(len(self.dam))
        chosen[[*self.forced, place]] = 1
        if (rows @ chosen > limits + 1e-9).any():
            return None
        return replace(self, forced=(*self.forced, place)).best()

    def _limits(self):
        """Rows of counts over pairs, and what each may reach: females, males, young."""
        from scipy.sparse import coo_array, vstack

        pairs = np.arange(len(self.dam))
        parts = [coo_array((np.ones(len(pairs)), (of, pairs))) for of in (self.dam, self.sire)]
        most = [np.ones(parts[0].shape[0]), np.full(parts[1].shape[0], float(self.per_male))]
        if self.places is not None:
            parts.append(coo_array(self.young[None].astype(float)))
            most.append(np.array([float(self.places)]))
        rows = vstack(parts).tocsr()
        taken = np.zeros(len(pairs))
        taken[list(self.forced)] = 1
        return rows, np.maximum(np.concatenate(most), rows @ taken)
