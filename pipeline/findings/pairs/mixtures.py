"""Few-valued quantities of many pairs at once: what a pair has with what probability, over groups that are independent."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

_DIGITS = 9


@dataclass(frozen=True)
class Mixture:
    """`values` (K x m) that pairs may have, and `weights` (dams x sires x K) of each; a pair's weights sum to 1."""

    values: np.ndarray
    weights: np.ndarray

    @classmethod
    def sure(cls, value: float, shape: tuple[int, int], parts: int = 1) -> "Mixture":
        """One value for all pairs."""
        return cls(np.full((1, parts), value), np.ones((*shape, 1)))

    @classmethod
    def over_couples(cls, table: np.ndarray, dams: np.ndarray, sires: np.ndarray) -> "Mixture":
        """A value for each pair of states, `table` (dam states x sire states x m), weighed by the parents' odds.

        The two parents' odds are taken as independent.
        """
        values, place = _distinct(table.reshape(-1, table.shape[-1]))
        chosen = np.zeros((*table.shape[:2], len(values)))
        np.put_along_axis(chosen, place.reshape(*table.shape[:2], 1), 1.0, axis=2)
        return cls(values, np.einsum("da,sb,abk->dsk", dams, sires, chosen, optimize=True))

    def joined(self, other: "Mixture", how: Callable[[np.ndarray, np.ndarray], np.ndarray]) -> "Mixture":
        """Both, independent, their values put together by `how` (np.multiply, np.add); equal values fall together."""
        both = how(self.values[:, None], other.values[None]).reshape(-1, self.values.shape[1])
        values, place = _distinct(both)
        weights = (self.weights[..., :, None] * other.weights[..., None, :]).reshape(*self.weights.shape[:2], -1)
        gathered = np.zeros((*self.weights.shape[:2], len(values)))
        for column, to in enumerate(place):
            gathered[..., to] += weights[..., column]
        return Mixture(values, gathered)

    def mean(self, of: Callable[[np.ndarray], np.ndarray]) -> np.ndarray:
        """The expectation (dams x sires) of a function of the values (K x m -> K)."""
        return self.weights @ of(self.values)


def _distinct(rows: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The distinct rows, rounded, and for each row its place among them."""
    values, place = np.unique(np.round(rows, _DIGITS), axis=0, return_inverse=True)
    return values, place.ravel()
