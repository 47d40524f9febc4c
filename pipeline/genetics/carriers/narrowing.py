"""What of a tangled graph is narrow is summed out exactly; what is left, its core, is for others to weigh.

A posterior of the core, however it was come by, is carried back to all variables by exact conditional probabilities,
so that it adds no error of its own.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np

from pipeline.genetics.carriers.elimination import collect, marginal_of
from pipeline.genetics.carriers.factors import Factor, absorbed
from pipeline.genetics.carriers.ordering import Order


class Marginals(Protocol):
    """What answers for variables that share a factor."""

    def marginal(self, scope: Sequence[int]) -> np.ndarray:
        """Posterior over them: groups or 1 x lanes or 1 x one axis a variable, as in scope."""


@dataclass(frozen=True)
class Narrowed:
    """A graph whose narrow part is summed out.

    `chances[i]` is the probability of the first variable of clique i given the others; `core` are the factors over the
    variables that the order leaves over, no two of them over the same ones.
    """

    order: Order
    chances: Sequence[np.ndarray]
    core: tuple[Factor, ...]


@dataclass(frozen=True)
class Widened:
    """Every variable's posterior by that of the core."""

    narrowed: Narrowed
    core: Marginals

    def marginal(self, scope: Sequence[int]) -> np.ndarray:
        """Posterior over variables that share a factor: groups x the core's lanes x one axis a variable, as in scope."""
        home = min(self._place[v] for v in scope)
        if home >= len(self._beliefs):
            return self.core.marginal(scope)
        return marginal_of(self._beliefs[home], self.narrowed.order.cliques[home], scope)

    @cached_property
    def _place(self) -> dict[int, int]:
        return self.narrowed.order.place

    @cached_property
    def _beliefs(self) -> list[np.ndarray]:
        cliques = self.narrowed.order.cliques
        beliefs = list(self.narrowed.chances)
        for i in reversed(range(len(cliques))):
            rest = cliques[i][1:]
            if rest:
                home = self._place[rest[0]]
                inside = home < len(cliques)
                known = (
                    marginal_of(beliefs[home], cliques[home], rest) if inside else self.core.marginal(rest)
                )
                beliefs[i] = beliefs[i] * known[:, :, None]
        return beliefs


def narrowed(order: Order, sizes: Sequence[int], factors: Sequence[Factor]) -> Narrowed:
    """Sums out all variables that the order holds. Time grows with `order.entries` x groups."""
    done = collect(order, sizes, factors)
    return Narrowed(order, done.chances(), tuple(absorbed(done.residue)))
