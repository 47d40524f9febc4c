"""Two ways to multiply and sum tables of probabilities: as they are, fast, or as logarithms, proof against underflow."""

from collections import defaultdict
from itertools import chain
from math import prod
from typing import Protocol

import numpy as np

LANES = 2
"""Leading axes of every table: linkage groups, lanes."""
NEAR = 1e-8
"""Plain tables whose largest entries are above this and below its inverse are not scaled: several multiplied stay numbers."""
LARGE = 10_000
"""Entries of a product from which on matrices are quicker."""


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

    def times(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """The product, with broadcasting."""

    def total(self, table: np.ndarray, axes: tuple[int, ...], *, keep: bool = False) -> np.ndarray:
        """The sum over some axes, which fall away, or with `keep` are left with size 1."""

    def contracted(self, one: np.ndarray, other: np.ndarray, away: tuple[int, ...]) -> np.ndarray:
        """The product summed over some axes, which are left with size 1."""

    def ratio(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """The quotient; 0 where the divisor is 0."""

    def scaled(self, table: np.ndarray, logs: np.ndarray) -> np.ndarray:
        """The table divided by factors given as logarithms, in its own place where there is room."""

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

    def times(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """Entry by entry."""
        return np.multiply(one, other)

    def total(self, table: np.ndarray, axes: tuple[int, ...], *, keep: bool = False) -> np.ndarray:
        """As it stands."""
        return table.sum(axis=axes, keepdims=keep)

    def contracted(self, one: np.ndarray, other: np.ndarray, away: tuple[int, ...]) -> np.ndarray:
        """As a product of matrices where tables are large, which is quicker."""
        if prod(map(max, one.shape, other.shape)) > LARGE:
            return _multiplied(one, other, away)
        return np.add.reduce(np.multiply(one, other), axis=away, keepdims=True)

    def ratio(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """Entry by entry; 0 where the divisor is 0."""
        shape = one.shape if one.shape == other.shape else np.broadcast_shapes(one.shape, other.shape)
        return np.divide(one, other, out=np.zeros(shape), where=other > 0)

    def scaled(self, table: np.ndarray, logs: np.ndarray) -> np.ndarray:
        """Entry by entry."""
        return np.multiply(table, np.exp(-logs), out=_room(table, logs))

    def plain(self, table: np.ndarray) -> np.ndarray:
        """The table itself, no copy."""
        return table

    def logs(self, table: np.ndarray) -> np.ndarray:
        """Entry by entry; -inf of 0."""
        return logs(table)

    def excess(self, table: np.ndarray) -> np.ndarray | None:
        """None where all are above NEAR and below its inverse."""
        top = table.max(axis=tuple(range(LANES, table.ndim)), keepdims=True, initial=0)
        return None if top.min() > NEAR and top.max() < 1 / NEAR else logs(top)


class Logs(Arithmetic):
    """Natural logarithms throughout; slow, and proof against underflow. Methods as in Arithmetic."""

    def table(self, logs: np.ndarray) -> np.ndarray:
        """The logarithms themselves, no copy."""
        return logs

    def times(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """The sum of the logarithms."""
        return np.add(one, other)

    def total(self, table: np.ndarray, axes: tuple[int, ...], *, keep: bool = False) -> np.ndarray:
        """The largest entries are taken out before the exponentials are summed."""
        if not axes:
            return table
        found = _log_sum(table, axes)
        return found if keep else found.squeeze(axis=axes)

    def contracted(self, one: np.ndarray, other: np.ndarray, away: tuple[int, ...]) -> np.ndarray:
        """Multiplied out, then summed in its place."""
        joint = self.times(one, other)
        return _log_sum(joint, away, room=joint) if away else joint

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
        return np.subtract(table, logs, out=_room(table, logs))

    def plain(self, table: np.ndarray) -> np.ndarray:
        """exp of the table; may underflow to 0."""
        return np.exp(table)

    def logs(self, table: np.ndarray) -> np.ndarray:
        """The table itself, no copy."""
        return table

    def excess(self, table: np.ndarray) -> np.ndarray | None:
        """Never None: what is taken out costs no more than to look."""
        return table.max(axis=tuple(range(LANES, table.ndim)), keepdims=True, initial=-np.inf)


def _log_sum(table: np.ndarray, axes: tuple[int, ...], room: np.ndarray | None = None) -> np.ndarray:
    """The logarithm of a sum of exponentials over some axes, left with size 1; worked out in `room` where there is one."""
    top = table.max(axis=axes, keepdims=True)
    safe = np.where(np.isfinite(top), top, 0)
    parts = np.subtract(table, safe, out=room)
    return logs(np.exp(parts, out=parts).sum(axis=axes, keepdims=True)) + safe


def _room(table: np.ndarray, logs: np.ndarray) -> np.ndarray | None:
    return table if np.broadcast_shapes(table.shape, logs.shape) == table.shape else None


def _multiplied(one: np.ndarray, other: np.ndarray, away: tuple[int, ...]) -> np.ndarray:
    """A product of tables summed over some axes, left with size 1, as matrices: axes of one table alone are rows, those of the
    other columns, those of both that are kept stand outside. Axes are taken as they lie in memory, so that copies are quick."""
    strides = (one if one.size > other.size else other).strides
    axes = defaultdict[tuple[bool, bool, bool], list[int]](list)
    for a in sorted(range(LANES, one.ndim), key=strides.__getitem__, reverse=True):
        axes[one.shape[a] > 1, other.shape[a] > 1, a in away].append(a)
    both, inner = axes.pop((True, True, False), []), axes.pop((True, True, True), [])
    rows, columns = axes.pop((True, False, False), []), axes.pop((False, True, False), [])
    one, other = _alone(one, axes[True, False, True]), _alone(other, axes[False, True, True])
    if not inner:
        return np.multiply(one, other)
    gone = [*inner, *chain.from_iterable(axes.values())]
    left = _matrices(one, both, rows, inner, [*columns, *gone[len(inner) :]])
    right = _matrices(other, both, columns, inner, [*rows, *gone[len(inner) :]])
    sums = left @ right.swapaxes(-1, -2)
    sides = [one.shape[a] for a in rows] + [other.shape[a] for a in columns]
    order = [*range(LANES), *both, *rows, *columns, *gone]
    sums = sums.reshape(*sums.shape[: LANES + len(both)], *sides, *(1,) * len(gone))
    return sums.transpose(sorted(range(one.ndim), key=order.__getitem__))


def _alone(table: np.ndarray, axes: list[int]) -> np.ndarray:
    """The table summed over axes that the other one lacks, left with size 1."""
    return np.add.reduce(table, axis=tuple(axes), keepdims=True) if axes else table


def _matrices(
    table: np.ndarray, both: list[int], rows: list[int], columns: list[int], spare: list[int]
) -> np.ndarray:
    """The table as matrices side by side; what lies closest in memory stays so. `spare`: axes of size 1."""
    flat = bool(rows) and table.strides[rows[-1]] < table.strides[columns[-1]]
    far, near = (columns, rows) if flat else (rows, columns)
    moved = table.transpose(*range(LANES), *both, *spare, *far, *near)
    found = moved.reshape(*moved.shape[: LANES + len(both)], -1, prod([table.shape[a] for a in near]))
    return found.swapaxes(-1, -2) if flat else found
