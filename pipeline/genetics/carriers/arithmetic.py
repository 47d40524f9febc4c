"""Two ways to multiply and sum tables of probabilities: as they are, fast, or as logarithms, proof against underflow."""

from typing import Protocol

import numpy as np

LANES = 2
"""Leading axes of every table: linkage groups, lanes."""
NEAR = 1e-8
"""Plain tables whose largest entries are above this are not scaled: several of them multiplied don't underflow."""


def logs(table: np.ndarray) -> np.ndarray:
    """Natural logarithms, of the table's shape; -inf of 0."""
    with np.errstate(divide="ignore"):
        return np.log(table)


class Arithmetic(Protocol):
    """How tables are multiplied and summed: as they are, or as logarithms.

    A table is groups or 1 x lanes or 1 x one axis a variable, of length 1 where it does not depend on that variable.
    """

    def table(self, logs: np.ndarray) -> np.ndarray:
        """A table given as logarithms in this arithmetic's own form."""

    def times(self, one: np.ndarray, other: np.ndarray, out: np.ndarray | None = None) -> np.ndarray:
        """The product, with broadcasting; in the place of `out` where that is given."""

    def total(self, table: np.ndarray, axes: tuple[int, ...]) -> np.ndarray:
        """The sum over some axes, which fall away."""

    def contracted(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """The product summed over the first axis behind the lanes, which both have and which falls away."""

    def ratio(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """The quotient; 0 where the divisor is 0."""

    def scaled(self, table: np.ndarray, logs: np.ndarray) -> np.ndarray:
        """The table divided by factors given as logarithms."""

    def plain(self, table: np.ndarray) -> np.ndarray:
        """The table as probabilities."""

    def logs(self, table: np.ndarray) -> np.ndarray:
        """The table as natural logarithms; -inf of 0."""

    def excess(self, table: np.ndarray) -> np.ndarray | None:
        """The logarithm of the largest entry of each group and lane, axes kept; None where all are near enough to 1."""


class Plain(Arithmetic):
    """Probabilities as they are; fast. Methods as in Arithmetic."""

    def table(self, logs: np.ndarray) -> np.ndarray:
        """exp of the logarithms; may underflow to 0."""
        return np.exp(logs)

    def times(self, one: np.ndarray, other: np.ndarray, out: np.ndarray | None = None) -> np.ndarray:
        """Entry by entry."""
        return np.multiply(one, other, out=out)

    def total(self, table: np.ndarray, axes: tuple[int, ...]) -> np.ndarray:
        """As it stands."""
        return table.sum(axis=axes)

    def contracted(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """As a product of matrices, which is quicker; axes that both tables depend on stand outside the matrices."""
        axes = range(LANES + 1, one.ndim)
        both = [*range(LANES), *(a for a in axes if one.shape[a] > 1 and other.shape[a] > 1)]
        first = [a for a in axes if one.shape[a] > 1 and other.shape[a] == 1]
        last = [a for a in axes if one.shape[a] == 1]
        if not first or not last:
            return self.total(self.times(one, other), (LANES,))
        left = one.transpose(*both, *first, LANES, *last).reshape(
            *(one.shape[a] for a in both), -1, one.shape[LANES]
        )
        right = other.transpose(*both, LANES, *last, *first).reshape(
            *(other.shape[a] for a in both), other.shape[LANES], -1
        )
        sums = left @ right
        sides = (*(one.shape[a] for a in first), *(other.shape[a] for a in last))
        return sums.reshape(*sums.shape[: len(both)], *sides).transpose(np.argsort([*both, *first, *last]))

    def ratio(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """Entry by entry; 0 where the divisor is 0."""
        shape = one.shape if one.shape == other.shape else np.broadcast_shapes(one.shape, other.shape)
        return np.divide(one, other, out=np.zeros(shape), where=other > 0)

    def scaled(self, table: np.ndarray, logs: np.ndarray) -> np.ndarray:
        """Entry by entry."""
        return table * np.exp(-logs)

    def plain(self, table: np.ndarray) -> np.ndarray:
        """The table itself, no copy."""
        return table

    def logs(self, table: np.ndarray) -> np.ndarray:
        """Entry by entry; -inf of 0."""
        return logs(table)

    def excess(self, table: np.ndarray) -> np.ndarray | None:
        """None where all are above NEAR."""
        top = table.max(axis=tuple(range(LANES, table.ndim)), keepdims=True, initial=0)
        return None if top.min() > NEAR else logs(top)


class Logs(Arithmetic):
    """Natural logarithms throughout; slow, and proof against underflow. Methods as in Arithmetic."""

    def table(self, logs: np.ndarray) -> np.ndarray:
        """The logarithms themselves, no copy."""
        return logs

    def times(self, one: np.ndarray, other: np.ndarray, out: np.ndarray | None = None) -> np.ndarray:
        """The sum of the logarithms."""
        return np.add(one, other, out=out)

    def total(self, table: np.ndarray, axes: tuple[int, ...]) -> np.ndarray:
        """The largest entries are taken out before the exponentials are summed."""
        if not axes:
            return table
        top = table.max(axis=axes, keepdims=True)
        safe = np.where(np.isfinite(top), top, 0)
        return logs(np.exp(table - safe).sum(axis=axes)) + safe.squeeze(axis=axes)

    def contracted(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """Multiplied out, then summed."""
        return self.total(self.times(one, other), (LANES,))

    def ratio(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """The difference of the logarithms; -inf where the divisor is 0."""
        return np.subtract(
            one,
            other,
            out=np.full(np.broadcast_shapes(one.shape, other.shape), -np.inf),
            where=np.isfinite(other),
        )

    def scaled(self, table: np.ndarray, logs: np.ndarray) -> np.ndarray:
        """Less the logarithms."""
        return table - logs

    def plain(self, table: np.ndarray) -> np.ndarray:
        """exp of the table; may underflow to 0."""
        return np.exp(table)

    def logs(self, table: np.ndarray) -> np.ndarray:
        """The table itself, no copy."""
        return table

    def excess(self, table: np.ndarray) -> np.ndarray | None:
        """Never None: what is taken out costs no more than to look."""
        return table.max(axis=tuple(range(LANES, table.ndim)), keepdims=True, initial=-np.inf)
