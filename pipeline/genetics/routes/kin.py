"""Kinship of all animals of a search, those at hand and those yet to be bred, by the tabular method."""

import numpy as np


class GrowingKinship:
    """Kinship between animals numbered as they are added. `known` is that of the animals at hand, each with itself."""

    def __init__(self, known: np.ndarray) -> None:
        self._known = known
        self._between = np.zeros((256, 256))
        self._to_known = np.zeros((256, len(known)))
        self._size = 0

    def add_known(self, row: int) -> None:
        """One of the animals at hand, by its row."""
        to_others = self._to_known[: self._size, row]
        self._add(to_others, self._known[row, row], self._known[row])

    def add_young(self, dam: int, sire: int) -> None:
        """A young of two animals added before."""
        to_others, itself = self.of_young(dam, sire), (1 + self._between[dam, sire]) / 2
        self._add(to_others, itself, (self._to_known[dam] + self._to_known[sire]) / 2)

    def of(self, number: int) -> np.ndarray:
        """Kinship of one animal with every one added so far."""
        return self._between[number, : self._size]

    def of_young(self, dam: int, sire: int) -> np.ndarray:
        """Kinship that a young of these would have with every one added so far."""
        return (self.of(dam) + self.of(sire)) / 2

    def of_youngs(self, one: int, mates: np.ndarray, others: np.ndarray) -> np.ndarray:
        """Kinship that the young of an animal with each of the mates would have with one other each."""
        return (self._between[one, others] + self._between[mates, others]) / 2

    def _add(self, to_others: np.ndarray, itself: float, to_known: np.ndarray) -> None:
        at = self._size
        if at == len(self._between):
            self._between = _grown(self._between, (2 * at, 2 * at))
            self._to_known = _grown(self._to_known, (2 * at, self._to_known.shape[1]))
        self._between[at, :at] = self._between[:at, at] = to_others
        self._between[at, at], self._to_known[at] = itself, to_known
        self._size = at + 1


def _grown(array: np.ndarray, shape: tuple[int, int]) -> np.ndarray:
    made = np.zeros(shape)
    made[: array.shape[0], : array.shape[1]] = array
    return made
