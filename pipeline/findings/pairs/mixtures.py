"""Few-valued quantities of many pairs at once: what a pair has with what probability, over groups that are independent."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

_DIGITS = 9
_SMALL = 1_000_000


@dataclass(frozen=True)
class Mixture:
    """`values` (K x m) that pairs may have, and `weights` (pairs x K) of each; a pair's weights sum to 1."""

    values: np.ndarray
    weights: np.ndarray

    @classmethod
    def sure(cls, value: float, pairs: int, parts: int = 1) -> "Mixture":
        """One value for all pairs."""
        return cls(np.full((1, parts), value), np.ones((pairs, 1)))

    def joined(self, other: "Mixture", how: Callable[[np.ndarray, np.ndarray], np.ndarray]) -> "Mixture":
        """Both, independent, their values put together by `how` (np.multiply, np.add); equal values fall together."""
        both = how(self.values[:, None], other.values[None]).reshape(-1, self.values.shape[1])
        values, place = distinct(both)
        weights = (self.weights[:, :, None] * other.weights[:, None, :]).reshape(len(self.weights), -1)
        gathered = np.zeros((len(values), len(self.weights)))
        np.add.at(gathered, place, weights.T)
        return Mixture(values, gathered.T)

    def mean(self, of: Callable[[np.ndarray], np.ndarray]) -> np.ndarray:
        """The expectation, by pair, of a function of the values (K x m -> K)."""
        return self.weights @ of(self.values)


def distinct(rows: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The distinct rows, rounded, and for each row its place among them."""
    values, place = np.unique(np.round(rows, _DIGITS), axis=0, return_inverse=True)
    return values, place.ravel()


def closed_up(numbers: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The distinct ones of numbers from 0 up, ascending, and each one's place among them; without sorting while they are small."""
    if numbers.max(initial=0) > _SMALL:
        values, place = np.unique(numbers, return_inverse=True)
        return values, place.reshape(numbers.shape)
    there = np.bincount(numbers.ravel()) > 0
    return np.flatnonzero(there), (np.cumsum(there) - 1)[numbers]


def one_of(place: np.ndarray, many: int) -> np.ndarray:
    """Rows with a single 1 at each place."""
    return np.eye(many)[place]
